// Solar panels that hold each other down, and leads that eat what they give: nothing burns, and the charger
// gives less than its owner has paid for. Judged by ratings and topology, no mode is solved for it.
#include <algorithm>
#include <map>

#include "checker/circuit/panel_strings.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/panel_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::panel_matching {
namespace {

using namespace literals;

// Panels of one kind differ by a few percent among themselves: common practice, no source.
constexpr double alike = 0.9;
// Below this share of the others a panel costs more of the power than it gives: no source.
constexpr double far_from_alike = 0.75;
// At its best power a cell of crystalline silicon has about these shares of its open-circuit voltage and of
// its short-circuit current (memory).
constexpr double best_voltage = 0.82, best_current = 0.93;
// More than this share of the power lost on the way is told: common practice, no source.
constexpr double bearable_loss = 0.05;

constexpr RuleInfo infos[] = {
    {"unlike-panels",
     "panels side by side whose strings differ in voltage, or one behind the other whose currents differ: "
     "the "
     "lower one rules",
     "open-circuit voltages between the same two points, and short-circuit currents into and out of one "
     "point, "
     "within 10 %",
     "common practice, no source",
     "a note, from a quarter on a warning; by ratings, all in full sun; a point between panels that "
     "something else is wired to is left "
     "out",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A }\n"
     "panel V2 { open-circuit-voltage 22 V, short-circuit-current 9 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "route V1.+ (W30 6 mm2, 2 m, red) G2.in+\n"
     "route V1.- (W31 6 mm2, 2 m, black) G2.in-\n"
     "route V2.+ (W32 6 mm2, 2 m, red) G2.in+\n"
     "route V2.- (W33 6 mm2, 2 m, black) G2.in-",
     "splice X1"},
    {"shared-panels", "panels that lie on the panel inputs of two chargers at once: both seek the best power",
     "one panel input between two points that panels feed", "common practice, no source",
     "a note; chargers that are made to share panels say so in their papers",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "charger G3 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "route V1.+ (W30 6 mm2, 2 m, red) G2.in+ (W32 6 mm2, 1 m, red) G3.in+\n"
     "route V1.- (W31 6 mm2, 2 m, black) G2.in- (W33 6 mm2, 1 m, black) G3.in-",
     "splice X1"},
    {"panel-loss", "leads between panels and their charger that turn much of their power into heat",
     "sum of (0.93 x I_sc)^2 x R of the conductors <= 5 % of sum of 0.82 x U_oc x 0.93 x I_sc of the panels",
     "formula of the loss: Joule; shares at best power of crystalline silicon (memory); 5 %: no source",
     "a note; full sun, conductors at the rated temperature of their insulation at most",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 40 V, short-circuit-current 9 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "route V1.+ (W30 2.5 mm2, 30 m, red) G2.in+\n"
     "route V1.- (W31 2.5 mm2, 30 m, black) G2.in-",
     "splice X1"},
};

