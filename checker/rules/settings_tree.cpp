#include "checker/rules/settings_tree.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/standing_limit.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double grace = 1.0001;

// Everything that is wired to the packs, summed up for one position of the selectors.
class Sums {
  public:
    Sums(const RuleInput& input, const std::vector<Asker>& askers, const std::vector<bool>& open)
        : input_(input), askers_(askers), tree_(input.circuit, open) {
        const std::size_t nodes = input.circuit.node_count();
        std::vector<double> plus_A(nodes, 0), minus_A(nodes, 0);
        for (std::size_t i = 0; i < askers.size(); ++i) {
            const auto [plus, minus] = poles(askers[i]);
            if (!tree_.reached(plus) || !tree_.reached(minus) || plus == minus) continue;
            if (barred(plus, draws(askers[i])) || barred(minus, !draws(askers[i]))) continue;
            plus_A[plus.index()] += askers[i].current_A;
            minus_A[minus.index()] += askers[i].current_A;
            wired_.push_back(i);
        }
        plus_A_ = tree_.behind(plus_A);
        minus_A_ = tree_.behind(minus_A);
    }

    // Calls `tell` for each conductor and bar with what the askers behind it could ask for together.
    template <class Tell>
    void walk(const Tell& tell) const {
        if (wired_.empty()) return;
        for (std::size_t b = 0; b < tree_.branches().size(); ++b) {
            const FeedTree::Branch& branch = tree_.branches()[b];
            const double plus_A = plus_A_[b], minus_A = minus_A_[b];
            // Both poles behind one conductor: no current of theirs has to pass it.
            if (!branch.single() || (plus_A > 0) == (minus_A > 0)) continue;
            tell(b, plus_A > 0, plus_A + minus_A);
        }
    }
    // Who asks behind a branch.
    std::vector<std::size_t> askers_behind(std::size_t branch, bool plus_side) const {
        std::vector<std::size_t> found;
        for (const std::size_t i : wired_) {
            const auto [plus, minus] = poles(askers_[i]);
            for (std::int32_t at = tree_.branch_to(plus_side ? plus : minus); at >= 0;) {
                if (static_cast<std::size_t>(at) == branch) {
                    found.push_back(i);
                    break;
                }
                const NodeId above = tree_.branches()[static_cast<std::size_t>(at)].above;
                at = above ? tree_.branch_to(above) : -1;
            }
        }
        return found;
    }
    const FeedTree& tree() const { return tree_; }

  private:
    bool draws(const Asker& asker) const {
        return input_.circuit.edge(asker.edge).role == EdgeRole::controller;
    }
    // Controllers run from plus to minus, chargers from minus to plus.
    std::pair<NodeId, NodeId> poles(const Asker& asker) const {
        const Edge& edge = input_.circuit.edge(asker.edge);
        return draws(asker) ? std::pair(edge.from, edge.to) : std::pair(edge.to, edge.from);
    }
    // Whether a diode between a pole and the packs lies against its current, which comes from the packs or
    // goes there.
    bool barred(NodeId pole, bool comes) const {
        for (std::int32_t at = tree_.branch_to(pole); at >= 0;) {
            const FeedTree::Branch& branch = tree_.branches()[static_cast<std::size_t>(at)];
            const Edge& edge = input_.circuit.edge(branch.edges.front());
            if (branch.single() && edge.role == EdgeRole::diode && (edge.from == branch.above) != comes)
                return true;
            at = branch.above ? tree_.branch_to(branch.above) : -1;
        }
        return false;
    }

    const RuleInput& input_;
    const std::vector<Asker>& askers_;
    FeedTree tree_;
    std::vector<std::size_t> wired_;
    std::vector<double> plus_A_, minus_A_;  // by branch
};

class Collector {
  public:
    Collector(const RuleInput& input, const std::vector<Asker>& askers, bool together)
        : input_(input), askers_(askers), together_(together), points_(points_at(input.circuit)) {}

