// What lies in line with a load or coil that no mode turns on: nobody has seen its current flow, so it is
// held to what the load says that it draws.
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <set>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/consumers.hpp"
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
     "I of the load as it is rated <= rating of what lies in line with it, as far as one way leads on to a "
     "source",
     "rating of the part",
     "what hangs on the same way without a switch of its own, and is turned on by no mode either, counts "
     "with "
     "it; loads that draw less than a hundredth of that in every mode; a warning for coils, and for loads "
     "that "
     "draw less than half of it (no source); not looked for when only one mode is checked; none that a "
     "converter of unknown output may feed; what modes "
     "make flow is judged as it flows there",
     "switch S9 { 80 V dc, carries 2 A, breaks 2 A at 60 V dc }\n"
     "load H9 { 48 V, 4 A, acts-as current, works 30..60 V }\n"
     "route F2.out (W30 1 mm2, 0.3 m) S9 (W31 1 mm2, 0.3 m) H9 (W32 1 mm2, 0.3 m) Q1.P-\nsplice X1",
     "splice X1"},
};

// Less than so much of its print in every mode is part load; no source.
constexpr double part_load = 0.5;
// A point with more on it is a bar: what feeds it is held to what modes make flow.
constexpr std::size_t most_branches = 16;

struct Weak {
    double may_A = 0;
    std::string working;
    EdgeId edge;
    double beside_A = 0;  // what hangs on it besides, where one alone is not too much
};

class InNoMode {
  public:
    InNoMode(const RuleInput& input, const std::vector<Consumer>& consumers, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          supplies_(pieces(circuit_,
                           [this](EdgeId id) {
                               const EdgeRole role = circuit_.edge(id).role;
                               return is_conductor(role) || role == EdgeRole::diode;
                           })),
          joined_(pieces(circuit_, [this](EdgeId id) { return is_conductor(circuit_.edge(id).role); })),
          heaters_A_(circuit_.edges.size(), 0) {
        for (const Consumer& each : consumers) heaters_A_[each.edge.index()] = each.draws_A;
        for (const Edge& edge : circuit_.edges)
            if (edge.role == EdgeRole::converter_output && !output_of(input_.facts, edge))
                unknown_supplies_.insert(supplies_.find(edge.to.index()));
    }

    void look_at(const Consumer& user) {
        const Edge& edge = circuit_.edge(user.edge);
        const double draws_A = draw_A(user.edge);
        if (!std::isfinite(draws_A) || draws_A <= 0 || flows(user.edge, part_load * draws_A)) return;
        // What feeds it may do so in a mode, but nobody knows what that gives: it is not solved.
        if (unknown_supplies_.contains(supplies_.find(edge.from.index())) ||
            unknown_supplies_.contains(supplies_.find(edge.to.index())))
            return;
        std::vector<Step> steps = in_line(user.edge, user.plus, user.minus);
        const std::vector<Step> back = in_line(user.edge, user.minus, user.plus);
        steps.insert(steps.end(), back.begin(), back.end());
        // Of several no more counts than the devices in line are for.
        double most_A = std::numeric_limits<double>::infinity();
        std::vector<std::optional<Weak>> limits;
        for (const Step& step : steps) {
            limits.push_back(limit_of(step.edge));
            if (limits.back() && is_protective(circuit_.edge(step.edge).role))
                most_A = std::min(most_A, limits.back()->may_A);
        }
        std::optional<Weak> weakest;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const std::optional<Weak>& limit = limits[i];
            const double all_A = std::max(draws_A, std::min(draws_A + steps[i].beside_A, most_A));
            if (!limit || limit->may_A <= 0 || !above(all_A, limit->may_A) ||
                (weakest && limit->may_A >= weakest->may_A))
                continue;
            weakest = limit;
            weakest->beside_A = above(draws_A, limit->may_A) ? 0 : all_A - draws_A;
        }
        // With others: told once, of the first of them.
        if (!weakest || (weakest->beside_A > 0 && !told_together_.insert(weakest->edge).second)) return;
        tell(user.edge, draws_A, *weakest, flows(user.edge, 0.01 * draws_A));
    }

