// What starting currents and empty capacitors do beyond the contact that closes.
#include <fmt/format.h>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/checker/checking.hpp"

namespace starting_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Winch {
    double inrush_A = 350;
    std::string lasts = "500 ms";
    std::string holds = "16..31 V";
    std::string input = "10..32 V";
    std::string pack = "discharge 100 A";
    std::string beside =
        "load E1 { 12 V, 10 W, acts-as power, works 9..15 V }\n"
        "route D1.out+ (W13 1 mm2, 0.3 m) E1 (W14 1 mm2, 0.3 m) D1.out-\n";
};
Results winch(const Winch& winch) {
    return check_text(fmt::format(
        "loom 1\nharness \"slipway winch\" {{ ambient 0..35 degC, insulation xlpe 90 degC }}\n"
        "pack B1 {{ voltage 22..28.8 V, resistance 8..20 mohm, capacity 120 Ah, {}, charge 30 A }}\n"
        "fuse F1 {{ 150 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}\n"
        "fuse F2 {{ 3 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }}\n"
        "contactor K1 {{ carries 150 A, makes 600 A, breaks 400 A at 32 V dc\n"
        "  coil 24 V 500 mA, coil-works {}, suppression diode }}\n"
        "switch S1 {{ 32 V dc, carries 5 A, makes 40 A, breaks 2 A at 32 V dc }}\n"
        "load M1 {{ 24 V, 60 A, acts-as current, works 10..30 V, inrush {} A for {} }}\n"
        "converter D1 {{ input {}, output 12 V 2 A, efficiency 88 %, negative common, reverse blocked }}\n"
        "busbar X2 {{ studs 4, carries 200 A }}\nstud X1\n"
        "route B1.+ (W1 50 mm2, 0.12 m, red) F1 (W2 50 mm2, 0.3 m, red) K1 (W3 50 mm2, 0.5 m, red) M1 (W4 50 "
        "mm2, 0.5 m, black) X2.1\n"
        "route X2.2 (W5 50 mm2, 0.3 m, black) B1.-\n"
        "route F1.out (W6 1 mm2, 0.1 m, red) F2 (W7 1 mm2, 0.3 m, red) X1\n"
        "route X1 (W8 1 mm2, 0.3 m, red) S1 (W9 1 mm2, 0.3 m, red) K1.A1\n"
        "route K1.A2 (W10 1 mm2, 0.3 m, black) X2.3\n"
        "route X1 (W11 1 mm2, 0.3 m, red) D1.in+\nroute D1.in- (W12 1 mm2, 0.3 m, black) X2.4\n"
        "{}"
        "mode off {{ others at rest }}\nmode haul {{ S1 K1 closed, others at rest }}\n",
        winch.pack, winch.holds, winch.inrush_A, winch.lasts, winch.input, winch.beside));
}
double sag_V(const Results& results, std::string_view subject) {
    const Finding* finding = finding_of(results, "starting-sag", subject);
    REQUIRE(finding);
    return finding->figures[0].value;
}

}  // namespace

