// Boxes and bodies that get too hot: just inside and just outside their limits, and what would pass.
#include "tests/checker/checking.hpp"

namespace overheated_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A controller that takes 20 A at 44 V at its least: a pack without resistance to speak of.
std::string bench(const std::string& tray, const std::string& controller) {
    return "loom 1\nharness \"Quarry cart\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
           "location tray { ambient 0..40 degC" +
           tray +
           " }\n"
           "pack B1 { voltage 50..50.001 V, resistance 0.001 mohm, capacity 40 Ah, discharge 200 A, charge "
           "20 A }\n"
           "fuse F1 { 40 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5, resistance 0.001 mohm }\n"
           "controller U1 { at tray, input 30..60 V, capacitance 1 uF, supply-limit 30 A, phase-peak 30 A, "
           "regen none" +
           controller +
           " }\n"
           "motor M1 { leads 3, carries 90 A }\n"
           "route B1.+ (W1 95 mm2, 0.01 m, red) F1 (W2 95 mm2, 0.01 m, red) U1.+\n"
           "route B1.- (W3 95 mm2, 0.01 m, black) U1.-\n"
           "route U1.U (W20 10 mm2, 0.5 m) M1.U\nroute U1.V (W21 10 mm2, 0.5 m) M1.V\n"
           "route U1.W (W22 10 mm2, 0.5 m) M1.W\n"
           "mode climb { U1 draws 20 A, U1 phases 25 A, others at rest }\n";
}

}  // namespace

TEST_CASE("a location inside its limit passes and one outside is told") {
    // 40 W x 0.5 K/W above 40 degC.
    const auto with = [](const std::string& limit) {
        return check_text(bench(", thermal-resistance 0.5 K/W, highest-ambient " + limit, ", losses 40 W"));
    };
    CHECK(finding_of(with("60.06 degC"), "overheated-box") == nullptr);
    const Results results = with("59.94 degC");
    const Finding* told = finding_of(results, "overheated-box", "tray");
    REQUIRE(told);
    CHECK(told->severity == Severity::error);
    CHECK(figure(*told, "inside") == Approx(60).epsilon(1e-6));
    CHECK(told->working.front() == "60 degC inside: 40 W x 0.5 K/W above the 40 degC around it");
    CHECK(told->working[1] == "controller U1 40 W stated");
    // What would pass, does: 19.94 K / 40 W, rounded down.
    CHECK(told->help.starts_with("0.498 K/W or less would pass"));
    CHECK(finding_of(check_text(bench(", thermal-resistance 0.498 K/W, highest-ambient 59.94 degC",
                                      ", losses 40 W")),
                     "overheated-box") == nullptr);
}

TEST_CASE("a part inside the air that it stands passes and one outside is told, in a box or not") {
    const auto with = [](const std::string& tray, const std::string& limit) {
        return check_text(bench(tray, ", losses 40 W, highest-ambient " + limit));
    };
    CHECK(finding_of(with(", thermal-resistance 0.5 K/W", "60.06 degC"), "overheated-box") == nullptr);
    CHECK(finding_of(with(", thermal-resistance 0.5 K/W", "59.94 degC"), "overheated-box", "U1") != nullptr);
    CHECK(finding_of(with("", "40.04 degC"), "overheated-box") == nullptr);
    CHECK(finding_of(with("", "39.96 degC"), "overheated-box", "U1") != nullptr);
}

TEST_CASE("a part in no location is held to the hottest mode, and the mode is named") {
    const auto with = [](const std::string& limit) {
        return check_text(replaced(bench("", ", losses 40 W, highest-ambient " + limit), "at tray, ", "") +
                          "mode noon { ambient 10..50 degC, others at rest }\n"
                          "mode dusk { ambient 10..45 degC, others at rest }\n");
    };
    CHECK_FALSE(finding_of(with("50.05 degC"), "overheated-box"));
    const Results results = with("49.9 degC");
    const Finding* told = finding_of(results, "overheated-box", "U1");
    REQUIRE(told);
    CHECK(figure(*told, "inside") == Approx(50));
    CHECK(results.harness->modes[told->mode.index()].name == "noon");
    CHECK(told->help == "a place that stays below 49.9 degC, or a part that stands more");
}

