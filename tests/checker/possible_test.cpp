// Ranges for what nobody wrote down: which findings are certain, which possible, and what ratings have to be.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "checker/taken_values.hpp"
#include "tests/checker/checking.hpp"

namespace possible_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A barrow with one lamp circuit; `lead` describes the wire from the fuse to the lamp.
std::string barrow(const std::string& lead, const std::string& lamp = "24 V, 20 W",
                   const std::string& fuse = "10 A, 58 V dc, breaks 3 kA at 58 V dc, curve iso8820-3") {
    return fmt::format(R"(loom 1
harness "Apple barrow" {{ ambient 5..35 degC, insulation xlpe 90 degC }}
pack B1 {{ voltage 20..29 V, resistance 10..20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }}
fuse F1 {{ {} }}
switch S1 {{ 32 V dc, carries 10 A, makes 20 A, breaks 10 A at 32 V dc }}
load E1 {{ {} }}
route B1.+ (W1 2.5 mm2, 0.1 m, red) F1 (W2 2.5 mm2, 0.2 m, red) S1 ({}) E1 (W4 2.5 mm2, 1 m, black) B1.-
mode lit {{ S1 closed }}
)",
                       fuse, lamp, lead);
}
const Finding* told(const Results& results, std::string_view rule, std::string_view subject) {
    return finding_of(results, rule, subject);
}

}  // namespace

TEST_CASE("with nothing left open everything is certain") {
    const Results results = check_text(barrow("W3 0.05 mm2, 1 m, red"));
    const Finding* finding = told(results, "oversized-fuse", "W3");
    REQUIRE(finding);
    CHECK_FALSE(finding->possible);
    CHECK(finding->hangs_on.empty());
    CHECK(results.judged == results.harness);
}

TEST_CASE("a drop that hangs on a length that nobody knows is possible, and names the length") {
    // 0.25 mm2 at 20 degC has 73 mohm a metre: 20 W at 20 V lose 3 % = 0.6 V over 8 m, 30 A lose more in 1 m.
    const Results open = check_text(barrow("W3 0.75 mm2, red", "24 V, 8 A, acts-as current"));
    const Finding* finding = told(open, "voltage-drop", "E1");
    REQUIRE(finding);
    CHECK(finding->possible);
    REQUIRE_FALSE(finding->hangs_on.empty());
    CHECK(finding->hangs_on[0].subject == "W3");
    CHECK(finding->hangs_on[0].name == "length");
    CHECK(finding->hangs_on[0].taken == "0.1..3 m");
    // Stated at either end it is certain, or gone.
    const Results long_lead = check_text(barrow("W3 0.75 mm2, 3 m, red", "24 V, 8 A, acts-as current"));
    CHECK_FALSE(told(long_lead, "voltage-drop", "E1")->possible);
    CHECK_FALSE(told(check_text(barrow("W3 0.75 mm2, 0.1 m, red", "24 V, 8 A, acts-as current")),
                     "voltage-drop", "E1"));
}

TEST_CASE("what holds for every length stays certain though the length is not known") {
    const Results open = check_text(barrow("W3 0.05 mm2, red"));
    REQUIRE(told(open, "oversized-fuse", "W3"));
    CHECK_FALSE(told(open, "oversized-fuse", "W3")->possible);
}

TEST_CASE("a wire of unknown size is told what its fuse asks") {
    const Results open = check_text(barrow("W3 1 m, red"));
    const Finding* finding = told(open, "missing-data", "W3");
    REQUIRE(finding);
    CHECK(finding->possible);
    // 10 A of the fuse; of the standard sizes 0.5 mm2 is the first that may carry as much with 90 degC.
    CHECK(finding->requirement == "be 0.5 mm2 or larger");
    const Results stated = check_text(barrow("W3 0.5 mm2, 1 m, red"));
    CHECK_FALSE(told(stated, "oversized-fuse", "W3"));
}

TEST_CASE("a load of unknown power draws anything up to its fuse") {
    const auto completion_of = [](const std::string& lamp) {
        const Results results = check_text(barrow("W3 2.5 mm2, 1 m, red", lamp));
        for (const Assumption& line : results.assumptions)
            if (line.what == "power of a load that nobody knows") return line.value;
        return std::string();
    };
    CHECK(completion_of("24 V") == "0..10 A");
    CHECK(completion_of("24 V, 20 W").empty());
}

