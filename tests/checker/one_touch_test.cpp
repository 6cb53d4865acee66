// A contact across a supply is found although every mode keeps it open.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

TEST_CASE("a push-button across the supply is an error, one in line with a load is not") {
    const std::string button = "splice X1\nswitch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n";
    const auto errors_with = [&](const std::string& route) {
        return found(check_text(replaced(std::string(example_harness), "splice X1\n", button + route)),
                     Severity::error);
    };
    CHECK(errors_with("route F2.out (W30 1 mm2, 0.5 m, red) S9 (W31 1 mm2, 0.5 m, black) Q1.P-\n") ==
          std::vector<std::string>{"short-when-closed S9"});
    CHECK(errors_with("load H9 { 48 V, 10 W, works 30..60 V }\n"
                      "route F2.out (W30 1 mm2, 0.5 m, red) S9 (W31 1 mm2, 0.5 m, red) H9 (W32 1 mm2, 0.5 m, "
                      "black) Q1.P-\n")
              .empty());
}
