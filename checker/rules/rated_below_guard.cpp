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
#include <set>

#include "checker/circuit/feed_tree.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/guarded_contacts.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"rated-below-guard",
     "a bar, block, splice or stud, and a contact, diode or shunt that several branches share, that may "
     "carry "
     "less than the devices before it and those behind it let through; as a note, a contact with one branch "
     "behind it, where more than 1.45 times what it carries can flow for long, or that one device guards "
     "which is rated above it",
     "min(sum of rated currents before, sum of rated currents behind) <= rating; of one branch I2 <= 1.45 "
     "Ir, "
     "In <= Ir, I2 the minimum cut of the conventional operating currents of the devices on the way",
     "IEC 60364-4-43 433.1 (In <= Iz), for what is no cable: common practice, no source",
     "a branch without a device of its own counts as endless behind a bar or block, behind a contact with "
     "what its loads are rated for; every contact counts as closed, selectors one position at a time; where "
     "conductors form a loop its devices add up; starts and stalls are other rules'",
     "splice X1 { carries 4 A }", "splice X1"},
};

constexpr double endless_A = std::numeric_limits<double>::infinity();

// What a load draws by its print or setting, A; endless where it does not say.
double rated_draw_A(const RuleInput& input, const Edge& edge) {
    const Facts& facts = input.facts;
    if (edge.role == EdgeRole::controller) {
        const auto setting = supply_limit(facts, edge.part);
        return setting ? setting->current_A : endless_A;
    }
    if (edge.role == EdgeRole::converter_input) {
        const auto volts_V = facts.quantity(edge.part, "output"_attr, 0);
        const auto amps_A = facts.quantity(edge.part, "output"_attr, 1);
        const auto input_V = facts.quantity(edge.part, "input"_attr);
        const auto share = facts.quantity(edge.part, "efficiency"_attr);
        if (!volts_V || !amps_A || !input_V || !share || input_V->lo <= 0 || share->lo <= 0) return endless_A;
        return volts_V->hi * amps_A->hi / (share->lo / 100) / input_V->lo;
    }
    if (edge.role == EdgeRole::supply_pin) {
        const auto draws = pin_current(facts.harness(), edge.from_terminal);
        return draws ? draws->hi : endless_A;
    }
    if (edge.role == EdgeRole::coil) {
        const auto draws = facts.quantity(edge.part, "coil"_attr, 1);
        return draws ? draws->hi : endless_A;
    }
    const auto rated = facts.quantity(edge.part, "(rated-voltage)"_attr);
    if (const auto current = facts.quantity(edge.part, "(current)"_attr)) return current->hi;
    if (!rated || rated->lo <= 0) return endless_A;
    if (const auto power = facts.quantity(edge.part, "(power)"_attr)) return power->hi / rated->lo;
    if (const auto ohm = facts.quantity(edge.part, "(resistance)"_attr); ohm && ohm->lo > 0)
        return rated->hi / ohm->lo;
    return endless_A;
}

// A current with the devices that make it; none: nothing on the way says.
struct Let {
    double current_A = 0;
    std::set<PartId> devices;
    PartId first;  // of the devices on the way from the pack, and what it lets through
    double first_A = endless_A;
};

