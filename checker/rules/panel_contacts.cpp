#include "checker/rules/panel_contacts.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/parts/arcs.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/panel_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

bool has_panels(const Circuit& circuit) {
    return std::any_of(circuit.edges.begin(), circuit.edges.end(),
                       [](const Edge& edge) { return edge.role == EdgeRole::panel; });
}

std::string contact_text(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(input.harness.terminal(edge.from_terminal).path);
    return named(input.harness, edge.part);
}

// What a contact may break, A; nullopt: nobody says. Below `no_arc_A` nothing has to be broken.
std::optional<double> may_break_A(const RuleInput& input, PartId part) {
    if (input.facts.word(part, "breaks"_attr) == "none") return no_arc_A;
    if (input.facts.is_unknown(part, "breaks"_attr)) return std::nullopt;
    const auto stated = input.facts.quantity(part, "breaks"_attr);
    return stated ? std::optional(std::max(stated->lo, no_arc_A)) : std::nullopt;
}

// ---- closing and opening --------------------------------------------------------------------------------

class PanelContacts {
  public:
    PanelContacts(const RuleInput& input, std::set<PartId>& said, Report& report)
        : input_(input),
          circuit_(input.circuit),
          said_(said),
          report_(report),
          field_(panel_field(input.circuit, input.facts)) {
        for (const Mode& mode : input.harness.modes)
            driven_.push_back(panel_loops(
                circuit_, [&](EdgeId id) { return is_closed(circuit_, mode, circuit_.edge(id)); }));
    }

    void look() {
        const std::vector<Mode>& modes = input_.harness.modes;
        // Where one mode follows another and opens it: links and plugs too.
        for (std::size_t m = 0; m < modes.size(); ++m)
            if (modes[m].after)
                each_contact([&](EdgeId id, const Edge& edge) {
                    if (driven_[modes[m].after.index()][id.index()] && !is_closed(circuit_, modes[m], edge))
                        judge_breaking(id, modes[m].after, ModeId(m));
                });
        for (std::size_t m = 0; m < modes.size(); ++m)
            each_contact([&](EdgeId id, const Edge& edge) {
                if (edge.role != EdgeRole::switching || !driven_[m][id.index()]) return;
                judge_making(id, ModeId(m));
                judge_breaking(id, ModeId(m), {});
            });
    }

  private:
    template <class Do>
    void each_contact(Do act) const {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (edge.role == EdgeRole::switching || edge.role == EdgeRole::contact) act(EdgeId(i), edge);
        }
    }
    double drives_A(EdgeId id) const { return bright_sun * field_.through_A(id); }
    std::string sum_text(EdgeId id) const {
        return amps(drives_A(id)) + " = " + to_text(bright_sun, Dimension::none) + " x " +
               amps(field_.through_A(id)) + " (short-circuit current of the panels behind it)";
    }

    void judge_breaking(EdgeId id, ModeId mode, ModeId next) {
        const Edge& edge = circuit_.edge(id);
        const std::optional<double> may_A = may_break_A(input_, edge.part);
        const bool none = input_.facts.word(edge.part, "breaks"_attr) == "none";
        if (!may_A || (none && !next) || !above(drives_A(id), *may_A) || said_.contains(edge.part)) return;
        said_.insert(edge.part);
        Finding finding =
            finding_about(input_, "breaking-current", next ? Severity::error : Severity::warning, edge.part);
        if (edge.role == EdgeRole::contact)
            finding.subject = std::string(input_.harness.terminal(edge.from_terminal).path);
        finding.message = contact_text(input_, edge) +
                          (next ? " opens more than it can break: panels give as long as it is light"
                                : " cannot break what the panels drive through it, as long as it is light");
        finding.beside = amps(drives_A(id)) + "; " + (none ? "breaks none" : "breaks " + amps(*may_A));
        finding.working = {amps(drives_A(id)) + " > " + amps(*may_A) +
                               (none ? " (below that no arc stands between silver contacts)" : " (breaks)"),
                           sum_text(id)};
        if (next)
            finding.working.push_back("mode " + std::string(input_.harness.modes[next.index()].name) +
                                      " follows and has it open");
        finding.figures = {{"current", drives_A(id), Dimension::current},
                           {"breaks", *may_A, Dimension::current}};
        finding.source = std::string("rating of the part; NFPA 70 690.8(A)(1) (memory)") +
                         (none ? "; contact theory (memory)" : "");
        finding.mode = mode;
        finding.help = none ? "a switch for direct current before it, that is opened first"
                            : "one that breaks " + amps(drives_A(id)) + " or more";
        report_.add(std::move(finding));
    }

    void judge_making(EdgeId id, ModeId mode) {
        const Edge& edge = circuit_.edge(id);
        const auto makes = input_.facts.quantity(edge.part, "makes"_attr);
        if (!makes || !above(drives_A(id), makes->lo) || !made_.insert(edge.part).second) return;
        Finding finding = finding_about(input_, "making-current", Severity::error, edge.part);
        finding.message = named(input_.harness, edge.part) + " closes onto more than it may: panels";
        finding.beside = amps(drives_A(id)) + "; makes " + amps(makes->lo);
        finding.working = {amps(drives_A(id)) + " > " + amps(makes->lo) + " (makes)", sum_text(id)};
        finding.figures = {{"current", drives_A(id), Dimension::current},
                           {"may", makes->lo, Dimension::current}};
        finding.source = "rating of the part; NFPA 70 690.8(A)(1) (memory)";
        finding.mode = mode;
        finding.help = "one that makes " + amps(drives_A(id)) + " or more";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    std::set<PartId>& said_;
    Report& report_;
    PanelField field_;
    std::vector<std::vector<bool>> driven_;  // by mode, by EdgeId
    std::set<PartId> made_;
};

}  // namespace

