// Solar panels, judged by their ratings and by what is wired to them; no mode is solved for it.
//
// The voltage is that of the string with the highest one, as cold as it gets; the current is what the panels
// behind a conductor give together in bright sun (checker/circuit/panel_field).
#include <algorithm>
#include <utility>

#include "checker/parts/elements.hpp"
#include "checker/parts/panel_figures.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward::rules::panels {
namespace {

using namespace literals;

constexpr std::string_view no_solving =
    "by topology and ratings: no mode is solved for panels, and no short circuit of theirs is followed";

constexpr RuleInfo infos[] = {
    {"panel-voltage",
     "panels that put more on the panel input of a charger than it takes, or less than it begins at, or that "
     "lie there the wrong way round",
     "sum of open-circuit voltages in series x k_cold <= highest panel input; k_cold by the lowest ambient "
     "of the panel, 1.25 where none is stated; sum of open-circuit voltages at 25 degC >= lowest panel input",
     "NFPA 70 690.7(A) and its table (memory); rating of the part",
     "crystalline silicon; every contact closed; at its best power a panel has less than its open-circuit "
     "voltage, and less still in the heat: how much it then gives is not worked out",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..42 V }\n"
     "route V1.+ (W30 4 mm2, 2 m, red) G2.in+\n"
     "route V1.- (W31 4 mm2, 2 m, black) G2.in-",
     "splice X1"},
    {"panel-current",
     "a wire, contact, fuse or bar of the panel side that carries less than the panels behind it give, or a "
     "panel input that takes less",
     "1.25 x sum of short-circuit currents in parallel <= what it may carry or take; 1.25 x 1.25 x sum for "
     "wires, fuses and breakers",
     "NFPA 70 690.8(A)(1), 690.8(B), 690.9(B) (memory)",
     "by topology and ratings; of wires side by side or in a ring each is taken to carry all; what the other "
     "strings push back into a short in one is not held against its wires; ampacities are those at the "
     "hottest ambient, which is stricter than the 1.56 of the source asks for",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "route V1.+ (W30 0.5 mm2, 2 m, red) G2.in+\n"
     "route V1.- (W31 4 mm2, 2 m, black) G2.in-",
     "splice X1"},
    {"string-fuse",
     "panels in parallel that can push more back through one of them than its maximum series fuse, with no "
     "fuse that small in its string",
     "(n - 1) x Isc, or the fuse in the string, <= maximum-series-fuse; where that is not stated, Isc",
     "IEC 60364-7-712 (memory); IEC 61730 (maximum series fuse)", no_solving,
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A, maximum-series-fuse 15 A }\n"
     "panel V2 { open-circuit-voltage 40 V, short-circuit-current 9 A, maximum-series-fuse 15 A }\n"
     "panel V3 { open-circuit-voltage 40 V, short-circuit-current 9 A, maximum-series-fuse 15 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "route V1.+ (W30 6 mm2, 2 m, red) G2.in+\n"
     "route V1.- (W31 6 mm2, 2 m, black) G2.in-\n"
     "route V2.+ (W32 6 mm2, 2 m, red) G2.in+\n"
     "route V2.- (W33 6 mm2, 2 m, black) G2.in-\n"
     "route V3.+ (W34 6 mm2, 2 m, red) G2.in+\n"
     "route V3.- (W35 6 mm2, 2 m, black) G2.in-",
     "splice X1"},
    {"panel-on-pack", "panels that lie across a pack with nothing between that ends the charging",
     "no way over conductors and diodes from both poles of a panel to both poles of a pack",
     "common practice, no source",
     "resistors between are not followed; whatever the battery management would do at its limit",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A }\n"
     "route V1.+ (W30 4 mm2, 2 m, red) F1.out\n"
     "route V1.- (W31 4 mm2, 2 m, black) Q1.P-",
     "splice X1"},
};

class PanelJudge {
  public:
    PanelJudge(const RuleInput& input, Report& report)
        : input_(input), report_(report), field_(panel_field(input.circuit, input.facts)) {}

