#include "checker/papers/device_curves.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/currents/profile.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

using namespace literals;

namespace {

// Rules that say of a wire that what guards it is too slow for it.
bool tells_of_burning(const std::string& rule) {
    return rule == "slow-clearing" || rule == "insufficient-fault-current" || rule == "oversized-fuse";
}

// Evenly spaced in their logarithm, both ends included.
std::vector<double> currents_between(double from_A, double to_A) {
    std::vector<double> currents;
    const double first = std::log10(from_A), last = std::log10(to_A);
    const int steps = std::max(1, static_cast<int>(std::ceil((last - first) * samples_a_decade)));
    for (int i = 0; i <= steps; ++i) currents.push_back(std::pow(10, first + (last - first) * i / steps));
    return currents;
}

class CurveMaker {
  public:
    CurveMaker(const Results& results, const CurveFacts& facts, const std::vector<WireShorts>& shorts)
        : results_(results),
          harness_(*results.circuit.harness),
          curve_facts_(facts),
          shorts_(shorts),
          courses_(usable_courses(results.points)) {
        for (const Finding& finding : results.findings)
            if (finding.wire && !finding.accepted && tells_of_burning(finding.rule))
                accused_.insert(finding.wire.index());
    }

    DeviceCurve of(PartId device) const {
        DeviceCurve curve;
        curve.device = device;
        const Band& band = curve_facts_.bands[device.index()];
        curve.source = band.source;
        curve.electronic = band.electronic;
        const Value rated = results_.harness->value(harness_.part(device).attributes, "(rated-current)"_attr);
        if (rated.present() && rated.quantity().is_known()) curve.rated_A = rated.hi;
        const std::vector<WireId> behind = wires_behind(device);
        take_shorts(behind, curve);
        take_load(device, curve);
        const bool has_band = !band.slow.empty() && (curve.rated_A || band.electronic);
        if (!has_band) return curve;
        const double scale_A = curve.rated_A.value_or(first_trip_A(band));
        const double from_A = std::pow(10, std::floor(std::log10(scale_A / 2)));
        const double to_A = std::max(60 * scale_A, 1.6 * curve.most_A.value_or(0));
        for (const double current_A : currents_between(from_A, to_A)) {
            if (const auto fast_s = band.fast_s(current_A)) add(curve.fast, current_A, *fast_s);
            add(curve.slow, current_A, band.slow_s(current_A));
        }
        add_wires(behind, from_A, to_A, curve);
        return curve;
    }

  private:
    static void add(std::vector<CurvePoint>& points, double current_A, double time_s) {
        if (std::isfinite(time_s) && time_s <= longest_curve_s * 10)
            points.push_back({current_A, std::max(time_s, shortest_curve_s / 10)});
    }
    static double first_trip_A(const Band& band) {
        double first_A = unlimited;
        for (const EdgeCurve& edge : band.slow)
            if (!edge.points.empty()) first_A = std::min(first_A, edge.points.front().current_A);
        return first_A < unlimited ? first_A : 1;
    }

    std::vector<WireId> wires_behind(PartId device) const {
        std::vector<WireId> wires;
        for (const ProtectionZone& zone : results_.zones) {
            const auto is_it = [&](const ZoneGuard& guard) { return guard.part == device && !guard.limit; };
            if (std::any_of(zone.devices.begin(), zone.devices.end(), is_it))
                wires.insert(wires.end(), zone.wires.begin(), zone.wires.end());
        }
        std::sort(wires.begin(), wires.end(), [](WireId a, WireId b) { return a.index() < b.index(); });
        return wires;
    }

    void take_shorts(const std::vector<WireId>& behind, DeviceCurve& curve) const {
        for (const WireId wire : behind) {
            const WireShort& at_end = shorts_[wire.index()].at_end;
            if (at_end.most) curve.most_A = std::max(curve.most_A.value_or(0), at_end.most->prospective_A);
            if (at_end.least)
                curve.least_A = std::min(curve.least_A.value_or(unlimited), at_end.least->prospective_A);
        }
    }

