// Where the columns of a log lie in the circuit, and what the mode sends through there; for the files of the
// study of a run (run_study.hpp).
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/bench/run_study.hpp"
#include "checker/currents/profile.hpp"

namespace loomward {

// A piece counts as carrying the current of another if it does in the mode up to this share. No source.
inline constexpr double same_current = 0.1;

struct LogPlace {
    NodeId red, black;
    TerminalId red_terminal, black_terminal;
    EdgeId edge;  // of one name: what it is the two ends of
};

class RunPlaces {
  public:
    // All outlive it. What a head names and the harness does not have becomes a mistake of the log.
    RunPlaces(const Results& results, RunLog& log);
    // Courses of the mode that can be used; before the rest is asked for.
    bool take_mode(ModeId mode);

    const Results& results() const { return results_; }
    const Circuit& circuit() const { return results_.circuit; }
    const Harness& harness() const { return *results_.circuit.harness; }
    const RunLog& log() const { return log_; }
    ModeId mode() const { return mode_; }
    const std::vector<Course>& courses() const { return courses_; }
    const LogPlace& at(std::size_t column) const { return places_[column]; }

    std::string path(TerminalId id) const { return std::string(harness().terminal(id).path); }
    std::string name_of(std::size_t column) const;  // "B1.+ to U1.+", "W3"
    std::vector<std::size_t> columns_of(LogQuantity quantity) const;
    // The point of the mode in which most flows through an edge; nullptr: nothing does.
    const OperatingPoint* worst_point(EdgeId edge) const;
    // The column of amps whose current this edge carries in the mode.
    std::optional<std::size_t> amps_through(EdgeId edge) const;

  private:
    EdgeId edge_of(const std::string& name) const;
    LogPlace place_of(const LogColumn& column);
    void say(const LogColumn& column, std::string message);

    const Results& results_;
    RunLog& log_;
    ModeId mode_;
    std::vector<Course> courses_;
    std::vector<LogPlace> places_;  // by column
};

// Each adds its part to the report.
void study_volts(const RunPlaces& places, RunReport& report);
void study_heat(const RunPlaces& places, RunReport& report);
void study_currents(const RunPlaces& places, RunReport& report);

}  // namespace loomward
