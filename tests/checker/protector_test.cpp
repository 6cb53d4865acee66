// A protector is electronics in a lead: it opens at its trips, guards as electronics do, and one that breaks
// nothing stays closed in a short circuit.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/currents/device_duty.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/protectors.hpp"
#include "checker/parts/time_current.hpp"
#include "tests/checker/checking.hpp"

namespace protector_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A fuse of 60 A, and behind it a protector with a lead that the fuse alone is too large for.
struct Winder {
    std::string protector =
        "8 A, 60 V dc, trips 12 A after 50 ms, trips 60 A after 200 us, resistance 10 mohm, breaks 5 kA at "
        "60 V "
        "dc";
    std::string reset = "reset hand";
    std::string lamp = "48 V, 5 A, acts-as current, works 30..60 V";

    Results check() const {
        return check_text(
            "loom 1\nharness \"Reel winder\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 39..54.6 V, resistance 40 mohm, capacity 18 Ah, discharge 60 A, charge 15 A "
            "}\n"
            "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
            "protector F2 { " +
            protector + ", " + reset + " }\nload H1 { " + lamp +
            " }\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) F2 (W3 0.75 mm2, 1 m, red) H1 "
            "(W4 16 mm2, 1 m, black) B1.-\n"
            "mode on { others at rest }\n");
    }
};

const Edge& protector_of(const Results& results) {
    for (const Edge& edge : results.circuit.edges)
        if (edge.role == EdgeRole::protector) return edge;
    FAIL("no protector");
    return results.circuit.edges.front();
}

}  // namespace

TEST_CASE("a protector is held to all that hangs on it at once, and to its trips where these are less") {
    const auto heaters = [](double rated_A, double trips_A, double first_A) {
        return check_text(fmt::format(R"(loom 1
harness "Seed bed" {{ ambient 0..35 degC, insulation xlpe 90 degC }}
pack B1 {{ voltage 44..57.6 V, resistance 8..20 mohm, capacity 120 Ah, discharge 100 A, charge 30 A }}
fuse F1 {{ 80 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }}
protector F2 {{ {} A, 60 V dc, trips {} A after 10 s, trips 300 A after 1 ms, breaks 10 kA at 60 V dc
  resistance 1 mohm, reset hand }}
switch S1 {{ 80 V dc, carries 40 A, makes 40 A, breaks 40 A at 60 V dc }}
switch S2 {{ 80 V dc, carries 40 A, makes 40 A, breaks 40 A at 60 V dc }}
load E1 {{ 48 V, {} A, acts-as current }}
load E2 {{ 48 V, 18 A, acts-as current }}
stud X1
busbar X2 {{ studs 4, carries 100 A }}
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.1 m, red) F2 (W3 25 mm2, 0.1 m, red) X1
route X1 (W4 25 mm2, 0.1 m, red) S1 (W5 25 mm2, 0.3 m, red) E1 (W6 25 mm2, 0.3 m, black) X2.1
route X1 (W7 25 mm2, 0.1 m, red) S2 (W8 25 mm2, 0.3 m, red) E2 (W9 25 mm2, 0.3 m, black) X2.2
route B1.- (W10 25 mm2, 0.1 m, black) X2.3
mode first {{ S1 closed, others at rest }}
mode second {{ S2 closed, others at rest }}
)",
                                      rated_A, trips_A, first_A));
    };
    const Results both = heaters(36, 150, 18.1);
    const Finding* finding = finding_of(both, "rated-below-guard", "F2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "protector F2 carries less than what hangs on it draws");
    CHECK(figure(*finding, "current") == Approx(36.1));
    CHECK(finding->working ==
          std::vector<std::string>{"36.1 A > 36 A",
                                   "what hangs on it draws 36.1 A; its trips let 150 A stand"});
    CHECK_FALSE(finding_of(heaters(36, 150, 17.9), "rated-below-guard", "F2"));
    CHECK_FALSE(finding_of(heaters(36, 36, 25), "rated-below-guard", "F2"));
    CHECK(figure(*finding_of(heaters(36, 40, 25), "rated-below-guard", "F2"), "current") == Approx(40));
}

