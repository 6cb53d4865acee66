#include "checker/currents/loading.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/parts/elements.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double counts_as_loaded = 0.3;  // of what a conductor may carry on its own

Wrap wrap_of(std::string_view word) {
    if (word == "taped") return Wrap::taped;
    if (word == "sleeved") return Wrap::sleeved;
    if (word == "conduit") return Wrap::conduit;
    if (word == "foamed") return Wrap::foamed;
    return Wrap::open;
}

// Current over limit. A limit of 0 at a known size (surroundings as hot as the insulation may get) is worse
// than any other, not unknown.
double utilisation(double current_A, double limit_A, bool known) {
    if (limit_A > 0) return current_A / limit_A;
    return known && current_A > 1e-3 ? std::numeric_limits<double>::infinity() : 0;
}

// Free-air limit of each wire at the hottest ambient of a mode, A; 0 where the size is not known.
class Limits {
  public:
    Limits(const Circuit& circuit, const Facts& facts) : circuit_(circuit), facts_(facts) {}
    double at(WireId id, const Surroundings& surroundings) const {
        const Wire& wire = circuit_.harness->wire(id);
        if (!wire.area.is_known()) return 0;
        return wire.parallel *
               ampacity_A(wire.area.lo, conductor_limit_degC(facts_, id), wire.aluminium, surroundings);
    }

  private:
    const Circuit& circuit_;
    const Facts& facts_;
};

// One course, all wires: equivalent currents first (they decide how many share a bundle's heat), then limits.
class CourseLoading {
  public:
    CourseLoading(const Circuit& circuit, const Facts& facts, const Course& course)
        : circuit_(circuit), facts_(facts), limits_(circuit, facts), course_(course) {}

    void merge_into(std::vector<WireLoading>& worst) {
        const Harness& harness = *circuit_.harness;
        const std::size_t wires = harness.wires.size();
        equivalent_A_.resize(wires);
        alone_A_.resize(wires);
        loaded_in_bundle_.assign(harness.bundles.size(), 0);
        for (std::size_t i = 0; i < wires; ++i) measure(WireId(i));
        for (std::size_t i = 0; i < wires; ++i) judge(WireId(i), worst[i]);
    }

  private:
    // A course that stays starts as warm as its last level leaves it.
    double equivalent_A(EdgeId edge, double tau_s) const {
        std::vector<HeatLevel> levels;
        for (const OperatingPoint& point : course_.points)
            levels.push_back({std::abs(point.edge_A[edge.index()]), point.duration_s});
        return equivalent_current_A(levels, course_.points.front().repeats, tau_s, levels.back().current_A);
    }

    void measure(WireId id) {
        const Wire& wire = circuit_.harness->wire(id);
        const double ambient_degC = facts_.ambient(id, course_.mode).hi;
        const EdgeId edge = circuit_.edge_of_wire[id.index()];
        alone_A_[id.index()] = limits_.at(id, {ambient_degC, Wrap::open, 1});
        equivalent_A_[id.index()] = peak_of(course_, edge).current_A;
        if (course_.points.size() > 1 && alone_A_[id.index()] > 0) {
            const double limit_degC = conductor_limit_degC(facts_, id);
            const double k = adiabatic_k(ambient_degC, limit_degC, wire.aluminium);
            const double tau = time_constant_s(wire.area.lo * wire.parallel, k, alone_A_[id.index()]);
            equivalent_A_[id.index()] = equivalent_A(edge, tau);
        }
        if (equivalent_A_[id.index()] > counts_as_loaded * alone_A_[id.index()])
            for (const BundleId bundle : wire.bundles)
                if (bundle) loaded_in_bundle_[bundle.index()] += wire.parallel;
    }

