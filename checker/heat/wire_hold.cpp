#include "checker/heat/wire_hold.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>
#include <utility>

#include "checker/heat/conductor_temperature.hpp"
#include "checker/heat/wire_air.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/work/at_once.hpp"

namespace loomward {

namespace {

enum class Wanted : std::uint8_t { all, hot };

class GroupHold {
  public:
    GroupHold(const Circuit& circuit, const Facts& facts, const HeatGroup& group, const Course& course)
        : circuit_(circuit), facts_(facts), group_(group), course_(course) {
        for (const WireId id : group.wires) {
            const Wire& wire = facts.harness().wire(id);
            if (!wire.area.is_known() || wire.area.lo <= 0) continue;
            first_of_.push_back(of_.size());
            ids_.push_back(id);
            worst_.push_back(worst_for(id));
            // Asked for here, not while several groups are worked on: the facts note who asks.
            limit_degC_.push_back(carries(worst_.size() - 1) ? conductor_limit_degC(facts, id) : 0);
            for (int i = 0; i < wire.parallel; ++i) of_.push_back(id);
        }
        air_ = air_at_wires(facts, ids_, course.mode);
        for (const WireId id : ids_) find_box(id);
        warmed_.hottest_degC = air_.air_degC;
        warmed_.cold_degC = std::min(warmed_.cold_degC, air_.air_degC);
    }

    std::vector<WireHold> holds(Wanted wanted) const {
        std::vector<WireHold> holds;
        if (ids_.empty()) return holds;
        std::vector<HeatedBundle> bundles;
        std::vector<SteadyHeat> steady;
        std::vector<std::size_t> unlike;  // levels at which not all flows as at an earlier one
        for (const OperatingPoint& point : course_.points) {
            bundles.push_back(bundle_at(point));
            const auto known = std::find_if(unlike.begin(), unlike.end(), [&](std::size_t level) {
                return alike(bundles[level], bundles.back());
            });
            if (known != unlike.end()) {
                steady.push_back(SteadyHeat(steady[*known]));
                continue;
            }
            unlike.push_back(steady.size());
            steady.push_back(steady_heat(bundles.back(), air_));
            level_out(bundles.back(), steady.back());
        }
        std::vector<AtLimit> known;
        for (std::size_t i = 0; i < ids_.size(); ++i)
            if (wanted == Wanted::all || gets_hot(steady, i)) add(holds, bundles, steady, known, i);
        return holds;
    }

  private:
    // What is found at a limit with the currents of a level: the same for all its wires of that limit.
    struct AtLimit {
        std::size_t level = 0;
        double limit_degC = 0, factor = 0, time_constant_s = 0;
    };
    const AtLimit& at_limit(std::vector<AtLimit>& known, const std::vector<HeatedBundle>& bundles,
                            std::size_t level, double limit_degC) const {
        const auto found = std::find_if(known.begin(), known.end(), [&](const AtLimit& each) {
            return each.level == level && each.limit_degC == limit_degC;
        });
        if (found != known.end()) return *found;
        const double factor = lasting_factor(bundles[level], limit_degC, air_);
        return known.emplace_back(
            AtLimit{level, limit_degC, factor, time_constant_of(bundles[level], factor)});
    }

    // The hottest of the boxes it runs through; all else is as warm from the beginning.
    void find_box(WireId id) {
        warmed_.cold_degC = std::max(warmed_.cold_degC, facts_.cold_ambient(id, course_.mode).hi);
        for (const BundleId bundle : facts_.harness().wire(id).bundles) {
            const LocationId place =
                bundle ? facts_.harness().bundles[bundle.index()].location : LocationId();
            if (!place) continue;
            const double inside_degC = facts_.within(place, course_.mode).hi;
            if (warmed_.place && inside_degC <= warmed_.hottest_degC) continue;
            warmed_.place = place;
            warmed_.hottest_degC = inside_degC;
        }
    }

    // The level at which a wire carries most.
    std::size_t worst_for(WireId id) const {
        std::size_t worst = 0;
        for (std::size_t i = 0; i < course_.points.size(); ++i)
            if (current_A(id, course_.points[i]) > current_A(id, course_.points[worst])) worst = i;
        return worst;
    }
    bool carries(std::size_t which) const {
        return !course_.points.empty() && current_A(ids_[which], course_.points[worst_[which]]) > idle_A;
    }
    // Whether some level, were it to stay, would bring it to its limit.
    bool gets_hot(const std::vector<SteadyHeat>& steady, std::size_t which) const {
        return carries(which) && std::any_of(steady.begin(), steady.end(), [&](const SteadyHeat& level) {
                   return !level.settles || level.wire_degC[first_of_[which]] >= limit_degC_[which];
               });
    }

    double current_A(WireId id, const OperatingPoint& point) const {
        return std::abs(point.edge_A[circuit_.edge_of_wire[id.index()].index()]);
    }

    HeatedBundle bundle_at(const OperatingPoint& point) const {
        HeatedBundle bundle;
        for (const WireId id : of_) {
            const Wire& wire = facts_.harness().wire(id);
            bundle.wires.push_back(heated_wire(wire.area.lo, current_A(id, point) / wire.parallel,
                                               Wall::building, wire.aluminium));
        }
        if (const auto layer = layer_of(group_.wrap, body_mm(bundle))) bundle.layers.push_back(*layer);
        return bundle;
    }

    static bool alike(const HeatedBundle& one, const HeatedBundle& other) {
        return std::equal(
            one.wires.begin(), one.wires.end(), other.wires.begin(),
            [](const HeatedWire& a, const HeatedWire& b) { return a.current_A == b.current_A; });
    }

