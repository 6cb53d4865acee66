// Bodies of controllers by their mounting, windings of motors, time constants that are stated: against worked
// figures, and just inside and outside their limits.
#include <cmath>

#include "checker/heat/body_heat.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "tests/checker/checking.hpp"

namespace body_heat_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A controller that takes 20 A at 50 V and gives its phases 25 A; all around it at 40 degC.
struct Barge {
    std::string controller, motor, tray;
    std::string mode = "U1 draws 20 A, U1 phases 25 A";
    std::string leads = "3";

    std::string text() const {
        const bool three = leads == "3";
        return "loom 1\nharness \"Reed barge\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
               "location tray { ambient 0..40 degC" +
               tray +
               " }\npack B1 { voltage 50..50.001 V, resistance 0.001 mohm, capacity 40 Ah, discharge 200 A, "
               "charge 20 A }\n"
               "fuse F1 { 40 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5, resistance 0.001 mohm }\n"
               "controller U1 { at tray, input 30..60 V, capacitance 1 uF, supply-limit 30 A, phase-peak 30 "
               "A, "
               "regen none" +
               std::string(three ? "" : ", phases 2") + controller + " }\nmotor M1 { leads " + leads +
               ", carries 90 A" + motor +
               " }\nroute B1.+ (W1 95 mm2, 0.01 m, red) F1 (W2 95 mm2, 0.01 m, red) U1.+\n"
               "route B1.- (W3 95 mm2, 0.01 m, black) U1.-\n" +
               (three ? "route U1.U (W20 10 mm2, 0.5 m) M1.U\nroute U1.V (W21 10 mm2, 0.5 m) M1.V\n"
                        "route U1.W (W22 10 mm2, 0.5 m) M1.W\n"
                      : "route U1.M+ (W20 10 mm2, 0.5 m) M1.M+\nroute U1.M- (W21 10 mm2, 0.5 m) M1.M-\n") +
               "mode climb { " + mode + ", others at rest }\n";
    }
    Results check() const { return check_text(text()); }
};

// The body of U1, or the winding of M1, told hot at a limit far below.
double body_degC(const Barge& barge, const char* rule, const char* part) {
    const Results results = barge.check();
    const Finding* told = finding_of(results, rule, part);
    REQUIRE(told);
    return figure(*told, "body");
}

const HeldPart* held(const std::vector<ModeEndurance>& modes, HeldPart::What what, std::string_view name) {
    for (const HeldPart& part : modes.back().parts)
        if (part.what == what && part.name == name) return &part;
    return nullptr;
}
std::vector<ModeEndurance> endurance_of(const Results& results) {
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    return endurance(results.circuit, facts, results.points);
}

}  // namespace

TEST_CASE("a body in still air passes what worked figures of cases say, within a quarter") {
    // Reference figures, film plus radiation: 150 x 80 x 40 mm 2.2 K/W, 250 x 130 x 60 mm 0.9 K/W; 30 K.
    struct Case {
        double width_m, depth_m, height_m, K_per_W;
    };
    for (const Case& each : {Case{0.15, 0.08, 0.04, 2.2}, Case{0.25, 0.13, 0.06, 0.9}}) {
        Enclosure body;
        body.width_m = each.width_m, body.depth_m = each.depth_m, body.height_m = each.height_m;
        body.emissivity = painted_emissivity;
        const auto hot_degC = free_body_degC(body, 30 / each.K_per_W, 25);
        REQUIRE(hot_degC);
        CHECK(*hot_degC - 25 == Approx(30).epsilon(0.25));
        // Bare metal radiates a fifth as much and gets hotter.
        body.emissivity = bare_emissivity;
        CHECK(*free_body_degC(body, 30 / each.K_per_W, 25) > *hot_degC + 5);
    }
    CHECK(free_body_degC({}, 0, 25) == 25);
    Enclosure tiny;
    tiny.width_m = tiny.depth_m = tiny.height_m = 0.01;
    CHECK_FALSE(free_body_degC(tiny, 100, 25));
}

