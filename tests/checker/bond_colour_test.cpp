// Green-yellow wires: what counts as bond, and from what current on a wire or a frame that should carry none
// does.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace bond_colour_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A barn light of so much current; `more` hangs on its minus bar X2 and on the frame X9.
Results barn(const std::string& more, const std::string& serves = "bond") {
    return check_text(
        "loom 1\nharness \"Barn light\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 24..24.2 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }\n"
        "fuse F1 { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
        "busbar X1 { studs 9, carries 100 A }\nbusbar X2 { studs 9, carries 100 A }\n"
        "frame X9 { serves " +
        serves +
        " }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m, red) F1 (W2 2.5 mm2, 0.1 m, red) X1.1\n"
        "route B1.- (W3 2.5 mm2, 0.1 m, black) X2.1\n" +
        more + "mode on { others at rest }\n");
}
std::string lamp(const std::string& amperes, const std::string& home) {
    return "load E1 { 24 V, " + amperes +
           ", acts-as current, works 18..32 V }\nroute X1.2 (W4 2.5 mm2, 0.1 m, red) " +
           "E1 (W5 2.5 mm2, 0.1 m, " + home + "\n";
}
std::string why(const Results& results, std::string_view wire) {
    const Finding* finding = finding_of(results, "bond-colour", wire);
    return finding ? finding->beside : "";
}

}  // namespace

TEST_CASE("a green-yellow wire from the minus to a frame that bonds is one, by either order of its colours") {
    for (const std::string colour : {"green-yellow", "yellow-green"}) {
        CHECK(why(barn("route X2.3 (W6 2.5 mm2, 0.1 m, " + colour + ") X9\n"), "W6").empty());
        CHECK(why(barn("route X2.3 (W6 2.5 mm2, 0.1 m, " + colour + ") X9\n", "return"), "W6") ==
              "it leads to no frame that serves as bond");
        CHECK(why(barn(lamp("1 A", colour + ") X2.2")), "W5") == "1 A flow in it");
    }
    CHECK(why(barn("route X2.3 (W6 2.5 mm2, 0.1 m, green) X9\n", "return"), "W6").empty());
    CHECK(why(barn("route X2.3 (W6 2.5 mm2, 0.1 m, yellow) X9\n", "return"), "W6").empty());
    CHECK(why(barn("route X2.3 (W6 2.5 mm2, 0.1 m, green-red) X9\n", "return"), "W6").empty());
    CHECK(why(barn("route X2.3 (W6 2.5 mm2, 0.1 m, yellow-red) X9\n", "return"), "W6").empty());
}

TEST_CASE("a plus in green-yellow is told as one though nothing flows in it") {
    CHECK(why(barn("switch S1 { 32 V dc, carries 20 A, breaks 10 A at 32 V dc, spare out }\n"
                   "route X1.3 (W6 2.5 mm2, 0.1 m, green-yellow) S1.in\n"),
              "W6") == "a source's plus reaches it");
}

TEST_CASE("the way to the frame may go on over green-yellow wires, plugs and joints, over no other wire") {
    const std::string plug =
        "connector J1 { mate P1, half socket, contacts 2, 80 V, carries 40 A, takes 1..10 mm2, rated-at 30 "
        "degC\n"
        "  limit 105 degC, spare 2 }\n";
    const auto way = [&](const std::string& second) {
        return why(barn(plug + "route X2.3 (W6 2.5 mm2, 0.1 m, green-yellow) J1.1 (W7 2.5 mm2, 0.1 m, " +
                        second + ") X9\n"),
                   "W6");
    };
    CHECK(way("green-yellow").empty());
    CHECK(way("black") == "it leads to no frame that serves as bond");
    CHECK(why(barn("stud X5\nroute X2.3 (W6 2.5 mm2, 0.1 m, green-yellow) X5 (direct) X9\n"), "W6").empty());
}

TEST_CASE("a bond may carry ten milliamperes of leakage and no more") {
    const auto leaks = [](const std::string& amperes) {
        return barn(lamp(amperes, "green-yellow) X9") + "route X9 (W6 2.5 mm2, 0.1 m, green-yellow) X2.2\n");
    };
    const Results little = leaks("9.99 mA");
    CHECK_FALSE(finding_of(little, "bond-current"));
    CHECK_FALSE(finding_of(little, "bond-colour"));
    const Results much = leaks("10.01 mA");
    for (const std::string wire : {"W5", "W6"}) {
        CHECK(gravest_of(much, "bond-current", wire) == Severity::error);
        CHECK(gravest_of(much, "bond-colour", wire) == Severity::warning);
    }
}

TEST_CASE("a current in a bond is told with the mode in which it is the largest") {
    const std::string modes =
        "controller U1 { input 18..32 V, capacitance 20 uF, supply-limit 9 A, phase-peak 20 A, regen none, "
        "spare U V "
        "W }\n"
        "route X1.2 (W4 2.5 mm2, 0.1 m, red) U1.+\nroute U1.- (W5 2.5 mm2, 0.1 m, black) X9\n"
        "route X9 (W6 2.5 mm2, 0.1 m) X2.2\n"
        "mode slow { U1 draws 1 A, others at rest }\nmode fast { U1 draws 3 A, others at rest }\n"
        "mode walk { U1 draws 2 A, others at rest }\n";
    const Results results = barn(modes);
    const Finding* finding = finding_of(results, "bond-current", "W5");
    REQUIRE(finding);
    CHECK(figure(*finding, "current") == Approx(3).epsilon(0.001));
    CHECK(results.harness->modes[finding->mode.index()].name == "fast");
}

}  // namespace bond_colour_test
