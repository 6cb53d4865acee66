// Packs whose own loss makes their cells as hot as they, or what manages them, stop at.
#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "checker/heat/body_in_box.hpp"
#include "checker/heat/pack_heat.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::hot_packs {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"pack-too-hot",
     "a pack whose cells a mode makes as hot as they, or the battery management on them, stop at: in which "
     "mode, after how long, and whether it is empty before",
     "C dT/dt = I2 R - (T - Ta)/Rth, from the hottest ambient, through the levels of the mode; Rth stated "
     "(thermal-resistance), or from a measured rise: rise = P Rth (1 - exp(-t/(Rth C))); C = mass x specific "
     "heat",
     "first law, one body; figures of cells: data sheets (docs/heat.md)",
     "judged where thermal-resistance or rise is stated, or its place alone is hotter than what is stated; "
     "one temperature for "
     "all cells, no warm core; "
     "resistance as "
     "stated, whatever the temperature, which is the hotter estimate; without the heat of entropy; a place "
     "that the pack itself warms is not followed; a note where the pack is empty before and only a warm "
     "start gets there; a warning where it hangs on what is assumed of its cells",
     "discharge 60 A, charge 15 A, thermal-resistance 9 K/W, cuts-out-at 50 degC",
     "discharge 60 A, charge 15 A"},
};

std::string path_text(double K_per_W) {
    return to_text(K_per_W, Dimension::thermal_resistance);
}

// What a course does to one pack, with one end of what is known of it.
struct Warming {
    const Course* course = nullptr;
    PackBody body;
    CellLimit limit;
    LossCourse losses;
    DutyPeak peak;
    double ambient_degC = 0;
    double reach_s = never_s;
    double flat_s = never_s;  // until it is empty, or full, at its largest capacity

    double limit_K() const { return limit.cell_degC - ambient_degC; }
    bool before_flat() const { return reach_s < flat_s; }
};

// The share of all currents at which it is flat before it is too hot.
double share_until_flat(const Warming& hot) {
    double low = 0, high = 1;
    for (int i = 0; i < 40; ++i) {
        const double share = (low + high) / 2;
        const double reach_s = first_reach_s(hot.body.body, at_share(hot.losses, share), 0, hot.limit_K());
        (reach_s > hot.flat_s / share ? low : high) = share;
    }
    return low;
}

// The largest path with which the course never gets there, K/W.
double path_that_holds(const Warming& hot) {
    double low = 0, high = hot.body.body.K_per_W;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        const ThermalBody body{middle, middle * hot.body.J_per_K};
        (course_peak(body, hot.losses).rise_K < hot.limit_K() ? low : high) = middle;
    }
    return low;
}

std::string rise_working(const Warming& hot) {
    const double settles_degC = hot.ambient_degC + hot.peak.rise_K;
    const std::string at = degrees(settles_degC) + " = " + degrees(hot.ambient_degC) + " + " +
                           to_text(hot.peak.rise_K, Dimension::temperature_rise);
    if (hot.losses.repeats) return at + ", hottest of the settled cycle";
    return at + (hot.losses.levels.size() > 1 ? ", hottest of the course" : ", where it settles");
}

std::vector<std::string> working_of(const PackHeat& heat, const Warming& hot, double level_A) {
    const double loss_W = hot.losses.levels[hot.peak.level].loss_W;
    const double settles_degC = hot.ambient_degC + hot.peak.rise_K;
    std::vector<std::string> lines{degrees(settles_degC) + " > " + hot.limit.working};
    if (degrees(settles_degC) == degrees(hot.limit.cell_degC))
        lines.front() = degrees(settles_degC) + " is just above " + hot.limit.working;
    if (hot.limit_K() <= 0)
        lines.front() = degrees(hot.ambient_degC) + " (ambient) reaches " + hot.limit.working;
    lines.push_back("its cells lose " + to_text(loss_W, Dimension::power) + " at " + amps(std::abs(level_A)));
    lines.insert(lines.end(), heat.working.begin(), heat.working.end());
    lines.push_back(rise_working(hot));
    const std::string flat = hot.flat_s == never_s
                                 ? "never empty in this mode"
                                 : (level_A < 0 ? "full after " : "empty after ") + seconds(hot.flat_s);
    lines.push_back("hot after " + seconds(hot.reach_s) + " from " + degrees(hot.ambient_degC) + "; " + flat +
                    ": " +
                    (hot.before_flat() ? "hot comes first" : "hot comes after that, or from a warm start"));
    return lines;
}