TEST_CASE("an open breaking capacity becomes a requirement") {
    const Results open =
        check_text(barrow("W3 2.5 mm2, 1 m, red", "24 V, 20 W", "10 A, 58 V dc, curve iso8820-3"));
    const Finding* finding = told(open, "missing-data", "F1");
    REQUIRE(finding);
    // 29 V over the pack's 10 mohm and the way.
    CHECK(finding->requirement.starts_with("break 2."));
    CHECK(finding->requirement.ends_with("kA at 29 V dc"));
}

TEST_CASE("without ranges to take nothing is copied") {
    const auto harness = std::make_shared<const Harness>();
    CHECK(complete(harness).harness == harness);
}

TEST_CASE("what is only half estimated is open as well, and is taken like anything else") {
    const Results results = check_text(R"(loom 1
harness "Hoist" { ambient 5..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..26 V, resistance 10..20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }
fuse F1 { 10 A, 58 V dc, breaks 3 kA at 58 V dc, curve iso8820-3 }
contactor K1 { carries 20 A, makes 40 A, breaks 20 A at 32 V dc, coil about 24 V, suppression diode }
switch S1 { 32 V dc, carries 10 A, makes 20 A, breaks 10 A at 32 V dc }
load E1 { 24 V, 20 W }
route B1.+ (W1 2.5 mm2, 0.1 m, red) F1 (W2 2.5 mm2, 0.2 m, red) K1 (W3 2.5 mm2, 0.2 m, red) E1 (W4 2.5 mm2, 1 m, black) B1.-
route F1.out (W5 2.5 mm2, 0.2 m, red) S1 (W6 2.5 mm2, 0.2 m, red) K1.A1
route K1.A2 (W7 2.5 mm2, 0.2 m, black) B1.-
mode on { S1 K1 closed }
)");
    std::size_t unknown = 0, estimated = 0;
    for (const OpenValue& value : open_values(*results.harness))
        if (value.name == "coil") ++(value.unknown ? unknown : estimated);
    CHECK(unknown == 1);
    CHECK(estimated == 1);
    CHECK(std::any_of(results.assumptions.begin(), results.assumptions.end(), [](const Assumption& line) {
        return line.what == "coil of a contactor that nobody knows" && line.used_by.size() == 1;
    }));
}

TEST_CASE(
    "a range that has no source clears nothing: the value is still asked for, at the level it can hide") {
    // 120 m would lose too much, and no length in the range that is taken does.
    CHECK(told(check_text(barrow("W3 2.5 mm2, 120 m, red")), "voltage-drop", "E1"));
    const Results length = check_text(barrow("W3 2.5 mm2, red"));
    CHECK_FALSE(told(length, "voltage-drop", "E1"));
    CHECK(gravest_of(length, "missing-data", "W3") == Severity::error);
    // Nor does what its fuse is rated for clear a load: the fuse carries a little more for long.
    const Results load = check_text(barrow("W3 2.5 mm2, 1 m, red", "24 V"));
    CHECK(gravest_of(load, "missing-data", "E1") == Severity::error);
}

TEST_CASE("a load that is bolted to its fuse draws up to it too") {
    const Results results = check_text(R"(loom 1
harness "Bolted" { ambient 5..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..26 V, resistance 10..20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }
fuse F1 { 30 A, 58 V dc, breaks 3 kA at 58 V dc, curve iso8820-5 }
switch S1 { 32 V dc, carries 50 A, makes 90 A, breaks 50 A at 32 V dc }
load E1 { 24 V }
route B1.+ (W1 10 mm2, 0.1 m, red) S1 (W2 10 mm2, 0.1 m, red) F1 (direct) E1 (W4 10 mm2, 0.2 m, black) B1.-
mode on { S1 closed }
)");
    CHECK(std::any_of(results.assumptions.begin(), results.assumptions.end(), [](const Assumption& line) {
        return line.what == "power of a load that nobody knows" && line.value == "0..30 A";
    }));
}

}  // namespace possible_test
