// The first current that warms nothing, with the millivolts of every piece of its way; what to feel after the
// first ride; the charger.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/power_up_writer.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double shown_V = 0.1e-3;   // the last digit of a hand meter
constexpr double warms_K = 5;        // no wire by more than this at the test current
constexpr double worth_a_way_A = 5;  // a user that draws less is no load to measure joints with
constexpr std::size_t most_ways = 3;
constexpr double too_hot_degC = 60;

}  // namespace

// From the plus of a pack through one user back to the minus: those that draw most in any mode.
std::vector<PowerUpWriter::LoadWay> PowerUpWriter::load_ways() const {
    std::vector<LoadWay> ways;
    std::vector<double> most_A(circuit_.edges.size(), 0);
    for (const OperatingPoint& point : results_.points)
        if (point.usable())
            for (std::size_t i = 0; i < most_A.size(); ++i)
                if (uses_power(circuit_.edges[i].role))
                    most_A[i] = std::max(most_A[i], std::abs(point.edge_A[i]));
    std::vector<EdgeId> users;
    for (std::size_t i = 0; i < most_A.size(); ++i)
        if (most_A[i] > 0) users.emplace_back(i);
    std::stable_sort(users.begin(), users.end(),
                     [&](EdgeId a, EdgeId b) { return most_A[a.index()] > most_A[b.index()]; });
    PartId start;  // the pack that is walked from; others in series with it are passed
    const auto cost = [&](EdgeId id, NodeId) {
        const Edge& edge = circuit_.edge(id);
        if (edge.role == EdgeRole::emf && edge.part != start) return 1e-3;
        if (!is_conductor(edge.role)) return std::numeric_limits<double>::infinity();
        return 1e-6 + expected_.most().ohms()[id.index()];
    };
    for (const EdgeId user : users) {
        if (ways.size() >= most_ways || (!ways.empty() && most_A[user.index()] < worth_a_way_A)) break;
        for (const PartId pack : sheet_.packs) {
            const TerminalId plus = harness_.terminal_of(pack, TerminalRole::plus),
                             minus = harness_.terminal_of(pack, TerminalRole::minus);
            if (!plus || !minus) continue;
            start = pack;
            LoadWay way{user, most_A[user.index()], {}, {}, circuit_.node(plus)};
            const std::vector<EdgeId> out = least_way(circuit_, way.start, circuit_.edge(user).from, cost);
            const std::vector<EdgeId> back =
                least_way(circuit_, circuit_.edge(user).to, circuit_.node(minus), cost);
            if (out.empty() || back.empty()) continue;
            way.out = out;
            way.back = back;
            ways.push_back(std::move(way));
            break;
        }
    }
    return ways;
}

double PowerUpWriter::test_current_A(const std::vector<LoadWay>& ways) const {
    double most_A = std::numeric_limits<double>::infinity();
    for (const LoadWay& way : ways) {
        most_A = std::min(most_A, std::max(1.0, way.current_A));
        for (const std::vector<EdgeId>* half : {&way.out, &way.back})
            for (const EdgeId id : *half) {
                const WireId wire = circuit_.edge(id).wire;
                if (!wire) continue;
                const WireLoading& loading = results_.wires[wire.index()];
                const double rise_K =
                    harness_.wire(wire).insulation_limit_degC - loading.standing.ambient_degC;
                if (loading.limit_A > 0 && rise_K > 0)
                    most_A = std::min(most_A, loading.limit_A * std::sqrt(warms_K / rise_K));
            }
    }
    for (const double amps : {50.0, 20.0, 10.0, 5.0, 2.0, 1.0})
        if (amps <= most_A) return amps;
    return 0.5;
}

