// The voltages that can stand in each part of the circuit, from the topology alone (class Potentials).
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/faults/fault.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/panel_figures.hpp"
#include "checker/parts/positions.hpp"
#include "checker/protection/return_tree.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward {

using namespace literals;

namespace {

// Full voltage of a source edge, V; 0 for other edges and where it is not known.
double full_voltage_V(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::emf) {
        const auto section = pack_section(input.circuit, input.facts, edge, Corner::run_full);
        if (section) return section->voltage_V;
        const auto whole = pack_voltage(input.facts, edge.part);
        return whole ? whole->hi : 0;
    }
    if (edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output) {
        const auto output = input.facts.quantity(edge.part, output_attribute(input.harness, edge.part));
        return output ? output->hi : 0;
    }
    if (edge.role == EdgeRole::panel) return cold_voltage(input.facts, edge.part).open_circuit_V;
    return 0;
}

// What lifts one zone above another: a source by its voltage; a diode and a driver by none, and one way only.
// A diode across a load would else make one zone of plus and minus, and nothing would stand anywhere.
struct Lift {
    std::size_t from = 0, to = 0;
    double by_V = 0;
};

std::vector<Lift> lifts_of(const RuleInput& input, const std::vector<std::uint32_t>& zone) {
    std::vector<Lift> lifts;
    for (const Edge& edge : input.circuit.edges) {
        const double by_V = full_voltage_V(input, edge);
        if (by_V <= 0 && edge.role != EdgeRole::diode && !is_driver(edge.role)) continue;
        const Lift lift{zone[edge.from.index()], zone[edge.to.index()], by_V};
        if (lift.from != lift.to) lifts.push_back(lift);
    }
    return lifts;
}

// Whether a source lifts where it leads to above where it comes from, on a way that ends there again: such a
// diode lies across a source in its own direction (rule shorting-diode tells) and would lift without end.
bool goes_round(const std::vector<Lift>& lifts, const std::vector<std::vector<std::size_t>>& leaving,
                const Lift& lift) {
    std::set<std::pair<std::size_t, bool>> seen{{lift.to, lift.by_V > 0}};
    std::vector<std::pair<std::size_t, bool>> queue(seen.begin(), seen.end());
    for (std::size_t head = 0; head < queue.size(); ++head) {
        const auto [zone, lifted] = queue[head];
        if (zone == lift.from && lifted) return true;
        for (const std::size_t next : leaving[zone]) {
            const std::pair<std::size_t, bool> there{lifts[next].to, lifted || lifts[next].by_V > 0};
            if (seen.insert(there).second) queue.push_back(there);
        }
    }
    return false;
}

void leave_out_what_goes_round(std::vector<Lift>& lifts, std::size_t zones) {
    std::vector<std::vector<std::size_t>> leaving(zones);
    for (std::size_t i = 0; i < lifts.size(); ++i) leaving[lifts[i].from].push_back(i);
    std::vector<Lift> kept;
    for (const Lift& lift : lifts)
        if (lift.by_V > 0 || !goes_round(lifts, leaving, lift)) kept.push_back(lift);
    lifts = std::move(kept);
}

// Of sources between the same two zones the highest; diodes and drivers as they are.
std::vector<Lift> highest_of(const std::vector<Lift>& lifts) {
    std::map<std::pair<std::size_t, std::size_t>, double> highest;
    std::vector<Lift> kept;
    for (const Lift& lift : lifts) {
        if (lift.by_V <= 0) {
            kept.push_back(lift);
            continue;
        }
        double& known = highest[{lift.from, lift.to}];
        known = std::max(known, lift.by_V);
    }
    for (const auto& [ends, by_V] : highest) kept.push_back({ends.first, ends.second, by_V});
    return kept;
}

// Over sources alone.
bool leads_to(const std::vector<Lift>& lifts, std::size_t from, std::size_t to) {
    std::set<std::size_t> reached{from};
    for (bool changed = true; changed && !reached.contains(to);) {
        changed = false;
        for (const Lift& lift : lifts)
            if (lift.by_V > 0 && reached.contains(lift.from))
                changed = reached.insert(lift.to).second || changed;
    }
    return reached.contains(to);
}

