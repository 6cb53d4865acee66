// Contacts that close onto capacitors, in whole harnesses.
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/rules/rule_example.hpp"
#include "checker/switching/transients.hpp"
#include "tests/checker/checking.hpp"
#include "tests/checker/textbook.hpp"

namespace precharge_test {

using namespace loomward;
using namespace loomward::textbook;
using namespace loomward::testing;

namespace {

using Changes = std::vector<std::pair<std::string_view, std::string_view>>;

Results with(const Changes& changes) {
    std::string text(example_harness);
    for (const auto& [from, to] : changes) text = replaced(text, from, to);
    return check_text(text);
}

constexpr std::string_view precharged = "after ready 3 s, ";

}  // namespace

TEST_CASE("a contactor that closes onto an empty controller welds: U/R of the whole loop, and C U^2 / 2") {
    const Results results = with({{precharged, ""}});
    CHECK(found(results, Severity::error) == std::vector<std::string>{"no-precharge K1"});
    const Finding* finding = finding_of(results, "no-precharge");
    REQUIRE(finding);
    // Pack 13/6 x 20 mohm = 43.33, F1 0.1 V / 60 A = 1.67, K1 1, two contacts of J1 1, Q1 1 mohm; 2.55 m of
    // 16 mm2 of 17.241 ohm mm2/km, at 0 degC 2.53 mohm; 14 wire ends of 0.1 mohm: 51.93 mohm.
    CHECK(figure(*finding, "peak") == Approx(54.6 / 51.93e-3).epsilon(2e-3));
    CHECK(figure(*finding, "energy") == Approx(precharge_energy_J(3e-3, 54.6)).epsilon(2e-3));
    CHECK(finding->corner == Corner::run_full);
    CHECK(finding->beside.find("makes 60 A") != std::string::npos);
    std::string path;
    for (const Step& step : finding->witness) path += step.name + " ";
    CHECK(path.find("F1 W2 K1 W3 J1.1 W4 U1 W7") != std::string::npos);
}

TEST_CASE("how much a contact suffers follows from the energy, and who says nothing of makes is asked") {
    const auto severity_at = [](std::string_view capacitance,
                                std::string_view makes) -> std::optional<Severity> {
        const Results results =
            with({{precharged, ""}, {"capacitance 3 mF", capacitance}, {"makes 60 A, ", makes}});
        const Finding* finding = finding_of(results, "no-precharge");
        return finding ? std::optional(finding->severity) : std::nullopt;
    };
    // At 54.6 V 1 J is 671 uF, 0.1 J 67 uF.
    CHECK(severity_at("capacitance 700 uF", "makes 60 A, ") == Severity::error);
    CHECK(severity_at("capacitance 640 uF", "makes 60 A, ") == Severity::note);
    CHECK(severity_at("capacitance 60 uF", "makes 60 A, ") == std::nullopt);
    CHECK(severity_at("capacitance 3 mF", "makes 1.2 kA, ") == std::nullopt);
    CHECK(severity_at("capacitance 3 mF", "") == Severity::error);
    CHECK(severity_at("capacitance 640 uF", "") == std::nullopt);
}

TEST_CASE(
    "a precharge that is cut short is told by how much, and is an error where the contact still welds") {
    // 68 ohm x 3 mF = 204 ms: 77 % after 300 ms, 38.7 % after 100 ms; 95 % after 611 ms.
    const Results warned = with({{"after ready 3 s", "after ready 300 ms"}});
    CHECK(found(warned, Severity::warning) == std::vector<std::string>{"slow-precharge K1"});
    const Finding* finding = finding_of(warned, "slow-precharge");
    REQUIRE(finding);
    CHECK(figure(*finding, "reached") == Approx(100 * precharge_fraction(68, 3e-3, 0.3)).epsilon(5e-3));
    CHECK(figure(*finding, "needed") == Approx(precharge_time_s(68, 3e-3, 0.95)).epsilon(5e-3));
    CHECK(finding->mode);

    const Results welded = with({{"after ready 3 s", "after ready 100 ms"}});
    CHECK(found(welded, Severity::error) == std::vector<std::string>{"slow-precharge K1"});
    // What is left, over the same loop.
    CHECK(figure(*finding_of(welded, "slow-precharge"), "peak") ==
          Approx(54.6 * std::exp(-0.1 / 0.204) / 51.93e-3).epsilon(5e-3));

    // Who says nothing of what it makes is held to what it carries, and asked.
    const Results unsaid = with({{"after ready 3 s", "after ready 100 ms"}, {"makes 60 A, ", ""}});
    REQUIRE(finding_of(unsaid, "slow-precharge"));
    CHECK(finding_of(unsaid, "slow-precharge")->severity == Severity::error);
    CHECK(finding_of(unsaid, "slow-precharge")->possible);

    CHECK(finding_of(with({{"after ready 3 s", "after ready 620 ms"}}), "slow-precharge") == nullptr);
    CHECK(finding_of(with({{"after ready 3 s", "after ready 600 ms"}}), "slow-precharge") != nullptr);
}

TEST_CASE("a load on the bus keeps a precharge from ever being done") {
    // 50 mA x 68 ohm = 3.4 V of 54.6 V: 93.8 %.
    const Results results = with({{"regen none }", "regen none, standby 50 mA }"}});
    CHECK(found(results, Severity::warning) == std::vector<std::string>{"slow-precharge K1"});
    const Finding* finding = finding_of(results, "slow-precharge");
    REQUIRE(finding);
    CHECK(figure(*finding, "reached") == Approx(100 * (1 - 3.4 / 54.6)).epsilon(1e-3));
    CHECK(finding->beside.find("never gets beyond 51.2 V") != std::string::npos);
    // 30 mA leave 2 V: 96.3 %, and at 39 V, where it is 94.8 %, what is missing hurts nothing.
    CHECK(found(with({{"regen none }", "regen none, standby 30 mA }"}}), Severity::warning).empty());
    CHECK(found(with({{"regen none }", "regen none, standby 50 mA }"},
                      {"splice X1\n", "splice X1\npolicy { precharge-to 90 % }\n"}}),
                Severity::warning)
              .empty());
}

TEST_CASE("the precharge resistor takes the energy of the capacitors, whatever its resistance") {
    for (const std::string_view ohms : {"68 ohm", "100 ohm"}) {
        const std::string resistor = "resistor R7 { " + std::string(ohms) + ", 10 W, pulse 4.4 J }";
        const Results results = with({{"resistor R7 { 68 ohm, 10 W, pulse 20 J }", resistor}});
        CHECK(found(results, Severity::error) == std::vector<std::string>{"precharge-resistor R7"});
        // To 99 % of the way; the rest is 0.01 % of it.
        CHECK(figure(*finding_of(results, "precharge-resistor"), "energy") ==
              Approx(precharge_energy_J(3e-3, 54.6)).epsilon(3e-3));
    }
    // What it carries for good is none of the pulse: a slow capacitor elsewhere keeps the mode moving for
    // minutes.
    const std::string_view slow =
        "splice X1\ncapacitor C9 { 100 mF, 80 V }\nresistor R9 { 1 kohm, 5 W, pulse 200 J }\n"
        "fuse F9 { 1 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve ul248-14 }\n"
        "route F1.out (W40 1 mm2, 0.1 m, red) F9 (W41 1 mm2, 0.1 m, red) R9 (W42 1 mm2, 0.1 m, red) C9 (W43 "
        "1 mm2, "
        "0.1 m, black) Q1.P-\n";
    CHECK(finding_of(with({{"splice X1\n", slow},
                           {"regen none }", "regen none, standby 30 mA }"},
                           {"pulse 20 J", "pulse 6 J"}}),
                     "precharge-resistor", "R7") == nullptr);
    const auto warnings = [](std::string_view resistor) {
        return found(with({{"resistor R7 { 68 ohm, 10 W, pulse 20 J }", resistor}}), Severity::warning);
    };
    CHECK(warnings("resistor R7 { 68 ohm, 10 W, pulse 4.5 J }").empty());
    CHECK(warnings("resistor R7 { 68 ohm, 10 W }").empty());  // 4.47 J are half a second of its power
    CHECK(warnings("resistor R7 { 68 ohm, 0.5 W }") == std::vector<std::string>{"precharge-resistor R7"});
}

TEST_CASE("a resistor that stays on a load is held to its rated power") {
    // 54.6 V, less the drop of 35 A in the pack's 43 mohm and what follows, across 48 ohm: 58 W.
    const Results results =
        with({{"splice X1\n",
               "splice X1\nresistor R9 { 48 ohm, 55 W }\nroute X1 (W30 1 mm2, 0.3 m, red) R9 "
               "(W31 1 mm2, 1 m, black) Q1.P-\n"}});
    const Finding* finding = finding_of(results, "overloaded-resistor");
    REQUIRE(finding);
    CHECK(figure(*finding, "power") == Approx(52.9 * 52.9 / 48).epsilon(0.01));
    CHECK(finding_of(with({{"splice X1\n",
                            "splice X1\nresistor R9 { 48 ohm, 60 W }\nroute X1 (W30 1 mm2, 0.3 m, red) R9 "
                            "(W31 1 mm2, 1 m, black) Q1.P-\n"}}),
                     "overloaded-resistor") == nullptr);
}

TEST_CASE("worked example in a harness: 84 V, 4.7 mF, 47 ohm") {
    // Circuit theory (memory): tau 0.2209 s, I0 1.7872 A, P0 150.13 W, E 16.582 J.
    const Results results = check_text(R"(loom 1
harness "Worked example" { ambient 20..20 degC, insulation pvc 90 degC }
pack B1 { voltage 84..84 V, resistance 1 mohm, capacity 10 Ah, discharge 60 A, charge 10 A }
fuse F1 { 40 A, 125 V dc, breaks 20 kA at 125 V dc, curve ul248-14 }
switch S1 { 125 V dc, carries 100 A, makes 100 A, breaks 60 A at 125 V dc }
switch S2 { 125 V dc, carries 5 A, breaks 2 A at 125 V dc }
resistor R1 { 47 ohm, 25 W, pulse 20 J }
capacitor C1 { 4.7 mF, 100 V, bleed 100 kohm }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) S1 (W3 16 mm2, 0.1 m, red) C1.+
route C1.- (W4 16 mm2, 0.1 m, black) B1.-
route S1.in (direct) S2 (direct) R1 (direct) S1.out
mode off { others at rest }
mode fill { S2 closed, others at rest }
mode on { S1 closed, after fill 1 s, others at rest }
)");
    const Facts facts(*results.harness);
    const Transients transients = follow_transients(results.circuit, facts);
    bool filled = false, closed = false;
    for (const ModeEntry& entry : transients.entries) {
        const std::string_view mode = results.harness->modes[entry.mode.index()].name;
        if (entry.corner != Corner::run_full) continue;
        REQUIRE(entry.capacitors.size() == 1);
        const CapacitorState& state = entry.capacitors[0];
        if (mode == "fill") {
            filled = true;
            REQUIRE(entry.closing.size() == 1);
            CHECK(std::abs(entry.closing[0].current_A) == Approx(1.7872).epsilon(1e-3));
            CHECK(entry.closing[0].before_V == Approx(84).epsilon(1e-3));
            CHECK(state.before_V == 0);
        }
        if (mode == "on") {
            closed = true;
            CHECK(state.before_V == Approx(84 * precharge_fraction(47, 4.7e-3, 1)).epsilon(2e-3));
            CHECK(state.resistance_ohm * state.capacitance_F == Approx(0.2209).epsilon(2e-3));
            CHECK(state.needed_s == Approx(precharge_time_s(47, 4.7e-3, 0.95)).epsilon(5e-3));
        }
    }
    CHECK(filled);
    CHECK(closed);
    REQUIRE(!transients.pulses.empty());
    CHECK(transients.pulses[0].energy_J == Approx(16.582).epsilon(2e-3));
    CHECK(transients.pulses[0].peak_W == Approx(150.13).epsilon(2e-3));
}

