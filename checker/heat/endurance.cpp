#include "checker/heat/endurance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "checker/circuit/managements.hpp"
#include "checker/currents/device_duty.hpp"
#include "checker/currents/equivalent_currents.hpp"
#include "checker/currents/grouping.hpp"
#include "checker/heat/contact_hold.hpp"
#include "checker/heat/held_bodies.hpp"
#include "checker/heat/pack_heat.hpp"
#include "checker/heat/wire_hold.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/parts/time_current.hpp"

namespace loomward {

using namespace literals;

namespace {

// The published limit goes by the model of its own standard: one body, rise by I2, limit Iz2.
void hold_to_published(HeldPart& part, const Course& course, const Amps& current, double limit_A,
                       double tau_s) {
    part.published_A = limit_A;
    part.lasting_A = std::min(part.lasting_A, limit_A);
    const ThermalBody body{1, tau_s};
    const LossCourse squares =
        loss_course(course, [&](const OperatingPoint& point) { return current(point) * current(point); });
    HeldPart by_table = part;
    follow_body(by_table, course, body, squares, limit_A * limit_A * 1.0001, current);
    part.from_cold_s = std::min(part.from_cold_s, by_table.from_cold_s);
    if (part.from_warm_s && by_table.from_warm_s)
        part.from_warm_s = std::min(*part.from_warm_s, *by_table.from_warm_s);
    if (by_table.gives_out_s < part.gives_out_s) {
        part.gives_out_s = by_table.gives_out_s;
        part.then = "it carries more than its published " + to_text(limit_A, Dimension::current) +
                    " for longer than that allows";
    }
}

class CourseEndurance {
  public:
    CourseEndurance(const Circuit& circuit, const Facts& facts, const Course& course,
                    Managements& managements)
        : circuit_(circuit),
          facts_(facts),
          course_(course),
          managements_(managements),
          boxes_(circuit, facts, course) {}

    void add_to(ModeEndurance& mode) {
        wires();
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const EdgeRole role = circuit_.edges[i].role;
            if (role == EdgeRole::contact) contact(EdgeId(i));
            if (opens_on_current(role)) device(EdgeId(i));
        }
        for (std::size_t i = 0; i < facts_.harness().parts.size(); ++i)
            if (facts_.harness().parts[i].kind == Kind::pack && !circuit_.edges_of_part[i].empty())
                pack(PartId(i), mode);
        add_held_bodies(circuit_, facts_, course_, boxes_, found_);
        add_held_boxes(circuit_, facts_, course_, found_);
        mode.parts.insert(mode.parts.end(), found_.begin(), found_.end());
    }

  private:
    Amps through(EdgeId edge) const {
        return [edge](const OperatingPoint& point) { return std::abs(point.edge_A[edge.index()]); };
    }

    void wires() {
        const std::vector<double> equivalent_A = equivalent_currents_A(circuit_, facts_, course_);
        const std::vector<Surroundings> around =
            surroundings_of(circuit_, facts_, equivalent_A, course_.mode);
        for (const WireHold& hold : wire_holds(circuit_, facts_, course_)) {
            const Wire& wire = facts_.harness().wire(hold.wire);
            HeldPart part;
            part.what = HeldPart::What::wire;
            part.wire = hold.wire;
            part.name = wire.name;
            part.ambient_degC = hold.ambient_degC;
            part.limit_degC = hold.limit_degC;
            part.lasting_A = hold.lasting_A;
            part.then = "its insulation gets hotter than it stands";
            const Amps current = through(circuit_.edge_of_wire[hold.wire.index()]);
            follow_body(part, course_, hold.body, hold.losses, hold.limit_K(), current);
            follow_in_box(part, boxes_, hold.air, hold.body, hold.losses);
            const double table_A = limit_A(facts_, hold.wire, around[hold.wire.index()]);
            if (table_A > 0 && hold.limit_K() > 0) {
                const double k = adiabatic_k(hold.ambient_degC, hold.limit_degC, wire.aluminium);
                hold_to_published(part, course_, current, table_A,
                                  time_constant_s(wire.area.lo * wire.parallel, k, table_A));
            }
            found_.push_back(std::move(part));
        }
    }

