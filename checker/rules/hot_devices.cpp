// Controllers, converters, chargers and inverters whose body reaches the temperature at which they give less
// or switch themselves off.
#include <algorithm>
#include <cmath>
#include <optional>

#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"controller-gives-less",
     "a controller, converter, charger or inverter whose body reaches, in some mode, the temperature from "
     "which on it gives less",
     "T < gives-less-from; T = air around it + losses x thermal-resistance, or + rise x I / Im, with its "
     "square above Im",
     "rating of the part, or a measured point of it",
     "a measured point that lasted t is scaled to the settled rise with 5 min, currents over a course count "
     "with 1 min (common practice, no source); of a path and a point the hotter; one body of one "
     "temperature",
     "controller U1 { rise 40 K at 35 A after 1 h, gives-less-from 75 degC, input 30..60 V,",
     "controller U1 { input 30..60 V,"},
    {"cuts-out",
     "a controller, converter, charger or inverter whose body reaches, in some mode, the temperature at "
     "which "
     "it switches itself off",
     "T < cuts-out-at; T as of controller-gives-less", "rating of the part, or a measured point of it",
     "as of controller-gives-less; how long it takes is told from a body as warm as the air",
     "controller U1 { rise 40 K at 35 A after 1 h, cuts-out-at 75 degC, input 30..60 V,",
     "controller U1 { input 30..60 V,"},
};

// How hot the body of a device gets in a course.
struct Body {
    double degC = 0;
    double air_degC = 0;
    double if_slow_degC = 0;  // at the slow end of its warm-up
    EdgeId edge;
    Course course;
    std::vector<std::string> working;
    // What would keep it at a temperature: a path, K/W, or a current, A; 0: it is not judged by that.
    double loss_W = 0;
    double current_A = 0;
    double rise_K = 0;
};

std::optional<EdgeId> main_edge(const RuleInput& input, PartId part) {
    for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
        const EdgeRole role = input.circuit.edge(id).role;
        if (role == EdgeRole::controller || role == EdgeRole::converter_input || role == EdgeRole::charger)
            return id;
    }
    return std::nullopt;
}

// The measured point: how much hotter, at what current, after what time.
struct MeasuredRise {
    double settled_K = 0;
    double at_A = 0;
    std::string text;

    double with(double current_A) const {
        const double share = current_A / at_A;
        return settled_K * (share > 1 ? share * share : share);
    }
};
std::optional<MeasuredRise> measured_rise(const RuleInput& input, PartId part) {
    const auto rise = input.facts.quantity(part, "rise"_attr, 0);
    const auto at = input.facts.quantity(part, "rise"_attr, 1);
    const auto after = input.facts.quantity(part, "rise"_attr, 2);
    if (!rise || !at || !after || at->lo <= 0 || after->lo <= 0) return std::nullopt;
    const double settled_K = rise->hi / -std::expm1(-after->lo / electronics_warm_up().slow_s);
    return MeasuredRise{
        settled_K, at->lo,
        kelvins(rise->hi) + " at " + amps(at->lo) + " after " + to_text(after->lo, Dimension::time)};
}

class DeviceHeat {
  public:
    DeviceHeat(const RuleInput& input, PartId part, EdgeId edge)
        : input_(input),
          part_(part),
          edge_(edge),
          path_(input.facts.quantity(part, "thermal-resistance"_attr)),
          measured_(measured_rise(input, part)) {}

    bool is_told() const { return path_ || measured_; }

    Body in(const Course& course) const {
        Body body;
        body.edge = edge_;
        body.course = course;
        body.air_degC = input_.facts.ambient(part_, course.mode).hi;
        const WarmUp warm_up = electronics_warm_up();
        const double slow_K = rise_K(course, warm_up.slow_s, nullptr);
        body.rise_K = rise_K(course, warm_up.quick_s, &body);
        body.degC = body.air_degC + body.rise_K;
        body.if_slow_degC = body.air_degC + slow_K;
        return body;
    }

  private:
    double rise_K(const Course& course, double time_constant_s, Body* body) const {
        double rise_K = 0;
        if (path_) {
            const HeatSource source = loss_over(input_.circuit, input_.facts, course, part_, time_constant_s);
            rise_K = source.loss_W * path_->hi;
            if (body) {
                body->loss_W = source.loss_W;
                body->working = {kelvins(rise_K) + " = " + watts(source.loss_W) + " x " +
                                 to_text(path_->hi, Dimension::thermal_resistance) + " (thermal-resistance)"};
                if (!source.working.empty()) body->working.push_back(source.working);
            }
        }
        if (!measured_) return rise_K;
        const double current_A = load_of(course, time_constant_s, edge_).current_A;
        const double by_point_K = measured_->with(current_A);
        if (by_point_K <= rise_K) return rise_K;
        if (body) {
            body->loss_W = 0;
            body->current_A = current_A;
            body->working = {kelvins(by_point_K) + " at " + amps(current_A) + ", from the measured " +
                             measured_->text + ": " + kelvins(measured_->settled_K) +
                             " once it is settled, " +
                             (current_A > measured_->at_A ? "by the square of the current"
                                                          : "in proportion to the current")};
        }
        return by_point_K;
    }

    const RuleInput& input_;
    PartId part_;
    EdgeId edge_;
    std::optional<Quantity> path_;
    std::optional<MeasuredRise> measured_;
};

