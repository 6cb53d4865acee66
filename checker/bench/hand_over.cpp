// Switching off is tried on the liveliest mode: each stop in turn, contacts following their coils, and what
// then still hangs on a source.
#include "checker/bench/hand_over.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "checker/bench/live_nets.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/stops.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double room_degC = 20;
constexpr double dead_V = 1;

std::string label_of(const Part& part) {
    return part.label.empty() ? std::string(part.name) : fmt::format("{} ({})", part.name, part.label);
}

std::string listed(const std::vector<std::string>& names, std::size_t most = 10) {
    std::string text;
    for (std::size_t i = 0; i < names.size() && i < most; ++i) text += (i == 0 ? "" : ", ") + names[i];
    if (names.size() > most) text += fmt::format(" and {} more", names.size() - most);
    return text;
}

class SwitchOff {
  public:
    SwitchOff(const Results& results, HandOver& made)
        : circuit_(results.circuit),
          harness_(*results.circuit.harness),
          facts_(harness_),
          machine_(circuit_, facts_, Corner::run_full,
                   bench_ohms(circuit_, facts_, SpreadEnd::most, room_degC)),
          made_(made) {}

    void write() {
        if (harness_.modes.empty()) return;
        begin();
        let_go(machine_, facts_, state_);
        take(stops(true), true);
        take(stops(false), false);
        take_disconnects();
        told_live();
        say_charger();
    }

  private:
    const Part& part(PartId id) const { return harness_.part(id); }

    // The mode in which most drives run, of those the one in which most is fed; chargers apart.
    void begin() {
        std::size_t most = 0;
        for (const Mode& mode : harness_.modes) {
            const BenchState state{quiet(circuit_, mode), true, false};
            std::size_t score = fed(state).size();
            for (std::size_t i = 0; i < harness_.parts.size(); ++i)
                if (harness_.parts[i].kind == Kind::controller && mode.states[i].profile >= 0) score += 1000;
            if (score <= most) continue;
            state_ = state;
            most = score;
        }
        if (most == 0) state_ = {quiet(circuit_, harness_.modes.front()), true, false};
    }

    // Consumers that have a voltage.
    std::set<PartId> fed(const BenchState& state) const {
        std::set<PartId> parts;
        const BenchMachine::Live live = machine_.live(state, half_charged);
        if (!live.solved) return parts;
        for (const Edge& edge : circuit_.edges)
            if (uses_power(edge.role) && edge.from != edge.to &&
                std::abs(live.node_V[edge.from.index()] - live.node_V[edge.to.index()]) > dead_V)
                parts.insert(edge.part);
        return parts;
    }
    // Terminals of what carries or is fed by a pack, and not of what hangs on a branch, that a pole still
    // reaches.
    std::size_t joined_to_a_pole(const BenchState& state) const {
        const std::vector<bool> live = live_nodes(circuit_, state);
        std::size_t joined = 0;
        for (std::size_t i = 0; i < harness_.terminals.size(); ++i) {
            const Kind kind = part(harness_.terminals[i].part).kind;
            const bool counts = kind == Kind::contactor || kind == Kind::busbar || kind == Kind::controller ||
                                kind == Kind::converter || kind == Kind::fuse;
            if (counts && live[circuit_.node(TerminalId(i)).index()]) ++joined;
        }
        return joined;
    }
    std::vector<std::string> names(const std::set<PartId>& parts) const {
        std::vector<std::string> list;
        for (const PartId id : parts) list.emplace_back(part(id).name);
        return list;
    }

    struct Opened {
        BenchState state;
        std::vector<PartId> released;
        std::set<PartId> lost;
    };
    Opened open(PartId id) const {
        Opened made{state_, {}, {}};
        State& posture = made.state.postures.states[id.index()];
        posture.posture = part(id).kind == Kind::connector ? Posture::unmated : Posture::open;
        made.released = let_go(machine_, facts_, made.state);
        const std::set<PartId> before = fed(state_), after = fed(made.state);
        for (const PartId each : before)
            if (!after.contains(each)) made.lost.insert(each);
        return made;
    }

