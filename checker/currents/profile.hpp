// What the course of a mode comes to for one part: the steady current that would warm it as much.
//
// Every rule that holds a current over time against a rating asks here. A part follows its current with a
// time constant, so a level counts by how long it lasts, and nothing is left out because it is short.
#pragma once
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// The operating points of one mode at one corner, in the order of their intervals: one run of `points`.
struct Course {
    ModeId mode;
    Corner corner{};
    std::span<const OperatingPoint> points;
};
// Splits the points into courses; a course with any point that is not usable is left out.
std::vector<Course> usable_courses(const std::vector<OperatingPoint>& points);

// The largest current an edge carries in a course, A, and the point where it does.
struct Peak {
    double current_A = 0;
    const OperatingPoint* point = nullptr;
};
Peak peak_of(const Course& course, EdgeId edge);

// How quickly a part warms up, s. Where nobody says, both ends of what is usual: the quick end is judged, and
// the slow one tells what holds whatever it is.
struct WarmUp {
    double quick_s = 0;
    double slow_s = 0;
    std::string of;           // "contacts"; "what it withstands, 1 kA for 1 s"
    std::string_view source;  // "common practice, no source"
    bool assumed = true;
};
// A contact, bar, block, splice or stud; by its `withstands` where it says. `rated_A` is what it may carry
// for long.
WarmUp contact_warm_up(const Facts& facts, PartId part, double rated_A);
WarmUp electronics_warm_up();  // battery management, driver pins
WarmUp diode_warm_up();
WarmUp motor_warm_up();
// By its `peak`, where it says.
WarmUp pack_warm_up(const Facts& facts, PartId part, double rated_A);
WarmUp charge_warm_up();
WarmUp fuse_warm_up();
// By the pulse it survives, where it says: pulse / power.
WarmUp resistor_warm_up(const Facts& facts, PartId part, double rated_W);
// 33 CFR and NFPA 70 speak of loads that last for three hours.
WarmUp hours();

// A course against a time constant, at the instant at which the part is warmest.
struct CourseLoad {
    double current_A = 0;  // the steady current that would warm it as much
    double level_A = 0;    // what flows then
    double lasts_s = 0;    // for how long it has without a break; infinity: it stays
    double before_A = 0;   // as current_A, at the beginning of that level
    double time_constant_s = 0;
    const OperatingPoint* at = nullptr;  // null: the course is empty

    // Whether that level counts as if it stayed.
    bool stays() const { return current_A >= 0.9995 * level_A; }
    // "25 A = sqrt(40^2 - (40^2 - 10^2) exp(-30 s / 1 min)): 40 A for 30 s, from 10 A"; empty where it stays.
    std::string working(const WarmUp& warm_up) const;
};
using Amperes = std::function<double(const OperatingPoint&)>;
// Repeating: the settled cycle. Otherwise from the heat of the level that stays at its end.
CourseLoad load_of(const Course& course, double time_constant_s, const Amperes& current);
CourseLoad load_of(const Course& course, double time_constant_s, EdgeId edge);
// Only the current in one direction: sign +1 from -> to, -1 to -> from.
CourseLoad load_of(const Course& course, double time_constant_s, EdgeId edge, int sign);

// What a part carries against what it may carry for long, in the course in which that is worst.
struct Excess {
    CourseLoad load;  // at the quick end of its warm-up
    double may_A = 0;
    bool certain = false;  // above its rating at the slow end as well
    Course course;
    WarmUp warm_up;
    // Above its rating, by more than the solver and rounding leave.
    bool over() const { return load.at && load.current_A > 1e-3 && load.current_A > may_A * 1.0001; }
    double ratio() const { return may_A > 0 ? load.current_A / may_A : load.current_A > 0 ? 1e9 : 0; }
};
struct Rated {
    double may_A = 0;
    WarmUp warm_up;
};
// The worst of all courses for a part that is rated by mode (nullopt: it has no rating there). Equals are
// told apart by the name of their mode, so that the order of writing means nothing. `at` is null where no
// course has a rating.
Excess worst_load(const Circuit& circuit, const std::vector<Course>& courses,
                  const std::function<std::optional<Rated>(ModeId)>& rated, const Amperes& current);

}  // namespace loomward