std::string help_of(const std::vector<Warming>& ends) {
    if (ends.front().limit_K() <= 0) return "a cooler place, or cells that stand more";
    double path = std::numeric_limits<double>::infinity(), lasting = 1, until_flat = 1;
    for (const Warming& hot : ends) {
        path = std::min(path, path_that_holds(hot));
        lasting = std::min(lasting, std::sqrt(hot.limit_K() / hot.peak.rise_K));
        if (hot.flat_s != never_s) until_flat = std::min(until_flat, share_until_flat(hot));
    }
    std::string help =
        "thermal-resistance of " + path_text(rounded_down(path, 2)) + " or less would pass; so would " +
        to_text(rounded_down(100 * lasting, 2), Dimension::percentage) + " of these currents, for good";
    if (ends.front().flat_s != never_s && ends.front().before_flat())
        help += "; at " + to_text(rounded_down(100 * until_flat, 2), Dimension::percentage) +
                " of them it is flat before it is hot";
    return help;
}

// Its resistance is an estimate: that one end of it stays cool makes nothing milder.
bool resistance_is_open(const RuleInput& input, PartId pack) {
    const auto open = [&](Attr attribute) {
        const Value value = input.harness.value(input.harness.part(pack).attributes, attribute);
        return value.present() && value.known != Knowledge::stated;
    };
    return open("resistance"_attr) || open("cell-resistance"_attr) || open("link-resistance"_attr);
}

void tell(const RuleInput& input, PartId pack, const PackHeat& heat, const std::vector<Warming>& ends,
          bool surely, Report& report) {
    const Warming& hot = gravest_of(ends, [](const Warming& each) { return -each.reach_s; });
    const bool before = hot.before_flat();
    const bool open = !surely && resistance_is_open(input, pack);
    const Severity severity = !before                                  ? Severity::note
                              : (surely || open) && !hot.limit.assumed ? Severity::error
                                                                       : Severity::warning;
    Finding finding = finding_about(input, "pack-too-hot", severity, pack);
    const OperatingPoint& point = hot.course->points[hot.peak.level];
    const double level_A = pack_current_A(input.circuit, pack, point);
    const std::string mode(input.harness.modes[hot.course->mode.index()].name);
    finding.possible = open;
    finding.message = "the cells of " + named(input.harness, pack) + " get as hot as they stop at";
    finding.beside = degrees(hot.limit.cell_degC) + " after " + seconds(hot.reach_s) + " of mode " + mode +
                     (before ? "" : ", only from a warm start: it is flat before");
    finding.working = working_of(heat, hot, level_A);
    finding.figures = {{"temperature", hot.ambient_degC + hot.peak.rise_K, Dimension::temperature},
                       {"limit", hot.limit.cell_degC, Dimension::temperature},
                       {"time", hot.reach_s, Dimension::time},
                       {"current", std::abs(level_A), Dimension::current}};
    if (hot.flat_s != never_s) finding.figures.push_back({"flat", hot.flat_s, Dimension::time});
    finding.source = heat.source;
    if (hot.limit.by && hot.limit.by != pack)
        finding.related.push_back(
            {input.harness.part(hot.limit.by).where, named(input.harness, hot.limit.by) + " stops it"});
    witnessed(input, finding, point, input.circuit.edges_of_part[pack.index()].front());
    finding.help = help_of(ends);
    report.add(std::move(finding));
}

std::vector<Warming> warmings(const RuleInput& input, Managements& managements, PartId pack,
                              const PackHeat& heat, const Course& course) {
    std::vector<Warming> ends;
    const double ambient_degC = input.facts.ambient(pack, course.mode).hi;
    const auto limit = cell_limit(input.circuit, input.facts, managements, pack, course, ambient_degC);
    if (!limit || course.points.empty()) return ends;
    for (const PackBody& body : heat.bodies) {
        Warming hot{&course, body, *limit, {}, {}, ambient_degC};
        hot.losses = loss_course(course, [&](const OperatingPoint& point) {
            return cell_loss_W(input.circuit, input.facts, pack, body, point);
        });
        hot.peak = course_peak(body.body, hot.losses);
        hot.reach_s = first_reach_s(body.body, hot.losses, 0, hot.limit_K());
        // From cold its box warms with it; what is as hot only with the box at its hottest keeps the sooner
        // time.
        const BodyInBox both =
            body_in_box(input.circuit, input.facts, course, pack, {1, body.body.time_constant_s},
                        times(hot.losses, body.body.K_per_W));
        const double in_box_s =
            both.box && hot.reach_s != never_s ? both.first_reach_s(limit->cell_degC) : never_s;
        if (in_box_s != never_s) hot.reach_s = in_box_s;
        hot.flat_s = flat_after_s(input.circuit, input.facts, pack, course);
        ends.push_back(std::move(hot));
    }
    return ends;
}

