// Switches and plugs in the leads of solar panels: what they break and make as long as it is light, what
// stays live when a plug is parted, and panels that never reach the voltage at which their charger begins.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace panel_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A ferry's pack and its charger; `lead` leads from V1 to the charger's panel input.
Results roof(const std::string& lead, const std::string& modes, double open_V = 40,
             const std::string& input = "15..120 V") {
    return check_text(
        "loom 1\nharness \"Chain ferry\" { ambient 25..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 11..14.4 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 60 A }\n"
        "fuse F1 { 60 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }\n"
        "charger G2 { output 14.2 V 50 A, reverse blocked, panel-input " +
        input +
        " }\n"
        "route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.5 m, red) G2.+\n"
        "route G2.- (W3 16 mm2, 0.6 m, black) B1.-\n" +
        fmt::format("panel V1 {{ open-circuit-voltage {} V, short-circuit-current 8 A }}\n", open_V) + lead +
        modes);
}

// 1.25 x 8 A = 10 A, NFPA 70 690.8(A)(1), from memory.
std::string isolator(const std::string& breaks, const std::string& makes = "40 A") {
    return "switch S5 { 150 V dc, carries 20 A, makes " + makes + ", breaks " + breaks +
           " }\nroute V1.+ (W10 6 mm2, 3 m, red) S5 (W11 6 mm2, 0.3 m, red) G2.in+\n"
           "route V1.- (W12 6 mm2, 3 m, black) G2.in-\n";
}
std::string plug(const std::string& half, const std::string& before = "") {
    return "connector J5 { mate P5, half " + half +
           ", contacts + -, carries 25 A, 200 V }\n"
           "route V1.+ (W10 6 mm2, 3 m, red) " +
           before +
           "J5.+ (W11 6 mm2, 1 m, red) G2.in+\nroute G2.in- (W12 6 mm2, 1 m, black) P5.- (W13 6 mm2, 3 m, "
           "black) V1.-\n";
}
const std::string sunny = "mode sunny { others at rest, S5 closed, G2 delivers 20 A }\n";
const std::string parted = "mode sunny { others at rest, J5 mated, G2 delivers 20 A }\n";

}  // namespace

TEST_CASE("a switch in the lead of a panel breaks 1.25 times its short-circuit current") {
    const Results weak = roof(isolator("9.99 A at 150 V dc"), sunny);
    const Finding* finding = finding_of(weak, "breaking-current", "S5");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->working[1] == "10 A = 1.25 x 8 A (short-circuit current of the panels behind it)");
    CHECK_FALSE(finding_of(roof(isolator("10.01 A at 150 V dc"), sunny), "breaking-current"));
    // Two side by side push twice that through it.
    const std::string second =
        "panel V2 { open-circuit-voltage 40 V, short-circuit-current 8 A }\n"
        "route V2.+ (W14 6 mm2, 3 m, red) V1.+\nroute V2.- (W15 6 mm2, 3 m, black) V1.-\n";
    CHECK(finding_of(roof(second + isolator("19.98 A at 150 V dc"), sunny), "breaking-current", "S5"));
    CHECK_FALSE(finding_of(roof(second + isolator("20.02 A at 150 V dc"), sunny), "breaking-current"));
}

TEST_CASE("a link in the lead of a panel may not be what a mode opens under way, nor a plug") {
    const std::string after = "mode dark { after sunny 5 s, others at rest }\n";
    const Results link = roof(isolator("none"), sunny + after);
    CHECK(gravest_of(link, "breaking-current", "S5") == Severity::error);
    CHECK_FALSE(
        finding_of(roof(isolator("none"), sunny + "mode dark { others at rest }\n"), "breaking-current"));
    const std::string pulled = "mode pulled { after sunny 5 s, others at rest, J5 unmated }\n";
    CHECK(gravest_of(roof(plug("socket"), parted + pulled), "breaking-current", "J5.+") == Severity::error);
    // In the dark of an open switch nothing flows through it.
    const std::string isolated =
        "switch S5 { 150 V dc, carries 20 A, makes 40 A, breaks 20 A at 150 V dc }\n" +
        plug("socket", "S5 (W14 6 mm2, 0.3 m, red) ");
    CHECK_FALSE(finding_of(roof(isolated,
                                "mode sunny { others at rest, J5 mated, S5 closed, G2 delivers 20 A }\n"
                                "mode dark { after sunny 5 s, others at rest, J5 mated }\n"
                                "mode pulled { after dark 5 s, others at rest, J5 unmated }\n"),
                           "breaking-current"));
}

