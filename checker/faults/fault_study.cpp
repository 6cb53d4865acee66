// Every fault, and the worst of each device and wire.
#include <algorithm>
#include <cmath>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/faults/fault_taking.hpp"
#include "checker/faults/fault_way.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"

namespace loomward {

using namespace literals;

namespace {
// Kinds of plugging that are looked at: edges of all of them together, and at least so many.
constexpr std::size_t affordable_edges = 100000, least_matings = 8;
constexpr Corner fault_corners[] = {Corner::fault_max, Corner::fault_min};
}  // namespace

namespace {

// One without a limit of its own: what limits itself goes on beside a short of the pack.
bool shorts_a_pack(const Circuit& circuit, const std::vector<bool>& open) {
    DisjointSets pieces(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (is_conductor(circuit.edges[i].role) && !open[i])
            pieces.join(circuit.edges[i].from.index(), circuit.edges[i].to.index());
    return std::any_of(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& edge) {
        return edge.role == EdgeRole::emf && pieces.same(edge.from.index(), edge.to.index());
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

// Contacts of plugs that no mode mates.
std::vector<bool> never_mated(const Circuit& circuit) {
    std::vector<bool> never(circuit.edges.size());
    for (std::size_t i = 0; i < never.size(); ++i) never[i] = circuit.edges[i].role == EdgeRole::contact;
    for (const Mode& mode : circuit.harness->modes)
        for (std::size_t i = 0; i < never.size(); ++i)
            never[i] = never[i] && !is_closed(circuit, mode, circuit.edges[i]);
    return never;
}

// What is plugged in, in one mode after the other. A connector that no mode mates is looked at mated as well:
// nobody has said what it is for. Where there are more than can be afforded, everything mated stands for the
// rest: the most flows then.
std::vector<std::vector<bool>> matings(const Circuit& circuit) {
    const std::size_t most =
        std::max(least_matings, affordable_edges / std::max<std::size_t>(1, circuit.edges.size()));
    std::vector<std::vector<bool>> masks;
    bool all = true;
    for (const Mode& mode : circuit.harness->modes) {
        std::vector<bool> open = open_in(circuit, mode, EdgeRole::contact);
        if (masks.size() < most)
            add_once(masks, std::move(open));
        else
            all = all && std::find(masks.begin(), masks.end(), open) != masks.end();
    }
    const std::vector<bool> never = never_mated(circuit);
    const bool lonely = std::find(never.begin(), never.end(), true) != never.end();
    if (masks.empty() || lonely || !all) add_once(masks, std::vector<bool>(circuit.edges.size(), false));
    std::stable_sort(masks.begin(), masks.end(), [](const auto& a, const auto& b) {
        return std::count(a.begin(), a.end(), true) < std::count(b.begin(), b.end(), true);
    });
    return masks;
}

// Of a mask that shorts no source: what is open in it closed one after the other, as long as that shorts
// none.
std::vector<bool> closed_as_far_as_sound(const Circuit& circuit, std::vector<bool> open,
                                         const std::vector<bool>& may_close) {
    DisjointSets pieces(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (is_conductor(circuit.edges[i].role) && !open[i])
            pieces.join(circuit.edges[i].from.index(), circuit.edges[i].to.index());
    std::vector<const Edge*> sources;
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf) sources.push_back(&edge);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        if (!open[i] || !may_close[i]) continue;
        const std::size_t one = pieces.find(circuit.edges[i].from.index()),
                          other = pieces.find(circuit.edges[i].to.index());
        const bool shorts = std::any_of(sources.begin(), sources.end(), [&](const Edge* source) {
            const std::size_t from = pieces.find(source->from.index()), to = pieces.find(source->to.index());
            return (from == one && to == other) || (from == other && to == one);
        });
        if (shorts) continue;
        pieces.join(one, other);
        open[i] = false;
    }
    return open;
}

std::vector<bool> both(std::vector<bool> one, const std::vector<bool>& other) {
    for (std::size_t i = 0; i < one.size(); ++i) one[i] = one[i] || other[i];
    return one;
}

}  // namespace

std::vector<std::vector<bool>> contact_positions(const Circuit& circuit) {
    const Positions positions(circuit);
    std::vector<std::vector<bool>> masks;
    std::vector<bool> in_all(circuit.edges.size(), true);  // closed in every position of what has several
    bool sound = true;
    for (const std::vector<bool>& mated : matings(circuit))
        for (std::size_t number = 0; number < positions.count(); ++number) {
            const std::vector<bool> open = positions.open(number);
            for (std::size_t i = 0; i < open.size(); ++i) in_all[i] = in_all[i] && !open[i];
            std::vector<bool> mask = both(open, mated);
            if (shorts_a_pack(circuit, mask))
                sound = false;
            else
                add_once(masks, std::move(mask));
        }
    if (sound) return masks;
    // Everything closed at once would short a source, as levers do that put packs in line or side by side:
    // then what the modes close, and from there as much more as shorts none.
    std::vector<bool> may_close = never_mated(circuit);
    for (std::size_t i = 0; i < may_close.size(); ++i)
        may_close[i] = may_close[i] || (in_all[i] && circuit.edges[i].role == EdgeRole::switching);
    for (const Mode& mode : circuit.harness->modes) {
        std::vector<bool> open =
            both(open_in(circuit, mode, EdgeRole::switching), open_in(circuit, mode, EdgeRole::contact));
        if (shorts_a_pack(circuit, open)) continue;
        add_once(masks, closed_as_far_as_sound(circuit, open, may_close));
        add_once(masks, std::move(open));
    }
    return masks;
}

FaultSurvey::FaultSurvey(const Circuit& circuit)
    : unpromised(circuit.harness->parts.size()),
      devices(circuit.harness->parts.size()),
      contacts(circuit.harness->parts.size()),
      wires(circuit.harness->wires.size()) {}

FaultStudy::FaultStudy(const Circuit& circuit, const Facts& facts, const Touching& touching,
                       const std::vector<WireLoading>& wires)
    : circuit_(circuit),
      facts_(facts),
      touching_(touching),
      positions_(contact_positions(circuit)),
      setting_(fault_setting(circuit, facts, wires)),
      survey_(circuit) {
    survey_.places = fault_places(circuit, touching);
    for (std::size_t position = 0; position < positions_.size(); ++position)
        for (const Corner corner : fault_corners)
            networks_.emplace_back(circuit_, facts_, corner, positions_[position]);
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
    FaultTaker taker(circuit_, facts_, setting_, networks_, survey_);
    for (std::uint32_t place = 0; place < survey_.places.size(); ++place) tell_place(place, taker);
    taker.finish([this](const FaultOutcome& outcome) {
        return tell(survey_.places[outcome.place], outcome.corner, outcome.position,
                    FaultTeller::BandEdge::unpromised);
    });
    tell_at_devices();
}

// What a device has to break is asked at its own terminals, whatever lies beside them.
void FaultStudy::tell_at_devices() {
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (!opens_on_current(edge.role) || edge.from == edge.to) continue;
        tell_at_device(EdgeId(i), edge.from, edge.from_terminal);
        tell_at_device(EdgeId(i), edge.to, edge.to_terminal);
    }
}

void FaultStudy::tell_at_device(EdgeId device, NodeId at, TerminalId terminal) {
    FaultPlace place;
    place.kind = FaultPlace::Kind::named;
    place.a = at;
    place.at = terminal;
    place.b = touching_.runs().across(at);
    if (!place.b) return;
    place.against = touching_.runs().terminal(place.b);
    FaultSurvey::DeviceWorst& worst = survey_.devices[circuit_.edge(device).part.index()];
    for (std::uint32_t position = 0; position < positions_.size(); ++position) {
        const double most_A = tellers_[2 * position].lasting_A(place, device);
        // Not for a digit behind the last that counts: a place where things do touch says more.
        if (most_A > worst.prospective_A * 1.0001) worst = {most_A, place, Corner::fault_max, position};
    }
}

void FaultStudy::tell_place(std::uint32_t place, FaultTaker& taker) {
    const NodeId a = survey_.places[place].a, b = survey_.places[place].b;
    // What each position closes between the two points; 0: nothing flows there.
    std::vector<std::uint64_t> closed(positions_.size(), 0);
    std::vector<FaultPiece> pieces;
    for (std::uint32_t position = 0; position < positions_.size() && positions_.size() > 1; ++position) {
        const FaultLines& lines = networks_[2 * position].lines();
        if (lines.between(a, b, pieces)) closed[position] = lines.fingerprint(pieces) | 1U;
    }
    for (std::uint32_t position = 0; position < positions_.size(); ++position) {
        if (positions_.size() > 1 && closed[position] == 0) continue;
        for (std::size_t corner = 0; corner < 2; ++corner) {
            const auto& others = (corner == 0 ? closes_more_ : closes_less_)[position];
            const bool nested = std::any_of(others.begin(), others.end(), [&](std::uint32_t other) {
                return closed[other] != 0 && closed[other] != closed[position];
            });
            const auto end = closed.begin() + position;
            if (nested || std::find(closed.begin(), end, closed[position]) != end) continue;
            const FaultOutcome outcome{place, position, fault_corners[corner], 0, 0, 0, 0, {}, 0};
            if (const FaultCourse* course = tellers_[2 * position + corner].follow(survey_.places[place]))
                taker.take(2 * position + corner, outcome, *course);
        }
    }
}

std::optional<FaultStory> FaultStudy::tell(const FaultPlace& place, Corner corner, std::uint32_t position,
                                           FaultTeller::BandEdge edge,
                                           std::span<const PartId> bridged) const {
    return tellers_[place_of(position, corner)].tell(place, edge, bridged);
}

FaultStudy::Quickest FaultStudy::quickest(const FaultOutcome& outcome) const {
    Quickest quickest;
    const FaultPlace& place = survey_.places[outcome.place];
    const FaultNetwork& in = network(outcome.position, outcome.corner);
    const FaultCourse* course =
        tellers_[place_of(outcome.position, outcome.corner)].follow(place, FaultTeller::BandEdge::fast);
    if (!course) return quickest;
    const auto edge_of = [&](std::uint32_t piece) { return in.lines().edge(course->pieces[piece], 0); };
    for (const FaultCourse::Step& step : course->steps) {
        if (step.opens == FaultCourse::none) return quickest;
        if (!opens_on_current(circuit_.edge(edge_of(step.opens)).role)) continue;
        quickest.first = edge_of(step.opens);
        break;
    }
    for (const std::uint32_t piece : find_way(in, place, *course).out) {
        const Edge& edge = circuit_.edge(edge_of(piece));
        if (is_protective(edge.role)) quickest.passed.push_back(edge.part);
    }
    return quickest;
}

}  // namespace loomward
