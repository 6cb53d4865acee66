// Ratings that hold at one temperature, at the ambient of their place: fuses by 0.2 % a kelvin, and the
// stated limits of packs, battery management and controllers.
#include <catch2/catch.hpp>

#include "checker/parts/temperature_limits.hpp"
#include "checker/parts/time_current.hpp"
#include "tests/checker/checking.hpp"

namespace temperature_limits_test {

using namespace loomward;
using namespace loomward::literals;
using namespace loomward::testing;

namespace {

using Lines = std::vector<std::string>;

// 40 A through everything, unless the mode says otherwise.
std::string barrow(const std::string& ambient, const std::string& pack, const std::string& fuse,
                   const std::string& draws = "40 A") {
    return "loom 1\nharness \"barrow\" { ambient " + ambient + ", insulation xlpe 90 degC }\n" +
           "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, peak 90 A for "
           "5 s"
           ", charge 20 A" +
           pack +
           " }\n"
           "bms Q1 { side low, ports common, discharge 60 A, charge 20 A, trips 150 A after 1 s"
           ", charge-trips 40 A after 1 s, resistance 1 mohm }\n"
           "fuse F1 { " +
           fuse +
           ", 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
           "switch S1 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
           "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 50 A, regen none }\n"
           "route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.4 m, red) S1 (W3 16 mm2, 0.5 m, red) U1.+\n"
           "route B1.- (W4 16 mm2, 0.2 m, black) Q1 (W5 16 mm2, 0.5 m, black) U1.-\n"
           "mode ride { S1 closed, U1 draws " +
           draws + " }\nmode parked { others at rest }\n";
}

const Finding& only(const Results& results, std::string_view rule) {
    const Finding* found = nullptr;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule) {
            INFO(rule << " found twice");
            CHECK(found == nullptr);
            found = &finding;
        }
    if (!found) FAIL("no " << rule);
    return *found;
}

std::size_t count(const Results& results, std::string_view rule) {
    return static_cast<std::size_t>(
        std::count_if(results.findings.begin(), results.findings.end(),
                      [&](const Finding& finding) { return finding.rule == rule; }));
}

}  // namespace

TEST_CASE("a fuse carries 0.2 % less for each kelvin above the temperature it is rated at") {
    // 50 A x (1 - 0.002 x (73 - 23)) = 45 A; 80 % of that is 36 A, of 50 A it would be 40 A.
    const Results hot = check_text(barrow("10..73 degC", "", "50 A"));
    const Finding& finding = only(hot, "overloaded-fuse");
    CHECK(finding.severity == Severity::warning);
    CHECK(finding.message == "fuse F1 carries more for hours than a fuse should");
    CHECK(finding.beside == "40 A; continuous-fuse-load allows at 73 degC 36 A");
    CHECK(finding.working == Lines{"40 A > 36 A (continuous-fuse-load allows at 73 degC)",
                                   "36 A = 80 % x 45 A",
                                   "45 A = 50 A x (1 - 0.2 %/K x 50 K), 73 degC against 23 degC"});
    CHECK(finding.source ==
          "rating of the part; NFPA 70 210.20(A); military fuse practice (seen at second hand)");
    CHECK(finding.help == "a rated current of 60 A would do, if the wires behind it may carry that");
    CHECK(count(check_text(barrow("10..23 degC", "", "50 A")), "overloaded-fuse") == 0);
    // Rated for where it is: nothing to take off.
    CHECK(count(check_text(barrow("10..73 degC", "", "50 A, rated-at 73 degC")), "overloaded-fuse") == 0);
    // The cold gives nothing: 80 % of the 55 A that 50 A would be at -27 degC are 44 A.
    CHECK(count(check_text(barrow("-40..-27 degC", "", "50 A", "40.5 A")), "overloaded-fuse") == 1);
}