TEST_CASE("a starting current that pulls the supply below what a coil holds at is a warning") {
    const Results results = winch({});
    const Finding* finding = finding_of(results, "starting-sag", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    // 350 A through 20 mohm of the pack and the way to F2: 22 V fall by a little more than 7 V.
    const double sags_V = sag_V(results, "K1");
    CHECK(sags_V < 15);
    CHECK(sags_V > 14);
    // One part in a thousand on either side.
    CHECK(finding_of(winch({.holds = fmt::format("{:.4f}..31 V", sags_V * 1.001)}), "starting-sag", "K1"));
    CHECK_FALSE(
        finding_of(winch({.holds = fmt::format("{:.4f}..31 V", sags_V * 0.999)}), "starting-sag", "K1"));
    CHECK_FALSE(finding_of(winch({.lasts = "9 ms"}), "starting-sag", "K1"));
    CHECK(finding_of(winch({.lasts = "11 ms"}), "starting-sag", "K1"));
    CHECK_FALSE(finding_of(winch({.inrush_A = 100}), "starting-sag", "K1"));
}

TEST_CASE("a converter that a starting current pulls below its input drops out") {
    const double sags_V = sag_V(winch({.input = "18..32 V"}), "D1");
    CHECK(finding_of(winch({.input = fmt::format("{:.4f}..32 V", sags_V * 1.001)}), "starting-sag", "D1"));
    CHECK_FALSE(
        finding_of(winch({.input = fmt::format("{:.4f}..32 V", sags_V * 0.999)}), "starting-sag", "D1"));
}

TEST_CASE(
    "a start that takes the pack itself down is told of what holds, steers or manages, and of no lamp") {
    // 22 V fall below 15 V at the pack, too.
    const auto beside = [](const std::string& load) {
        return winch(
            {.input = "5..32 V",
             .beside = load + "route X1 (W15 1 mm2, 0.3 m, red) E2 (W16 1 mm2, 0.3 m, black) X2.4\n"});
    };
    const std::string rest = ", 1 A, acts-as resistor, works 19.5..32 V";
    const Results brake = beside("load E2 \"brake\" { 24 V" + rest + " }\n");
    const Finding* finding = finding_of(brake, "starting-sag", "E2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding_of(beside("load E2 { 24 V" + rest + ", task steers }\n"), "starting-sag", "E2"));
    CHECK_FALSE(finding_of(beside("load E2 { 24 V" + rest + " }\n"), "starting-sag", "E2"));
    CHECK_FALSE(finding_of(beside("load E2 \"brake\" { 24 V, 1 A, acts-as resistor, works 12..32 V }\n"),
                           "starting-sag", "E2"));
    const auto supplied = [](const std::string& pins) {
        return winch({.input = "5..32 V",
                      .beside = "device A2 { pin v supply 19.5..32 V 200 mA, pin gnd return" + pins +
                                " }\nroute X1 (W15 1 mm2, 0.3 m, red) A2.v\n"
                                "route A2.gnd (W16 1 mm2, 0.3 m, black) X2.4\n"});
    };
    CHECK(finding_of(supplied(", pin pull low-side 1 A"), "starting-sag", "A2"));
    CHECK_FALSE(finding_of(supplied(""), "starting-sag", "A2"));
}

TEST_CASE("a pack that says what it gives for a moment is held to it as a load starts") {
    const Results starting = winch({.lasts = "1 s", .pack = "discharge 100 A, peak 200 A for 2 s"});
    const Finding* finding = finding_of(starting, "overdrawn-pack", "B1");
    REQUIRE(finding);
    CHECK_THAT(finding->message, Catch::EndsWith(", as load M1 starts"));
    CHECK_FALSE(finding_of(winch({.pack = "discharge 100 A, peak 400 A for 2 s"}), "overdrawn-pack", "B1"));
    CHECK_FALSE(finding_of(winch({}), "overdrawn-pack", "B1"));
    // More for less, by equal I2t.
    const double flows_A = finding->figures[0].value, holds_s = flows_A * flows_A / (200.0 * 200.0) * 1;
    const auto peak = [](double seconds) {
        return winch(
            {.lasts = "1 s", .pack = fmt::format("discharge 100 A, peak 200 A for {:.4f} s", seconds)});
    };
    CHECK(finding_of(peak(holds_s * 0.999), "overdrawn-pack", "B1"));
    CHECK_FALSE(finding_of(peak(holds_s * 1.001), "overdrawn-pack", "B1"));
}

namespace {

// A drive of this capacitance that S1 puts on the pack, behind a fuse or a battery management.
Results drive(const std::string& capacitance, const std::string& fuse, const std::string& trips) {
    return check_text(
        "loom 1\nharness \"drive\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 40..54.6 V, resistance 15..22 mohm, capacity 80 Ah, discharge 80 A, charge 20 A "
        "}\n"
        "bms Q1 { side low, ports common, discharge 80 A, charge 20 A, trips " +
        trips + ", resistance 1 mohm }\nfuse F1 { 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3, " +
        fuse +
        " }\nswitch S1 { 80 V dc, carries 80 A, makes 6 kA, breaks 80 A at 60 V dc }\n"
        "controller U1 { input 30..60 V, capacitance " +
        capacitance +
        ", regen none, supply-limit 8 A, phase-peak 20 A, phases 2 }\nmotor M1 { leads 2, carries 40 A }\n"
        "route B1.+ (W1 10 mm2, 0.12 m, red) F1 (W2 10 mm2, 0.3 m, red) S1 (W3 10 mm2, 0.3 m, red) U1.+\n"
        "route B1.- (W4 10 mm2, 0.2 m, black) Q1 (W5 10 mm2, 0.3 m, black) U1.-\n"
        "route U1.M+ (W6 6 mm2, 0.4 m) M1.M+\nroute U1.M- (W7 6 mm2, 0.4 m) M1.M-\n"
        "mode off { others at rest }\nmode on { S1 closed, others at rest }\n");
}
std::optional<Severity> surge(const Results& results, std::string_view subject) {
    const Finding* finding = finding_of(results, "charging-surge", subject);
    return finding ? std::optional(finding->severity) : std::nullopt;
}

}  // namespace

TEST_CASE("a fuse opens on what charges capacitors where I^2 tau / 2 reaches its joule integral") {
    const Results known = drive("4 mF", "melts 1 A2s, clears 2 A2s", "900 A after 1 s");
    const Finding* finding = finding_of(known, "charging-surge", "F1");
    REQUIRE(finding);
    const double peak_A = finding->figures[0].value, tau_s = finding->figures[1].value;
    CHECK(tau_s == Approx(4e-3 * 54.6 / peak_A).epsilon(1e-3));
    CHECK(peak_A * peak_A * tau_s / 2 == Approx(199).epsilon(0.02));
    const double integral = peak_A * peak_A * tau_s / 2;
    const auto clears = [&](double share) {
        return surge(
            drive("4 mF",
                  fmt::format("melts {:.4f} A2s, clears {:.4f} A2s", 0.3 * integral, share * integral),
                  "900 A after 1 s"),
            "F1");
    };
    CHECK(clears(0.99) == Severity::error);
    CHECK(clears(1.01) == Severity::warning);
    // C x 54.6 V x 54.6 V / 2 is 1 J at 670.9 uF.
    CHECK(surge(drive("671.5 uF", "melts 1 A2s, clears 2 A2s", "900 A after 1 s"), "F1") == Severity::error);
    CHECK(surge(drive("670.3 uF", "melts 1 A2s, clears 2 A2s", "900 A after 1 s"), "F1") == std::nullopt);
}

TEST_CASE("a battery management trips on what charges capacitors where that outlasts its delay") {
    const Results known = drive("40 mF", "melts 90 kA2s, clears 99 kA2s", "200 A after 100 us");
    const Finding* finding = finding_of(known, "charging-surge", "Q1");
    REQUIRE(finding);
    const double peak_A = finding->figures[0].value, tau_s = finding->figures[1].value;
    const double above_s = tau_s * std::log(peak_A / 200);
    const auto trips = [&](double share) {
        return surge(drive("40 mF", "melts 90 kA2s, clears 99 kA2s",
                           fmt::format("200 A after {:.2f} us", share * above_s * 1e6)),
                     "Q1");
    };
    CHECK(trips(0.99) == Severity::error);
    CHECK(trips(1.01) == std::nullopt);
}

TEST_CASE("a load that asks for more as it starts than its converter gives is told in a note") {
    const auto pump = [](double inrush_A) {
        return check_text(fmt::format(
            "loom 1\nharness \"spray pump\" {{ ambient 0..35 degC, insulation xlpe 90 degC }}\n"
            "pack B1 {{ voltage 40..54.6 V, resistance 20..30 mohm, capacity 40 Ah, discharge 60 A, charge "
            "10 "
            "A }}\n"
            "fuse F1 {{ 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14 }}\n"
            "switch S1 {{ 80 V dc, carries 20 A, makes 60 A, breaks 20 A at 60 V dc }}\n"
            "converter D1 {{ input 36..60 V, output 12 V 20 A, efficiency 90 %, negative common, reverse "
            "blocked, spare out- }}\n"
            "load M1 {{ 12 V, 12 A, acts-as current, works 9..15 V, inrush {} A for 500 ms }}\n"
            "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.2 m) S1 (W3 2.5 mm2, 0.2 m) D1.in+\n"
            "route D1.out+ (W4 4 mm2, 0.2 m) M1 (W5 4 mm2, 0.2 m) D1.in- (W6 4 mm2, 0.2 m) B1.-\n"
            "mode off {{ others at rest }}\nmode wash {{ S1 closed, others at rest }}\n",
            inrush_A));
    };
    const Results results = pump(20.02);
    const Finding* finding = finding_of(results, "start-above-output", "M1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->beside == "20.02 A; gets 20 A");
    CHECK_FALSE(finding_of(pump(19.98), "start-above-output", "M1"));
}

}  // namespace starting_test
