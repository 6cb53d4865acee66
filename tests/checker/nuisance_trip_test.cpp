// What normal use does to fuses, breakers and battery management: pulses, loads that are switched on, loads
// that are blocked.
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "checker/currents/device_duty.hpp"
#include "tests/checker/checking.hpp"

namespace nuisance_trip_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

using Lines = std::vector<std::string>;

// A fuse of 20 A that at 40 A may open after 500 ms and is open after 5 s.
constexpr std::string_view own_fuse =
    "fuse F1 { 20 A, 80 V dc, breaks 5 kA at 80 V dc, point 40 A 0.5..5 s, point 100 A 0.05..0.5 s }";

// 5 A of lamps beside the pump of 10 A.
std::string pump(const std::string& surge, const std::string& mode = "S1 closed",
                 const std::string& ambient = "23..23 degC") {
    return "loom 1\nharness \"pump\" { ambient " + ambient +
           ", insulation xlpe 105 degC }\n"
           "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }\n"
           "bms Q1 { side low, ports common, discharge 60 A, charge 20 A, trips 300 A after 1 s"
           ", charge-trips 40 A after 1 s, resistance 1 mohm }\n" +
           std::string(own_fuse) +
           "\nswitch S1 { 80 V dc, carries 100 A, makes 100 A, breaks 100 A at 60 V dc }\n"
           "load M1 { 48 V, 10 A, acts-as current, works 30..60 V" +
           surge +
           " }\n"
           "load H1 { 48 V, 5 A, acts-as current, works 30..60 V }\n"
           "route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.4 m, red) S1 (W3 16 mm2, 0.5 m, red) M1\n"
           "    (W4 16 mm2, 0.5 m, black) Q1.P-\n"
           "route S1.out (W5 16 mm2, 0.5 m, red) H1 (W6 16 mm2, 0.5 m, black) Q1.P-\n"
           "route B1.- (W9 16 mm2, 0.2 m, black) Q1.B-\n"
           "mode run { " +
           mode + " }\nmode parked { others at rest }\n";
}

std::vector<const Finding*> all(const Results& results) {
    std::vector<const Finding*> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == "nuisance-trip") list.push_back(&finding);
    return list;
}
Finding only(const std::string& text) {
    const Results results = check_text(text);
    REQUIRE(all(results).size() == 1);
    return *all(results).front();
}
bool silent(const std::string& text) {
    return all(check_text(text)).empty();
}

// A course of one mode through one edge, by hand.
struct ByHand {
    explicit ByHand(std::vector<std::pair<double, double>> levels, bool repeats) {
        for (const auto& [current_A, duration_s] : levels) {
            OperatingPoint point;
            point.duration_s = duration_s;
            point.repeats = repeats;
            point.edge_A = {current_A};
            points.push_back(point);
        }
    }
    Duty follow(const Band& band, DutyEdge which) const {
        return follow_duty({ModeId(0), Corner::run_hot, points}, EdgeId(0), band, which);
    }
    std::vector<OperatingPoint> points;
};
Band band_of_four_seconds() {
    Band band;
    EdgeCurve curve;
    curve.points = {{10, 4}, {100, 4}};
    band.fast.push_back(curve);
    band.slow.push_back(curve);
    band.holds_A = 5;
    return band;
}

}  // namespace

TEST_CASE("a fuse whose curve promises hours just above its rating and nothing of seconds may open") {
    // 40 A are 2.5 times 16 A: open by 120 s x (2 / 2.5)2 = 76.8 s, and a hundredth of that is 768 ms.
    const auto quick = [](const std::string& inrush) {
        return replaced(pump(", inrush " + inrush), own_fuse,
                        "fuse F1 { 16 A, 150 V dc, breaks 10 kA at 150 V dc, curve ul248-14 }");
    };
    CHECK(silent(quick("35 A for 0.76 s")));
    const Finding may = only(quick("35 A for 0.78 s"));
    CHECK(may.severity == Severity::warning);
    CHECK(may.message == "fuse F1 may open when load M1 is switched on");
    CHECK(may.beside == "40 A for 780 ms; may open after 768 ms");
    CHECK(may.working.back() ==
          "its curve promises hours a little above its rating; at this current taken as 1/100 of its slow "
          "edge, "
          "UL 248-14 (seen at second hand)");
    // What its conventional current covers needs no promise.
    CHECK(silent(quick("12 A for 60 s")));
    // Pulses of a mode as well; here M1 alone changes.
    const auto pulses = [](const std::string& time) {
        return replaced(pump("", "S1 closed, M1 draws 35 A for " + time + " then 1 A for 60 s repeating"),
                        own_fuse, "fuse F1 { 16 A, 150 V dc, breaks 10 kA at 150 V dc, curve ul248-14 }");
    };
    CHECK(silent(pulses("0.5 s")));
    CHECK(only(pulses("1.2 s")).severity == Severity::warning);
}

