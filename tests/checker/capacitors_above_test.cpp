// Contacts that close while capacitors stand above what they are put onto: the current goes the other way,
// and is as large.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace capacitors_above_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Bank {
    std::string charged = "50..54.6 V";  // by a second pack, before the first is put on
    std::string capacitance = "20 mF";
    std::string makes = "makes 80 A, ";
    bool in_minus = false;
};

// A bank of capacitors that a small pack charges through a resistor; then S1 puts the pack of 42 V on it.
Results put_on(const Bank& bank) {
    const std::string plus = bank.in_minus ? "F1 (W2 16 mm2, 0.3 m, red) X1.1"
                                           : "F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.3 m, red) X1.1";
    const std::string minus =
        bank.in_minus ? "route B1.- (W10 16 mm2, 0.3 m, black) S1 (W3 16 mm2, 0.3 m, black) X2.2\n"
                      : "route B1.- (W10 16 mm2, 0.3 m, black) X2.2\n";
    return check_text(
        "loom 1\nharness \"winter sledge\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 40..42 V, resistance 15..22 mohm, capacity 80 Ah, discharge 80 A, charge 80 A }\n"
        "pack B2 { voltage " +
        bank.charged +
        ", resistance 500..600 mohm, capacity 5 Ah, discharge 5 A, charge 5 A }\n"
        "fuse F1 { 63 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
        "fuse F2 { 5 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
        "switch S1 { 80 V dc, carries 80 A, " +
        bank.makes +
        "breaks 80 A at 60 V dc }\n"
        "switch S2 { 80 V dc, carries 10 A, makes 200 A, breaks 10 A at 60 V dc }\n"
        "resistor R1 { 10 ohm, 100 W, pulse 200 J }\ncapacitor C1 { " +
        bank.capacitance +
        ", 80 V }\nbusbar X1 { studs 3, carries 100 A }\nbusbar X2 { studs 3, carries 100 A }\n"
        "route B1.+ (W1 16 mm2, 0.12 m, red) " +
        plus +
        "\nroute B2.+ (W4 1.5 mm2, 0.12 m, red) F2 (W5 1.5 mm2, 0.3 m, red) S2 (W6 1.5 mm2, 0.4 m, red) R1 "
        "(direct) X1.2\n"
        "route X1.3 (W8 16 mm2, 0.1 m, red) C1 (W9 16 mm2, 0.1 m, black) X2.1\n" +
        minus +
        "route B2.- (W11 16 mm2, 0.3 m, black) X2.3\n"
        "mode off { others at rest }\nmode pre { S2 closed, others at rest }\n"
        "mode on { S1 closed, after pre 60 s, others at rest }\n");
}

const Finding* onto_capacitors(const Results& results) {
    for (const Finding& finding : results.findings)
        if (finding.rule == "no-precharge" || finding.rule == "slow-precharge") return &finding;
    return nullptr;
}
std::optional<Severity> severity(const Bank& bank) {
    const Results results = put_on(bank);
    const Finding* finding = onto_capacitors(results);
    return finding ? std::optional(finding->severity) : std::nullopt;
}

}  // namespace

TEST_CASE("capacitors above the pack weld a contact as those below it do") {
    const Results above = put_on({}), below = put_on({.charged = "29.39..29.4 V"});
    const Finding *high = onto_capacitors(above), *low = onto_capacitors(below);
    REQUIRE(high);
    REQUIRE(low);
    CHECK(high->severity == Severity::error);
    CHECK(low->severity == Severity::error);
    CHECK(high->rule == "no-precharge");
    CHECK(high->subject == "S1");
    CHECK(high->message ==
          "switch S1 closes onto the capacitors of capacitor C1, which stand above what it "
          "puts them to");
    // 54.6 - 42 = 42 - 29.4 = 12.6 V over the same loop.
    CHECK(figure(*high, "peak") == Approx(figure(*low, "peak")).epsilon(1e-3));
    CHECK(figure(*high, "energy") == Approx(20e-3 * 12.6 * 12.6 / 2).epsilon(1e-3));
    CHECK(figure(*high, "peak") > 500);
    CHECK_THAT(high->help, Catch::Contains("let the capacitors down first"));
}