    // Switches that let a coil go: the emergency stop, or the others (the key).
    std::vector<PartId> stops(bool emergency) const {
        std::vector<PartId> found;
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            const PartId id(i);
            if (part(id).kind != Kind::switch_ || state_.postures.states[i].posture != Posture::closed)
                continue;
            if (is_stop(harness_, part(id)) != emergency) continue;
            const Opened opened = open(id);
            // What takes everything off is a disconnect, told further down; to be struck it may be as well.
            const bool all = opened.lost.size() == fed(state_).size();
            if (!opened.released.empty() && (emergency || !all)) found.push_back(id);
        }
        return found;
    }

    void take(const std::vector<PartId>& parts, bool in_danger) {
        for (const PartId id : parts) add(id, in_danger);
    }

    void add(PartId id, bool in_danger) {
        const Opened opened = open(id);
        SwitchOffOrder order;
        order.part = id;
        order.in_danger = in_danger;
        const std::string name = label_of(part(id));
        order.order = in_danger                          ? fmt::format("In danger: strike {}.", name)
                      : part(id).kind == Kind::connector ? fmt::format("Pull {} apart.", name)
                                                         : fmt::format("Switch {} off.", name);
        std::vector<std::string> lost = names(opened.lost), stay = names(fed(opened.state));
        for (const PartId each : opened.released) lost.push_back(std::string(part(each).name) + " (lets go)");
        if (!lost.empty()) order.then = "Without supply then: " + listed(lost) + ".";
        if (!stay.empty())
            order.then += fmt::format("{}Still live: {}.", order.then.empty() ? "" : " ", listed(stay));
        made_.orders.push_back(std::move(order));
        // A stop that is struck is pulled out again; the others stay off.
        if (!in_danger) state_ = opened.state;
    }

    // What takes off most of what is fed, until nothing is; then each without which more stays joined to a
    // pole.
    void take_disconnects() {
        std::vector<PartId> candidates;
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            const Posture posture = state_.postures.states[i].posture;
            const Kind kind = harness_.parts[i].kind;
            if ((kind == Kind::switch_ || kind == Kind::breaker) && posture == Posture::closed)
                candidates.emplace_back(i);
            if (kind == Kind::connector && posture == Posture::mated) candidates.emplace_back(i);
        }
        for (std::size_t step = 0; step < 6 && !fed(state_).empty(); ++step) {
            PartId best;
            std::size_t most = 0;
            for (const bool plugs : {false, true}) {
                for (const PartId id : candidates) {
                    if ((part(id).kind == Kind::connector) != plugs) continue;
                    const std::size_t lost = open(id).lost.size();
                    if (lost > most) best = id, most = lost;
                }
                if (best) break;
            }
            if (!best) break;
            add(best, false);
            std::erase(candidates, best);
        }
        std::erase_if(candidates, [&](PartId id) { return part(id).kind == Kind::connector; });
        for (const PartId id : needed_of(candidates)) add(id, false);
    }

    std::vector<PartId> needed_of(const std::vector<PartId>& candidates) const {
        const auto all_but = [&](PartId left_out) {
            BenchState state = state_;
            for (const PartId id : candidates)
                if (id != left_out) state.postures.states[id.index()].posture = Posture::open;
            return joined_to_a_pole(state);
        };
        std::vector<PartId> needed;
        for (const PartId id : candidates)
            if (all_but(id) > all_but({})) needed.push_back(id);
        return needed;
    }

    void told_live() {
        BenchState off = state_;
        let_go(machine_, facts_, off);
        const std::vector<bool> live = live_nodes(circuit_, off);
        std::set<std::string> told;
        const auto tell = [&](std::string_view name) {
            if (told.emplace(name).second) made_.stays_live.emplace_back(name);
        };
        for (const Part& each : harness_.parts) {
            bool any = each.kind == Kind::pack;
            for (std::uint32_t k = 0; k < each.terminals.count; ++k)
                any = any || live[circuit_.node(TerminalId(each.terminals.first + k)).index()];
            if (any) tell(each.name);
        }
        for (std::size_t i = 0; i < harness_.wires.size(); ++i)
            if (live[circuit_.edge(circuit_.edge_of_wire[i]).from.index()]) tell(harness_.wires[i].name);
    }

    // Whether a charger that is plugged in keeps things live though all of that is off.
    void say_charger() {
        for (const Mode& mode : harness_.modes) {
            PartId charger;
            for (std::size_t i = 0; i < harness_.parts.size(); ++i)
                if (delivers(mode, PartId(i))) charger = PartId(i);
            if (!charger) continue;
            BenchState plugged{mode, true, true};
            for (const SwitchOffOrder& order : made_.orders)
                if (!order.in_danger) plugged.postures.states[order.part.index()].posture = Posture::open;
            std::set<PartId> still = fed(plugged);
            const std::set<PartId> without = fed(state_);
            for (const PartId each : without) still.erase(each);
            still.erase(charger);
            if (still.empty()) continue;
            std::string plug;
            for (std::size_t i = 0; i < harness_.parts.size() && plug.empty(); ++i)
                for (const EdgeId id : circuit_.edges_of_part[i]) {
                    const Edge& edge = circuit_.edge(id);
                    if (edge.role != EdgeRole::contact) continue;
                    const NodeId starts[] = {edge.from, edge.to};
                    const Reached near = reached(circuit_, starts, [&](EdgeId at, NodeId) {
                        return circuit_.edge(at).role == EdgeRole::wire ||
                               circuit_.edge(at).role == EdgeRole::joint;
                    });
                    for (const EdgeId own : circuit_.edges_of_part[charger.index()])
                        if (circuit_.edge(own).role == EdgeRole::charger && near[circuit_.edge(own).to])
                            plug = label_of(harness_.parts[i]);
                }
            made_.cautions.push_back(
                fmt::format("While {} is plugged in, switching off does not make everything dead; still "
                            "fed: {}. Unplug {} first.",
                            label_of(part(charger)), listed(names(still)), plug.empty() ? "it" : plug));
            return;
        }
    }

    const Circuit& circuit_;
    const Harness& harness_;
    Facts facts_;
    BenchMachine machine_;
    HandOver& made_;
    BenchState state_;
};

