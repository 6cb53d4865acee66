// Loads with a switch of their own, which rest switched off.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace resting_loads_test {

using namespace loomward;

namespace {

const std::string begins =
    "loom 1\nharness \"Milking stool\" { ambient 5..35 degC }\n"
    "pack B1 { voltage 10..14 V, resistance 9 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }\n"
    "load E1 \"reading lamp\" { 12 V, 5 W, rest off }\nload E2 { 12 V, 5 W }\nload E3 { 12 V, 5 W, rest on "
    "}\n"
    "route B1.+ (W1 1 mm2, 1 m) E1 (W2 1 mm2, 1 m) B1.-\n"
    "route B1.+ (W3 1 mm2, 1 m) E2 (W4 1 mm2, 1 m) B1.-\n"
    "route B1.+ (W5 1 mm2, 1 m) E3 (W6 1 mm2, 1 m) B1.-\n";

// "off on on": E1, E2 and E3 in that mode, or the mistakes.
std::string states(const std::string& modes, std::string_view mode) {
    const ReadResult read = read_test(begins + modes);
    if (!read.harness) return mistakes_of(read);
    for (const Mode& each : read.harness->modes) {
        if (each.name != mode) continue;
        std::string text;
        for (const char* load : {"E1", "E2", "E3"}) {
            const State& state = each.states[read.harness->find_part(load)->index()];
            text += (text.empty() ? "" : " ") + std::string(state.posture == Posture::off ? "off" : "on");
            if (state.profile >= 0) text += "+";
        }
        return text;
    }
    return "no such mode";
}

}  // namespace

TEST_CASE("a load that rests off is off with the others at rest, and on where a mode says so") {
    CHECK(states("mode night { others at rest }\n", "night") == "off on on");
    CHECK(states("mode read { E1 on, others at rest }\n", "read") == "on on on");
    CHECK(states("mode read { E1 draws 4 W, others at rest }\n", "read") == "on+ on on");
    CHECK(states("mode read { E1 on }\nmode night { like read, E1 at rest, E2 off }\n", "night") ==
          "off off on");
    CHECK(states("mode read { E1 on }\nmode later { like read }\n", "later") == "on on on");
}

TEST_CASE("a mode has to place a load that rests off, as it has to place a switch") {
    CHECK(
        states("mode night { E2 off }\n", "night") ==
        "10:6+5 mode night does not say what E1 does [mode-silent] | add a line for each, begin with 'like' "
        "another mode, or end with: others at rest\n");
}

TEST_CASE("of the modes that the program makes only those with something on have it on") {
    CHECK(states("", "at rest") == "off on on");
    CHECK(states("", "everything on") == "on on on");
}

TEST_CASE("a load rests on or off, a switch open or closed") {
    CHECK(
        mistakes_of(read_test(begins + "load E4 { 12 V, 5 W, rest open }\nroute B1.+ (W7) E4 (W8) B1.-\n")) ==
        "10:27+4 'rest' cannot be 'open' [unknown-word] | it is one of on, off\n");
    CHECK(
        mistakes_of(read_test(begins + "switch S1 { 24 V dc, rest off }\nroute B1.+ (W7) S1 (W8) E2.+\n")) ==
        "10:27+3 'rest' cannot be 'off' [unknown-word] | it is one of open, closed\n");
}

}  // namespace resting_loads_test
