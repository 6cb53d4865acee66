// What the devices before and behind each conductor let through together, along the tree of conductors.
#pragma once
#include <limits>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "checker/circuit/feed_tree.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule.hpp"

namespace loomward::rules {

inline constexpr double endless_A = std::numeric_limits<double>::infinity();

// What a load draws by its print or setting, A; endless where it does not say.
double rated_draw_A(const RuleInput& input, const Edge& edge);

// What a fuse or breaker is rated for, or a source that limits itself gives, A; endless elsewhere.
double lets_through_A(const RuleInput& input, const Edge& edge);

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

// Both sides of every conductor in one position of the selectors; with devices of other ratings, where they
// are `raised_A` to some.
class Guards {
  public:
    Guards(const RuleInput& input, const std::vector<bool>& open, bool loads_count,
           std::map<PartId, double> raised_A = {})
        : input_(input),
          tree_(input.circuit, open),
          loads_count_(loads_count),
          raised_A_(std::move(raised_A)) {
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
        const auto raised = raised_A_.find(edge.part);
        return raised == raised_A_.end() ? lets_through_A(input_, edge) : raised->second;
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
                const Let& feed = before_[branch.below.front().index()];
                here = {};
                here.put(edge.part, capacity, feed.first, feed.first_A);
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
    std::map<PartId, double> raised_A_;
    std::vector<Let> before_;                 // by NodeId
    std::vector<Uses> at_;                    // by NodeId: what hangs on it
    std::vector<Let> behind_node_;            // by NodeId, where wanted
    std::vector<PartId> nearest_;             // by NodeId: the last device on the way from the packs
    std::map<PartId, PartId> before_device_;  // by device: the one before it
    std::vector<bool> wanted_;                // by NodeId
    std::vector<double> behind_A_;            // by branch
};

}  // namespace loomward::rules