// What hangs on a node or branch: shares by the device that bounds them, each device once.
class Uses {
  public:
    void put(PartId device, double current_A, PartId first = {}, double first_A = endless_A) {
        if (!device) {
            loose_A_ += current_A;
        } else {
            double& known = by_device_[device];
            sum_A_ += std::max(0.0, current_A - known);
            known = std::max(known, current_A);
        }
        if (!first) {
            first_sum_A_ = endless_A;
        } else if (by_first_.emplace(first, first_A).second) {
            first_sum_A_ += first_A;
        }
        ++count;
    }
    void take(Uses& other) {
        if (other.by_device_.size() > by_device_.size()) {
            by_device_.swap(other.by_device_);
            std::swap(sum_A_, other.sum_A_);
        }
        for (const auto& [device, current_A] : other.by_device_) {
            double& known = by_device_[device];
            sum_A_ += std::max(0.0, current_A - known);
            known = std::max(known, current_A);
        }
        loose_A_ += other.loose_A_;
        if (other.by_first_.size() > by_first_.size()) {
            by_first_.swap(other.by_first_);
            std::swap(first_sum_A_, other.first_sum_A_);
        }
        if (other.first_sum_A_ == endless_A) first_sum_A_ = endless_A;
        for (const auto& [device, current_A] : other.by_first_)
            if (by_first_.emplace(device, current_A).second) first_sum_A_ += current_A;
    }
    // At the most, devices behind one another counted twice.
    double loosely_A() const { return count > 0 ? std::min(loose_A_ + sum_A_, first_sum_A_) : 0; }
    // A device that sits behind another one of them adds nothing to it. `before`: by device, the one before
    // it. A few of the devices are enough to be named.
    Let total(const std::map<PartId, PartId>& before) const {
        if (count == 0) return {};
        Let sum{loose_A_, {}, {}, endless_A};
        for (const auto& [device, current_A] : by_device_) {
            if (behind_another(device, before)) continue;
            sum.current_A += current_A;
            if (sum.devices.size() < 7) sum.devices.insert(device);
        }
        if (first_sum_A_ >= sum.current_A) return sum;
        sum.current_A = first_sum_A_;
        sum.devices.clear();
        for (const auto& [device, current_A] : by_first_)
            if (sum.devices.size() < 7) sum.devices.insert(device);
        return sum;
    }
    std::size_t count = 0;  // loads, and branches with some load behind them

  private:
    bool behind_another(PartId device, const std::map<PartId, PartId>& before) const {
        for (auto next = before.find(device); next != before.end(); next = before.find(next->second))
            if (by_device_.contains(next->second)) return true;
        return false;
    }

    std::map<PartId, double> by_device_, by_first_;
    double loose_A_ = 0, sum_A_ = 0, first_sum_A_ = 0;
};

// Both sides of every conductor in one position of the selectors.
class Guards {
  public:
    Guards(const RuleInput& input, const std::vector<bool>& open, bool loads_count)
        : input_(input), tree_(input.circuit, open), loads_count_(loads_count) {
        before_.assign(input.circuit.node_count(), {endless_A, {}, {}, endless_A});
        at_.assign(input.circuit.node_count(), {});
        behind_node_.assign(input.circuit.node_count(), {});
        nearest_.assign(input.circuit.node_count(), {});
        find_wanted();
        for (const FeedTree::Branch& branch : tree_.branches()) go_down(branch);
        for (const Edge& edge : input.circuit.edges)
            if (uses(edge.role)) place(edge);
        behind_A_.assign(tree_.branches().size(), 0);
        for (std::size_t i = tree_.branches().size(); i-- > 0;) go_up(i);
    }

    const FeedTree& tree() const { return tree_; }
    // What the devices before a node let through to it, and what those behind it can take away from it.
    const Let& before(NodeId node) const { return before_[node.index()]; }
    const Let& behind(NodeId node) const { return behind_node_[node.index()]; }
    double behind_A(std::size_t branch) const { return behind_A_[branch]; }
    std::size_t branches_with_use(NodeId node) const { return at_[node.index()].count; }

