// Ratings against courses in time: every kind of part, a part in a thousand inside its limit and outside of
// it.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <cmath>
#include <functional>
#include <optional>

#include "checker/currents/profile.hpp"
#include "checker/tables/formulas.hpp"
#include "tests/checker/checking.hpp"

namespace profile_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// 40 A for a minute and a half, 10 A for two minutes, over and over; everything is generous.
constexpr std::string_view reed_cutter = R"(loom 1
harness "Reed cutter" { ambient 20..20 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..29 V, resistance 5 mohm, capacity 200 Ah, discharge 400 A, charge 400 A }
bms Q1 {
  side low, ports common, discharge 400 A, charge 400 A, trips 900 A after 1 s, charge-trips 900 A after 1 s
  resistance 1 mohm
}
fuse F1 { 300 A, 58 V dc, breaks 9 kA at 58 V dc, curve iso8820-5 }
switch S1 { 58 V dc, carries 400 A, makes 900 A, breaks 400 A at 58 V dc }
contactor K1 {
  carries 400 A, makes 900 A, breaks 400 A at 58 V dc
  coil 24 V 200 mA, coil-works 14..32 V, suppression varistor
}
relay K2 {
  contacts no, carries 400 A, makes 900 A, breaks 400 A at 58 V dc
  coil 24 V 200 mA, coil-works 14..32 V, suppression varistor
}
selector S2 {
  terminals a b com, position off, position one a com, carries 400 A, makes 900 A, breaks 400 A at 58 V dc, 58 V dc
}
connector J1 {
  mate P1, half socket, contacts + -, carries 400 A, 60 V, takes 25..120 mm2, rated-at 20 degC, limit 105 degC
}
busbar X1 { studs 8, carries 400 A }
busbar X2 { studs 8, carries 400 A }
terminal-block X3 { ways 2, 60 V, carries 400 A, takes 25..120 mm2 }
splice X4 { method clamp, carries 400 A }
stud X5 { carries 400 A }
resistor R1 { 10 mohm, 900 W }
load E1 { 24 V, 10 A, acts-as current, works 5..31 V }
charger G1 { output 33 V 60 A, reverse blocked }
controller U1 { input 15..31 V, capacitance 10 uF, phase-peak 90 A, supply-limit 30 A, regen none, standby 10 mA }
motor M1 { leads 3, carries 400 A }
route B1.+ (W1 95 mm2, 0.1 m, red) F1 (W2 95 mm2, 0.1 m, red) S1 (W3 95 mm2, 0.1 m, red) X1.1
route X1.2 (W4 95 mm2, 0.1 m, red) K1 (W5 95 mm2, 0.1 m, red) K2 (W6 95 mm2, 0.1 m, red) S2.a
route S2.com (W7 95 mm2, 0.1 m, red) X3.1 (W8 95 mm2, 0.1 m, red) X4 (W9 95 mm2, 0.1 m, red) X5
route X5 (W10 95 mm2, 0.1 m, red) R1 (W11 95 mm2, 0.1 m, red) J1.+ (W12 95 mm2, 0.1 m, red) E1
    (W13 95 mm2, 0.1 m, black) J1.- (W14 95 mm2, 0.1 m, black) X2.1
route X2.2 (W15 95 mm2, 0.1 m, black) Q1.P-
route B1.- (W16 95 mm2, 0.1 m, black) Q1.B-
route X1.3 (W17 95 mm2, 0.1 m, red) G1.+
route X2.3 (W18 95 mm2, 0.1 m, black) G1.-
route X1.4 (W19 95 mm2, 0.1 m, red) U1.+
route X2.4 (W20 95 mm2, 0.1 m, black) U1.-
route X1.5 (W21 95 mm2, 0.1 m, red) K1.A1
route X2.5 (W22 95 mm2, 0.1 m, black) K1.A2
route X1.6 (W23 95 mm2, 0.1 m, red) K2.A1
route X2.6 (W24 95 mm2, 0.1 m, black) K2.A2
route U1.U (W25 95 mm2, 0.1 m, yellow) M1.U
route U1.V (W26 95 mm2, 0.1 m, green) M1.V
route U1.W (W27 95 mm2, 0.1 m, blue) M1.W
mode off { others at rest }
mode cut { S1 K1 closed, K2 energised, S2 at one, E1 draws 40 A for 90 s then 10 A for 200 s repeating, others at rest }
)";

// The same cycle of a motor's phases, and of a charger.
constexpr std::string_view other_modes = R"(mode drive { S1 K1 closed, K2 energised, E1 off, others at rest
  U1 draws 5 A, U1 phases 40 A for 90 s then 10 A for 200 s repeating }
