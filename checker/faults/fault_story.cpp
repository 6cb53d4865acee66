// One fault from its first instant to its end.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "checker/faults/fault.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/protectors.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward {

namespace {

// The instant at which a conductor in the piece is damaged, if it is, into the events of that step.
void find_damage(const FaultCourse& course, std::uint32_t piece, EdgeId edge, const WireHeat& wire,
                 std::vector<std::vector<FaultEvent>>& events) {
    if (wire.ampacity_A <= 0) return;
    double heat = 1;
    for (std::size_t i = 0; i < course.steps.size(); ++i) {
        const FaultCourse::Step& step = course.steps[i];
        const double each_A = std::abs(course.amps_in(i, piece));
        if (each_A < FaultCourse::nothing) continue;
        const double left_s = wire.damage_s(each_A, heat);
        if (left_s <= step.lasts_s && std::isfinite(left_s)) {
            events[i].push_back(
                {FaultEvent::Kind::damaged, step.begins_s + left_s, edge, each_A, step.fault_A});
            return;
        }
        heat = wire.after(each_A, heat, step.lasts_s);
    }
}
}  // namespace

double WireHeat::after(double current_A, double heat, double seconds) const {
    const double ratio = current_A / ampacity_A;
    const double settled = ratio * ratio;
    return std::isfinite(seconds) ? settled + (heat - settled) * std::exp(-seconds / tau_s) : settled;
}

double WireHeat::damage_s(double current_A, double heat) const {
    if (heat >= damage) return 0;
    return overload_time_s(current_A / ampacity_A, std::sqrt(heat), std::sqrt(damage), tau_s);
}

bool ends_well(const FaultStory& story) {
    return story.solved && story.standing_A == 0 &&
           std::none_of(story.events.begin(), story.events.end(),
                        [](const FaultEvent& event) { return event.kind == FaultEvent::Kind::damaged; });
}

FaultTeller::FaultTeller(const FaultNetwork& network, const Setting& setting)
    : network_(network), setting_(setting), solver_(network) {}

double FaultTeller::time_of(EdgeId edge, double current_A, BandEdge which) const {
    // A capacitor gives its first current for half of its time constant and then nothing: the same charge
    // squared, and the same heat, as along the exponential: C V / (2 I) = R C / 2.
    if (const double charge_As = network_.branch(edge).charge_As; charge_As > 0)
        return current_A > 0 ? charge_As / (2 * current_A) : never_s;
    const Band& band = setting_.bands[network_.circuit().edge(edge).part.index()];
    if (which == BandEdge::slow) return band.slow_s(current_A);
    if (which == BandEdge::unpromised) return band.unpromised_s(current_A);
    return band.fast_s(current_A).value_or(band.slow_s(current_A));
}

double FaultCourse::let_through_A2s(std::uint32_t piece, double above_A) const {
    double sum = 0;
    for (std::size_t i = 0; i < steps.size(); ++i)
        if (const double each_A = std::abs(amps_in(i, piece)); each_A >= nothing && each_A > above_A)
            sum += each_A * each_A * steps[i].lasts_s;
    return sum;
}

double FaultCourse::heat(std::uint32_t piece, const WireHeat& wire) const {
    if (wire.ampacity_A <= 0) return 0;
    double hottest = 0, heat = 1;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const double each_A = std::abs(amps_in(i, piece));
        if (each_A < nothing) continue;
        heat = wire.after(each_A, heat, steps[i].lasts_s);
        hottest = std::max({hottest, heat, 1.0});
    }
    return hottest;
}

// Of 1 - exp(-x) no more than x counts, and what cools counts as it was.
bool FaultCourse::may_heat_above(double heat, std::uint32_t piece, const WireHeat& wire) const {
    constexpr double rounding = 1 + 1e-9;
    double most = 1;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const double ratio = amps_in(i, piece) / wire.ampacity_A;
        const double rise = ratio * ratio - most;
        if (rise > 0) most += rise * std::min(1.0, steps[i].lasts_s / wire.tau_s);
    }
    return !(most * rounding <= heat);
}

void FaultTeller::list_devices(std::span<const PartId> bridged) {
    devices_.clear();
    for (std::uint32_t i = 0; i < course_.pieces.size(); ++i) {
        if (course_.pieces[i].count > 1) continue;
        const Edge& edge = network_.circuit().edge(device_at(i));
        const bool acts = opens_on_current(edge.role) || network_.branch(device_at(i)).charge_As > 0;
        if (acts && std::find(bridged.begin(), bridged.end(), edge.part) == bridged.end())
            devices_.push_back({i, 0});
    }
    // Of two that get there together the first by its edge opens, however the way is cut.
    std::sort(devices_.begin(), devices_.end(),
              [this](const Device& a, const Device& b) { return device_at(a.piece) < device_at(b.piece); });
}