TEST_CASE("a bedded body gets 0.3 to 0.6 as hot as one that stands free, and nobody's guess is both") {
    Enclosure body;
    body.width_m = 0.15, body.depth_m = 0.08, body.height_m = 0.04;
    const MountedRise off = mounted_rise(body, false, 10, 40), bedded = mounted_rise(body, true, 10, 40),
                      either = mounted_rise(body, std::nullopt, 10, 40);
    CHECK(off.high_K / off.low_K == Approx(1.25 / 0.75));
    CHECK(bedded.high_K == Approx(0.6 * off.high_K));
    CHECK(bedded.low_K == Approx(0.3 * off.low_K));
    CHECK(either.high_K == off.high_K);
    CHECK(either.low_K == bedded.low_K);
}

TEST_CASE(
    "a mounting tells how hot a controller gets where neither path nor rise does, marked as an estimate") {
    Barge barge;
    const std::string rest = ", losses 30 W, cuts-out-at 90 degC, size 150 mm x 80 mm x 40 mm, wall painted";
    barge.controller = rest + ", mounting stood-off";
    const Results off = barge.check();
    const Finding* told = finding_of(off, "cuts-out", "U1");
    REQUIRE(told);
    CHECK(told->source.find("estimate") != std::string::npos);
    CHECK(std::any_of(told->working.begin(), told->working.end(), [](const std::string& line) {
        return line.find("an estimate by its outside") != std::string::npos &&
               line.find("stood-off") != std::string::npos;
    }));
    // Too hot at the hot end only is a warning; at its cool end too it is an error.
    CHECK(told->severity == Severity::warning);
    barge.controller =
        ", losses 60 W, cuts-out-at 90 degC, size 150 mm x 80 mm x 40 mm, wall painted, "
        "mounting stood-off";
    CHECK(gravest_of(barge.check(), "cuts-out", "U1") == Severity::error);
    // The same bedded passes, and left out or unknown it does not.
    barge.controller = rest + ", mounting bedded";
    CHECK(finding_of(barge.check(), "cuts-out", "U1") == nullptr);
    for (const char* nothing : {"", ", mounting unknown"}) {
        barge.controller = rest + nothing;
        CHECK(finding_of(barge.check(), "cuts-out", "U1") != nullptr);
    }
    // What is stated comes before an estimate.
    barge.controller = rest + ", mounting stood-off, thermal-resistance 1 K/W";
    CHECK(finding_of(barge.check(), "cuts-out", "U1") == nullptr);
}

TEST_CASE("what a mounting needs is asked for by name") {
    Barge barge;
    barge.controller = ", losses 30 W, cuts-out-at 90 degC, mounting bedded";
    const Results results = barge.check();
    const Finding* asks = finding_of(results, "missing-data", "U1");
    REQUIRE(asks);
    CHECK(asks->beside.find("size") != std::string::npos);
    CHECK(asks->help.find("size 150 mm x 80 mm x 40 mm") != std::string::npos);
    CHECK(asks->help.find("half an hour") != std::string::npos);
}

TEST_CASE("a stated time constant takes the place of what is usual, in findings and in endurance") {
    Barge barge;
    barge.mode = "U1 draws 20 A for 60 s then 0 A for 600 s repeating, U1 phases 25 A";
    const std::string heat = ", losses 40 W, thermal-resistance 1 K/W, cuts-out-at 60 degC";
    barge.controller = heat + ", time-constant 10 min";
    // 40 K (1 - exp(-0.1)) / (1 - exp(-1.1)) over 40 degC.
    const double peak_K = 40 * -std::expm1(-0.1) / -std::expm1(-1.1);
    const Results slow = barge.check();
    CHECK(finding_of(slow, "cuts-out", "U1") == nullptr);
    const auto modes = endurance_of(slow);
    const HeldPart* body = held(modes, HeldPart::What::body, "U1");
    REQUIRE(body);
    CHECK(body->peak_degC == Approx(40 + peak_K).epsilon(1e-6));
    CHECK(body->from_cold_s == Approx(600 * std::log(2)).epsilon(1e-6));
    CHECK(body->limit_degC == 60);
    // Without it: 1 min, hotter than 60 degC, and on the list.
    barge.controller = heat;
    const Results quick = barge.check();
    REQUIRE(finding_of(quick, "cuts-out", "U1"));
    CHECK(std::any_of(quick.assumptions.begin(), quick.assumptions.end(), [](const Assumption& one) {
        return one.what == "time constant of a controller" && one.value == "60 s to 300 s";
    }));
    CHECK(std::none_of(slow.assumptions.begin(), slow.assumptions.end(),
                       [](const Assumption& one) { return one.what == "time constant of a controller"; }));
}

