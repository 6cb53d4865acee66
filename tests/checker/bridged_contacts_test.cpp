// Ways round contacts, bonds that carry current, driver pins, and modes that cannot be fed.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace bridged_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Results with(const std::string& more) {
    return check_text(replaced(std::string(example_harness), "splice X1\n", "splice X1\n" + more));
}

std::string path_of(const Finding& finding) {
    std::string path;
    for (const Step& step : finding.witness) path += (path.empty() ? "" : " > ") + step.name;
    return path;
}

}  // namespace

TEST_CASE("a contact with a wire round it interrupts nothing, and the way round is shown") {
    const Results results =
        with("splice X2\nroute K1.in (W30 16 mm2, 0.2 m) X2 (W31 16 mm2, 0.2 m) K1.out\n");
    const Finding* finding = finding_of(results, "bridged-contact");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->subject == "K1");
    CHECK(finding->beside == "opening it interrupts nothing");
    CHECK(path_of(*finding) == "K1.in > W30 > W31 > K1.out");
}

TEST_CASE("a resistor round a contact is no bridge, and neither is a second contact") {
    CHECK(!finding_of(
        with("resistor R1 { 100 ohm, 25 W }\nroute K1.in (W30 1 mm2, 0.2 m) R1 (W31 1 mm2, 0.2 m) "
             "K1.out\n"),
        "bridged-contact"));
    CHECK(!finding_of(with("switch S9 { 80 V dc, carries 50 A, breaks 50 A at 60 V dc }\n"
                           "route K1.in (W30 16 mm2, 0.2 m) S9 (W31 16 mm2, 0.2 m) K1.out\n"),
                      "bridged-contact"));
}

TEST_CASE("a bond carries no current; a frame that serves as return may") {
    const std::string lamp =
        "load H9 { 48 V, 0.5 A, acts-as current, works 30..60 V }\n"
        "route X1 (W30 1 mm2, 0.3 m) H9 (W31 1 mm2, 0.3 m) X9\nroute X9 (W32 4 mm2, 0.5 m) Q1.P-\n";
    const Results bond = with("frame X9 { serves bond }\n" + lamp);
    const Finding* finding = finding_of(bond, "bond-current");
    REQUIRE(finding);
    CHECK(finding->subject == "W31");
    CHECK(finding->message == "wire W31 sends current through the bond X9");
    CHECK(finding->working == std::vector<std::string>{"500 mA > 10 mA"});
    CHECK(!finding_of(with("frame X9 { serves return }\n" + lamp), "bond-current"));
}

TEST_CASE("a driver pin that pulls more than it may is an overloaded contact") {
    // A load of 3 A on a pin that stands 2 A.
    const std::string text = replaced(
        replaced(std::string(example_harness), "phase-peak 70 A, regen none }",
                 "phase-peak 70 A, regen none, pin pull low-side 2 A }\nload Y1 { 48 V, 3 A, acts-as "
                 "current, works 30..60 V }\nroute X1 (W30 1 mm2, 0.3 m) Y1 (W31 1 mm2, 0.3 m) U1.pull\n"),
        "U1 draws 35 A,", "U1 draws 35 A, U1.pull on,");
    const Results results = check_text(replaced(text, "F2 { 5 A", "F2 { 7.5 A"));
    std::vector<std::string> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == "overloaded-contact")
            list.push_back(finding.subject + ": " + finding.message + ", " + finding.beside);
    CHECK(list == std::vector<std::string>{
                      "U1.pull: driver pin U1.pull carries more than it may, 3 A; may carry 2 A here"});
}

TEST_CASE("a converter at its limit is told of though current could come back through it") {
    const Results results =
        check_text(replaced(replaced(std::string(example_harness), "reverse blocked", "reverse passes"),
                            "output 12 V 5 A", "output 12 V 1 A"));
    REQUIRE(finding_of(results, "overloaded-converter"));
    CHECK(finding_of(results, "overloaded-converter")->subject == "D1");
}

TEST_CASE("a mode in which the voltage breaks down says what cannot be fed, not that its coils fall off") {
    const Results results = check_text(
        replaced(replaced(std::string(example_harness), "load H2 { 48 V, 10 W", "load H2 { 48 V, 900 kW"),
                 "fuse F2 { 5 A", "fuse F2 { 10 A"));
    REQUIRE(finding_of(results, "cannot-be-fed"));
    CHECK(finding_of(results, "cannot-be-fed")->subject == "H2");
    CHECK(path_of(*finding_of(results, "cannot-be-fed")).find("W13 > H2 > W14") != std::string::npos);
    CHECK(!finding_of(results, "mode-contradicts"));
}

}  // namespace bridged_contacts_test
