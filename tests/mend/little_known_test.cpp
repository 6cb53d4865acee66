// What is mended where a file leaves much open: what is certain, and nothing is bought for what only may be.
#include <catch2/catch.hpp>

#include <algorithm>
#include <optional>
#include <string>

#include "checker/mend/mend.hpp"
#include "checker/quick_check.hpp"
#include "parser/read.hpp"
#include "render/text/text_mend.hpp"
#include "tests/checker/checking.hpp"

namespace little_known_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::optional<Results> examined(const std::string& text, bool quickly) {
    NoFiles files;
    ReadResult read = read_harness_text("shed.loom", text, files, {});
    if (!read.harness) return std::nullopt;
    auto harness = std::make_shared<const Harness>(std::move(*read.harness));
    return quickly ? check_quickly(std::move(harness)) : check(std::move(harness));
}

struct Mending {
    Results found;
    Mended mended;
    std::vector<std::string> changes;
};
Mending mend_text(const std::string& text) {
    MendOptions how;
    how.tried_with = [](const std::string& changed) { return examined(changed, true); };
    auto found = examined(text, false);
    REQUIRE(found);
    Mending all{std::move(*found), {}, {}};
    all.mended = mend(
        text, all.found, [](const std::string& changed) { return examined(changed, false); }, how);
    for (const MadeChange& made : all.mended.changes)
        all.changes.push_back(change_text(made.change, *all.found.harness));
    std::sort(all.changes.begin(), all.changes.end());
    return all;
}

std::size_t certain_errors(const Results& results) {
    return static_cast<std::size_t>(
        std::count_if(results.findings.begin(), results.findings.end(), [](const Finding& finding) {
            return finding.severity == Severity::error && !finding.possible && !finding.accepted;
        }));
}

// A shed with two batteries of which nobody knows more than what is printed on them.
std::string shed(const std::string& second_bank, const std::string& heater) {
    return R"(loom 1
harness "Potting shed"
pack B1 "bank one" { voltage 11..14.4 V, capacity 100 Ah, discharge 100 A, charge 50 A }
fuse F1 "bank one" { 80 A }
busbar X1 { studs 6 }
busbar X2 { studs 8 }
route B1.+ (W1 25 mm2, 0.15 m, red) F1 (W2 25 mm2, red) X1.1
route B1.- (W3 25 mm2, black) X2.1
)" + second_bank +
           heater + R"(
fuse F2 "lamps" { 5 A }
switch S1 "lamps"
load E1 "lamps" { 12 V, 20 W }
route X1.3 (W11 1 mm2, 0.1 m, red) F2 (W12 1 mm2, red) S1 (W13 1 mm2, red) E1 (W14 1 mm2, black) X2.3
)";
}

}  // namespace

TEST_CASE("a heater taken from the battery's post gets a fuse and a switch into its plus, and nothing else") {
    const Mending all = mend_text(shed("",
                                       "load E2 \"heater\" { 12 V, 7 A }\n"
                                       "route B1.+ (W21 2.5 mm2, 2 m, red) E2 (W22 2.5 mm2, black) X2.6\n"));
    REQUIRE(certain_errors(all.found) == 2);
    CHECK(all.changes == std::vector<std::string>{"put F-W21 into W21, at its beginning",
                                                  "put S-W21 into W21, at its beginning"});
    CHECK(certain_errors(*all.mended.results) == 0);
    // The fuse comes first, between the switch and the source.
    CHECK(all.mended.text.find("route B1.+ (direct) F-W21 (direct) S-W21 (W21 2.5 mm2, 2 m, red) E2") !=
          std::string::npos);
    const std::string told = mended_text(all.mended, all.found, "shed.loom", false);
    INFO(told);
    CHECK(told.find("2 changes leave no errors") != std::string::npos);
    CHECK(told.find("find out first (") != std::string::npos);
}

TEST_CASE("a second bank without a fuse gets one, as large as its wire and what it gives allow") {
    const std::string bank =
        R"(pack B2 "bank two" { voltage 11..14.4 V, capacity 100 Ah, discharge 100 A, charge 50 A }
route B2.+ (W5 25 mm2, 0.8 m, red) X1.2
route B2.- (W6 25 mm2, black) X2.2
)";
    const Mending all = mend_text(shed(bank, ""));
    REQUIRE(certain_errors(all.found) > 0);
    REQUIRE(all.changes.size() == 1);
    CHECK(all.changes[0] == "put F-W5 into W5, at its beginning");
    CHECK(certain_errors(*all.mended.results) == 0);
    // Whoever is sold a fuse of so many amperes is sold a curve that exists for it.
    CHECK(all.mended.text.find("curve ul248-15") != std::string::npos);
}

