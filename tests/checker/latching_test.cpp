// A latching contactor holds without its coil, and nothing counts on its coil being dead.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace latching_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// The example, its contactor latching or not, closed in a mode in which its coil is dead.
Results held_without_supply(const std::string& attributes) {
    std::string text = replaced(std::string(example_harness), "suppression diode\n}",
                                "suppression diode" + attributes + "\n}");
    return check_text(replaced(text, "K1 S1 closed, U1 draws 35 A", "K1 closed, U1 draws 35 A"));
}

}  // namespace

TEST_CASE("a latching contactor is closed in a mode without coil current, another one contradicts it") {
    CHECK(finding_of(held_without_supply(""), "mode-contradicts") != nullptr);
    for (const char* word : {", latching", ", latching yes"}) {
        const Results results = held_without_supply(word);
        CHECK(finding_of(results, "mode-contradicts") == nullptr);
        CHECK(finding_of(results, "coil-voltage") == nullptr);
        CHECK(found(results, Severity::error).empty());
        // It carries what the mode says: the numbers of the mode are there.
        for (const OperatingPoint& point : results.points) CHECK(point.usable());
    }
    CHECK(finding_of(held_without_supply(", latching no"), "mode-contradicts") != nullptr);
}

TEST_CASE("the coil of a latching contactor is judged where it has a pulse") {
    const auto with = [](const std::string& works) {
        return check_text(replaced(std::string(example_harness), "coil-works 30..60 V, suppression diode",
                                   works + ", suppression diode, latching"));
    };
    // 39..54.6 V in mode drive, which closes S1 before the coil.
    CHECK(finding_of(with("coil-works 30..60 V"), "coil-voltage") == nullptr);
    CHECK(finding_of(with("coil-works 45..60 V"), "coil-voltage") != nullptr);
    CHECK(finding_of(with("coil-works 30..50 V"), "coil-voltage") != nullptr);
}

TEST_CASE(
    "a latching contactor alone before a controller stays latched, one behind an open switch does not") {
    const std::string latching =
        replaced(std::string(example_harness), "suppression diode\n}", "suppression diode, latching\n}");
    const Results alone = check_text(latching);
    const Finding* finding = finding_of(alone, "stays-latched", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message ==
          "contactor K1 stays closed when its coil loses its supply, and U1 stays on the pack");
    std::string behind = replaced(latching, "splice X1\n",
                                  "splice X1\nswitch S9 { 80 V dc, carries 100 A, makes 60 A, breaks 100 A "
                                  "at 60 V dc }\n");
    behind = replaced(behind, "K1 (W3 16 mm2, 0.8 m, red) J1.1",
                      "K1 (W3 16 mm2, 0.8 m, red) S9 (W30 16 mm2, 0.1 m, red) J1.1");
    CHECK(finding_of(check_text(behind), "stays-latched") == nullptr);
    CHECK(finding_of(check_text(std::string(example_harness)), "stays-latched") == nullptr);
}

TEST_CASE("a lamp across the coil holds a contactor in, and is nothing to a latching one") {
    const auto with = [](const std::string& latching) {
        return check_text(replaced(
            std::string(example_harness), "splice X1\n",
            "splice X1\nswitch S8 { 80 V dc, carries 6 A, makes 10 A, breaks 2 A at 60 V dc }\n"
            "contactor K2 { carries 20 A, makes 20 A, breaks 20 A at 60 V dc\n"
            "  coil 48 V 200 mA, coil-works 30..60 V, suppression varistor" +
                latching +
                " }\n"
                "load H9 { 48 V, 20 W, acts-as power, works 30..60 V }\n"
                "route F1.out (W60 2.5 mm2, 0.3 m, red) K2 (W61 2.5 mm2, 0.3 m, red) H9 (W62 2.5 mm2, 1 m, "
                "black) Q1.P-\n"
                "route F1.out (W63 1 mm2, 0.3 m, red) S8 (W64 1 mm2, 0.3 m, red) K2.A1\n"
                "route K2.A2 (W65 1 mm2, 0.3 m, black) Q1.P-\n"
                "route K2.out (W66 1 mm2, 0.3 m, red) K2.A1\n"
                "mode held { others at rest, S8 closed, K2 closed }\n"));
    };
    CHECK(finding_of(with(""), "held-coil", "K2") != nullptr);
    const Results latching = with(", latching");
    CHECK(finding_of(latching, "held-coil", "K2") == nullptr);
    CHECK(finding_of(latching, "stays-latched", "K2") != nullptr);
}