    void contact(EdgeId id) {
        const auto hold = contact_hold(circuit_, facts_, course_, id);
        if (!hold) return;
        const Edge& edge = circuit_.edge(id);
        HeldPart part;
        part.what = HeldPart::What::contact;
        part.part = edge.part;
        part.name = facts_.harness().terminal(edge.from_terminal).path;
        part.ambient_degC = hold->ambient_degC;
        part.limit_degC = hold->limit_degC;
        part.lasting_A = hold->may_A;
        part.then = "it gets hotter than its contacts stand";
        follow_body(part, course_, hold->body, hold->losses, hold->limit_K(), through(id));
        follow_in_box(part, boxes_, air_around(facts_, edge.part, course_.mode), hold->body, hold->losses);
        found_.push_back(std::move(part));
    }

    // A battery management goes by other thresholds while its pack is charged.
    void device(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        const Quantity ambient = facts_.ambient(edge.part, course_.mode);
        if (edge.role != EdgeRole::trip) {
            const auto rated = rated_at(facts_, edge.part, ambient.hi);
            device(id, 0, band_of(facts_, edge.part, ambient.lo, ambient.hi),
                   rated ? std::optional(rated->current_A) : std::nullopt);
            return;
        }
        const auto may_A = [&](Attr name) {
            const auto stated = facts_.quantity(edge.part, name);
            return stated ? std::optional(stated->lo) : std::nullopt;
        };
        const int out = discharge_sign(facts_, edge);
        const bool charge_port = edge.way == 1;
        if (!charge_port)
            device(id, out, band_of(facts_, edge.part, ambient.lo, ambient.hi), may_A("discharge"_attr));
        device(id, charge_port ? 0 : -out, charge_band_of(facts_, edge.part), may_A("charge"_attr));
    }

    void device(EdgeId id, int sign, const Band& band, std::optional<double> may_A) {
        const OperatingPoint* peak = &course_.points.front();
        for (const OperatingPoint& point : course_.points)
            if (counted_A(point, id, sign) > counted_A(*peak, id, sign)) peak = &point;
        const double worst_A = counted_A(*peak, id, sign);
        if (worst_A <= idle_A) return;
        const std::optional<double> fast_s = band.fast_s(worst_A);
        if (!fast_s) return;
        HeldPart part;
        part.what = HeldPart::What::device;
        part.part = circuit_.edge(id).part;
        part.name = facts_.harness().part(part.part).name;
        part.worst_A = worst_A;
        part.worst_s = course_.points.size() > 1 ? peak->duration_s : never_s;
        part.from_cold_s = *fast_s;
        part.lasting_A = may_A.value_or(band.holds_A);
        part.gives_out_s = never_s;
        if (*fast_s <= part.worst_s && *fast_s != never_s) {
            part.gives_out_s = peak->from_s + *fast_s;
        } else if (const Duty duty = follow_duty(course_, id, band, DutyEdge::fast, sign); duty.operates) {
            part.gives_out_s = duty.point->from_s + duty.point->duration_s;
        }
        part.then = band.electronic ? "it trips" : "it opens";
        found_.push_back(std::move(part));
    }

