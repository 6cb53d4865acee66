// The log of a run, as a logger wrote it: comma separated values (RFC 4180) with one header line. Each head
// says what its column is, in the words of a text of readings (readings.hpp):
//
//     time,volts B1.+ B1.-,volts U1.+ U1.-,millivolts F1.in F1.out,amps W3,temperature W3
//     0,52.31,52.30,0.1,0.2,21.5
//     0.5,50.12,49.61,13.0,70.4,21.6
//
// Time in s from any beginning, volts in V, millivolts in mV, amps in A, temperature in degC, with a decimal
// point. One name stands for both its ends: `volts F1`, `millivolts W3`. An empty field is a value that was
// not logged.
#pragma once
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "parser/text/diagnostic.hpp"
#include "parser/text/source.hpp"

namespace loomward {

enum class LogQuantity : std::uint8_t { time, volts, amps, temperature };

struct LogColumn {
    LogQuantity quantity{};
    std::string first, second;   // volts: red and black; `second` empty: both ends of `first`. Else the place
    double unit = 1;             // of a figure as logged: 1e-3 for millivolts
    Span where;                  // its head
    std::vector<double> values;  // by row: s, V, A, degC; not a number where the field is empty
};

struct RunLog {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;  // by place; at most 20, then reading ends
    std::vector<LogColumn> columns;    // the one of time first; every one with a value a row
    std::size_t rows() const { return columns.empty() ? 0 : columns.front().values.size(); }
    const std::vector<double>& time_s() const { return columns.front().values; }  // rising
};

// More fields than this are refused: a day of ten columns at ten a second.
inline constexpr std::size_t most_log_fields = 9'000'000;

// Never throws on bad input. Without mistakes there is a column of time, another one, and at least two rows.
RunLog read_run_log(const std::string& path, std::string text);

}  // namespace loomward