    void judge(WireId id, WireLoading& worst) const {
        const Wire& wire = circuit_.harness->wire(id);
        const double current = equivalent_A_[id.index()];
        const Peak peak = peak_of(course_, circuit_.edge_of_wire[id.index()]);
        worst.peak_A = std::max(worst.peak_A, peak.current_A);
        const double ambient_degC = facts_.ambient(id, course_.mode).hi;
        Surroundings around{ambient_degC, Wrap::open, 1};
        double limit = alone_A_[id.index()];
        const bool counted = current > counts_as_loaded * limit;
        // Its bundles are at different places along it: the one that hurts most counts.
        for (const BundleId bundle : wire.bundles) {
            if (!bundle) continue;
            const int loaded = loaded_in_bundle_[bundle.index()] + (counted ? 0 : wire.parallel);
            const Wrap wrap = wrap_of(
                circuit_.harness->value(circuit_.harness->bundles[bundle.index()].attributes, "wrap"_attr)
                    .text);
            const Surroundings here{ambient_degC, wrap, std::max(loaded, 1)};
            if (wrap == Wrap::open && loaded <= 1) continue;
            const double here_A = limits_.at(id, here);
            if (here_A >= limit) continue;
            limit = here_A;
            around = here;
        }
        const bool known = wire.area.is_known();
        const double ratio = utilisation(current, limit, known);
        const double worst_ratio =
            worst.mode.valid() ? utilisation(worst.current_A, worst.limit_A, known) : -1;
        if (ratio < worst_ratio || (ratio == worst_ratio && worst.mode.valid())) return;
        worst.current_A = current;
        worst.limit_A = limit;
        worst.mode = course_.mode;
        worst.corner = course_.corner;
        worst.surroundings = around;
        const double signed_A =
            peak.point ? peak.point->edge_A[circuit_.edge_of_wire[id.index()].index()] : 0;
        worst.direction = std::abs(signed_A) < 1e-6 ? 0 : signed_A > 0 ? 1 : -1;
    }

    const Circuit& circuit_;
    const Facts& facts_;
    Limits limits_;
    const Course& course_;
    std::vector<double> equivalent_A_;
    std::vector<double> alone_A_;
    std::vector<int> loaded_in_bundle_;
};

}  // namespace

std::vector<Course> usable_courses(const std::vector<OperatingPoint>& points) {
    std::vector<Course> courses;
    for (std::size_t first = 0; first < points.size();) {
        std::size_t last = first;
        bool usable = true;
        while (last < points.size() && points[last].mode == points[first].mode &&
               points[last].corner == points[first].corner)
            usable = points[last++].usable() && usable;
        if (usable)
            courses.push_back(
                {points[first].mode, points[first].corner, std::span(points).subspan(first, last - first)});
        first = last;
    }
    return courses;
}

Peak peak_of(const Course& course, EdgeId edge) {
    Peak peak;
    for (const OperatingPoint& point : course.points) {
        const double amps = std::abs(point.edge_A[edge.index()]);
        if (!peak.point || amps > peak.current_A) peak = {amps, &point};
    }
    return peak;
}

std::vector<WireLoading> load_wires(const Circuit& circuit, const Facts& facts,
                                    const std::vector<OperatingPoint>& points, const Proof& proof) {
    std::vector<WireLoading> wires(circuit.harness->wires.size());
    for (const Course& course : usable_courses(points))
        CourseLoading(circuit, facts, course).merge_into(wires);
    for (std::size_t i = 0; i < wires.size(); ++i) {
        const WireProof& proved = proof.wires[i];
        wires[i].unguarded = proved.unguarded();
        wires[i].electronic_only = proved.electronic_only();
        for (const EdgeId device : proved.guarding().cut)
            wires[i].guards.push_back(circuit.edge(device).part);
        std::sort(wires[i].guards.begin(), wires[i].guards.end());
        wires[i].guards.erase(std::unique(wires[i].guards.begin(), wires[i].guards.end()),
                              wires[i].guards.end());
    }
    return wires;
}

Ampacity standing_ampacity(const Facts& facts, WireId id, const WireLoading& loading) {
    const Wire& wire = facts.harness().wire(id);
    Surroundings around = loading.surroundings;
    around.ambient_degC = std::max(around.ambient_degC, facts.ambient(id).hi);
    Ampacity limit = ampacity(wire.area.lo, conductor_limit_degC(facts, id), wire.aluminium, around);
    if (wire.parallel == 1) return limit;
    limit.current_A *= wire.parallel;
    limit.working += ", times " + std::to_string(wire.parallel) + " in parallel";
    return limit;
}

}  // namespace loomward
