// Controller settings against what the supply can give.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace settings_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A pack good for 110 A, thick wires, and a controller whose settings are percentages of percentages.
Results with_settings(const std::string& phase_limit, const std::string& supply_limit) {
    return check_text(
        "loom 1\nharness \"settings\" { ambient 10..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 40 Ah, discharge 110 A, charge 20 A }\n"
        "fuse F1 { 150 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 200 A, makes 5 kA, breaks 200 A at 60 V dc }\n"
        "controller U1 { input 30..60 V, capacitance 3 mF, phase-peak 300 A, phase-limit " +
        phase_limit + " % of phase-peak\n  supply-limit " + supply_limit +
        " % of phase-limit, regen none }\n"
        "route B1.+ (W1 50 mm2, 0.15 m, red) F1 (W2 50 mm2, 0.4 m, red) S1 (W3 50 mm2, 0.5 m, red) U1.+\n"
        "route B1.- (W4 50 mm2, 0.5 m, black) U1.-\n"
        "mode ride { S1 closed, U1 draws limit }\nmode parked { others at rest }\n");
}

double largest_figure(const Results& results, std::string_view rule) {
    for (const Finding& finding : results.findings)
        if (finding.rule == rule) return finding.figures.front().value;
    return 0;
}

}  // namespace

TEST_CASE("300 A at 80 % and 40 % takes 96 A, which a pack good for 110 A carries") {
    // Common practice, no source: 300 A x 80 % = 240 A at the motor, x 40 % = 96 A from the pack.
    const Results results = with_settings("80", "40");
    CHECK(found(results, Severity::error).empty());
    double most_A = 0;
    for (const OperatingPoint& point : results.points)
        for (std::size_t i = 0; i < results.circuit.edges.size(); ++i)
            if (results.circuit.edges[i].role == EdgeRole::emf) most_A = std::max(most_A, point.edge_A[i]);
    CHECK(most_A == Approx(96.0).epsilon(1e-9));
}

TEST_CASE("300 A at 90 % and 50 % takes 135 A, which it does not carry") {
    const Results results = with_settings("90", "50");
    CHECK(found(results, Severity::error) ==
          std::vector<std::string>{"overdrawn-pack B1", "setting-too-high U1"});
    CHECK(largest_figure(results, "setting-too-high") == Approx(135.0));
    for (const Finding& finding : results.findings)
        if (finding.rule == "setting-too-high") {
            CHECK(finding.working.front() == "135 A = 300 A x 90 % x 50 % at the setting");
            CHECK(finding.working.back() == "135 A > 110 A (discharge of pack B1)");
            CHECK(finding.help == "a supply limit of 110 A or less would pass");
        }
}

TEST_CASE("a setting is judged although no mode draws as much, and the weakest part is named") {
    Results results = check_text(
        "loom 1\nharness \"weakest\" { ambient 10..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 40 Ah, discharge 110 A, charge 20 A }\n"
        "fuse F1 { 80 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 60 A, makes 5 kA, breaks 60 A at 60 V dc }\n"
        "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 70 A, regen none }\n"
        "route B1.+ (W1 25 mm2, 0.15 m, red) F1 (W2 25 mm2, 0.4 m, red) S1 (W3 25 mm2, 0.5 m, red) U1.+\n"
        "route B1.- (W4 25 mm2, 0.5 m, black) U1.-\n"
        "mode ride { S1 closed, U1 draws 30 A }\n");
    CHECK(found(results, Severity::error) == std::vector<std::string>{"setting-too-high U1"});
    for (const Finding& finding : results.findings)
        if (finding.rule == "setting-too-high")
            CHECK(finding.working.back() == "70 A > 60 A (rating of switch S1)");
}

