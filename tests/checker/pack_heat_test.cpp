// How warm the cells of a pack get, against worked examples, and what is told where they get as hot as they
// stop at.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "checker/heat/endurance.hpp"
#include "checker/heat/pack_heat.hpp"
#include "tests/checker/checking.hpp"

namespace pack_heat_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

// One pack behind one load that draws what the mode says, at the same temperature everywhere.
struct Barrow {
    std::string ambient = "20..20 degC";
    std::string pack =
        "cells 20s5p, cell-voltage 3.0..4.2 V, cell-resistance 30 mohm, cell-capacity 3.3 Ah, "
        "discharge 60 A, charge 60 A";
    std::string heat = "mass 4.56 kg, thermal-resistance 0.2 K/W, cuts-out-at 60 degC";
    std::string bms;  // more of its attributes; empty: there is none
    std::string mode = "E1 draws 40 A";

    std::string text() const {
        std::string text = "loom 1\nharness \"Peat barrow\" { ambient " + ambient +
                           ", insulation xlpe 90 degC }\npack B1 { " + pack + (heat.empty() ? "" : ", ") +
                           heat +
                           " }\nload E1 { 72 V, 15 kW, acts-as current, works 40..90 V, rest off }\n"
                           "charger G1 { output 84 V 60 A, reverse blocked }\n"
                           "fuse F1 { 200 A, 100 V dc, breaks 20 kA at 100 V dc, curve ul248-14 }\n"
                           "fuse F2 { 200 A, 100 V dc, breaks 20 kA at 100 V dc, curve ul248-14 }\n"
                           "busbar X1 { studs 3, carries 300 A }\n"
                           "route B1.+ (W1 70 mm2, 0.1 m, red) F1 (W2 70 mm2, 0.2 m, red) E1 "
                           "(W3 70 mm2, 0.2 m, black) X1.1\n"
                           "route F1.in (W4 70 mm2, 0.1 m, red) F2 (W5 70 mm2, 0.2 m, red) G1 "
                           "(W6 70 mm2, 0.2 m, black) X1.2\n";
        text += bms.empty() ? "route B1.- (W7 70 mm2, 0.1 m, black) X1.3\n"
                            : "bms Q1 { side low, ports common, resistance 0.1 mohm, discharge 200 A, charge "
                              "200 A, trips 400 A after 1 s, " +
                                  bms +
                                  " }\nroute B1.- (W7 70 mm2, 0.1 m, black) Q1 (W8 70 mm2, 0.1 m, "
                                  "black) X1.3\n";
        return text + "mode off { others at rest }\nmode ride { " + mode + ", others at rest }\n";
    }
    Results check() const { return check_text(text()); }
};

PackHeat heat_of(const Results& results, const Facts& facts) {
    for (std::size_t i = 0; i < results.circuit.harness->parts.size(); ++i)
        if (results.circuit.harness->parts[i].kind == Kind::pack)
            return pack_heat(results.circuit, facts, PartId(i));
    return {};
}

// Of pack B1 in mode ride.
HeldPart cells_of(const Results& results) {
    const Facts facts(*results.circuit.harness);
    for (const ModeEndurance& mode : endurance(results.circuit, facts, results.points))
        for (const HeldPart& part : mode.parts)
            if (part.what == HeldPart::What::pack) return part;
    FAIL("no pack is followed");
    return {};
}

}  // namespace

