// Loads that a mode calls on where nothing feeds them.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace dead_loads_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two lamps behind S1; `also` goes on behind E1's own statement.
Results hive(const std::string& modes, const std::string& also = {}) {
    return check_text(
        "loom 1\nharness \"beehive scale\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 11..14 V, resistance 20..30 mohm, capacity 10 Ah, discharge 20 A, charge 5 A }\n"
        "fuse F1 { 5 A, 58 V dc, breaks 2 kA at 58 V dc, curve iso8820-3 }\n"
        "switch S1 { 32 V dc, carries 10 A, breaks 10 A at 32 V dc }\n"
        "load E1 { 12 V, 5 W, works 9..16 V" +
        also +
        " }\nload E2 { 12 V, 3 W, works 9..16 V }\n"
        "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 1 mm2, 0.5 m, red) S1 (W3 1 mm2, 0.5 m, red) E1 (W4 1 "
        "mm2, "
        "0.5 m, black) B1.-\nroute E1.+ (W5 1 mm2, 0.5 m, red) E2 (W6 1 mm2, 0.5 m, black) B1.-\n" +
        modes);
}

const Finding* dead(const Results& results) {
    return finding_of(results, "mode-contradicts");
}

}  // namespace

TEST_CASE("a load that a mode calls on has to be fed there") {
    const Results results = hive("mode off { others at rest }\nmode weigh { S1 open, E1 on }\n");
    const Finding* finding = dead(results);
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "mode weigh contradicts the wiring of load E1");
    CHECK(finding->beside == "said to be on, but nothing feeds it: 0 V");
    CHECK_FALSE(dead(hive("mode off { others at rest }\nmode weigh { S1 closed, E1 on }\n")));
}

TEST_CASE("a load whose draw a mode states has to be fed there, unless it draws nothing") {
    const Results results = hive("mode weigh { S1 open, E1 draws 4 W }\n");
    REQUIRE(dead(results));
    CHECK(dead(results)->beside == "said to draw, but nothing feeds it: 0 V");
    CHECK_FALSE(dead(hive("mode weigh { S1 closed, E1 draws 4 W }\n")));
    CHECK_FALSE(dead(hive("mode weigh { S1 open, E1 draws 0 W }\n")));
}

TEST_CASE("a load that no line names, or that is off, may be without a feed") {
    CHECK_FALSE(dead(hive("mode off { others at rest }\n")));
    CHECK_FALSE(dead(hive("mode off { S1 open, E1 off }\n")));
    CHECK_FALSE(dead(hive("mode off { others at rest }\n", ", rest off")));
    CHECK_FALSE(dead(hive("")));
    CHECK(dead(hive("mode weigh { S1 open, E1 on }\n", ", rest off")));
}

TEST_CASE("a mode that is like one with a load on has it on too") {
    const Results results = hive("mode weigh { S1 closed, E1 on }\nmode off { like weigh, S1 open }\n");
    REQUIRE(dead(results));
    CHECK(dead(results)->message == "mode off contradicts the wiring of load E1");
}

TEST_CASE("what a dead load leaves of its mode is judged all the same") {
    // E3 draws 8 A behind a 5 A fuse, and E1 is called on behind an open switch.
    const Results results = hive(
        "load E3 { 12 V, 8 A, acts-as current, works 9..16 V }\n"
        "route F1.out (W7 1 mm2, 0.5 m, red) E3 (W8 1 mm2, 0.5 m, black) B1.-\nmode weigh { S1 open, E1 on "
        "}\n");
    CHECK(dead(results));
    CHECK(gravest_of(results, "overloaded-fuse", "F1") == Severity::error);
}

TEST_CASE("what resting off means reaches the figures: its draw is in no mode that leaves it off") {
    const auto drawn_A = [](const std::string& also) {
        const Results results = hive("mode all { S1 closed, others at rest }\n", also);
        const EdgeId wire = results.circuit.edge_of_wire[0];
        return std::abs(results.points.front().edge_A[wire.index()]);
    };
    CHECK(drawn_A(", rest off") < 0.5 * drawn_A(""));
}

}  // namespace dead_loads_test