std::string stated(const std::optional<Quantity>& value, bool low) {
    return value ? to_text(low ? value->lo : value->hi, value->dimension) : std::string("not known");
}

LidFuse lid_row(const Harness& harness, const Facts& facts, PartId id) {
    const Part& fuse = harness.part(id);
    return {{},
            std::string(fuse.name),
            std::string(fuse.label),
            std::string(fuse.type),
            stated(facts.quantity(id, "(rated-current)"_attr), false),
            stated(facts.quantity(id, "(operational-voltage)"_attr), true),
            stated(facts.quantity(id, "breaks"_attr), true)};
}

// "X3.2": 2.
int way_of(const Harness& harness, const Part& fuse) {
    const std::string_view holder = harness.value(fuse.attributes, "holder"_attr).text;
    const std::size_t dot = holder.rfind('.');
    int way = 0;
    if (dot != std::string_view::npos)
        std::from_chars(holder.data() + dot + 1, holder.data() + holder.size(), way);
    return way;
}

void write_lids(const Harness& harness, const Facts& facts, HandOver& made) {
    for (std::size_t b = 0; b < harness.parts.size(); ++b) {
        const Part& block = harness.parts[b];
        if (block.kind != Kind::fuse_block) continue;
        LidTable table{fmt::format("{} {}", block.name, block.label), true, {}};
        const auto ways = facts.count(PartId(b), "ways"_attr);
        for (int way = 1; way <= ways.value_or(0); ++way) {
            LidFuse row;
            for (std::size_t i = 0; i < harness.parts.size(); ++i)
                if (harness.parts[i].holder == PartId(b) && way_of(harness, harness.parts[i]) == way)
                    row = lid_row(harness, facts, PartId(i));
            row.way = fmt::format("{}", way);
            table.rows.push_back(std::move(row));
        }
        made.lids.push_back(std::move(table));
    }
    LidTable elsewhere{"Elsewhere", false, {}};
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (harness.parts[i].kind == Kind::fuse && !harness.parts[i].holder)
            elsewhere.rows.push_back(lid_row(harness, facts, PartId(i)));
    if (!elsewhere.rows.empty()) made.lids.push_back(std::move(elsewhere));
}

