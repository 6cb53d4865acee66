// What can be touched: contacts that stay live when a connector is parted, capacitors that stay charged when
// they are cut off.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/panel_contacts.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward::rules::unmated {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"live-when-unmated",
     "a half of a connector that stays on a pack when the connector is parted: its contacts are pins, which "
     "can be touched and shorted, or stand above the voltage of bare live contacts",
     "U_half <= live-when-unmated-above (60 V dc); what stays live has socket contacts; of panels, pins "
     "alone "
     "are held to that voltage, open circuit and as cold as it gets",
     "ISO 6469-3, voltage class B (memory); UN R100 5.1.1.3 (memory)",
     "modes that have it unmated; where none has, every mode, as if it were pulled there; chargers and "
     "converters are taken to stop",
     "mate P1, half pin, contacts 2", "mate P1, half socket, contacts 2"},
    {"charged-after-opening",
     "capacitors above the voltage of bare live contacts that do not fall below it soon after they are cut "
     "off",
     "t = R C ln(U / 60 V) <= 5 s, <= 1 s at the contacts of a parted connector; nothing from 0.2 J down",
     "ISO 6469-3 (memory): 60 V dc, 1 s, 0.2 J; 5 s Formula SAE and Formula Student EV (memory)",
     "from the highest voltage of any mode; only resistances count, loads may sleep, but the stated "
     "standby of a part drains the capacitors across it as far as it works; the limit is that of policy "
     "live-when-unmated-above",
     "splice X1\npolicy { live-when-unmated-above 30 V }", "splice X1"},
};

// The contacts of one half.
enum Half : bool { named_first = false, mate_half = true };
NodeId node_of(const Edge& contact, Half half) {
    return half == named_first ? contact.from : contact.to;
}
TerminalId terminal_of(const Edge& contact, Half half) {
    return half == named_first ? contact.from_terminal : contact.to_terminal;
}

bool has_pins(const RuleInput& input, PartId connector, Half half) {
    return input.facts.word(connector, "half"_attr) == (half == named_first ? "pin" : "socket");
}

// How the poles of packs reach each node in a mode: the step before it, through what conducts.
class Reach {
  public:
    Reach(const RuleInput& input, const Mode& mode, bool plus)
        : input_(input),
          reached_(loomward::reached(input.circuit, poles(input, plus), [&](EdgeId id, NodeId at) {
              const Edge& edge = input.circuit.edge(id);
              return (is_conductor(edge.role) || (edge.role == EdgeRole::diode && edge.from == at)) &&
                     is_closed(input.circuit, mode, edge);
          })) {
        find_feeds();
    }
    // Whether that end of a contact hangs on a pole without help of its own connector.
    bool feeds(EdgeId contact, Half half) const { return feeds_[2 * contact.index() + (half ? 1 : 0)]; }

  private:
    static std::vector<NodeId> poles(const RuleInput& input, bool plus) {
        std::vector<NodeId> nodes;
        for (const Edge& edge : input.circuit.edges)
            if (edge.role == EdgeRole::emf) nodes.push_back(plus ? edge.to : edge.from);
        return nodes;
    }
    // All ways from the poles in one walk down their tree, with the parts that the way so far has passed.
    void find_feeds() {
        const Circuit& circuit = input_.circuit;
        feeds_.assign(2 * circuit.edges.size(), false);
        std::vector<std::vector<NodeId>> onward(circuit.node_count());
        std::vector<std::pair<NodeId, bool>> walk;  // true: on the way back up
        for (std::size_t i = 0; i < circuit.node_count(); ++i) {
            if (!reached_[NodeId(i)]) continue;
            if (const EdgeId by = reached_.by[i])
                onward[other_end(circuit.edge(by), NodeId(i)).index()].emplace_back(i);
            else
                walk.emplace_back(NodeId(i), false);
        }
        std::vector<std::uint32_t> passed(input_.harness.parts.size(), 0);
        while (!walk.empty()) {
            const auto [node, leaves] = walk.back();
            walk.pop_back();
            const EdgeId by = reached_.by[node.index()];
            const PartId part = by ? circuit.edge(by).part : PartId();
            if (leaves) {
                if (part) --passed[part.index()];
                continue;
            }
            if (part) ++passed[part.index()];
            for (const Incidence& step : circuit.at(node)) {
                const Edge& edge = circuit.edge(step.edge);
                if (!edge.part || passed[edge.part.index()] > 0) continue;
                for (const Half half : {named_first, mate_half})
                    if (node_of(edge, half) == node) feeds_[2 * step.edge.index() + (half ? 1 : 0)] = true;
            }
            walk.emplace_back(node, true);
            for (const NodeId next : onward[node.index()]) walk.emplace_back(next, false);
        }
    }

    const RuleInput& input_;
    Reached reached_;
    std::vector<bool> feeds_;  // by contact, then by half
};