    // Of wires that are alike any may lie at the centre: not the last bits of their currents decide which.
    static void level_out(const HeatedBundle& bundle, SteadyHeat& heat) {
        if (!heat.settles) return;
        constexpr double alike = 1e-6;
        std::vector<std::size_t> order(bundle.wires.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        const auto wire = [&](std::size_t i) -> const HeatedWire& { return bundle.wires[i]; };
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return std::pair(wire(a).ohm_per_m, wire(a).current_A) <
                   std::pair(wire(b).ohm_per_m, wire(b).current_A);
        });
        for (std::size_t first = 0; first < order.size();) {
            std::size_t last = first;
            double hottest_degC = heat.wire_degC[order[first]];
            for (; last < order.size() && wire(order[last]).ohm_per_m == wire(order[first]).ohm_per_m &&
                   wire(order[last]).current_A <= wire(order[first]).current_A * (1 + alike);
                 ++last)
                hottest_degC = std::max(hottest_degC, heat.wire_degC[order[last]]);
            for (; first < last; ++first) heat.wire_degC[order[first]] = hottest_degC;
        }
    }

    // Heat capacity over what all of them give away per kelvin, at the limit.
    double time_constant_of(HeatedBundle bundle, double factor) const {
        for (HeatedWire& wire : bundle.wires) wire.current_A *= factor;
        const SteadyHeat at_limit = steady_heat(bundle, air_);
        const double given_W_mK = at_limit.lost_W_per_m / (at_limit.hottest_degC - air_.air_degC);
        double sum_s = 0;
        for (const WireId id : of_) {
            const Wire& wire = facts_.harness().wire(id);
            sum_s += wire_time_constant_s(wire.area.lo, wire.aluminium, given_W_mK);
        }
        return sum_s;
    }

    void add(std::vector<WireHold>& holds, const std::vector<HeatedBundle>& bundles,
             const std::vector<SteadyHeat>& steady, std::vector<AtLimit>& known, std::size_t which) const {
        const WireId id = ids_[which];
        const Wire& wire = facts_.harness().wire(id);
        if (!carries(which)) return;
        const std::size_t worst = worst_[which];
        const double worst_A = current_A(id, course_.points[worst]);
        WireHold hold;
        hold.wire = id;
        hold.ambient_degC = air_.air_degC;
        hold.air = warmed_;
        hold.limit_degC = limit_degC_[which];
        if (hold.limit_K() <= 0) {
            hold.body = {1, 1};
        } else {
            const AtLimit& limited = at_limit(known, bundles, worst, hold.limit_degC);
            hold.lasting_A = worst_A * limited.factor;
            const double cold_ohm = at_temperature(1, air_.air_degC, wire.aluminium);
            const double growth =
                (at_temperature(1, air_.air_degC + 1, wire.aluminium) - cold_ohm) / cold_ohm;
            hold.body = {1, limited.time_constant_s, growth};
        }
        hold.losses = loss_course(course_, [&](const OperatingPoint& point) {
            const auto level = static_cast<std::size_t>(&point - course_.points.data());
            return loss_K(hold, steady[level], first_of_[which], current_A(id, point));
        });
        holds.push_back(std::move(hold));
    }

    // What leads to the steady temperature of a level; where there is none, as the square of the current.
    static double loss_K(const WireHold& hold, const SteadyHeat& steady, std::size_t at, double now_A) {
        const double growth = hold.body.growth_per_K;
        if (steady.settles) {
            const double rise_K = std::max(0.0, steady.wire_degC[at] - hold.ambient_degC);
            return rise_K / (1 + growth * rise_K);
        }
        if (hold.lasting_A <= 0) return 0;
        const double share = now_A / hold.lasting_A;
        return share * share * hold.limit_K() / (1 + growth * hold.limit_K());
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const HeatGroup& group_;
    const Course& course_;
    Air air_;
    WarmedAir warmed_{LocationId(), 0, -273};
    std::vector<WireId> of_;             // by conductor of the bundle
    std::vector<WireId> ids_;            // of known size
    std::vector<std::size_t> first_of_;  // of each of them, its first conductor
    std::vector<std::size_t> worst_;     // and the level at which it carries most
    std::vector<double> limit_degC_;     // of those that carry something
};

std::vector<WireHold> holds_of(const Circuit& circuit, const Facts& facts, const Course& course,
                               Wanted wanted) {
    const std::vector<HeatGroup> groups = every_heat_group(facts.harness());
    std::vector<GroupHold> of_groups;
    of_groups.reserve(groups.size());
    for (const HeatGroup& group : groups) of_groups.emplace_back(circuit, facts, group, course);
    std::vector<std::vector<WireHold>> found(groups.size());
    at_once(groups.size(), [&](std::size_t i) { found[i] = of_groups[i].holds(wanted); });
    std::vector<WireHold> holds;
    for (std::vector<WireHold>& each : found)
        holds.insert(holds.end(), std::make_move_iterator(each.begin()), std::make_move_iterator(each.end()));
    return holds;
}

}  // namespace

std::vector<WireHold> wire_holds(const Circuit& circuit, const Facts& facts, const Course& course) {
    return holds_of(circuit, facts, course, Wanted::all);
}

std::vector<WireHold> hot_wire_holds(const Circuit& circuit, const Facts& facts, const Course& course) {
    return holds_of(circuit, facts, course, Wanted::hot);
}

}  // namespace loomward
