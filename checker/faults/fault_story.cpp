// One fault from its first instant to its end.
#include <algorithm>
#include <cmath>

#include "checker/faults/fault.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward {

namespace {
constexpr double never_s = std::numeric_limits<double>::infinity();
constexpr double nothing = 1e-6;  // of the first current, or of an ampere: counts as no current
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

std::optional<FaultStory> FaultTeller::tell(const FaultPlace& place, BandEdge which,
                                            std::span<const PartId> bridged) {
    if (!network_.edges_around(place.a, place.b, edges_)) return std::nullopt;
    const Circuit& circuit = network_.circuit();
    struct Device {
        std::size_t index;  // into edges_
        double progress = 0;
    };
    std::vector<Device> devices;
    std::vector<double> heat(edges_.size(), 1);
    std::vector<bool> opened(edges_.size(), false), damaged(edges_.size(), false);
    FaultStory story;
    story.stress.reserve(edges_.size());
    for (std::size_t i = 0; i < edges_.size(); ++i) {
        const Edge& edge = circuit.edge(edges_[i]);
        story.stress.push_back({edges_[i], 0, 0, 0, 0});
        const bool acts = opens_on_current(edge.role) || network_.branch(edges_[i]).charge_As > 0;
        if (acts && std::find(bridged.begin(), bridged.end(), edge.part) == bridged.end())
            devices.push_back({i, 0});
    }
    const auto wire_heat = [&](std::size_t i) -> const WireHeat* {
        const Edge& edge = circuit.edge(edges_[i]);
        if (!edge.wire) return nullptr;
        const WireHeat& wire = setting_.wires[edge.wire.index()];
        return wire.ampacity_A > 0 ? &wire : nullptr;
    };
    double now_s = 0;
    for (bool first = true;; first = false) {
        story.solved = solver_.solve(edges_, opened, place.a, place.b) && story.solved;
        const double fault_A = std::abs(solver_.fault_A());
        const std::vector<double>& amps = solver_.edge_A();
        if (first) {
            if (fault_A < nothing) return std::nullopt;
            story.prospective_A = fault_A;
            for (std::size_t i = 0; i < edges_.size(); ++i) story.stress[i].first_A = amps[i];
        } else {
            story.events.back().fault_A = fault_A;
        }
        if (fault_A < nothing * std::max(1.0, story.prospective_A)) break;
        const Device* next = nullptr;
        double step_s = never_s;
        for (const Device& device : devices) {
            if (opened[device.index]) continue;
            const double whole_s = time_of(edges_[device.index], std::abs(amps[device.index]), which);
            const double left_s = std::isfinite(whole_s) ? (1 - device.progress) * whole_s : never_s;
            if (left_s < step_s) {
                step_s = left_s;
                next = &device;
            }
        }
        const std::size_t before = story.events.size();
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            const double current_A = std::abs(amps[i]);
            if (current_A < nothing) continue;
            story.stress[i].let_through_A2s += current_A * current_A * step_s;
            const WireHeat* wire = wire_heat(i);
            if (!wire) continue;
            if (!damaged[i]) {
                const double left_s = wire->damage_s(current_A, heat[i]);
                if (left_s <= step_s && std::isfinite(left_s)) {
                    damaged[i] = true;
                    story.events.push_back(
                        {FaultEvent::Kind::damaged, now_s + left_s, edges_[i], current_A, fault_A});
                }
            }
            heat[i] = wire->after(current_A, heat[i], step_s);
            story.stress[i].heat = std::max({story.stress[i].heat, heat[i], 1.0});
        }
        std::stable_sort(story.events.begin() + static_cast<std::ptrdiff_t>(before), story.events.end(),
                         [](const FaultEvent& a, const FaultEvent& b) { return a.time_s < b.time_s; });
        if (!next) {
            story.standing_A = fault_A;
            for (std::size_t i = 0; i < edges_.size(); ++i) story.stress[i].last_A = amps[i];
            now_s = never_s;
            break;
        }
        now_s += step_s;
        const std::size_t opens = next->index;
        for (Device& device : devices) {
            if (opened[device.index]) continue;
            const double whole_s = time_of(edges_[device.index], std::abs(amps[device.index]), which);
            if (std::isfinite(whole_s) && whole_s > 0) device.progress += step_s / whole_s;
        }
        opened[opens] = true;
        const bool empty = network_.branch(edges_[opens]).charge_As > 0;
        story.events.push_back({empty ? FaultEvent::Kind::empties : FaultEvent::Kind::opens, now_s,
                                edges_[opens], std::abs(amps[opens]), 0});
    }
    story.ends_s = now_s;
    std::erase_if(story.stress, [](const FaultStress& each) {
        return std::abs(each.first_A) < nothing && each.let_through_A2s == 0;
    });
    return story;
}

FaultTeller::Setting fault_setting(const Circuit& circuit, const Facts& facts,
                                   const std::vector<WireLoading>& wires) {
    const Harness& harness = *circuit.harness;
    FaultTeller::Setting setting;
    setting.bands.resize(harness.parts.size());
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Kind kind = harness.parts[i].kind;
        if (kind == Kind::fuse || kind == Kind::breaker || kind == Kind::bms)
            setting.bands[i] = band_of(facts, PartId(i));
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