struct Live {
    double voltage_V = 0;
    EdgeId contact;
};
// The voltage that bare contacts of a half have between each other, or to the pack's minus where no contact
// of the half leads there.
std::optional<Live> live(const RuleInput& input, PartId connector, Half half, const Reach& plus,
                         const Reach& minus, const OperatingPoint& point) {
    std::optional<Live> found;
    double lowest_V = 0, highest_V = 0;
    bool back = false;
    for (const EdgeId id : input.circuit.edges_of_part[connector.index()]) {
        const double volts_V = point.node_V[node_of(input.circuit.edge(id), half).index()];
        if (minus.feeds(id, half)) {
            lowest_V = back ? std::min(lowest_V, volts_V) : volts_V;
            back = true;
        }
        if (plus.feeds(id, half) && (!found || volts_V > highest_V)) {
            highest_V = volts_V;
            found = Live{0, id};
        }
    }
    if (found) found->voltage_V = highest_V - lowest_V;
    return found && found->voltage_V > 1 ? found : std::nullopt;
}

void report_live(const RuleInput& input, PartId connector, Half half, const Live& what, ModeId mode,
                 bool parted, Report& report) {
    const double limit_V = input.facts.policy("live-when-unmated-above"_attr).lo;
    const bool above = what.voltage_V > limit_V * 1.0001, pins = has_pins(input, connector, half);
    if (!above && !pins) return;
    Finding finding = finding_about(input, "live-when-unmated",
                                    above && parted ? Severity::error : Severity::warning, connector);
    const std::string terminal(
        input.harness.terminal(terminal_of(input.circuit.edge(what.contact), half)).path);
    finding.message = std::string(pins ? "pins" : "contacts") + " of " + named(input.harness, connector) +
                      " stay live when it is parted";
    finding.beside = volts(what.voltage_V) + " at " + terminal +
                     (above ? "; bare up to " + volts(limit_V) : "; pins can be touched and shorted");
    finding.working = {
        terminal + " hangs on a pack without this connector, " +
        (parted ? "and mode " + std::string(input.harness.modes[mode.index()].name) + " has it unmated"
                : "if it is pulled in mode " + std::string(input.harness.modes[mode.index()].name))};
    if (above)
        finding.working.push_back(volts(what.voltage_V) + " > " + volts(limit_V) +
                                  " (policy live-when-unmated-above)");
    finding.figures = {{"voltage", what.voltage_V, Dimension::voltage}};
    finding.source = above ? "ISO 6469-3, voltage class B (memory); UN R100 5.1.1.3 (memory)"
                           : "common practice, no source";
    finding.mode = mode;
    finding.corner = Corner::run_full;
    finding.help = above ? "a contact before it that is open whenever it is parted"
                         : "socket contacts on the half that stays live, pins on the other";
    report.add(std::move(finding));
}

void judge_connectors(const RuleInput& input, Report& report) {
    std::vector<PartId> connectors;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (input.harness.parts[i].kind == Kind::connector) connectors.emplace_back(i);
    if (connectors.empty()) return;
    const auto unmated = [&](const Mode& mode, PartId part) {
        return mode.states[part.index()].posture == Posture::unmated;
    };
    struct Worst {
        Live what;
        ModeId mode;
    };
    std::map<std::pair<PartId, Half>, Worst> worst;
    std::vector<bool> ever(input.harness.parts.size(), false);
    for (const Mode& mode : input.harness.modes)
        for (const PartId part : connectors) ever[part.index()] = ever[part.index()] || unmated(mode, part);
    ModeId done;
    for (const OperatingPoint& point : input.points) {
        if (point.corner != Corner::run_full || !point.usable() || point.mode == done) continue;
        done = point.mode;
        const Mode& mode = input.harness.modes[point.mode.index()];
        const Reach plus(input, mode, true), minus(input, mode, false);
        for (const PartId part : connectors) {
            if (ever[part.index()] != unmated(mode, part)) continue;
            for (const Half half : {named_first, mate_half}) {
                const std::optional<Live> now = live(input, part, half, plus, minus, point);
                if (!now) continue;
                const auto [known, fresh] = worst.try_emplace({part, half}, Worst{*now, point.mode});
                if (!fresh && now->voltage_V > known->second.what.voltage_V * 1.001)
                    known->second = {*now, point.mode};
            }
        }
    }
    for (const auto& [where, found] : worst)
        report_live(input, where.first, where.second, found.what, found.mode, ever[where.first.index()],
                    report);
}

// A connector that a mode has unmated and that a capacitor can be touched at.
std::optional<PartId> touched_at(const RuleInput& input, const Discharge& discharge) {
    const Mode& mode = input.harness.modes[discharge.mode.index()];
    DisjointSets joined = pieces(input.circuit, [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        return is_conductor(edge.role) && is_closed(input.circuit, mode, edge);
    });
    const std::size_t piece = joined.find(input.circuit.edge(discharge.edge).from.index());
    for (const Edge& edge : input.circuit.edges)
        if (edge.role == EdgeRole::contact && !is_closed(input.circuit, mode, edge) &&
            (joined.find(edge.from.index()) == piece || joined.find(edge.to.index()) == piece))
            return edge.part;
    return std::nullopt;
}

