// The frame of the sheet: what bars it, what is needed, parts in their order.
#include "checker/bench/power_up.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/power_up_writer.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/positions.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

namespace {

// Readings are worked out for a workshop that is neither frozen nor hot.
constexpr double least_air_degC = 0, most_air_degC = 40;
constexpr double no_reading_V = 0.5;

// Of a reading that goes with the volts of the pack: how much is lost on the way, at the most.
std::string below_rest_text(double lost_V) {
    const double shown = std::max(0.1, std::ceil(lost_V * 10 - 1e-9) / 10);
    return fmt::format("U0 - {:.1f} V to U0", shown);
}

std::vector<BarredStep> barred_steps(const Results& results, const Digest& digest) {
    std::vector<BarredStep> barred;
    for (std::size_t s = 0; s < digest.steps.size(); ++s) {
        BarredStep step{step_title(*results.harness, digest.steps[s].mode), {}};
        for (const Cause& cause : digest.causes) {
            if (cause.step != s) continue;
            const Finding& worst = results.findings[cause.findings.front()];
            if (worst.severity != Severity::error) continue;
            std::string text = worst.message;
            if (!worst.help.empty()) text += "; " + worst.help;
            if (!cause.alike.empty()) text += fmt::format(" (and {} alike)", cause.alike.size());
            step.causes.push_back(std::move(text));
        }
        if (!step.causes.empty()) barred.push_back(std::move(step));
    }
    BarredStep rest{"Works badly or not at all", {}};
    for (const Cause& cause : digest.causes)
        if (!cause.step && results.findings[cause.findings.front()].severity == Severity::error)
            rest.causes.push_back(results.findings[cause.findings.front()].message);
    if (!rest.causes.empty()) barred.push_back(std::move(rest));
    return barred;
}

std::vector<std::string> needs_of(const Results& results) {
    const Facts facts(*results.circuit.harness);
    double highest_V = 0;
    for (std::size_t i = 0; i < results.harness->parts.size(); ++i)
        if (results.harness->parts[i].kind == Kind::pack)
            if (const auto range = pack_voltage(facts, PartId(i))) highest_V = std::max(highest_V, range->hi);
    const double range_V = highest_V > 0 ? std::ceil(highest_V * 1.5 / 10) * 10 : 100;
    return {
        fmt::format("meter: V dc to {} or more, mV dc, ohm, diode; its leads rated for that", volts(range_V)),
        "clamp meter for dc",
        "torque wrench",
        fmt::format("test lead with a 2 A fuse rated {} dc or more", volts(rounded_up(highest_V))),
        "labels for every lead that is taken off",
        "fire extinguisher for electrical fires and a way to the open",
        "a second person"};
}

}  // namespace

std::string step_title(const Harness& harness, ModeId mode) {
    if (!mode) return "Connect the pack";
    return fmt::format("Mode {}", harness.modes[mode.index()].name);
}

std::string resistance_text(double least_ohm, double most_ohm) {
    if (!(most_ohm < open_ohm)) {
        if (!(least_ohm < open_ohm)) return "above 1 Mohm";
        return "above " + to_text(rounded_down(least_ohm, 2), Dimension::resistance);
    }
    if (most_ohm <= 0.2) return "0.0 to 0.2 ohm";
    if (least_ohm < 0.2) return "0.0 to " + to_text(rounded_up(most_ohm + 0.1, 2), Dimension::resistance);
    return span_text(rounded_down(least_ohm), rounded_up(most_ohm), Dimension::resistance);
}

std::string span_text(double least, double most, Dimension dimension, double nothing) {
    if (std::abs(least) <= nothing && most > nothing) return "0 to " + to_text(most, dimension);
    std::string text = to_text(Quantity{least, most, dimension});
    if (const std::size_t dots = text.find(".."); dots != std::string::npos) text.replace(dots, 2, " to ");
    return text;
}

std::string expected_text(const BenchStep& step, const ReadingRange& at_empty, const ReadingRange& at_full,
                          double empty_V, double full_V) {
    switch (step.meter) {
        case MeterKind::ohms:
            return resistance_text(step.least, step.most);
        case MeterKind::amps: {
            const double most = std::max(std::abs(step.least), std::abs(step.most));
            if (most < 1e-3) return "below 1 mA";
            return span_text(step.least, step.most, Dimension::current);
        }
        case MeterKind::volts:
            break;
        default:
            return {};
    }
    const double least = std::min(at_empty.least, at_full.least),
                 most = std::max(at_empty.most, at_full.most);
    if (std::abs(least) < no_reading_V && std::abs(most) < no_reading_V) return "0.0 to 0.5 V";
    // Whether it goes with the pack.
    const double lost_V = std::max(empty_V - at_empty.least, full_V - at_full.least);
    if (full_V > empty_V && at_full.most - at_empty.most > 0.5 * (full_V - empty_V) && lost_V < 0.2 * empty_V)
        return below_rest_text(lost_V);
    return span_text(rounded_down(least), rounded_up(most), Dimension::voltage);
}

PowerUpWriter::PowerUpWriter(const Results& results, PowerUpSheet& sheet)
    : results_(results),
      circuit_(results.circuit),
      harness_(*results.circuit.harness),
      facts_(harness_),
      runs_(circuit_, Positions(circuit_).ways()),
      expected_(circuit_, facts_, least_air_degC, most_air_degC),
      sheet_(sheet),
      transients_(follow_transients(circuit_, facts_)),
      measured_users_(circuit_.edges.size()) {
    find_probes();
    rank_from_packs();
}

