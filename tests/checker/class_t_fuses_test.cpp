// Class T: what the class promises, and that nothing else is made up.
#include <catch2/catch.hpp>

#include "checker/parts/time_current.hpp"
#include "tests/checker/checking.hpp"

namespace class_t_fuses_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Band band(const std::string& rated) {
    const Results results =
        check_text("loom 1\nharness \"t\" { ambient 23..23.001 degC }\nfuse F1 { " + rated +
                   ", 125 V dc, breaks 20 kA at 125 V dc, curve ul248-15 }\nmode off { others at rest }\n");
    return band_of(Facts(*results.harness), *results.harness->find_part("F1"));
}

}  // namespace

TEST_CASE("a class T fuse carries its rated current and opens at 1.35 and twice it in the time of its size",
          "[protection]") {
    // UL 248-1 Table 4 (memory).
    struct Row {
        const char* rated;
        double rated_A, at_135_s, at_200_s;
    };
    for (const Row& row :
         {Row{"30 A", 30, 3600, 120}, Row{"60 A", 60, 3600, 240}, Row{"100 A", 100, 7200, 360},
          Row{"200 A", 200, 7200, 480}, Row{"400 A", 400, 7200, 600}, Row{"600 A", 600, 7200, 720}}) {
        INFO(row.rated);
        const Band of = band(row.rated);
        CHECK(of.holds_A == Approx(row.rated_A).epsilon(1e-4));
        CHECK(of.slow_s(1.351 * row.rated_A) == Approx(row.at_135_s).epsilon(0.01));
        CHECK(of.slow_s(2 * row.rated_A) == Approx(row.at_200_s).epsilon(1e-6));
        CHECK(of.slow_s(1.2 * row.rated_A) == never_s);
    }
}

TEST_CASE("beyond twice its rated current class T promises nothing, early or late", "[protection]") {
    const Band of = band("200 A");
    CHECK_FALSE(of.fast_s(300).has_value());
    CHECK_FALSE(of.promised(450));
    CHECK(of.promised(400));
    // Nor of sizes that the class does not have.
    CHECK(band("800 A").slow_s(2000) == never_s);
}

}  // namespace class_t_fuses_test