mode charge { S1 K1 closed, K2 energised, E1 off, others at rest, G1 delivers 40 A for 90 s then 10 A for 200 s repeating }
)";

double cycle_A(double tau_s) {
    const HeatLevel levels[] = {{40, 90}, {10, 200}};
    return equivalent_current_A(levels, true, tau_s);
}

// A part, what its rating is written as, and how it warms up.
struct Row {
    std::string_view part, rating, rule;
    double quick_s, slow_s;
    std::function<std::string(double)> written = {};
    std::string_view subject = part;
    double also_A = 0;  // that flows beside the cycle
};
std::string with_rating(const Row& row, double rating_A) {
    const std::string text = std::string(reed_cutter) + std::string(other_modes);
    const std::size_t part = text.find(" " + std::string(row.part) + " {");
    REQUIRE(part != std::string::npos);
    const std::size_t at = text.find(row.rating, part);
    REQUIRE(at != std::string::npos);
    const std::string written = row.written ? row.written(rating_A)
                                            : std::string(row.rating.substr(0, row.rating.find("400"))) +
                                                  fmt::format("{:.5f} A", rating_A);
    return std::string(text).replace(at, row.rating.size(), written);
}

const Row rows[] = {
    {"S1", "carries 400 A", "overloaded-contact", 60, 300, {}, "S1"},
    {"K1", "carries 400 A", "overloaded-contact", 60, 300},
    {"K2", "carries 400 A", "overloaded-contact", 60, 300},
    {"S2", "carries 400 A", "overloaded-contact", 60, 300},
    {"J1", "carries 400 A", "overloaded-contact", 60, 300, {}, "J1.+"},
    {"X3", "carries 400 A", "overloaded-contact", 60, 300},
    {"X4", "carries 400 A", "overloaded-contact", 60, 300},
    {"X5", "carries 400 A", "overloaded-contact", 60, 300},
    {"Q1", "discharge 400 A", "overdrawn-bms", 60, 300},
    {"Q1", ", charge 400 A", "overdrawn-bms", 60, 300},
    {"M1", "carries 400 A", "overloaded-motor", 120, 600},
    {"R1", "900 W", "overloaded-resistor", 22.4, 22.4,
     [](double rating_A) { return fmt::format("{:.6f} W", rating_A * rating_A * 0.01); }},
};

// What flows through the part in its cycle: the coils' 0.4 A beside it where it is before them.
double load_A(const Row& row, double tau_s) {
    const Results results = check_text(std::string(reed_cutter) + std::string(other_modes));
    double worst_A = 0;
    for (std::size_t i = 0; i < results.circuit.edges.size(); ++i) {
        const Edge& edge = results.circuit.edges[i];
        if (!edge.part || results.harness->part(edge.part).name != row.part) continue;
        for (const Course& course : usable_courses(results.points))
            worst_A = std::max(worst_A, load_of(course, tau_s, EdgeId(i)).current_A);
    }
    return worst_A;
}

}  // namespace

TEST_CASE("a generous harness has no finding about its ratings", "[profile]") {
    const Results results = check_text(std::string(reed_cutter) + std::string(other_modes));
    for (const Row& row : rows) {
        INFO(row.part << " " << row.rating);
        CHECK_FALSE(gravest_of(results, row.rule, row.subject));
    }
}

TEST_CASE("every rating for long is held against the warmest moment of a cycle, at both ends of its warm-up",
          "[profile]") {
    for (const Row& row : rows) {
        INFO(row.part << " " << row.rating);
        // Bars, splices, motors and the two directions of a pack have no edge of their own for it.
        const bool own =
            row.rule == "overloaded-contact" && row.part != "X4" && row.part != "X5" && row.part != "X3";
        const double quick_A = own ? load_A(row, row.quick_s) : cycle_A(row.quick_s);
        const double slow_A = own ? load_A(row, row.slow_s) : cycle_A(row.slow_s);
        // The coils of the two contactors are fed beside it through what lies before the bars.
        const double beside_A = row.part == "Q1" ? 0.6 : 0;
        CHECK_FALSE(
            gravest_of(check_text(with_rating(row, quick_A * 1.001 + beside_A)), row.rule, row.subject));
        const auto outside =
            gravest_of(check_text(with_rating(row, quick_A / 1.001 - beside_A)), row.rule, row.subject);
        REQUIRE(outside);
        CHECK(*outside != Severity::note);
        if (row.slow_s > row.quick_s) CHECK(*outside == Severity::warning);
        const auto certain =
            gravest_of(check_text(with_rating(row, slow_A / 1.001 - beside_A)), row.rule, row.subject);
        REQUIRE(certain);
        CHECK(*certain == Severity::error);
    }
}