TEST_CASE(
    "what others draw through the weakest part is said, and the setting that passes leaves them theirs") {
    const Results results = check_text(
        "loom 1\nharness \"two drives\" { ambient 10..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 40 Ah, discharge 90 A, charge 20 A }\n"
        "fuse F1 { 150 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 150 A, makes 5 kA, breaks 150 A at 60 V dc }\n"
        "controller U1 { input 30..60 V, capacitance 1 mF, supply-limit 60 A, regen none }\n"
        "load E1 { 48 V, 40 A }\n"
        "route B1.+ (W1 50 mm2, 0.15 m, red) F1 (W2 50 mm2, 0.4 m, red) S1 (W3 50 mm2, 0.5 m, red) U1.+\n"
        "route U1.- (W4 50 mm2, 0.5 m, black) B1.-\n"
        "route S1.out (W5 50 mm2, 0.5 m) E1 (W6 50 mm2, 0.5 m) B1.-\n"
        "mode ride { S1 closed, U1 draws 45 A }\n");
    std::size_t count = 0;
    for (const Finding& finding : results.findings)
        if (finding.rule == "setting-too-high") {
            ++count;
            CHECK(finding.beside == "60 A with 40 A of others; the weakest part may carry 90 A");
            CHECK(finding.working.back() == "100 A > 90 A (discharge of pack B1)");
            // 90 A - 40 A
            CHECK(finding.help == "a supply limit of 50 A or less would pass");
        }
    CHECK(count == 1);
}

TEST_CASE("a charger that feeds what is drawn now is not what a setting would be fed by") {
    // 18 A of the charger pass F2 of 25 A; 96 A at the setting would come out of the pack.
    const auto ridden = [](const std::string& main_fuse) {
        return check_text(
            "loom 1\nharness \"saw bench\" { ambient 10..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 40 Ah, discharge 110 A, charge 20 A "
            "}\n"
            "fuse F1 { " +
            main_fuse +
            ", 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
            "fuse F2 { 25 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
            "controller U1 { input 30..60 V, capacitance 1 uF, supply-limit 96 A, regen none }\n"
            "charger G1 { output 58.8 V 18 A, reverse blocked }\nbusbar X1 { studs 3, carries 200 A }\n"
            "busbar X2 { studs 3, carries 200 A }\n"
            "route B1.+ (W1 50 mm2, 0.15 m, red) F1 (W2 50 mm2, 0.4 m, red) X1.1\n"
            "route X1.2 (W3 50 mm2, 0.5 m, red) U1.+\nroute X1.3 (direct) F2 (W4 6 mm2, 0.5 m, red) G1.+\n"
            "route B1.- (W5 50 mm2, 0.5 m, black) X2.1\nroute X2.2 (W6 50 mm2, 0.5 m, black) U1.-\n"
            "route X2.3 (W7 6 mm2, 0.5 m, black) G1.-\n"
            "mode idle { U1 draws 1 A, G1 delivers limit }\nmode parked { others at rest }\n");
    };
    CHECK_FALSE(finding_of(ridden("150 A"), "setting-too-high"));
    CHECK(finding_of(ridden("80 A"), "setting-too-high", "U1"));
}

TEST_CASE("a supply that a diode keeps from the pack charges it beside nobody") {
    // 6 A of mains supply feed the load past a diode each; 3 A float the pack, which takes 6 A.
    const auto with = [](const std::string& anode, const std::string& cathode) {
        return check_text(R"(loom 1
harness "Gate keeper" { ambient 5..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 11..13.8 V, resistance 10..20 mohm, capacity 12 Ah, discharge 20 A, charge 6 A }
fuse F1 { 15 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-3 }
switch S1 { 32 V dc, carries 30 A, makes 100 A, breaks 30 A at 32 V dc }
diode V1 { 40 A, 100 V, drop 0.4 V }
charger G1 { output 14.5 V 6 A, reverse blocked }
charger G2 { output 13.7 V 3 A, reverse blocked }
load E1 { 12 V, 3 A, acts-as current, works 9..16 V }
stud X1
stud X2
stud X3
route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.5 m, red) X1
route G2.+ (W3 4 mm2, 0.5 m, red) X1
route X1 (W4 4 mm2, 0.5 m, red) )" +
                          anode + "\nroute " + cathode +
                          R"( (W5 4 mm2, 0.5 m, red) X3
route G1.+ (W6 4 mm2, 0.5 m, red) X3
route X3 (W7 4 mm2, 0.5 m, red) S1 (W8 4 mm2, 0.5 m, red) E1 (W9 4 mm2, 0.5 m, black) X2
route G1.- (W10 4 mm2, 0.5 m, black) X2
route G2.- (W11 4 mm2, 0.5 m, black) X2
route B1.- (W12 4 mm2, 0.5 m, black) X2
mode rest { others at rest }
)");
    };
    CHECK_FALSE(finding_of(with("V1.A", "V1.K"), "settings-together", ""));
    CHECK(finding_of(with("V1.K", "V1.A"), "settings-together", ""));
}

}  // namespace settings_test
