// Readings of a step: the same code for what to expect and for the machine.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "checker/bench/power_up.hpp"

namespace loomward {

namespace {

// What the inside of electronics has at least between two pins with everything off, and the usual; no source.
constexpr double least_electronics_ohm = 500;

}  // namespace

double read_step(const BenchMachine& machine, const PowerUpSheet& sheet, const BenchStep& step,
                 double charge_share, double electronics_ohm) {
    const BenchState& state = sheet.states[step.state];
    switch (step.meter) {
        case MeterKind::look:
            return 0;
        case MeterKind::ohms:
            if (!step.others.empty()) {
                double lowest_ohm = infinite;
                for (const NodeId other : step.others)
                    lowest_ohm = std::min(
                        lowest_ohm, machine.resistance_ohm(state, step.red_node, other, electronics_ohm));
                return lowest_ohm;
            }
            return machine.resistance_ohm(state, step.red_node, step.black_node, electronics_ohm);
        case MeterKind::volts:
            return machine.volts(state, charge_share, step.red_node, step.black_node);
        case MeterKind::millivolts:
            return std::accumulate(step.pieces.begin(), step.pieces.end(), 0.0,
                                   [&](double sum, EdgeId id) { return sum + machine.ohms()[id.index()]; });
        case MeterKind::amps:
            return step.sign * machine.live(state, charge_share).edge_A[step.across.index()];
    }
    return 0;
}

ExpectedReadings::ExpectedReadings(const Circuit& circuit, const Facts& facts, double least_degC,
                                   double most_degC)
    : least_(circuit, facts, Corner::run_full, bench_ohms(circuit, facts, SpreadEnd::least, least_degC)),
      most_(circuit, facts, Corner::run_hot, bench_ohms(circuit, facts, SpreadEnd::most, most_degC)),
      low_outputs_(circuit, facts, Corner::run_hot, most_.ohms()),
      high_outputs_(circuit, facts, Corner::run_full, least_.ohms()) {
    low_outputs_.set_output_factor(1 - output_spread);
    high_outputs_.set_output_factor(1 + output_spread);
}

ReadingRange ExpectedReadings::of(const PowerUpSheet& sheet, const BenchStep& step, double least_share,
                                  double most_share) const {
    if (step.meter == MeterKind::ohms)
        return {read_step(least_, sheet, step, 0, least_electronics_ohm),
                read_step(most_, sheet, step, 0, infinite)};
    ReadingRange range{infinite, -infinite};
    for (const BenchMachine* machine : {&least_, &most_, &low_outputs_, &high_outputs_})
        for (const double share : {least_share, most_share}) {
            const double value = read_step(*machine, sheet, step, share, infinite);
            range = {std::min(range.least, value), std::max(range.most, value)};
        }
    return range;
}

double meter_error(MeterKind meter, double value) {
    const double size = std::isfinite(value) ? std::abs(value) : 0;
    switch (meter) {
        case MeterKind::look:
            return 0;
        case MeterKind::ohms:
            return 0.2 + 0.01 * size;
        case MeterKind::volts:
            return 0.02 + 0.005 * size;
        case MeterKind::millivolts:
            return 0.2e-3 + 0.02 * size;
        case MeterKind::amps:
            return 0.02 + 0.02 * size;
    }
    return 0;
}

bool as_expected(MeterKind meter, const ReadingRange& range, double reading) {
    double least = range.least - meter_error(meter, range.least), most = range.most;
    if (meter == MeterKind::ohms) {
        // What is above the end of the range of the meter cannot be told from more.
        least = std::min(least, open_ohm);
        if (!std::isfinite(reading)) return most >= open_ohm;
        if (most >= open_ohm) return reading >= least;
    }
    // Hardly anything flows through a bare net that leakage lifts; half a volt is dead (no source).
    if (meter == MeterKind::volts && std::abs(range.most) < 0.5 && std::abs(range.least) < 0.5)
        return std::abs(reading) <= 0.5 + std::abs(range.most);
    return reading >= least && reading <= most + meter_error(meter, most);
}

std::vector<const BenchStep*> PowerUpSheet::steps() const {
    std::vector<const BenchStep*> all;
    for (const BenchPart& part : parts)
        for (const BenchStep& step : part.steps) all.push_back(&step);
    return all;
}

}  // namespace loomward