    void run() {
        if (field_.panels().empty()) return;
        const auto& edges = input_.circuit.edges;
        for (std::size_t i = 0; i < edges.size(); ++i) {
            if (edges[i].role == EdgeRole::panel_input)
                judge_input(EdgeId(i));
            else if (edges[i].role == EdgeRole::panel)
                judge_string(EdgeId(i));
            else if (edges[i].wire)
                judge_wire(EdgeId(i));
            else
                judge_device(EdgeId(i));
        }
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) judge_point(PartId(i));
        for (const PanelField::OnPack& each : field_.on_packs()) tell_on_pack(each);
    }

  private:
    std::string path(EdgeId panel) const {
        return std::string(input_.harness.part(input_.circuit.edge(panel).part).name);
    }
    double short_circuit_A(EdgeId panel) const {
        return input_.facts.quantity(input_.circuit.edge(panel).part, "short-circuit-current"_attr)
            .value_or(Quantity{})
            .hi;
    }
    void relate(Finding& finding, const std::vector<EdgeId>& panels) const {
        for (const EdgeId each : panels)
            finding.related.push_back(
                {input_.harness.part(input_.circuit.edge(each).part).where, "panel " + path(each)});
    }

    // ---- the input of a charger
    void judge_input(EdgeId id) {
        const Edge& edge = input_.circuit.edge(id);
        const PanelString string = field_.string_between(edge.to, edge.from);
        const auto takes = input_.facts.quantity(edge.part, "panel-input"_attr);
        if (takes && above(string.open_circuit_V, takes->hi)) tell_voltage(edge.part, string, takes->hi);
        if (takes) judge_start(edge.part, string, takes->lo);
        if (const PanelString crossed = field_.string_between(edge.from, edge.to); !crossed.panels.empty())
            tell_crossed(edge.part, crossed);
        const double current_A = bright_sun * field_.through_A(id);
        const auto most = input_.facts.quantity(edge.part, "panel-current"_attr);
        if (!most || !above(current_A, most->lo)) return;
        tell_current(
            finding_about(input_, "panel-current", Severity::error, edge.part),
            "panels give more than charger " + std::string(input_.harness.part(edge.part).name) + " takes",
            {current_A, most->lo, bright_sun}, "panel-current", "NFPA 70 690.8(A)(1) (memory)",
            "fewer panels in parallel, or a charger of their own for some of them");
    }

    void tell_voltage(PartId charger, const PanelString& string, double takes_V) {
        Finding finding = finding_about(input_, "panel-voltage", Severity::error, charger);
        finding.message =
            "panels put more on " + named(input_.harness, charger) + " than its panel input takes";
        finding.beside = volts(string.open_circuit_V) + "; takes " + volts(takes_V);
        std::string sum;
        for (const EdgeId each : string.panels) {
            const ColdVoltage cold = cold_voltage(input_.facts, input_.circuit.edge(each).part);
            sum += (sum.empty() ? "" : " + ") + volts(cold.open_circuit_V / cold.factor) + " x " +
                   to_text(cold.factor, Dimension::none) + " (" + path(each) + ", " + cold.why + ")";
        }
        finding.working = {volts(string.open_circuit_V) + " > " + volts(takes_V) + " (panel-input)",
                           volts(string.open_circuit_V) + " = " + sum};
        finding.figures = {{"voltage", string.open_circuit_V, Dimension::voltage},
                           {"limit", takes_V, Dimension::voltage}};
        finding.source = "NFPA 70 690.7(A) (memory)";
        finding.help = "fewer panels in series, or a charger whose panel input takes " +
                       volts(string.open_circuit_V) + " or more";
        relate(finding, string.panels);
        report_.add(std::move(finding));
    }

    // Open and at 25 degC, which is more than it ever has in a warm season or while it gives anything.
    void judge_start(PartId charger, const PanelString& string, double begins_V) {
        double open_V = 0;
        std::string sum;
        for (const EdgeId each : string.panels) {
            const auto one =
                input_.facts.quantity(input_.circuit.edge(each).part, "open-circuit-voltage"_attr);
            if (!one) return;
            open_V += one->lo;
            sum += (sum.empty() ? "" : " + ") + volts(one->lo) + " (" + path(each) + ")";
        }
        if (string.panels.empty() || !below(open_V, begins_V)) return;
        Finding finding = finding_about(input_, "panel-voltage", Severity::warning, charger);
        finding.message = "panels put less on " + named(input_.harness, charger) +
                          " than its panel input begins at, and nothing is charged";
        finding.beside = volts(open_V) + "; begins at " + volts(begins_V);
        finding.working = {volts(open_V) + " < " + volts(begins_V) + " (panel-input)",
                           volts(open_V) + " = " + sum + ", open circuit, at 25 degC"};
        finding.figures = {{"voltage", open_V, Dimension::voltage}, {"limit", begins_V, Dimension::voltage}};
        finding.source = "rating of the part";
        finding.help = "more panels in series, or a charger whose panel input begins below " + volts(open_V);
        relate(finding, string.panels);
        report_.add(std::move(finding));
    }

    void tell_crossed(PartId charger, const PanelString& string) {
        Finding finding = finding_about(input_, "panel-voltage", Severity::error, charger);
        finding.message =
            "panels lie the wrong way round on the panel input of " + named(input_.harness, charger);
        finding.beside = "in- is fed " + volts(string.open_circuit_V) + " above in+";
        finding.working = {"panel " + path(string.panels.front()) + " leads from in+ to in-"};
        finding.figures = {{"voltage", string.open_circuit_V, Dimension::voltage}};
        finding.source = "polarity of the parts";
        finding.help = "the plus of the panels on in+";
        relate(finding, string.panels);
        report_.add(std::move(finding));
    }

    // ---- what carries it
    struct Carried {
        double current_A = 0, may_A = 0, factor = 1;
    };
    void tell_current(Finding finding, std::string message, const Carried& carried, const std::string& limit,
                      std::string source, std::string help) {
        finding.message = std::move(message);
        finding.beside = amps(carried.current_A) + "; may be " + amps(carried.may_A);
        finding.working = {amps(carried.current_A) + " > " + amps(carried.may_A) + " (" + limit + ")",
                           amps(carried.current_A) + " = " + to_text(carried.factor, Dimension::none) +
                               " x " + amps(carried.current_A / carried.factor) +
                               " (short-circuit current of the panels behind it)"};
        finding.figures = {{"current", carried.current_A, Dimension::current},
                           {"limit", carried.may_A, Dimension::current}};
        finding.source = std::move(source);
        finding.help = std::move(help);
        report_.add(std::move(finding));
    }

    void judge_wire(EdgeId id) {
        const WireId wire = input_.circuit.edge(id).wire;
        const double current_A = bright_sun * hours_of_sun * field_.through_A(id);
        if (current_A <= 0 || !input_.harness.wire(wire).area.is_known()) return;
        const WireLoading& loading = input_.wires[wire.index()];
        const Ampacity may = standing_ampacity(input_.facts, wire, loading);
        if (!above(current_A, may.current_A)) return;
        const Wire& each = input_.harness.wire(wire);
        const std::string size =
            smallest_size(current_A / each.parallel, conductor_limit_degC(input_.facts, wire), each.aluminium,
                          loading.standing, each.awg);
        tell_current(finding_about(input_, "panel-current", Severity::error, wire),
                     named(input_.harness, wire) + " carries less than the panels behind it give",
                     {current_A, may.current_A, bright_sun * hours_of_sun}, may.working,
                     "NFPA 70 690.8(B) (memory); " + may.source,
                     size.empty() ? "" : size + " or larger would carry it here");
    }

    void judge_device(EdgeId id) {
        const Edge& edge = input_.circuit.edge(id);
        if (!edge.part || field_.through_A(id) <= 0) return;
        const bool device = is_protective(edge.role);
        const double factor = device ? bright_sun * hours_of_sun : bright_sun;
        const double current_A = factor * field_.through_A(id);
        const auto may =
            current_rating(input_.facts, edge, input_.facts.ambient(edge.part), Direction::either);
        if (!may || !above(current_A, may->may_A)) return;
        Finding finding = finding_about(input_, "panel-current", Severity::error, edge.part);
        if (edge.role == EdgeRole::contact)
            finding.subject = std::string(input_.harness.terminal(edge.from_terminal).path);
        tell_current(std::move(finding),
                     rated_thing(input_.harness, edge) + " carries less than the panels behind it give",
                     {current_A, may->may_A, factor}, may->name,
                     device ? "NFPA 70 690.9(B) (memory)" : "NFPA 70 690.8(A)(1) (memory); " + may->source,
                     "one that may carry " + amps(current_A) + " or more");
    }

    void judge_point(PartId part) {
        const std::optional<CurrentRating> may = point_rating(input_.facts, part);
        if (!may) return;
        const Slice& terminals = input_.harness.part(part).terminals;
        double arrives_A = 0;
        for (std::uint32_t i = 0; i < terminals.count; ++i)
            arrives_A =
                std::max(arrives_A, field_.arrives_A(input_.circuit.node(TerminalId(terminals.first + i))));
        const double current_A = bright_sun * arrives_A;
        if (!above(current_A, may->may_A)) return;
        tell_current(finding_about(input_, "panel-current", Severity::error, part),
                     named(input_.harness, part) + " carries less than the panels behind it give",
                     {current_A, may->may_A, bright_sun}, may->name, "NFPA 70 690.8(A)(1) (memory)",
                     "one that may carry " + amps(current_A) + " or more");
    }

    // ---- strings in parallel
    void judge_string(EdgeId id) {
        const PartId panel = input_.circuit.edge(id).part;
        const BackFeed back = field_.back_into(id);
        if (back.bare_A <= 0) return;
        const auto stated = input_.facts.quantity(panel, "maximum-series-fuse"_attr);
        const double stands_A = stated ? stated->lo : short_circuit_A(id);
        if (!above(back.bare_A, stands_A)) return;
        const bool guarded = below(back.guarded_A, back.bare_A);
        if (!above(back.guarded_A, stands_A)) return;
        // A fuse that is there may be just what the panel wants.
        const bool asks = !stated && guarded;
        Finding finding =
            finding_about(input_, "string-fuse", asks ? Severity::warning : Severity::error, panel);
        finding.message = "the other strings can push more back through " + named(input_.harness, panel) +
                          (stated ? " than its maximum series fuse" : " than it gives itself");
        finding.beside = amps(back.guarded_A) + "; stands " +
                         (stated ? amps(stands_A) : amps(stands_A) + ", nothing else is stated");
        finding.working = {amps(back.guarded_A) + " > " + amps(stands_A) +
                           (stated ? " (maximum-series-fuse)" : " (its own short-circuit current)")};
        std::string sum;
        for (const EdgeId each : back.fed_by)
            sum += (sum.empty() ? "" : " + ") + amps(short_circuit_A(each)) + " (" + path(each) + ")";
        if (!sum.empty()) finding.working.push_back(amps(back.bare_A) + " = " + sum);
        if (guarded)
            finding.working.push_back(amps(back.guarded_A) + " of that before the fuse in its string opens");
        finding.figures = {{"current", back.guarded_A, Dimension::current},
                           {"limit", stands_A, Dimension::current}};
        finding.source = "IEC 60364-7-712 (memory); IEC 61730";
        finding.help = stated ? "a fuse of " + amps(stands_A) + " or less in each string"
                       : asks ? "say what its label says: maximum-series-fuse"
                              : "a fuse in each string, no larger than its maximum series fuse";
        if (asks) finding.requirement = "have a maximum-series-fuse of " + amps(back.guarded_A) + " or more";
        relate(finding, back.fed_by);
        report_.add(std::move(finding));
    }

    void tell_on_pack(const PanelField::OnPack& found) {
        const PartId panel = input_.circuit.edge(found.panel).part;
        const PartId pack = input_.circuit.edge(found.section).part;
        Finding finding = finding_about(input_, "panel-on-pack", Severity::error, panel);
        finding.message = named(input_.harness, panel) + " lies across " + named(input_.harness, pack) +
                          " with no charger between";
        finding.beside = "nothing ends the charging";
        const ColdVoltage cold = cold_voltage(input_.facts, panel);
        finding.working = {"both poles of the panel lead to both poles of the pack over conductors alone",
                           "its open-circuit voltage is " + volts(cold.open_circuit_V) + ", " + cold.why};
        finding.figures = {{"voltage", cold.open_circuit_V, Dimension::voltage}};
        finding.source = "common practice, no source";
        finding.help = "a charger with a panel input between them";
        finding.related.push_back({input_.harness.part(pack).where, named(input_.harness, pack)});
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    PanelField field_;
};

void run(const RuleInput& input, Report& report) {
    PanelJudge(input, report).run();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::panels
