#include "checker/circuit/panel_field.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/ways.hpp"

namespace loomward {

namespace {

constexpr std::uint32_t no_edge = 0xFFFFFFFFU;

std::uint32_t number(NodeId node) {
    return static_cast<std::uint32_t>(node.index());
}

}  // namespace

// The circuit with its conductors cut down to a tree, so that nothing goes round without a panel.
struct PanelField::Net {
    std::vector<std::uint32_t> place;  // by EdgeId: in the network
    std::unique_ptr<FlowNetwork> flows;
};

PanelField::PanelField(const Circuit& circuit, PanelFigures figures)
    : circuit_(circuit),
      figures_(std::move(figures)),
      strings_(circuit, figures_.open_circuit_V, [](EdgeId) { return true; }),
      through_A_(circuit.edges.size(), 0) {
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (circuit_.edges[i].role == EdgeRole::panel) panels_.emplace_back(i);
    if (panels_.empty()) return;
    for (const EdgeId id : panels_) all_A_ += figures_.short_circuit_A[id.index()];
    if (all_A_ <= 0) return;
    DisjointSets led = pieces(circuit_, [&](EdgeId id) { return conducts(circuit_.edge(id).role); });
    std::vector<bool> leads(circuit_.node_count(), false);
    for (const EdgeId id : panels_)
        for (const NodeId end : {circuit_.edge(id).from, circuit_.edge(id).to})
            leads[led.find(end.index())] = true;
    const std::unique_ptr<Net> base = net_with({});
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (!leads[led.find(edge.from.index())]) continue;
        if (!conducts(edge.role) && edge.role != EdgeRole::panel_input) continue;
        if (edge.from == edge.to) continue;
        if (base->place[i] != no_edge)
            through_A_[i] = around_A(*base, EdgeId(i));
        else if (is_conductor(edge.role))
            through_A_[i] = around_A(*net_with(EdgeId(i)), EdgeId(i));
    }
}

// Across panels, in their direction: it carries what a shaded one does not.
bool PanelField::bypasses(const Edge& diode) const {
    std::vector<bool> reached(circuit_.node_count(), false);
    reached[strings_.zone(diode.from)] = true;
    for (bool changed = true; changed;) {
        changed = false;
        for (const EdgeId id : panels_) {
            const std::uint32_t from = strings_.zone(circuit_.edge(id).from);
            const std::uint32_t to = strings_.zone(circuit_.edge(id).to);
            if (reached[from] && !reached[to]) reached[to] = changed = true;
        }
    }
    return reached[strings_.zone(diode.to)];
}

std::unique_ptr<PanelField::Net> PanelField::net_with(EdgeId first) const {
    auto net = std::make_unique<Net>();
    net->place.assign(circuit_.edges.size(), no_edge);
    std::vector<FlowEdge> edges;
    DisjointSets tree(circuit_.node_count());
    const auto take = [&](std::size_t i, double there_A, double back_A) {
        const Edge& edge = circuit_.edges[i];
        net->place[i] = static_cast<std::uint32_t>(edges.size());
        edges.push_back({number(edge.from), number(edge.to), there_A, back_A});
    };
    const auto take_conductor = [&](std::size_t i) {
        const Edge& edge = circuit_.edges[i];
        if (tree.same(edge.from.index(), edge.to.index())) return;
        tree.join(edge.from.index(), edge.to.index());
        take(i, all_A_, all_A_);
    };
    if (first) take_conductor(first.index());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (is_conductor(edge.role) && EdgeId(i) != first)
            take_conductor(i);
        else if (edge.role == EdgeRole::panel)
            take(i, figures_.short_circuit_A[i], 0);
        else if (edge.role == EdgeRole::panel_input || uses(edge.role))
            take(i, all_A_, 0);
        else if (edge.role == EdgeRole::emf)
            take(i, 0, all_A_);
        else if (one_way(edge.role) && !bypasses(edge))
            take(i, all_A_, 0);
    }
    net->flows = std::make_unique<FlowNetwork>(static_cast<std::uint32_t>(circuit_.node_count()), edges);
    return net;
}