TEST_CASE("a latching contactor is no way to break a load where all else is a plug or a link") {
    const std::string latching =
        replaced(std::string(example_harness), "suppression diode\n}", "suppression diode, latching\n}");
    const auto with = [&](const std::string& breaks) {
        return check_text(
            replaced(replaced(replaced(latching, "splice X1\n",
                                       "splice X1\nswitch S9 { 80 V dc, carries 100 A, makes 60 A, breaks " +
                                           breaks + " }\n"),
                              "K1 (W3 16 mm2, 0.8 m, red) J1.1",
                              "K1 (W3 16 mm2, 0.8 m, red) S9 (W30 16 mm2, 0.1 m, red) J1.1"),
                     "after ready 3 s, K1 S1 closed", "after ready 3 s, K1 S1 S9 closed"));
    };
    const Results link = with("none");
    const Finding* finding = finding_of(link, "no-load-break", "U1");
    REQUIRE(finding);
    CHECK(finding->message.find(", and none opens its current without a supply") != std::string::npos);
    CHECK_FALSE(finding_of(with("100 A at 60 V dc"), "no-load-break"));
    // One that lets go by itself counts.
    CHECK_FALSE(finding_of(check_text(std::string(example_harness)), "no-load-break"));
}

TEST_CASE("a mode that counts on a latching contactor to open when its coil loses its voltage is told") {
    const auto struck = [](const std::string& latching, const std::string& before) {
        return check_text(replaced(
            std::string(example_harness), "splice X1\n",
            "splice X1\nswitch S17 { 80 V dc, carries 100 A, makes 60 A, breaks 100 A at 60 V dc }\n"
            "switch S18 { 80 V dc, carries 6 A, makes 10 A, breaks 2 A at 60 V dc, rest closed }\n"
            "contactor K2 { carries 20 A, makes 20 A, breaks 20 A at 60 V dc\n"
            "  coil 48 V 200 mA, coil-works 30..60 V, suppression varistor" +
                latching +
                " }\n"
                "load H9 { 48 V, 20 W, acts-as power, works 30..60 V }\n"
                "route F1.out (W60 2.5 mm2, 0.3 m, red) S17 (W67 2.5 mm2, 0.1 m, red) K2 (W61 2.5 mm2, 0.3 "
                "m, "
                "red) H9 (W62 2.5 mm2, 1 m, black) Q1.P-\n"
                "route F1.out (W63 1 mm2, 0.3 m, red) S18 (W64 1 mm2, 0.3 m, red) K2.A1\n"
                "route K2.A2 (W65 1 mm2, 0.3 m, black) Q1.P-\n"
                "mode saw { others at rest, S17 K2 closed, S18 " +
                before + " }\nmode struck { after saw 5 s, S17 closed, S18 open, others at rest }\n"));
    };
    const Results results = struck(", latching", "closed");
    const Finding* finding = finding_of(results, "stays-latched", "K2");
    REQUIRE(finding);
    CHECK(finding->message ==
          "contactor K2 does not open in mode struck: it latches, and its coil gets no pulse there");
    CHECK(finding_of(struck("", "closed"), "stays-latched") == nullptr);
    // A coil without voltage before: a pulse may have come between.
    CHECK(finding_of(struck(", latching", "open"), "stays-latched") == nullptr);
}

}  // namespace latching_test
