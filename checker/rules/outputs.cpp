// Outputs that are wired together, and outputs that are wired to their own ground.
//
// What hangs together over conductors is one point: two outputs whose plus and whose minus meet feed each
// other. Converters and chargers that meet at a pack are left alone, the pack takes what both give; a diode
// in each parts them. Asked for what every mode closes; what only a hand could close is a note.
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/packs_in_series.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/other_ways.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::outputs {
namespace {

using namespace literals;

constexpr std::size_t most_paired = 64;  // of outputs on one rail

constexpr RuleInfo infos[] = {
    {"joined-outputs",
     "two outputs of different devices that are joined: one feeds the other one when that is off, and they "
     "fight when both are on",
     "no two outputs whose plus and minus hang together over conductors", "common practice, no source",
     "an error where their voltages differ by more than 5 %, a warning where a mode joins equal ones, or "
     "where "
     "a selector at another position than the mode's or a relay the other way joins unlike ones, a note "
     "where "
     "only a hand could otherwise; converters and chargers at a pack are left out, but for unlike ones that "
     "a "
     "mode has give with that pack parted from them, which are warned of; two pins of one device at one "
     "voltage are taken for one output",
     "splice X1\ndevice A1 { pin in supply 10 mA, pin 5v output 5 V 50 mA, pin gnd return }\n"
     "device A2 { pin in supply 10 mA, pin 5v output 5 V 50 mA, pin gnd return }\n"
     "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute X1 (W31 1 mm2, 0.1 m) A2.in\n"
     "route A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\nroute A2.gnd (W33 1 mm2, 0.1 m) Q1.P-\n"
     "route A1.5v (W34 1 mm2, 0.1 m) A2.5v",
     "splice X1"},
    {"shorted-output",
     "the output of a device that conductors lead straight to its own ground, or a driver pin that they lead "
     "to "
     "the pole it would have to stand off",
     "U(output) - U(ground) > 0 with nothing but conductors between", "Kirchhoff's laws",
     "judged with the contacts as each mode has them, and with all that is not switched",
     "splice X1\ndevice A1 { pin in supply 10 mA, pin 5v output 5 V 50 mA, pin gnd return }\n"
     "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute A1.gnd (W31 1 mm2, 0.1 m) Q1.P-\n"
     "route A1.5v (W32 1 mm2, 0.1 m) A1.gnd",
     "splice X1"},
};

bool gives(EdgeRole role) {
    return role == EdgeRole::charger || role == EdgeRole::converter_output || role == EdgeRole::output_pin;
}

// The voltage an output gives, V; nullopt where nobody says, which is `unknown` where that was said.
struct OutputVoltage {
    std::optional<double> gives_V;
    bool unknown = false;
};
OutputVoltage output_voltage(const RuleInput& input, const Edge& edge) {
    if (edge.role != EdgeRole::output_pin) {
        const Attr output = output_attribute(input.harness, edge.part);
        const auto stated = input.facts.quantity(edge.part, output);
        if (stated) return {stated->hi, false};
        return {std::nullopt, input.facts.is_unknown(edge.part, output)};
    }
    const Value& volts = input.harness.voltage_of(pin_of(input.harness, edge));
    if (!volts.present()) return {};
    if (volts.known == Knowledge::unknown) return {std::nullopt, true};
    return {volts.hi, false};
}

// What hangs together: as a mode closes it, with only what is never switched, with one selector or relay
// otherwise than a mode has it, or with everything closed.
enum class Closed { by_mode, never_switched, other_way, all };

struct Look {
    Closed closed{};
    ModeId mode;
    std::string touched;  // of other_way: "selector S2 at mid"

    // A mode, or nothing at all, makes it so.
    bool as_stated() const { return closed == Closed::by_mode || closed == Closed::never_switched; }
    Severity severity(bool grave) const {
        if (closed == Closed::all) return Severity::note;
        if (closed == Closed::other_way) return grave ? Severity::warning : Severity::note;
        return grave ? Severity::error : Severity::warning;
    }
    // "are joined", "can be joined by hand", "are joined with selector S2 at mid"
    std::string joined(const char* verb) const {
        if (closed == Closed::all) return " can be joined by hand";
        return " " + std::string(verb) + " joined" + (touched.empty() ? "" : " with " + touched);
    }
    ModeId told_mode() const {
        return closed == Closed::by_mode || closed == Closed::other_way ? mode : ModeId();
    }
};

DisjointSets pieces_of(const RuleInput& input, Closed closed, ModeId mode) {
    DisjointSets sets(input.circuit.node_count());
    for (const Edge& edge : input.circuit.edges) {
        if (!is_conductor(edge.role)) continue;
        const bool passes = closed == Closed::all ||
                            (closed == Closed::never_switched
                                 ? edge.role != EdgeRole::switching
                                 : is_closed(input.circuit, input.harness.modes[mode.index()], edge));
        if (passes) sets.join(edge.from.index(), edge.to.index());
    }
    return sets;
}

class Outputs {
  public:
    Outputs(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report), packs_(input.circuit) {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const EdgeRole role = circuit_.edges[i].role;
            if (gives(role)) outputs_.emplace_back(i);
            if (role == EdgeRole::low_side || role == EdgeRole::high_side) drivers_.emplace_back(i);
        }
    }

    void look() {
        if (outputs_.empty() && drivers_.empty()) return;
        find_charging();
        look_at({Closed::never_switched, {}, {}});
        for (std::size_t i = 0; i < input_.harness.modes.size(); ++i)
            look_at({Closed::by_mode, ModeId(i), {}});
        const std::vector<PartId> parts = parts_with_other_ways(input_);
        for (std::size_t i = 0; i < input_.harness.modes.size(); ++i)
            for (const PartId part : parts) look_at_other_ways(part, ModeId(i));
        look_at({Closed::all, {}, {}});
    }

  private:
    // Outputs that lie on a pack with everything closed: what fills the same pack may meet on the way to it.
    void find_charging() {
        DisjointSets sets = pieces_of(input_, Closed::all, {});
        PacksOver over = packs_.over(sets);
        const auto on_a_pack = [&](const Edge& edge) {
            // All contacts closed at once may be a short: then whatever hangs on it with a pack counts.
            if (!sets.same(edge.from.index(), edge.to.index()))
                return !over.between(edge.to, edge.from).empty();
            return std::any_of(circuit_.edges.begin(), circuit_.edges.end(), [&](const Edge& pack) {
                return pack.role == EdgeRole::emf && sets.same(pack.from.index(), edge.from.index());
            });
        };
        for (const EdgeId id : outputs_)
            if (const Edge& edge = circuit_.edge(id); edge.role != EdgeRole::output_pin && on_a_pack(edge))
                charging_.insert(id);
    }

    void look_at(const Look& look) {
        DisjointSets sets = pieces_of(input_, look.closed, look.mode);
        look_in(sets, look);
    }

    void look_at_other_ways(PartId part, ModeId mode) {
        const Mode& stated = input_.harness.modes[mode.index()];
        for (const State& other : other_ways(input_, part, stated.states[part.index()])) {
            Mode changed = stated;
            changed.states[part.index()] = other;
            DisjointSets sets = closed_in(input_, changed);
            look_in(sets, {Closed::other_way, mode, other_way_text(input_, part, other)});
        }
    }

    void look_in(DisjointSets& sets, const Look& look) {
        const auto piece = [&](NodeId node) { return sets.find(node.index()); };
        if (look.as_stated()) {
            for (const EdgeId id : outputs_) judge_short(id, sets, look);
            for (const EdgeId id : drivers_) judge_driver(id, sets, look);
        }
        using Poles = std::pair<std::size_t, std::size_t>;
        std::map<Poles, std::vector<EdgeId>> by_poles;
        for (const EdgeId id : outputs_) {
            const Edge& edge = circuit_.edge(id);
            if (piece(edge.from) != piece(edge.to))
                by_poles[{piece(edge.to), piece(edge.from)}].push_back(id);
        }
        PacksOver over = packs_.over(sets);
        for (const auto& [poles, together] : by_poles) {
            const Edge& first = circuit_.edge(together.front());
            const std::vector<EdgeId> packs = over.between(first.to, first.from);
            // Each against the first, and those that differ against each other.
            for (std::size_t i = 0; i < std::min(together.size(), most_paired); ++i)
                for (std::size_t k = i + 1; k < together.size(); ++k)
                    if (i == 0 || differ(together[i], together[k]))
                        judge_pair(together[i], together[k], !packs.empty(), look);
            if (!packs.empty())
                for (const EdgeId id : together) judge_at_pack(id, packs, look);
        }
    }

    // Of packs in series, empty and full; nullopt: of one it is not known.
    std::optional<Quantity> string_voltage(const std::vector<EdgeId>& packs) const {
        Quantity sum{0, 0, Dimension::voltage};
        for (const EdgeId id : packs) {
            const auto empty = pack_section(circuit_, input_.facts, circuit_.edge(id), Corner::run_hot);
            const auto full = pack_section(circuit_, input_.facts, circuit_.edge(id), Corner::run_full);
            if (!empty || !full) return std::nullopt;
            sum.lo += empty->voltage_V;
            sum.hi += full->voltage_V;
        }
        return sum;
    }
    // An output that a pack stands above is driven backwards by it.
    void judge_at_pack(EdgeId id, const std::vector<EdgeId>& packs, const Look& look) {
        const Edge& edge = circuit_.edge(id);
        const auto [gives_V, unknown] = output_voltage(input_, edge);
        const auto pack_V = string_voltage(packs);
        const PartId pack = circuit_.edge(packs.front()).part;
        const bool pin = edge.role == EdgeRole::output_pin;
        if (!pack_V || (!gives_V && !unknown && !pin)) return;
        // A charger has to stand the voltage of the pack that it fills, a pin not even that of a full one,
        // nor a converter that passes a current backwards.
        const bool passes = edge.role == EdgeRole::converter_output &&
                            input_.facts.word(edge.part, "reverse"_attr) == "passes";
        const double stands_V = pin || passes ? pack_V->hi : pack_V->lo;
        const bool too_high = unknown || (gives_V && above(stands_V, 1.05 * *gives_V));
        if (!too_high && !pin) return;
        if (!at_pack_.insert(id).second) return;
        const std::string path(input_.harness.terminal(edge.to_terminal).path);
        Finding finding = finding_about(input_, "joined-outputs", look.severity(too_high), edge.part);
        finding.message = "the output " + path + look.joined("is") + " to " + named(input_.harness, pack);
        finding.beside = unknown ? "the pack drives a current backwards into it, if it gives less"
                                 : "the pack drives a current backwards into it";
        finding.possible = unknown;
        finding.working = {path + " gives " + (gives_V ? volts(*gives_V) : "an unknown voltage") + "; " +
                           std::string(input_.harness.part(pack).name) + " stands at " + to_text(*pack_V)};
        if (too_high && gives_V) finding.working.push_back(volts(stands_V) + " > 1.05 x " + volts(*gives_V));
        finding.source = "common practice, no source";
        finding.mode = look.told_mode();
        finding.related.push_back(
            {input_.harness.part(pack).where, named(input_.harness, pack) + " is here"});
        finding.help = "part the two, or a diode in the plus of the output";
        report_.add(std::move(finding));
    }

    bool gives_in(const Edge& output, ModeId id) const {
        const Mode& mode = input_.harness.modes[id.index()];
        return output.role == EdgeRole::charger ? delivers(mode, output.part)
                                                : mode.states[output.part.index()].posture != Posture::off;
    }
    // By more than makes of one voltage do.
    bool differ(EdgeId a, EdgeId b) const {
        const auto [one_V, one_unknown] = output_voltage(input_, circuit_.edge(a));
        const auto [other_V, other_unknown] = output_voltage(input_, circuit_.edge(b));
        return one_unknown || other_unknown ||
               (one_V && other_V && above(std::max(*one_V, *other_V), 1.05 * std::min(*one_V, *other_V)));
    }
    void judge_pair(EdgeId a, EdgeId b, bool at_a_pack, const Look& look) {
        const Edge &one = circuit_.edge(a), &other = circuit_.edge(b);
        const bool pins = one.role == EdgeRole::output_pin || other.role == EdgeRole::output_pin;
        const bool fills = charging_.contains(a) && charging_.contains(b);
        if (at_a_pack && !pins) return;
        const auto [one_V, one_unknown] = output_voltage(input_, one);
        const auto [other_V, other_unknown] = output_voltage(input_, other);
        const bool differ = this->differ(a, b);
        if (one.part == other.part && !differ) return;
        // What fills one pack fights where a mode has both give and that pack parted from them.
        const bool fight = differ && look.closed == Closed::by_mode && gives_in(one, look.mode) &&
                           gives_in(other, look.mode);
        if (fills && !pins && !fight) return;
        if (!told_.insert(std::minmax(a, b)).second) return;
        Finding finding = finding_about(input_, "joined-outputs",
                                        fills && !pins ? Severity::warning : look.severity(differ), one.part);
        const auto path = [&](const Edge& edge) {
            return std::string(input_.harness.terminal(edge.to_terminal).path);
        };
        finding.message = "the outputs " + path(one) + " and " + path(other) + look.joined("are");
        finding.possible = one_unknown || other_unknown;
        finding.beside = differ ? "the higher one drives a current backwards into the other one"
                                : "one feeds the other one when that is off, and they fight when both are on";
        const auto text = [](const std::optional<double>& value) {
            return value ? volts(*value) : std::string("of unknown voltage");
        };
        finding.working = {path(one) + " " + text(one_V) + ", " + path(other) + " " + text(other_V) +
                           ": plus and minus of both hang together over conductors alone"};
        if (differ && one_V && other_V)
            finding.working.push_back(volts(std::max(*one_V, *other_V)) + " > 1.05 x " +
                                      volts(std::min(*one_V, *other_V)));
        finding.source = "common practice, no source";
        finding.mode = look.told_mode();
        finding.related.push_back(
            {input_.harness.part(other.part).where, named(input_.harness, other.part) + " is here"});
        finding.help = "take one of them out, or a diode in the plus of each";
        report_.add(std::move(finding));
    }

    void judge_short(EdgeId id, DisjointSets& sets, const Look& look) {
        const Edge& edge = circuit_.edge(id);
        // Of the larger sources `dead-short` tells in the modes.
        if (look.closed == Closed::by_mode && edge.role != EdgeRole::output_pin) return;
        if (!sets.same(edge.from.index(), edge.to.index()) || edge.from == edge.to) return;
        if (!shorted_.insert(id).second) return;
        tell_short(edge, edge.to_terminal, edge.from_terminal, "its output is shorted as soon as it works",
                   look);
    }

    // A driver that is on joins its pin to one pole of its part: the other one must not hang on it.
    void judge_driver(EdgeId id, DisjointSets& sets, const Look& look) {
        const Edge& driver = circuit_.edge(id);
        const bool low = driver.role == EdgeRole::low_side;
        const std::size_t pin = sets.find((low ? driver.from : driver.to).index());
        for (const EdgeId each : circuit_.edges_of_part[driver.part.index()]) {
            const Edge& supply = circuit_.edge(each);
            if (supply.role != EdgeRole::controller && supply.role != EdgeRole::converter_input &&
                supply.role != EdgeRole::supply_pin)
                continue;
            const NodeId pole = low ? supply.from : supply.to;
            const NodeId own = low ? driver.to : driver.from;
            if (sets.find(pole.index()) != pin || sets.find(own.index()) == pin) continue;
            if (!shorted_.insert(id).second) return;
            return tell_short(driver, low ? driver.from_terminal : driver.to_terminal,
                              low ? supply.from_terminal : supply.to_terminal,
                              "the driver shorts the source as soon as it is on", look);
        }
    }

    void tell_short(const Edge& edge, TerminalId pin, TerminalId ground, const char* what, const Look& look) {
        Finding finding = finding_about(input_, "shorted-output", Severity::error, edge.part);
        const auto path = [&](TerminalId terminal) {
            return std::string(input_.harness.terminal(terminal).path);
        };
        finding.message = path(pin) + " is wired straight to " + path(ground);
        finding.beside = what;
        finding.working = {"from " + path(pin) + " to " + path(ground) + " lie conductors alone"};
        finding.source = "Kirchhoff's laws";
        finding.mode = look.told_mode();
        finding.help = "part the two, or wire what is to be fed between them";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    PacksInSeries packs_;
    std::vector<EdgeId> outputs_, drivers_;
    std::set<std::pair<EdgeId, EdgeId>> told_;
    std::set<EdgeId> shorted_, at_pack_, charging_;
};

void run(const RuleInput& input, Report& report) {
    Outputs(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::outputs
