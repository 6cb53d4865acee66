// What lies in line with a load or coil that no mode turns on: nobody has seen its current flow, so it is
// held to what the load says that it draws.
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/let_through.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/rules/standing_limit.hpp"

namespace loomward::rules::in_no_mode {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"in-no-mode",
     "a switch, contact, wire, device, driver pin or converter in line with a load or coil that no mode "
     "turns on, or not fully, and that carries less than it draws",
     "I of the load as it is rated <= rating of what lies in line with it, up to where something branches "
     "off",
     "rating of the part",
     "loads that draw less than a hundredth of that in every mode; a warning for coils, and for loads that "
     "draw less than half of it (no source); none that a converter of unknown output may feed; what modes "
     "make flow is judged as it flows there",
     "switch S9 { 80 V dc, carries 2 A, breaks 2 A at 60 V dc }\n"
     "load H9 { 48 V, 4 A, acts-as current, works 30..60 V }\n"
     "route F2.out (W30 1 mm2, 0.3 m) S9 (W31 1 mm2, 0.3 m) H9 (W32 1 mm2, 0.3 m) Q1.P-\nsplice X1",
     "splice X1"},
};

// Less than so much of its print in every mode is part load; no source.
constexpr double part_load = 0.5;

struct Weak {
    double may_A = 0;
    std::string working;
    EdgeId edge;
};

class InNoMode {
  public:
    InNoMode(const RuleInput& input, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          supplies_(pieces(circuit_, [this](EdgeId id) {
              const EdgeRole role = circuit_.edge(id).role;
              return is_conductor(role) || role == EdgeRole::diode;
          })) {
        for (const Edge& edge : circuit_.edges)
            if (edge.role == EdgeRole::converter_output && !output_of(input_.facts, edge))
                unknown_supplies_.insert(supplies_.find(edge.to.index()));
    }

    void look_at(EdgeId user) {
        const Edge& edge = circuit_.edge(user);
        const double draws_A = rated_draw_A(input_, edge);
        if (!std::isfinite(draws_A) || draws_A <= 0 || flows(user, part_load * draws_A)) return;
        // What feeds it may do so in a mode, but nobody knows what that gives: it is not solved.
        if (unknown_supplies_.contains(supplies_.find(edge.from.index())) ||
            unknown_supplies_.contains(supplies_.find(edge.to.index())))
            return;
        std::optional<Weak> weakest;
        for (const bool plus : {true, false})
            for (const EdgeId step : in_line(user, plus ? edge.from : edge.to)) {
                const std::optional<Weak> limit = limit_of(step);
                if (limit && limit->may_A > 0 && above(draws_A, limit->may_A) &&
                    (!weakest || limit->may_A < weakest->may_A))
                    weakest = limit;
            }
        if (weakest) tell(user, draws_A, *weakest, flows(user, 0.01 * draws_A));
    }

  private:
    bool flows(EdgeId id, double least_A) const {
        return std::any_of(input_.points.begin(), input_.points.end(), [&](const OperatingPoint& point) {
            return std::abs(point.edge_A[id.index()]) > least_A;
        });
    }
    // From a pole of it on, as far as nothing branches off and something conducts, a driver or a converter
    // last.
    std::vector<EdgeId> in_line(EdgeId from, NodeId at) const {
        std::vector<EdgeId> way;
        EdgeId here = from;
        while (circuit_.at(at).size() == 2 && way.size() < circuit_.edges.size()) {
            const Incidence& next = circuit_.at(at)[circuit_.at(at)[0].edge == here ? 1 : 0];
            if (next.edge == here) break;
            way.push_back(next.edge);
            const EdgeRole role = circuit_.edge(next.edge).role;
            if (!is_conductor(role) && role != EdgeRole::diode) break;
            here = next.edge;
            at = next.other;
        }
        return way;
    }

    std::optional<Weak> limit_of(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        if (edge.role == EdgeRole::converter_output) {
            const auto output = output_of(input_.facts, edge);
            return output ? std::optional(Weak{output->current_A, "output", id}) : std::nullopt;
        }
        if (is_protective(edge.role)) {
            const auto rated = input_.facts.quantity(edge.part, "(rated-current)"_attr);
            return rated ? std::optional(Weak{rated->hi, "rated", id}) : std::nullopt;
        }
        const auto may = standing_limit(input_, edge, Direction::either);
        return may ? std::optional(Weak{may->may_A, may->working, id}) : std::nullopt;
    }

    void tell(EdgeId user, double draws_A, const Weak& weak, bool partly) {
        const PartId part = circuit_.edge(user).part;
        const std::string load = named(input_.harness, part);
        const Edge& edge = circuit_.edge(weak.edge);
        // Nothing but a hand keeps a load off; one that the modes run at part load may be held there.
        const bool load_itself = circuit_.edge(user).role == EdgeRole::load;
        const Severity severity = load_itself && !partly ? Severity::error : Severity::warning;
        Finding finding = edge.wire ? finding_about(input_, "in-no-mode", severity, edge.wire)
                                    : finding_about(input_, "in-no-mode", severity, edge.part);
        if (edge.role == EdgeRole::contact)
            finding.subject = std::string(input_.harness.terminal(edge.from_terminal).path);
        finding.message = (edge.wire ? named(input_.harness, edge.wire) : rated_thing(input_.harness, edge)) +
                          " carries less than " +
                          (circuit_.edge(user).role == EdgeRole::coil ? "the coil of " : "") + load +
                          (partly ? " draws by its own print, and every mode says less"
                                  : " draws, and no mode turns that on");
        finding.beside = amps(draws_A) + "; may carry " + amps(weak.may_A);
        finding.working = {amps(draws_A) + " > " + amps(weak.may_A) + " (" + weak.working + ")",
                           partly ? load + " draws under half of that in every mode"
                                  : load + " draws nothing in any mode: what it says that it draws counts"};
        finding.figures = {{"current", draws_A, Dimension::current},
                           {"limit", weak.may_A, Dimension::current}};
        finding.source = "rating of the part";
        finding.related.push_back({input_.harness.part(part).where, load + " is here"});
        finding.help = "one that carries " + amps(draws_A) +
                       " or more; or a mode that turns it on and says what it draws";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    DisjointSets supplies_;
    std::set<std::size_t> unknown_supplies_;  // what an output of unknown voltage or current feeds
};

void run(const RuleInput& input, Report& report) {
    // Of a mode that is not solved nothing is known of what it turns on.
    if (input.points.empty() || std::any_of(input.points.begin(), input.points.end(),
                                            [](const OperatingPoint& point) { return point.edge_A.empty(); }))
        return;
    InNoMode look(input, report);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const EdgeRole role = input.circuit.edges[i].role;
        if (role == EdgeRole::load || role == EdgeRole::coil) look.look_at(EdgeId(i));
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::in_no_mode
