// What is fed and how well: dead bars, forgotten returns, long leads, sensor supplies, aged packs, and
// overloads that another fault in the same mode must not hide. Each with its mended twin.
#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace feeding_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

bool tells(const Results& results, std::string_view rule, Severity severity, std::string_view subject) {
    return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
        return finding.rule == rule && finding.severity == severity && finding.subject == subject;
    });
}
bool has_rule(const Results& results, std::string_view rule) {
    return std::any_of(results.findings.begin(), results.findings.end(),
                       [&](const Finding& finding) { return finding.rule == rule; });
}

// A hop kiln on a trailer: a pack, an isolator, a plus bar and a minus bar; `rest` hangs on them.
std::string kiln(const std::string& rest, const std::string& pack = "resistance 20..30 mohm") {
    return fmt::format(R"(loom 1
harness "Hop kiln" {{ ambient 0..35 degC, insulation xlpe 90 degC }}
pack B1 {{ voltage 40..54.6 V, {}, capacity 60 Ah, discharge 90 A, charge 30 A }}
fuse F1 {{ 80 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }}
switch S1 {{ 80 V dc, carries 150 A, makes 3 kA, breaks 120 A at 80 V dc, resistance 0.3 mohm }}
busbar X1 {{ studs 8, carries 150 A }}
busbar X2 {{ studs 8, carries 150 A }}
part small is fuse {{ 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-3 }}
part rocker is switch {{ 80 V dc, carries 20 A, makes 60 A, breaks 20 A at 80 V dc }}
route B1.+ (W1 25 mm2, 0.15 m, red) F1 (W2 25 mm2, 0.4 m, red) S1 (W3 25 mm2, 0.4 m, red) X1.1
route B1.- (W4 25 mm2, 0.6 m, black) X2.1
mode off {{ others at rest }}
{})",
                       pack, rest);
}

const std::string three_lamps = R"(part lamp is load { 48 V, 20 W, acts-as power, works 30..60 V }
load E1 is lamp
load E2 is lamp
load E3 is lamp
busbar X3 { studs 5, carries 30 A }
fuse F3 is small { 5 A }
switch S3 is rocker
)";

}  // namespace

TEST_CASE("loads on a bar that no plus leads to have no source, though each makes a ring with the next") {
    const std::string lamps =
        three_lamps + R"(route X3.1 (W30 1.5 mm2, 1 m, red) E1 (W31 1.5 mm2, 1 m, black) X2.2
route X3.2 (W32 1.5 mm2, 1 m, red) E2 (W33 1.5 mm2, 1 m, black) X2.3
route X3.3 (W34 1.5 mm2, 1 m, red) E3 (W35 1.5 mm2, 1 m, black) B1.-
mode lit { S1 S3 closed }
)";
    const Results dead =
        check_text(kiln(lamps + "route X1.2 (W36 1.5 mm2, 0.2 m, red) F3 (W37 1.5 mm2, 1 m, red) S3.in\n"));
    for (const char* lamp : {"E1", "E2", "E3"}) CHECK(tells(dead, "floating", Severity::error, lamp));
    const Results fed = check_text(kiln(
        lamps +
        "route X1.2 (W36 1.5 mm2, 0.2 m, red) F3 (W37 1.5 mm2, 1 m, red) S3 (W38 1.5 mm2, 1 m, red) X3.4\n"));
    CHECK(!has_rule(fed, "floating"));
}