TEST_CASE("the air of a box is followed with its own time constant, and held as a body") {
    Barge barge;
    barge.controller = ", losses 40 W";
    barge.mode = "U1 draws 20 A for 60 s then 0 A for 600 s repeating, U1 phases 25 A";
    const auto inside_degC = [&](const std::string& more) {
        barge.tray = ", thermal-resistance 0.5 K/W, highest-ambient 50 degC" + more;
        return barge.check().boxes.front().inside_degC;
    };
    const double settled_K = 20;
    CHECK(inside_degC("") == Approx(40 + settled_K * -std::expm1(-0.1) / -std::expm1(-1.1)).epsilon(1e-3));
    CHECK(inside_degC(", time-constant 1 min") ==
          Approx(40 + settled_K * -std::expm1(-1.0) / -std::expm1(-11.0)).epsilon(1e-3));
    const Results results = barge.check();
    REQUIRE(finding_of(results, "overheated-box", "tray"));
    const auto modes = endurance_of(results);
    const HeldPart* air = held(modes, HeldPart::What::box, "tray");
    REQUIRE(air);
    CHECK(air->peak_degC == Approx(results.boxes.front().inside_degC).epsilon(1e-6));
    CHECK(air->from_cold_s == Approx(60 * std::log(2)).epsilon(1e-3));
    CHECK(air->lasting_W == Approx(20).epsilon(1e-9));
}

TEST_CASE("a winding inside its limit passes and one outside is told, by every way to its losses") {
    Barge barge;
    const auto told = [&](const std::string& motor) {
        barge.motor = motor;
        return finding_of(barge.check(), "overheated-motor", "M1") != nullptr;
    };
    struct Case {
        std::string says;
        double rise_K;
    };
    // 1000 W from 20 A at 50 V; 25 A in each phase.
    for (const Case& each :
         {Case{"losses 40 W, thermal-resistance 2 K/W", 80},
          Case{"efficiency 92 %, thermal-resistance 1 K/W", 80},
          Case{"losses 40 W at 20 A, thermal-resistance 2 K/W", 80 * 25 * 25 / 400.0},
          Case{"rise 80 K at 25 A after 100 h", 80}, Case{"rise 40 K at 12.5 A after 100 h", 160}}) {
        INFO(each.says);
        const double hot_degC = 40 + each.rise_K;
        CHECK_FALSE(told(", " + each.says + ", limit " + std::to_string(hot_degC * 1.001) + " degC"));
        CHECK(told(", " + each.says + ", limit " + std::to_string(hot_degC * 0.999) + " degC"));
    }
}

TEST_CASE("the resistance between two leads makes three halves of what one phase of three does, when hot") {
    Barge barge;
    // 100 mohm between leads is 50 mohm a phase in star; 3 (25 A / sqrt 2)^2 50 mohm = 46.9 W at 20 degC,
    // 1.3 K/W; at 130 degC copper resists 1 + 0.00393 x 110 as much: 87.3 K, so just too hot for 127.3 degC.
    const double at_127 = 3 * 25 * 25 / 2.0 * 0.05 * (1 + 0.00393 * (127 - 20)) * 1.3;
    CHECK(at_127 == Approx(87).epsilon(0.01));
    barge.motor = ", resistance 100 mohm, thermal-resistance 1.3 K/W, limit 126 degC";
    const double at_126_K = 3 * 25 * 25 / 2.0 * 0.05 * (1 + 0.00393 * 106) * 1.3;
    CHECK(body_degC(barge, "overheated-motor", "M1") == Approx(40 + at_126_K).epsilon(1e-4));
    barge.motor = ", resistance 100 mohm, thermal-resistance 1.3 K/W, limit 128 degC";
    CHECK(finding_of(barge.check(), "overheated-motor", "M1") == nullptr);
    // A mode that says nothing of the phases counts with the 20 A the controller takes at least.
    barge.mode = "U1 draws 20 A";
    barge.motor = ", resistance 100 mohm, thermal-resistance 2 K/W, limit 90 degC";
    const double least_K = 0.75 * 400 * 0.1 * (1 + 0.00393 * 70) * 2;
    CHECK(body_degC(barge, "overheated-motor", "M1") == Approx(40 + least_K).epsilon(1e-3));
}

