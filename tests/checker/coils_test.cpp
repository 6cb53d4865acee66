// Coils get the voltage they need where they have to hold, and their energy goes somewhere.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

Results with(std::string_view from, std::string_view to) {
    return check_text(replaced(std::string(example_harness), from, to));
}

}  // namespace

TEST_CASE(
    "a coil is judged at the pack's lowest voltage and at its highest, by its own range or by 85..110 %") {
    // 13 cells: 39 V empty, 54.6 V full.
    CHECK(found(with("coil-works 30..60 V", "coil-works 45..60 V"), Severity::error) ==
          std::vector<std::string>{"coil-voltage K1"});
    CHECK(found(with("coil-works 30..60 V", "coil-works 30..50 V"), Severity::error) ==
          std::vector<std::string>{"coil-voltage K1"});
    // 48 V: 40.8..52.8 V.
    CHECK(found(with(", coil-works 30..60 V", ""), Severity::error) ==
          std::vector<std::string>{"coil-voltage K1"});
    CHECK(found(with("coil-works 30..60 V", "coil-works 36..56 V"), Severity::error).empty());
}

TEST_CASE("a coil without suppression is a warning, said or left out") {
    for (const std::string_view text : {"suppression none", "coil-works 30..60 V"}) {
        const bool left_out = text == "coil-works 30..60 V";
        const Results results =
            left_out ? with("coil-works 30..60 V, suppression diode", text) : with("suppression diode", text);
        CHECK(found(results, Severity::warning) == std::vector<std::string>{"coil-suppression K1"});
        CHECK(found(results, Severity::error).empty());
    }
}