TEST_CASE("loads on a minus bar that leads nowhere have no source, nor has one with both poles on one bar") {
    const std::string lamps =
        three_lamps + R"(route X1.2 (W36 1.5 mm2, 0.2 m, red) F3 (W37 1.5 mm2, 1 m, red) S3.in
route S3.out (W30 1.5 mm2, 1 m, red) E1 (W31 1.5 mm2, 1 m, black) X3.1
route S3.out (W32 1.5 mm2, 1 m, red) E2 (W33 1.5 mm2, 1 m, black) X3.2
mode lit { S1 S3 closed }
)";
    const std::string third = "route S3.out (W34 1.5 mm2, 1 m, red) E3 (W35 1.5 mm2, 1 m, black) X3.3\n";
    const std::string home = "route X3.4 (W39 1.5 mm2, 1 m, black) X2.2\n";
    const Results dead = check_text(kiln(lamps + third));
    for (const char* lamp : {"E1", "E2", "E3"}) CHECK(tells(dead, "floating", Severity::error, lamp));
    CHECK(!has_rule(check_text(kiln(lamps + third + home)), "floating"));
    const Results astray = check_text(
        kiln(lamps + home + "route X2.3 (W34 1.5 mm2, 1 m, red) E3 (W35 1.5 mm2, 1 m, black) X3.3\n"));
    CHECK(tells(astray, "floating", Severity::error, "E3"));
    CHECK(!tells(astray, "floating", Severity::error, "E1"));
}

TEST_CASE("loads in series lie in the loop of their source, and lose nothing on the way") {
    const Results series = check_text(kiln(R"(load E1 { 24 V, 20 W, acts-as resistor, works 15..31 V }
load E2 { 24 V, 20 W, acts-as resistor, works 15..31 V }
fuse F3 is small { 5 A }
switch S3 is rocker
route X1.2 (W36 1.5 mm2, 0.2 m, red) F3 (W37 1.5 mm2, 1 m, red) S3 (W30 1.5 mm2, 1 m, red) E1 (W31 1.5 mm2, 1 m, black) E2 (W32 1.5 mm2, 1 m, black) X2.2
mode lit { S1 S3 closed }
)"));
    CHECK(!has_rule(series, "floating"));
    CHECK(!has_rule(series, "voltage-drop"));
}

TEST_CASE("an overloaded wire is told whatever else is wrong in its mode") {
    const std::string saw = R"(fuse F5 { 40 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }
switch S5 { 80 V dc, carries 60 A, makes 80 A, breaks 50 A at 80 V dc }
load M5 "saw" { 48 V, 30 A, acts-as current, works 30..60 V }
route X1.4 (W50 10 mm2, 0.1 m, red) F5 (W51 10 mm2, 0.3 m, red) S5 (W52 {} mm2, 0.6 m, red) M5 (W53 10 mm2, 1 m, black) X2.5
mode haul { S1 S5 closed, others at rest }
)";
    struct Row {
        const char *what, *beside;
    };
    const Row row = GENERATE(
        Row{"a converter with its input switched off, whose output could come back through it",
            R"(converter D1 { input 36..60 V, output 12 V 5 A, efficiency 88 %, negative common, capacitance 10 uF, spare out- }
fuse F9 is small { 5 A }
switch S9 is rocker
load E9 { 12 V, 30 W, acts-as power, works 9..15 V }
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) S9 (W62 1.5 mm2, 0.5 m, red) D1.in+
route D1.in- (W63 1.5 mm2, 0.5 m, black) X2.6
route D1.out+ (W64 1.5 mm2, 0.5 m, red) E9 (W65 1.5 mm2, 0.5 m, black) X2.7
)"},
        Row{"a converter asked for more than it gives",
            R"(converter D1 { input 36..60 V, output 12 V 2 A, efficiency 88 %, negative common, reverse blocked, spare out- }
fuse F9 is small { 5 A }
load E9 { 12 V, 3 A, acts-as current, works 9..15 V }
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) D1.in+
route D1.in- (W63 1.5 mm2, 0.5 m, black) X2.6
route D1.out+ (W64 1.5 mm2, 0.5 m, red) E9 (W65 1.5 mm2, 0.5 m, black) X2.7
)"},
        Row{"an isolated converter whose output is shorted",
            R"(converter D1 { input 36..60 V, output 12 V 2 A, efficiency 88 %, negative isolated }
fuse F9 is small { 5 A }
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) D1.in+
route D1.in- (W63 1.5 mm2, 0.5 m, black) X2.6
route D1.out+ (W64 1.5 mm2, 0.5 m, red) D1.out-
)"},
        Row{"a load that the pack cannot feed",
            R"(load E9 "furnace" { 48 V, 60 kW, acts-as power }
fuse F9 { 80 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }
route X1.6 (W60 25 mm2, 0.1 m, red) F9 (W61 25 mm2, 0.5 m, red) E9 (W63 25 mm2, 0.5 m, black) X2.6
)"},
        Row{"an output pin asked for more than it gives",
            R"(controller U9 { capacitance 10 uF, input 30..60 V, phase-peak 20 A, supply-limit 5 A, regen none, spare U V W, pin 5v output 5 V 50 mA, pin gnd return }
fuse F9 is small { 5 A }
device A9 { pin 5v supply 80 mA, pin gnd return }
cable C9 { cores red black, 0.5 mm2, 1 m }
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) U9.+
route U9.- (W63 1.5 mm2, 0.5 m, black) X2.6
route U9.5v (C9.red) A9.5v
route U9.gnd (C9.black) A9.gnd
)"});
    INFO(row.what);
    const std::string thin = row.beside + replaced(saw, "{} mm2", "1.5 mm2"),
                      thick = row.beside + replaced(saw, "{} mm2", "10 mm2");
    CHECK(tells(check_text(kiln(thin)), "overloaded-wire", Severity::error, "W52"));
    CHECK(!tells(check_text(kiln(thick)), "overloaded-wire", Severity::error, "W52"));
    CHECK(!has_rule(check_text(kiln(thin)), "not-solved"));
}

