// Bars, blocks, splices, studs and contacts that carry less than the devices before and behind them let
// through.
//
// What can pass such a point for long is what the devices before it let through, or the sum of those behind
// it where that is less: everything switched on together is one touch away, and nothing opens. Along the tree
// of conductors both are sums and minima; conductors in a loop count with what enters the loop. On the minus
// side a load sends back what its own device lets through, and loads behind one device share it.
#include <algorithm>
#include <limits>
#include <map>
#include <optional>
#include <set>

#include "checker/circuit/feed_tree.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/circulation.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/guarded_contacts.hpp"
#include "checker/rules/let_through.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::rated_below_guard {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"rated-below-guard",
     "a bar, block, splice or stud, and a contact, diode or shunt that several branches share, that may "
     "carry "
     "less than the devices before it and those behind it let through; a protector that is rated for less "
     "than what "
     "hangs on it draws and its trips let stand; as a note, one of these with one "
     "branch "
     "behind it, where more than 1.45 times what it carries can flow for long, or that one device guards "
     "which is rated above it",
     "min(sum of rated currents before, sum of rated currents behind) <= rating; of one branch I2 <= 1.45 "
     "Ir, "
     "In <= Ir, I2 the minimum cut of the conventional operating currents of the devices on the way",
     "IEC 60364-4-43 433.1 (In <= Iz), for what is no cable: common practice, no source",
     "a branch without a device of its own counts as endless behind a bar or block, behind a contact with "
     "what its loads are rated for, and is a note where these draw less in all than it carries; every "
     "contact counts as closed, selectors one position at a time; where "
     "conductors form a loop its devices add up; starts and stalls are other rules'",
     "splice X1 { carries 4 A }", "splice X1"},
};

std::string devices_text(const RuleInput& input, const std::set<PartId>& devices) {
    std::string text;
    std::size_t count = 0;
    for (const PartId device : devices) {
        if (++count > 6) return text + " ...";
        const auto rated = input.facts.quantity(device, "(rated-current)"_attr);
        text += (text.empty() ? "" : " + ") + std::string(input.harness.part(device).name) +
                (rated ? " " + amps(rated->hi) : "");
    }
    return text;
}

struct Weak {
    bool by_draws = true;  // what hangs on it today draws more than it carries
    double passes_A = 0;
    Let before, behind;
    CurrentRating rating;
};

class Judge {
  public:
    explicit Judge(const RuleInput& input) : input_(input) {}

