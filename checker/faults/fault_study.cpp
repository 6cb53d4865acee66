// Every fault, and the worst of each device and wire.
#include <algorithm>
#include <cmath>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/faults/fault_way.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"

namespace loomward {

namespace {
constexpr Corner fault_corners[] = {Corner::fault_max, Corner::fault_min};
}  // namespace

std::vector<std::vector<bool>> contact_positions(const Circuit& circuit) {
    const auto shorts_a_source = [&](const std::vector<bool>& open) {
        DisjointSets pieces(circuit.node_count());
        for (std::size_t i = 0; i < circuit.edges.size(); ++i)
            if (is_conductor(circuit.edges[i].role) && !open[i])
                pieces.join(circuit.edges[i].from.index(), circuit.edges[i].to.index());
        return std::any_of(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& edge) {
            return is_source(edge.role) && pieces.same(edge.from.index(), edge.to.index());
        });
    };
    std::vector<std::vector<bool>> masks;
    const Positions positions(circuit);
    bool sound = true;
    for (std::size_t number = 0; number < positions.count() && sound; ++number) {
        masks.push_back(positions.open(number));
        sound = !shorts_a_source(masks.back());
    }
    if (sound) return masks;
    masks.clear();
    for (const Mode& mode : circuit.harness->modes) {
        std::vector<bool> open(circuit.edges.size(), false);
        for (std::size_t i = 0; i < open.size(); ++i)
            open[i] =
                circuit.edges[i].role == EdgeRole::switching && !is_closed(circuit, mode, circuit.edges[i]);
        if (!shorts_a_source(open) && std::find(masks.begin(), masks.end(), open) == masks.end())
            masks.push_back(std::move(open));
    }
    return masks;
}

FaultStudy::FaultStudy(const Circuit& circuit, const Facts& facts, const Proof& proof,
                       const std::vector<WireLoading>& wires)
    : circuit_(circuit),
      facts_(facts),
      positions_(contact_positions(circuit)),
      setting_(fault_setting(circuit, facts, wires)) {
    survey_.places = fault_places(circuit, proof);
    for (std::size_t position = 0; position < positions_.size(); ++position)
        for (const Corner corner : fault_corners)
            networks_.emplace_back(circuit_, facts_, corner, positions_[position]);
    survey_.devices.resize(circuit.harness->parts.size());
    survey_.contacts.resize(circuit.harness->parts.size());
    survey_.wires.resize(circuit.harness->wires.size());
    tell_all();
}

void FaultStudy::tell_all() {
    tellers_.reserve(networks_.size());
    for (const FaultNetwork& network : networks_) tellers_.emplace_back(network, setting_);
    std::vector<EdgeId> edges;
    std::vector<std::vector<EdgeId>> seen;  // edges of this place in the positions before
    for (std::uint32_t place = 0; place < survey_.places.size(); ++place) {
        seen.clear();
        for (std::uint32_t position = 0; position < positions_.size(); ++position) {
            const FaultNetwork& here = networks_[2 * position];
            if (!here.edges_around(survey_.places[place].a, survey_.places[place].b, edges)) continue;
            if (positions_.size() > 1) {
                if (std::find(seen.begin(), seen.end(), edges) != seen.end()) continue;
                seen.push_back(edges);
            }
            for (std::size_t corner = 0; corner < 2; ++corner)
                if (const auto story = tellers_[2 * position + corner].tell(survey_.places[place]))
                    take(place, position, fault_corners[corner], *story);
        }
    }
}

// Where no device stands in the way of the current, the proof has spoken; past a device of which nobody knows
// when it opens, missing-data does.
bool FaultStudy::can_be_judged(const FaultWay& way) const {
    bool guarded = false;
    for (const auto* edges : {&way.out, &way.back})
        for (const EdgeId id : *edges) {
            const Edge& edge = circuit_.edge(id);
            if (!opens_on_current(edge.role)) continue;
            if (setting_.bands[edge.part.index()].slow.empty()) return false;
            guarded = true;
        }
    return guarded;
}

void FaultStudy::take(std::uint32_t place, std::uint32_t position, Corner corner, const FaultStory& story) {
    const auto number = static_cast<std::uint32_t>(survey_.outcomes.size());
    if (!story.solved) ++survey_.unsolved;
    FaultOutcome outcome{place, position, corner, story.prospective_A, story.ends_s, story.standing_A,
                         0,     {},       0};
    for (const FaultEvent& event : story.events) {
        if (event.kind != FaultEvent::Kind::opens) continue;
        outcome.first = event.edge;
        outcome.first_s = event.time_s;
        break;
    }
    survey_.outcomes.push_back(outcome);
    for (const FaultStress& stress : story.stress) {
        const Edge& edge = circuit_.edge(stress.edge);
        if (edge.role == EdgeRole::switching || edge.role == EdgeRole::contact) {
            FaultSurvey::ContactWorst& worst = survey_.contacts[edge.part.index()];
            if (stress.let_through_A2s > worst.let_through_A2s) worst = {stress.let_through_A2s, number};
        }
        if (!opens_on_current(edge.role)) continue;
        ++survey_.outcomes.back().devices;
        FaultSurvey::DeviceWorst& worst = survey_.devices[edge.part.index()];
        if (std::abs(stress.first_A) <= worst.prospective_A) continue;
        worst = {std::abs(stress.first_A), number};
    }
    if (!can_be_judged(find_way(circuit_, survey_.places[place], story))) return;
    for (const FaultStress& stress : story.stress) {
        const Edge& edge = circuit_.edge(stress.edge);
        if (!edge.wire || stress.heat <= 1) continue;
        const double ratio = stress.heat / setting_.wires[edge.wire.index()].damage;
        FaultSurvey::WireWorst& worst = survey_.wires[edge.wire.index()];
        if (ratio > worst.heat_over_limit) worst = {ratio, number};
    }
}

std::optional<FaultStory> FaultStudy::tell(const FaultPlace& place, Corner corner, std::uint32_t position,
                                           FaultTeller::BandEdge edge,
                                           std::span<const PartId> bridged) const {
    return tellers_[2 * position + (corner == Corner::fault_max ? 0 : 1)].tell(place, edge, bridged);
}

}  // namespace loomward