TEST_CASE("a fuse that carries its rating in the mild carries too much in the heat") {
    const Results hot = check_text(barrow("10..73 degC", "", "40 A"));
    const Finding& finding = only(hot, "overloaded-fuse");
    CHECK(finding.severity == Severity::error);
    CHECK(finding.message == "fuse F1 carries more than its rated current at 73 degC");
    CHECK(finding.beside == "40 A; rated at 73 degC 36 A");
    CHECK(finding.working == Lines{"40 A > 36 A (rated at 73 degC)",
                                   "36 A = 40 A x (1 - 0.2 %/K x 50 K), 73 degC against 23 degC"});
    CHECK(only(check_text(barrow("10..23 degC", "", "40 A")), "overloaded-fuse").severity ==
          Severity::warning);
}

TEST_CASE("a fuse is re-rated by the weather of each mode, and a breaker more steeply") {
    const std::string mild = barrow("10..20 degC", "", "50 A");
    CHECK(count(check_text(mild), "overloaded-fuse") == 0);
    CHECK(count(check_text(replaced(mild, "draws 40 A }", "draws 40 A, ambient 60..73 degC }")),
                "overloaded-fuse") == 1);
    // 0.6 % a kelvin: 50 A at 23 degC are 35 A at 73 degC, and 80 % of what 75 A are there are 42 A.
    const auto breaker = [](const std::string& rated) {
        return check_text(replaced(barrow("10..73 degC", "", rated), "fuse F1", "breaker F1"));
    };
    CHECK(only(breaker("50 A"), "overloaded-fuse").severity == Severity::error);
    CHECK(count(breaker("75 A"), "overloaded-fuse") == 0);
}

TEST_CASE("a limit is straight between the stated temperatures, whatever their order, and flat outside") {
    const Results results = check_text(barrow("10..45 degC",
                                              ", discharge-at 50 degC 20 A, discharge-at -10 degC 10 A"
                                              ", discharge-at 25 degC 60 A",
                                              "60 A"));
    const Facts facts(*results.harness);
    const PartId pack(0);
    const auto at = [&](double lo_degC, double hi_degC) {
        return *temperature_limit(facts, pack, "discharge-at"_attr, Quantity{lo_degC, hi_degC});
    };
    CHECK(at(25, 25).current_A == Approx(60));
    CHECK(at(25, 25).working == "60 A at 25 degC, as stated");
    CHECK(at(20, 45).current_A == Approx(60 - 20 * 40 / 25.0));
    CHECK(at(20, 45).working == "28 A at 45 degC: between 60 A at 25 degC and 20 A at 50 degC");
    // 10 A + 10/35 of 50 A
    CHECK(at(0, 30).current_A == Approx(10 + 50 * 10 / 35.0));
    CHECK(at(0, 30).ambient_degC == 0);
    CHECK(at(30, 70).working == "20 A at 70 degC: as at 50 degC, the hottest that is stated");
    CHECK(at(-30, 0).working == "10 A at -30 degC: as at -10 degC, the coldest that is stated");
    CHECK_FALSE(temperature_limit(facts, pack, "charge-at"_attr, Quantity{0, 0}).has_value());
    // The least within the range, not at its ends.
    const Results dip = check_text(barrow("10..45 degC",
                                          ", discharge-at 10 degC 50 A, discharge-at 20 degC 30 A"
                                          ", discharge-at 40 degC 50 A",
                                          "60 A"));
    const auto within = temperature_limit(Facts(*dip.harness), pack, "discharge-at"_attr, Quantity{10, 40});
    CHECK(within->current_A == Approx(30));
    CHECK(within->ambient_degC == 20);
}