void PowerUpWriter::write_first_load(const std::vector<LoadWay>& ways) {
    sheet_.test_A = test_current_A(ways);
    const std::string amps = to_text(sheet_.test_A, Dimension::current);
    BenchPart& load = begin(fmt::format("First load: {}, and the millivolts of every joint", amps));
    load.caution =
        "Wheels off the ground, one person at the disconnect. Hold each reading for ten seconds, no longer "
        "than a minute in all. Probes on the lug and on the post itself, not on the nut.";
    load.lead = fmt::format(
        "Clamp on the lead of the pack, bring it to {}. Another current: multiply by amps / {}. Above the "
        "range: loose, "
        "dirty or half crimped; below: a second way.",
        amps, to_text(sheet_.test_A, Dimension::current));
    const std::size_t state = add_state({liveliest_, true, false});
    std::vector<bool> told(circuit_.edges.size(), false);
    for (const LoadWay& way : ways) {
        const std::string through = fmt::format("Through {}.", label_of(circuit_.edge(way.user).part));
        bool titled = false;
        const auto row = [&](NodeId red, NodeId black, std::vector<EdgeId> pieces, const std::string& across,
                             const std::string& if_not) -> BenchStep& {
            BenchStep step = measured(MeterKind::millivolts, state, red, black);
            step.pieces = std::move(pieces);
            step.row = true;
            step.across_text = across;
            step.if_not = if_not;
            if (!titled) step.title = through;
            titled = true;
            const ReadingRange range = expected_.of(sheet_, step, 0, 1);
            step.least = range.least;
            step.most = range.most;
            step.expect = span_text(rounded_down(range.least * sheet_.test_A, 2),
                                    rounded_up(range.most * sheet_.test_A, 2), Dimension::voltage, shown_V);
            return add(std::move(step));
        };
        for (const bool out : {true, false}) {
            const std::vector<EdgeId>& edges = out ? way.out : way.back;
            NodeId here = out ? way.start : circuit_.edge(way.user).to;
            const NodeId begins = here;
            bool any = false;
            for (const EdgeId id : edges) {
                const Edge& edge = circuit_.edge(id);
                const NodeId next = other_end(edge, here);
                const bool forward = here == edge.from;
                if (!told[id.index()] && edge.role != EdgeRole::emf) {
                    const std::string name = edge.wire   ? std::string(harness_.wire(edge.wire).name)
                                             : edge.part ? std::string(part(edge.part).name)
                                                         : std::string("bolted joint");
                    BenchStep& step =
                        row(here, next, {id}, name, edge.wire ? "one of its ends, or strands missing" : "");
                    step.red = terminal_name(forward ? edge.from_terminal : edge.to_terminal);
                    step.black = terminal_name(forward ? edge.to_terminal : edge.from_terminal);
                    step.across = id;
                    any = told[id.index()] = true;
                }
                here = next;
            }
            const bool through_packs = std::any_of(edges.begin(), edges.end(), [&](EdgeId id) {
                return circuit_.edge(id).role == EdgeRole::emf;
            });
            if (any && edges.size() > 1 && !through_packs)
                row(begins, here, edges, out ? "the whole way out" : "the whole way back", "");
        }
    }
}

