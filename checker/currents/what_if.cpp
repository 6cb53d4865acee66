#include "checker/currents/what_if.hpp"

#include <algorithm>
#include <limits>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/currents/mode_network.hpp"

namespace loomward {

void open_contact(const Circuit& circuit, Mode& mode, EdgeId contact) {
    const Edge& edge = circuit.edge(contact);
    if (is_driver(edge.role)) {
        const TerminalId pin = edge.role == EdgeRole::low_side ? edge.from_terminal : edge.to_terminal;
        const auto& pins = circuit.harness->driver_pins;
        const auto found = std::lower_bound(pins.begin(), pins.end(), pin);
        if (found != pins.end() && *found == pin)
            mode.pin_states[static_cast<std::size_t>(found - pins.begin())].posture = Posture::off;
        return;
    }
    State& state = mode.states[edge.part.index()];
    switch (circuit.harness->part(edge.part).kind) {
        case Kind::selector:
            state.position = std::numeric_limits<std::uint16_t>::max();
            break;
        case Kind::relay:
            state.posture = edge.throw_ == 0 ? Posture::released : Posture::energised;
            break;
        case Kind::connector:
            state.posture = Posture::unmated;
            break;
        default:
            state.posture = Posture::open;
            break;
    }
}

void set_pulled(const Circuit& circuit, Mode& mode, PartId part, bool pulled) {
    const bool relay = circuit.harness->part(part).kind == Kind::relay;
    mode.states[part.index()].posture =
        pulled ? (relay ? Posture::energised : Posture::closed) : (relay ? Posture::released : Posture::open);
}

bool is_pulled(const Mode& mode, PartId part) {
    const Posture posture = mode.states[part.index()].posture;
    return posture == Posture::closed || posture == Posture::energised;
}

struct WhatIf::Values {
    CornerValues at;
};

WhatIf::WhatIf(const Circuit& circuit, const Facts& facts)
    : circuit_(circuit),
      facts_(facts),
      values_(std::make_unique<Values>(Values{values_at(circuit, facts, Corner::run_full)})) {}
WhatIf::~WhatIf() = default;

OperatingPoint WhatIf::solve(const Mode& mode, ModeId id) const {
    std::vector<double> wire_degC(circuit_.harness->wires.size());
    for (std::size_t i = 0; i < wire_degC.size(); ++i) wire_degC[i] = facts_.ambient(WireId(i), id).lo;
    NetworkBuilder builder(circuit_, facts_, values_->at, mode, 1e-9);
    builder.build(wire_degC);
    OperatingPoint point;
    point.mode = id;
    point.corner = Corner::run_full;
    NetworkSolution solution = loomward::solve(builder.network());
    point.status = solution.status;
    if (solution.status == SolveStatus::not_converged) return point;
    point.node_V = std::move(solution.node_V);
    point.edge_A.assign(circuit_.edges.size(), 0);
    for (std::size_t i = 0; i < solution.branch_A.size(); ++i)
        point.edge_A[builder.edge_of(static_cast<std::uint32_t>(i)).index()] = solution.branch_A[i];
    return point;
}

namespace {

bool conducts_now(const Circuit& circuit, const Mode& mode, const Edge& edge) {
    return (is_conductor(edge.role) || is_driver(edge.role)) && is_closed(circuit, mode, edge);
}
// What a small current gets through.
bool lets_through(EdgeRole role) {
    return role == EdgeRole::resistor || uses(role) || one_way(role);
}

// What hangs together over conductors, which of it is a pole of a source, and what lies between.
class Poles {
  public:
    Poles(const Circuit& circuit, const Mode& mode, EdgeId left_out)
        : sets_(circuit.node_count()),
          plus_(circuit.node_count()),
          minus_(circuit.node_count()),
          upstream_(circuit.node_count()),
          downstream_(circuit.node_count()) {
        for (const Edge& edge : circuit.edges)
            if (conducts_now(circuit, mode, edge)) sets_.join(edge.from.index(), edge.to.index());
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            const std::size_t from = sets_.find(edge.from.index()), to = sets_.find(edge.to.index());
            if (EdgeId(i) == left_out) continue;
            if (is_standing_source(edge.role)) minus_[from] = plus_[to] = true;
            if (from == to || !lets_through(edge.role)) continue;
            downstream_[from].push_back(to);
            upstream_[to].push_back(from);
            if (one_way(edge.role)) continue;
            downstream_[to].push_back(from);
            upstream_[from].push_back(to);
        }
    }
    // Whether a node gets to a pole of that kind without passing one of the other.
    bool reaches(NodeId node, bool plus) {
        const std::vector<bool>&wanted = plus ? plus_ : minus_, &barred = plus ? minus_ : plus_;
        const auto& beside = plus ? upstream_ : downstream_;
        std::vector<std::size_t> queue{sets_.find(node.index())};
        std::vector<bool> seen(beside.size());
        seen[queue.front()] = true;
        for (std::size_t head = 0; head < queue.size(); ++head) {
            if (wanted[queue[head]]) return true;
            if (barred[queue[head]]) continue;
            for (const std::size_t next : beside[queue[head]])
                if (!seen[next]) seen[next] = true, queue.push_back(next);
        }
        return false;
    }

  private:
    DisjointSets sets_;
    std::vector<bool> plus_, minus_;
    std::vector<std::vector<std::size_t>> upstream_, downstream_;  // towards a plus, towards a minus
};

}  // namespace

bool can_be_fed(const Circuit& circuit, const Mode& mode, NodeId node, EdgeId own) {
    return Poles(circuit, mode, own).reaches(node, true);
}

bool can_be_driven(const Circuit& circuit, const Mode& mode, EdgeId id) {
    Poles poles(circuit, mode, id);
    const Edge& edge = circuit.edge(id);
    return (poles.reaches(edge.from, true) && poles.reaches(edge.to, false)) ||
           (poles.reaches(edge.from, false) && poles.reaches(edge.to, true));
}

}  // namespace loomward