TEST_CASE("without a path the cells of a pack warm as an energy balance worked out by hand says") {
    // 20s5p of 0.0456 kg, 830 J/(kg K), 30 mohm, 40 A for 900 s: 192 W, 3784.8 J/K, 45.66 K.
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, thermal-resistance 10000 K/W";
    const Results results = barrow.check();
    const Facts facts(*results.circuit.harness);
    const PackHeat heat = heat_of(results, facts);
    REQUIRE(heat.bodies.size() == 2);
    CHECK(heat.bodies[0].J_per_K == Approx(3784.8));
    CHECK(heat.bodies[1].J_per_K == Approx(4.56 * 1040));
    CHECK(rise_after_K(heat.bodies[0].body, 192, 0, 900) == Approx(45.66).margin(0.05));
    // One LFP cell of 5.34 kg, 0.4 mohm, 140 A for 2 h: 7.84 W, 9.35 K.
    barrow.pack =
        "cells 16s1p, cell-voltage 2.5..3.65 V, cell-resistance 0.4 mohm, cell-capacity 280 Ah, discharge "
        "200 "
        "A, charge 200 A";
    barrow.heat = "mass 85.44 kg, thermal-resistance 10000 K/W";
    const Results large = barrow.check();
    const Facts large_facts(*large.circuit.harness);
    const PackHeat slow = heat_of(large, large_facts);
    REQUIRE(slow.bodies.size() == 1);
    CHECK(rise_after_K(slow.bodies[0].body, 16 * 7.84, 0, 7200) == Approx(9.35).margin(0.02));
}

TEST_CASE("the path to a measured rise leads back to it") {
    for (const double after_s : {60.0, 1800.0, 36000.0})
        for (const double share : {0.05, 0.4, 0.9}) {
            const double loss_W = 192, J_per_K = 3784.8;
            const double rise_K = share * loss_W * after_s / J_per_K;
            const auto path = path_of_rise_K_per_W(loss_W, J_per_K, rise_K, after_s);
            REQUIRE(path);
            CHECK(rise_after_K({*path, *path * J_per_K}, loss_W, 0, after_s) == Approx(rise_K).epsilon(1e-6));
        }
    // More than the loss makes without any path.
    CHECK_FALSE(path_of_rise_K_per_W(192, 3784.8, 1.01 * 192 * 60 / 3784.8, 60));
}

TEST_CASE("a rise that the stated resistance cannot make raises the loss of the cells to it") {
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, rise 60 K at 40 A after 15 min, cuts-out-at 60 degC";
    const Results results = barrow.check();
    const Facts facts(*results.circuit.harness);
    const PackHeat heat = heat_of(results, facts);
    REQUIRE(!heat.bodies.empty());
    CHECK(heat.bodies[0].more_loss > 1.3);
    for (const PackBody& end : heat.bodies)
        CHECK(rise_after_K(end.body, 192 * end.more_loss, 0, 900) == Approx(60).epsilon(1e-3));
    REQUIRE(finding_of(results, "pack-too-hot", "B1"));
}

TEST_CASE("a 20s11p pack that runs at 42 degC runs near 32 degC at 96 A, if it gave 120 to 150 A before") {
    // Common practice, no source: 55 Ah, good for 110 A, stops at 42 degC at settings near the peak of a 300
    // A controller, and runs at 32 degC at 80 % and 40 %, which is 96 A at most. Neither the air nor what it
    // gave then is known. Assumed: air of 20 degC, both settled, the pack gives its setting.
    //
    //     it gave    fitted path     at 96 A      off by
    //       110 A      0.050 K/W    36.8 degC     +4.8 K
    //       120 A      0.042 K/W    34.1 degC     +2.1 K
    //       130 A      0.036 K/W    32.0 degC      0.0 K
    //       150 A      0.027 K/W    29.0 degC     -3.0 K
    // So what is told fits a pack that is asked for more than the 110 A it is good for, and no other.
    struct Row {
        double gave_A, degC;
    };
    for (const Row& row : {Row{110, 36.76}, Row{120, 34.08}, Row{130, 32.00}, Row{150, 29.01}}) {
        Barrow barrow;
        barrow.pack =
            "cells 20s11p, cell-voltage 3.0..4.2 V, cell-resistance 20 mohm, cell-capacity 5 Ah, discharge "
            "110 "
            "A, charge 50 A";
        barrow.heat = fmt::format("rise 22 K at {} A after 100 h, cuts-out-at 42 degC", row.gave_A);
        barrow.mode = "E1 draws 96 A";
        const double degC = cells_of(barrow.check()).peak_degC;
        CHECK(degC == Approx(row.degC).margin(0.05));
        CHECK((std::abs(degC - 32) <= 3) == (row.gave_A > 116));
        barrow.mode = fmt::format("E1 draws {} A", row.gave_A);
        CHECK(cells_of(barrow.check()).peak_degC == Approx(42).margin(0.05));
    }
}