    void look(const Sums& sums, bool charging) {
        sums.walk([&](std::size_t b, bool plus_side, double asked_A) {
            const FeedTree::Branch& branch = sums.tree().branches()[b];
            const Edge& edge = input_.circuit.edge(branch.edges.front());
            // Away from the packs on the plus side, towards them on the other; a charger the other way.
            const bool outwards = plus_side != charging;
            const bool along = (edge.from == branch.above) == outwards;
            consider(sums, b, plus_side, asked_A,
                     standing_limit(input_, edge, along ? Direction::along : Direction::against));
            const auto found = points_.find(branch.below.front());
            if (found == points_.end()) return;
            for (const PartId part : found->second)
                if (const auto may = point_rating(input_.facts, part))
                    consider(sums, b, plus_side, asked_A,
                             StandingLimit{may->may_A,
                                           may->name + " of " + named(input_.harness, part),
                                           may->working,
                                           part,
                                           {},
                                           input_.harness.part(part).where});
        });
    }
    std::vector<Overasked> take() {
        std::vector<Overasked> all;
        for (auto& [who, worst] : worst_) all.push_back(std::move(worst));
        return all;
    }

  private:
    void consider(const Sums& sums, std::size_t branch, bool plus_side, double asked_A,
                  const std::optional<StandingLimit>& limit) {
        if (!limit || limit->may_A <= 0 || asked_A <= limit->may_A * grace) return;
        const std::vector<std::size_t> behind = sums.askers_behind(branch, plus_side);
        if (together_) {
            // Where one alone asks too much, it is told of that one.
            double largest_A = 0;
            for (const std::size_t i : behind) largest_A = std::max(largest_A, askers_[i].current_A);
            if (behind.size() < 2 || largest_A > limit->may_A * grace) return;
            return keep(behind, asked_A, *limit);
        }
        for (const std::size_t i : behind)
            if (askers_[i].current_A > limit->may_A * grace) keep({i}, askers_[i].current_A, *limit);
    }
    void keep(const std::vector<std::size_t>& who, double asked_A, const StandingLimit& limit) {
        const bool of_cells = limit.part && (input_.harness.part(limit.part).kind == Kind::pack ||
                                             input_.harness.part(limit.part).kind == Kind::bms);
        Overasked& worst = worst_[{who, of_cells}];
        if (worst.may_A > 0 && asked_A / limit.may_A <= worst.asked_A / worst.may_A) return;
        worst = {{}, asked_A, limit.may_A, limit.name, limit.working, limit.part, limit.wire, limit.where};
        for (const std::size_t i : who) worst.askers.push_back(askers_[i]);
    }

    const RuleInput& input_;
    const std::vector<Asker>& askers_;
    bool together_;
    std::map<NodeId, std::vector<PartId>> points_;
    // By indexes of askers, of packs and their managements by themselves: what is worse for those is not told
    // by a switch that is weaker still.
    std::map<std::pair<std::vector<std::size_t>, bool>, Overasked> worst_;
};

}  // namespace

std::vector<Asker> asking_controllers(const RuleInput& input) {
    std::vector<Asker> found;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        if (input.circuit.edges[i].role != EdgeRole::controller) continue;
        const PartId part = input.circuit.edges[i].part;
        const std::optional<Setting> setting = asked_of_supply(input.facts, part);
        if (setting && setting->current_A > 0)
            found.push_back({EdgeId(i), part, setting->current_A, setting->working});
    }
    return found;
}

std::vector<Asker> asking_chargers(const RuleInput& input) {
    std::vector<Asker> found;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::charger && edge.role != EdgeRole::converter_output) continue;
        const auto output = input.facts.quantity(edge.part, output_attribute(input.harness, edge.part), 1);
        if (output && output->hi > 0)
            found.push_back({EdgeId(i), edge.part, output->hi, "output " + amps(output->hi)});
    }
    return found;
}

std::vector<Overasked> overasked(const RuleInput& input, const std::vector<Asker>& askers, bool together) {
    if (askers.empty() || (together && askers.size() < 2)) return {};
    const bool charging = input.circuit.edge(askers.front().edge).role != EdgeRole::controller;
    const Positions positions(input.circuit);
    Collector collector(input, askers, together);
    for (std::size_t i = 0; i < positions.count(); ++i)
        collector.look(Sums(input, askers, positions.open(i)), charging);
    return collector.take();
}

}  // namespace loomward