TEST_CASE("a controller that precharges itself through its key pin is followed") {
    const auto text = [](std::string_view own) {
        return "loom 1\n"
               "harness \"Own precharge\" { ambient 20..20 degC, insulation pvc 90 degC }\n"
               "pack B1 { voltage 40..54.6 V, resistance 30 mohm, capacity 10 Ah, discharge 60 A, charge 10 "
               "A }\n"
               "fuse F1 { 40 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
               "fuse F2 { 3 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
               "switch S1 { 80 V dc, carries 100 A, makes 60 A, breaks 60 A at 60 V dc }\n"
               "switch S2 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
               "controller U1 { input 30..60 V, capacitance 2 mF, supply-limit 30 A, phase-peak 100 A, regen "
               "none\n"
               "  pin key supply 20 mA" +
               std::string(own) +
               " }\n"
               "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) S1 (W3 16 mm2, 0.1 m, red) "
               "U1.+\n"
               "route U1.- (W4 16 mm2, 0.1 m, black) B1.-\n"
               "route F1.out (direct) F2 (W5 1 mm2, 0.5 m, red) S2 (W6 1 mm2, 0.5 m, red) U1.key\n"
               "mode off { others at rest }\n"
               "mode key { S2 closed, others at rest }\n"
               "mode on { like key, after key 1 s, S1 closed }\n";
    };
    CHECK(finding_of(check_text(text(", precharges key 100 ohm")), "no-precharge") == nullptr);
    CHECK(finding_of(check_text(text(", precharges key 100 ohm")), "slow-precharge") == nullptr);
    CHECK(finding_of(check_text(text(", precharges key 300 ohm")), "slow-precharge") !=
          nullptr);  // 600 ms: 81 %
    CHECK(finding_of(check_text(text("")), "no-precharge") != nullptr);
}