TEST_CASE("a pack that settles a thousandth above its limit is told, one below is not") {
    // 1600 A2 x 120 mohm = 192 W; 0.2 K/W: 38.4 K over 20 degC.
    const double settles_K = 38.4;
    for (const std::string_view where : {"pack", "bms"})
        for (const double off : {0.999, 1.001}) {
            Barrow barrow;
            const std::string stops = fmt::format("cuts-out-at {:.4f} degC", 20 + settles_K * off);
            barrow.heat =
                "mass 4.56 kg, thermal-resistance 0.2 K/W" + (where == "pack" ? ", " + stops : std::string());
            if (where == "bms") barrow.bms = stops;
            const Results results = barrow.check();
            const Finding* hot = finding_of(results, "pack-too-hot", "B1");
            INFO(where << " " << off);
            CHECK((hot != nullptr) == (off < 1));
        }
}

TEST_CASE("hot before empty is an error, empty before hot a note") {
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, thermal-resistance 5 K/W, cuts-out-at 60 degC";
    const Results results = barrow.check();
    const Finding* hot = finding_of(results, "pack-too-hot", "B1");
    REQUIRE(hot);
    CHECK(hot->severity == Severity::error);
    // 16.5 Ah / 40 A = 1485 s; 40 K at 3784.8 J/K and 192 W, barely cooled: some 790 s.
    CHECK(figure(*hot, "flat") == Approx(1485).epsilon(1e-3));
    CHECK(figure(*hot, "time") == Approx(-5 * 3784.8 * std::log(1 - 40 / (5 * 192.0))).epsilon(1e-3));
    CHECK(hot->mode.valid());
    CHECK(hot->help.find("thermal-resistance of 0.2 K/W or less") != std::string::npos);
    // The same with cells of four times the mass: hot after the pack is empty.
    barrow.heat = "mass 18.24 kg, thermal-resistance 5 K/W, cuts-out-at 60 degC";
    const Results heavy = barrow.check();
    REQUIRE(finding_of(heavy, "pack-too-hot", "B1"));
    CHECK(finding_of(heavy, "pack-too-hot", "B1")->severity == Severity::note);
}

TEST_CASE("what the help of a pack that gets too hot says would pass does pass") {
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, thermal-resistance 5 K/W, cuts-out-at 60 degC";
    barrow.heat = "mass 4.56 kg, thermal-resistance 0.2 K/W, cuts-out-at 60 degC";
    CHECK_FALSE(finding_of(barrow.check(), "pack-too-hot", "B1"));
    barrow.heat = "mass 4.56 kg, thermal-resistance 5 K/W, cuts-out-at 60 degC";
    const std::string help = finding_of(barrow.check(), "pack-too-hot", "B1")->help;
    INFO(help);
    // sqrt(40 K / 960 K) = 20 % of 40 A, rounded down.
    CHECK(help.find("so would 20 % of these currents, for good") != std::string::npos);
    barrow.mode = "E1 draws 8 A";
    CHECK_FALSE(finding_of(barrow.check(), "pack-too-hot", "B1"));
}

TEST_CASE("without a stated limit cells are taken to give up to 60 degC, and a warning says so") {
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, thermal-resistance 5 K/W";
    const Results results = barrow.check();
    REQUIRE(finding_of(results, "pack-too-hot", "B1"));
    CHECK(finding_of(results, "pack-too-hot", "B1")->severity == Severity::warning);
    CHECK(std::any_of(results.assumptions.begin(), results.assumptions.end(), [](const Assumption& each) {
        return each.what == "temperature at which cells stop giving" && each.value == "60 degC";
    }));
}