TEST_CASE("a short tap to a protector is guarded by it as one to a fuse is") {
    const auto tapped = [](const std::string& length, const std::string& device) {
        return check_text(
            "loom 1\nharness \"Reel winder\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 39..54.6 V, resistance 40 mohm, capacity 18 Ah, discharge 60 A, charge 15 A "
            "}\n"
            "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\nstud X1\n" +
            device +
            "\nload H1 { 48 V, 5 A, acts-as current, works 30..60 V }\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) X1\n"
            "route X1 (W5 4 mm2, " +
            length +
            ", red) F2 (W3 4 mm2, 1 m, red) H1 (W4 16 mm2, 1 m, black) B1.-\n"
            "mode on { others at rest }\n");
    };
    const std::string of_20_A =
                          "protector F2 { 20 A, 60 V dc, trips 30 A after 1 s, trips 80 A after 1 ms, breaks "
                          "5 kA at 60 V dc, resistance 2 mohm, reset hand }",
                      of_60_A =
                          "protector F2 { 60 A, 60 V dc, trips 80 A after 1 s, breaks 5 kA at 60 V dc, "
                          "resistance 2 mohm, reset hand }";
    CHECK_FALSE(finding_of(tapped("178 mm", of_20_A), "oversized-fuse"));
    CHECK(finding_of(tapped("179 mm", of_20_A), "oversized-fuse", "W5"));
    CHECK(finding_of(tapped("178 mm", of_60_A), "oversized-fuse"));
}

TEST_CASE("a protector guards the lead behind it, and is told to be electronics alone") {
    const Results results = Winder().check();
    CHECK(finding_of(results, "unprotected-wire", "W3") == nullptr);
    CHECK(finding_of(results, "oversized-fuse", "W3") == nullptr);
    const Finding* told = finding_of(results, "electronic-only", "W3");
    REQUIRE(told != nullptr);
    CHECK(told->severity == Severity::note);
    CHECK(figure(*told, "operating") == Approx(12));
    CHECK(finding_of(results, "overloaded-protector") == nullptr);
}

TEST_CASE("a protector that trips at too much for its lead does not stand in for a smaller fuse") {
    Winder winder;
    winder.protector = "8 A, 60 V dc, trips 50 A after 50 ms, resistance 10 mohm, breaks 5 kA at 60 V dc";
    const Results results = winder.check();
    CHECK(gravest_of(results, "oversized-fuse", "W3") == Severity::error);
    CHECK(finding_of(results, "electronic-only", "W3") == nullptr);
}

TEST_CASE("a protector that breaks nothing, or nobody knows what, guards no lead") {
    for (const std::string breaks : {"breaks none", "breaks unknown"}) {
        Winder winder;
        winder.protector = "8 A, 60 V dc, trips 12 A after 50 ms, resistance 10 mohm, " + breaks;
        const Results results = winder.check();
        INFO(breaks);
        CHECK(finding_of(results, "oversized-fuse", "W3") != nullptr);
        // Where nobody says, it may be a guard after all.
        CHECK(finding_of(results, "oversized-fuse", "W3")->possible == (breaks == "breaks unknown"));
        CHECK(finding_of(results, "fuse-breaking-capacity", "F2") == nullptr);
        CHECK(finding_of(results, "electronics-first", "F2") == nullptr);
        const Facts facts(*results.judged);
        const PartId part = protector_of(results).part;
        CHECK(std::isfinite(edge_time_s(band_of(facts, part), DutyEdge::slow, 20)));
    }
}

TEST_CASE("a protector opens in a short circuit before the fuse, and has to break what flows there") {
    Winder winder;
    const Results fine = winder.check();
    CHECK(finding_of(fine, "fuse-breaking-capacity", "F2") == nullptr);
    CHECK(finding_of(fine, "slow-clearing", "W3") == nullptr);
    winder.protector = "8 A, 60 V dc, trips 12 A after 50 ms, resistance 10 mohm, breaks 100 A at 60 V dc";
    const Results weak = winder.check();
    const Finding* told = finding_of(weak, "fuse-breaking-capacity", "F2");
    REQUIRE(told != nullptr);
    CHECK(figure(*told, "breaks") == Approx(100));
    // 54.6 V over at least 40 mohm.
    CHECK(figure(*told, "prospective") <= 54.6 / 0.040);
}