// Sources in a ring, as a charger with its leads crossed and the pack: each of them counts once, and
// everything in the ring may come to stand at their sum. Its zones become one, its lifts are taken out. What
// is handed back is that sum, by zone.
std::vector<double> join_rings(std::vector<Lift>& lifts, std::vector<std::uint32_t>& zone) {
    std::vector<double> base_V(zone.size(), 0);
    lifts = highest_of(lifts);
    DisjointSets rings(zone.size());
    std::vector<Lift> in_ring, others;
    for (const Lift& lift : lifts) {
        const bool ring = lift.by_V > 0 && leads_to(lifts, lift.to, lift.from);
        (ring ? in_ring : others).push_back(lift);
        if (ring) rings.join(lift.from, lift.to);
    }
    if (in_ring.empty()) return base_V;
    for (std::uint32_t& each : zone) each = static_cast<std::uint32_t>(rings.find(each));
    for (const Lift& lift : in_ring) base_V[rings.find(lift.from)] += lift.by_V;
    lifts.clear();
    for (const Lift& lift : others) {
        const Lift joined{rings.find(lift.from), rings.find(lift.to), lift.by_V};
        if (joined.from != joined.to) lifts.push_back(joined);
    }
    return base_V;
}

// The voltages with these contacts open and all others closed.
class Standing {
  public:
    Standing(const RuleInput& input, const std::vector<bool>& open)
        : circuit_(input.circuit),
          open_(open),
          zone_(circuit_.node_count()),
          above_V_(circuit_.node_count(), 0),
          top_V_(circuit_.node_count(), 0) {
        DisjointSets sets(circuit_.node_count());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (is_conductor(circuit_.edges[i].role) && !open_[i])
                sets.join(circuit_.edges[i].from.index(), circuit_.edges[i].to.index());
        for (std::size_t i = 0; i < zone_.size(); ++i) zone_[i] = static_cast<std::uint32_t>(sets.find(i));
        lifts_ = lifts_of(input, zone_);
        above_V_ = join_rings(lifts_, zone_);
        leave_out_what_goes_round(lifts_, circuit_.node_count());
        lift();
        for (const double top_V : top_V_) dead_.push_back(top_V <= 0);
        while (fill_behind_resistors()) lift();
    }

    double above_V(NodeId node) const { return above_V_[zone_[node.index()]]; }
    double top_V(NodeId node) const { return top_V_[zone_[node.index()]]; }
    // By EdgeId: the highest feed of the loads whose return leads there.
    std::vector<double> behind_V() const {
        std::vector<bool> forward(circuit_.node_count()), conducts(circuit_.edges.size());
        for (std::size_t i = 0; i < forward.size(); ++i) forward[i] = above_V(NodeId(i)) > 0;
        for (std::size_t i = 0; i < conducts.size(); ++i) {
            const EdgeRole role = circuit_.edges[i].role;
            conducts[i] = (is_conductor(role) || role == EdgeRole::diode || is_driver(role)) && !open_[i];
        }
        const ReturnTree tree(circuit_, forward, conducts);
        return tree.collect<double>([&](std::size_t i) { return above_V(tree.loads()[i].feed); },
                                    [](const double& a, const double& b) { return std::max(a, b); });
    }