std::optional<Body> hottest_body(const RuleInput& input, const std::vector<Course>& courses,
                                 const DeviceHeat& heat, EdgeId edge) {
    constexpr double as_good_as_equal_K = 1e-6, nothing_A = 1e-3;
    std::optional<Body> worst;
    const auto name = [&](const Body& body) { return input.harness.modes[body.course.mode.index()].name; };
    for (const Course& course : courses) {
        if (peak_of(course, edge).current_A <= nothing_A) continue;
        Body now = heat.in(course);
        const double more_K = worst ? now.degC - worst->degC : 1;
        if (more_K > as_good_as_equal_K || (more_K >= -as_good_as_equal_K && name(now) < name(*worst)))
            worst = std::move(now);
    }
    return worst;
}

std::string what_keeps(const RuleInput& input, PartId part, const Body& body, double limit_degC) {
    const double room_K = limit_degC - body.air_degC;
    if (room_K <= 0) return "cooler air: vents, a cooler place";
    const std::string bedded = "; grease under it, a larger sink, moving air or vents bring it down";
    if (body.loss_W > 0)
        return "less than " + to_text(rounded_down(room_K / body.loss_W), Dimension::thermal_resistance) +
               " would pass" + bedded;
    const double at_A = input.facts.quantity(part, "rise"_attr, 1)->lo;
    const double share = room_K / body.rise_K;
    const double may_A = body.current_A > at_A ? std::max(std::min(body.current_A * std::sqrt(share), at_A),
                                                          body.current_A * share)
                                               : body.current_A * share;
    return "less than " + amps(rounded_down(may_A)) + " would pass" + bedded;
}

// How long it takes at the soonest, from a body as warm as the air; empty where the level does not stay.
std::string soonest(const Body& body, double limit_degC) {
    const double room_K = limit_degC - body.air_degC;
    if (room_K <= 0) return "at once: the air around it is as hot already";
    const WarmUp warm_up = electronics_warm_up();
    const double after_s = -warm_up.quick_s * std::log1p(-room_K / body.rise_K);
    return "after " + to_text(after_s, Dimension::time, 2) +
           " at the soonest, from a body as warm as the air (" + warm_up.of + ", " +
           std::string(warm_up.source) + ")";
}

void judge(const RuleInput& input, PartId part, const Body& body, Attr at, Report& report) {
    const auto limit = input.facts.quantity(part, at);
    if (!limit || body.degC < limit->lo * (1 - 1e-9)) return;
    const bool cuts = at == "cuts-out-at"_attr;
    const bool sure = body.if_slow_degC >= limit->lo;
    Finding finding = finding_about(input, cuts ? "cuts-out" : "controller-gives-less",
                                    cuts && sure ? Severity::error : Severity::warning, part);
    const std::string mode(input.harness.modes[body.course.mode.index()].name);
    finding.message = named(input.harness, part) +
                      (cuts ? " switches itself off for heat in mode " : " gives less for heat in mode ") +
                      mode;
    finding.beside = "its body at " + degrees(body.degC) + (cuts ? "; cuts out at " : "; gives less from ") +
                     degrees(limit->lo);
    finding.working = {degrees(body.degC) + ": " + kelvins(body.rise_K) + " above the " +
                       degrees(body.air_degC) + " of the air around it"};
    finding.working.insert(finding.working.end(), body.working.begin(), body.working.end());
    for (const WarmBox& box : input.boxes)
        if (box.location == input.harness.part(part).location && box.mode == body.course.mode &&
            box.inside_degC > box.around_degC)
            finding.working.push_back("the air: " + degrees(box.around_degC) +
                                      " around its place, warmed by " + watts(box.losses_W) + " in it");
    finding.working.push_back(soonest(body, limit->lo));
    if (!sure) finding.working.emplace_back("not if it warms up slowly: 5 min (common practice, no source)");
    finding.figures = {{"body", body.degC, Dimension::temperature},
                       {"limit", limit->lo, Dimension::temperature},
                       {"air", body.air_degC, Dimension::temperature}};
    finding.source = "rating of the part";
    if (const Peak peak = peak_of(body.course, body.edge); peak.point)
        witnessed(input, finding, *peak.point, body.edge);
    finding.help = what_keeps(input, part, body, limit->lo);
    report.add(std::move(finding));
}

// It says what it does in the heat, and nothing of how hot it gets.
void ask(const RuleInput& input, PartId part, Report& report) {
    if (input.facts.is_unknown(part, "thermal-resistance"_attr) || input.facts.is_unknown(part, "rise"_attr))
        return;
    Finding finding = finding_about(input, "missing-data", Severity::warning, part);
    finding.message = "nothing tells how hot " + named(input.harness, part) + " gets";
    finding.beside = "neither thermal-resistance nor a measured rise";
    finding.working = {"not judged without it: controller-gives-less, cuts-out"};
    finding.source = "not stated";
    finding.help =
        "run it at a known current for half an hour, note how much hotter its body is than the air, "
        "and state it: rise 35 K at 40 A after 30 min";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const PartId part(i);
        const auto edge = main_edge(input, part);
        if (!edge || (!input.facts.quantity(part, "gives-less-from"_attr) &&
                      !input.facts.quantity(part, "cuts-out-at"_attr)))
            continue;
        const DeviceHeat heat(input, part, *edge);
        if (!heat.is_told()) ask(input, part, report);
        const std::optional<Body> worst = hottest_body(input, courses, heat, *edge);
        if (!worst) continue;
        judge(input, part, *worst, "gives-less-from"_attr, report);
        judge(input, part, *worst, "cuts-out-at"_attr, report);
    }
}

}  // namespace

extern const RuleFamily hot_devices;
const RuleFamily hot_devices{infos, run};

}  // namespace loomward::rules
