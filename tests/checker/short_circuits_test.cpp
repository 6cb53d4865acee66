// What the rules say about short circuits, with figures that a pocket calculator gives.
#include <catch2/catch.hpp>

#include "tests/checker/fault_harness.hpp"

namespace short_circuits_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// 50 V behind 50 mohm: 1000 A at most wherever it is shorted past (direct) joints.
const std::string kiln = R"(loom 1
harness "Kiln cart" { ambient -5..40 degC, insulation pvc 90 degC }
pack B1 { voltage 40..50 V, resistance 50 mohm, capacity 20 Ah, discharge 60 A, charge 9 A }
fuse F1 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 40 A, breaks 40 A at 60 V dc, makes 60 A }
load H1 { 48 V, 300 W, acts-as power, works 30..60 V }
route B1.+ (direct) F1 (direct) S1 (W1 4 mm2, 1 m, red) H1 (W2 4 mm2, 1 m, black) B1.-
mode off { others at rest }
mode on { others at rest, S1 closed }
)";

}  // namespace

TEST_CASE("a bolted fault: U over R, cleared when the joule integral of the fuse is through") {
    const FaultBench bench(kiln);
    const FaultStudy study(bench.circuit, *bench.facts, *bench.touching, bench.wires);
    const FaultPlace place = bench.place("S1.out", "B1.-");
    const auto account = study.account(place, Corner::fault_max);
    REQUIRE(account);
    CHECK(account->story.prospective_A == Approx(1000).epsilon(1e-4));
    // 6 x 30 A for 1 s, 28 K colder than the rating: (180 A x 1.056)2 s / (1000 A)2
    REQUIRE(account->story.events.size() == 1);
    CHECK(account->story.events[0].time_s == Approx(180.0 * 180 * 1.056 * 1.056 / 1e6).epsilon(1e-3));
    CHECK(account->story.standing_A == 0);
    CHECK(account->still_feeds.empty());
    // At least: 40 V, the pack aged by half, 0.1 V/30 A for the fuse, contact and joints.
    const auto least = study.account(place, Corner::fault_min);
    REQUIRE(least);
    CHECK(least->story.prospective_A == Approx(40 / (0.075 + 0.1 / 30 + 1e-3 + 2 * 0.1e-3)).epsilon(1e-4));
}

TEST_CASE("a conductor takes I2t = k2 S2 of a short pulse, and its ampacity for ever") {
    const FaultBench bench(kiln);
    const auto setting = fault_setting(bench.circuit, *bench.facts, bench.wires);
    const WireHeat& heat = setting.wires[0];
    // IEC 60949: k = 226 sqrt(ln((234.5 + 160)/(234.5 + 90)))
    const double k = 226 * std::sqrt(std::log((234.5 + 160) / (234.5 + 90)));
    CHECK(heat.k2S2_A2s == Approx(k * k * 16).epsilon(0.005));
    CHECK(heat.damage_s(2000) == Approx(heat.k2S2_A2s / 4e6).epsilon(0.01));
    CHECK(heat.damage_s(heat.ampacity_A) == std::numeric_limits<double>::infinity());
    // Forwards in two steps is the same as in one.
    CHECK(heat.after(300, heat.after(300, 1, 0.2), 0.3) == Approx(heat.after(300, 1, 0.5)));
    CHECK(heat.after(300, 1, heat.damage_s(300)) == Approx(heat.damage));
}

TEST_CASE("a fuse that cannot break the current at its place") {
    CHECK(found(check_text(kiln), Severity::error).empty());
    const Results results = check_text(replaced(kiln, "breaks 2.5 kA", "breaks 900 A"));
    CHECK(found(results, Severity::error) == std::vector<std::string>{"fuse-breaking-capacity F1"});
    const Finding* finding = finding_of(results, "fuse-breaking-capacity");
    REQUIRE(finding);
    CHECK(finding->message == "fuse F1 cannot break the short-circuit current at its place");
    CHECK(finding->beside == "breaks 900 A; 1 kA can flow");
    CHECK(finding->corner == Corner::fault_max);
    CHECK(finding->working[0] == "1 kA > 900 A (breaking capacity)");
    CHECK(finding->source == "IEC 60364-4-43 434.5.1");
    CHECK(found(check_text(replaced(kiln, "breaks 2.5 kA", "breaks 1001 A")), Severity::error).empty());
}