  private:
    // Strings of sources: as often as there are lifts at the most, so that a ring of them ends too.
    void lift() {
        bool changed = true;
        for (std::size_t pass = 0; pass < lifts_.size() && changed; ++pass) {
            changed = false;
            for (const Lift& each : lifts_) {
                const double reached_V = above_V_[each.from] + each.by_V;
                if (reached_V > above_V_[each.to] + 1e-9) above_V_[each.to] = reached_V, changed = true;
            }
        }
        for (std::size_t i = 0; i < top_V_.size(); ++i) top_V_[i] = std::max(top_V_[i], above_V_[i]);
        changed = true;
        for (std::size_t pass = 0; pass < lifts_.size() && changed; ++pass) {
            changed = false;
            for (const Lift& each : lifts_)
                if (top_V_[each.from] < top_V_[each.to]) top_V_[each.from] = top_V_[each.to], changed = true;
        }
    }
    // What is reached through resistors alone (precharge, sense leads) can rise to the highest that feeds it,
    // whichever of them is looked at first.
    bool fill_behind_resistors() {
        bool any = false;
        const auto raise = [&](std::uint32_t dead, std::uint32_t fed) {
            if (top_V_[fed] <= top_V_[dead] + 1e-9 && above_V_[fed] <= above_V_[dead] + 1e-9) return false;
            top_V_[dead] = std::max(top_V_[dead], top_V_[fed]);
            above_V_[dead] = std::max(above_V_[dead], above_V_[fed]);
            return true;
        };
        for (bool changed = true; changed; any = any || changed) {
            changed = false;
            for (const Edge& edge : circuit_.edges) {
                if (edge.role != EdgeRole::resistor) continue;
                const std::uint32_t a = zone_[edge.from.index()], b = zone_[edge.to.index()];
                if (dead_[a]) changed = raise(a, b) || changed;
                if (dead_[b]) changed = raise(b, a) || changed;
            }
        }
        return any;
    }

    const Circuit& circuit_;
    const std::vector<bool>& open_;
    std::vector<std::uint32_t> zone_;      // by NodeId: what hangs together over conductors and devices
    std::vector<double> above_V_, top_V_;  // by zone
    std::vector<bool> dead_;               // by zone: no source leads there but through resistors
    std::vector<Lift> lifts_;
};

// Whether all contacts closed at once would short a source, as change-over contacts that reverse a motor do:
// then nothing would be said to stand there.
bool shorts_a_source(const RuleInput& input) {
    DisjointSets sets(input.circuit.node_count());
    for (const Edge& edge : input.circuit.edges)
        if (is_conductor(edge.role)) sets.join(edge.from.index(), edge.to.index());
    return std::any_of(input.circuit.edges.begin(), input.circuit.edges.end(), [&](const Edge& edge) {
        return full_voltage_V(input, edge) > 0 && sets.same(edge.from.index(), edge.to.index());
    });
}

}  // namespace

Potentials::Potentials(const RuleInput& input)
    : zone_(input.circuit.node_count()),
      above_V_(input.circuit.node_count(), 0),
      top_V_(input.circuit.node_count(), 0),
      behind_V_(input.circuit.edges.size(), 0),
      circuit_(input.circuit) {
    const auto take = [&](const std::vector<bool>& open) {
        const Standing now(input, open);
        for (std::size_t i = 0; i < zone_.size(); ++i) {
            zone_[i] = static_cast<std::uint32_t>(i);
            above_V_[i] = std::max(above_V_[i], now.above_V(NodeId(i)));
            top_V_[i] = std::max(top_V_[i], now.top_V(NodeId(i)));
        }
        const std::vector<double> behind_V = now.behind_V();
        for (std::size_t i = 0; i < behind_V.size(); ++i) behind_V_[i] = std::max(behind_V_[i], behind_V[i]);
    };
    take(std::vector<bool>(circuit_.edges.size(), false));
    if (shorts_a_source(input)) {
        const Positions positions(circuit_);
        for (std::size_t number = 0; number < positions.count(); ++number) take(positions.open(number));
        for (const std::vector<bool>& open : contact_positions(circuit_)) take(open);
    }
    // In the minus lead of panels stands what they lift.
    const PanelField field = panel_field(circuit_, input.facts);
    for (const EdgeId panel : field.panels()) {
        const std::uint32_t island = circuit_.island_of_node[circuit_.edge(panel).to.index()];
        const double lifted_V = above_V_[circuit_.edge(panel).to.index()];
        for (std::size_t i = 0; i < behind_V_.size(); ++i)
            if (field.through_A(EdgeId(i)) > 0 &&
                circuit_.island_of_node[circuit_.edges[i].from.index()] == island)
                behind_V_[i] = std::max(behind_V_[i], lifted_V);
    }
}

double Potentials::across_when_open_V(EdgeId id) const {
    const Edge& edge = circuit_.edge(id);
    const bool back = above_V_[zone_[edge.from.index()]] <= 0;
    return back ? behind_V_[id.index()] : top_V_[zone_[edge.from.index()]];
}

}  // namespace loomward
