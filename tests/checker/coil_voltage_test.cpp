// Where a coil that says at what it works is out of it, and where one that does not say is: both ends, and
// from where on it is sure.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace coil_voltage_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Sluice {
    double empty_V = 48, full_V = 48;
    std::string coil = "coil 48 V 100 mA, suppression diode";
    std::string mode = "K1 closed";

    Results check() const {
        return check_text(fmt::format(
            "loom 1\nharness \"Sluice\" {{ ambient 5..30 degC, insulation xlpe 90 degC }}\n"
            "pack B1 {{ voltage {}..{} V, resistance 2 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }}\n"
            "fuse F1 {{ 30 A, 125 V dc, breaks 50 kA at 125 V dc, curve iso8820-5 }}\n"
            "contactor K1 {{ carries 60 A, makes 60 A, breaks 60 A at 125 V dc, {} }}\n"
            "load E1 {{ 48 V, 1 A, acts-as current, works 1..120 V }}\nbusbar X1 {{ studs 9, carries 100 A "
            "}}\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) X1.1\n"
            "route X1.2 (W3 4 mm2, 0.1 m, red) K1 (W4 4 mm2, 0.1 m, red) E1 (W5 4 mm2, 0.1 m, black) B1.-\n"
            "route X1.3 (direct) K1.A1\nroute K1.A2 (direct) B1.-\n"
            "mode off {{ others at rest }}\nmode on {{ {}, others at rest }}\n",
            empty_V, full_V, coil, mode));
    }
};

// "possible" or "sure", and what becomes of the coil; empty: nothing is said.
std::string said(const Sluice& sluice) {
    const Results results = sluice.check();
    const Finding* finding = finding_of(results, "coil-voltage", "K1");
    if (!finding) return {};
    return (finding->possible ? "possible: " : "sure: ") + finding->message;
}
std::string at(double volts) {
    return said({.empty_V = volts, .full_V = volts});
}
const std::string lets_go = "the coil of contactor K1 may let go",
                  too_much = "the coil of contactor K1 gets more than it stands";

}  // namespace

TEST_CASE("a coil that does not say at what it works is taken to work at 85..110 % of its rated voltage") {
    // 0.85 x 48 V = 40.8 V, 1.1 x 48 V = 52.8 V.
    CHECK(at(40.85).empty());
    CHECK(at(40.75) == "possible: " + lets_go);
    CHECK(at(52.75).empty());
    CHECK(at(52.85) == "possible: " + too_much);
}

TEST_CASE(
    "below half of its rated voltage a coil lets go and above 1.6 of it burns, whatever it does not say") {
    CHECK(at(24.05) == "possible: " + lets_go);
    CHECK(at(23.95) == "sure: " + lets_go);
    CHECK(at(76.7) == "possible: " + too_much);
    CHECK(at(76.9) == "sure: " + too_much);
}

TEST_CASE("of a coil that gets too little and too much the one is told that is sure") {
    CHECK(said({.empty_V = 40, .full_V = 76.7}) == "possible: " + lets_go);
    CHECK(said({.empty_V = 40, .full_V = 76.9}) == "sure: " + too_much);
    // One that says where it works is told of what comes first.
    const std::string stated = "coil 48 V 100 mA, coil-works 42..60 V, suppression diode";
    CHECK(said({.empty_V = 40, .full_V = 80, .coil = stated}) == "sure: " + lets_go);
    CHECK(said({.empty_V = 42.04, .full_V = 59.95, .coil = stated}).empty());
    CHECK(said({.empty_V = 41.96, .full_V = 59.95, .coil = stated}) == "sure: " + lets_go);
    CHECK(said({.empty_V = 42.04, .full_V = 60.05, .coil = stated}) == "sure: " + too_much);
}

TEST_CASE(
    "a latching coil is held to its voltage only where it has a pulse, from a tenth of its voltage on") {
    const auto behind = [](double volts, const std::string& more) {
        return said({.empty_V = volts,
                     .full_V = volts,
                     .coil = "coil 48 V 100 mA, suppression diode, coil-works 40..60 V" + more});
    };
    CHECK(behind(4.75, ", latching").empty());
    CHECK(behind(4.85, ", latching") == "sure: the coil of contactor K1 may not put it over");
    CHECK(behind(60.1, ", latching") == "sure: " + too_much);
}

TEST_CASE("a coil that a mode leaves at rest is held to nothing") {
    CHECK(said({.empty_V = 20, .full_V = 90, .mode = "K1 open"}).empty());
}

}  // namespace coil_voltage_test