TEST_CASE("of what warms a box five are named and the rest added up") {
    const auto with_lamps = [](int count) {
        std::string lamps;
        for (int i = 1; i <= count; ++i) {
            const std::string n = std::to_string(i);
            lamps += "load E" + n + " { at tray, 50 V, 0.2 A, acts-as current, works 30..60 V, losses " + n +
                     " W }\nroute F1.out (W3" + n + " 1 mm2, 0.2 m) E" + n + " (W4" + n +
                     " 1 mm2, 0.2 m) B1.-\n";
        }
        return check_text(bench(", thermal-resistance 0.5 K/W, highest-ambient 50 degC", ", losses 40 W") +
                          lamps);
    };
    const Results many = with_lamps(7);
    const Finding* told = finding_of(many, "overheated-box", "tray");
    REQUIRE(told);
    CHECK(figure(*told, "losses") == Approx(68));
    // 40 W, 7, 6, 5 and 4 W; then 3, 2 and 1 W.
    CHECK(told->working[1] == "controller U1 40 W stated");
    CHECK(told->working[5] == "load E4 4 W stated");
    CHECK(told->working[6] == "3 more, together 6 W");
    const Results six = with_lamps(5), five = with_lamps(4);
    CHECK(finding_of(six, "overheated-box", "tray")->working[6] == "1 more, together 1 W");
    for (const std::string& line : finding_of(five, "overheated-box", "tray")->working)
        CHECK(line.find("more, together") == std::string::npos);
}

TEST_CASE("losses that nobody stated are taken as what is usual, and never help") {
    // 5 percent of 1000 W.
    const std::string tray = ", thermal-resistance 0.5 K/W, highest-ambient 60 degC";
    const Results results = check_text(bench(tray, ""));
    const Finding* told = finding_of(results, "overheated-box", "tray");
    REQUIRE(told);
    CHECK(figure(*told, "losses") == Approx(50).epsilon(0.001));
    CHECK(std::count(told->working.begin(), told->working.end(), "it hangs on losses that nobody stated") ==
          1);
    CHECK(finding_of(check_text(bench(tray, ", efficiency 97 %")), "overheated-box") == nullptr);
    CHECK(gravest_of(check_text(bench(tray, ", losses unknown")), "missing-data", "U1") == Severity::error);
}

TEST_CASE("a device gives less and cuts out just above its temperatures") {
    // 40 degC of air, 40 W x 1 K/W: 80 degC.
    const auto told = [](const std::string& attributes, std::string_view rule) {
        return gravest_of(check_text(bench("", ", losses 40 W, thermal-resistance 1 K/W, " + attributes)),
                          rule, "U1");
    };
    CHECK_FALSE(told("gives-less-from 80.08 degC", "controller-gives-less"));
    CHECK(told("gives-less-from 79.92 degC", "controller-gives-less") == Severity::warning);
    CHECK_FALSE(told("cuts-out-at 80.08 degC", "cuts-out"));
    CHECK(told("cuts-out-at 79.92 degC", "cuts-out") == Severity::error);
}

TEST_CASE("a measured rise holds at its current, and by the square above it") {
    const auto body_degC = [](const std::string& rise) {
        const Results results = check_text(bench("", ", cuts-out-at 41 degC, rise " + rise));
        const Finding* told = finding_of(results, "cuts-out", "U1");
        REQUIRE(told);
        return figure(*told, "body");
    };
    CHECK(body_degC("30 K at 20 A after 10 h") == Approx(70).epsilon(1e-4));
    CHECK(body_degC("30 K at 10 A after 10 h") == Approx(160).epsilon(1e-4));
    CHECK(body_degC("30 K at 40 A after 10 h") == Approx(55).epsilon(1e-4));
    // Half of what it comes to after ln 2 time constants of 5 min.
    CHECK(body_degC("30 K at 20 A after 208 s") == Approx(100).epsilon(1e-3));
}

TEST_CASE("a box warms the body of what is in it") {
    const std::string stands = ", losses 40 W, thermal-resistance 1 K/W, cuts-out-at 90 degC";
    CHECK(finding_of(check_text(bench("", stands)), "cuts-out") == nullptr);
    const Results results = check_text(bench(", thermal-resistance 0.5 K/W", stands));
    const Finding* told = finding_of(results, "cuts-out", "U1");
    REQUIRE(told);
    CHECK(figure(*told, "body") == Approx(100).epsilon(1e-6));
    CHECK(figure(*told, "air") == Approx(60).epsilon(1e-6));
    // 30 K of room over 40 W.
    CHECK(told->help.starts_with("less than 0.75 K/W would pass"));
}

TEST_CASE("a device that says when it cuts out and nothing of how hot it gets is asked") {
    CHECK(gravest_of(check_text(bench("", ", cuts-out-at 90 degC")), "missing-data", "U1") ==
          Severity::warning);
}

}  // namespace overheated_test