TEST_CASE("a protector is held to its rated current, and to trips that a mode reaches") {
    Winder winder;
    winder.lamp = "48 V, 9 A, acts-as current, works 30..60 V";
    const Results warm = winder.check();
    const Finding* told = finding_of(warm, "overloaded-protector", "F2");
    REQUIRE(told != nullptr);
    CHECK(told->message == "protector F2 passes more than it may");
    CHECK(figure(*told, "limit") == Approx(8));
    winder.lamp = "48 V, 13 A, acts-as current, works 30..60 V";
    const Results trips = winder.check();
    told = finding_of(trips, "overloaded-protector", "F2");
    REQUIRE(told != nullptr);
    CHECK(told->message == "protector F2 trips in normal use");
    CHECK(figure(*told, "limit") == Approx(12));
}

TEST_CASE("an inrush that outlasts the delay of a protector trips it") {
    Winder winder;
    winder.lamp = "48 V, 5 A, acts-as current, works 30..60 V, inrush 20 A for 40 ms";
    CHECK(finding_of(winder.check(), "nuisance-trip", "F2") == nullptr);
    winder.lamp = "48 V, 5 A, acts-as current, works 30..60 V, inrush 20 A for 60 ms";
    CHECK(finding_of(winder.check(), "nuisance-trip", "F2") != nullptr);
}

TEST_CASE("a protector that closes again by itself is told, and its resistance and state count") {
    Winder winder;
    CHECK(finding_of(winder.check(), "self-closing-breaker") == nullptr);
    winder.reset = "reset itself";
    const Results results = winder.check();
    CHECK(finding_of(results, "self-closing-breaker", "F2") != nullptr);
    const Edge& edge = protector_of(results);
    const Facts facts(*results.judged);
    CHECK(resistance_ohm(results.circuit, facts, edge, Corner::run_full, 20) == Approx(0.010));
    Mode mode = results.circuit.harness->modes.front();
    CHECK(is_closed(results.circuit, mode, edge));
    mode.states[edge.part.index()].posture = Posture::open;
    CHECK_FALSE(is_closed(results.circuit, mode, edge));
}

TEST_CASE("a protector that opens below what it is fed is told by its rated voltage") {
    Winder winder;
    winder.protector = "8 A, 50 V dc, trips 12 A after 50 ms, resistance 10 mohm, breaks 5 kA at 60 V dc";
    CHECK(finding_of(winder.check(), "contact-voltage", "F2") != nullptr);
}

TEST_CASE("what hangs on one protector counts with its lowest trip before a splice, as with a fuse") {
    const auto tank = [](double trips_A) {
        return check_text(fmt::format(R"(loom 1
harness "Milk tank" {{ ambient 0..35 degC, insulation xlpe 90 degC }}
pack B1 {{ voltage 21..28.8 V, resistance 8..20 mohm, capacity 60 Ah, discharge 100 A, charge 30 A }}
fuse F1 {{ 60 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-5 }}
protector F2 {{ 6 A, 60 V dc, trips {} A after 100 ms, trips 60 A after 1 ms, breaks 10 kA at 60 V dc
  resistance 1 mohm, reset hand }}
load E1 {{ 24 V, 2 A, acts-as current }}
load E2 {{ 24 V, 2 A, acts-as current }}
splice X1 {{ carries 10 A }}
busbar X2 {{ studs 4, carries 100 A }}
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) F2 (W3 1 mm2, 0.1 m, red) X1
route X1 (W5 1 mm2, 0.3 m, red) E1 (W6 1 mm2, 0.3 m, black) X2.1
route X1 (W8 1 mm2, 0.3 m, red) E2 (W9 1 mm2, 0.3 m, black) X2.2
route B1.- (W10 16 mm2, 0.1 m, black) X2.3
mode on {{ others at rest }}
)",
                                      trips_A));
    };
    CHECK_FALSE(finding_of(tank(8), "rated-below-guard", "X1"));
    CHECK_FALSE(finding_of(tank(10), "rated-below-guard", "X1"));
    const Results high = tank(10.1);
    const Finding* finding = finding_of(high, "rated-below-guard", "X1");
    REQUIRE(finding);
    CHECK(figure(*finding, "current") == Approx(10.1));
}

