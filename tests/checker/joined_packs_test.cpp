// Packs side by side: of different voltage, charged unequally, with no fuse between.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace joined_packs_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

constexpr std::string_view two_banks = R"(loom 1
harness "Two banks" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 { voltage 21..28 V, resistance 10 mohm, capacity 100 Ah, discharge 100 A, charge 50 A }
pack B2 { voltage 21..28 V, resistance 10 mohm, capacity 100 Ah, discharge 100 A, charge 50 A }
fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5, resistance 1 mohm }
fuse F2 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5, resistance 1 mohm }
switch S1 { 80 V dc, carries 100 A, makes 200 A, breaks 60 A at 80 V dc }
switch S2 { 80 V dc, carries 100 A, makes 200 A, breaks 60 A at 80 V dc }
load E1 { 24 V, 20 A }
stud X1
stud X2
route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.2 m) S1 (W3 16 mm2, 0.2 m) X1
route B2.+ (W4 16 mm2, 0.1 m) F2 (W5 16 mm2, 0.2 m) S2 (W6 16 mm2, 0.2 m) X1
route X1 (W7 16 mm2, 0.2 m) E1 (W8 16 mm2, 0.2 m) X2
route B1.- (W9 16 mm2, 0.1 m) X2
route B2.- (W10 16 mm2, 0.1 m) X2
mode off { others at rest }
mode one { S1 closed, S2 open }
)";

const Finding* only(const Results& results, std::string_view rule) {
    const Finding* found = nullptr;
    for (const Finding& finding : results.findings) {
        if (finding.rule != rule) continue;
        CHECK(found == nullptr);
        found = &finding;
    }
    return found;
}

std::string path_of(const Finding& finding) {
    std::string path;
    for (const Step& step : finding.witness) path += (path.empty() ? "" : " > ") + step.name;
    return path;
}

}  // namespace

TEST_CASE("packs of one voltage with a fuse each, never joined, pass") {
    const Results results = check_text(std::string(two_banks));
    CHECK(only(results, "joined-packs") == nullptr);
    CHECK(only(results, "no-fuse-between-packs") == nullptr);
}

TEST_CASE("a mode that joins packs of one voltage gives a note on what may flow when one is full") {
    const Results results = check_text(std::string(two_banks) + "mode both { S1 S2 closed }\n");
    const Finding* finding = only(results, "joined-packs");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->subject == "B2");
    CHECK(path_of(*finding) ==
          "B1.+ > W1 > F1 > W2 > S1 > W3 > W6 > S2 > W5 > F2 > W4 > B2 > W10 > W9 > B1.-");
    // 28 V - 21 V = 7 V over two packs of 10 mohm, two fuses of 1 mohm and 1.2 m of 16 mm2 (17.24 mohm
    // mm2/m, 1.29 mohm); contacts and joints that nobody measured count as none for the largest current: 7 V
    // / 23.3 mohm.
    REQUIRE(finding->figures.size() == 1);
    CHECK(finding->figures.front().value == Approx(7 / (0.022 + 1.2 * 0.01724 / 16)).epsilon(0.002));
}

TEST_CASE("a pack that empties into another over the one diode that is left is told") {
    // Of two isolating diodes before the common stud the second is left out: B1 feeds B2 and what hangs
    // there.
    const auto over = [](const std::string& first, const std::string& second) {
        std::string text = replaced(std::string(two_banks), "S1 (W3 16 mm2, 0.2 m) X1",
                                    "S1 (W3 16 mm2, 0.2 m) " + first + "X1");
        text = replaced(text, "S2 (W6 16 mm2, 0.2 m) X1", "S2 (W6 16 mm2, 0.2 m) " + second + "X1");
        for (const std::string name : {"E7", "E8"})
            if ((first + second).find(name) != std::string::npos)
                text += "diode " + name + " { 120 A, 100 V, drop 0.6 V }\n";
        return check_text(text + "mode both { S1 S2 closed }\n");
    };
    const Results one = over("E7 (W11 16 mm2, 0.2 m) ", "");
    const Finding* finding = only(one, "joined-packs");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "pack B1 empties into pack B2 over a diode");
    const Results other = over("", "E8 (W12 16 mm2, 0.2 m) ");
    finding = only(other, "joined-packs");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "pack B2 empties into pack B1 over a diode");
    CHECK(only(over("E7 (W11 16 mm2, 0.2 m) ", "E8 (W12 16 mm2, 0.2 m) "), "joined-packs") == nullptr);
}