void judge_panel_contacts(const RuleInput& input, std::set<PartId>& said, Report& report) {
    if (has_panels(input.circuit)) PanelContacts(input, said, report).look();
}

// ---- nothing but plugs ----------------------------------------------------------------------------------

void judge_panel_isolation(const RuleInput& input, Report& report) {
    const Circuit& circuit = input.circuit;
    if (!has_panels(circuit)) return;
    const PanelField field = panel_field(circuit, input.facts);
    const auto breaks_it = [&](EdgeId id, double drives_A) {
        const Edge& edge = circuit.edge(id);
        if (edge.role == EdgeRole::breaker) return true;
        if (!opened_by_hand(edge.role)) return false;
        const std::optional<double> may_A = may_break_A(input, edge.part);
        // A switch that breaks too little is told of by breaking-current.
        return !may_A || *may_A > no_arc_A || !above(drives_A, *may_A);
    };
    std::set<PartId> told;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& fed = circuit.edges[i];
        const double drives_A = bright_sun * field.through_A(EdgeId(i));
        if (fed.role != EdgeRole::panel_input || !above(drives_A, no_arc_A)) continue;
        // With what may be opened under that current open, it is still fed; with everything open it is not.
        if (!panel_loops(circuit, [&](EdgeId id) { return !breaks_it(id, drives_A); })[i] ||
            panel_loops(circuit, [&](EdgeId id) { return !opened_by_hand(circuit.edge(id).role); })[i])
            continue;
        std::set<std::string> names;
        for (std::size_t k = 0; k < circuit.edges.size() && names.size() < 3; ++k) {
            const PartId part = circuit.edges[k].part;
            if (!opened_by_hand(circuit.edges[k].role) || field.through_A(EdgeId(k)) <= 0) continue;
            const std::vector<bool> without =
                panel_loops(circuit, [&](EdgeId id) { return circuit.edge(id).part != part; });
            if (!without[i]) names.insert(std::string(input.harness.part(part).name));
        }
        if (names.empty() || !told.insert(fed.part).second) continue;
        std::string list;
        for (const std::string& name : names) list += (list.empty() ? "" : ", ") + name;
        Finding finding = finding_about(input, "no-load-break", Severity::note, fed.part);
        finding.message = "only " + list + " cuts " + named(input.harness, fed.part) +
                          " off from its panels, and cannot break what they drive";
        finding.beside = "up to " + amps(drives_A) + " at " +
                         volts(field.string_between(fed.to, fed.from).open_circuit_V) +
                         ", as long as it is light";
        finding.working = {amps(drives_A) + " = " + to_text(bright_sun, Dimension::none) + " x " +
                           amps(drives_A / bright_sun) + " (short-circuit current of the panels)"};
        finding.figures = {{"current", drives_A, Dimension::current}};
        finding.source = "IEC 61984 (memory); NFPA 70 690.8(A)(1) (memory)";
        for (const std::string& name : names)
            if (const auto part = input.harness.find_part(name))
                finding.related.push_back(
                    {input.harness.part(*part).where, named(input.harness, *part) + " is here"});
        finding.help =
            "a switch for direct current that breaks " + amps(drives_A) + " or more, on the same way";
        report.add(std::move(finding));
    }
}

