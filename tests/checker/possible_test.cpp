// Ranges for what nobody wrote down: which findings are certain, which possible, and what ratings have to be.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "checker/taken_values.hpp"
#include "tests/checker/checking.hpp"

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