    void take_load(PartId device, DeviceCurve& curve) const {
        const double warm_up_s = fuse_warm_up().quick_s;
        for (const EdgeId edge : results_.circuit.edges_of_part[device.index()])
            for (const Course& course : courses_) {
                const CourseLoad load = load_of(course, warm_up_s, edge);
                if (!load.at || load.current_A <= std::max(curve.load_A, 1e-3)) continue;
                curve.load_A = load.current_A;
                curve.load_mode = course.mode;
                curve.load.clear();
                for (const OperatingPoint& point : course.points)
                    curve.load.push_back({std::abs(point.edge_A[edge.index()]), point.duration_s});
            }
    }

    struct Sort {
        WireId weakest;
        double area_mm2 = 0, ampacity_A = 0;
        std::size_t count = 0;
        bool accused = false;
    };
    // Those of one size that are told of in the same way, thinnest first.
    std::vector<Sort> sorts_of(const std::vector<WireId>& behind) const {
        std::map<std::pair<double, bool>, Sort> sorts;
        for (const WireId wire : behind) {
            const double ampacity_A = curve_facts_.wires[wire.index()].ampacity_A;
            if (ampacity_A <= 0) continue;
            const double area_mm2 = harness_.wire(wire).area.lo * harness_.wire(wire).parallel;
            const bool accused = accused_.contains(wire.index());
            Sort& sort = sorts[{area_mm2, accused}];
            const std::size_t count = sort.count + 1;
            if (count == 1 || ampacity_A < sort.ampacity_A)
                sort = {wire, area_mm2, ampacity_A, count, accused};
            sort.count = count;
        }
        std::vector<Sort> all;
        for (const auto& [key, sort] : sorts) all.push_back(sort);
        return all;
    }
    void add_wires(const std::vector<WireId>& behind, double from_A, double to_A, DeviceCurve& curve) const {
        constexpr std::size_t most = 3;
        std::vector<Sort> sorts = sorts_of(behind);
        while (sorts.size() > most) {
            // The next to the thickest of those that nothing is told of; if there is none, the thickest of
            // all.
            std::size_t out = sorts.size() - 1;
            for (std::size_t i = sorts.size() - 1; i-- > 0;)
                if (!sorts[i].accused) {
                    out = i;
                    break;
                }
            sorts.erase(sorts.begin() + static_cast<std::ptrdiff_t>(out));
        }
        for (const Sort& sort : sorts) {
            DamageCurve damage{sort.weakest, sort.count - 1, {}, sort.accused};
            const WireHeat& heat = curve_facts_.wires[sort.weakest.index()];
            for (const double current_A : currents_between(from_A, to_A)) {
                const double time_s = heat.damage_s(current_A);
                if (std::isfinite(time_s) && time_s <= longest_curve_s)
                    damage.points.push_back({current_A, time_s});
            }
            if (!damage.points.empty()) curve.wires.push_back(std::move(damage));
        }
    }

    static constexpr double unlimited = std::numeric_limits<double>::infinity();
    const Results& results_;
    const Harness& harness_;
    const CurveFacts& curve_facts_;
    const std::vector<WireShorts>& shorts_;
    std::vector<Course> courses_;
    std::set<std::size_t> accused_;
};

}  // namespace

std::vector<DeviceCurve> device_curves(const Results& results, const CurveFacts& facts,
                                       const std::vector<WireShorts>& shorts) {
    const CurveMaker maker(results, facts, shorts);
    std::vector<DeviceCurve> curves;
    for (std::size_t i = 0; i < results.circuit.harness->parts.size(); ++i) {
        const Kind kind = results.circuit.harness->parts[i].kind;
        if (kind == Kind::fuse || kind == Kind::breaker || kind == Kind::bms)
            curves.push_back(maker.of(PartId(i)));
    }
    return curves;
}

}  // namespace loomward
