// What a meter showed, as a person typed it: a small text in the language's own style, one statement a line.
//
//     loom 1
//     measured "Market cart" { revision "B", air 21 degC }
//     at-rest B1 { 52.3 V }
//     step 14 { ohms, red F2.out, black K2.in, reads 98 ohm }
//     step 60 { millivolts, red B1.+, black F1.in, reads 3.1 mV at 10 A }
//     step 61 { amps, around W1, reads _ }
//
// `_` is a blank and means: not measured. `reads open` is a reading beyond the meter's range.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "parser/text/diagnostic.hpp"
#include "parser/text/source.hpp"

namespace loomward {

struct MeasuredStep {
    std::size_t number = 0;
    std::string meter;       // "ohms", "volts", "millivolts", "amps"
    std::string red, black;  // `around` counts as red
    double value = 0;        // ohm, V, A; infinite: open
    std::optional<double> at_A;
    Span where;
};

struct MeasuredText {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;  // by place
    std::string title, revision;
    std::optional<double> air_degC;
    std::vector<std::pair<std::string, double>> at_rest_V;  // by pack
    std::vector<MeasuredStep> steps;                        // those that are no blanks, as written
    std::size_t blanks = 0;
};

// Never throws on bad input.
MeasuredText read_measured(const std::string& path, std::string text);

}  // namespace loomward
