#include "checker/protection/protection_zones.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "checker/currents/loading.hpp"
#include "checker/protection/proof.hpp"
#include "checker/protection/zones.hpp"

namespace loomward {

using namespace literals;

namespace {

using Guard = ProtectionZone::Guard;

// What makes two wires members of one zone.
struct ZoneKey {
    Guard guard{};
    std::vector<EdgeId> cut;
    double current_A = 0;
    std::uint32_t conductors = 0;  // where no device guards: what hangs together

    auto tied() const { return std::tie(guard, cut, current_A, conductors); }
    bool operator<(const ZoneKey& other) const { return tied() < other.tied(); }
};

class ZoneMaker {
  public:
    ZoneMaker(const Circuit& circuit, const Facts& facts, const Zones& zones, const Proof& proof,
              const std::vector<WireLoading>& wires)
        : circuit_(circuit),
          facts_(facts),
          zones_(zones),
          proof_(proof),
          wires_(wires),
          capacities_(circuit, facts),
          allowed_m_(facts.policy("unprotected-length"_attr).hi) {}

    std::vector<ProtectionZone> make() {
        std::map<ZoneKey, ProtectionZone> by_key;
        for (std::size_t i = 0; i < wires_.size(); ++i) {
            const ZoneKey key = key_of(WireId(i));
            const auto [found, fresh] = by_key.try_emplace(key);
            if (fresh) begin(found->second, key);
            add(found->second, WireId(i));
        }
        name_unknown(by_key);
        std::vector<ProtectionZone> made;
        for (auto& [key, zone] : by_key) made.push_back(std::move(zone));
        return made;
    }

  private:
    ZoneKey key_of(WireId id) const {
        const WireProof& wire = proof_.wires[id.index()];
        if (wire.side == Side::neither) return {Guard::no_source, {}, 0, 0};
        if (!wire.unguarded()) {
            const Bound& bound = wire.guarding();
            // A return that no load can send anything into.
            if (bound.current_A <= 0) return {Guard::no_source, {}, 0, 0};
            const bool devices = std::any_of(bound.cut.begin(), bound.cut.end(), [&](EdgeId device) {
                return is_protective(circuit_.edge(device).role);
            });
            return {devices ? Guard::devices : Guard::electronics, bound.cut, bound.current_A, 0};
        }
        const NodeId fed = feed(id);
        const double reach_m = far_m(id);
        const Guard guard = !std::isfinite(reach_m)          ? Guard::not_known
                            : reach_m <= allowed_m_ * 1.0001 ? Guard::short_leads
                                                             : Guard::none;
        return {guard, {}, unbounded_A, zones_.zone_of_node[fed.index()]};
    }

    // The end of the wire that lies farther from the source; of a return the feed of its worst load.
    NodeId feed(WireId id) const {
        const WireProof& wire = proof_.wires[id.index()];
        if (wire.side == Side::back && wire.worst_load) {
            const Edge& load = circuit_.edge(wire.worst_load);
            return proof_.side_of_node[load.from.index()] == Side::forward ? load.from : load.to;
        }
        const Edge& edge = circuit_.edge(circuit_.edge_of_wire[id.index()]);
        return distance_m(edge.from) > distance_m(edge.to) ? edge.from : edge.to;
    }
    double distance_m(NodeId node) const { return zones_.source_distance_m[node.index()]; }
    // Of a return its own length, if its load is reached at all.
    double far_m(WireId id) const {
        const double length_m = circuit_.harness->wire(id).length.hi;
        const double reached_m = distance_m(feed(id));
        if (proof_.wires[id.index()].side == Side::back)
            return std::isfinite(reached_m) ? length_m : reached_m;
        const Edge& edge = circuit_.edge(circuit_.edge_of_wire[id.index()]);
        const double near_m = std::min(distance_m(edge.from), distance_m(edge.to));
        return std::max(reached_m, near_m + length_m);
    }

    void begin(ProtectionZone& zone, const ZoneKey& key) const {
        zone.guard = key.guard;
        zone.current_A = key.current_A;
        std::vector<EdgeId> cut = key.cut;
        std::sort(cut.begin(), cut.end(), [&](EdgeId a, EdgeId b) {
            return std::pair(circuit_.edge(a).part, a) < std::pair(circuit_.edge(b).part, b);
        });
        for (const EdgeId id : cut) zone.devices.push_back(guard_of(circuit_.edge(id)));
    }
    ZoneGuard guard_of(const Edge& edge) const {
        if (is_protective(edge.role)) {
            const OperatingCurrent operating = operating_current(facts_, edge.part);
            return {edge.part, false, operating.current_A,
                    operating.working + " = " + to_text(operating.current_A, Dimension::current)};
        }
        const double current_A =
            is_source(edge.role) ? capacities_.source_A(edge) : capacities_.guard_A(edge, true);
        const bool limit = !opens_on_current(edge.role);
        return {edge.part, limit, current_A, to_text(current_A, Dimension::current)};
    }

    void add(ProtectionZone& zone, WireId id) const {
        zone.wires.push_back(id);
        if (zone.guard == Guard::none || zone.guard == Guard::short_leads) {
            // The way to a return is the way to what its worst load is fed from.
            const bool back = proof_.wires[id.index()].side == Side::back;
            const double reach_m = back ? distance_m(feed(id)) : far_m(id);
            if (!zone.witness.empty() && reach_m <= zone.reach_m) return;
            zone.reach_m = reach_m;
            zone.witness = way_from_source(circuit_, zones_, feed(id));
        }
        if (!std::isfinite(zone.current_A) || zone.current_A <= 0 ||
            !circuit_.harness->wire(id).area.is_known())
            return;
        const double ampacity_A = standing_ampacity(facts_, id, wires_[id.index()]).current_A;
        if (zone.weakest && ampacity_A >= zone.weakest_ampacity_A) return;
        zone.weakest = id;
        zone.weakest_ampacity_A = ampacity_A;
    }

    void name_unknown(std::map<ZoneKey, ProtectionZone>& by_key) const {
        for (const Edge& edge : circuit_.edges) {
            if (!is_protective(edge.role) || operating_current(facts_, edge.part).current_A < unbounded_A)
                continue;
            for (const NodeId end : {edge.from, edge.to}) {
                const auto found =
                    by_key.find({Guard::not_known, {}, unbounded_A, zones_.zone_of_node[end.index()]});
                if (found != by_key.end())
                    found->second.devices.push_back(
                        {edge.part, false, unbounded_A, "rated current not known"});
            }
        }
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const Zones& zones_;
    const Proof& proof_;
    const std::vector<WireLoading>& wires_;
    Capacities capacities_;
    double allowed_m_;
};

}  // namespace

std::vector<ProtectionZone> protection_zones(const Circuit& circuit, const Facts& facts, const Zones& zones,
                                             const Proof& proof, const std::vector<WireLoading>& wires) {
    return ZoneMaker(circuit, facts, zones, proof, wires).make();
}

}  // namespace loomward