TEST_CASE("a mode that is like another has closed already what that one closes") {
    const std::string more = "mode climb { like drive, U1 draws 38 A }\n";
    CHECK(finding_of(check_text(std::string(example_harness) + more), "no-precharge") == nullptr);
    // From the half of its way that another mode is given.
    CHECK(finding_of(check_text(std::string(example_harness) +
                                "mode climb { others at rest, K1 S1 closed, U1 draws 38 A }\n"),
                     "no-precharge") != nullptr);
}

TEST_CASE("a connector that is mated live onto capacitors is warned of") {
    const std::string text = R"(loom 1
harness "Plugged live" { ambient 20..20 degC, insulation pvc 90 degC }
pack B1 { voltage 40..54.6 V, resistance 30 mohm, capacity 10 Ah, discharge 60 A, charge 10 A }
fuse F1 { 40 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }
connector J1 { mate P1, half socket, contacts 2, carries 60 A, 100 V, takes 10..16 mm2, rated-at 30 degC, limit 105 degC }
controller U1 { input 30..60 V, capacitance 2 mF, supply-limit 30 A, phase-peak 100 A, regen none }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) J1.1 (W3 16 mm2, 0.1 m, red) U1.+
route B1.- (W4 16 mm2, 0.1 m, black) J1.2 (W5 16 mm2, 0.1 m, black) U1.-
mode apart { J1 unmated, others at rest }
mode joined { J1 mated, others at rest }
)";
    const Results results = check_text(text);
    const Finding* finding = finding_of(results, "no-precharge");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message.find("is mated live onto the empty capacitors of controller U1") !=
          std::string::npos);
    CHECK(figure(*finding, "energy") == Approx(precharge_energy_J(2e-3, 54.6)).epsilon(1e-3));
    CHECK(finding_of(check_text(replaced(text, "capacitance 2 mF", "capacitance 100 uF")), "no-precharge")
              ->severity == Severity::note);
}

