// Packs that are charged while their cells are still as warm as a ride has left them.
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/heat/pack_heat.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::hot_charging {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"charged-hot",
     "a pack that a mode charges while its cells are still hotter, from a mode that draws on it, than they, "
     "or the battery management on them, take that current at: how long it has to cool first",
     "T at the start of charging <= temperature at which charge-at falls below the charge current; T from C "
     "dT/dt = I2 R - (T - Ta)/Rth; it cools in t = Rth C ln((T - Ta)/(Tmax - Ta))",
     "first law, one body; figures of cells: data sheets (docs/heat.md); without charge-at 45 degC, lithium "
     "(second hand)",
     "judged where thermal-resistance or rise of the pack is stated; a charging mode that says `after` "
     "starts "
     "as the modes before it leave the cells, another one straight from the hottest, until the pack is "
     "empty, which is a warning; as of pack-too-hot",
     "discharge 60 A, charge 15 A, thermal-resistance 0.2 K/W, charge-at 41 degC 15 A, charge-at 45 degC 1 A "
     "}\ncharger G1 { output 54.6 V 10 A, reverse blocked }\n"
     "route F1.out (W30 2.5 mm2, 0.15 m, red) G1 (W31 2.5 mm2, 0.3 m, black) Q1.P-\n"
     "mode fill { others at rest, G1 delivers 10 A",
     "discharge 60 A, charge 15 A"},
};

bool gives(const RuleInput& input, PartId pack, const Course& course) {
    return std::any_of(course.points.begin(), course.points.end(), [&](const OperatingPoint& point) {
        return pack_current_A(input.circuit, pack, point) > idle_A;
    });
}
double takes_A(const RuleInput& input, PartId pack, const Course& course) {
    double most_A = 0;
    for (const OperatingPoint& point : course.points)
        most_A = std::max(most_A, -pack_current_A(input.circuit, pack, point));
    return most_A;
}

// How warm the cells are when they begin to be charged.
struct Start {
    double cell_degC = 0;
    ModeId ride;         // that has warmed them
    double after_s = 0;  // of it
    bool said = false;   // the charging mode says what it comes after
};

class PackCharging {
  public:
    PackCharging(const RuleInput& input, const std::vector<Course>& courses, Managements& managements,
                 PartId pack)
        : input_(input),
          courses_(courses),
          managements_(managements),
          pack_(pack),
          heat_(pack_heat(input.circuit, input.facts, pack)) {}

    void judge(Report& report) {
        struct Worst {
            const Course* course = nullptr;
            Start start;
            CellLimit limit;
            double wait_s = 0;
            bool sure = true;
        };
        std::optional<Worst> worst;
        for (const Course& charging : courses_) {
            const double current_A = takes_A(input_, pack_, charging);
            if (current_A <= idle_A || gives(input_, pack_, charging)) continue;
            const double air_degC = ambient_degC(charging.mode);
            const auto limit = charge_limit(input_.facts, managements_, pack_, current_A, air_degC);
            if (!limit) continue;
            Worst now{&charging, {}, *limit, -1, !limit->assumed};
            for (const PackBody& body : heat_.bodies) {
                const Start start = start_of(charging, body);
                if (start.cell_degC <= limit->cell_degC * (1 + 1e-9)) {
                    now.sure = false;
                    continue;
                }
                now.sure = now.sure && start.said;
                const double room_K = limit->cell_degC - air_degC;
                const double wait_s =
                    room_K > 0 ? body.body.time_constant_s * std::log((start.cell_degC - air_degC) / room_K)
                               : never_s;
                if (wait_s > now.wait_s) now.wait_s = wait_s, now.start = start;
            }
            if (now.wait_s < 0) continue;
            const auto grade = [&](const Worst& each) { return std::pair(each.sure, each.wait_s); };
            if (!worst || grade(now) > grade(*worst)) worst = std::move(now);
        }
        if (worst) tell(*worst->course, worst->start, worst->limit, worst->wait_s, worst->sure, report);
    }

  private:
    double ambient_degC(ModeId mode) const { return input_.facts.ambient(pack_, mode).hi; }
    LossCourse losses_of(const Course& course, const PackBody& body) const {
        return loss_course(course, [&](const OperatingPoint& point) {
            return cell_loss_W(input_.circuit, input_.facts, pack_, body, point);
        });
    }
    const Course* course_of(ModeId mode, Corner corner) const {
        const Course* found = nullptr;
        for (const Course& each : courses_)
            if (each.mode == mode && (!found || each.corner == corner)) found = &each;
        return found;
    }
    std::string mode_name(ModeId mode) const { return std::string(input_.harness.modes[mode.index()].name); }

    // Where it stops giving, it gets no hotter.
    double capped_degC(const Course& ride, double cell_degC) const {
        const auto stops =
            cell_limit(input_.circuit, input_.facts, managements_, pack_, ride, ambient_degC(ride.mode));
        return stops ? std::min(cell_degC, std::max(stops->cell_degC, ambient_degC(ride.mode))) : cell_degC;
    }