  private:
    double capacity_A(const Edge& edge) const {
        if (edge.role == EdgeRole::converter_output || edge.role == EdgeRole::charger) {
            const auto limit =
                input_.facts.quantity(edge.part, output_attribute(input_.harness, edge.part), 1);
            return limit ? limit->hi : endless_A;
        }
        if (edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker) return endless_A;
        const auto rated = input_.facts.quantity(edge.part, "(rated-current)"_attr);
        return rated ? rated->hi : endless_A;
    }
    // The devices on these edges of a branch, added up; endless where one of `touching` is none.
    Let sum_of(const FeedTree::Branch& branch, NodeId touching) const {
        Let sum{0, {}, {}, endless_A};
        for (const EdgeId id : branch.edges) {
            const Edge& edge = input_.circuit.edge(id);
            if (touching && edge.from != touching && edge.to != touching) continue;
            const double capacity = capacity_A(edge);
            if (capacity == endless_A && !touching) continue;
            sum.current_A += capacity;
            if (capacity < endless_A) sum.devices.insert(edge.part);
        }
        if (sum.devices.empty()) sum.current_A = endless_A;
        return sum;
    }
    // Nodes that somebody asks about: those of rated points, and those behind a contact, diode or shunt.
    void find_wanted() {
        wanted_.assign(input_.circuit.node_count(), false);
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            const Part& part = input_.harness.parts[i];
            if (!is_point(part.kind)) continue;
            for (std::size_t k = 0; k < part.terminals.count; ++k)
                wanted_[input_.circuit.node(TerminalId(part.terminals.first + k)).index()] = true;
        }
        for (const FeedTree::Branch& branch : tree_.branches())
            if (branch.single() && input_.circuit.edge(branch.edges.front()).part)
                wanted_[branch.below.front().index()] = true;
    }
    // What enters below a branch: of one conductor its own device, of a loop all of its devices.
    void go_down(const FeedTree::Branch& branch) {
        for (const NodeId node : branch.below) {
            Let here = sum_of(branch, node);
            const PartId above_device = branch.above ? nearest_[branch.above.index()] : PartId();
            nearest_[node.index()] = here.devices.size() == 1 ? *here.devices.begin() : above_device;
            if (here.devices.size() == 1 && above_device && above_device != *here.devices.begin())
                before_device_.emplace(*here.devices.begin(), above_device);
            if (branch.edges.size() > 1 && here.current_A == endless_A) here = sum_of(branch, {});
            const Let above =
                branch.above ? before_[branch.above.index()] : Let{endless_A, {}, {}, endless_A};
            here.first = above.first;
            here.first_A = above.first_A;
            if (!here.first && here.devices.size() == 1) {
                here.first = *here.devices.begin();
                here.first_A = here.current_A;
            }
            if (above.current_A <= here.current_A) {
                here.current_A = above.current_A;
                here.devices = above.devices;
            }
            before_[node.index()] = std::move(here);
        }
    }
    // A load takes from its plus, and sends back at its minus what the devices before its plus let through.
    void place(const Edge& edge) {
        const NodeId plus = edge.from, minus = edge.to;
        if (plus == minus || !tree_.reached(plus) || !tree_.reached(minus)) return;
        const double draw_A = loads_count_ ? rated_draw_A(input_, edge) : endless_A;
        at_[plus.index()].put({}, draw_A);
        const Let& feed = before_[plus.index()];
        // A branch with a device of its own may carry what that lets through, whatever hangs on it today.
        const bool own_device = feed.devices.size() == 1 && *feed.devices.begin() != feed.first;
        const bool bound = !feed.devices.empty() && (own_device || feed.current_A <= draw_A);
        at_[minus.index()].put(bound ? *feed.devices.begin() : PartId(), bound ? feed.current_A : draw_A,
                               feed.first, feed.first_A);
    }
    void go_up(std::size_t number) {
        const FeedTree::Branch& branch = tree_.branches()[number];
        Uses here;
        for (const NodeId node : branch.below) {
            if (wanted_[node.index()]) behind_node_[node.index()] = at_[node.index()].total(before_device_);
            here.take(at_[node.index()]);
            here.count += at_[node.index()].count;
        }
        if (here.count == 0) return;
        if (branch.single()) {
            const Edge& edge = input_.circuit.edge(branch.edges.front());
            if (const double capacity = capacity_A(edge);
                capacity < here.loosely_A() || (loads_count_ && capacity < endless_A)) {
                here = {};
                here.put(edge.part, capacity);
            }
        }
        behind_A_[number] = here.loosely_A();
        if (!branch.above) return;
        Uses& above = at_[branch.above.index()];
        above.take(here);
        ++above.count;
    }

    const RuleInput& input_;
    FeedTree tree_;
    bool loads_count_;
    std::vector<Let> before_;                 // by NodeId
    std::vector<Uses> at_;                    // by NodeId: what hangs on it
    std::vector<Let> behind_node_;            // by NodeId, where wanted
    std::vector<PartId> nearest_;             // by NodeId: the last device on the way from the packs
    std::map<PartId, PartId> before_device_;  // by device: the one before it
    std::vector<bool> wanted_;                // by NodeId
    std::vector<double> behind_A_;            // by branch
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
    double passes_A = 0;
    Let before, behind;
    CurrentRating rating;
};

