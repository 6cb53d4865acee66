// Controllers, converters, chargers and inverters whose body reaches the temperature at which they give less
// or switch themselves off, and motors whose winding gets hotter than it stands.
#include <algorithm>
#include <cmath>
#include <optional>

#include "checker/heat/body_heat.hpp"
#include "checker/heat/body_in_box.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::hot_devices {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"controller-gives-less",
     "a controller, converter, charger or inverter whose body reaches, in some mode, the temperature from "
     "which on it gives less",
     "T < gives-less-from; T = air around it + losses x thermal-resistance, or + rise x I / Im, with its "
     "square above Im",
     "rating of the part, or a measured point of it",
     "a measured point that lasted t is scaled to the settled rise with 5 min, a course is followed with "
     "1 min, or the time-constant that is stated (common practice, no source); of a path and a point the "
     "hotter; without both by size and mounting, an estimate, an error only where its cool end is too hot "
     "as well; one body of one temperature",
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
    {"overheated-motor", "a motor whose winding gets, in some mode, hotter than it stands",
     "T < limit; T as of controller-gives-less; losses as stated, else P (1 - efficiency) of what its "
     "controller takes, else 0.75 I2 R between two leads of three, I2 R with two, R at the limit",
     "rating of the part; star or delta from any two leads: P = 3 I2 Rph / 2, I the peak",
     "judged where limit is stated, and a path or a measured point; a mode that says nothing of its phases "
     "counts with the current that the controller takes, which is the least; no iron loss beside the "
     "resistance; 2 to 10 min (common practice, no source) where no time-constant is stated",
     "motor M1 { leads 3, rise 90 K at 60 A after 1 h, limit 120 degC,", "motor M1 { leads 3,"},
};

// The body at its hottest, in one course.
struct Hot {
    Course course;
    double air_degC = 0;
    BodyRise rise;
    bool of_phases = true;  // of a motor: the mode says what its phases carry

    double degC() const { return air_degC + rise.rise_K; }
    // However slowly it warms up.
    bool is_sure_of(double limit_degC) const { return air_degC + rise.if_slow_K >= limit_degC; }
};

std::vector<Hot> hot_bodies(const RuleInput& input, const std::vector<Course>& courses, const BodyHeat& heat,
                            PartId part) {
    std::vector<Hot> all;
    for (const Course& course : courses) {
        double most_A = 0;
        for (const OperatingPoint& point : course.points) most_A = std::max(most_A, heat.current_A(point));
        if (most_A <= idle_A) continue;
        Hot now{course, input.facts.ambient(part, course.mode).hi, {}};
        now.rise = heat.in(course, now.air_degC);
        now.of_phases = peak_of(course, heat.edge()).current_A > idle_A;
        all.push_back(std::move(now));
    }
    return all;
}

// The course that makes it hottest; but one that is sure to bring it to the limit before a hotter one that
// may.
const Hot* worst_of(const RuleInput& input, const std::vector<Hot>& bodies, double limit_degC) {
    constexpr double as_good_as_equal_K = 1e-6;
    const Hot* worst = nullptr;
    const auto name = [&](const Hot& hot) { return input.harness.modes[hot.course.mode.index()].name; };
    for (const Hot& now : bodies) {
        const bool surer = worst && now.is_sure_of(limit_degC) != worst->is_sure_of(limit_degC);
        const double more_K = worst ? now.degC() - worst->degC() : 1;
        if (surer
                ? now.is_sure_of(limit_degC)
                : more_K > as_good_as_equal_K || (more_K >= -as_good_as_equal_K && name(now) < name(*worst)))
            worst = &now;
    }
    return worst;
}

