// Capacitors that stay charged when they are cut off: from what energy and time on, and what counts as
// draining them.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <optional>

#include "tests/checker/checking.hpp"

namespace left_charged_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A store of 100 V behind a switch. `limit_V` 60 V: ln(100 / 60) = 0.51083 time constants away, 40 V below.
struct Kiln {
    std::string store = "capacitor C1 { 1 mF, 160 V }";
    std::string more = {};  // what lies beside it
    std::string modes = "mode off { others at rest }\nmode on { S1 closed, others at rest }\n";

    Results check() const {
        return check_text(fmt::format(
            "loom 1\nharness \"Kiln cart\" {{ ambient 5..30 degC, insulation xlpe 90 degC }}\n"
            "pack B1 {{ voltage 99.999..100 V, resistance 5 mohm, capacity 40 Ah, discharge 60 A, charge 20 "
            "A "
            "}}\n"
            "fuse F1 {{ 30 A, 160 V dc, breaks 50 kA at 160 V dc, curve iso8820-5 }}\n"
            "switch S1 {{ 160 V dc, carries 60 A, makes 40 kA, breaks 60 A at 160 V dc }}\n"
            "busbar X1 {{ studs 9, carries 100 A }}\nbusbar X2 {{ studs 9, carries 100 A }}\n"
            "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.1 m, red) S1 (W3 6 mm2, 0.1 m, red) X1.1\n"
            "route B1.- (W4 6 mm2, 0.1 m, black) X2.1\n"
            "{}\nroute X1.2 (W5 6 mm2, 0.1 m, red) C1.+\nroute C1.- (W6 6 mm2, 0.1 m, black) X2.2\n{}{}",
            store, more, modes));
    }
    std::optional<Severity> said() const { return gravest_of(check(), "charged-after-opening", "C1"); }
};
std::string bleed(double ohm) {
    return fmt::format("resistor R1 {{ {} ohm, 20 W }}\nroute X1.3 (direct) R1 (direct) X2.3\n", ohm);
}
const std::string plug =
    "connector J1 { mate P1, half socket, contacts 2, 160 V, carries 40 A, takes 1..10 mm2, rated-at 30 "
    "degC\n"
    "  limit 105 degC }\nload E1 { 100 V, 1 A, acts-as current, works 1..160 V }\n"
    "route X1.4 (W10 4 mm2, 0.1 m, red) J1.1 (W11 4 mm2, 0.1 m, red) E1 (W12 4 mm2, 0.1 m, black) P1.2\n"
    "route J1.2 (W13 4 mm2, 0.1 m, black) X2.4\n";
const std::string pulled =
    "mode on { S1 closed, others at rest }\n"
    "mode off { J1 unmated, after on 1 s, others at rest }\n";

}  // namespace

TEST_CASE("below a fifth of a joule it does not matter how long capacitors stay charged") {
    // 0.2 J at 100 V is 40 uF.
    CHECK_FALSE(Kiln{.store = "capacitor C1 { 39.96 uF, 160 V }"}.said());
    CHECK(Kiln{.store = "capacitor C1 { 40.04 uF, 160 V }"}.said() == Severity::warning);
}

TEST_CASE("out of reach capacitors have five seconds to fall to 60 V") {
    // 1 mF x R x ln(100 / 60) is 5 s at 9788 ohm.
    CHECK_FALSE(Kiln{.more = bleed(9778)}.said());
    CHECK(Kiln{.more = bleed(9798)}.said() == Severity::warning);
}

TEST_CASE("where a plug that is pulled shows them they have one second") {
    // 1 s at 1958 ohm.
    CHECK_FALSE(Kiln{.more = bleed(1955) + plug, .modes = pulled}.said());
    CHECK(Kiln{.more = bleed(1961) + plug, .modes = pulled}.said() == Severity::error);
    // Whichever half of it they lie on.
    const std::string turned = replaced(replaced(plug, "J1.1 (", "P1.1 ("), "P1.2\n", "J1.2\n");
    CHECK(Kiln{.more = bleed(1961) + replaced(turned, "route J1.2", "route P1.2"), .modes = pulled}.said() ==
          Severity::error);
    // With the plug in place they have five.
    const std::string still =
        "mode on { S1 closed, others at rest }\nmode off { after on 1 s, others at rest }\n";
    CHECK_FALSE(Kiln{.more = bleed(1961) + plug, .modes = still}.said());
}

TEST_CASE("where one mode shows them by a plug and another only cuts them off, the plug is told") {
    const std::string on = "mode on { S1 closed, others at rest }\n",
                      shown = "mode pulled { J1 unmated, after on 1 s, others at rest }\n",
                      cut = "mode cut { after on 1 s, others at rest }\n";
    CHECK(Kiln{.more = bleed(9798) + plug, .modes = on + shown + cut}.said() == Severity::error);
    CHECK(Kiln{.more = bleed(9798) + plug, .modes = on + cut + shown}.said() == Severity::error);
    CHECK(Kiln{.more = bleed(9798) + plug, .modes = on + cut}.said() == Severity::warning);
}

TEST_CASE("of several modes that cut them off the one in which they stay charged longest is told") {
    const std::string more = bleed(50000) +
                             "resistor R2 { 16 kohm, 20 W }\n"
                             "switch S2 { 160 V dc, carries 9 A, breaks 9 A at 160 V dc }\n"
                             "route X1.5 (direct) R2 (direct) S2 (direct) X2.5\n";
    const std::string on = "mode on { S1 S2 closed, others at rest }\n",
                      brief = "mode brief { S2 closed, after on 1 s, others at rest }\n",
                      lasting = "mode lasting { after on 1 s, others at rest }\n";
    for (const std::string& modes : {on + brief + lasting, on + lasting + brief}) {
        const Results results = Kiln{.more = more, .modes = modes}.check();
        const Finding* finding = finding_of(results, "charged-after-opening", "C1");
        REQUIRE(finding);
        // 50 s x ln(100 / 60); with both resistors it would be 6.2 s.
        CHECK(figure(*finding, "needed") == Approx(25.54).epsilon(0.001));
        CHECK(results.harness->modes[finding->mode.index()].name == "lasting");
    }
}

TEST_CASE("the standby of what works down to 60 V drains them, all that lie together") {
    // (100 - 60) V x 1 mF in 5 s is 8 mA.
    const auto drained = [](const std::string& input, const std::string& standby,
                            const std::string& more = "") {
        return Kiln{.store =
                        "controller C1 { capacitance 1 mF, regen none, supply-limit 20 A, phase-peak 40 A, "
                        "spare U V W, input " +
                        input + " V, standby " + standby + " mA }",
                    .more = more}
            .said();
    };
    CHECK_FALSE(drained("40..160", "8.01"));
    CHECK(drained("40..160", "7.99") == Severity::warning);
    // It stops to draw where it stops to work.
    CHECK_FALSE(drained("60..160", "8.01"));
    CHECK(drained("60.1..160", "8.01") == Severity::warning);
    // What lies beside it has to be drained as well.
    const std::string beside = "capacitor C2 { 0.25 mF, 160 V }\nroute X1.5 (direct) C2 (direct) X2.5\n";
    CHECK_FALSE(drained("40..160", "10.01", beside));
    CHECK(drained("40..160", "9.99", beside) == Severity::warning);
}

}  // namespace left_charged_test