// Bars, studs and blocks stand open to a probe; else the first by name.
void PowerUpWriter::find_probes() {
    const auto rank = [&](TerminalId id) {
        switch (part(harness_.terminal(id).part).kind) {
            case Kind::pack:
                return 0;
            case Kind::busbar:
            case Kind::stud:
            case Kind::frame:
                return 1;
            case Kind::fuse_block:
            case Kind::terminal_block:
                return 2;
            default:
                return 3;
        }
    };
    for (std::size_t n = 0; n < circuit_.node_count(); ++n) probe_at_.push_back(runs_.terminal(NodeId(n)));
    for (std::size_t i = 0; i < harness_.terminals.size(); ++i) {
        TerminalId& best = probe_at_[circuit_.node(TerminalId(i)).index()];
        if (rank(TerminalId(i)) < rank(best)) best = TerminalId(i);
    }
}

void PowerUpWriter::rank_from_packs() {
    std::vector<NodeId> poles;
    for (const Edge& edge : circuit_.edges)
        if (edge.role == EdgeRole::emf) poles.insert(poles.end(), {edge.from, edge.to});
    rank_m_ = least_costs(circuit_, poles, [&](EdgeId id, NodeId from) {
                  const Edge& edge = circuit_.edge(id);
                  if (edge.role == EdgeRole::wire) {
                      const Quantity& length = harness_.wire(edge.wire).length;
                      return length.is_known() ? 0.01 + length.hi : 1.0;
                  }
                  if (is_conductor(edge.role)) return 0.01;
                  if (edge.role == EdgeRole::converter_output && edge.from == from) return 1000.0;
                  return std::numeric_limits<double>::infinity();
              }).cost;
}

// How the clamp goes around a wire, so that what flows reads positive.
std::string PowerUpWriter::clamp_text(const BenchStep& step, const Wire& wire) const {
    const TerminalId from = step.sign > 0 ? wire.from : wire.to, to = step.sign > 0 ? wire.to : wire.from;
    return fmt::format("Clamp on {}, zeroed; its arrow from {} to {}.", wire.name, terminal_name(from),
                       terminal_name(to));
}

std::string PowerUpWriter::label_of(PartId id) const {
    const Part& each = part(id);
    return each.label.empty() ? std::string(each.name) : fmt::format("{} ({})", each.name, each.label);
}

std::string PowerUpWriter::names(const std::vector<PartId>& parts, std::size_t most) const {
    std::string text;
    for (std::size_t i = 0; i < parts.size() && i < most; ++i)
        text += (i == 0 ? "" : ", ") + std::string(part(parts[i]).name);
    if (parts.size() > most) text += fmt::format(" and {} more", parts.size() - most);
    return text;
}

std::vector<PartId> PowerUpWriter::parts_of(std::initializer_list<Kind> kinds) const {
    std::vector<PartId> found;
    for (std::size_t i = 0; i < harness_.parts.size(); ++i)
        if (std::find(kinds.begin(), kinds.end(), harness_.parts[i].kind) != kinds.end())
            found.emplace_back(i);
    return found;
}

std::size_t PowerUpWriter::add_state(BenchState state) {
    sheet_.states.push_back(std::move(state));
    return sheet_.states.size() - 1;
}

BenchPart& PowerUpWriter::begin(std::string title) {
    BenchPart next;
    next.letter = static_cast<char>('A' + sheet_.parts.size());
    next.title = std::move(title);
    sheet_.parts.push_back(std::move(next));
    return sheet_.parts.back();
}

BenchStep& PowerUpWriter::add(BenchStep step) {
    std::size_t number = 1;
    for (const BenchPart& each : sheet_.parts) number += each.steps.size();
    step.number = number;
    sheet_.parts.back().steps.push_back(std::move(step));
    return sheet_.parts.back().steps.back();
}

BenchStep PowerUpWriter::measured(MeterKind meter, std::size_t state, NodeId red, NodeId black) const {
    BenchStep step;
    step.meter = meter;
    step.state = state;
    step.red_node = red;
    step.black_node = black;
    step.red = name(red);
    step.black = name(black);
    step.live = meter != MeterKind::ohms;
    return step;
}

void PowerUpWriter::expect(BenchStep& step, double least_share, double most_share) const {
    const ReadingRange all = expected_.of(sheet_, step, least_share, most_share);
    step.least = all.least;
    step.most = all.most;
    if (step.meter != MeterKind::volts) {
        step.expect = expected_text(step, all, all, 0, 0);
        return;
    }
    double empty_V = 0, full_V = 0;
    if (!sheet_.packs.empty())
        if (const auto range = pack_voltage(facts_, sheet_.packs.front()))
            empty_V = range->lo, full_V = range->hi;
    step.expect = expected_text(step, expected_.of(sheet_, step, 0, 0), expected_.of(sheet_, step, 1, 1),
                                empty_V, full_V);
}

PowerUpSheet power_up_sheet(const Results& results) {
    PowerUpSheet sheet;
    sheet.air_degC_least = least_air_degC;
    sheet.air_degC_most = most_air_degC;
    const Digest digest = digest_of(results);
    sheet.barred = results.count(Severity::error) > 0;
    if (sheet.barred) sheet.barred_steps = barred_steps(results, digest);
    for (const ModeId mode : digest.silent)
        sheet.left_out.emplace_back(results.harness->modes[mode.index()].name);
    sheet.needs = needs_of(results);
    for (std::size_t i = 0; i < results.harness->parts.size(); ++i)
        if (results.harness->parts[i].kind == Kind::pack) sheet.packs.emplace_back(i);
    PowerUpWriter writer(results, sheet);
    writer.write_dead_parts();
    if (!sheet.barred) {
        writer.write_live_parts();
        writer.write_load_parts();
    }
    return sheet;
}

}  // namespace loomward