TEST_CASE("a wire that does not live until its fuse opens") {
    const std::string slow = replaced(kiln, "curve iso8820-5", "point 60 A 1000 s, point 1.2 kA 2 s");
    const Results results = check_text(slow);
    const Finding* finding = finding_of(results, "slow-clearing");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->subject == "W1");
    CHECK(finding->message == "wire W1 burns before a short circuit is cleared");
    CHECK_FALSE(finding->witness.empty());
    const std::string quick = replaced(kiln, "curve iso8820-5", "point 60 A 100 s, point 1.2 kA 20 ms");
    CHECK(finding_of(check_text(quick), "slow-clearing") == nullptr);
}

TEST_CASE("a short that no device ends") {
    const Results results = check_text(replaced(kiln, "curve iso8820-5", "point 3 kA 1 s"));
    const Finding* finding = finding_of(results, "insufficient-fault-current");
    REQUIRE(finding);
    CHECK(finding->message == "wire W1 burns in a short circuit that no device ends");
    CHECK(finding_of(results, "slow-clearing") == nullptr);
}

TEST_CASE("a fuse of which nothing tells when it opens is an error, and nothing is judged behind it") {
    const Results results = check_text(replaced(kiln, "fuse F1 { 30 A", "fuse F1 { 20 A"));
    CHECK(found(results, Severity::error) == std::vector<std::string>{"family-rating F1"});
    CHECK(found(results, Severity::warning).empty());
}

TEST_CASE("a contact and its short-time withstand current") {
    // Let through: (180 A x 1.056)2 s = 36.1 kA2s
    CHECK(finding_of(check_text(replaced(kiln, "makes 60 A", "makes 60 A, withstands 1 kA for 40 ms")),
                     "short-time-withstand") == nullptr);
    const Results results = check_text(replaced(kiln, "makes 60 A", "makes 60 A, withstands 1 kA for 35 ms"));
    const Finding* finding = finding_of(results, "short-time-withstand");
    REQUIRE(finding);
    CHECK(finding->beside == "36.1 kA2s; withstands 35 kA2s");
}

TEST_CASE("what a contact carries indefinitely counts for nothing beside its short-time withstand current") {
    // Behind the fuse a charger goes on feeding the fault through S1, which carries 40 A.
    const auto with_charger = [](const std::string& amperes) {
        return check_text(replaced(kiln, "makes 60 A", "makes 60 A, withstands 1 kA for 40 ms") +
                          "charger G1 { output 50 V " + amperes + ", reverse blocked }\n" +
                          "fuse F3 { 63 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                          "route S1.out (W5 25 mm2, 1 m, red) F3 (direct) G1 (W6 25 mm2, 1 m, black) B1.-\n");
    };
    CHECK(finding_of(with_charger("39.9 A"), "short-time-withstand") == nullptr);
    const Results results = with_charger("40.1 A");
    const Finding* finding = finding_of(results, "short-time-withstand");
    REQUIRE(finding);
    CHECK(finding->beside == "40.1 A without end; withstands 40 kA2s");
}

TEST_CASE("an output that can give nothing to anybody does not upset the currents of a short circuit") {
    // Two converters with diodes on one bar, each able to let current back: nothing above what the pack
    // gives.
    std::string pair = kiln;
    for (const char* number : {"1", "2"})
        pair += std::string("converter D") + number +
                " { input 30..60 V, output 12 V 15 A, efficiency 90 %, negative common, reverse passes, "
                "capacitance 10 uF, spare out- }\n"
                "diode V" +
                number +
                " { 30 A, 60 V, drop 0.5 V }\n"
                "fuse F1" +
                number +
                " { 5 A, 125 V dc, breaks 2.5 kA at 125 V dc, curve ul248-14 }\n"
                "route S1.out (direct) F1" +
                number + " (P" + number + " 2.5 mm2, 0.3 m, red) D" + number + ".in+\nroute D" + number +
                ".in- (N" + number + " 4 mm2, 0.3 m, black) B1.-\n" + "route D" + number +
                ".out+ (direct) V" + number + " (direct) X7\n";
    pair +=
        "stud X7\nload E7 { 12 V, 6 A, acts-as current, works 10..15 V }\n"
        "route X7 (W7 4 mm2, 1 m, yellow) E7 (W8 4 mm2, 1 m, black) B1.-\n";
    CHECK(finding_of(check_text(pair), "fuse-breaking-capacity") == nullptr);
    const FaultBench bench(pair);
    const FaultStudy study(bench.circuit, *bench.facts, *bench.touching, bench.wires);
    double most_A = 0;
    for (const FaultSurvey::DeviceWorst& device : study.survey().devices)
        most_A = std::max(most_A, device.prospective_A);
    CHECK(most_A > 900);
    CHECK(most_A < 1100);
}

TEST_CASE("two fuses in line: the one farther up must not be first, where more hangs on it") {
    const std::string alone =
        replaced(kiln, "S1 (W1", "F2 (direct) S1 (W1") +
        "fuse F2 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, point 100 A 400..900 s, point 1 kA 1..2 s }\n";
    CHECK(finding_of(check_text(alone), "not-selective") == nullptr);
    const std::string beside =
        "load H2 { 48 V, 100 W, acts-as power, works 30..60 V }\n"
        "route F1.out (W3 4 mm2, 1 m, red) H2 (W4 4 mm2, 1 m, black) B1.-\n";
    const std::string two = alone + beside;
    const Results results = check_text(two);
    const Finding* finding = finding_of(results, "not-selective");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "a short behind fuse F2 opens F1 first");
    const std::string selective = replaced(kiln, "S1 (W1", "F2 (direct) S1 (W1") +
                                  "fuse F2 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n" +
                                  beside;
    CHECK(finding_of(check_text(selective), "not-selective") == nullptr);
}