TEST_CASE("a protector whose current enters at its out in every mode lies the wrong way round") {
    const auto lamp = [](const std::string& way, const std::string& back) {
        return check_text(
            "loom 1\nharness \"hay loft\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }\n"
            "fuse F1 { 15 A, 32 V dc, breaks 6 kA at 32 V dc, curve iso8820-3 }\n"
            "protector F9 { 10 A, 60 V dc, trips 15 A after 100 ms, breaks 6 kA at 60 V dc, resistance 6 "
            "mohm\n"
            "  reset hand }\nswitch S1 { 60 V dc, carries 15 A, makes 20 A, breaks 15 A at 32 V dc }\n"
            "load E1 { 24 V, 4 A, acts-as current, works 18..32 V }\n"
            "route B1.+ (W1 4 mm2, 0.1 m) F1 (W2 4 mm2, 0.1 m) S1 (W3 4 mm2, 0.1 m) F9." +
            way + "\nroute F9." + back +
            " (W4 4 mm2, 0.1 m) E1 (W5 4 mm2, 0.1 m) B1.-\nmode off { others at rest }\n"
            "mode on { S1 closed, others at rest }\n");
    };
    const Results turned = lamp("out", "in");
    const Finding* finding = finding_of(turned, "walked-backwards", "F9");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "protector F9 lies the wrong way round");
    CHECK_FALSE(finding_of(lamp("in", "out"), "walked-backwards"));
}

TEST_CASE("what is known never to open in a short, and what nobody knows") {
    const auto opens_never = [](const std::string& parts, std::string_view part) {
        const Results results = check_text("loom 1\nharness \"x\" { ambient 0..30 degC }\n" + parts);
        return never_opens(Facts(*results.harness), *results.harness->find_part(part));
    };
    const auto protector = [](const std::string& breaks) {
        return "protector P1 { 20 A, 80 V dc, trips 25 A after 1 s, " + breaks +
               "resistance 1 mohm, reset hand }\n";
    };
    CHECK(opens_never(protector("breaks none, "), "P1"));
    CHECK_FALSE(opens_never(protector("breaks unknown, "), "P1"));
    CHECK_FALSE(opens_never(protector(""), "P1"));
    CHECK_FALSE(opens_never(protector("breaks 4 kA at 80 V dc, "), "P1"));
    const auto driven = [](const std::string& word) {
        return "contactor K1 { carries 100 A, makes 60 A, breaks 100 A at 60 V dc, coil 48 V 200 mA" + word +
               " }\nbms Q1 { side high, drives K1, discharge 70 A, charge 20 A, trips 120 A after 1 s }\n";
    };
    CHECK(opens_never(driven(", latching"), "Q1"));
    CHECK_FALSE(opens_never(driven(""), "Q1"));
}

TEST_CASE("a protector of which nothing is stated is solved all the same") {
    const Results results = check_text(
        "loom 1\nharness \"x\" { ambient 0..40 degC }\n"
        "pack B1 { voltage 20..29.2 V, resistance 10..16 mohm, capacity 90 Ah, discharge 100 A, charge 30 A "
        "}\n"
        "fuse F1 { 5 A, 32 V dc, breaks 4 kA at 32 V dc, curve iso8820-3 }\nprotector P9\nload E1 { 24 V, 10 "
        "W }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 1 m) P9 (W3 2.5 mm2, 1 m) E1 (W4 2.5 mm2, 1 m) "
        "B1.-\n");
    CHECK_FALSE(results.points.empty());
    CHECK(std::all_of(results.points.begin(), results.points.end(),
                      [](const OperatingPoint& point) { return point.status == SolveStatus::solved; }));
}

}  // namespace protector_test
