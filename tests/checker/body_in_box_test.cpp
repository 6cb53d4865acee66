// A body in a box that it warms, against fine steps of time and against the body alone.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/heat/body_in_box.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "tests/checker/checking.hpp"
#include "tests/checker/random_network.hpp"

namespace body_in_box_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Case {
    BodyInBox both;
    double limit_degC = 0;
};

Case random_case(std::uint64_t seed) {
    test::Dice dice(seed * 7919 + 3);
    Case made;
    BodyInBox& both = made.both;
    both.body = {1, dice.between(20, 400)};
    both.box = BoxCourse{};
    both.box->body = {1, dice.between(100, 1500)};
    both.around_degC = both.box->around_degC = dice.between(0, 40);
    const std::size_t levels = 1 + dice.below(4);
    both.rises.repeats = both.box->rises.repeats = levels > 1 && dice.chance(0.6);
    for (std::size_t i = 0; i < levels; ++i) {
        const bool stays = i + 1 == levels && !both.rises.repeats;
        const double lasts_s = stays ? INFINITY : dice.between(5, 900);
        both.rises.levels.push_back({dice.between(0, 60), lasts_s});
        both.box->rises.levels.push_back({dice.between(0, 50), lasts_s});
    }
    made.limit_degC = both.around_degC + dice.between(10, 90);
    return made;
}

// Both first-order bodies by small steps, for so long.
double by_steps_s(const Case& made, double step_s, double until_s) {
    const BodyInBox& both = made.both;
    double body_K = 0, box_K = 0, seconds = 0, left_s = both.rises.levels.front().duration_s;
    std::size_t level = 0;
    while (seconds < until_s) {
        body_K +=
            (both.rises.levels[level].loss_W - body_K) * -std::expm1(-step_s / both.body.time_constant_s);
        box_K += (both.box->rises.levels[level].loss_W - box_K) *
                 -std::expm1(-step_s / both.box->body.time_constant_s);
        seconds += step_s;
        if (both.around_degC + body_K + box_K >= made.limit_degC) return seconds;
        left_s -= step_s;
        if (left_s > step_s / 2) continue;
        level = (level + 1) % both.rises.levels.size();
        left_s += both.rises.levels[level].duration_s;
    }
    return INFINITY;
}

Results kiln(double draws_A, const std::string& box) {
    return check_text(fmt::format(
        "loom 1\nharness \"Kiln cart\" {{ ambient 0..30 degC, insulation xlpe 90 degC }}\n"
        "location tin {{ ambient 0..30 degC{} }}\n"
        "pack B1 {{ voltage 44..50 V, resistance 10 mohm, capacity 900 Ah, discharge 200 A, charge 20 A }}\n"
        "fuse F1 {{ 100 A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-5 }}\n"
        "controller U1 {{ input 30..60 V, capacitance 1 uF, supply-limit 90 A, phase-peak 90 A, regen none, "
        "phases 2, efficiency 95 %, rise 30 K at 40 A after 1 h, time-constant 4 min, cuts-out-at 90 degC, "
        "at tin }}\nmotor M1 {{ leads 2, carries 100 A }}\n"
        "route B1.+ (W1 35 mm2, 0.2 m, red) F1 (W2 35 mm2, 0.2 m, red) U1.+\n"
        "route U1.- (W3 35 mm2, 0.2 m, black) B1.-\nroute U1.M+ (W4 35 mm2, 0.2 m, red) M1.M+\n"
        "route M1.M- (W5 35 mm2, 0.2 m, black) U1.M-\nmode on {{ U1 draws {} A, U1 phases 20 A }}\n",
        box, draws_A));
}

HeldPart controller_of(const Results& results) {
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    for (const ModeEndurance& mode : endurance(results.circuit, facts, results.points))
        for (const HeldPart& part : mode.parts)
            if (part.name == "U1") return part;
    FAIL("U1 is not followed");
    return {};
}

}  // namespace

TEST_CASE("a body in a box reaches its limit when fine steps of time say, from cold") {
    std::size_t reached = 0, never = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        const Case made = random_case(seed);
        const double found_s = made.both.first_reach_s(made.limit_degC);
        constexpr double step_s = 0.05, horizon_s = 40000;
        const double stepped_s = by_steps_s(made, step_s, horizon_s);
        INFO(seed << " found " << found_s << " stepped " << stepped_s);
        if (std::isfinite(stepped_s)) {
            // Levels begin within a step, and a limit that is only grazed is met late.
            CHECK(found_s == Approx(stepped_s).epsilon(2e-3).margin(1));
            ++reached;
        } else {
            CHECK(found_s > horizon_s * 0.99);
            ++never;
        }
    }
    CHECK(reached > 50);
    CHECK(never > 50);
}

TEST_CASE("without a box it is the body alone") {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        Case made = random_case(seed);
        made.both.box.reset();
        const double limit_K = made.limit_degC - made.both.around_degC;
        const double alone_s = first_reach_s(made.both.body, made.both.rises, 0, limit_K);
        const double found_s = made.both.first_reach_s(made.limit_degC);
        INFO(seed);
        if (const auto warm_s = made.both.held_warm_s(made.limit_degC))
            CHECK(*warm_s <= made.both.held_s(made.limit_degC));
        if (std::isfinite(alone_s))
            CHECK(found_s == Approx(alone_s).epsilon(1e-6));
        else
            CHECK(std::isinf(found_s));
    }
}

TEST_CASE("a controller whose box gets as hot as it stands does not cut out at once, and says what passes") {
    const std::string shut = ", thermal-resistance 0.8 K/W, time-constant 15 min";
    const Results results = kiln(40, shut);
    const HeldPart body = controller_of(results);
    REQUIRE(body.ambient_degC > body.limit_degC);
    CHECK(body.gives_out_s > 120);
    CHECK(body.gives_out_s < 1800);
    CHECK(body.from_cold_s == Approx(body.gives_out_s).epsilon(1e-6));
    const Finding* finding = finding_of(results, "cuts-out", "U1");
    REQUIRE(finding);
    const auto says = [&](const std::string& words) {
        return std::any_of(finding->working.begin(), finding->working.end(),
                           [&](const std::string& line) { return line.find(words) != std::string::npos; });
    };
    CHECK_FALSE(says("at once"));
    CHECK(says("at the soonest, from a body and a box as warm as the air around"));
    // What may flow for good does, and the help says no more than that.
    REQUIRE(body.lasting_A > 1);
    CHECK_FALSE(finding_of(kiln(body.lasting_A * 0.999, shut), "cuts-out"));
    const double share = 100 * body.lasting_A / 40;
    CHECK(finding->help.find(fmt::format("{:.0f} %", std::floor(share))) != std::string::npos);
    // In a place that is hot by itself it is at once.
    const Results hot = kiln(40, ", thermal-resistance 0.8 K/W");
    CHECK(controller_of(hot).gives_out_s > 0);
}

}  // namespace body_in_box_test