void judge(const RuleInput& input, const std::vector<Course>& courses, Managements& managements, PartId pack,
           const PackHeat& heat, Report& report) {
    std::vector<Warming> worst;
    bool worst_surely = false;
    const auto grade = [](const std::vector<Warming>& ends, bool surely) {
        const Warming& first = gravest_of(ends, [](const Warming& each) { return -each.reach_s; });
        return std::pair(first.before_flat() ? (surely ? 2 : 1) : 0, -first.reach_s);
    };
    for (const Course& course : courses) {
        std::vector<Warming> ends = warmings(input, managements, pack, heat, course);
        const bool surely = std::all_of(ends.begin(), ends.end(), [](const Warming& each) {
            return each.reach_s != never_s && each.before_flat();
        });
        ends.erase(std::remove_if(ends.begin(), ends.end(),
                                  [](const Warming& each) { return each.reach_s == never_s; }),
                   ends.end());
        if (ends.empty()) continue;
        const auto mode = [&](const Warming& each) {
            return input.harness.modes[each.course->mode.index()].name;
        };
        const auto now = grade(ends, surely);
        const auto known = worst.empty() ? std::pair(-1, 0.0) : grade(worst, worst_surely);
        const bool alike =
            now.first == known.first && std::abs(now.second - known.second) <= 1e-6 * std::abs(known.second);
        if (alike ? mode(ends.front()) < mode(worst.front()) : now > known)
            worst = std::move(ends), worst_surely = surely;
    }
    if (!worst.empty()) tell(input, pack, heat, worst, worst_surely, report);
}

// Nothing tells how warm they get by themselves, and their place alone is too hot. Whether it is told.
bool too_hot_by_its_place(const RuleInput& input, const std::vector<Course>& courses,
                          Managements& managements, PartId pack, Report& report) {
    const auto states = [&](PartId part) {
        const auto& attributes = input.harness.part(part).attributes;
        return input.harness.find(attributes, "cuts-out-at"_attr) ||
               input.harness.find(attributes, "discharge-at"_attr) ||
               input.harness.find(attributes, "charge-at"_attr);
    };
    const std::set<PartId> by = managements.of(pack);
    if (!states(pack) && std::none_of(by.begin(), by.end(), states)) return false;
    for (const Course& course : courses) {
        const double ambient_degC = input.facts.ambient(pack, course.mode).hi;
        const auto limit = cell_limit(input.circuit, input.facts, managements, pack, course, ambient_degC);
        if (!limit || limit->assumed || !above(ambient_degC, limit->cell_degC)) continue;
        const auto uses_it = std::find_if(course.points.begin(), course.points.end(), [&](const auto& point) {
            return std::abs(pack_current_A(input.circuit, pack, point)) > trickle_A;
        });
        if (uses_it == course.points.end()) continue;
        Finding finding =
            finding_about(input, "pack-too-hot", limit->assumed ? Severity::warning : Severity::error, pack);
        finding.message = "the cells of " + named(input.harness, pack) + " get as hot as they stop at";
        finding.beside = degrees(ambient_degC) + " around it, and they stop at " + degrees(limit->cell_degC);
        finding.working = {degrees(ambient_degC) + " (ambient) > " + limit->working,
                           "what they lose themselves comes on top of it"};
        finding.figures = {{"temperature", ambient_degC, Dimension::temperature},
                           {"limit", limit->cell_degC, Dimension::temperature}};
        finding.source = "the file itself";
        if (limit->by && limit->by != pack)
            finding.related.push_back(
                {input.harness.part(limit->by).where, named(input.harness, limit->by) + " stops it"});
        witnessed(input, finding, *uses_it, input.circuit.edges_of_part[pack.index()].front());
        finding.help = "a cooler place, or cells that stand more";
        report.add(std::move(finding));
        return true;
    }
    return false;
}

// It is said where the cells stop, and nothing tells how warm they get.
void ask(const RuleInput& input, PartId pack, Report& report) {
    const Part& part = input.harness.part(pack);
    if (!input.harness.find(part.attributes, "cuts-out-at"_attr)) return;
    Finding finding = finding_about(input, "missing-data", Severity::warning, pack);
    finding.message = "nothing tells how warm the cells of " + named(input.harness, pack) + " get";
    finding.beside = "it stops at a temperature that is not followed";
    finding.working = {"not judged without thermal-resistance or rise: pack-too-hot"};
    finding.source = "the file itself";
    finding.help =
        "measure: draw a steady current for half an hour, note the rise of its cells: "
        "rise 12 K at 60 A after 30 min";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    Managements managements(input.circuit);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const PartId pack(i);
        if (input.harness.parts[i].kind != Kind::pack || input.circuit.edges_of_part[i].empty()) continue;
        const Part& part = input.harness.parts[i];
        if (!input.harness.find(part.attributes, "thermal-resistance"_attr) &&
            !input.harness.find(part.attributes, "rise"_attr)) {
            if (!too_hot_by_its_place(input, courses, managements, pack, report)) ask(input, pack, report);
            continue;
        }
        const PackHeat heat = pack_heat(input.circuit, input.facts, pack);
        if (!heat.bodies.empty()) judge(input, courses, managements, pack, heat, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::hot_packs