// ---- pins -----------------------------------------------------------------------------------------------

namespace {

// The pin of one half of a connector that panels hold highest, with the connector parted.
struct LivePin {
    double voltage_V = 0;
    TerminalId terminal;
    PartId panel;
    ModeId mode;
};

LivePin highest_pin(const RuleInput& input, PartId connector, ModeId mode,
                    const std::vector<double>& open_circuit_V) {
    const Circuit& circuit = input.circuit;
    const PanelStrings strings(circuit, open_circuit_V, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return edge.part != connector && is_closed(circuit, input.harness.modes[mode.index()], edge);
    });
    const bool mate = input.facts.word(connector, "half"_attr) == "socket";
    LivePin highest;
    for (const EdgeId id : circuit.edges_of_part[connector.index()]) {
        const Edge& edge = circuit.edge(id);
        const PanelString string = strings.up_to(mate ? edge.to : edge.from);
        if (string.panels.empty() || string.open_circuit_V <= highest.voltage_V) continue;
        highest = {string.open_circuit_V, mate ? edge.to_terminal : edge.from_terminal,
                   circuit.edge(string.panels.front()).part, mode};
    }
    return highest;
}

void tell_pin(const RuleInput& input, PartId connector, const LivePin& pin, bool parted, double limit_V,
              Report& report) {
    Finding finding =
        finding_about(input, "live-when-unmated", parted ? Severity::error : Severity::warning, connector);
    const std::string terminal(input.harness.terminal(pin.terminal).path);
    finding.message = "pins of " + named(input.harness, connector) + " stay live when it is parted";
    finding.beside =
        volts(pin.voltage_V) + " at " + terminal + " as long as it is light; bare up to " + volts(limit_V);
    finding.working = {terminal + " hangs on " + named(input.harness, pin.panel) +
                           " without this connector, " + (parted ? "and mode " : "if it is pulled in mode ") +
                           std::string(input.harness.modes[pin.mode.index()].name) +
                           (parted ? " has it unmated" : ""),
                       volts(pin.voltage_V) + " (open circuit, as cold as it gets) > " + volts(limit_V) +
                           " (policy live-when-unmated-above)"};
    finding.figures = {{"voltage", pin.voltage_V, Dimension::voltage}};
    finding.source = "ISO 6469-3, voltage class B (memory); common practice, no source";
    finding.mode = pin.mode;
    finding.related.push_back(
        {input.harness.part(pin.panel).where, named(input.harness, pin.panel) + " is here"});
    finding.help = "socket contacts on the half that faces the panels, pins on the other";
    report.add(std::move(finding));
}

}  // namespace

// Shrouded sockets are what panels are plugged with: those alone are no finding, whatever their voltage.
void judge_panel_plugs(const RuleInput& input, Report& report) {
    const Circuit& circuit = input.circuit;
    if (!has_panels(circuit)) return;
    std::vector<double> open_circuit_V(circuit.edges.size(), 0);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (circuit.edges[i].role == EdgeRole::panel)
            open_circuit_V[i] = cold_voltage(input.facts, circuit.edges[i].part).open_circuit_V;
    const double limit_V = input.facts.policy("live-when-unmated-above"_attr).lo;
    const std::vector<Mode>& modes = input.harness.modes;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const PartId connector(i);
        if (input.harness.part(connector).kind != Kind::connector) continue;
        if (const auto half = input.facts.word(connector, "half"_attr); half != "pin" && half != "socket")
            continue;
        const auto unmated = [&](const Mode& mode) { return mode.states[i].posture == Posture::unmated; };
        const bool ever = std::any_of(modes.begin(), modes.end(), unmated);
        LivePin highest;
        for (std::size_t m = 0; m < modes.size(); ++m) {
            if (unmated(modes[m]) != ever) continue;
            const LivePin now = highest_pin(input, connector, ModeId(m), open_circuit_V);
            if (now.voltage_V > highest.voltage_V) highest = now;
        }
        if (above(highest.voltage_V, limit_V)) tell_pin(input, connector, highest, ever, limit_V, report);
    }
}

}  // namespace loomward::rules
