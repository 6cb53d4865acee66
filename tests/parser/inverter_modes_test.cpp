// What a mode may say of an inverter.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace inverter_modes_test {

using namespace loomward;

namespace {

std::string with(const std::string& charges, const std::string& line) {
    return model_of(
        "loom 1\nharness \"Awning stall\" { ambient 5..35 degC }\n"
        "inverter E1 { 2 kW, input 40..60 V, efficiency 90 %, capacitance 9 mF" +
            charges + " }\nmode use { " + line + " }\n",
        "mode");
}

}  // namespace

TEST_CASE("an inverter is on, off, draws a power, a current or its limit, and delivers where it charges") {
    CHECK(with("", "E1 on") == "mode use: E1 on (line);\n");
    CHECK(with("", "E1 off") == "mode use: E1 off (line);\n");
    CHECK(with("", "others at rest") == "mode use: E1 off (rest);\n");
    CHECK(with("", "E1 draws 1.2 kW") == "mode use: E1 on draws 1.2 kW (line);\n");
    CHECK(with("", "E1 draws limit") == "mode use: E1 on draws limit (line);\n");
    CHECK(with(", charges 54 V 9 A", "E1 delivers 8 A") == "mode use: E1 on delivers 8 A (line);\n");
}

TEST_CASE("a mode cannot leave an inverter out, and one that does not charge delivers nothing") {
    CHECK(with("", "") ==
          "4:6+3 mode use does not say what E1 does [mode-silent] | add a line for each, begin with 'like' "
          "another mode, or end with: others at rest\n");
    CHECK(
        with("", "E1 delivers 8 A") ==
        "4:15+8 inverter E1 does not charge [wrong-verb] | say what its charger gives where it is described: "
        "charges 28.4 V 40 A\n");
    CHECK(
        with("", "E1 closed") ==
        "4:15+6 an inverter cannot be 'closed' [wrong-verb] | E1 can be given: on, off, draws, delivers, at "
        "rest\n");
    CHECK(
        with("", "E1 returns 8 A") ==
        "4:15+7 an inverter cannot be 'returns' [wrong-verb] | E1 can be given: on, off, draws, delivers, at "
        "rest\n");
}

}  // namespace inverter_modes_test