TEST_CASE("a switch closes on what panels give") {
    CHECK(gravest_of(roof(isolator("20 A at 150 V dc", "9.99 A"), sunny), "making-current", "S5") ==
          Severity::error);
    CHECK_FALSE(finding_of(roof(isolator("20 A at 150 V dc", "10.01 A"), sunny), "making-current"));
}

TEST_CASE("panels that only a plug or a link parts from their charger are noted") {
    const Finding* finding = nullptr;
    const Results plugged = roof(plug("socket"), parted);
    finding = finding_of(plugged, "no-load-break", "G2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->message ==
          "only J5 cuts charger G2 off from its panels, and cannot break what they drive");
    CHECK(finding_of(roof(isolator("none"), sunny), "no-load-break", "G2"));
    CHECK_FALSE(finding_of(roof(isolator("20 A at 150 V dc"), sunny), "no-load-break"));
}

TEST_CASE("pins that face panels may not stand above the voltage of bare live contacts") {
    // No factor from 25 degC on; 60 V dc by the policy.
    const auto told = [](const std::string& half, double open_V, const std::string& modes) {
        return gravest_of(roof(plug(half), modes, open_V), "live-when-unmated", "J5");
    };
    CHECK(told("pin", 60.06, parted) == Severity::warning);
    CHECK_FALSE(told("pin", 59.94, parted));
    CHECK_FALSE(told("socket", 60.06, parted));
    CHECK(told("pin", 60.06, parted + "mode stored { others at rest, J5 unmated }\n") == Severity::error);
    const Results isolated =
        roof("switch S5 { 150 V dc, carries 20 A, makes 40 A, breaks 20 A at 150 V dc }\n" +
                 plug("pin", "S5 (W14 6 mm2, 0.3 m, red) "),
             "mode sunny { others at rest, J5 mated, S5 closed, G2 delivers 20 A }\n"
             "mode stored { others at rest, J5 unmated }\n",
             80);
    CHECK_FALSE(finding_of(isolated, "live-when-unmated"));
}

TEST_CASE("panels reach the voltage at which the panel input begins, open and at 25 degC") {
    const auto told = [](double open_V, const std::string& more = "") {
        return gravest_of(
            roof(more + "route V1.+ (W10 6 mm2, 3 m, red) G2.in+\nroute V1.- (W11 6 mm2, 3 m) G2.in-\n",
                 "mode sunny { others at rest, G2 delivers 20 A }\n", open_V, "50..120 V"),
            "panel-voltage", "G2");
    };
    CHECK(told(49.95) == Severity::warning);
    CHECK_FALSE(told(50.05));
    // A higher one beside it begins.
    CHECK_FALSE(told(49.95,
                     "panel V2 { open-circuit-voltage 50.05 V, short-circuit-current 8 A }\n"
                     "route V2.+ (W14 6 mm2, 3 m, red) V1.+\nroute V2.- (W15 6 mm2, 3 m, black) V1.-\n"));
}

TEST_CASE("what a switch of panels has to break and make is asked for where nobody says what it does") {
    const Results asks = roof(isolator("unknown"), sunny);
    const Finding* finding = finding_of(asks, "missing-data", "S5");
    REQUIRE(finding);
    CHECK(finding->requirement == "break 10 A at 40 V dc");
    CHECK(
        finding_of(roof(isolator("20 A at 150 V dc", "unknown"), sunny), "missing-data", "S5")->requirement ==
        "make 10 A");
}

}  // namespace panel_contacts_test
