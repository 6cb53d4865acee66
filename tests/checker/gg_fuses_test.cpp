// The tables of gG fuses hold together by identities of IEC 60269: selectivity at 1.6 : 1, two steps of the
// series, is built into their figures. A slip in one of the rows breaks one of them.
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "checker/tables/protection.hpp"

namespace gg_fuses_test {

using namespace loomward;

namespace {

std::vector<GgFuse> from_16_A() {
    std::vector<GgFuse> rows;
    for (const GgFuse& row : gg_fuses())
        if (row.rated_A >= 16) rows.push_back(row);
    return rows;
}

}  // namespace

TEST_CASE("a gG fuse opens in 0.1 s at the current its partner two steps up just holds (IEC 60269-1 Table 3)",
          "[gg]") {
    const std::vector<GgFuse> rows = from_16_A();
    REQUIRE(rows.size() == 20);
    for (std::size_t i = 0; i + 2 < rows.size(); ++i) {
        INFO(rows[i].rated_A << " A");
        CHECK(rows[i].opens_100ms_A == rows[i + 2].holds_100ms_A);
        CHECK(is_selective_gg_pair(rows[i + 2].rated_A, rows[i].rated_A));
        CHECK_FALSE(is_selective_gg_pair(rows[i + 1].rated_A, rows[i].rated_A));
    }
}

TEST_CASE("two steps apart, and never one, the melting integrals do not overlap (IEC 60269-1 Table 7)",
          "[gg]") {
    const std::vector<GgFuse> rows = from_16_A();
    for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
        INFO(rows[i].rated_A << " A");
        CHECK(rows[i].melting_max_A2s > rows[i + 1].melting_min_A2s);
        if (i + 2 < rows.size()) CHECK(rows[i].melting_max_A2s <= rows[i + 2].melting_min_A2s);
    }
}

TEST_CASE("the selectivity test lets a fuse clear before its partner two steps up melts (IEC 60269-2)",
          "[gg]") {
    const std::vector<GgFuse> rows = from_16_A();
    for (std::size_t i = 0; i + 2 < rows.size(); ++i) {
        INFO(rows[i].rated_A << " A");
        CHECK(rows[i].select_operating_max_A2s <= rows[i + 2].select_melting_min_A2s);
    }
    // Each integral is its test current squared times about 4 ms.
    for (const GgFuse& row : gg_fuses()) {
        INFO(row.rated_A << " A");
        CHECK(row.select_melting_min_A2s / std::pow(row.select_min_A, 2) == Approx(0.004).epsilon(0.025));
        CHECK(row.select_operating_max_A2s / std::pow(row.select_max_A, 2) == Approx(0.004).epsilon(0.025));
    }
}

TEST_CASE(
    "a fuse holds less and opens at less the longer it is given, and more with every step of the series",
    "[gg]") {
    double before_A = 0;
    for (const GgFuse& row : gg_fuses()) {
        INFO(row.rated_A << " A");
        CHECK(row.rated_A > before_A);
        CHECK(row.holds_10s_A > row.rated_A);
        CHECK(row.holds_10s_A < row.holds_100ms_A);
        CHECK(row.opens_5s_A < row.opens_100ms_A);
        CHECK(row.holds_10s_A < row.opens_5s_A);
        CHECK(row.holds_100ms_A < row.opens_100ms_A);
        before_A = row.rated_A;
    }
    CHECK_FALSE(is_selective_gg_pair(16, 10));
    CHECK_FALSE(is_selective_gg_pair(33, 16));
}

}  // namespace gg_fuses_test
