// Where motor leads land, and what a controller may give its motor.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace motor_leads_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string last_lead = "route U1.W (W22 10 mm2, 0.5 m, blue) M1.W";
const std::string text(example_harness);

// A second controller beside the first one, with its own leads.
std::string twin(const std::string& leads_of_first, const std::string& leads_of_second) {
    return replaced(
        replaced(text,
                 "route U1.U (W20 10 mm2, 0.5 m, yellow) M1.U\nroute U1.V (W21 10 mm2, 0.5 m, green) M1.V\n" +
                     last_lead,
                 leads_of_first),
        "motor M1 { leads 3, carries 90 A }",
        "motor M1 { leads 3, carries 90 A }\nmotor M2 { leads 3, carries 90 A }\n"
        "controller U2 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }\n"
        "route P1.1 (W40 16 mm2, 0.2 m, red) U2.+\nroute J1.2 (W41 16 mm2, 0.2 m, black) U2.-\n" +
            leads_of_second);
}
std::string leads(const std::string& u, const std::string& v, const std::string& w, int first) {
    std::string all;
    for (const auto& [from, to] :
         {std::pair(u.substr(0, 2) + ".U", u.substr(3)), std::pair(v.substr(0, 2) + ".V", v.substr(3)),
          std::pair(w.substr(0, 2) + ".W", w.substr(3))})
        all += "route " + from + " (W" + std::to_string(first++) + " 10 mm2, 0.5 m, blue) " + to + "\n";
    return all;
}

}  // namespace

TEST_CASE("a motor lead on a pole of the supply is told, on plus, on minus and from either end") {
    for (const auto& [line, subject, at] :
         {std::tuple("route P1.2 (W22 10 mm2, 0.5 m, blue) M1.W", "M1.W", "B1.-"),
          std::tuple("route P1.1 (W22 10 mm2, 0.5 m, blue) M1.W", "M1.W", "U1.+"),
          std::tuple("route U1.W (W22 10 mm2, 0.5 m, blue) P1.2", "U1.W", "B1.-")}) {
        const Results results = check_text(replaced(text, last_lead, line));
        const Finding* finding = finding_of(results, "misplaced-motor-lead", subject);
        REQUIRE(finding);
        CHECK(finding->severity == Severity::error);
        CHECK(finding->message == "motor lead " + std::string(subject) + " lands on a pole of the supply");
        CHECK(finding->beside == "conductors lead from there to " + std::string(at));
    }
    CHECK_FALSE(finding_of(check_text(text), "misplaced-motor-lead"));
}

TEST_CASE("two leads of one controller on one lead of the motor are told") {
    const Results results =
        check_text(replaced(text, last_lead, "route U1.W (W22 10 mm2, 0.5 m, blue) M1.V"));
    const Finding* finding = finding_of(results, "misplaced-motor-lead", "U1.W");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "motor leads U1.V and U1.W are joined");
}

TEST_CASE("leads that are joined are named once each where they are too thin for the phase setting") {
    const std::string joined = replaced(text, last_lead, "route U1.W (W22 10 mm2, 0.5 m, blue) M1.V");
    const Results results = check_text(replaced(joined, "phase-peak 70 A", "phase-peak 130 A"));
    const Finding* finding = finding_of(results, "phase-setting-too-high", "U1");
    REQUIRE(finding);
    CHECK(finding->working.back() == "too thin: W20, W21, W22");
}

TEST_CASE(
    "two controllers on one motor, and leads exchanged between two motors, are told; two drives of their own "
    "are not") {
    const auto look = [](const std::string& first, const std::string& second) {
        return check_text(twin(first, second));
    };
    CHECK_FALSE(finding_of(
        look(leads("U1 M1.U", "U1 M1.V", "U1 M1.W", 50), leads("U2 M2.U", "U2 M2.V", "U2 M2.W", 60)),
        "misplaced-motor-lead"));
    const Results joined =
        look(leads("U1 M1.U", "U1 M1.V", "U1 M1.W", 50), leads("U2 M1.U", "U2 M1.V", "U2 M1.W", 60));
    REQUIRE(finding_of(joined, "misplaced-motor-lead"));
    CHECK(finding_of(joined, "misplaced-motor-lead")->message.find("is joined with a lead of controller U") !=
          std::string::npos);
    const Results crossed =
        look(leads("U1 M1.U", "U1 M1.V", "U1 M2.W", 50), leads("U2 M2.U", "U2 M2.V", "U2 M1.W", 60));
    REQUIRE(finding_of(crossed, "misplaced-motor-lead"));
    CHECK(finding_of(crossed, "misplaced-motor-lead")->message ==
          "motor M1 has leads of more than one controller");
}

TEST_CASE(
    "a motor stands its controller's phase setting for two minutes by the slow end of its time constant") {
    // carries / sqrt(1 - exp(-120 s / 600 s)): 70 A wants 29.8 A.
    const auto with = [](const std::string& carries) {
        return check_text(
            replaced(replaced(text, "carries 90 A }\nfuse F2", "carries " + carries + " }\nfuse F2"),
                     "U1 phases 60 A", "U1 phases 10 A"));
    };
    const Results small = with("29.7 A");
    const Finding* finding = finding_of(small, "phase-setting-too-high", "U1");
    REQUIRE(finding);
    CHECK(finding->message == "controller U1 is set to give its motor more than it may carry");
    CHECK(figure(*finding, "limit") == Approx(29.7 / std::sqrt(1 - std::exp(-0.2))));
    CHECK_FALSE(finding_of(with("29.9 A"), "phase-setting-too-high"));
}

TEST_CASE("a splice, bar or stud in a phase lead is held to the phase setting") {
    const auto by = [](const std::string& point) {
        return check_text(replaced(std::string(example_harness),
                                   "route U1.U (W20 10 mm2, 0.5 m, yellow) M1.U",
                                   point + "\nroute U1.U (W20 10 mm2, 0.2 m) X8 (W40 10 mm2, 0.2 m) M1.U"));
    };
    const Results weak = by("splice X8 { carries 69.9 A }");
    const Finding* finding = finding_of(weak, "phase-setting-too-high", "U1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(figure(*finding, "setting") == Approx(70));
    CHECK(figure(*finding, "limit") == Approx(69.9));
    CHECK_FALSE(finding_of(by("splice X8 { carries 70.1 A }"), "phase-setting-too-high"));
    CHECK(finding_of(by("stud X8 { carries 69.9 A }"), "phase-setting-too-high"));
    CHECK_FALSE(finding_of(by("stud X8 { carries 70.1 A }"), "phase-setting-too-high"));
}

}  // namespace motor_leads_test