void PowerUpWriter::write_ride() {
    BenchPart& ride = begin("First ride, and what to feel for warmth");
    ride.caution = fmt::format(
        "Ten minutes, on the level, with the second person beside. Then everything off, and feel with the "
        "back of the "
        "hand. Too hot to hold for three seconds is about {}: stop (no source).",
        degrees(too_hot_degC));
    std::vector<std::pair<double, std::size_t>> warm;
    for (std::size_t i = 0; i < results_.wires.size(); ++i) {
        const WireLoading& loading = results_.wires[i];
        if (loading.limit_A > 0 && loading.current_A > 0)
            warm.emplace_back(loading.current_A / loading.limit_A, i);
    }
    std::stable_sort(warm.begin(), warm.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    for (std::size_t i = 0; i < warm.size() && i < 6; ++i) {
        const Wire& wire = harness_.wires[warm[i].second];
        const WireLoading& loading = results_.wires[warm[i].second];
        const double share = std::min(1.0, warm[i].first);
        const double rise_K =
            share * share * std::max(0.0, wire.insulation_limit_degC - loading.surroundings.ambient_degC);
        ride.warm.push_back(
            {fmt::format("{}, {}", wire.name, wire.size_text),
             to_text(loading.current_A, Dimension::current) +
                 (loading.mode ? fmt::format(", {}", harness_.modes[loading.mode.index()].name) : ""),
             to_text(loading.limit_A, Dimension::current), kelvins(rise_K)});
    }
    for (const PartId pack : sheet_.packs) {
        const TerminalId plus = harness_.terminal_of(pack, TerminalRole::plus),
                         minus = harness_.terminal_of(pack, TerminalRole::minus);
        if (!plus || !minus) continue;
        BenchState alone = apart();
        alone.packs_on = true;
        BenchStep step = measured(MeterKind::volts, add_state(std::move(alone)), circuit_.node(plus),
                                  circuit_.node(minus));
        step.red = terminal_name(plus), step.black = terminal_name(minus);
        step.title = fmt::format("After the ride, pack {}.", part(pack).name);
        step.how = "Everything off.";
        expect(step);
        step.expect = "above empty, and little below U0";
        step.if_not = "well below: a cell that is not well, or more current than the sheet has";
        add(std::move(step));
    }
    BenchStep again;
    again.title = "Torque again, cold.";
    again.expect = "no mark has moved";
    again.if_not = "torque, mark, ride again";
    add(std::move(again));
}

void PowerUpWriter::write_charging() {
    for (std::size_t m = 0; m < harness_.modes.size(); ++m) {
        const Mode& mode = harness_.modes[m];
        if (is_silent(ModeId(m)) || !is_charging(mode)) continue;
        BenchPart& charge = begin(fmt::format("Mode {}", mode.name));
        charge.caution =
            "Stay beside it. While the charger is plugged in, opening the disconnect may leave parts live: "
            "unplug it first.";
        BenchState alone = apart();
        alone.postures = mode;
        for (std::size_t i = 0; i < harness_.parts.size(); ++i)
            if (harness_.parts[i].kind == Kind::connector)
                alone.postures.states[i].posture = Posture::unmated;
        alone.chargers_on = true;
        const std::size_t alone_state = add_state(alone);
        const std::size_t state = add_state({mode, true, true});
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const State& said = mode.states[edge.part ? edge.part.index() : 0];
            if (edge.role != EdgeRole::charger || said.profile < 0) continue;
            BenchStep step = measured(MeterKind::volts, alone_state, edge.to, edge.from);
            step.red = terminal_name(edge.to_terminal), step.black = terminal_name(edge.from_terminal);
            step.title = fmt::format("{} alone, its plug apart.", label_of(edge.part));
            step.across = EdgeId(i);
            expect(step);
            step.expect = fmt::format("{}, or what it idles at, plus on {}",
                                      span_text(step.least, step.most, Dimension::voltage), step.red);
            step.if_not = "a minus sign: turned round, do not mate it";
            add(std::move(step));
            EdgeId lead;
            for (const Incidence& at : circuit_.at(edge.to))
                if (circuit_.edge(at.edge).role == EdgeRole::wire) lead = at.edge;
            if (!lead) continue;
            BenchStep amps;
            amps.meter = MeterKind::amps;
            amps.live = true;
            amps.state = state;
            amps.across = lead;
            const Wire& wire = harness_.wire(circuit_.edge(lead).wire);
            amps.red = std::string(wire.name);
            amps.title = fmt::format("Mated, {} charging.", part(edge.part).name);
            expect(amps, 0, 0.5);
            if (amps.most <= 0) amps.sign = -1, expect(amps, 0, 0.5);
            amps.how = clamp_text(amps, wire);
            amps.basis = "falling towards 0 when the pack is nearly full";
            amps.if_not = "0: fuse of the charge lead, or the charge port of the battery management";
            add(std::move(amps));
        }
    }
}

void PowerUpWriter::write_load_parts() {
    const std::vector<LoadWay> ways = load_ways();
    if (any_mode_ && !ways.empty()) {
        write_first_load(ways);
        write_ride();
    }
    write_charging();
}

}  // namespace loomward