TEST_CASE(
    "a converter and an output pin that are asked for more than they give are told of, a thousandth above") {
    const std::string text =
        R"(converter D1 {{ input 36..60 V, output 12 V 2 A, efficiency 88 %, negative common, reverse blocked, spare out- }}
fuse F9 is small {{ 5 A }}
load E9 {{ 12 V, {} A, acts-as current, works 9..15 V }}
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) D1.in+
route D1.in- (W63 1.5 mm2, 0.5 m, black) X2.6
route D1.out+ (W64 1.5 mm2, 0.5 m, red) E9 (W65 1.5 mm2, 0.5 m, black) X2.7
mode on {{ S1 closed }}
)";
    CHECK(!has_rule(check_text(kiln(fmt::format(fmt::runtime(text), 1.998))), "overloaded-converter"));
    CHECK(tells(check_text(kiln(fmt::format(fmt::runtime(text), 2.002))), "overloaded-converter",
                Severity::error, "D1"));
    const std::string pin =
        R"(controller U9 {{ capacitance 10 uF, input 30..60 V, phase-peak 20 A, supply-limit 5 A, regen none, spare U V W, pin 5v output 5 V 50 mA, pin gnd return }}
fuse F9 is small {{ 5 A }}
device A9 {{ pin 5v supply {} mA, pin gnd return }}
cable C9 {{ cores red black, 0.5 mm2, 1 m }}
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) U9.+
route U9.- (W63 1.5 mm2, 0.5 m, black) X2.6
route U9.5v (C9.red) A9.5v
route U9.gnd (C9.black) A9.gnd
mode on {{ S1 closed, U9 at rest }}
)";
    CHECK(!has_rule(check_text(kiln(fmt::format(fmt::runtime(pin), 49.95))), "overloaded-converter"));
    CHECK(tells(check_text(kiln(fmt::format(fmt::runtime(pin), 50.05))), "overloaded-converter",
                Severity::error, "U9"));
}

TEST_CASE("a long thin lead to the right rail is a drop, on whatever rail the load stands") {
    const std::string lamp = R"(load E1 "yard light" {{ 48 V, 3 A, acts-as current{} }}
fuse F3 is small {{ 5 A }}
switch S3 is rocker
route X1.2 (W36 2.5 mm2, 0.2 m, red) F3 (W37 2.5 mm2, 1 m, red) S3 (W30 {} mm2, 80 m, red) E1 (W31 {} mm2, 80 m, black) X2.2
mode lit {{ S1 S3 closed }}
)";
    const std::string works = GENERATE("", ", works 30..60 V");
    const Results thin = check_text(kiln(fmt::format(fmt::runtime(lamp), works, "0.5", "0.5")));
    CHECK(has_rule(thin, "voltage-drop"));
    CHECK(!has_rule(thin, "wrong-rail"));
    CHECK(!has_rule(check_text(kiln(fmt::format(fmt::runtime(lamp), works, "16", "16"))), "voltage-drop"));
    // And a 96 V lamp on 48 V is on the wrong rail however short its lead is.
    const std::string wrong =
        replaced(fmt::format(fmt::runtime(lamp), "", "16", "16"), "48 V, 3 A", "96 V, 3 A");
    CHECK(tells(check_text(kiln(wrong)), "wrong-rail", Severity::error, "E1"));
}

