// Packs that are charged as warm as a ride has left them: just inside and outside, after a rest, and by what
// is not stated.
#include <cmath>

#include "tests/checker/checking.hpp"

namespace hot_charging_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// 12 mohm, 40 A: 19.2 W over 1 K/W and 3000 J/K, at 20 degC; charged with 10 A.
struct Sled {
    std::string heat = "mass 3 kg, thermal-resistance 1 K/W, charge-at 20 degC 20 A, charge-at 60 degC 0 A";
    std::string bms;
    std::string charge = "G1 delivers 10 A, others at rest";
    std::string more;  // modes before

    std::string text() const {
        return "loom 1\nharness \"Ice sled\" { ambient 20..20 degC, insulation xlpe 90 degC }\n"
               "pack B1 { cells 20s10p, cell-voltage 3.0..4.2 V, cell-resistance 6 mohm, cell-capacity 10 "
               "Ah, "
               "discharge 100 A, charge 60 A, aged-resistance 100 %, " +
               heat +
               " }\nload E1 { 72 V, 15 kW, acts-as current, works 40..90 V, rest off }\n"
               "charger G1 { output 84 V 60 A, reverse blocked }\n"
               "fuse F1 { 200 A, 100 V dc, breaks 20 kA at 100 V dc, curve ul248-14 }\n"
               "fuse F2 { 200 A, 100 V dc, breaks 20 kA at 100 V dc, curve ul248-14 }\n"
               "busbar X1 { studs 3, carries 300 A }\n"
               "route B1.+ (W1 70 mm2, 0.1 m, red) F1 (W2 70 mm2, 0.2 m, red) E1 (W3 70 mm2, 0.2 m, black) "
               "X1.1\nroute F1.in (W4 70 mm2, 0.1 m, red) F2 (W5 70 mm2, 0.2 m, red) G1 "
               "(W6 70 mm2, 0.2 m, black) X1.2\nroute B1.- (W7 70 mm2, 0.1 m, black) X1.3\n"
               "mode ride { E1 draws 40 A, others at rest }\n" +
               more + "mode fill { " + charge + " }\n";
    }
    Results check() const { return check_text(text()); }
};

constexpr double loss_W = 19.2, tau_s = 3 * 830.0;

}  // namespace

TEST_CASE("cells just cooler than they take the charge at pass, and just hotter ones are told") {
    Sled sled;
    // Cells of 830 J/(kg K) end the hour of riding at 20 + 19.2 (1 - exp(-3600 / 2490)) degC at the most.
    const double left_degC = 20 + loss_W * -std::expm1(-3600 / tau_s);
    const auto told = [&](double limit_degC) {
        sled.heat = "mass 3 kg, thermal-resistance 1 K/W, charge-at " + std::to_string(limit_degC) +
                    " degC 10 A, charge-at " + std::to_string(limit_degC + 0.001) + " degC 9 A";
        sled.charge = "after ride 1 h, G1 delivers 10 A, others at rest";
        return gravest_of(sled.check(), "charged-hot", "B1");
    };
    CHECK_FALSE(told(left_degC * 1.001));
    CHECK(told(left_degC * 0.999) == Severity::warning);  // heavier cells would be cooler
    // Below what even cells of 1040 J/(kg K) reach it is certain.
    CHECK(told(20 + loss_W * -std::expm1(-3600 / (3 * 1040.0)) - 0.1) == Severity::error);
}

TEST_CASE("a rest that is written down counts, and what is told is enough") {
    Sled sled;
    sled.heat = "mass 3 kg, thermal-resistance 1 K/W, charge-at 25 degC 10 A, charge-at 25.001 degC 9 A";
    const Results results = sled.check();
    const Finding* told = finding_of(results, "charged-hot", "B1");
    REQUIRE(told);
    // Nothing says when it is charged: straight after 2.5 h of riding, empty.
    CHECK(told->severity == Severity::warning);
    // Of the ends of what is known the heavier cells are cooler then, and take longer to cool.
    const double heavy_tau_s = 3 * 1040.0;
    CHECK(figure(*told, "temperature") ==
          Approx(20 + loss_W * -std::expm1(-9000 / heavy_tau_s)).epsilon(1e-3));
    CHECK(figure(*told, "cools-in") ==
          Approx(heavy_tau_s * std::log((figure(*told, "temperature") - 20) / 5)).epsilon(1e-3));
    const double wait_s = figure(*told, "cools-in");
    CHECK(told->help.starts_with("a rest of "));
    sled.more = "mode cool { after ride 2.5 h, others at rest }\n";
    sled.charge = "after cool " + std::to_string(wait_s * 1.001) + " s, G1 delivers 10 A, others at rest";
    CHECK(finding_of(sled.check(), "charged-hot", "B1") == nullptr);
    sled.charge = "after cool " + std::to_string(wait_s * 0.9) + " s, G1 delivers 10 A, others at rest";
    CHECK(finding_of(sled.check(), "charged-hot", "B1") != nullptr);
}

TEST_CASE("where nothing is stated lithium cells take a charge up to 45 degC, which is a warning") {
    Sled sled;
    sled.heat = "mass 3 kg, thermal-resistance 2 K/W, cuts-out-at 70 degC";
    const Results results = sled.check();
    const Finding* told = finding_of(results, "charged-hot", "B1");
    REQUIRE(told);
    CHECK(told->severity == Severity::warning);
    CHECK(figure(*told, "limit") == 45);
    // A pack that cuts out before has cells no hotter than that.
    sled.heat = "mass 3 kg, thermal-resistance 2 K/W, cuts-out-at 44 degC";
    CHECK(finding_of(sled.check(), "charged-hot", "B1") == nullptr);
    sled.heat = "mass 3 kg, thermal-resistance 1 K/W, cuts-out-at 70 degC";
    CHECK(finding_of(sled.check(), "charged-hot", "B1") == nullptr);
}

}  // namespace hot_charging_test