const FaultTeller::Device* FaultTeller::next_to_open(BandEdge which, double& step_s) const {
    const Device* next = nullptr;
    step_s = never_s;
    for (const Device& device : devices_) {
        if (opened_[device.piece]) continue;
        const double whole_s =
            time_of(device_at(device.piece), std::abs(solver_.piece_A()[device.piece]), which);
        const double left_s = std::isfinite(whole_s) ? (1 - device.progress) * whole_s : never_s;
        if (left_s >= step_s) continue;
        step_s = left_s;
        next = &device;
    }
    return next;
}

const FaultCourse* FaultTeller::follow(const FaultPlace& place, BandEdge which,
                                       std::span<const PartId> bridged) {
    if (!network_.lines().between(place.a, place.b, course_.pieces)) return nullptr;
    return follow_pieces(place, which, bridged);
}

const FaultCourse* FaultTeller::follow_apart(const FaultPlace& place, BandEdge which) {
    if (!network_.lines().between(place.a, place.b, course_.pieces)) return nullptr;
    course_.pieces = network_.lines().apart(course_.pieces);
    return follow_pieces(place, which, {});
}

const FaultCourse* FaultTeller::follow_pieces(const FaultPlace& place, BandEdge which,
                                              std::span<const PartId> bridged) {
    course_.steps.clear();
    course_.amps.clear();
    course_.solved = true;
    list_devices(bridged);
    opened_.assign(course_.pieces.size(), false);
    double now_s = 0;
    for (;;) {
        if (!course_.steps.empty() && !solver_.may_flow(course_.pieces, opened_)) {
            course_.left_A = 0;
            break;
        }
        course_.solved = solver_.solve(course_.pieces, opened_, place.a, place.b) && course_.solved;
        const double fault_A = std::abs(solver_.fault_A());
        const std::vector<double>& amps = solver_.piece_A();
        const bool first = course_.steps.empty();
        if (first && fault_A < FaultCourse::nothing) return nullptr;
        course_.left_A = fault_A;
        if (!first && fault_A < FaultCourse::nothing * std::max(1.0, course_.prospective_A())) break;
        double step_s = never_s;
        const Device* next = next_to_open(which, step_s);
        course_.steps.push_back({now_s, step_s, fault_A, next ? next->piece : FaultCourse::none});
        course_.amps.insert(course_.amps.end(), amps.begin(), amps.end());
        now_s += step_s;
        if (!next) break;
        for (Device& device : devices_) {
            if (opened_[device.piece]) continue;
            const double whole_s = time_of(device_at(device.piece), std::abs(amps[device.piece]), which);
            if (std::isfinite(whole_s) && whole_s > 0) device.progress += step_s / whole_s;
        }
        opened_[next->piece] = true;
    }
    course_.ends_s = now_s;
    return &course_;
}

double FaultTeller::lasting_A(const FaultPlace& place, EdgeId device) {
    if (!network_.lines().between(place.a, place.b, course_.pieces)) return 0;
    opened_.assign(course_.pieces.size(), false);
    std::uint32_t through = FaultCourse::none;
    for (std::uint32_t i = 0; i < course_.pieces.size(); ++i) {
        if (course_.pieces[i].count > 1) continue;
        opened_[i] = network_.branch(device_at(i)).charge_As > 0;
        if (device_at(i) == device) through = i;
    }
    if (through == FaultCourse::none || !solver_.solve(course_.pieces, opened_, place.a, place.b)) return 0;
    return std::abs(solver_.piece_A()[through]);
}

std::optional<FaultStory> FaultTeller::tell(const FaultPlace& place, BandEdge which,
                                            std::span<const PartId> bridged) {
    const FaultCourse* course = follow(place, which, bridged);
    if (!course) return std::nullopt;
    return story_of(*course);
}

