// What would pass is printed so that it passes.
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/parts/printed_figures.hpp"
#include "parser/language/units.hpp"

namespace printed_figures_test {

using namespace loomward;

TEST_CASE("figures that would pass are rounded to the side that passes, and exact ones stay") {
    struct Row {
        double value, up, down;
    };
    for (const Row& row :
         {Row{7124, 7130, 7120}, Row{7120, 7120, 7120}, Row{0.2, 0.2, 0.2}, Row{31.07, 31.1, 31.0},
          Row{999.6, 1000, 999}, Row{0.30000000000000004, 0.3, 0.3}}) {
        INFO(row.value);
        CHECK(rounded_up(row.value) == Approx(row.up).epsilon(1e-12));
        CHECK(rounded_down(row.value) == Approx(row.down).epsilon(1e-12));
    }
    CHECK(rounded_down(0.2384, 2) == Approx(0.23));
    CHECK(rounded_up(0) == 0);
    CHECK(rounded_down(-1) == 0);
    CHECK(rounded_down(NAN) == 0);
    for (double value = 1.0001; value < 1e6; value *= 1.037) {
        CHECK(rounded_up(value) >= value * (1 - 1e-8));
        CHECK(rounded_down(value) <= value * (1 + 1e-8));
        CHECK(rounded_up(value) <= value * 1.0101);
        CHECK(rounded_down(value) >= value * 0.9899);
    }
}

}  // namespace printed_figures_test