std::string span(const Quantity& value) {
    std::string text = to_text(value);
    if (const std::size_t dots = text.find(".."); dots != std::string::npos) text.replace(dots, 2, " to ");
    return text;
}

void write_about(const Results& results, const Facts& facts, HandOver& made) {
    const Harness& harness = *results.circuit.harness;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const PartId id(i);
        const std::string name = label_of(harness.parts[i]);
        if (harness.parts[i].kind == Kind::pack) {
            const auto range = pack_voltage(facts, id);
            made.about.emplace_back("Supply",
                                    fmt::format("{}: {}", name, range ? span(*range) : "volts not known"));
        }
        if (harness.parts[i].kind == Kind::charger) {
            const auto volts = facts.quantity(id, "output"_attr, 0),
                       amps = facts.quantity(id, "output"_attr, 1);
            made.about.emplace_back("Charging",
                                    fmt::format("{}: {} {}", name, volts ? span(*volts) : "volts not known",
                                                amps ? span(*amps) : ""));
        }
    }
    const Value ambient = harness.value(harness.attributes, "ambient"_attr);
    made.about.emplace_back("Surroundings", ambient.present() && ambient.known != Knowledge::unknown
                                                ? span(ambient.quantity())
                                                : "not stated");
    std::string modes;
    for (const Mode& mode : harness.modes) modes += (modes.empty() ? "" : ", ") + std::string(mode.name);
    made.about.emplace_back("Modes it was looked at in", modes.empty() ? "none" : modes);
}

}  // namespace

std::vector<SwitchOffOrder> switching_off(const Results& results) {
    HandOver made;
    SwitchOff(results, made).write();
    return std::move(made.orders);
}

MadeDead made_dead(const Results& results) {
    if (!results.circuit.harness) return {};  // nothing was worked out
    const std::vector<Part>& parts = results.circuit.harness->parts;
    if (std::none_of(parts.begin(), parts.end(), [](const Part& part) { return part.kind == Kind::pack; }))
        return {};
    HandOver made;
    SwitchOff(results, made).write();
    const auto in_danger = [](const SwitchOffOrder& order) { return order.in_danger; };
    if (!std::all_of(made.orders.begin(), made.orders.end(), in_danger))
        std::erase_if(made.orders, in_danger);
    return {std::move(made.orders), std::move(made.stays_live), std::move(made.cautions)};
}

HandOver hand_over(const Results& results) {
    HandOver made;
    for (const Finding& finding : results.findings) {
        if (finding.severity == Severity::error && !finding.accepted)
            made.refused.push_back(finding.message + (finding.beside.empty() ? "" : ": " + finding.beside));
        if (finding.accepted)
            made.accepted.push_back(fmt::format("{} ({}): {}", finding.message, finding.subject,
                                                results.harness->acceptances[*finding.accepted].reason));
    }
    if (!made.refused.empty()) return made;
    const Facts facts(*results.circuit.harness);
    SwitchOff(results, made).write();
    write_lids(*results.circuit.harness, facts, made);
    write_about(results, facts, made);
    return made;
}

}  // namespace loomward