// Edge by edge again, with the instants at which conductors are damaged.
FaultStory FaultTeller::story_of(const FaultCourse& course) const {
    FaultStory story;
    story.prospective_A = course.prospective_A();
    story.standing_A = course.standing_A();
    story.solved = course.solved;
    story.ends_s = course.ends_s;
    std::vector<std::vector<FaultEvent>> events(course.steps.size());
    for (std::uint32_t i = 0; i < course.pieces.size(); ++i) {
        const FaultPiece& piece = course.pieces[i];
        const double let_through = course.let_through_A2s(i);
        const double last_A = course.standing_A() > 0 ? course.amps_in(course.steps.size() - 1, i) : 0;
        for (std::uint32_t k = 0; k < piece.count; ++k) {
            const EdgeId id = network_.lines().edge(piece, k);
            const int sign = network_.lines().sign(piece, k);
            const WireId wire = network_.circuit().edge(id).wire;
            const double heat = wire ? course.heat(i, setting_.wires[wire.index()]) : 0;
            if (std::abs(course.first_A(i)) >= FaultCourse::nothing || let_through > 0)
                story.stress.push_back({id, sign * course.first_A(i), sign * last_A, let_through, heat});
            if (wire) find_damage(course, i, id, setting_.wires[wire.index()], events);
        }
    }
    std::sort(story.stress.begin(), story.stress.end(),
              [](const FaultStress& a, const FaultStress& b) { return a.edge < b.edge; });
    for (std::size_t i = 0; i < course.steps.size(); ++i) {
        const FaultCourse::Step& step = course.steps[i];
        std::sort(events[i].begin(), events[i].end(), [](const FaultEvent& a, const FaultEvent& b) {
            return std::tie(a.time_s, a.edge) < std::tie(b.time_s, b.edge);
        });
        story.events.insert(story.events.end(), events[i].begin(), events[i].end());
        if (step.opens == FaultCourse::none) continue;
        const EdgeId opens = device_at(step.opens);
        const bool empty = network_.branch(opens).charge_As > 0;
        story.events.push_back({empty ? FaultEvent::Kind::empties : FaultEvent::Kind::opens,
                                step.begins_s + step.lasts_s, opens, std::abs(course.amps_in(i, step.opens)),
                                i + 1 < course.steps.size() ? course.steps[i + 1].fault_A : course.left_A});
    }
    return story;
}

FaultTeller::Setting fault_setting(const Circuit& circuit, const Facts& facts,
                                   const std::vector<WireLoading>& wires) {
    const Harness& harness = *circuit.harness;
    FaultTeller::Setting setting;
    setting.bands.resize(harness.parts.size());
    setting.never_opens.resize(harness.parts.size());
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Kind kind = harness.parts[i].kind;
        setting.never_opens[i] = never_opens(facts, PartId(i));
        if (kind == Kind::protector)
            setting.bands[i].electronic = true;  // without thresholds: it never opens
        if (kind == Kind::fuse || kind == Kind::breaker || kind == Kind::bms ||
            (kind == Kind::protector && opens_in_a_short(facts, PartId(i))))
            setting.bands[i] = band_of(facts, PartId(i));
    }
    setting.carries_A.resize(circuit.edges.size(), 0);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role != EdgeRole::switching && edge.role != EdgeRole::contact) continue;
        const auto rating = current_rating(facts, edge, facts.ambient(edge.part), Direction::either);
        if (rating) setting.carries_A[i] = rating->may_A;
    }
    setting.wires.resize(harness.wires.size());
    for (std::size_t i = 0; i < harness.wires.size(); ++i) {
        const Wire& wire = harness.wires[i];
        if (!wire.area.is_known()) continue;
        const double service_degC = conductor_limit_degC(facts, WireId(i));
        Surroundings around = wires[i].surroundings;
        around.ambient_degC = std::max(around.ambient_degC, facts.ambient(WireId(i)).hi);
        WireHeat& heat = setting.wires[i];
        heat.ampacity_A = ampacity_A(wire.area.lo, service_degC, wire.aluminium, around) * wire.parallel;
        heat.limit_degC = short_circuit_limit_degC(wire.insulation, wire.insulation_limit_degC, wire.area.lo);
        if (heat.ampacity_A <= 0 || heat.limit_degC <= service_degC || service_degC <= around.ambient_degC) {
            heat.ampacity_A = 0;
            continue;
        }
        heat.ambient_degC = around.ambient_degC;
        heat.service_degC = service_degC;
        heat.k = adiabatic_k(service_degC, heat.limit_degC, wire.aluminium);
        const double area_mm2 = wire.area.lo * wire.parallel;
        heat.k2S2_A2s = heat.k * heat.k * area_mm2 * area_mm2;
        heat.damage = (heat.limit_degC - around.ambient_degC) / (service_degC - around.ambient_degC);
        heat.tau_s = heat.k2S2_A2s / (heat.ampacity_A * heat.ampacity_A * (heat.damage - 1));
    }
    return setting;
}

}  // namespace loomward
