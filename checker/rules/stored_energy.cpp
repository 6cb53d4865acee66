// Capacitors as sources: a wire that they reach past no device and that what they hold would burn.
//
// From 20 J on stored energy is hazardous (IEC 60950-1 1.2.8.9, memory). All of it goes into the resistance
// of the loop, I2t = E / R: of a short of the wire, or in a load that it feeds, the wires on the way and the
// capacitor's own resistance count, nothing else.
#include <algorithm>
#include <limits>
#include <map>
#include <queue>

#include "checker/parts/elements.hpp"
#include "checker/protection/zones.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/switching/transients.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward::rules::stored_energy {
namespace {

using namespace literals;

constexpr double hazardous_J = 20;
// Double-layer capacitors discharge into a short with a time constant of no less than this (memory); smaller
// ones are electrolytic or film, whose own resistance is not counted on.
constexpr double double_layer_F = 0.1, double_layer_s = 0.25;

// What a capacitor reaches past no device from one of its poles, nearest by resistance.
struct Reach {
    std::vector<double> ohm;  // by NodeId; infinity: not reached
    std::vector<double> length_m;
    std::vector<EdgeId> by;  // towards the capacitor
};

class Discharges {
  public:
    Discharges(const RuleInput& input, Report& report)
        : input_(input), report_(report), potentials_(input), banks_(input.circuit, input.facts) {}

    void look() {
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i)
            if (banks_.is_first(EdgeId(i))) look_at(input_.circuit.edges[i], EdgeId(i));
        for (const auto& [wire, worst] : worst_) tell(wire, worst);
    }

  private:
    struct Stored {
        PartId part;
        double farad = 0, volt = 0, energy_J = 0, own_ohm = 0;
        std::size_t capacitors = 1;  // side by side, that discharge as one
    };
    struct Burnt {
        Stored store;
        double ohm = 0, survives_A2s = 0;
        std::vector<Step> way;
        double passed_A2s() const { return store.energy_J / ohm; }
    };

    void look_at(const Edge& capacitor, EdgeId id) {
        Stored store{capacitor.part, banks_.farad(id), potentials_.highest_V(capacitor.from), 0, 0,
                     banks_.size(id)};
        store.energy_J = store.farad * store.volt * store.volt / 2;
        if (store.energy_J < hazardous_J) return;
        if (store.farad >= double_layer_F) {
            store.own_ohm = double_layer_s / store.farad;
            input_.facts.assume("own resistance of a double-layer capacitor", "0.25 s / capacitance",
                                "memory, no source", input_.harness.part(store.part).name);
        }
        const Reach out = reach(capacitor.from, true), home = reach(capacitor.to, false);
        for (std::size_t i = 0; i < input_.harness.wires.size(); ++i) {
            const Edge& edge = input_.circuit.edge(input_.circuit.edge_of_wire[i]);
            for (const NodeId far : {edge.from, edge.to})
                if (out.by[far.index()] == input_.circuit.edge_of_wire[i])
                    judge(WireId(i), store, shorted_ohm(out, edge, far, store), out.length_m[far.index()],
                          way(out, far, capacitor.from));
        }
        for (const Edge& load : input_.circuit.edges) {
            if (!uses_power(load.role) || load.from == capacitor.from ||
                out.ohm[load.from.index()] == endless || home.ohm[load.to.index()] == endless)
                continue;
            const double ohm = out.ohm[load.from.index()] + home.ohm[load.to.index()];
            for (NodeId here = load.to; home.by[here.index()];) {
                const Edge& edge = input_.circuit.edge(home.by[here.index()]);
                if (edge.wire) judge(edge.wire, store, ohm, home.length_m[here.index()], {});
                here = edge.from == here ? edge.to : edge.from;
            }
        }
    }

    // To the place of the worst short of a wire: the nearer to the capacitor the worse, as its own resistance
    // takes its share; what that is of others is not counted on, and their short lies at the far end.
    double shorted_ohm(const Reach& out, const Edge& wire, NodeId far, const Stored& store) const {
        const NodeId near = wire.from == far ? wire.to : wire.from;
        const double whole_m = out.length_m[far.index()] - out.length_m[near.index()];
        if (store.own_ohm <= 0 || whole_m <= 0) return out.ohm[far.index()];
        const double unharmed_m =
            input_.facts.policy("unprotected-length"_attr).hi - out.length_m[near.index()];
        const double part = std::clamp(unharmed_m / whole_m, 0.0, 1.0);
        return out.ohm[near.index()] + part * (out.ohm[far.index()] - out.ohm[near.index()]);
    }

    static constexpr double endless = std::numeric_limits<double>::infinity();