TEST_CASE("an inrush is held against the fast edge, on top of what the mode draws through the fuse") {
    // 35 A of M1 and 5 A of H1.
    CHECK(silent(pump(", inrush 35 A for 0.49 s")));
    const Finding may = only(pump(", inrush 35 A for 0.6 s"));
    CHECK(may.severity == Severity::warning);
    CHECK(may.subject == "F1");
    CHECK(may.message == "fuse F1 may open when load M1 is switched on");
    CHECK(may.beside == "40 A for 600 ms; may open after 500 ms");
    CHECK(may.working == Lines{"600 ms >= 500 ms at 40 A",
                               "of it the mode draws 15 A; inrush of M1 35 A for 600 ms",
                               "fast edge at 23 degC, the part's own points"});
    CHECK(may.source == "the part's own points");
    CHECK(may.help ==
          "one that holds 40 A for longer than 600 ms would pass, if the wires behind it may carry its rated "
          "current");
    REQUIRE(may.witness.size() > 4);
    CHECK(may.witness.front().name == "B1.+");
    CHECK(may.figures.front().value == Approx(40).epsilon(1e-6));
    const Finding does = only(pump(", inrush 35 A for 6 s"));
    CHECK(does.severity == Severity::error);
    CHECK(does.message == "fuse F1 opens when load M1 is switched on");
    CHECK(does.working.front() == "6 s >= 5 s at 40 A");
    CHECK(does.working.back() == "slow edge at 23 degC, the part's own points");
}

TEST_CASE("an inrush with a spread surely opens only what its least opens") {
    // At 35 A x 40/35 the slow edge is 5 s; at 30 A through the fuse it is never.
    CHECK(only(pump(", inrush 25..35 A for 6 s")).severity == Severity::warning);
    CHECK(only(pump(", inrush 35 A for 4..6 s")).severity == Severity::warning);
    CHECK(only(pump(", inrush 35 A for 5..6 s")).severity == Severity::error);
}

TEST_CASE("in the heat a fuse opens earlier: its fast edge moves by 0.2 % a kelvin") {
    // 40 A becomes 36 A at 73 degC; straight in log-log: 500 ms (40/36)^-2.513 = 384 ms at 40 A.
    const double expected_s = 0.5 * std::pow(40.0 / 36, std::log(0.1) / std::log(2.5));
    CHECK(silent(pump(", inrush 35 A for 0.4 s")));
    const Finding hot = only(pump(", inrush 35 A for 0.4 s", "S1 closed", "23..73 degC"));
    CHECK(hot.figures.back().value == Approx(expected_s).epsilon(1e-6));
    CHECK(hot.working.back() == "fast edge at 73 degC, the part's own points");
}

TEST_CASE("fuses side by side share a surge, and a load that is off has none") {
    const std::string two = replaced(pump(", inrush 70 A for 0.6 s"), "\nswitch S1",
                                     "\n" + replaced(std::string(own_fuse), "F1", "F2") + "\nswitch S1");
    const std::string shared =
        replaced(two, "route B1.- ",
                 "route B1.+ (W11 16 mm2, 0.15 m, red) F2 (W12 16 mm2, 0.4 m, red) S1.in\n"
                 "route B1.- ");
    const Results results = check_text(shared);
    REQUIRE(all(results).size() == 0);  // 37.5 A each
    const Results more = check_text(replaced(shared, "inrush 70 A", "inrush 75.1 A"));
    CHECK(all(more).size() == 2);  // 40.05 A each
    CHECK(silent(pump(", inrush 35 A for 6 s", "S1 closed, M1 off")));
}