TEST_CASE("another part is fitted for the voltage of its place") {
    const auto bench = [](const std::string& parts) {
        return R"(loom 1
harness "Bench" { ambient 10..30 degC, insulation pvc 90 degC }
pack B1 { voltage 22..28.8 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 40 A }
fuse F1 { 40 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
switch S1 { 48 V dc, carries 60 A, makes 100 A, breaks 60 A at 48 V dc }
busbar X1 { studs 6, carries 100 A }
busbar X2 { studs 6, carries 100 A }
route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.3 m, red) S1 (W3 10 mm2, 0.3 m, red) X1.1
route B1.- (W4 10 mm2, 0.4 m, black) X2.1
fuse F2 { 15 A, 58 V dc, breaks 10 kA at 58 V dc, curve ul248-14 }
route X1.2 (W5 2.5 mm2, 0.1 m, red) F2.in
)" + parts + "mode off { others at rest }\n";
    };
    SECTION("a charger") {
        const Mending all =
            mend_text(bench("charger G1 { output 36 V 8 A, reverse blocked }\n"
                            "route F2.out (W6 2.5 mm2, 0.5 m) G1 (W7 2.5 mm2, 0.5 m) X2.2\n"
                            "mode charge { S1 closed, G1 delivers 8 A, others at rest }\n"));
        REQUIRE(certain_errors(all.found) > 0);
        CHECK(all.changes == std::vector<std::string>{"G1: output 28.8 V instead of 36 V"});
        CHECK(all.mended.errors_after == 0);
    }
    SECTION("a coil, of the same power") {
        const Mending all = mend_text(
            bench("relay K1 { 48 V dc, contacts no, carries 10 A, makes 10 A, breaks 10 A at 48 V dc, coil "
                  "12 V 200 mA, "
                  "coil-works 9..16 V, suppression diode }\nload E1 { 24 V, 20 W, works 18..32 V }\n"
                  "route F2.out (W6 2.5 mm2, 0.5 m) K1 (W7 2.5 mm2, 0.5 m) E1 (W8 2.5 mm2, 1 m) X2.2\n"
                  "switch S2 { 48 V dc, carries 5 A, breaks 2 A at 48 V dc }\n"
                  "route F2.out (W9 2.5 mm2, 0.5 m) S2 (W10 2.5 mm2, 0.5 m) K1.A1\n"
                  "route K1.A2 (W11 2.5 mm2, 0.5 m) X2.3\n"
                  "mode lit { S1 S2 closed, K1 energised, others at rest }\n"));
        REQUIRE(certain_errors(all.found) > 0);
        CHECK(all.mended.errors_after == 0);
        INFO(all.mended.text);
        CHECK(all.mended.text.find("coil 24 V 100 mA") != std::string::npos);
        CHECK(count_of_changes(all.mended) == 1);
    }
    SECTION("a load, and its label is not simply written anew") {
        const Mending all = mend_text(
            bench("load E1 { 12 V, 2 A, acts-as current, works 9..16 V }\n"
                  "switch S2 { 48 V dc, carries 5 A, breaks 5 A at 48 V dc }\n"
                  "route F2.out (W6 2.5 mm2, 0.5 m) S2 (W7 2.5 mm2, 0.5 m) E1 (W8 2.5 mm2, 1 m) X2.2\n"
                  "mode lit { S1 S2 closed, others at rest }\n"));
        REQUIRE(certain_errors(all.found) > 0);
        CHECK(all.mended.errors_after == 0);
        INFO(all.mended.text);
        CHECK(all.mended.text.find("load E1 { 24 V, 1 A, acts-as current, works 18..32 V }") !=
              std::string::npos);
        CHECK(count_of_changes(all.mended) == 1);
    }
}

TEST_CASE("a fuse of a rating that its family lacks is bought of another one") {
    const Mending all = mend_text(R"(loom 1
harness "Skiff" { ambient 0..35 degC, insulation pvc 90 degC }
pack B1 { voltage 22..28.8 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 40 A }
fuse F1 { 25 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
switch S1 { 60 V dc, carries 60 A, makes 100 A, breaks 60 A at 60 V dc }
load M1 { 24 V, 10 A, acts-as current, works 18..32 V }
route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.3 m, red) S1 (W3 10 mm2, 0.3 m, red) M1.+
route M1.- (W4 10 mm2, 0.4 m) B1.-
mode off { others at rest }
mode go { S1 closed, others at rest }
)");
    REQUIRE(certain_errors(all.found) == 1);
    CHECK(all.found.findings.front().working.front() ==
          "iso8820-5 has none of 25 A (30..500 A), and no points of its own are stated");
    CHECK(all.mended.errors_after == 0);
    CHECK(all.mended.text.find("curve ul248-14") != std::string::npos);
}

TEST_CASE("a charger that stands the wrong way round is turned, and none of its leads is taken out") {
    const std::string text = R"(loom 1
harness "Punt" { ambient 0..35 degC, insulation pvc 90 degC }
pack B1 { voltage 22..28.8 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 40 A }
fuse F1 { 40 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
switch S1 { 60 V dc, carries 60 A, makes 100 A, breaks 60 A at 60 V dc }
load M1 { 24 V, 20 A, acts-as current, works 18..32 V }
fuse F2 { 15 A, 58 V dc, breaks 10 kA at 58 V dc, curve ul248-14 }
charger G1 { output 28.8 V 8 A, reverse blocked }
route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.3 m, red) S1 (W3 10 mm2, 0.3 m, red) M1 (W4 10 mm2, 0.4 m) B1.-
route B1.+ (W5 2.5 mm2, 0.1 m, red) F2 (W6 2.5 mm2, 0.5 m) G1.-
route G1.+ (W7 2.5 mm2, 0.5 m) B1.-
mode off { others at rest }
mode go { S1 closed, others at rest }
mode charge { G1 delivers 8 A, others at rest }
)";
    const Mending all = mend_text(text);
    REQUIRE(certain_errors(all.found) > 0);
    CHECK(all.mended.errors_after == 0);
    REQUIRE(all.changes.size() == 1);
    CHECK(all.changes[0].starts_with("exchange the wires at G1."));
}

}  // namespace little_known_test