class PanelMatching {
  public:
    PanelMatching(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report) {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            if (circuit_.edges[i].role == EdgeRole::panel) panels_.emplace_back(i);
            if (circuit_.edges[i].role == EdgeRole::panel_input) inputs_.emplace_back(i);
        }
        DisjointSets led = pieces(circuit_, [&](EdgeId id) { return is_conductor(circuit_.edge(id).role); });
        for (std::size_t i = 0; i < circuit_.node_count(); ++i) zone_.push_back(led.find(i));
    }

    void run() {
        if (panels_.empty()) return;
        judge_side_by_side();
        judge_in_line();
        judge_sharing();
        for (const EdgeId each : inputs_) judge_loss(each);
    }

  private:
    using Zone = std::size_t;

    Zone zone(NodeId node) const { return zone_[node.index()]; }
    PartId part(EdgeId edge) const { return circuit_.edge(edge).part; }
    std::string name(EdgeId edge) const { return std::string(input_.harness.part(part(edge)).name); }
    double open_V(EdgeId panel) const { return figure(panel, "open-circuit-voltage"_attr); }
    double short_A(EdgeId panel) const { return figure(panel, "short-circuit-current"_attr); }
    double figure(EdgeId panel, Attr attribute) const {
        return input_.facts.quantity(part(panel), attribute).value_or(Quantity{}).lo;
    }

    // A chain of panels, from minus to plus.
    struct Chain {
        double open_V = 0;
        std::vector<EdgeId> panels;
    };
    static std::string sum_of(const std::vector<std::string>& names) {
        std::string sum;
        for (const std::string& each : names) sum += (sum.empty() ? "" : " + ") + each;
        return sum;
    }
    std::string names_of(const std::vector<EdgeId>& panels) const {
        std::vector<std::string> names;
        for (const EdgeId each : panels) names.push_back(name(each));
        return sum_of(names);
    }

    // Chains that begin where no panel ends, the lowest and the highest to every point between panels; what
    // lies higher by a panel of unknown voltage is not compared.
    void judge_side_by_side() {
        std::map<std::pair<Zone, Zone>, std::pair<Chain, Chain>> chains;  // lowest, highest
        for (const EdgeId panel : panels_) {
            const Zone from = zone(circuit_.edge(panel).from), to = zone(circuit_.edge(panel).to);
            if (open_V(panel) <= 0) return;
            take(chains, {from, to}, {open_V(panel), {panel}});
        }
        for (std::size_t pass = 1; pass < panels_.size(); ++pass)
            for (const EdgeId panel : panels_) {
                const Zone from = zone(circuit_.edge(panel).from), to = zone(circuit_.edge(panel).to);
                const auto before = chains;
                for (const auto& [ends, both] : before) {
                    if (ends.second != from || ends.first == to) continue;
                    for (Chain chain : {both.first, both.second}) {
                        if (chain.panels.size() >= panels_.size()) continue;
                        if (std::count(chain.panels.begin(), chain.panels.end(), panel) > 0) continue;
                        chain.open_V += open_V(panel);
                        chain.panels.push_back(panel);
                        take(chains, {ends.first, to}, chain);
                    }
                }
            }
        std::map<EdgeId, bool> told;
        for (const auto& [ends, both] : chains) {
            const auto& [lowest, highest] = both;
            if (!below(lowest.open_V, alike * highest.open_V)) continue;
            if (told[lowest.panels.front()]) continue;
            for (const Chain* each : {&lowest, &highest})
                for (const EdgeId panel : each->panels) told[panel] = true;
            Finding finding = about(lowest.panels.front(), lowest.open_V / highest.open_V);
            finding.message = named(input_.harness, part(lowest.panels.front())) +
                              " lies beside panels of another voltage, and holds them down";
            finding.beside = volts(lowest.open_V) + " beside " + volts(highest.open_V);
            finding.working = {
                volts(lowest.open_V) + " (" + names_of(lowest.panels) + ") < 90 % of " +
                    volts(highest.open_V) + " (" + names_of(highest.panels) + "), open circuit",
                "with nothing drawn the higher one drives a current backwards through the lower"};
            finding.figures = {{"voltage", lowest.open_V, Dimension::voltage},
                               {"other", highest.open_V, Dimension::voltage}};
            finding.help = "panels of one voltage side by side, or a charger of its own for each";
            relate(finding, highest.panels);
            report_.add(std::move(finding));
        }
    }
    static void take(std::map<std::pair<Zone, Zone>, std::pair<Chain, Chain>>& chains,
                     const std::pair<Zone, Zone>& ends, const Chain& chain) {
        const auto [at, fresh] = chains.try_emplace(ends, chain, chain);
        if (fresh) return;
        if (chain.open_V < at->second.first.open_V) at->second.first = chain;
        if (chain.open_V > at->second.second.open_V) at->second.second = chain;
    }

    // What flows into a point out of panels has to flow out of it through panels, where nothing else is
    // there.
    void judge_in_line() {
        struct Point {
            std::vector<EdgeId> into, out_of;
            bool tapped = false;
        };
        std::map<Zone, Point> points;
        for (const EdgeId panel : panels_) {
            points[zone(circuit_.edge(panel).to)].into.push_back(panel);
            points[zone(circuit_.edge(panel).from)].out_of.push_back(panel);
        }
        for (const Edge& edge : circuit_.edges)
            if (!is_conductor(edge.role) && edge.role != EdgeRole::panel && edge.role != EdgeRole::diode)
                for (const NodeId end : {edge.from, edge.to})
                    if (const auto at = points.find(zone(end)); at != points.end()) at->second.tapped = true;
        for (const auto& [where, point] : points) {
            if (point.tapped || point.into.empty() || point.out_of.empty()) continue;
            const double in_A = total_A(point.into), out_A = total_A(point.out_of);
            if (in_A <= 0 || out_A <= 0) continue;
            if (!below(std::min(in_A, out_A), alike * std::max(in_A, out_A))) continue;
            const std::vector<EdgeId>& less = in_A < out_A ? point.into : point.out_of;
            const std::vector<EdgeId>& more = in_A < out_A ? point.out_of : point.into;
            Finding finding = about(less.front(), std::min(in_A, out_A) / std::max(in_A, out_A));
            finding.message = named(input_.harness, part(less.front())) +
                              " lies in line with panels of more current, and holds them down";
            finding.beside = amps(std::min(in_A, out_A)) + " in line with " + amps(std::max(in_A, out_A));
            finding.working = {
                amps(std::min(in_A, out_A)) + " (" + names_of(less) + ") < 90 % of " +
                    amps(std::max(in_A, out_A)) + " (" + names_of(more) + "), short circuit",
                "the string gives the smaller current; without bypass diodes the larger one heats the panel"};
            finding.figures = {{"current", std::min(in_A, out_A), Dimension::current},
                               {"other", std::max(in_A, out_A), Dimension::current}};
            finding.help = "panels of one current in line, or a charger of its own for each";
            relate(finding, more);
            report_.add(std::move(finding));
        }
    }
    double total_A(const std::vector<EdgeId>& panels) const {
        double sum_A = 0;
        for (const EdgeId each : panels) {
            if (short_A(each) <= 0) return 0;
            sum_A += short_A(each);
        }
        return sum_A;
    }

    void judge_sharing() {
        std::map<std::pair<Zone, Zone>, std::vector<EdgeId>> between;
        for (const EdgeId input : inputs_)
            between[{zone(circuit_.edge(input).to), zone(circuit_.edge(input).from)}].push_back(input);
        for (const auto& [ends, inputs] : between) {
            const EdgeId feeds = panel_that_ends_in(ends.second);
            if (inputs.size() < 2 || ends.first == ends.second || !feeds) continue;
            Finding finding = finding_about(input_, "shared-panels", Severity::note, part(inputs.front()));
            std::vector<std::string> others;
            for (const EdgeId each : inputs)
                if (each != inputs.front()) others.push_back(name(each));
            finding.message = named(input_.harness, part(inputs.front())) + " shares " +
                              named(input_.harness, part(feeds)) + " with charger " + sum_of(others);
            finding.beside = "each seeks the best power, and upsets the other";
            finding.working = {"in+ and in- of " + sum_of(others) + " are joined with its own"};
            finding.source = "common practice, no source";
            finding.help = "panels of its own for each charger, or one charger for all";
            relate(finding, inputs);
            report_.add(std::move(finding));
        }
    }
    EdgeId panel_that_ends_in(Zone plus) const {
        for (const EdgeId panel : panels_)
            if (zone(circuit_.edge(panel).to) == plus) return panel;
        return {};
    }

    // All panels and conductors that hang together with one input over anything but its charger.
    void judge_loss(EdgeId id) {
        const Edge& input = circuit_.edge(id);
        DisjointSets field = pieces(circuit_, [&](EdgeId each) {
            const EdgeRole role = circuit_.edge(each).role;
            return is_conductor(role) || role == EdgeRole::panel || role == EdgeRole::diode;
        });
        const PanelField flows = panel_field(circuit_, input_.facts);
        double gives_W = 0, lost_W = 0, most_W = 0;
        EdgeId most;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!field.same(edge.from.index(), input.from.index())) continue;
            if (edge.role == EdgeRole::panel)
                gives_W += best_voltage * open_V(EdgeId(i)) * best_current * short_A(EdgeId(i));
            if (!edge.wire) continue;
            const double flows_A = best_current * flows.through_A(EdgeId(i));
            if (flows_A <= 0) continue;
            const double heat_W = flows_A * flows_A *
                                  resistance_ohm(circuit_, input_.facts, edge, Corner::run_hot,
                                                 conductor_limit_degC(input_.facts, edge.wire));
            lost_W += heat_W;
            if (heat_W > most_W) most_W = heat_W, most = EdgeId(i);
        }
        if (gives_W <= 0 || !above(lost_W, bearable_loss * gives_W)) return;
        Finding finding = finding_about(input_, "panel-loss", Severity::note, input.part);
        finding.message =
            "the leads of the panels of " + named(input_.harness, input.part) + " keep much of their power";
        finding.beside = to_text(100 * lost_W / gives_W, Dimension::percentage) + " of it; 5 % is usual";
        const WireId wire = circuit_.edge(most).wire;
        finding.working = {to_text(lost_W, Dimension::power) + " of " + to_text(gives_W, Dimension::power) +
                               ", at the best power of the panels in full sun",
                           "most of it in " + std::string(input_.harness.wire(wire).name) + ": " +
                               to_text(most_W, Dimension::power) + " = (0.93 x " +
                               amps(flows.through_A(most)) + ")^2 x R"};
        finding.figures = {{"lost", lost_W, Dimension::power}, {"given", gives_W, Dimension::power}};
        finding.source = "Joule; shares at best power (memory); 5 %: common practice, no source";
        finding.help = "thicker or shorter leads, or panels in series: half the current loses a quarter";
        finding.related.push_back(
            {input_.harness.wire(wire).where, named(input_.harness, wire) + " is here"});
        report_.add(std::move(finding));
    }

    Finding about(EdgeId panel, double share) const {
        Finding finding =
            finding_about(input_, "unlike-panels",
                          share < far_from_alike ? Severity::warning : Severity::note, part(panel));
        finding.source = "common practice, no source";
        return finding;
    }
    void relate(Finding& finding, const std::vector<EdgeId>& others) const {
        for (const EdgeId each : others)
            if (part(each) != finding.part)
                finding.related.push_back(
                    {input_.harness.part(part(each)).where, named(input_.harness, part(each)) + " is here"});
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    std::vector<EdgeId> panels_, inputs_;
    std::vector<Zone> zone_;  // by NodeId
};

void run(const RuleInput& input, Report& report) {
    PanelMatching(input, report).run();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::panel_matching
