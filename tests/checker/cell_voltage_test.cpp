// Cells of unknown voltage: of the kind that the loads and the label leave, or of none.
#include <algorithm>
#include <string>

#include "tests/checker/checking.hpp"

namespace cell_voltage_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// What is taken for the cells of a pack of so many in line, with a lamp made for so much; empty: nothing.
std::string taken(const std::string& cells, const std::string& lamp, const std::string& label = "") {
    const Results results = check_text(
        "loom 1\nharness \"Ferry lantern\" { ambient 5..30 degC }\n"
        "pack B1 " +
        label + " { cells " + cells +
        "s1p, cell-resistance 20..30 mohm, cell-capacity 10 Ah, discharge 20 A, charge 5 A }\n"
        "fuse F1 { 10 A, 58 V dc, breaks 2 kA at 58 V dc, curve iso8820-3 }\n"
        "load E1 { " +
        lamp +
        ", 1 A, acts-as current }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 1 m) E1 (W3 2.5 mm2, 1 m) B1.-\n");
    const auto found = std::find_if(
        results.assumptions.begin(), results.assumptions.end(),
        [](const Assumption& each) { return each.what.find("cell-voltage") != std::string::npos; });
    return found == results.assumptions.end() ? "" : found->value;
}

}  // namespace

TEST_CASE("cells of unknown voltage are of the kind whose nominal voltage their loads come nearest to") {
    CHECK(taken("7", "24 V") == "2.5..4.2 V");
    CHECK(taken("8", "24 V") == "2..3.65 V");
    CHECK(taken("12", "24 V") == "1.75..2.4 V");
    CHECK(taken("13", "48 V") == "2.5..4.2 V");
    CHECK(taken("10", "24 V") == "1.5..2.85 V");
    CHECK(taken("40", "24 V").empty());
}

TEST_CASE("the label of a pack says which cells it has, where they are near") {
    CHECK(taken("12", "24 V", "\"lead battery\"") == "1.75..2.4 V");
    CHECK(taken("7", "24 V", "\"LFP block\"") == "2..3.65 V");
    CHECK(taken("7", "24 V", "\"lead battery\"").empty());
}

}  // namespace cell_voltage_test