  private:
    bool flows(EdgeId id, double least_A) const {
        return std::any_of(input_.points.begin(), input_.points.end(), [&](const OperatingPoint& point) {
            return std::abs(point.edge_A[id.index()]) > least_A;
        });
    }
    double draw_A(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        return edge.role == EdgeRole::resistor ? heaters_A_[id.index()] : rated_draw_A(input_, edge);
    }
    struct Step {
        EdgeId edge;
        double beside_A = 0;  // of others that hang on it, come on with the user and are on in no mode
    };
    // From a pole of it on, as far as just one way leads to a source and something conducts, a driver or a
    // converter last.
    std::vector<Step> in_line(EdgeId from, NodeId at, NodeId other_pole) const {
        std::vector<Step> way;
        EdgeId here = from;
        double beside_A = 0;
        while (way.size() < circuit_.edges.size()) {
            if (circuit_.at(at).size() > most_branches) break;
            EdgeId next;
            NodeId to;
            std::size_t ways = 0;
            for (const Incidence& each : circuit_.at(at)) {
                if (each.edge == here || hangs_beside(each, at, from, other_pole, beside_A)) continue;
                next = each.edge;
                to = each.other;
                ++ways;
            }
            if (ways != 1) break;
            way.push_back({next, beside_A});
            const EdgeRole role = circuit_.edge(next).role;
            if (!is_conductor(role) && role != EdgeRole::diode) break;
            here = next;
            at = to;
        }
        return way;
    }
    // Not on the way to a source: another user, what lies across, a branch that ends in such.
    bool hangs_beside(const Incidence& branch, NodeId at, EdgeId user, NodeId other_pole,
                      double& beside_A) const {
        const Edge& edge = circuit_.edge(branch.edge);
        if (lies_across(edge.role) || leads_across(edge, branch.other, other_pole)) {
            add(branch.edge, user, beside_A);
            return true;
        }
        if (!is_conductor(edge.role)) return false;
        return ends_in_users(branch, at, user, other_pole, beside_A);
    }
    // A freewheel diode, a bleed, a suppressor.
    bool leads_across(const Edge& edge, NodeId to, NodeId other_pole) const {
        return (edge.role == EdgeRole::diode || edge.role == EdgeRole::resistor) &&
               joined_.same(to.index(), other_pole.index());
    }
    void add(EdgeId other, EdgeId user, double& beside_A) const {
        const EdgeRole role = circuit_.edge(other).role;
        if (other == user || (role != EdgeRole::load && role != EdgeRole::resistor)) return;
        const double draws_A = draw_A(other);
        if (std::isfinite(draws_A) && draws_A > 0 && !flows(other, part_load * draws_A)) beside_A += draws_A;
    }
    // Whether a branch leads to users and nowhere else; those without a switch of their own come on as well.
    bool ends_in_users(const Incidence& branch, NodeId at, EdgeId user, NodeId other_pole,
                       double& beside_A) const {
        constexpr std::size_t enough = 32;  // a larger one is taken for a way on
        std::vector<std::pair<NodeId, bool>> found{
            {branch.other, circuit_.edge(branch.edge).role == EdgeRole::switching}};
        std::set<NodeId> seen{at, branch.other};
        std::vector<EdgeId> users;
        for (std::size_t head = 0; head < found.size(); ++head) {
            const auto [node, switched] = found[head];
            for (const Incidence& next : circuit_.at(node)) {
                if (next.other == at && next.edge == branch.edge) continue;
                const Edge& edge = circuit_.edge(next.edge);
                if (lies_across(edge.role) || leads_across(edge, next.other, other_pole)) {
                    if (!switched) users.push_back(next.edge);
                } else if (!is_conductor(edge.role)) {
                    return false;
                } else if (next.other == at) {
                    return false;  // a ring
                } else if (seen.insert(next.other).second) {
                    found.emplace_back(next.other, switched || edge.role == EdgeRole::switching);
                }
            }
            if (found.size() > enough) return false;
        }
        for (const EdgeId id : users) add(id, user, beside_A);
        return true;
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
        // A pack gives what draws; what it takes is another figure.
        const auto may =
            standing_limit(input_, edge, edge.role == EdgeRole::emf ? Direction::along : Direction::either);
        return may ? std::optional(Weak{may->may_A, may->working, id}) : std::nullopt;
    }

    void tell(EdgeId user, double draws_A, const Weak& weak, bool partly) {
        const PartId part = circuit_.edge(user).part;
        const std::string load = named(input_.harness, part);
        const Edge& edge = circuit_.edge(weak.edge);
        // Nothing but a hand keeps a load off; one that the modes run at part load may be held there.
        const bool load_itself = circuit_.edge(user).role != EdgeRole::coil;
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
        const double all_A = draws_A + weak.beside_A;
        finding.beside = amps(all_A) + "; may carry " + amps(weak.may_A);
        finding.working = {amps(all_A) + " > " + amps(weak.may_A) + " (" + weak.working + ")",
                           partly ? load + " draws under half of that in every mode"
                                  : load + " draws nothing in any mode: what it says that it draws counts"};
        if (weak.beside_A > 0)
            finding.working.push_back(amps(all_A) + " = " + amps(draws_A) + " (" + load + ") + " +
                                      amps(weak.beside_A) +
                                      " (what hangs beside it without a switch of its own)");
        finding.figures = {{"current", all_A, Dimension::current}, {"limit", weak.may_A, Dimension::current}};
        finding.source = "rating of the part";
        finding.related.push_back({input_.harness.part(part).where, load + " is here"});
        finding.help =
            "one that carries " + amps(all_A) + " or more; or a mode that turns it on and says what it draws";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    mutable DisjointSets supplies_, joined_;  // over diodes as well; over conductors alone
    std::set<EdgeId> told_together_;
    std::vector<double> heaters_A_;           // by EdgeId: what resistors draw that use a current
    std::set<std::size_t> unknown_supplies_;  // what an output of unknown voltage or current feeds
};

void run(const RuleInput& input, Report& report) {
    if (!looks_at_every_mode(input)) return;
    // Of a mode that is not solved nothing is known of what it turns on.
    if (input.points.empty() || std::any_of(input.points.begin(), input.points.end(),
                                            [](const OperatingPoint& point) { return point.edge_A.empty(); }))
        return;
    const std::vector<Consumer> all = consumers(input);
    InNoMode look(input, all, report);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (const Edge& edge = input.circuit.edges[i]; edge.role == EdgeRole::coil)
            look.look_at({EdgeId(i), edge.from, edge.to, 0});
    for (const Consumer& each : all) {
        const EdgeRole role = input.circuit.edge(each.edge).role;
        if (role == EdgeRole::load || role == EdgeRole::resistor || role == EdgeRole::supply_pin)
            look.look_at(each);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::in_no_mode
