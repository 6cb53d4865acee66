#include "checker/heat/wire_temperatures.hpp"

#include <algorithm>

#include "checker/currents/equivalent_currents.hpp"
#include "checker/heat/conductor_temperature.hpp"
#include "checker/heat/wire_air.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"

namespace loomward {

namespace {

constexpr double idle_share = 0.1;  // of the hottest wire's loss: no source

class GroupHeat {
  public:
    GroupHeat(const Facts& facts, const HeatGroup& group, const std::vector<double>& current_A,
              const Course& course)
        : facts_(facts), course_(course) {
        const Harness& harness = facts.harness();
        std::vector<WireId> sized;
        for (const WireId id : group.wires) {
            const Wire& wire = harness.wire(id);
            if (!wire.area.is_known() || wire.area.lo <= 0) continue;
            const double each_A = current_A[id.index()] / wire.parallel;
            sized.push_back(id);
            carries_ = carries_ || each_A > idle_A;
            for (int i = 0; i < wire.parallel; ++i) {
                bundle_.wires.push_back(heated_wire(wire.area.lo, each_A, Wall::building, wire.aluminium));
                of_.push_back(id);
            }
        }
        air_ = air_at_wires(facts, sized, course.mode);
        if (bundle_.wires.empty()) return;
        if (const auto layer = layer_of(group.wrap, body_mm(bundle_))) bundle_.layers.push_back(*layer);
    }

    void merge_into(std::vector<WireTemperature>& worst) const {
        if (!carries_) return;
        const SteadyHeat heat = steady_heat(bundle_, air_);
        for (std::size_t i = 0; i < of_.size(); ++i) {
            if (bundle_.wires[i].current_A <= idle_A) continue;
            WireTemperature& wire = worst[of_[i].index()];
            const double degC = heat.settles ? heat.wire_degC[i] : heat.hottest_degC;
            if (wire.judged && !worse(degC, wire)) continue;
            wire.judged = true;
            wire.settles = heat.settles;
            wire.hottest_degC = degC;
            wire.ambient_degC = air_.air_degC;
            wire.limit_degC = conductor_limit_degC(facts_, of_[i]);
            wire.beside = of_.size();
            wire.mode = course_.mode;
            wire.corner = course_.corner;
        }
    }

    // Those that give no heat worth the name themselves: a tenth of the hottest's, each by its length.
    void merge_warmed(std::vector<WarmedWire>& worst) const {
        if (!carries_ || of_.size() < 2) return;
        const SteadyHeat heat = steady_heat(bundle_, air_);
        const auto lost = [&](std::size_t i) {
            const HeatedWire& wire = bundle_.wires[i];
            return wire.current_A * wire.current_A * wire.ohm_per_m;
        };
        const auto most = static_cast<std::size_t>(
            std::max_element(heat.wire_degC.begin(), heat.wire_degC.end()) - heat.wire_degC.begin());
        for (std::size_t i = 0; i < of_.size(); ++i) {
            if (of_[i] == of_[most] || lost(i) > idle_share * lost(most)) continue;
            WarmedWire& wire = worst[of_[i].index()];
            if (wire.wire && heat.wire_degC[i] <= wire.least_degC) continue;
            wire = {of_[i],
                    heat.wire_degC[i],
                    heat.wire_degC[most],
                    air_.air_degC,
                    conductor_limit_degC(facts_, of_[i]),
                    bundle_.wires[i].current_A * facts_.harness().wire(of_[i]).parallel,
                    of_[most],
                    bundle_.wires[most].current_A * facts_.harness().wire(of_[most]).parallel,
                    heat.settles,
                    of_.size(),
                    course_.mode,
                    course_.corner};
        }
    }

  private:
    // Equals by the name of their mode, so that the order of writing means nothing.
    bool worse(double degC, const WireTemperature& known) const {
        constexpr double as_good_as_equal_K = 1e-6;
        if (degC > known.hottest_degC + as_good_as_equal_K) return true;
        const auto name = [&](ModeId mode) { return facts_.harness().modes[mode.index()].name; };
        return degC >= known.hottest_degC - as_good_as_equal_K && name(course_.mode) < name(known.mode);
    }

    const Facts& facts_;
    const Course& course_;
    HeatedBundle bundle_;
    std::vector<WireId> of_;  // by wire of the bundle
    Air air_;
    bool carries_ = false;
};

}  // namespace

std::vector<HeatGroup> every_heat_group(const Harness& harness) {
    std::vector<HeatGroup> groups = heat_groups(harness);
    std::vector<bool> grouped(harness.wires.size(), false);
    for (const HeatGroup& group : groups)
        for (const WireId wire : group.wires) grouped[wire.index()] = true;
    for (std::size_t i = 0; i < grouped.size(); ++i)
        if (!grouped[i]) groups.push_back({Wrap::open, {WireId(i)}});
    return groups;
}

std::vector<WireTemperature> wire_temperatures(const Circuit& circuit, const Facts& facts,
                                               const std::vector<OperatingPoint>& points) {
    const std::vector<HeatGroup> groups = every_heat_group(*circuit.harness);
    std::vector<WireTemperature> worst(circuit.harness->wires.size());
    for (const Course& course : usable_courses(points)) {
        const std::vector<double> current_A = equivalent_currents_A(circuit, facts, course);
        for (const HeatGroup& group : groups) GroupHeat(facts, group, current_A, course).merge_into(worst);
    }
    return worst;
}

std::vector<WarmedWire> warmed_wires(const Circuit& circuit, const Facts& facts,
                                     const std::vector<OperatingPoint>& points) {
    std::vector<WarmedWire> worst(circuit.harness->wires.size());
    const std::vector<HeatGroup> groups = heat_groups(*circuit.harness);
    if (groups.empty()) return {};
    for (const Course& course : usable_courses(points)) {
        const std::vector<double> current_A = equivalent_currents_A(circuit, facts, course);
        for (const HeatGroup& group : groups) GroupHeat(facts, group, current_A, course).merge_warmed(worst);
    }
    std::erase_if(worst, [](const WarmedWire& each) { return !each.wire; });
    return worst;
}

}  // namespace loomward