TEST_CASE("a motor is held as long as its closed form says, and warms the box it is in") {
    Barge barge;
    barge.motor = ", losses 40 W, thermal-resistance 2 K/W, limit 80 degC, time-constant 20 min, at tray";
    barge.controller = ", losses 0 W";
    barge.tray = ", thermal-resistance 0.1 K/W";
    const Results results = barge.check();
    CHECK(results.boxes.front().losses_W == Approx(40).epsilon(1e-3));
    const auto modes = endurance_of(results);
    const HeldPart* winding = held(modes, HeldPart::What::body, "M1");
    REQUIRE(winding);
    CHECK(winding->ambient_degC == Approx(44).epsilon(1e-3));
    // From cold its box warms too, by 4 K with its 10 min: together 40 K above the 40 degC around it.
    const double held_s = winding->from_cold_s;
    CHECK(-80 * std::expm1(-held_s / 1200) - 4 * std::expm1(-held_s / 600) == Approx(40).epsilon(1e-3));
    CHECK(winding->then == "its winding gets hotter than it stands");
}

TEST_CASE(
    "what a motor says too little of its heat is asked for by name, and nothing of one that says nothing") {
    const auto asked = [](const std::string& motor) {
        Barge barge;
        barge.motor = motor;
        const Results results = barge.check();
        const Finding* asks = finding_of(results, "missing-data", "M1");
        return asks ? asks->beside : std::string();
    };
    CHECK(asked("").empty());
    CHECK(asked(", limit 120 degC") == "neither thermal-resistance nor a measured rise");
    CHECK(asked(", limit 120 degC, thermal-resistance 1 K/W") == "its losses, efficiency or resistance");
    CHECK(asked(", losses 40 W, thermal-resistance 1 K/W") == "no limit of its winding");
    CHECK(asked(", losses 40 W, thermal-resistance 1 K/W, limit 120 degC").empty());
}

TEST_CASE("a converter's measured rise goes by the current that it gives") {
    const auto shed = [](const std::string& draws) {
        return finding_of(
                   check_text(
                       "loom 1\nharness \"mushroom shed\" { ambient 5..40 degC, insulation xlpe 90 degC }\n"
                       "pack B1 { voltage 23..28.8 V, resistance 10..20 mohm, capacity 60 Ah, discharge 60 "
                       "A, "
                       "charge 20 A }\n"
                       "part blade is fuse { 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-5 }\n"
                       "fuse F1 is blade { 15 A }\nfuse F2 is blade { 10 A }\n"
                       "switch S1 { 32 V dc, carries 20 A, makes 200 A, breaks 20 A at 32 V dc }\n"
                       "converter D1 { input 18..32 V, output 12 V 8 A, efficiency 88 %, negative isolated, "
                       "reverse blocked, capacitance 100 uF, rise 35 K at 5 A after 5 h, gives-less-from 70 "
                       "degC }\n"
                       "load E1 { 12 V, " +
                       draws +
                       ", acts-as current, works 8..16 V }\n"
                       "route B1.+ (W1 4 mm2, 0.1 m) F1 (W2 4 mm2, 0.4 m) S1 (W3 4 mm2, 0.4 m) D1.in+\n"
                       "route D1.in- (W4 4 mm2, 0.4 m) B1.-\n"
                       "route D1.out+ (W5 4 mm2, 0.1 m) F2 (W6 4 mm2, 0.4 m) E1 (W7 4 mm2, 0.4 m) D1.out-\n"
                       "mode off { others at rest }\nmode on { S1 closed }\n"),
                   "controller-gives-less", "D1") != nullptr;
    };
    // 30 K above 40 degC are 30 / 35 of 5 A; its input takes less than half of that.
    CHECK(shed("4.32 A"));
    CHECK_FALSE(shed("4.2 A"));
}

}  // namespace body_heat_test