class Judge {
  public:
    explicit Judge(const RuleInput& input) : input_(input) {}

    void look(const Guards& bars, const Guards& contacts) {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) look_at_point(bars, PartId(i));
        shares_.assign(input_.circuit.node_count(), Shares::unknown);
        for (const FeedTree::Branch& branch : contacts.tree().branches()) look_at_contact(contacts, branch);
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
    void keep(PartId part, const std::string& subject, const Let& before, const Let& behind,
              const CurrentRating& rating) {
        const double passes_A = std::min(before.current_A, behind.current_A);
        if (passes_A == endless_A || rating.may_A <= 0 || !above(passes_A, rating.may_A)) return;
        Weak& worst = worst_[{part, subject}];
        if (passes_A > worst.passes_A) worst = {passes_A, before, behind, rating};
    }
    void look_at_point(const Guards& guards, PartId id) {
        const auto rating = point_rating(input_.facts, id);
        const Part& part = input_.harness.part(id);
        if (!rating) return;
        std::set<NodeId> nodes;
        for (std::size_t k = 0; k < part.terminals.count; ++k)
            nodes.insert(input_.circuit.node(TerminalId(part.terminals.first + k)));
        for (const NodeId node : nodes)
            if (guards.tree().reached(node))
                keep(id, std::string(part.name), guards.before(node), guards.behind(node), *rating);
    }
    void look_at_contact(const Guards& guards, const FeedTree::Branch& branch) {
        if (!branch.single()) return;
        const Edge& edge = input_.circuit.edge(branch.edges.front());
        if (edge.role != EdgeRole::contact && edge.role != EdgeRole::switching &&
            edge.role != EdgeRole::diode && edge.role != EdgeRole::shunt)
            return;
        const NodeId below = branch.below.front();
        if (guards.branches_with_use(below) < 2 && !shares(guards, below)) return;
        const auto rating =
            current_rating(input_.facts, edge, input_.facts.ambient(edge.part), Direction::along);
        if (!rating) return;
        keep(edge.part,
             edge.role == EdgeRole::contact ? std::string(input_.harness.terminal(edge.from_terminal).path)
                                            : std::string(input_.harness.part(edge.part).name),
             guards.before(below), guards.behind(below), *rating);
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
        Finding finding = finding_about(input_, "rated-below-guard", Severity::warning, id);
        const bool point = is_point(input_.harness.part(id).kind);
        finding.subject = subject;
        finding.message = (point ? named(input_.harness, id) : "contact " + subject) +
                          " carries less than the devices around it let through";
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
        side("before it", weak.before);
        side("behind it", weak.behind);
        finding.figures = {{"current", weak.passes_A, Dimension::current},
                           {"limit", weak.rating.may_A, Dimension::current}};
        finding.source = "IEC 60364-4-43 433.1 (In <= Iz), for what is no cable: common practice, no source";
        for (const PartId device : weak.before.devices)
            finding.related.push_back(
                {input_.harness.part(device).where, named(input_.harness, device) + " is here"});
        finding.help = "one that carries " + amps(weak.passes_A * weak.rating.stated_A / weak.rating.may_A) +
                       " or more, or smaller devices before or behind it";
        report.add(std::move(finding));
    }

    const RuleInput& input_;
    std::map<std::pair<PartId, std::string>, Weak> worst_;
    std::vector<Shares> shares_;  // by NodeId, of the guards that are looked at
};

void run(const RuleInput& input, Report& report) {
    Judge judge(input);
    const Positions positions(input.circuit);
    for (std::size_t i = 0; i < positions.count(); ++i) {
        const std::vector<bool> open = positions.open(i);
        judge.look(Guards(input, open, false), Guards(input, open, true));
    }
    judge_guarded_contacts(input, judge.told(), report);
    judge.report(report);
}

}  // namespace

extern const RuleFamily rated_below_guard;
const RuleFamily rated_below_guard{infos, run};

}  // namespace loomward::rules