TEST_CASE("a limit by temperature is held against the cells, out and in") {
    Barrow barrow;
    barrow.heat =
        "mass 4.56 kg, thermal-resistance 0.2 K/W, discharge-at 25 degC 60 A, discharge-at 75 degC 10 A";
    // 40 A from 45 degC on; the cells settle at 58.4 degC.
    const Results out = barrow.check();
    const Finding* hot = finding_of(out, "pack-too-hot", "B1");
    REQUIRE(hot);
    CHECK(figure(*hot, "limit") == Approx(45).margin(0.01));
    barrow.heat = "mass 4.56 kg, thermal-resistance 0.2 K/W, charge-at 25 degC 60 A, charge-at 75 degC 10 A";
    barrow.mode = "G1 delivers 40 A";
    const Results in = barrow.check();
    REQUIRE(finding_of(in, "pack-too-hot", "B1"));
    CHECK(figure(*finding_of(in, "pack-too-hot", "B1"), "limit") == Approx(45).margin(0.01));
}

TEST_CASE("a place that is hotter than what a pack stops at is told, whatever is known of its own warming") {
    const auto in = [](const std::string& hottest, const std::string& heat) {
        Barrow barrow;
        barrow.ambient = "20.." + hottest + " degC";
        barrow.heat = heat;
        return check_text(barrow.text());
    };
    const Results hot = in("60.1", "cuts-out-at 60 degC");
    REQUIRE(finding_of(hot, "pack-too-hot", "B1"));
    CHECK(finding_of(hot, "pack-too-hot", "B1")->severity == Severity::error);
    CHECK_FALSE(finding_of(hot, "missing-data", "B1"));
    CHECK_FALSE(finding_of(in("59.9", "cuts-out-at 60 degC"), "pack-too-hot"));
    CHECK(finding_of(in("59.9", "cuts-out-at 60 degC"), "missing-data", "B1"));
    // What is only assumed of its cells holds nothing against its place: a starter battery stands in the
    // heat.
    CHECK_FALSE(finding_of(in("60.1", ""), "pack-too-hot"));
}

TEST_CASE("what nobody knows of the heat of a pack never helps") {
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, thermal-resistance unknown, cuts-out-at 60 degC";
    const Results unknown = barrow.check();
    REQUIRE(finding_of(unknown, "missing-data", "B1"));
    CHECK(finding_of(unknown, "missing-data", "B1")->severity == Severity::error);
    barrow.heat = "cuts-out-at 60 degC";
    const Results left_out = barrow.check();
    const Finding* asks = finding_of(left_out, "missing-data", "B1");
    REQUIRE(asks);
    CHECK(asks->help.find("measure") != std::string::npos);
    // A range counts at its worse end; without a mass both ends of what cells usually weigh.
    barrow.heat = "mass 2..9 kg, thermal-resistance 0.01..5 K/W, cuts-out-at 60 degC";
    CHECK(finding_of(barrow.check(), "pack-too-hot", "B1"));
    barrow.heat = "thermal-resistance 5 K/W, cuts-out-at 60 degC";
    CHECK(finding_of(barrow.check(), "pack-too-hot", "B1"));
    barrow.heat = "";
    CHECK_FALSE(finding_of(barrow.check(), "missing-data", "B1"));
}

TEST_CASE("a course is held from cold and from warm as its closed form says") {
    Barrow barrow;
    barrow.heat = "mass 4.56 kg, thermal-resistance 1 K/W, cuts-out-at 60 degC";
    barrow.mode = "E1 draws 40 A for 300 s then 0 A for 600 s repeating";
    const HeldPart cells = cells_of(barrow.check());
    const double tau_s = 3784.8, a = std::exp(-300 / tau_s), b = std::exp(-600 / tau_s);
    CHECK(cells.peak_degC == Approx(20 + 192 * (1 - a) / (1 - a * b)).epsilon(1e-3));
    CHECK(cells.from_cold_s == Approx(-tau_s * std::log(1 - 40 / 192.0)).epsilon(1e-3));
    REQUIRE(cells.from_warm_s);
    CHECK(*cells.from_warm_s == 0);  // the settled cycle is above 60 degC at its lowest
    CHECK(cells.lasting_A == Approx(40 * std::sqrt(40 / 192.0)).epsilon(1e-3));
    CHECK(cells.gives_out_s > 900);
    CHECK(cells.gives_out_s < never);
}

}  // namespace pack_heat_test