    void pack(PartId id, ModeEndurance& mode) {
        const std::string name(facts_.harness().part(id).name);
        double most_A = 0;
        for (const OperatingPoint& point : course_.points)
            most_A = std::max(most_A, std::abs(pack_current_A(circuit_, id, point)));
        if (most_A <= idle_A) return;
        const double last_A = pack_current_A(circuit_, id, course_.points.back());
        mode.packs.push_back({id, flat_after_s(circuit_, facts_, id, course_), last_A < 0});
        const PackHeat heat = pack_heat(circuit_, facts_, id);
        for (const std::string& need : heat.needs)
            if (std::find(mode.needs.begin(), mode.needs.end(), need) == mode.needs.end())
                mode.needs.push_back(need);
        const double ambient_degC = facts_.ambient(id, course_.mode).hi;
        const auto limit = cell_limit(circuit_, facts_, managements_, id, course_, ambient_degC);
        if (!limit) return;
        const Amps current = [&](const OperatingPoint& point) {
            return std::abs(pack_current_A(circuit_, id, point));
        };
        for (const PackBody& end : heat.bodies) {
            HeldPart part;
            part.what = HeldPart::What::pack;
            part.part = id;
            part.name = name;
            part.ambient_degC = ambient_degC;
            part.limit_degC = limit->cell_degC;
            const LossCourse losses = loss_course(course_, [&](const OperatingPoint& point) {
                return cell_loss_W(circuit_, facts_, id, end, point);
            });
            const double limit_K = limit->cell_degC - ambient_degC;
            follow_body(part, course_, end.body, losses, limit_K, current);
            follow_in_box(part, boxes_, air_around(facts_, id, course_.mode), {1, end.body.time_constant_s},
                          times(losses, end.body.K_per_W));
            double worst_W = 0;
            for (const LossLevel& level : losses.levels) worst_W = std::max(worst_W, level.loss_W);
            if (worst_W > 0)
                part.lasting_A = part.worst_A * std::sqrt(lasting_loss_W(end.body, limit_K) / worst_W);
            part.then = limit->by == id ? "its cells stop at their temperature"
                                        : std::string(facts_.harness().part(limit->by).name) +
                                              " cuts out at the temperature of the cells";
            found_.push_back(std::move(part));
        }
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const Course& course_;
    Managements& managements_;
    BoxCourses boxes_;
    std::vector<HeldPart> found_;
};

// The last bits of a solution decide nothing.
double without_last_bits(double value) {
    return std::isfinite(value) ? std::round(value * 1e6) / 1e6 : value;
}
bool worse(const HeldPart& a, const HeldPart& b) {
    const auto key = [](const HeldPart& part) {
        return std::pair(without_last_bits(part.gives_out_s), -without_last_bits(part.share()));
    };
    return key(a) != key(b) ? key(a) < key(b) : a.name < b.name;
}

// Of each part the worst: it may lie in several groups, and stand at two corners.
void keep_worst(ModeEndurance& mode) {
    std::sort(mode.parts.begin(), mode.parts.end(), worse);
    std::map<std::pair<HeldPart::What, std::string>, bool> seen;
    std::vector<HeldPart> kept;
    for (HeldPart& part : mode.parts)
        if (seen.try_emplace({part.what, part.name}, true).second) kept.push_back(std::move(part));
    mode.parts = std::move(kept);
    std::sort(mode.packs.begin(), mode.packs.end(), [](const PackFlat& a, const PackFlat& b) {
        return a.pack != b.pack ? a.pack.index() < b.pack.index() : a.after_s < b.after_s;
    });
    mode.packs.erase(std::unique(mode.packs.begin(), mode.packs.end(),
                                 [](const PackFlat& a, const PackFlat& b) { return a.pack == b.pack; }),
                     mode.packs.end());
}

}  // namespace

std::string_view what_word(HeldPart::What what) {
    switch (what) {
        case HeldPart::What::wire:
            return "wire";
        case HeldPart::What::contact:
            return "contact";
        case HeldPart::What::device:
            return "device";
        case HeldPart::What::pack:
            return "pack";
        case HeldPart::What::body:
            return "body";
        case HeldPart::What::box:
            return "box";
    }
    return "";
}

double HeldPart::share() const {
    if (what == What::device) return lasting_A > 0 ? worst_A / lasting_A : 0;
    const double by_heat = !settles ? never_s
                           : limit_degC > ambient_degC
                               ? (peak_degC - ambient_degC) / (limit_degC - ambient_degC)
                               : never_s;
    return by_heat;
}

double ModeEndurance::flat_s() const {
    double first_s = never_s;
    for (const PackFlat& pack : packs) first_s = std::min(first_s, pack.after_s);
    return first_s;
}

std::vector<ModeEndurance> endurance(const Circuit& circuit, const Facts& facts,
                                     const std::vector<OperatingPoint>& points) {
    std::vector<ModeEndurance> modes;
    Managements managements(circuit);
    const std::vector<Course> courses = usable_courses(points);
    for (const OperatingPoint& point : points) {
        if (!modes.empty() && modes.back().mode == point.mode) continue;
        ModeEndurance mode;
        mode.mode = point.mode;
        mode.known = false;
        for (const Course& course : courses) {
            if (course.mode != point.mode) continue;
            mode.known = true;
            CourseEndurance(circuit, facts, course, managements).add_to(mode);
        }
        keep_worst(mode);
        modes.push_back(std::move(mode));
    }
    return modes;
}

}  // namespace loomward