TEST_CASE("packs whose voltages cannot meet are an error where one move joins them") {
    const std::string text =
        replaced(std::string(two_banks), "pack B2 { voltage 21..28 V", "pack B2 { voltage 40..54.6 V");
    const Results results = check_text(text);
    const Finding* finding = only(results, "joined-packs");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->subject == "S2");
    CHECK(finding->message == "one move of switch S2 joins pack B2 and pack B1");
    CHECK(finding->beside == "B2 has 40 V to 54.6 V, B1 has 21 V to 28 V");
    CHECK(finding->working.back() == "B2 charges B1 beyond the 28 V at which it is full");
    // With nothing but modes in which both are open it takes two moves, and nothing is said.
    CHECK(only(check_text(replaced(text, "S1 closed, S2 open", "S1 open, S2 open")), "joined-packs") ==
          nullptr);
}

TEST_CASE("a cell more is a warning in the mode that joins them; a make of the same battery is not") {
    const auto joined = [](const char* voltage) {
        return check_text(replaced(std::string(two_banks), "pack B2 { voltage 21..28 V",
                                   "pack B2 { voltage " + std::string(voltage)) +
                          "mode both { S1 S2 closed }\n");
    };
    // 1.02 x 28 V = 28.56 V
    const Results more = joined("22..28.6 V");
    REQUIRE(only(more, "joined-packs"));
    CHECK(only(more, "joined-packs")->severity == Severity::warning);
    CHECK(only(more, "joined-packs")->mode);
    const Results make = joined("22..28.5 V");
    REQUIRE(only(make, "joined-packs"));
    CHECK(only(make, "joined-packs")->severity == Severity::note);
}

TEST_CASE("a position of a selector that joins two voltages is found though no mode takes it") {
    const auto selected = [](const char* both) {
        std::string text =
            replaced(std::string(two_banks), "pack B2 { voltage 21..28 V", "pack B2 { voltage 40..54.6 V");
        text = replaced(text, "(W3 16 mm2, 0.2 m) X1", "(W3 16 mm2, 0.2 m) S9.1");
        text = replaced(text, "(W6 16 mm2, 0.2 m) X1",
                        "(W6 16 mm2, 0.2 m) S9.2\nroute S9.com (W11 16 mm2, 0.2 m) X1");
        text = replaced(
            text, "stud X1\n",
            "stud X1\nselector S9 { terminals 1 2 com, position off, position low 1 com, position high 2 "
            "com" +
                std::string(both) + ", 80 V dc, carries 100 A, breaks 60 A at 80 V dc, makes 100 A }\n");
        return check_text(
            replaced(text, "mode one { S1 closed, S2 open }",
                     "mode low { S1 S2 closed, S9 at low }\nmode high { S1 S2 closed, S9 at high }"));
    };
    const Results wrong = selected(", position both 1 2 com");
    REQUIRE(only(wrong, "joined-packs"));
    CHECK(only(wrong, "joined-packs")->subject == "S9");
    CHECK(only(wrong, "joined-packs")->severity == Severity::error);
    CHECK(only(selected(""), "joined-packs") == nullptr);
}

TEST_CASE("packs with no fuse between are a warning, with what one drives into the other") {
    std::string text =
        replaced(std::string(two_banks), "(W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.2 m)", "(W1 16 mm2, 0.1 m)");
    text = replaced(text, "(W4 16 mm2, 0.1 m) F2 (W5 16 mm2, 0.2 m)", "(W4 16 mm2, 0.1 m)");
    text = replaced(text, "route X1 (W7", "route X1 (W11 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.1 m) F2 (W7");
    const Results results = check_text(text);
    const Finding* finding = only(results, "no-fuse-between-packs");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(path_of(*finding) == "B1.+ > W1 > S1 > W3 > W6 > S2 > W4 > B2 > W10 > W9 > B1.-");
    CHECK(finding->help == "a fuse of its own at the plus of each pack");
}

}  // namespace joined_packs_test