TEST_CASE("a surge behind a converter is no more than its limit") {
    const std::string text = replaced(
        pump(""), "route B1.- ",
        "converter D1 { input 30..60 V, output 12 V 5 A, efficiency 88 %, negative common }\n"
        "fuse F3 { 4 A, 32 V dc, breaks 1 kA at 32 V dc, point 8 A 0.5..5 s, point 20 A 0.05..0.5 s }\n"
        "load H3 { 12 V, 1 A, acts-as current, works 9..15 V, inrush 50 A for 1 s }\n"
        "route S1.out (W21 4 mm2, 0.3 m, red) D1.in+\nroute D1.in- (W22 4 mm2, 0.3 m, black) Q1.P-\n"
        "route D1.out+ (W23 4 mm2, 0.3 m, yellow) F3 (W24 4 mm2, 0.3 m, yellow) H3\n"
        "    (W25 4 mm2, 0.3 m, black) D1.out-\nroute B1.- ");
    CHECK(silent(text));
    CHECK_FALSE(silent(replaced(text, "output 12 V 5 A", "output 12 V 25 A")));
}

TEST_CASE("an inrush trips a battery management by its threshold and its delay") {
    const std::string text =
        replaced(pump(", inrush 60 A for 40 ms"), "trips 300 A after 1 s", "trips 65 A after 50 ms");
    CHECK(silent(text));
    CHECK(silent(replaced(text, "for 40 ms", "for 49 ms")));
    const Finding trips = only(replaced(text, "for 40 ms", "for 60 ms"));
    CHECK(trips.severity == Severity::error);
    CHECK(trips.subject == "Q1");
    CHECK(trips.message == "bms Q1 trips when load M1 is switched on");
    CHECK(trips.working == Lines{"60 ms >= 50 ms at 65 A",
                                 "of it the mode draws 15 A; inrush of M1 60 A for 60 ms",
                                 "trips as stated"});
    CHECK(trips.help == "a trip point above 65 A, or a delay longer than 60 ms would pass");
}

TEST_CASE("pulses open a fuse that its average would never open") {
    const auto pulsed = [](const std::string& profile) {
        return pump("", "S1 closed, H1 off, M1 draws " + profile);
    };
    CHECK(silent(pulsed("40 A for 0.4 s then 5 A for 10 s repeating")));
    const Finding may = only(pulsed("40 A for 0.6 s then 5 A for 10 s repeating"));
    CHECK(may.severity == Severity::warning);
    CHECK(may.message == "fuse F1 may open in normal use, by the pulses of mode run");
    CHECK(may.beside == "40 A; may open after 500 ms");
    CHECK(may.working == Lines{"40 A for 600 ms, may open after 500 ms: 1.2 of the way",
                               "fast edge at 23 degC, the part's own points"});
    CHECK(may.help ==
          "one that holds 40 A for longer would pass, if the wires behind it may carry its rated current; so "
          "would pulses well below 500 ms");
    // 50 A: 500 ms x 1.25^-2.513 = 285 ms; 0.3/0.5 + 0.2/0.285 = 1.3
    const Finding both = only(pulsed("40 A for 0.3 s then 50 A for 0.2 s then 5 A for 10 s repeating"));
    CHECK(both.working.size() == 3);
    CHECK(both.working[1] == "50 A for 200 ms, may open after 285 ms: 1.3 of the way");
    const Finding soon =
        only(pulsed("40 A for 0.3 s then 5 A for 1 s then 50 A for 0.2 s then 5 A for 10 s repeating"));
    CHECK(soon.severity == Severity::warning);
    CHECK(soon.working.size() == 4);
    CHECK(silent(pulsed("40 A for 0.3 s then 5 A for 3 s then 50 A for 0.2 s then 5 A for 10 s repeating")));
    CHECK(only(pulsed("40 A for 6 s then 5 A for 60 s repeating")).severity == Severity::error);
    CHECK(only(pulsed("40 A for 6 s then 5 A")).severity == Severity::error);
}

TEST_CASE("steady overload is left to its own rule") {
    const Results results = check_text(pump("", "S1 closed, M1 draws 35 A"));
    CHECK(all(results).empty());
    CHECK(std::any_of(results.findings.begin(), results.findings.end(),
                      [](const Finding& finding) { return finding.rule == "overloaded-fuse"; }));
}