    void look(const Guards& bars, const Guards& contacts, const std::vector<bool>& open) {
        open_ = &open;
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) look_at_point(bars, PartId(i));
        shares_.assign(input_.circuit.node_count(), Shares::unknown);
        for (const FeedTree::Branch& branch : contacts.tree().branches()) look_at_contact(contacts, branch);
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) look_at_protector(EdgeId(i));
    }
    std::set<PartId> told() const {
        std::set<PartId> parts;
        for (const auto& [where, weak] : worst_) parts.insert(where.first);
        return parts;
    }
    void report(Report& report) {
        for (const auto& [where, weak] : worst_) tell(where.first, where.second, weak, report);
    }

  private:
    // What passes by the devices before and behind, and above the rating; nullopt: not above it.
    static std::optional<double> too_much_A(const Let& before, const Let& behind,
                                            const CurrentRating& rating) {
        const double passes_A = std::min(before.current_A, behind.current_A);
        if (passes_A == endless_A || rating.may_A <= 0 || !above(passes_A, rating.may_A)) return std::nullopt;
        return passes_A;
    }
    void keep(PartId part, const std::string& subject, const Weak& weak) {
        Weak& worst = worst_[{part, subject}];
        if (weak.passes_A > worst.passes_A) worst = weak;
    }
    void look_at_point(const Guards& guards, PartId id) {
        const auto rating = point_rating(input_.facts, id);
        const Part& part = input_.harness.part(id);
        if (!rating) return;
        std::set<NodeId> nodes;
        for (std::size_t k = 0; k < part.terminals.count; ++k)
            nodes.insert(input_.circuit.node(TerminalId(part.terminals.first + k)));
        for (const NodeId node : nodes) {
            if (!guards.tree().reached(node)) continue;
            const Let &before = guards.before(node), &behind = guards.behind(node);
            const auto passes_A = too_much_A(before, behind, *rating);
            if (!passes_A) continue;
            const double most_A =
                passes_at_most_A(input_, *open_, false, std::vector<NodeId>(nodes.begin(), nodes.end()));
            if (above(most_A, rating->may_A))
                keep(id, std::string(part.name), {true, *passes_A, before, behind, *rating});
        }
    }
    void look_at_contact(const Guards& guards, const FeedTree::Branch& branch) {
        if (!branch.single()) return;
        const Edge& edge = input_.circuit.edge(branch.edges.front());
        if (!passes_on(edge.role)) return;
        const NodeId below = branch.below.front();
        if (guards.branches_with_use(below) < 2 && !shares(guards, below)) return;
        const auto rating =
            current_rating(input_.facts, edge, input_.facts.ambient(edge.part), Direction::along);
        if (!rating) return;
        const Let &before = guards.before(below), &behind = guards.behind(below);
        const auto passes_A = too_much_A(before, behind, *rating);
        if (!passes_A ||
            !above(carries_at_most_A(input_, *open_, false, branch.edges.front()), rating->may_A))
            return;
        const bool by_draws =
            above(carries_at_most_A(input_, *open_, true, branch.edges.front()), rating->may_A);
        keep(edge.part,
             edge.role == EdgeRole::contact ? std::string(input_.harness.terminal(edge.from_terminal).path)
                                            : std::string(input_.harness.part(edge.part).name),
             {by_draws, *passes_A, before, behind, *rating});
    }
    // What opens by its own trips lets no more than these pass for long: with all that hangs on it on at
    // once.
    void look_at_protector(EdgeId id) {
        const Edge& edge = input_.circuit.edge(id);
        if (edge.role != EdgeRole::protector) return;
        const auto rating =
            current_rating(input_.facts, edge, input_.facts.ambient(edge.part), Direction::along);
        if (!rating) return;
        const double draws_A = carries_at_most_A(input_, *open_, true, id);
        const double trips_A = Capacities(input_.circuit, input_.facts).guard_A(edge, true);
        const double passes_A = std::min(draws_A, trips_A);
        if (!std::isfinite(passes_A) || !above(passes_A, rating->may_A)) return;
        Let behind;
        behind.current_A = draws_A;
        Let before;
        before.current_A = trips_A;
        keep(edge.part, std::string(input_.harness.part(edge.part).name),
             {true, passes_A, before, behind, *rating});
    }
    // Whether a plain conductor behind the contact leads to a point where branches part. What one way comes
    // to holds for every point on it.
    bool shares(const Guards& guards, NodeId node) {
        std::vector<NodeId> way;
        Shares found = Shares::unknown;
        while (found == Shares::unknown) {
            way.push_back(node);
            found = shares_[node.index()];
            if (found == Shares::unknown) found = step(guards, node);
        }
        for (const NodeId each : way) shares_[each.index()] = found;
        return found == Shares::yes;
    }
    enum class Shares : std::uint8_t { unknown, no, yes };
    // One step on, where the node itself does not settle it.
    Shares step(const Guards& guards, NodeId& node) const {
        if (guards.branches_with_use(node) >= 2) return Shares::yes;
        NodeId next;
        for (const std::uint32_t b : guards.tree().branches_from(node)) {
            const FeedTree::Branch& branch = guards.tree().branches()[b];
            if (guards.behind_A(b) <= 0) continue;
            if (!branch.single()) return Shares::yes;
            const EdgeRole role = input_.circuit.edge(branch.edges.front()).role;
            if (role == EdgeRole::fuse || role == EdgeRole::breaker) return Shares::no;
            next = branch.below.front();
        }
        if (!next) return Shares::no;
        node = next;
        return Shares::unknown;
    }
    void tell(PartId id, const std::string& subject, const Weak& weak, Report& report) {
        Finding finding = finding_about(input_, "rated-below-guard",
                                        weak.by_draws ? Severity::warning : Severity::note, id);
        const bool point = is_point(input_.harness.part(id).kind);
        finding.subject = subject;
        const bool protector = input_.harness.part(id).kind == Kind::protector;
        finding.message = (point || protector ? named(input_.harness, id) : "contact " + subject) +
                          (protector ? " carries less than what hangs on it draws"
                                     : " carries less than the devices around it let through");
        finding.beside = amps(weak.passes_A) + " can flow for long; may carry " + amps(weak.rating.may_A);
        const auto side = [&](const char* name, const Let& let) {
            if (let.current_A == endless_A) return;
            finding.working.push_back(std::string(name) + ": " + amps(let.current_A) +
                                      (let.devices.empty() ? "" : " = " + devices_text(input_, let.devices)) +
                                      (point || let.devices.empty() ? "" : " and loads"));
        };
        finding.working = {amps(weak.passes_A) + " > " + amps(weak.rating.may_A)};
        if (weak.rating.working.find('=') != std::string::npos)
            finding.working.push_back(weak.rating.working);
        if (protector) {
            finding.working.push_back("what hangs on it draws " + amps(weak.behind.current_A) +
                                      "; its trips let " + amps(weak.before.current_A) + " stand");
        } else {
            side("before it", weak.before);
            side("behind it", weak.behind);
        }
        finding.figures = {{"current", weak.passes_A, Dimension::current},
                           {"limit", weak.rating.may_A, Dimension::current}};
        finding.source = "IEC 60364-4-43 433.1 (In <= Iz), for what is no cable: common practice, no source";
        for (const PartId device : weak.before.devices)
            finding.related.push_back(
                {input_.harness.part(device).where, named(input_.harness, device) + " is here"});
        finding.help = "one that carries " + amps(weak.passes_A * weak.rating.stated_A / weak.rating.may_A) +
                       " or more, or smaller devices before or behind it";
        if (input_.facts.quantity(id, "carries"_attr))
            finding.cures = {at_least(input_.harness, id, "carries"_attr,
                                      weak.passes_A * weak.rating.stated_A / weak.rating.may_A,
                                      Dimension::current)};
        report.add(std::move(finding));
    }

    const RuleInput& input_;
    const std::vector<bool>* open_ = nullptr;  // by EdgeId, in the position that is looked at
    std::map<std::pair<PartId, std::string>, Weak> worst_;
    std::vector<Shares> shares_;  // by NodeId, of the guards that are looked at
};

void run(const RuleInput& input, Report& report) {
    Judge judge(input);
    const Positions positions(input.circuit);
    for (std::size_t i = 0; i < positions.count(); ++i) {
        const std::vector<bool> open = positions.open(i);
        judge.look(Guards(input, open, false), Guards(input, open, true), open);
    }
    judge_guarded_contacts(input, judge.told(), report);
    judge.report(report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::rated_below_guard