TEST_CASE("a pack that gives 40 A in the mild may not give it on a hot day") {
    const std::string limits = ", discharge-at 25 degC 60 A, discharge-at 50 degC 20 A";
    const Results hot = check_text(barrow("10..45 degC", limits, "60 A"));
    const Finding& finding = only(hot, "limit-at-temperature");
    CHECK(finding.severity == Severity::error);
    CHECK(finding.message == "pack B1 gives more than it may at 45 degC");
    CHECK(finding.beside == "40 A; discharge-at 45 degC 28 A");
    CHECK(finding.working == Lines{"40 A > 28 A (discharge-at 45 degC)",
                                   "28 A at 45 degC: between 60 A at 25 degC and 20 A at 50 degC"});
    CHECK(finding.source == "rating of the part");
    CHECK(finding.help == "28 A or less would pass at 45 degC; so would a place that stays milder");
    REQUIRE(finding.witness.size() >= 3);
    CHECK(finding.witness.front().name == "B1.+");
    // 37.5 degC is where 40 A still passes.
    CHECK(count(check_text(barrow("10..37 degC", limits, "60 A")), "limit-at-temperature") == 0);
    CHECK(count(check_text(barrow("10..38 degC", limits, "60 A")), "limit-at-temperature") == 1);
    // Where a temperature is an estimate, the end of it that gives less counts.
    CHECK(count(check_text(barrow("10..37 degC", replaced(limits, "50 degC", "about 50 degC"), "60 A")),
                "limit-at-temperature") == 1);
    // Above the plain rating another rule speaks.
    CHECK(count(check_text(replaced(barrow("10..45 degC", limits, "60 A"), "discharge 60 A, peak",
                                    "discharge 30 A, peak")),
                "limit-at-temperature") == 0);
}

TEST_CASE("a pack may go above its limit for as long as its peak lasts") {
    const auto pulled = [](const std::string& time) {
        return count(check_text(barrow("10..45 degC", ", discharge-at 45 degC 30 A", "60 A",
                                       "40 A for " + time + " then 5 A for 60 s repeating")),
                     "limit-at-temperature");
    };
    CHECK(pulled("5 s") == 0);
    CHECK(pulled("6 s") == 1);
    // Above its plain rating too it is no less: of that, for a while, there is only a warning.
    const auto low = [](const std::string& time) {
        return check_text(replaced(barrow("10..45 degC", ", discharge-at 45 degC 20 A", "60 A",
                                          "40 A for " + time + " then 5 A for 60 s repeating"),
                                   "discharge 60 A, peak", "discharge 30 A, peak"));
    };
    CHECK(only(low("6 s"), "limit-at-temperature").severity == Severity::error);
    CHECK(count(low("5 s"), "limit-at-temperature") == 0);
}

TEST_CASE("a battery management may cut out for a while, and a controller holds back") {
    const std::string text = barrow("10..45 degC", "", "60 A", "40 A for 6 s then 5 A for 60 s repeating");
    const Results cut = check_text(replaced(text, "discharge 60 A, charge 20 A, trips",
                                            "discharge 60 A, charge 20 A, discharge-at 40 degC 30 A, trips"));
    const Finding& out = only(cut, "limit-at-temperature");
    CHECK(out.severity == Severity::warning);
    CHECK(out.message == "bms Q1 passes more than it may at 45 degC");
    CHECK(out.working == Lines{"40 A > 30 A (discharge-at 45 degC)",
                               "30 A at 45 degC: as at 40 degC, the hottest that is stated",
                               "lasts 6 s at a time"});
    const Results back =
        check_text(replaced(barrow("10..45 degC", "", "60 A"), "supply-limit 50 A,",
                            "supply-limit 50 A, supply-at 20 degC 50 A, supply-at 45 degC 35 A,"));
    const Finding& held = only(back, "limit-at-temperature");
    CHECK(held.severity == Severity::warning);
    CHECK(held.message == "controller U1 is asked to take more than it may at 45 degC");
    CHECK(held.working.back() == "35 A at 45 degC, as stated");
}

TEST_CASE("a setting is held against what pack and fuse give at the hottest ambient") {
    const std::string text = barrow("10..45 degC", "", "60 A", "20 A");
    CHECK(count(check_text(text), "setting-too-high") == 0);
    const Results pack = check_text(
        barrow("10..45 degC", ", discharge-at 25 degC 60 A, discharge-at 50 degC 20 A", "60 A", "20 A"));
    CHECK(only(pack, "setting-too-high").working.back() == "50 A > 28 A (discharge-at 45 degC of pack B1)");
    const Results fuse = check_text(barrow("10..73 degC", "", "50 A", "20 A"));
    CHECK(only(fuse, "setting-too-high").working.back() ==
          "50 A > 45 A (rated current at 73 degC of fuse F1)");
}

}  // namespace temperature_limits_test