TEST_CASE("an output that feeds nothing does not keep the capacitors of a mode from being followed") {
    // The converter's minus comes home twice, its lamp is switched off: nothing holds its output.
    const Results results = check_text(R"(loom 1
harness "Osier punt" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 { voltage 20..28.8 V, resistance 3 mohm, capacity 200 Ah, discharge 200 A, charge 80 A }
fuse F1 { 150 A, 125 V dc, breaks 20 kA at 125 V dc, curve ul248-15 }
switch S1 { 60 V dc, carries 275 A, makes 300 A, breaks 200 A at 48 V dc }
switch S2 { 60 V dc, carries 275 A, makes 150 A, breaks 200 A at 48 V dc }
switch S3 { 24 V dc, carries 6 A, breaks 6 A at 24 V dc }
busbar X1 { studs 4 }
busbar X2 { studs 6 }
controller U1 { input 18..34 V, capacitance 5 mF, supply-limit 90 A, regen none }
converter D1 { input 18..36 V, output 12.5 V 10 A, efficiency 88 %, negative common, capacitance 1 mF, reverse blocked }
load E1 { 12 V, 20 W }
fuse F2 { 15 A, 58 V dc, breaks 10 kA at 58 V dc, curve ul248-14 }
route B1.+ (W1 50 mm2, 0.15 m) F1 (W2 50 mm2, 0.4 m) S1 (W3 50 mm2, 0.4 m) X1.1
route B1.- (W4 50 mm2, 0.4 m) X2.1
route X1.2 (W5 35 mm2, 0.3 m) S2 (W6 35 mm2, 0.6 m) U1.+
route U1.- (W7 35 mm2, 1 m) X2.2
route X1.3 (W8 2.5 mm2, 0.1 m) F2 (W9 2.5 mm2, 0.5 m) D1.in+
route D1.in- (W10 2.5 mm2, 0.5 m) X2.3
route D1.out- (W11 1.5 mm2, 0.5 m) X2.4
route D1.out+ (W12 1.5 mm2, 3 m) S3 (W13 1.5 mm2, 3 m) E1 (W14 1.5 mm2, 4 m) X2.5
mode parked { others at rest }
mode ready { like parked, S1 closed }
mode ride { like ready, after ready 5 s, S2 closed, U1 draws 60 A }
)");
    CHECK(finding_of(results, "not-solved") == nullptr);
    const auto finding = std::find_if(
        results.findings.begin(), results.findings.end(),
        [](const Finding& each) { return each.rule == "no-precharge" && each.severity == Severity::error; });
    REQUIRE(finding != results.findings.end());
    CHECK(finding->subject == "S2");
    CHECK(figure(*finding, "energy") == Approx(precharge_energy_J(5e-3, 28.8)).epsilon(1e-2));
}