// How long the stated standby currents of the parts that lie across the same two conductors in its mode take
// to drain all capacitors there to a voltage at which they still work, s; infinity where they do not.
double own_drain_s(const RuleInput& input, const Discharge& each, double limit_V) {
    const Mode& mode = input.harness.modes[each.mode.index()];
    DisjointSets joined = pieces(input.circuit, [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        return is_conductor(edge.role) && is_closed(input.circuit, mode, edge);
    });
    const auto across = [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        return std::pair(joined.find(edge.from.index()), joined.find(edge.to.index()));
    };
    double capacitance_F = 0, drain_A = 0;
    std::set<PartId> drained_by;
    for (const Discharge& other : input.transients.discharges) {
        if (other.mode != each.mode || across(other.edge) != across(each.edge)) continue;
        capacitance_F += other.capacitance_F;
        const PartId part = input.circuit.edge(other.edge).part;
        const auto standby = input.facts.quantity(part, "standby"_attr);
        const auto works = input.facts.quantity(part, "input"_attr);
        const bool drains = standby && works && standby->dimension == Dimension::current && standby->lo > 0 &&
                            works->hi > works->lo && works->lo <= limit_V;
        if (drains && drained_by.insert(part).second) drain_A += standby->lo;
    }
    return drain_A > 0 ? capacitance_F * (each.from_V - limit_V) / drain_A
                       : std::numeric_limits<double>::infinity();
}

void judge_charged(const RuleInput& input, Report& report) {
    constexpr double harmless_J = 0.2, plug_s = 1, otherwise_s = 5;
    const double limit_V = input.facts.policy("live-when-unmated-above"_attr).lo;
    struct Worst {
        const Discharge* discharge = nullptr;
        std::optional<PartId> plug;
    };
    std::map<EdgeId, Worst> worst;
    for (const Discharge& each : input.transients.discharges) {
        if (each.capacitance_F * each.from_V * each.from_V / 2 < harmless_J || each.needed_s <= plug_s)
            continue;
        const std::optional<PartId> plug = touched_at(input, each);
        if (!plug && std::min(each.needed_s, own_drain_s(input, each, limit_V)) <= otherwise_s) continue;
        Worst& known = worst[each.edge];
        const bool more =
            !known.discharge || (plug && !known.plug) ||
            (plug.has_value() == known.plug.has_value() && each.needed_s > known.discharge->needed_s);
        if (more) known = {&each, plug};
    }
    for (const auto& [id, found] : worst) {
        const Discharge& each = *found.discharge;
        const PartId part = input.circuit.edge(id).part;
        const double allowed_s = found.plug ? plug_s : otherwise_s;
        const bool never = !std::isfinite(each.needed_s);
        const double joule = each.capacitance_F * each.from_V * each.from_V / 2;
        Finding finding = finding_about(input, "charged-after-opening",
                                        found.plug ? Severity::error : Severity::warning, part);
        finding.message =
            "the capacitors of " + named(input.harness, part) + " stay charged when they are cut off";
        finding.beside = volts(each.after_5s_V) + " after 5 s; " +
                         (never ? "nothing drains them"
                                : to_text(each.needed_s, Dimension::time) + " to " + volts(limit_V));
        finding.working = {to_text(each.capacitance_F, Dimension::capacitance) + " at " + volts(each.from_V) +
                               ", " + to_text(joule, Dimension::energy) + ", cut off in mode " +
                               std::string(input.harness.modes[each.mode.index()].name),
                           volts(each.after_1s_V) + " after 1 s, " + volts(each.after_5s_V) +
                               " after 5 s; below " + volts(limit_V) + " within " +
                               to_text(allowed_s, Dimension::time) + " is wanted" +
                               (found.plug ? " at " + named(input.harness, *found.plug) : "")};
        finding.figures = {{"voltage after 5 s", each.after_5s_V, Dimension::voltage}};
        if (!never) finding.figures.push_back({"needed", each.needed_s, Dimension::time});
        finding.source = "ISO 6469-3 (memory); 5 s Formula SAE and Formula Student EV (memory)";
        finding.mode = each.mode;
        finding.corner = Corner::run_full;
        const double bleed = bleed_resistance_ohm(each.capacitance_F, each.from_V, limit_V, allowed_s);
        finding.help =
            never ? "a bleed of " + to_text(bleed, Dimension::resistance) + " or less across them (" +
                        to_text(each.from_V * each.from_V / bleed, Dimension::power) +
                        "), or a contact that puts one there"
                  : "a bleed of " + to_text(100 * allowed_s / each.needed_s, Dimension::percentage) +
                        " of the resistance, or less";
        report.add(std::move(finding));
    }
}

void run(const RuleInput& input, Report& report) {
    judge_connectors(input, report);
    judge_panel_plugs(input, report);
    judge_charged(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::unmated