    // The hottest that any mode which draws on it leaves behind.
    Start after_any(const PackBody& body) const {
        Start hottest{ambient_degC({}), {}, 0, false};
        for (const Course& ride : courses_) {
            if (!gives(input_, pack_, ride)) continue;
            const double lasts_s = flat_after_s(input_.circuit, input_.facts, pack_, ride);
            const double cell_degC = capped_degC(
                ride, ambient_degC(ride.mode) + highest_within_K(body.body, losses_of(ride, body), lasts_s));
            const bool alike = hottest.ride && std::abs(cell_degC - hottest.cell_degC) <= 1e-6;
            if (alike ? mode_name(ride.mode) < mode_name(hottest.ride) : cell_degC > hottest.cell_degC)
                hottest = {cell_degC, ride.mode, lasts_s, false};
        }
        return hottest;
    }

    // As the modes it comes after leave it, from cold; where none of them draws on it, as the hottest does.
    Start start_of(const Course& charging, const PackBody& body) const {
        struct Step {
            const Course* course;
            double lasts_s;
        };
        std::vector<Step> before;
        const auto& modes = input_.harness.modes;
        bool drawn = false;
        for (ModeId at = charging.mode; modes[at.index()].after && before.size() <= modes.size();) {
            const double lasts_s = modes[at.index()].after_s;
            at = modes[at.index()].after;
            const Course* course = course_of(at, charging.corner);
            if (!course) break;
            before.push_back({course, lasts_s});
            drawn = drawn || gives(input_, pack_, *course);
        }
        Start start = after_any(body);
        if (drawn) start = {ambient_degC(before.back().course->mode), {}, 0, true};
        for (auto step = before.rbegin(); step != before.rend(); ++step) {
            const double air_degC = ambient_degC(step->course->mode);
            start.cell_degC = air_degC + rise_after_course_K(body.body, losses_of(*step->course, body),
                                                             start.cell_degC - air_degC, step->lasts_s);
            if (!gives(input_, pack_, *step->course)) continue;
            start.cell_degC = capped_degC(*step->course, start.cell_degC);
            start.ride = step->course->mode;
            start.after_s = step->lasts_s;
        }
        return start;
    }

    void tell(const Course& charging, const Start& start, const CellLimit& limit, double wait_s, bool sure,
              Report& report) {
        Finding finding =
            finding_about(input_, "charged-hot", sure ? Severity::error : Severity::warning, pack_);
        finding.message = named(input_.harness, pack_) + " is charged before its cells have cooled";
        finding.beside = "cells at " + degrees(start.cell_degC) + " when mode " + mode_name(charging.mode) +
                         " begins; they take that up to " + degrees(limit.cell_degC);
        finding.working = {degrees(start.cell_degC) + " > " + limit.working};
        if (start.ride)
            finding.working.push_back(
                start.after_s == never_s
                    ? "as warm as mode " + mode_name(start.ride) + " makes them"
                    : "as warm as " + to_text(start.after_s, Dimension::time, 2) + " of mode " +
                          mode_name(start.ride) +
                          (start.said ? " leaves them" : ", until it is empty, leaves them"));
        finding.working.insert(finding.working.end(), heat_.working.begin(), heat_.working.end());
        const std::string wait = to_text(wait_s, Dimension::time, 2);
        finding.working.push_back(wait_s == never_s
                                      ? "it never gets cool enough at " + degrees(ambient_degC(charging.mode))
                                      : "it cools down to there in " + wait + " at " +
                                            degrees(ambient_degC(charging.mode)));
        if (!start.said) finding.working.emplace_back("nothing says how long it rests before");
        finding.figures = {{"temperature", start.cell_degC, Dimension::temperature},
                           {"limit", limit.cell_degC, Dimension::temperature}};
        if (wait_s != never_s) finding.figures.push_back({"cools-in", wait_s, Dimension::time});
        finding.source = heat_.source;
        if (limit.by && limit.by != pack_)
            finding.related.push_back(
                {input_.harness.part(limit.by).where, named(input_.harness, limit.by) + " limits it"});
        witnessed(input_, finding, charging.points.front(),
                  input_.circuit.edges_of_part[pack_.index()].front());
        finding.help = wait_s == never_s
                           ? "a cooler place to charge in, or a smaller charging current"
                           : "a rest of " + to_text(rounded_up(wait_s, 2), Dimension::time) +
                                 " before it is charged, written as a mode that it comes after; or a smaller "
                                 "charging current";
        report.add(std::move(finding));
    }

    const RuleInput& input_;
    const std::vector<Course>& courses_;
    Managements& managements_;
    PartId pack_;
    PackHeat heat_;
};

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    Managements managements(input.circuit);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Part& part = input.harness.parts[i];
        if (part.kind != Kind::pack || input.circuit.edges_of_part[i].empty()) continue;
        if (input.harness.find(part.attributes, "thermal-resistance"_attr) ||
            input.harness.find(part.attributes, "rise"_attr))
            PackCharging(input, courses, managements, PartId(i)).judge(report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::hot_charging
