// Times of levels that a mode leaves open: the worse end of them is judged, and nothing turns green by a
// word.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "checker/worst_times.hpp"
#include "tests/checker/checking.hpp"

namespace open_times_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A winch on leads that carry 76 A at most for long.
Results winch(const std::string& profile) {
    return check_text(
        "loom 1\nharness \"slipway winch\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 10 mohm, capacity 60 Ah, discharge 250 A, charge 20 A }\n"
        "fuse F1 { 150 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 48 V dc, carries 200 A, makes 300 A, breaks 200 A at 32 V dc }\n"
        "load M1 { 24 V, 20 A, acts-as current, works 18..30 V }\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) S1 (W3 16 mm2, 0.3 m) M1 (W4 16 mm2, 0.5 m) "
        "B1.-\n"
        "mode off { others at rest }\nmode haul { S1 closed, M1 draws " +
        profile + " }\n");
}
bool burns(const std::string& profile) {
    return finding_of(winch(profile), "overloaded-wire") != nullptr;
}

// The times that are judged, s, of the only mode with a profile.
std::vector<double> judged(const std::string& profile) {
    const Results results = winch(profile);
    std::vector<double> times;
    for (const Mode& mode : results.harness->modes)
        for (const Profile& each : mode.profiles)
            for (const Level& level : each.levels) times.push_back(level.duration_s.value_or(-1));
    return times;
}

}  // namespace

TEST_CASE("a heavy level is judged as long as it may be, a light one as short") {
    CHECK(judged("200 A for 5 s then 0 A for 300 s repeating") == std::vector<double>{5, 300});
    CHECK(judged("200 A for 5..90 s then 0 A for 300 s repeating") == std::vector<double>{90, 300});
    CHECK(judged("200 A for 5 s then 0 A for 60..300 s repeating") == std::vector<double>{5, 60});
    CHECK(judged("200 A for unknown s then 0 A for 300 s repeating") ==
          std::vector<double>{longest_level_s, 300});
    CHECK(judged("200 A for 5 s then 0 A for unknown s repeating") == std::vector<double>{5, 0});
    // What follows 'for' is a time: no unit need say so.
    CHECK(judged("200 A for unknown then 0 A for 300 s repeating") ==
          std::vector<double>{longest_level_s, 300});
    CHECK(judged("200 A for unknown s then 10 A") == std::vector<double>{longest_level_s, -1});
    CHECK(judged("10 A for unknown s then 200 A") == std::vector<double>{0, -1});
    // Between the peak and the rest: above what the others come to on the average.
    CHECK(judged("200 A for 5 s then 90 A for unknown s then 0 A for 300 s repeating") ==
          std::vector<double>{5, longest_level_s, 300});
    // A guess of 100 s is 10 % to either side.
    const std::vector<double> guessed = judged("200 A for about 100 s then 0 A for about 100 s repeating");
    CHECK(guessed[0] > 100);
    CHECK(guessed[1] < 100);
}

TEST_CASE("an unknown time takes no finding away, and is asked for") {
    REQUIRE_FALSE(burns("200 A for 5 s then 0 A for 300 s repeating"));
    REQUIRE(burns("200 A for 10 min then 0 A for 300 s repeating"));
    CHECK(burns("200 A for unknown s then 0 A for 300 s repeating"));
    CHECK(burns("200 A for 5..600 s then 0 A for 300 s repeating"));
    CHECK(burns("200 A for 5 s then 0 A for unknown s repeating"));
    CHECK_FALSE(burns("60 A for unknown s then 0 A for unknown s repeating"));
    const Results results = winch("200 A for unknown s then 0 A for 300 s repeating");
    CHECK(results.unknown_values == 1);
    CHECK(finding_of(results, "overloaded-wire")->possible);
    // What a moment of it does is as certain as it was.
    const Results weak = winch("250 A for unknown s then 0 A for 300 s repeating");
    REQUIRE(finding_of(weak, "breaking-current", "S1"));
    CHECK_FALSE(finding_of(weak, "breaking-current", "S1")->possible);
    CHECK_FALSE(
        finding_of(winch("200 A for 10 min then 0 A for 300 s repeating"), "overloaded-wire")->possible);
}

}  // namespace open_times_test
