// Pins that something counts on: of drivers, of the contactor of a battery management, of returns, of phases.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace unwired_pins_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string with(const std::string& more, const std::string& of = "", const std::string& now = "") {
    std::string text(example_harness);
    if (!of.empty()) {
        const std::size_t at = text.find(of);
        REQUIRE(at != std::string::npos);
        text.replace(at, of.size(), now);
    }
    return text + more;
}
const std::string settings = "supply-limit 40 A, phase-peak 70 A, regen none";
const std::string supplies = settings + "\n  pin 5v output 5 V 100 mA, pin gnd return";
const std::string lever =
    "device A9 { pin in supply 20 mA, pin gnd return }\nroute U1.5v (W30 0.5 mm2, 0.5 m, red) A9.in\n";

}  // namespace

TEST_CASE("what an output supplies returns by the pin beside it, or is told") {
    const Results past =
        check_text(with(lever + "route A9.gnd (W31 0.5 mm2, 0.5 m, black) Q1.P-\n", settings, supplies));
    const Finding* finding = finding_of(past, "unwired-pin", "U1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "what device A9 takes from U1.5v returns by another way than U1.gnd");
    CHECK_FALSE(finding_of(
        check_text(with(lever + "route A9.gnd (W31 0.5 mm2, 0.5 m, black) U1.gnd\n", settings, supplies)),
        "unwired-pin"));
    CHECK_FALSE(finding_of(check_text(with(lever + "route A9.gnd (W31 0.5 mm2, 0.5 m, black) Q1.P-\n",
                                           settings, supplies + ", spare gnd")),
                           "unwired-pin"));
    // Back into a pin of its own by a switch: nothing returns anywhere.
    CHECK_FALSE(
        finding_of(check_text(with("switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                                   "route U1.5v (W30 0.5 mm2, 0.5 m, red) S9 (W31 0.5 mm2, 0.5 m) U1.slow\n",
                                   settings, supplies + ", pin slow signal 5 V")),
                   "unwired-pin"));
}

TEST_CASE("a mode that switches on a driver pin counts on something being there") {
    const std::string driver = settings + ", pin brake low-side 1 A";
    const std::string on = "mode lift { others at rest, U1.brake on }\n";
    const Results bare = check_text(with(on, settings, driver));
    const Finding* finding = finding_of(bare, "unwired-pin", "U1");
    REQUIRE(finding);
    CHECK(finding->message == "mode lift switches U1.brake on, and nothing lands on it");
    CHECK_FALSE(finding_of(check_text(with("", settings, driver)), "unwired-pin"));
    CHECK_FALSE(finding_of(
        check_text(with("load H9 { 48 V, 10 W, acts-as power, works 30..60 V }\n"
                        "route X1 (W30 1 mm2, 0.3 m, red) H9 (W31 1 mm2, 0.3 m, black) U1.brake\n" +
                            on,
                        settings, driver)),
        "unwired-pin"));
}

TEST_CASE("a battery management that is to open a contactor has its driver wired") {
    const auto managed = [&](const std::string& coil) {
        std::string text = with("");
        const auto replace = [&](const std::string& of, const std::string& now) {
            const std::size_t at = text.find(of);
            REQUIRE(at != std::string::npos);
            text.replace(at, of.size(), now);
        };
        replace(
            "bms Q1 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance "
            "1 mohm }",
            "bms Q1 { side high, drives K1, discharge 70 A, charge 20 A, trips 120 A after 1 s\n"
            "  pin in supply 8 mA, pin minus return, pin coil low-side 0.6 A }\nstud X5");
        replace("route B1.- (W5 16 mm2, 0.1 m, black) Q1 (W6", "route B1.- (W5 16 mm2, 0.1 m, black) X5 (W6");
        replace("route K1.A2 (W12 1 mm2, 1 m, black) Q1.P-", "route K1.A2 (W12 1 mm2, 1 m, black) " + coil);
        for (std::size_t at = text.find("Q1.P-"); at != std::string::npos; at = text.find("Q1.P-"))
            text.replace(at, 5, "X5");
        return text + "route X1 (W40 1 mm2, 0.3 m, red) Q1.in\nroute Q1.minus (W41 1 mm2, 0.3 m, black) X5\n";
    };
    const Results bare = check_text(managed("X5"));
    const Finding* finding = finding_of(bare, "unwired-pin", "Q1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "bms Q1 is to open contactor K1, and nothing lands on Q1.coil");
    CHECK_FALSE(finding_of(check_text(managed("Q1.coil")), "unwired-pin"));
    // Without any driver pin the coil is wired past it as well.
    std::string pinless = managed("X5");
    pinless.replace(pinless.find(", pin coil low-side 0.6 A"),
                    std::string(", pin coil low-side 0.6 A").size(), "");
    const Results none = check_text(pinless);
    const Finding* warned = finding_of(none, "unwired-pin", "Q1");
    REQUIRE(warned);
    CHECK(warned->severity == Severity::warning);
    CHECK(warned->message == "bms Q1 is to open contactor K1, and has no pin that its coil hangs on");
}

TEST_CASE("a motor lead that is missing beside others is more than a free terminal") {
    const std::string lead = "route U1.W (W22 10 mm2, 0.5 m, blue) M1.W\n";
    const Results two = check_text(with("", lead, ""));
    CHECK(gravest_of(two, "open-ended", "U1") == Severity::warning);
    CHECK(gravest_of(two, "open-ended", "M1") == Severity::warning);
    CHECK_FALSE(finding_of(check_text(with("")), "open-ended"));
}

}  // namespace unwired_pins_test