TEST_CASE("modes that are entered from each other are followed all the same") {
    const Results results = check_text(replaced(std::string(example_harness), "mode ready { others at rest,",
                                                "mode ready { others at rest, after drive 1 s,"));
    CHECK(found(results, Severity::error).empty());
}

TEST_CASE("where too many capacitors move at once nothing is said of the mode, and that is an error") {
    const auto text = [](int count) {
        const std::string number = std::to_string(count);
        return replaced(
            replaced(std::string(example_harness), "splice X1\n",
                     "splice X1\npart bay is assembly {\n port p\n port m\n capacitor C1 { 100 uF, 80 V }\n"
                     " route p (W1 1 mm2, 0.1 m, red) C1 (W2 1 mm2, 0.1 m, black) m\n}\n"
                     "assembly A1 is bay { repeat " +
                         number +
                         ", chain p p, chain m m }\n"
                         "route K1.out (W30 16 mm2, 0.1 m, red) A1.p\nroute A1.m (W31 16 mm2, 0.1 m, black) "
                         "Q1.P-\n"),
            "capacitance 3 mF", "capacitance 1 mF");
    };
    const auto told = [](const Results& results) {
        return std::any_of(results.findings.begin(), results.findings.end(), [](const Finding& finding) {
            return finding.rule == "not-solved" && finding.severity == Severity::error &&
                   finding.subject == "drive" &&
                   finding.message == "the capacitors could not be followed in mode drive";
        });
    };
    CHECK_FALSE(told(check_text(text(20))));
    const Results many = check_text(text(60));
    CHECK(told(many));
    CHECK(finding_of(many, "no-precharge") == nullptr);
    CHECK(finding_of(many, "slow-precharge") == nullptr);
}