TEST_CASE("the supply lead of a sensor loses no more than the policy allows, out and back") {
    // 5 V and 60 mA: 3 % are 150 mV, 2.5 ohm out and back.
    const std::string sensor =
        R"(controller U9 {{ capacitance 10 uF, input 30..60 V, phase-peak 20 A, supply-limit 5 A, regen none, spare U V W, pin 5v output 5 V 100 mA, pin gnd return }}
fuse F9 is small {{ 5 A }}
device A9 {{ pin 5v supply 60 mA, pin gnd return }}
cable C9 {{ cores red black, {} mm2, 15 m }}
route X1.6 (W60 1.5 mm2, 0.1 m, red) F9 (W61 1.5 mm2, 0.5 m, red) U9.+
route U9.- (W63 1.5 mm2, 0.5 m, black) X2.6
route U9.5v (C9.red) A9.5v
route U9.gnd (C9.black) A9.gnd
mode on {{ S1 closed, U9 at rest }}
)";
    CHECK(has_rule(check_text(kiln(fmt::format(fmt::runtime(sensor), "0.14"))), "voltage-drop"));
    CHECK(!has_rule(check_text(kiln(fmt::format(fmt::runtime(sensor), "0.75"))), "voltage-drop"));
}

TEST_CASE("a pack counts as old as it says that it gets") {
    const std::string drive =
        R"(controller U9 { capacitance 10 uF, input 36 V..60 V, phase-peak 80 A, supply-limit 40 A, regen none, spare U V W }
fuse F9 { 50 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }
route X1.6 (W60 16 mm2, 0.1 m, red) F9 (W61 16 mm2, 0.5 m, red) U9.+
route U9.- (W63 16 mm2, 0.5 m, black) X2.6
mode pull { S1 closed, U9 draws 30 A }
)";
    const std::string text = replaced(drive, "36 V..60 V", "36..60 V");
    const auto aged = [&](const char* resistance) { return check_text(kiln(text, resistance)); };
    CHECK(!has_rule(aged("resistance 80..100 mohm"), "undervoltage"));
    CHECK(!has_rule(aged("resistance 80..100 mohm, aged-resistance 115 %"), "undervoltage"));
    CHECK(tells(aged("resistance 80..100 mohm, aged-resistance 150 %"), "undervoltage", Severity::warning,
                "U9"));
}

TEST_CASE("a panel with its regulator is solved, and a panel above what the regulator takes is told of") {
    const std::string solar = R"(charger G1 "panel" {{ output {} V 5 A, reverse passes }}
converter D1 "regulator" {{ input 20..60 V, output 54.6 V 3 A, efficiency 94 %, negative common, reverse blocked, spare out- }}
fuse F9 is small {{ 5 A }}
switch S9 is rocker
route G1.+ (W60 2.5 mm2, 1 m, red) S9 (W61 2.5 mm2, 0.5 m, red) D1.in+
route D1.in- (W62 2.5 mm2, 1 m, black) G1.-
route X1.6 (W63 2.5 mm2, 0.1 m, red) F9 (W64 2.5 mm2, 0.5 m, red) D1.out+
route G1.- (W65 2.5 mm2, 0.5 m, black) X2.6
mode sun {{ S1 S9 closed, G1 delivers limit, others at rest }}
)";
    const Results within = check_text(kiln(fmt::format(fmt::runtime(solar), 59.9)));
    CHECK(!has_rule(within, "not-solved"));
    CHECK(!has_rule(within, "input-voltage"));
    const Results above = check_text(kiln(fmt::format(fmt::runtime(solar), 60.1)));
    CHECK(tells(above, "input-voltage", Severity::error, "D1"));
}

}  // namespace feeding_test