// What can flow round through an edge: from its one end back to the other.
double PanelField::around_A(Net& net, EdgeId id) const {
    const Edge& edge = circuit_.edge(id);
    const std::uint32_t place = net.place[id.index()];
    const bool both_ways = is_conductor(edge.role);
    net.flows->set(place, 0, 0);
    double most_A = net.flows->between(number(edge.to), number(edge.from)).capacity;
    if (both_ways) most_A = std::max(most_A, net.flows->between(number(edge.from), number(edge.to)).capacity);
    net.flows->set(place, all_A_, both_ways ? all_A_ : 0);
    return most_A;
}

double PanelField::through_A(EdgeId edge) const {
    return through_A_[edge.index()];
}

// What arrives leaves as well: half of all that its neighbours carry.
double PanelField::arrives_A(NodeId node) const {
    double sum_A = 0, most_A = 0;
    for (const Incidence& next : circuit_.at(node)) {
        const double each_A = circuit_.edge(next.edge).role == EdgeRole::panel
                                  ? figures_.short_circuit_A[next.edge.index()]
                                  : through_A_[next.edge.index()];
        sum_A += each_A;
        most_A = std::max(most_A, each_A);
    }
    return std::max(most_A, sum_A / 2);
}

BackFeed PanelField::back_into(EdgeId panel) const {
    std::vector<FlowEdge> edges;
    std::vector<std::size_t> edge_at;
    std::vector<std::uint32_t> guards;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        double there_A = all_A_, back_A = all_A_;
        if (edge.role == EdgeRole::panel)
            there_A = EdgeId(i) == panel ? 0 : figures_.short_circuit_A[i],
            back_A = EdgeId(i) == panel ? 0 : all_A_;
        else if (one_way(edge.role) && !bypasses(edge))
            back_A = 0;
        else if (!is_conductor(edge.role))
            continue;
        if (is_protective(edge.role) && figures_.rated_A[i] > 0)
            guards.push_back(static_cast<std::uint32_t>(edges.size()));
        edges.push_back({number(edge.from), number(edge.to), there_A, back_A});
        edge_at.push_back(i);
    }
    FlowNetwork flows(static_cast<std::uint32_t>(circuit_.node_count()), edges);
    const std::uint32_t from = number(circuit_.edge(panel).from), to = number(circuit_.edge(panel).to);
    const FlowBound bare = flows.between(from, to);
    BackFeed back{bare.capacity, 0, {}};
    for (const std::uint32_t each : bare.cut)
        if (circuit_.edges[edge_at[each]].role == EdgeRole::panel) back.fed_by.emplace_back(edge_at[each]);
    for (const std::uint32_t each : guards) {
        const double rated_A = std::min(all_A_, figures_.rated_A[edge_at[each]]);
        flows.set(each, rated_A, rated_A);
    }
    back.guarded_A = flows.between(from, to).capacity;
    return back;
}

std::vector<PanelField::OnPack> PanelField::on_packs() const {
    std::vector<OnPack> found;
    if (panels_.empty()) return found;
    std::vector<FlowEdge> edges;
    std::vector<EdgeId> edge_at;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role != EdgeRole::panel && edge.role != EdgeRole::emf && !one_way(edge.role)) continue;
        edges.push_back({strings_.zone(edge.from), strings_.zone(edge.to), 1, -1});
        edge_at.emplace_back(i);
    }
    std::vector<bool> seen(edges.size(), false);
    for (std::size_t start = 0; start < edges.size(); ++start) {
        if (seen[start] || circuit_.edge(edge_at[start]).role != EdgeRole::emf) continue;
        const Blocks blocks =
            find_blocks(edges[start].a, static_cast<std::uint32_t>(circuit_.node_count()), edges);
        for (const std::vector<std::uint32_t>& block : blocks.edges_of_block) {
            EdgeId panel, section;
            for (const std::uint32_t each : block) {
                seen[each] = true;
                const EdgeId id = edge_at[each];
                EdgeId& first = circuit_.edge(id).role == EdgeRole::panel ? panel : section;
                if (circuit_.edge(id).role != EdgeRole::panel && circuit_.edge(id).role != EdgeRole::emf)
                    continue;
                if (!first || id.index() < first.index()) first = id;
            }
            if (panel && section) found.push_back({panel, section});
        }
    }
    return found;
}

}  // namespace loomward