TEST_CASE("a device comes nearer to opening from pulse to pulse, and cools in a rest") {
    const Band band = band_of_four_seconds();
    const double inf = std::numeric_limits<double>::infinity();
    CHECK(ByHand({{20, 3}}, false).follow(band, DutyEdge::fast).share == Approx(0.75));
    CHECK_FALSE(ByHand({{20, 3}}, false).follow(band, DutyEdge::fast).operates);
    CHECK(ByHand({{20, 4}}, false).follow(band, DutyEdge::fast).operates);
    CHECK(ByHand({{20, inf}}, false).follow(band, DutyEdge::slow).operates);
    // 6 A is held longer than the edge knows, but is no rest.
    CHECK(ByHand({{20, 3}, {6, 100}, {20, 1}}, false).follow(band, DutyEdge::fast).operates);
    // That it opens is sure only if it does so from cold.
    CHECK_FALSE(ByHand({{20, 3}, {4, 0.1}, {20, 1}}, false).follow(band, DutyEdge::slow).operates);
    // tau = -4 s / ln(1 - (5/20)^2) = 61.98 s; 3/4 exp(-t/tau) + 2/4 = 1 at t = 25.13 s.
    CHECK(ByHand({{20, 3}, {4, 25.105}, {20, 2}}, false).follow(band, DutyEdge::fast).operates);
    CHECK_FALSE(ByHand({{20, 3}, {4, 25.155}, {20, 2}}, false).follow(band, DutyEdge::fast).operates);
    // The end of a cycle and the start of the next are one stretch.
    CHECK(ByHand({{20, 2}, {4, 1}, {20, 2}}, true).follow(band, DutyEdge::fast).operates);
    CHECK_FALSE(ByHand({{20, 2}, {4, 1}, {20, 1.9}}, true).follow(band, DutyEdge::slow).operates);
    // A cycle of 2 s and a rest: (1/2) / (1 - exp(-t/tau)) = 1 at t = tau ln 2 = 42.96 s.
    CHECK(ByHand({{20, 2}, {4, 42.91}}, true).follow(band, DutyEdge::fast).operates);
    CHECK_FALSE(ByHand({{20, 2}, {4, 43.01}}, true).follow(band, DutyEdge::fast).operates);
    // Electronics measure anew.
    Band electronic = band;
    electronic.electronic = true;
    CHECK_FALSE(ByHand({{20, 2}, {4, 0.1}}, true).follow(electronic, DutyEdge::fast).operates);
    const Duty creeping = ByHand({{20, 1}, {6, 10}}, true).follow(band, DutyEdge::fast);
    CHECK(creeping.operates);
    CHECK(creeping.working.back() == "and so on, without a rest, until it is there");
}

TEST_CASE("what a blocked load does is a note: which device opens, and when") {
    const Finding opens = only(pump(", stall 35 A"));
    CHECK(opens.severity == Severity::note);
    CHECK(opens.subject == "M1");
    CHECK(opens.message == "load M1 blocked draws 35 A: fuse F1 opens it");
    CHECK(opens.beside == "after 500 ms at the soonest, 5 s at the latest");
    CHECK(opens.working == Lines{"40 A through fuse F1, 15 A without it", "band: the part's own points"});
    const Finding never = only(pump(", stall 20 A"));
    CHECK(never.message == "load M1 blocked draws 20 A: no device on its way is sure to open");
    CHECK(silent(pump("")));
}

TEST_CASE("a stated operating integral counts for short circuits only") {
    Band band;
    EdgeCurve slow;
    slow.points = {{20, 100}, {200, 1}};
    slow.integral_A2s = 400;
    band.slow.push_back(slow);
    // 400 A2s at 40 A would be 250 ms: far too early. At 200 A it is 10 ms.
    CHECK(band.slow_s(40) == Approx(25));
    CHECK(band.slow_s(60) == Approx(100.0 / 9));
    CHECK(band.slow_s(200) == Approx(0.01));
}

TEST_CASE("the instantaneous release of a breaker counts beside its own points") {
    const auto with = [](const std::string& setting) {
        return replaced(pump(", inrush 30 A for 0.1 s"), std::string(own_fuse),
                        "breaker F1 { 20 A, 80 V dc, breaks 5 kA at 80 V dc, point 40 A 0.5..5 s\n"
                        "  point 100 A 0.05..0.5 s, reset hand" +
                            setting + " }");
    };
    // IEC 60947-2: it may act from 0.8 of its setting on; 35 A are 0.83 of 42 A and 0.8 of 43.75 A.
    CHECK(only(with(", instantaneous 42 A")).subject == "F1");
    CHECK(silent(with(", instantaneous 45 A")));
    CHECK(silent(with("")));
}

}  // namespace nuisance_trip_test
