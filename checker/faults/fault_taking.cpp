#include "checker/faults/fault_taking.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

#include "checker/faults/fault_races.hpp"
#include "checker/parts/capacities.hpp"

namespace loomward {

using namespace literals;

namespace {
constexpr std::uint32_t long_stretch = 32;  // edges from which it is worth while not to go through them
constexpr std::uint32_t no_make = 0xFFFFFFFF;
}  // namespace

FaultTaker::FaultTaker(const Circuit& circuit, const Facts& facts, const FaultTeller::Setting& setting,
                       const std::vector<FaultNetwork>& networks, FaultSurvey& survey)
    : circuit_(circuit),
      facts_(facts),
      setting_(setting),
      networks_(networks),
      survey_(survey),
      free_m_(facts.policy("unprotected-length"_attr).hi * 1.0001),
      stretches_(networks.size()) {}

EdgeId FaultTaker::edge_of(const FaultCourse& course, std::uint32_t piece) const {
    return networks_[network_].lines().edge(course.pieces[piece], 0);
}

void FaultTaker::take(std::size_t network, const FaultOutcome& outcome, const FaultCourse& course) {
    network_ = network;
    place_ = survey_.places[outcome.place];
    number_ = static_cast<std::uint32_t>(survey_.outcomes.size());
    survey_.outcomes.push_back(outcome);
    FaultOutcome& told = survey_.outcomes.back();
    told.prospective_A = course.prospective_A();
    told.ends_s = course.ends_s;
    told.standing_A = course.standing_A();
    if (!course.solved) ++survey_.unsolved;
    for (const FaultCourse::Step& step : course.steps) {
        if (step.opens == FaultCourse::none) break;
        if (!opens_on_current(circuit_.edge(edge_of(course, step.opens)).role)) continue;
        told.first = edge_of(course, step.opens);
        told.first_s = step.begins_s + step.lasts_s;
        break;
    }
    const CourseWay way = find_way(networks_[network], place_, course);
    const bool stored = is_stored(way), judged = can_be_judged(course, way);
    for (std::uint32_t i = 0; i < course.pieces.size(); ++i) {
        const bool idle =
            std::abs(course.first_A(i)) < FaultCourse::nothing && course.let_through_A2s(i) == 0;
        if (idle) continue;
        take_device(course, i, stored);
        take_contacts(course, i);
        if (judged) take_wires(course, i);
    }
    take_races(course, way);
    take_candidate(course);
}

bool FaultTaker::passes_device(const FaultCourse& course, const std::vector<std::uint32_t>& way,
                               bool& judgeable) const {
    bool guarded = false;
    for (const std::uint32_t i : way) {
        const Edge& edge = circuit_.edge(edge_of(course, i));
        if (!opens_on_current(edge.role) || setting_.never_opens[edge.part.index()]) continue;
        if (setting_.bands[edge.part.index()].slow.empty()) judgeable = false;
        guarded = true;
    }
    return guarded;
}

// Wires that no device guards the proof tells of, whoever asks: it does not know what a short of one pack of
// a string drives, which passes no device though the wire has one. Past a device of which nobody knows when
// it opens, missing-data speaks. Nor is it judged where it begins on the lead that may be unprotected, or
// where something feeds it past every device in the end with more than the wires on that way carry: that lead
// burns first. What goes on below that, as a panel's charger does, takes nothing from what came before it. Of
// capacitors the proof knows nothing: what lies farther from one than a lead may be unprotected is judged
// here.
bool FaultTaker::can_be_judged(const FaultCourse& course, const CourseWay& way) const {
    bool judgeable = true;
    const bool out = passes_device(course, way.out, judgeable),
               back = passes_device(course, way.back, judgeable);
    double wire_m = 0;
    for (const std::uint32_t i : way.out) wire_m += networks_[network_].lines().wire_m(course.pieces[i]);
    const bool near_source = wire_m <= free_m_;
    if (!judgeable || (!out && near_source)) return false;
    if (!out && !back) return true;
    if (course.standing_A() == 0) return true;
    const CourseWay last = find_way(networks_[network_], place_, course, Moment::last);
    if (carries(course, last.out, course.standing_A()) && carries(course, last.back, course.standing_A()))
        return true;
    const bool last_out = passes_device(course, last.out, judgeable),
               last_back = passes_device(course, last.back, judgeable);
    return judgeable && (last_out || last_back);
}

// Whether every wire on the way carries that for ever.
bool FaultTaker::carries(const FaultCourse& course, const std::vector<std::uint32_t>& way,
                         double current_A) const {
    const FaultLines& lines = networks_[network_].lines();
    for (const std::uint32_t i : way) {
        const FaultPiece& piece = course.pieces[i];
        for (std::uint32_t k = 0; k < piece.count; ++k)
            if (const WireId wire = circuit_.edge(lines.edge(piece, k)).wire)
                if (current_A > setting_.wires[wire.index()].ampacity_A) return false;
    }
    return true;
}

bool FaultTaker::is_stored(const CourseWay& way) const {
    return way.source && circuit_.edge(way.source).role == EdgeRole::capacitor;
}

void FaultTaker::take_device(const FaultCourse& course, std::uint32_t piece, bool stored) {
    const Edge& edge = circuit_.edge(edge_of(course, piece));
    if (!opens_on_current(edge.role)) return;
    ++survey_.outcomes.back().devices;
    FaultSurvey::DeviceWorst& worst = survey_.devices[edge.part.index()];
    // Breaking capacity is asked against what goes on flowing.
    const double first_A = std::abs(course.first_A(piece));
    const FaultOutcome& told = survey_.outcomes.back();
    if (!stored && first_A > worst.prospective_A) worst = {first_A, place_, told.corner, told.position};
}

void FaultTaker::take_contact(EdgeId id, double let_through_A2s, std::uint32_t outcome) {
    const Edge& edge = circuit_.edge(id);
    if (edge.role != EdgeRole::switching && edge.role != EdgeRole::contact) return;
    FaultSurvey::ContactWorst& worst = survey_.contacts[edge.part.index()];
    if (let_through_A2s <= 0) return;
    if (let_through_A2s > worst.let_through_A2s ||
        (let_through_A2s == worst.let_through_A2s && outcome < worst.outcome))
        worst = {let_through_A2s, outcome};
}

void FaultTaker::take_wire(EdgeId edge, double ratio, std::uint32_t outcome) {
    FaultSurvey::WireWorst& worst = survey_.wires[circuit_.edge(edge).wire.index()];
    if (ratio > worst.heat_over_limit || (ratio == worst.heat_over_limit && outcome < worst.outcome))
        worst = {ratio, outcome};
}

// Contacts that are watched are few: those that say what they withstand.
void FaultTaker::take_contacts(const FaultCourse& course, std::uint32_t i) {
    const FaultLines& lines = networks_[network_].lines();
    const FaultPiece& piece = course.pieces[i];
    for (std::uint32_t k = 0; k < piece.count && lines.any_watched(piece, k); ++k) {
        if (!lines.is_watched(piece, k)) continue;
        const EdgeId edge = lines.edge(piece, k);
        take_contact(edge, course.let_through_A2s(i, setting_.carries_A[edge.index()]), number_);
    }
}

void FaultTaker::take_wires(const FaultCourse& course, std::uint32_t i) {
    const FaultLines& lines = networks_[network_].lines();
    const FaultPiece& piece = course.pieces[i];
    if (piece.count > long_stretch && makes_.empty()) find_makes();
    if (piece.count <= long_stretch || piece.count <= makes_.size()) {
        for (std::uint32_t k = 0; k < piece.count; ++k) {
            const EdgeId edge = lines.edge(piece, k);
            const WireId wire = circuit_.edge(edge).wire;
            if (!wire) continue;
            const WireHeat& made = setting_.wires[wire.index()];
            const double known = survey_.wires[wire.index()].heat_over_limit;
            if (made.ampacity_A <= 0 || !course.may_heat_above(std::max(1.0, known * made.damage), i, made))
                continue;
            const double heat = course.heat(i, made);
            if (heat > 1) take_wire(edge, heat / made.damage, number_);
        }
        return;
    }
    Stretches& all = stretches();
    for (std::uint32_t make = 0; make < makes_.size(); ++make) {
        const std::vector<std::uint32_t>& places = all.places_of_make[make];
        const auto first = std::lower_bound(places.begin(), places.end(), piece.first);
        const auto end = std::lower_bound(first, places.end(), piece.first + piece.count);
        if (first == end) continue;
        const WireHeat& wire = setting_.wires[makes_[make].index()];
        const double heat = course.heat(i, wire);
        if (heat > 1)
            all.wires[make].push_back({static_cast<std::uint32_t>(first - places.begin()),
                                       static_cast<std::uint32_t>(end - places.begin()), heat / wire.damage,
                                       number_});
    }
}

void FaultTaker::find_makes() {
    const auto key = [&](WireId wire) {
        const WireHeat& heat = setting_.wires[wire.index()];
        return std::tuple(heat.ampacity_A, heat.damage, heat.tau_s);
    };
    std::vector<WireId> wires;
    for (std::size_t i = 0; i < setting_.wires.size(); ++i)
        if (setting_.wires[i].ampacity_A > 0) wires.emplace_back(i);
    std::sort(wires.begin(), wires.end(),
              [&](WireId a, WireId b) { return std::tuple(key(a), a) < std::tuple(key(b), b); });
    make_of_wire_.assign(setting_.wires.size(), no_make);
    for (const WireId wire : wires) {
        if (makes_.empty() || key(makes_.back()) != key(wire)) makes_.push_back(wire);
        make_of_wire_[wire.index()] = static_cast<std::uint32_t>(makes_.size() - 1);
    }
}

FaultTaker::Stretches& FaultTaker::stretches() {
    Stretches& all = stretches_[network_];
    if (!all.wires.empty()) return all;
    all.wires.resize(makes_.size());
    all.places_of_make.resize(makes_.size());
    const FaultLines& lines = networks_[network_].lines();
    for (std::uint32_t place = 0; place < lines.places(); ++place) {
        const EdgeId edge = lines.edge_at(place);
        const WireId wire = edge ? circuit_.edge(edge).wire : WireId();
        if (wire && make_of_wire_[wire.index()] != no_make)
            all.places_of_make[make_of_wire_[wire.index()]].push_back(place);
    }
    return all;
}

void FaultTaker::take_races(const FaultCourse& course, const CourseWay& way) {
    if (survey_.outcomes.back().devices < 2) return;
    std::vector<DeviceOnWay> devices;  // nearest to the fault first
    for (const auto* pieces : {&way.out, &way.back})
        for (const std::uint32_t i : *pieces) {
            const Edge& edge = circuit_.edge(edge_of(course, i));
            if (is_protective(edge.role)) devices.emplace_back(edge.part, std::abs(course.first_A(i)));
        }
    for (const FaultRace& race : find_races(facts_, setting_, devices)) {
        const auto at = std::lower_bound(survey_.races.begin(), survey_.races.end(), race,
                                         [](const FaultRace& a, const FaultRace& b) {
                                             return std::tie(a.near, a.far) < std::tie(b.near, b.far);
                                         });
        const bool known = at != survey_.races.end() && at->near == race.near && at->far == race.far;
        if (!known)
            survey_.races.insert(at, {race, number_});
        else if (race.lost && !at->lost)
            *at = {race, number_};
    }
}

// A device that opens first beyond what is promised of it.
void FaultTaker::take_candidate(const FaultCourse& course) {
    for (std::size_t i = 0; i < course.steps.size(); ++i) {
        const std::uint32_t piece = course.steps[i].opens;
        if (piece == FaultCourse::none) return;
        const Edge& edge = circuit_.edge(edge_of(course, piece));
        if (!opens_on_current(edge.role)) continue;
        const double current_A = std::abs(course.amps_in(i, piece));
        if (!setting_.bands[edge.part.index()].promised(current_A))
            candidates_.push_back({edge.part, -current_A, number_});
        return;
    }
}

namespace {

// The largest of what was laid over each place, the first of equal ones.
template <class Laid, class Visit>
void each_largest(std::vector<Laid>& laid, std::size_t places, Visit visit) {
    std::sort(laid.begin(), laid.end(), [](const Laid& a, const Laid& b) {
        return std::tie(b.value, a.outcome) < std::tie(a.value, b.outcome);
    });
    std::vector<std::uint32_t> next(places + 1);  // that has nothing yet
    std::iota(next.begin(), next.end(), 0U);
    const auto find = [&](std::uint32_t place) {
        while (next[place] != place) place = next[place] = next[next[place]];
        return place;
    };
    for (const Laid& each : laid)
        for (std::uint32_t place = find(each.first); place < each.end; place = find(place)) {
            visit(place, each);
            next[place] = place + 1;
        }
}

}  // namespace

void FaultTaker::finish(const std::function<std::optional<FaultStory>(const FaultOutcome&)>& slowest) {
    for (std::size_t i = 0; i < stretches_.size(); ++i) {
        const FaultLines& lines = networks_[i].lines();
        Stretches& all = stretches_[i];
        for (std::size_t make = 0; make < all.wires.size(); ++make) {
            const std::vector<std::uint32_t>& places = all.places_of_make[make];
            each_largest(all.wires[make], places.size(), [&](std::uint32_t place, const Laid& laid) {
                take_wire(lines.edge_at(places[place]), laid.value, laid.outcome);
            });
        }
    }
    // The story once more by nothing but the last gates, the largest current of each device first.
    std::sort(candidates_.begin(), candidates_.end());
    for (const Candidate& candidate : candidates_) {
        FaultSurvey::Unpromised& worst = survey_.unpromised[candidate.device.index()];
        if (worst.outcome != FaultSurvey::none) continue;
        const auto story = slowest(survey_.outcomes[candidate.outcome]);
        if (!story) continue;
        for (const FaultEvent& event : story->events) {
            if (event.kind != FaultEvent::Kind::damaged) continue;
            const WireId wire = circuit_.edge(event.edge).wire;
            // A short tap before the device is judged by nobody.
            if (circuit_.harness->wire(wire).length.hi <= free_m_) continue;
            worst = {-candidate.current_A, wire, candidate.outcome};
            break;
        }
    }
}

}  // namespace loomward
