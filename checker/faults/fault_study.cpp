// Every fault, and the worst of each device and wire.
#include <algorithm>
#include <cmath>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/faults/fault_way.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"

namespace loomward {

using namespace literals;

namespace {
constexpr std::size_t most_matings = 8;
constexpr Corner fault_corners[] = {Corner::fault_max, Corner::fault_min};
}  // namespace

namespace {

bool shorts_a_source(const Circuit& circuit, const std::vector<bool>& open) {
    DisjointSets pieces(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (is_conductor(circuit.edges[i].role) && !open[i])
            pieces.join(circuit.edges[i].from.index(), circuit.edges[i].to.index());
    return std::any_of(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& edge) {
        return is_source(edge.role) && pieces.same(edge.from.index(), edge.to.index());
    });
}

std::vector<bool> open_in(const Circuit& circuit, const Mode& mode, EdgeRole role) {
    std::vector<bool> open(circuit.edges.size(), false);
    for (std::size_t i = 0; i < open.size(); ++i)
        open[i] = circuit.edges[i].role == role && !is_closed(circuit, mode, circuit.edges[i]);
    return open;
}

void add_once(std::vector<std::vector<bool>>& masks, std::vector<bool> mask) {
    if (std::find(masks.begin(), masks.end(), mask) == masks.end()) masks.push_back(std::move(mask));
}

// What is plugged in, in one mode after the other. A connector that no mode mates is looked at mated as well:
// nobody has said what it is for.
std::vector<std::vector<bool>> matings(const Circuit& circuit) {
    std::vector<std::vector<bool>> masks;
    std::vector<bool> never_mated(circuit.edges.size(), true);
    for (const Mode& mode : circuit.harness->modes) {
        std::vector<bool> open = open_in(circuit, mode, EdgeRole::contact);
        for (std::size_t i = 0; i < open.size(); ++i) never_mated[i] = never_mated[i] && open[i];
        if (masks.size() < most_matings) add_once(masks, std::move(open));
    }
    const bool lonely = std::find(never_mated.begin(), never_mated.end(), true) != never_mated.end();
    if (masks.empty() || lonely) add_once(masks, std::vector<bool>(circuit.edges.size(), false));
    std::stable_sort(masks.begin(), masks.end(), [](const auto& a, const auto& b) {
        return std::count(a.begin(), a.end(), true) < std::count(b.begin(), b.end(), true);
    });
    return masks;
}

}  // namespace

std::vector<std::vector<bool>> contact_positions(const Circuit& circuit) {
    std::vector<std::vector<bool>> switched;
    const Positions positions(circuit);
    bool sound = true;
    for (std::size_t number = 0; number < positions.count() && sound; ++number) {
        switched.push_back(positions.open(number));
        sound = !shorts_a_source(circuit, switched.back());
    }
    if (!sound) {
        switched.clear();
        for (const Mode& mode : circuit.harness->modes) {
            std::vector<bool> open = open_in(circuit, mode, EdgeRole::switching);
            if (!shorts_a_source(circuit, open)) add_once(switched, std::move(open));
        }
    }
    std::vector<std::vector<bool>> masks;
    for (const std::vector<bool>& mated : matings(circuit))
        for (const std::vector<bool>& mask : switched) {
            masks.push_back(mask);
            for (std::size_t i = 0; i < mated.size(); ++i)
                if (mated[i]) masks.back()[i] = true;
        }
    return masks;
}

FaultStudy::FaultStudy(const Circuit& circuit, const Facts& facts, const Touching& touching,
                       const std::vector<WireLoading>& wires)
    : circuit_(circuit),
      facts_(facts),
      touching_(touching),
      positions_(contact_positions(circuit)),
      setting_(fault_setting(circuit, facts, wires)) {
    survey_.places = fault_places(circuit, touching);
    for (std::size_t position = 0; position < positions_.size(); ++position)
        for (const Corner corner : fault_corners)
            networks_.emplace_back(circuit_, facts_, corner, positions_[position]);
    survey_.devices.resize(circuit.harness->parts.size());
    survey_.unpromised.resize(circuit.harness->parts.size());
    survey_.contacts.resize(circuit.harness->parts.size());
    survey_.wires.resize(circuit.harness->wires.size());
    tell_all();
}

// The most flows where most is plugged in, the least where least is: of positions that close only part of
// what another one closes, the largest currents are not looked at, and the other way round.
void FaultStudy::find_nested() {
    closes_more_.resize(positions_.size());
    closes_less_.resize(positions_.size());
    for (std::uint32_t one = 0; one < positions_.size(); ++one)
        for (std::uint32_t other = 0; other < positions_.size(); ++other) {
            if (one == other) continue;
            bool within = true;
            for (std::size_t i = 0; i < positions_[one].size() && within; ++i)
                within = positions_[one][i] || !positions_[other][i];
            if (!within) continue;
            closes_more_[one].push_back(other);
            closes_less_[other].push_back(one);
        }
}

void FaultStudy::tell_all() {
    find_nested();
    tellers_.reserve(networks_.size());
    for (const FaultNetwork& network : networks_) tellers_.emplace_back(network, setting_);
    for (std::uint32_t place = 0; place < survey_.places.size(); ++place) tell_place(place);
}

void FaultStudy::tell_place(std::uint32_t place) {
    const NodeId a = survey_.places[place].a, b = survey_.places[place].b;
    std::vector<std::vector<EdgeId>> edges(positions_.size());  // empty: nothing flows there
    for (std::uint32_t position = 0; position < positions_.size(); ++position)
        if (!networks_[2 * position].edges_around(a, b, edges[position])) edges[position].clear();
    for (std::uint32_t position = 0; position < positions_.size(); ++position) {
        if (edges[position].empty()) continue;
        for (std::size_t corner = 0; corner < 2; ++corner) {
            const auto& others = (corner == 0 ? closes_more_ : closes_less_)[position];
            const bool nested = std::any_of(others.begin(), others.end(), [&](std::uint32_t other) {
                return !edges[other].empty() && edges[other] != edges[position];
            });
            const auto end = edges.begin() + position;
            if (nested || std::find(edges.begin(), end, edges[position]) != end) continue;
            if (const auto story = tellers_[2 * position + corner].tell(survey_.places[place]))
                take(place, position, fault_corners[corner], *story);
        }
    }
}

bool FaultStudy::passes_device(std::span<const EdgeId> edges, bool& judgeable) const {
    bool guarded = false;
    for (const EdgeId id : edges) {
        const Edge& edge = circuit_.edge(id);
        if (!opens_on_current(edge.role)) continue;
        if (setting_.bands[edge.part.index()].slow.empty()) judgeable = false;
        guarded = true;
    }
    return guarded;
}

// Where no device stands in the way of the current, the proof has spoken; past a device of which nobody knows
// when it opens, missing-data does. Nor is it judged where it begins on the lead that may be unprotected, or
// where something feeds it past every device in the end: that lead burns first. Of capacitors the proof knows
// nothing: what lies farther from one than a lead may be unprotected is judged here.
bool FaultStudy::can_be_judged(const FaultWay& way, const FaultPlace& place, const FaultStory& story) const {
    bool judgeable = true;
    const bool out = passes_device(way.out, judgeable), back = passes_device(way.back, judgeable);
    double wire_m = 0;
    for (const EdgeId id : way.out)
        if (circuit_.edge(id).wire) wire_m += circuit_.harness->wire(circuit_.edge(id).wire).length.hi;
    const bool near_source = wire_m <= facts_.policy("unprotected-length"_attr).hi * 1.0001;
    if (!judgeable || (!out && near_source)) return false;
    if (!out && !back) return is_stored(way);
    if (story.standing_A == 0) return true;
    const FaultWay last = find_way(circuit_, place, story, Moment::last);
    const bool last_out = passes_device(last.out, judgeable), last_back = passes_device(last.back, judgeable);
    return judgeable && (last_out || last_back);
}

bool FaultStudy::is_stored(const FaultWay& way) const {
    return way.source && circuit_.edge(way.source).role == EdgeRole::capacitor;
}

// The story once more by nothing but the last gates, where the first device opens beyond them.
void FaultStudy::take_unpromised(const FaultOutcome& outcome, const FaultStory& story, std::uint32_t number) {
    const PartId device = circuit_.edge(outcome.first).part;
    const auto opens = std::find_if(story.events.begin(), story.events.end(),
                                    [&](const FaultEvent& event) { return event.edge == outcome.first; });
    if (setting_.bands[device.index()].promised(opens->current_A)) return;
    FaultSurvey::Unpromised& worst = survey_.unpromised[device.index()];
    if (opens->current_A <= worst.current_A) return;
    const auto slowest = tell(survey_.places[outcome.place], outcome.corner, outcome.position,
                              FaultTeller::BandEdge::unpromised);
    if (!slowest) return;
    const double free_m = facts_.policy("unprotected-length"_attr).hi * 1.0001;
    for (const FaultEvent& event : slowest->events) {
        if (event.kind != FaultEvent::Kind::damaged) continue;
        // A short tap before the device is judged by nobody.
        if (circuit_.harness->wire(circuit_.edge(event.edge).wire).length.hi <= free_m) continue;
        worst = {opens->current_A, circuit_.edge(event.edge).wire, number};
        return;
    }
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
    const FaultWay way = find_way(circuit_, survey_.places[place], story);
    const bool stored = is_stored(way);
    for (const FaultStress& stress : story.stress) {
        const Edge& edge = circuit_.edge(stress.edge);
        if (edge.role == EdgeRole::switching || edge.role == EdgeRole::contact) {
            FaultSurvey::ContactWorst& worst = survey_.contacts[edge.part.index()];
            if (stress.let_through_A2s > worst.let_through_A2s) worst = {stress.let_through_A2s, number};
        }
        if (!opens_on_current(edge.role)) continue;
        ++survey_.outcomes.back().devices;
        FaultSurvey::DeviceWorst& worst = survey_.devices[edge.part.index()];
        // Breaking capacity is asked against what goes on flowing.
        if (stored || std::abs(stress.first_A) <= worst.prospective_A) continue;
        worst = {std::abs(stress.first_A), number};
    }
    if (outcome.first) take_unpromised(outcome, story, number);
    if (!can_be_judged(way, survey_.places[place], story)) return;
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