TEST_CASE("half an hour counts though the profile ends at nothing, and a milder mode hides nothing",
          "[profile]") {
    const std::string half_hour =
        replaced(std::string(reed_cutter), "E1 draws 40 A for 90 s then 10 A for 200 s repeating",
                 "E1 draws 40 A for 1800 s then 0 A");
    const std::string milder = half_hour + "mode mild { like cut, E1 draws 30 A }\n";
    const auto rated = [](const std::string& text, double rating_A) {
        return replaced(text, "switch S1 { 58 V dc, carries 400 A",
                        fmt::format("switch S1 {{ 58 V dc, carries {} A", rating_A));
    };
    for (const std::string& text : {half_hour, milder}) {
        CHECK(gravest_of(check_text(rated(text, 35)), "overloaded-contact", "S1") == Severity::error);
        CHECK_FALSE(gravest_of(check_text(rated(text, 41)), "overloaded-contact", "S1"));
    }
    // The worst of the two is named.
    for (const Finding& finding : check_text(rated(milder, 25)).findings)
        if (finding.rule == "overloaded-contact")
            CHECK(check_text(rated(milder, 25)).harness->modes[finding.mode.index()].name == "cut");
}

TEST_CASE("there is no duration from which on a pulse counts: it counts by its heat", "[profile]") {
    const auto pulse = [](double seconds, double rating_A) {
        std::string text =
            replaced(std::string(reed_cutter), "E1 draws 40 A for 90 s then 10 A for 200 s repeating",
                     fmt::format("E1 draws 200 A for {} s then 0 A for 3600 s repeating", seconds));
        text = replaced(text, "S1 { 58 V dc, carries 400 A",
                        fmt::format("S1 {{ 58 V dc, carries {:.5f} A", rating_A));
        return gravest_of(check_text(text), "overloaded-contact", "S1");
    };
    for (const double seconds : {0.5, 4.9, 5.1, 30.0}) {
        INFO(seconds);
        const auto at = [&](double tau_s) { return 200.4 * std::sqrt(1 - std::exp(-seconds / tau_s)); };
        CHECK_FALSE(pulse(seconds, at(60) * 1.003));
        CHECK(pulse(seconds, at(60) / 1.003) == Severity::warning);
        CHECK(pulse(seconds, at(300) / 1.003) == Severity::error);
    }
}

TEST_CASE("what a contact withstands for a time says how quickly it warms up", "[profile]") {
    const auto withstands = [](double seconds) {
        std::string text =
            replaced(std::string(reed_cutter), "E1 draws 40 A for 90 s then 10 A for 200 s repeating",
                     "E1 draws 150 A for 20 s then 0 A for 3600 s repeating");
        text = replaced(text, "S1 { 58 V dc, carries 400 A",
                        fmt::format("S1 {{ 58 V dc, carries 40 A, withstands 150.4 A for {} s", seconds));
        return gravest_of(check_text(text), "overloaded-contact", "S1");
    };
    CHECK_FALSE(withstands(20.2));
    CHECK(withstands(19.8) == Severity::error);
}

TEST_CASE("a fuse is held against its rating within minutes, and against its continuous load within hours",
          "[profile]") {
    const auto fuse = [](const std::string& draws, double rated_A) {
        std::string text =
            replaced(std::string(reed_cutter), "40 A for 90 s then 10 A for 200 s repeating", draws);
        text = replaced(text, "fuse F1 { 300 A", fmt::format("fuse F1 {{ {} A", rated_A));
        return gravest_of(check_text(text), "overloaded-fuse", "F1");
    };
    CHECK(fuse("40 A for 3600 s then 0 A", 39) == Severity::error);
    CHECK_FALSE(fuse("40 A for 600 s then 0 A", 45));
    // Three quarters of an hour are not hours; half a day is.
    CHECK_FALSE(fuse("40 A for 2700 s then 0 A", 45));
    CHECK(fuse("40 A for 43200 s then 0 A", 45) == Severity::warning);
    CHECK_FALSE(fuse("40 A for 43200 s then 0 A", 60));
}

TEST_CASE("a pack that is charged above its rating for a while is warned of, for long is an error",
          "[profile]") {
    const auto charged = [](double rating_A) {
        return gravest_of(
            check_text(with_rating({"B1", ", charge 400 A", "overdrawn-pack", 60, 600}, rating_A)),
            "overdrawn-pack", "B1");
    };
    CHECK_FALSE(charged(40.1));
    CHECK(charged(38) == Severity::warning);
    CHECK(charged(cycle_A(600) / 1.001 - 0.6) == Severity::error);
}