TEST_CASE("capacitors above the pack are told of from the current on that the contact makes") {
    const double peak_A = figure(*onto_capacitors(put_on({})), "peak");
    const auto makes = [&](double share) {
        return severity({.makes = fmt::format("makes {:.3f} A, ", share * peak_A)});
    };
    CHECK(makes(0.999) == Severity::error);
    CHECK(makes(1.001) == std::nullopt);
    CHECK(severity({.makes = ""}) == Severity::error);
    CHECK(severity({.makes = "", .in_minus = true}) == Severity::error);
    CHECK(severity({.in_minus = true}) == Severity::error);
    CHECK(severity({.charged = "40..42 V"}) == std::nullopt);
}

TEST_CASE("capacitors above the pack hurt by their energy: 1 J an error, 0.1 J a note") {
    // C x 12.6 V x 12.6 V / 2: 1 J is 12.597 mF.
    CHECK(severity({.capacitance = "12.61 mF"}) == Severity::error);
    CHECK(severity({.capacitance = "12.58 mF"}) == Severity::note);
    CHECK(severity({.capacitance = "1.261 mF"}) == Severity::note);
    CHECK(severity({.capacitance = "1.258 mF"}) == std::nullopt);
}

TEST_CASE("a selector that takes drive capacitors from a full pack to an empty one is told of") {
    const auto changed_over = [](const std::string& second) {
        return check_text(
            "loom 1\nharness \"sledge\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 52..54.6 V, resistance 15..22 mohm, capacity 80 Ah, discharge 80 A, charge 20 "
            "A "
            "}\n"
            "pack B2 { voltage " +
            second +
            ", resistance 15..22 mohm, capacity 80 Ah, discharge 80 A, charge 20 A }\n"
            "fuse F1 { 63 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "fuse F2 { 63 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "fuse F3 { 2 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }\n"
            "selector S1 { terminals 1 2 com, position off, position one 1 com, position two 2 com\n"
            "  80 V dc, carries 80 A, makes 80 A, breaks 80 A at 60 V dc }\n"
            "switch S2 { 80 V dc, carries 6 A, breaks 4 A at 60 V dc }\n"
            "controller U1 { input 30..60 V, capacitance 20 mF, regen none, supply-limit 40 A, phase-peak 90 "
            "A, "
            "phases 2 }\n"
            "motor M1 { leads 2, carries 100 A }\nbusbar X2 { studs 3, carries 100 A }\n"
            "resistor R1 { 47 ohm, 100 W, pulse 200 J }\n"
            "route B1.+ (W1 16 mm2, 0.12 m, red) F1 (W2 16 mm2, 0.3 m, red) S1.1\n"
            "route B2.+ (W3 16 mm2, 0.12 m, red) F2 (W4 16 mm2, 0.3 m, red) S1.2\n"
            "route S1.com (W5 16 mm2, 0.4 m, red) U1.+\nroute U1.- (W6 16 mm2, 0.4 m, black) X2.1\n"
            "route B1.- (W7 16 mm2, 0.3 m, black) X2.2\nroute B2.- (W8 16 mm2, 0.3 m, black) X2.3\n"
            "route F1.out (W9 1.5 mm2, 0.1 m, red) F3 (W10 1.5 mm2, 0.3 m, red) S2 (W11 1.5 mm2, 0.1 m, red) "
            "R1 "
            "(W12 1.5 mm2, 0.1 m, red) U1.+\n"
            "route U1.M+ (W14 35 mm2, 0.4 m) M1.M+\nroute U1.M- (W15 35 mm2, 0.4 m) M1.M-\n"
            "mode off { others at rest }\nmode pre { S2 closed, others at rest }\n"
            "mode one { S1 at one, after pre 20 s, others at rest }\n"
            "mode two { S1 at two, after one 60 s, others at rest }\n");
    };
    const Results hurt = changed_over("36..42 V");
    const Finding* finding = onto_capacitors(hurt);
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->subject == "S1");
    // One pack full and the other empty: 54.6 V on 36 V.
    CHECK(figure(*finding, "energy") == Approx(20e-3 * 18.6 * 18.6 / 2).epsilon(2e-3));
    CHECK(onto_capacitors(changed_over("52..54.6 V")) == nullptr);
}

}  // namespace capacitors_above_test