TEST_CASE(
    "of two contacts that close together the one with no voltage across it does not divide by that voltage") {
    // U1 is full before and K1 has next to no voltage across it; K2 lets its charge into the empty U2.
    const Results results = check_text(
        "loom 1\nharness \"two drives\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 40..54.6 V, resistance 20 mohm, capacity 40 Ah, discharge 150 A, charge 20 A }\n"
        "fuse F1 { 100 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
        "switch K1 { 80 V dc, carries 150 A, makes 400 A, breaks 150 A at 80 V dc }\n"
        "switch K2 { 80 V dc, carries 150 A, makes 400 A, breaks 150 A at 80 V dc }\n"
        "switch S3 { 80 V dc, carries 5 A, breaks 2 A at 80 V dc }\n"
        "resistor R1 { 68 ohm, 10 W, pulse 20 J }\n"
        "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, regen none }\n"
        "controller U2 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, regen none }\n"
        "stud X1\nstud X2\n"
        "route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.2 m) X1\n"
        "route X1 (W3 35 mm2, 0.5 m) K1 (W4 35 mm2, 0.5 m) U1.+\n"
        "route X1 (W5 35 mm2, 0.5 m) K2 (W6 35 mm2, 0.5 m) U2.+\n"
        "route X1 (W7 1 mm2, 0.1 m) S3 (W8 1 mm2, 0.1 m) R1 (direct) K1.out\n"
        "route U1.- (W9 35 mm2, 0.5 m) X2\nroute U2.- (W10 35 mm2, 0.5 m) X2\nroute X2 (W11 35 mm2, 0.1 m) "
        "B1.-\n"
        "mode off { others at rest }\nmode ready { S3 closed, others at rest }\n"
        "mode ride { after ready 3 s, K1 K2 closed, U1 U2 draws 30 A, others at rest }\n");
    std::vector<std::string> first;
    for (const Finding& finding : results.findings)
        if (finding.rule == "no-precharge") first.push_back(finding.subject + ": " + finding.working.front());
    REQUIRE(first.size() == 2);
    CHECK_THAT(first[0],
               Catch::StartsWith("K1: ") && Catch::EndsWith(" flow as K1, K2 close together (pack full)"));
    CHECK_THAT(first[1], Catch::StartsWith("K2: ") && Catch::Contains(" = 54.6 V / "));
}

namespace {

// A drive behind a contactor with a precharge switch; how the mode that drives is entered.
Results tram(std::string_view entered, std::string_view farad = "4 mF", std::string_view ohm = "47 ohm") {
    return check_text(
        "loom 1\nharness \"Quarry tram\" { ambient 0..35 degC, insulation xlpe 105 degC }\n"
        "pack B1 { voltage 60..84 V, resistance 30 mohm, capacity 40 Ah, discharge 120 A, charge 20 A }\n"
        "fuse F1 { 100 A, 125 V dc, breaks 20 kA at 125 V dc, curve iec60269-gg }\n"
        "fuse F2 { 2 A, 125 V dc, breaks 20 kA at 125 V dc, curve ul248-14 }\n"
        "resistor R1 { " +
        std::string(ohm) +
        ", 100 W, pulse 60 J }\n"
        "switch S1 { 125 V dc, carries 6 A, makes 6 A, breaks 1 A at 125 V dc }\n"
        "switch S2 { 125 V dc, carries 6 A, makes 6 A, breaks 1 A at 125 V dc }\n"
        "switch S3 { 125 V dc, carries 150 A, makes 100 A, breaks 120 A at 125 V dc }\n"
        "contactor K1 { carries 150 A, makes 150 A, breaks 250 A at 100 V dc, coil 72 V 200 mA, coil-works "
        "50..90 V, "
        "suppression diode }\n"
        "controller U1 { input 50..95 V, capacitance " +
        std::string(farad) +
        ", phase-peak 250 A, supply-limit 70 A, regen none, standby 20 mA, spare U V W }\n"
        "route B1.+ (W1 35 mm2, 0.1 m, red) F1 (W2 35 mm2, 0.2 m, red) S3 (W3 35 mm2, 0.2 m, red) K1 (W4 35 "
        "mm2, 0.3 m, "
        "red) U1.+\nroute U1.- (W5 35 mm2, 0.3 m, black) B1.-\n"
        "route S3.out (direct) F2 (W6 1.5 mm2, 0.3 m, red) S1 (W7 1.5 mm2, 0.3 m, red) R1 (W8 1.5 mm2, 0.3 "
        "m, red) "
        "K1.out\nroute F2.out (W9 1.5 mm2, 0.3 m, red) S2 (W10 1.5 mm2, 0.3 m, red) K1.A1\n"
        "route K1.A2 (W11 1.5 mm2, 0.3 m, black) B1.-\n"
        "mode off { others at rest }\nmode pre { S3 S1 closed, others at rest }\n"
        "mode drive { like pre, " +
        std::string(entered) + "S2 closed, K1 closed, U1 draws 50 A }\n" +
        "mode lamp { like drive, after drive 1 s }\n");
}

}  // namespace