TEST_CASE("a peak allows what it says, once", "[profile]") {
    const auto pack = [](const std::string& draws) {
        std::string text =
            replaced(std::string(reed_cutter), "40 A for 90 s then 10 A for 200 s repeating", draws);
        text = replaced(text, "discharge 400 A, charge 400 A }",
                        "discharge 40 A, charge 400 A, peak 100.4 A for 30 s }");
        return gravest_of(check_text(text), "overdrawn-pack", "B1");
    };
    CHECK_FALSE(pack("99.9 A for 29.9 s then 0 A for 3600 s repeating"));
    CHECK(pack("99.9 A for 30.5 s then 0 A for 3600 s repeating") == Severity::error);
    CHECK(pack("100.2 A for 10 s then 0 A for 3600 s repeating") == Severity::error);
    // Again before it has cooled.
    CHECK(pack("99.9 A for 29.9 s then 0 A for 60 s repeating") == Severity::error);
}

TEST_CASE("the steady current that warms as a course does is where stepping through it arrives",
          "[profile]") {
    OperatingPoint points[2];
    points[0].edge_A = {40}, points[0].duration_s = 90, points[0].repeats = true;
    points[1].edge_A = {-10}, points[1].duration_s = 200, points[1].from_s = 90, points[1].repeats = true;
    const Course course{ModeId(0), Corner::run_hot, points};
    const CourseLoad load = load_of(course, 60, EdgeId(0));
    CHECK(load.current_A == Approx(cycle_A(60)));
    CHECK(load.level_A == 40);
    CHECK(load.lasts_s == 90);
    CHECK(load.at == &points[0]);
    CHECK(load.current_A ==
          Approx(std::sqrt(1600 - (1600 - load.before_A * load.before_A) * std::exp(-1.5))));
    const HeatLevel one_way[] = {{0, 90}, {10, 200}};
    CHECK(load_of(course, 60, EdgeId(0), -1).current_A == Approx(equivalent_current_A(one_way, true, 60)));
}

TEST_CASE("where the same levels come again their numbers are those of the first time") {
    // Two levels each: 0.3 s and 0.4 s of one drive, 0.5 s and 9.5 s of the other, for ten seconds.
    const Results results = check_text(R"(loom 1
harness "Twin hoe" { ambient 20..20 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..29 V, resistance 5 mohm, capacity 200 Ah, discharge 400 A, charge 400 A }
fuse F1 { 300 A, 58 V dc, breaks 9 kA at 58 V dc, curve iso8820-5 }
switch S1 { 58 V dc, carries 400 A, makes 900 A, breaks 400 A at 58 V dc }
load E1 { 24 V, 40 A, acts-as current }
load E2 { 24 V, 20 A, acts-as current }
route B1.+ (W1 95 mm2, 0.1 m, red) F1 (W2 95 mm2, 1 m, red) S1 (W3 95 mm2, 1 m, red) X1
route X1 (W4 25 mm2, 1 m, red) E1 (W5 25 mm2, 1 m, black) X2
route X1 (W6 25 mm2, 1 m, red) E2 (W7 25 mm2, 1 m, black) X2
route X2 (W8 95 mm2, 1 m, black) B1.-
stud X1 { carries 400 A }
stud X2 { carries 400 A }
mode hoe {
  S1 closed
  E1 draws 40 A for 0.3 s then 10 A for 0.4 s repeating
  E2 draws 20 A for 0.5 s then 1 A for 9.5 s repeating
}
)");
    const auto load_A = [&](const OperatingPoint& point, std::string_view name) {
        const WireId wire = *results.harness->find_wire(name);
        return std::abs(point.edge_A[results.circuit.edge_of_wire[wire.index()].index()]);
    };
    std::size_t first = 0, again = 0;
    for (const OperatingPoint& point : results.points) {
        (point.again ? again : first) += 1;
        const double at_s = point.from_s + 1e-6;
        CHECK(load_A(point, "W4") == Approx(std::fmod(at_s, 0.7) < 0.3 ? 40 : 10));
        CHECK(load_A(point, "W6") == Approx(std::fmod(at_s, 10) < 0.5 ? 20 : 1));
        CHECK(point.worst_residual_A < 1e-6);
    }
    CHECK(first == 2 * 4);  // two corners; four pairs of levels
    CHECK(again > 50);
    CHECK(first + again == results.points.size());
}

}  // namespace profile_test