std::string what_keeps(const RuleInput& input, PartId part, const BodyHeat& heat, const Hot& hot,
                       double limit_degC) {
    const BodyInBox both =
        body_in_box(input.circuit, input.facts, hot.course, part, hot.rise.body, hot.rise.rises);
    // Less current warms the box less as well.
    const double share_in_box = both.box ? std::min(1.0, both.lasting(limit_degC)) : 0;
    const double room_K = limit_degC - hot.air_degC;
    if (room_K <= 0) {
        const std::string cooler = "cooler air: vents, a cooler place";
        if (share_in_box <= 0) return cooler;
        return cooler + "; so would " + to_text(rounded_down(100 * share_in_box, 2), Dimension::percentage) +
               " of these currents pass, for good";
    }
    const std::string bedded = "; grease under it, a larger sink, moving air or vents bring it down";
    const BodyRise& rise = hot.rise;
    if (heat.is_estimate())
        return "a thermal-resistance below " +
               to_text(rounded_down(room_K / rise.loss_W), Dimension::thermal_resistance) +
               " would pass, stated or by a measured rise" + bedded;
    if (rise.loss_W > 0)
        return "less than " + to_text(rounded_down(room_K / rise.loss_W), Dimension::thermal_resistance) +
               " would pass" + bedded;
    const double at_A = heat.measured()->at_A;
    const double share = room_K / rise.rise_K;
    const double in_air_A =
        rise.current_A > at_A
            ? std::max(std::min(rise.current_A * std::sqrt(share), at_A), rise.current_A * share)
            : rise.current_A * share;
    const double may_A = std::max(in_air_A, rise.current_A * share_in_box);
    return "less than " + amps(rounded_down(may_A)) + " would pass" + bedded;
}

// How long it takes at the soonest, from a body, and the box it is in, as warm as the air around.
std::string soonest(const RuleInput& input, PartId part, const BodyHeat& heat, const Hot& hot,
                    double limit_degC) {
    const BodyInBox both =
        body_in_box(input.circuit, input.facts, hot.course, part, hot.rise.body, hot.rise.rises);
    const std::string as_warm =
        both.box ? "from a body and a box as warm as the air around" : "from a body as warm as the air";
    if (both.around_degC >= limit_degC) return "at once: the air around it is as hot already";
    const double after_s = both.first_reach_s(limit_degC);
    if (!std::isfinite(after_s)) return "not " + as_warm + ": only as warm as the mode leaves them";
    const WarmUp& warm_up = heat.warm_up();
    return "after " + to_text(after_s, Dimension::time, 2) + " at the soonest, " + as_warm + " (" +
           warm_up.of + ", " + std::string(warm_up.source) + ")";
}

std::string what_it_does(Attr at) {
    if (at == "limit"_attr) return " gets hotter than its winding stands in mode ";
    return at == "cuts-out-at"_attr ? " switches itself off for heat in mode "
                                    : " gives less for heat in mode ";
}
std::string what_it_may(Attr at) {
    if (at == "limit"_attr) return "; its winding stands ";
    return at == "cuts-out-at"_attr ? "; cuts out at " : "; gives less from ";
}
std::string_view rule_of(Attr at) {
    if (at == "limit"_attr) return "overheated-motor";
    return at == "cuts-out-at"_attr ? "cuts-out" : "controller-gives-less";
}

void judge(const RuleInput& input, PartId part, const BodyHeat& heat, const std::vector<Hot>& bodies, Attr at,
           Report& report) {
    const auto limit = input.facts.quantity(part, at);
    const Hot* const worst = limit ? worst_of(input, bodies, limit->lo) : nullptr;
    if (!worst || worst->degC() < limit->lo * (1 - 1e-9)) return;
    const Hot& hot = *worst;
    const double body_degC = hot.degC();
    const bool sure = hot.is_sure_of(limit->lo);
    const bool grave = at != "gives-less-from"_attr;
    Finding finding = finding_about(input, std::string(rule_of(at)),
                                    grave && sure ? Severity::error : Severity::warning, part);
    const std::string mode(input.harness.modes[hot.course.mode.index()].name);
    finding.message = named(input.harness, part) + what_it_does(at) + mode;
    finding.beside = "its body at " + degrees(body_degC) + what_it_may(at) + degrees(limit->lo);
    finding.working = {degrees(body_degC) + ": " + kelvins(hot.rise.rise_K) + " above the " +
                       degrees(hot.air_degC) + " of the air around it"};
    finding.working.insert(finding.working.end(), hot.rise.working.begin(), hot.rise.working.end());
    if (!hot.of_phases)
        finding.working.emplace_back(
            "the mode says nothing of its phases: they carry no less than its "
            "controller takes");
    for (const WarmBox& box : input.boxes)
        if (box.location == input.harness.part(part).location && box.mode == hot.course.mode &&
            box.inside_degC > box.around_degC)
            finding.working.push_back("the air: " + degrees(box.around_degC) +
                                      " around its place, warmed by " + watts(box.losses_W) + " in it");
    finding.working.push_back(soonest(input, part, heat, hot, limit->lo));
    if (!sure && heat.is_estimate())
        finding.working.emplace_back("not at the cool end of what is estimated");
    else if (!sure)
        finding.working.push_back(
            "not if it warms up slowly: " + to_text(heat.warm_up().slow_s, Dimension::time) + " (" +
            std::string(heat.warm_up().source) + ")");
    finding.figures = {{"body", body_degC, Dimension::temperature},
                       {"limit", limit->lo, Dimension::temperature},
                       {"air", hot.air_degC, Dimension::temperature}};
    finding.source = heat.is_estimate() ? "rating of the part; an estimate, good to a quarter (hand methods, "
                                          "secondary), bedded: common practice, no source"
                                        : "rating of the part";
    if (const Peak peak = peak_of(hot.course, heat.edge()); peak.point && hot.of_phases)
        witnessed(input, finding, *peak.point, heat.edge());
    finding.mode = hot.course.mode;
    finding.help = what_keeps(input, part, heat, hot, limit->lo);
    report.add(std::move(finding));
}