TEST_CASE("a mode that takes over a precharge and does not say how long that lasted is not precharged") {
    // 188 ms x ln 20 = 0.56 s for 95 %.
    CHECK(finding_of(tram("after pre 0.2 s, "), "slow-precharge"));
    CHECK_FALSE(finding_of(tram("after pre 2 s, "), "slow-precharge"));
    CHECK_FALSE(finding_of(tram("after pre 2 s, "), "no-precharge"));
    const Results unsaid = tram("");
    const Finding* finding = finding_of(unsaid, "no-precharge");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->subject == "K1");
    // 47 ohm x 4 mF, 50 ms: what it has by then is not counted as more, and is said.
    CHECK(std::any_of(finding->working.begin(), finding->working.end(), [](const std::string& line) {
        return line.find("does not say what it is entered from ('after')") != std::string::npos;
    }));
    CHECK(std::any_of(unsaid.assumptions.begin(), unsaid.assumptions.end(), [](const Assumption& each) {
        return each.what == "time a mode without `after` takes over" && each.value == "50 ms";
    }));
    // What is full within 50 ms is precharged however quickly the hand is: 3 time constants are 95 %.
    const auto of_K1 = [](const Results& results) {
        return std::any_of(results.findings.begin(), results.findings.end(), [](const Finding& each) {
            return each.rule == "no-precharge" && each.subject == "K1";
        });
    };
    CHECK(of_K1(unsaid));
    CHECK_FALSE(of_K1(tram("", "40 uF")));
    CHECK_FALSE(of_K1(tram("", "4 mF", "2 ohm")));
    CHECK(of_K1(tram("", "4 mF", "20 ohm")));
}

TEST_CASE("what contacts alone have fed is full, though no mode says for how long") {
    const auto second = [](std::string_view after) {
        return check_text(
            "loom 1\nharness \"Quarry tram\" { ambient 0..35 degC, insulation xlpe 105 degC }\n"
            "pack B1 { voltage 60..84 V, resistance 30 mohm, capacity 40 Ah, discharge 120 A, charge 20 A }\n"
            "fuse F1 { 100 A, 125 V dc, breaks 20 kA at 125 V dc, curve iec60269-gg }\n"
            "switch S1 { 125 V dc, carries 150 A, makes 6 kA, breaks 120 A at 125 V dc }\n"
            "switch S2 { 125 V dc, carries 150 A, makes 100 A, breaks 120 A at 125 V dc }\n"
            "controller U1 { input 50..95 V, capacitance 4 mF, phase-peak 250 A, supply-limit 70 A, regen "
            "none, "
            "standby 20 mA, spare U V W }\n"
            "load H1 { 72 V, 5 A, acts-as current, works 50..90 V }\n"
            "route B1.+ (W1 35 mm2, 0.1 m, red) F1 (W2 35 mm2, 0.2 m, red) S1 (W3 35 mm2, 0.2 m, red) U1.+\n"
            "route U1.- (W5 35 mm2, 0.3 m, black) B1.-\n"
            "route U1.+ (W6 35 mm2, 0.3 m, red) S2 (W7 35 mm2, 0.3 m, red) H1 (W8 35 mm2, 0.3 m, black) "
            "B1.-\n"
            "mode off { others at rest }\nmode ready { S1 closed, others at rest }\n"
            "mode lamp { like ready, " +
            std::string(after) + "S2 closed }\n");
    };
    CHECK_FALSE(finding_of(second(""), "no-precharge"));
    CHECK_FALSE(finding_of(second("after ready 1 s, "), "no-precharge"));
}

}  // namespace precharge_test
