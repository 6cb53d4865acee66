// What a supply pin draws for itself, and what the device passes on from it.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace pins_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A switched lamp on a high-side pin; `lamp_A` comes through the supply pin on top of its own 50 mA.
Results lamp_on_pin(const std::string& lamp, const std::string& fuse, const std::string& supply = "50 mA") {
    return check_text(
        "loom 1\nharness \"platform\" { ambient 0..35 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 22..28 V, resistance 8..12 mohm, capacity 80 Ah, discharge 60 A, charge 20 A }\n"
        "fuse F1 { " +
        fuse +
        ", 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
        "switch S1 { 32 V dc, carries 20 A, breaks 10 A at 32 V dc }\n"
        "device A1 { pin plus supply " +
        supply +
        ", pin minus return, pin lamp high-side 9 A }\n"
        "load E1 { 24 V, " +
        lamp +
        ", acts-as current, works 16..30 V }\nstud X2\n"
        "route B1.+ (W1 2.5 mm2, 0.12 m, red) F1 (W2 2.5 mm2, 0.3 m, red) S1 (W3 2.5 mm2, 0.5 m, red) "
        "A1.plus\n"
        "route A1.minus (W4 2.5 mm2, 0.3 m, black) X2\n"
        "route A1.lamp (W5 2.5 mm2, 0.6 m, white) E1 (W6 2.5 mm2, 0.6 m, black) X2\n"
        "route X2 (W7 2.5 mm2, 0.3 m, black) B1.-\n"
        "mode off { others at rest }\nmode warn { S1 closed, A1.lamp on }\n");
}

bool has(const Results& results, std::string_view rule) {
    return std::any_of(results.findings.begin(), results.findings.end(),
                       [&](const Finding& finding) { return finding.rule == rule; });
}

}  // namespace

TEST_CASE("what goes on to a high-side pin is no overload of the supply pin, whatever that draws itself") {
    for (const std::string supply : {"50 mA", "1 A", "3 A"}) {
        INFO(supply);
        const Results results = lamp_on_pin("1 A", "7.5 A", supply);
        CHECK_FALSE(has(results, "overloaded-pin"));
        CHECK(found(results, Severity::error).empty());
    }
}

TEST_CASE("the lead and the fuse before a supply pin carry what goes on to the high-side pins as well") {
    CHECK(has(lamp_on_pin("6 A", "5 A"), "overloaded-fuse"));
    CHECK_FALSE(has(lamp_on_pin("1 A", "5 A"), "overloaded-fuse"));
    CHECK(has(lamp_on_pin("9.1 A", "20 A"), "overloaded-contact"));
    CHECK_FALSE(has(lamp_on_pin("8.99 A", "20 A"), "overloaded-contact"));
}

}  // namespace pins_test