TEST_CASE("in one fault or two, what stays live and what flows on is told") {
    // The charger on the load side goes on feeding the fault when the fuse has opened.
    const std::string charged = kiln +
                                "charger G1 { output 54 V 8 A }\nroute G1.+ (W3 4 mm2, 1 m, red) H1.+\nroute "
                                "G1.- (W4 4 mm2, 1 m, black) H1.-\n";
    const FaultBench bench(charged);
    const FaultStudy study(bench.circuit, *bench.facts, *bench.touching, bench.wires);
    const FaultPlace place = bench.place("H1", "");
    const auto account = study.account(place, Corner::fault_max);
    REQUIRE(account);
    CHECK(account->story.standing_A == Approx(8));
    REQUIRE(account->still_feeds.size() == 1);
    CHECK(bench.harness->part(account->still_feeds[0]).name == "G1");
    std::string trouble;
    CHECK(named_places(bench.circuit, *bench.touching, "W9", "", trouble).empty());
    CHECK(trouble == "there is no wire, part or terminal 'W9'");
}

TEST_CASE("what a driver pulls to minus is shorted to the minus of the driver") {
    const std::string driven =
        replaced(kiln, "mode off {",
                 "fuse F2 { 5 A, 80 V dc, breaks 500 A at 80 V dc, curve iso8820-5 }\n"
                 "controller U1 { input 30..60 V, capacitance 1 uF, supply-limit 2 A, regen none\n"
                 "  pin pull low-side 2 A }\n"
                 "load Y1 { 48 V, 1 A, acts-as current, works 30..60 V }\n"
                 "route S1.out (W3 4 mm2, 1 m, red) U1.+\nroute U1.- (W4 4 mm2, 1 m, black) B1.-\n"
                 "route S1.out (direct) F2 (W5 2.5 mm2, 1 m, red) Y1 (W6 2.5 mm2, 1 m, black) U1.pull\n"
                 "mode off {");
    const FaultBench bench(replaced(driven, "mode on { others at rest, S1 closed }",
                                    "mode on { others at rest, S1 closed, U1 draws 1 A, U1.pull on }"));
    const FaultPlace place = bench.place("W5", "");
    CHECK(fault_text(*bench.harness, place) == "the end of W5 at Y1.+ touches U1.-");
    const FaultStudy study(bench.circuit, *bench.facts, *bench.touching, bench.wires);
    const auto account = study.account(place, Corner::fault_max);
    REQUIRE(account);
    // 50 V through 50 mohm of the pack and a metre each of W5 and W4, cold and without joints.
    CHECK(account->story.prospective_A > 50 / (0.05 + 0.018 / 2.5 + 0.018 / 4));
    CHECK(account->story.prospective_A < 1000);
}

}  // namespace short_circuits_test