    Reach reach(NodeId pole, bool out) const {
        const Circuit& circuit = input_.circuit;
        Reach reach{std::vector<double>(circuit.node_count(), endless),
                    std::vector<double>(circuit.node_count(), 0), std::vector<EdgeId>(circuit.node_count())};
        std::priority_queue<std::pair<double, std::uint32_t>, std::vector<std::pair<double, std::uint32_t>>,
                            std::greater<>>
            queue;
        reach.ohm[pole.index()] = 0;
        queue.emplace(0, pole.value);
        while (!queue.empty()) {
            const auto [ohm, node] = queue.top();
            queue.pop();
            if (ohm > reach.ohm[node]) continue;
            for (const Incidence& next : circuit.at(NodeId(node))) {
                const Edge& edge = circuit.edge(next.edge);
                const bool along = out ? edge.from.value == node : edge.to.value == node;
                const bool passes = (is_conductor(edge.role) && !opens_on_current(edge.role)) ||
                                    (edge.role == EdgeRole::diode && along);
                if (!passes) continue;
                const double there =
                    ohm +
                    (edge.wire ? resistance_ohm(circuit, input_.facts, edge, Corner::fault_max, 20) : 0);
                if (there >= reach.ohm[next.other.index()]) continue;
                reach.ohm[next.other.index()] = there;
                reach.by[next.other.index()] = next.edge;
                reach.length_m[next.other.index()] =
                    reach.length_m[node] + (edge.wire ? input_.harness.wire(edge.wire).length.hi : 0);
                queue.emplace(there, next.other.value);
            }
        }
        return reach;
    }
    std::vector<Step> way(const Reach& reach, NodeId far, NodeId pole) const {
        std::vector<EdgeId> edges;
        for (NodeId here = far; reach.by[here.index()];) {
            edges.push_back(reach.by[here.index()]);
            const Edge& edge = input_.circuit.edge(edges.back());
            here = edge.from == here ? edge.to : edge.from;
        }
        std::reverse(edges.begin(), edges.end());
        return steps_along(input_.circuit, pole, edges);
    }

    void judge(WireId id, const Stored& store, double wires_ohm, double far_m,
               const std::vector<Step>& steps) {
        const Wire& wire = input_.harness.wire(id);
        // What no device guards at all is told already.
        if (!wire.area.is_known() || input_.proof.wires[id.index()].unguarded()) return;
        if (far_m <= input_.facts.policy("unprotected-length"_attr).hi * 1.0001) return;
        const double service_degC = conductor_limit_degC(input_.facts, id);
        const double limit_degC =
            short_circuit_limit_degC(wire.insulation, wire.insulation_limit_degC, wire.area.lo);
        if (limit_degC <= service_degC) return;
        const double k = adiabatic_k(service_degC, limit_degC, wire.aluminium);
        const double area_mm2 = wire.area.lo * wire.parallel;
        Burnt burnt{store, store.own_ohm + wires_ohm, k * k * area_mm2 * area_mm2, steps};
        if (burnt.ohm <= 0 || !above(burnt.passed_A2s(), burnt.survives_A2s)) return;
        const auto [found, fresh] = worst_.try_emplace(id, burnt);
        if (!fresh && burnt.passed_A2s() > found->second.passed_A2s()) found->second = burnt;
    }

    void tell(WireId id, const Burnt& burnt) {
        const Stored& store = burnt.store;
        Finding finding = finding_about(input_, "unprotected-wire", Severity::error, id);
        finding.message = named(input_.harness, id) + " has no fuse or breaker between it and " +
                          named(input_.harness, store.part);
        finding.beside = to_text(store.energy_J, Dimension::energy) + " stored there burn it";
        finding.working = {
            to_text(store.energy_J, Dimension::energy) + " = " +
                to_text(store.farad, Dimension::capacitance) + " x (" + volts(store.volt) + ")2 / 2" +
                (store.capacitors > 1 ? " (" + std::to_string(store.capacitors) + " side by side)" : ""),
            to_text(burnt.passed_A2s(), Dimension::joule_integral) + " = " +
                to_text(store.energy_J, Dimension::energy) + " / " +
                to_text(burnt.ohm, Dimension::resistance) + " (" +
                (store.own_ohm > 0 ? to_text(store.own_ohm, Dimension::resistance) + " of its own and "
                                   : "") +
                "the wires on the way) > " + to_text(burnt.survives_A2s, Dimension::joule_integral) +
                " that it survives"};
        finding.figures = {{"stored", store.energy_J, Dimension::energy}};
        finding.witness = burnt.way;
        finding.source = "IEC 60364-4-43 434.5.2; stored energy from 20 J on, IEC 60950-1 1.2.8.9 (memory)";
        finding.related.push_back({input_.harness.part(store.part).where,
                                   named(input_.harness, store.part) + " is a source for a moment"});
        finding.help = "a fuse at the capacitor that opens before " +
                       to_text(burnt.survives_A2s, Dimension::joule_integral) + ", or a thicker wire";
        report_.add(std::move(finding));
    }
    const RuleInput& input_;
    Report& report_;
    Potentials potentials_;
    CapacitorBanks banks_;
    std::map<WireId, Burnt> worst_;
};

void run(const RuleInput& input, Report& report) {
    Discharges(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{{}, run};

}  // namespace loomward::rules::stored_energy
