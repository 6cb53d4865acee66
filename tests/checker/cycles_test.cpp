// Cycles of several loads that do not start together again soon, and cycles that change very often.
#include <catch2/catch.hpp>

#include <set>

#include "checker/currents/intervals.hpp"
#include "tests/checker/checking.hpp"

namespace cycles_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two loads of 18 A each behind a switch that carries 27 A.
std::string ferry(const std::string& winch, const std::string& pump) {
    return R"(loom 1
harness "Chain ferry" { ambient 5..30 degC, insulation pvc 70 degC }
pack B1 { voltage 22..29 V, resistance 15..24 mohm, capacity 70 Ah, discharge 100 A, charge 20 A }
fuse F1 { 40 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
switch S1 { 60 V dc, carries 27 A, makes 60 A, breaks 60 A at 60 V dc }
load E1 "winch" { 24 V, 430 W, acts-as current }
load E2 "pump" { 24 V, 430 W, acts-as current }
stud X1
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.25 m, red) S1.in
route S1.out (W3 6 mm2, 0.5 m, red) E1 (W4 6 mm2, 0.5 m, black) X1
route S1.out (W5 6 mm2, 0.5 m, red) E2 (W6 6 mm2, 0.5 m, black) X1
route X1 (W7 16 mm2, 0.25 m, black) B1.-
mode off { others at rest, S1 open }
mode on { S1 closed, E1 draws )" +
           winch + " repeating, E2 draws " + pump + " repeating }\n";
}

bool overloads(const std::string& winch, const std::string& pump) {
    return finding_of(check_text(ferry(winch, pump)), "overloaded-contact", "S1") != nullptr;
}

Timeline followed(const std::string& winch, const std::string& pump) {
    const Results results = check_text(ferry(winch, pump));
    return timeline_of(results.harness->modes.back());
}

}  // namespace

TEST_CASE("cycles of different periods are followed until they have met") {
    const std::string winch = "0 A for 50 min then 18 A for 10 min";
    CHECK(overloads(winch, "0 A for 40 min then 18 A for 20 min"));
    // Not in the first hour, but in one that follows.
    CHECK(overloads(winch, "0 A for 10 min then 18 A for 12 min then 0 A for 32 min"));
    // Never: as long as the other one, or half of it.
    CHECK_FALSE(overloads(winch, "0 A for 10 min then 18 A for 12 min then 0 A for 38 min"));
    CHECK_FALSE(overloads(winch, "18 A for 12 min then 0 A for 18 min"));
    // 53.7 minutes: together again after weeks.
    CHECK(overloads(winch, "0 A for 10 min then 18 A for 12.3 min then 0 A for 31.41 min"));
}

TEST_CASE("a quick cycle beside a slow one is followed to the end of the slow one") {
    CHECK(overloads("0 A for 0.5 s then 18 A for 0.5 s", "0 A for 40 min then 18 A for 20 min"));
    CHECK_FALSE(overloads("0 A for 0.5 s then 8 A for 0.5 s", "0 A for 40 min then 18 A for 20 min"));
}

TEST_CASE("a cycle that changes too often to be followed to its end is told") {
    const Results results =
        check_text(ferry("0 A for 50 ms then 9 A for 50 ms", "0 A for 40 h then 9 A for 20 h"));
    const Finding* finding = finding_of(results, "not-solved", "on");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "the cycles of mode on could not be followed to the end");
    CHECK_FALSE(finding_of(
        check_text(ferry("0 A for 50 s then 9 A for 50 s", "0 A for 40 h then 9 A for 20 h")), "not-solved"));
}

TEST_CASE("a timeline has no gaps, ends where all start together again, and says what it left out") {
    const Timeline hours = followed("0 A for 50 min then 18 A for 10 min",
                                    "0 A for 10 min then 18 A for 12 min then 0 A for 32 min");
    CHECK(hours.every_meeting);
    CHECK(hours.followed_s == Approx(9 * 3600));
    double end_s = 0;
    for (const Interval& interval : hours.intervals) {
        CHECK(interval.from_s == Approx(end_s).margin(1e-6));
        end_s = interval.from_s + interval.duration_s;
    }
    CHECK(end_s == Approx(9 * 3600));
    const Timeline quick = followed("0 A for 50 ms then 18 A for 50 ms", "0 A for 40 h then 18 A for 20 h");
    CHECK(quick.cycle_s == Approx(60 * 3600));
    CHECK(quick.followed_s < quick.cycle_s);
}

}  // namespace cycles_test