// What would tell how hot it gets, by name, and how to come by it. Empty: nothing is missing.
struct Wanted {
    std::string beside, help;
};
std::optional<Wanted> wanted(const RuleInput& input, PartId part, const BodyHeat& heat, bool motor) {
    const std::string measure =
        "run it at a known current for half an hour, note how much hotter its body is than the air, "
        "and state it: rise 35 K at 40 A after 30 min";
    if (heat.lacks_losses())
        return Wanted{
            "its losses, efficiency or resistance",
            "measure the resistance between two leads and state it: resistance 90 mohm; or " + measure};
    if (heat.is_told()) return std::nullopt;
    if (input.facts.is_unknown(part, "thermal-resistance"_attr) || input.facts.is_unknown(part, "rise"_attr))
        return std::nullopt;
    if (heat.lacks_size())
        return Wanted{"its mounting is stated and its size is not",
                      "state its outside, size 150 mm x 80 mm x 40 mm, for an estimate; better, " + measure};
    return Wanted{"neither thermal-resistance nor a measured rise",
                  measure + (motor ? "" : "; or its mounting and size, for an estimate")};
}

void ask(const RuleInput& input, PartId part, const Wanted& what, bool motor, Report& report) {
    Finding finding = finding_about(input, "missing-data", Severity::warning, part);
    finding.message = "nothing tells how hot " + named(input.harness, part) + " gets";
    finding.beside = what.beside;
    finding.working = {motor ? "not judged without it: overheated-motor"
                             : "not judged without it: controller-gives-less, cuts-out"};
    finding.source = "not stated";
    finding.help = what.help;
    report.add(std::move(finding));
}

// A motor of which is stated how it warms, and not how hot it may get.
void ask_limit(const RuleInput& input, PartId part, const BodyHeat& heat, Report& report) {
    if (!heat.is_told() || input.facts.is_unknown(part, "limit"_attr)) return;
    Finding finding = finding_about(input, "missing-data", Severity::warning, part);
    finding.message = "nothing tells how hot " + named(input.harness, part) + " may get";
    finding.beside = "no limit of its winding";
    finding.working = {"not judged without it: overheated-motor"};
    finding.source = "not stated";
    finding.help =
        "state it as its plate says: class B limit 130 degC, class F 155 degC, H 180 degC (IEC "
        "60085); magnets may stand less";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const PartId part(i);
        const BodyHeat heat(input.circuit, input.facts, part);
        if (!heat.warms()) continue;
        const bool motor = input.harness.part(part).kind == Kind::motor;
        const bool limited = motor ? input.facts.quantity(part, "limit"_attr).has_value()
                                   : input.facts.quantity(part, "gives-less-from"_attr) ||
                                         input.facts.quantity(part, "cuts-out-at"_attr);
        if (motor && !limited) ask_limit(input, part, heat, report);
        if (!limited) continue;
        if (const auto what = wanted(input, part, heat, motor)) ask(input, part, *what, motor, report);
        const std::vector<Hot> bodies = hot_bodies(input, courses, heat, part);
        if (motor) {
            judge(input, part, heat, bodies, "limit"_attr, report);
            continue;
        }
        judge(input, part, heat, bodies, "gives-less-from"_attr, report);
        judge(input, part, heat, bodies, "cuts-out-at"_attr, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::hot_devices
