// A machine that somebody wired from a drawing, rightly or wrongly, and a hand meter on it.
#pragma once
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "checker/bench/power_up.hpp"
#include "parser/disk.hpp"
#include "parser/read.hpp"
#include "tests/approved.hpp"

namespace loomward::testing {

inline std::shared_ptr<const Harness> example_harness(const std::string& name) {
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + name + ".loom";
    const std::unique_ptr<FileReader> disk = disk_reader();
    std::vector<std::string_view> names;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    ReadResult read = read_harness_text(path, approved::read("examples/" + name + ".loom"), *disk, {names});
    REQUIRE(read.harness);
    return std::make_shared<const Harness>(std::move(*read.harness));
}

// One check for a whole program of tests.
inline const Results& checked_example(const std::string& name) {
    static std::map<std::string, Results> known;
    const auto found = known.find(name);
    if (found != known.end()) return found->second;
    return known.emplace(name, check(example_harness(name))).first->second;
}

// Digits and errors of a cheap hand meter.
struct HandMeter {
    std::mt19937 random;
    double noise = 0.01;  // of each reading, at the most

    double show(MeterKind meter, double true_value) {
        if (!std::isfinite(true_value)) return true_value;
        const double off = std::uniform_real_distribution<double>(-noise, noise)(random);
        double digit = 0.01;  // V, A
        if (meter == MeterKind::millivolts) digit = 0.1e-3;
        if (meter == MeterKind::ohms)
            digit = std::max(0.1, std::pow(10, std::floor(std::log10(std::abs(true_value) + 1e-9)) - 2));
        return std::round(true_value * (1 + off) / digit) * digit;
    }
};

class SimulatedMachine {
  public:
    // `wired`: as it is, which may be otherwise than the sheet was made from. Every resistance somewhere in
    // its spread.
    SimulatedMachine(const Harness& wired, std::uint32_t seed, double air_degC = 20)
        : harness_(wired), circuit_(build_circuit(harness_)), facts_(harness_), random_(seed) {
        const std::vector<double> least = bench_ohms(circuit_, facts_, SpreadEnd::least, air_degC);
        const std::vector<double> most = bench_ohms(circuit_, facts_, SpreadEnd::most, air_degC);
        std::vector<double> ohms(least.size());
        for (std::size_t i = 0; i < ohms.size(); ++i)
            ohms[i] = std::uniform_real_distribution<double>(least[i], std::max(least[i], most[i]))(random_);
        machine_.emplace(circuit_, facts_, random_() % 2 == 0 ? Corner::run_full : Corner::run_hot,
                         std::move(ohms));
    }

    const Circuit& circuit() const { return circuit_; }
    double& ohm(EdgeId edge) { return machine_->ohms()[edge.index()]; }
    EdgeId edge_of_wire(const std::string& name) const {
        const auto wire = harness_.find_wire(name);
        REQUIRE(wire);
        return circuit_.edge_of_wire[wire->index()];
    }
    void set_output_factor(double factor) { machine_->set_output_factor(factor); }
    void weld(const std::string& part) { stuck_.push_back(*harness_.find_part(part)); }

    BenchState as_it_is(const BenchState& asked) const {
        BenchState state = asked;
        for (const PartId part : stuck_) {
            Posture& posture = state.postures.states[part.index()].posture;
            posture = harness_.part(part).kind == Kind::relay ? Posture::energised : Posture::closed;
        }
        return state;
    }
    double true_value(const PowerUpSheet& sheet, const BenchStep& step, double share) const {
        if (stuck_.empty()) return read_step(*machine_, sheet, step, share, 100e3);
        PowerUpSheet stands = sheet;
        stands.states[step.state] = as_it_is(sheet.states[step.state]);
        return read_step(*machine_, stands, step, share, 100e3);
    }
    BenchMachine::Live live(const BenchState& asked, double share) const {
        return machine_->live(as_it_is(asked), share);
    }

  private:
    Harness harness_;
    Circuit circuit_;
    Facts facts_;
    std::mt19937 random_;
    std::vector<PartId> stuck_;
    std::optional<BenchMachine> machine_;
};

}  // namespace loomward::testing
