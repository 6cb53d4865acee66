#include "checker/currents/loading.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/currents/equivalent_currents.hpp"
#include "checker/currents/grouping.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward {

using namespace literals;

namespace {

// Current over limit. A limit of 0 at a known size (surroundings as hot as the insulation may get) is worse
// than any other, not unknown.
double utilisation(double current_A, double limit_A, bool known) {
    if (limit_A > 0) return current_A / limit_A;
    return known && current_A > 1e-3 ? std::numeric_limits<double>::infinity() : 0;
}

double equivalent_A(const Circuit& circuit, const Facts& facts, const Course& course, WireId id) {
    const Wire& wire = circuit.harness->wire(id);
    const EdgeId edge = circuit.edge_of_wire[id.index()];
    if (course.points.size() <= 1) return peak_of(course, edge).current_A;
    const double ambient_degC = facts.ambient(id, course.mode).hi;
    const double alone_A = limit_A(facts, id, {ambient_degC, Wrap::open, 1});
    if (alone_A <= 0) return peak_of(course, edge).current_A;
    const double limit_degC = conductor_limit_degC(facts, id);
    const double k = adiabatic_k(ambient_degC, limit_degC, wire.aluminium);
    return load_of(course, time_constant_s(wire.area.lo * wire.parallel, k, alone_A), edge).current_A;
}

// One course, all wires: equivalent currents first (they decide how many share a bundle's heat), then limits.
class CourseLoading {
  public:
    CourseLoading(const Circuit& circuit, const Facts& facts, const Course& course)
        : circuit_(circuit), facts_(facts), course_(course) {}

    void merge_into(std::vector<WireLoading>& worst) {
        const std::size_t wires = circuit_.harness->wires.size();
        equivalent_A_ = equivalent_currents_A(circuit_, facts_, course_);
        around_ = surroundings_of(circuit_, facts_, equivalent_A_, course_.mode);
        for (std::size_t i = 0; i < wires; ++i) judge(WireId(i), worst[i]);
    }

  private:
    void judge(WireId id, WireLoading& worst) const {
        const Wire& wire = circuit_.harness->wire(id);
        const double current = equivalent_A_[id.index()];
        const Peak peak = peak_of(course_, circuit_.edge_of_wire[id.index()]);
        worst.peak_A = std::max(worst.peak_A, peak.current_A);
        const Surroundings& around = around_[id.index()];
        const double limit = limit_A(facts_, id, around);
        if (limit < limit_A(facts_, id, worst.standing)) worst.standing = around;
        const bool known = wire.area.is_known();
        const double ratio = utilisation(current, limit, known);
        const double worst_ratio =
            worst.mode.valid() ? utilisation(worst.current_A, worst.limit_A, known) : -1;
        // Equals but for rounding by the name of their mode, so that the order of writing means nothing.
        const double as_good_as_equal = std::isfinite(worst_ratio) ? 1e-6 * std::abs(worst_ratio) : 0;
        if (ratio < worst_ratio - as_good_as_equal) return;
        const auto name = [&](ModeId mode) { return circuit_.harness->modes[mode.index()].name; };
        if (ratio <= worst_ratio + as_good_as_equal && worst.mode && name(worst.mode) <= name(course_.mode))
            return;
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
    const Course& course_;
    std::vector<double> equivalent_A_;
    std::vector<Surroundings> around_;
};

}  // namespace

std::vector<double> equivalent_currents_A(const Circuit& circuit, const Facts& facts, const Course& course) {
    std::vector<double> all_A(circuit.harness->wires.size());
    for (std::size_t i = 0; i < all_A.size(); ++i) all_A[i] = equivalent_A(circuit, facts, course, WireId(i));
    return all_A;
}

std::vector<WireLoading> load_wires(const Circuit& circuit, const Facts& facts,
                                    const std::vector<OperatingPoint>& points) {
    std::vector<WireLoading> wires(circuit.harness->wires.size());
    const std::vector<double> none(wires.size(), 0);
    const std::vector<Surroundings> alone = surroundings_of(circuit, facts, none, {});
    for (std::size_t i = 0; i < wires.size(); ++i) wires[i].standing = wires[i].surroundings = alone[i];
    for (const Course& course : usable_courses(points))
        CourseLoading(circuit, facts, course).merge_into(wires);
    return wires;
}

Ampacity standing_ampacity(const Facts& facts, WireId id, const WireLoading& loading) {
    const Wire& wire = facts.harness().wire(id);
    Surroundings around = loading.standing;
    around.ambient_degC = std::max(around.ambient_degC, facts.ambient(id).hi);
    Ampacity limit = ampacity(wire.area.lo, conductor_limit_degC(facts, id), wire.aluminium, around);
    if (wire.parallel == 1) return limit;
    limit.current_A *= wire.parallel;
    limit.working += ", times " + std::to_string(wire.parallel) + " in parallel";
    return limit;
}

}  // namespace loomward
