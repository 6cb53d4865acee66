// What a mode states of a part against what the part is set or rated to, as power and where nobody knows it.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace stated_levels_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A saw bench at 50 V: a drive, an inverter, a charger and a lamp on two bars.
Results bench(const std::string& line, const std::string& regen = "10 A",
              const std::string& settings = "supply-limit 40 A") {
    return check_text(fmt::format(
        "loom 1\nharness \"Saw bench\" {{ ambient 5..30 degC, insulation xlpe 90 degC }}\n"
        "pack B1 {{ voltage 49.999..50 V, resistance 1 mohm, capacity 100 Ah, discharge 200 A, charge 60 A "
        "}}\n"
        "fuse F1 {{ 200 A, 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-5 }}\n"
        "busbar X1 {{ studs 9, carries 400 A }}\nbusbar X2 {{ studs 9, carries 400 A }}\n"
        "controller U1 {{ input 30..60 V, capacitance 1 uF, {}, phase-peak 90 A, regen {}, spare U V W }}\n"
        "inverter U2 {{ 2 kW, input 40..60 V, efficiency 80 %, capacitance 1 uF }}\n"
        "charger G1 {{ output 50 V 20 A, reverse blocked }}\nload E1 {{ 48 V, 5 A, works 30..60 V }}\n"
        "route B1.+ (W1 120 mm2, 0.01 m) F1 (W2 120 mm2, 0.01 m) X1.1\nroute B1.- (W3 120 mm2, 0.01 m) X2.1\n"
        "route X1.2 (W4 120 mm2, 0.01 m) U1.+\nroute U1.- (W5 120 mm2, 0.01 m) X2.2\n"
        "route X1.3 (W6 120 mm2, 0.01 m) U2 (W7 120 mm2, 0.01 m) X2.3\n"
        "route X1.4 (W8 120 mm2, 0.01 m) G1 (W9 120 mm2, 0.01 m) X2.4\n"
        "route X1.5 (W10 120 mm2, 0.01 m) E1 (W11 120 mm2, 0.01 m) X2.5\n"
        "mode off {{ U2 off, others at rest }}\nmode on {{ {}, others at rest }}\n",
        settings, regen, line));
}
const Finding* above_setting(const Results& results, std::string_view part) {
    return finding_of(results, "mode-above-setting", part);
}

}  // namespace

TEST_CASE("a power that a mode states is held against the setting at the voltage that the drive gets") {
    // 40 A at 50 V, less 0.2 V on the way at the most.
    const Results over = bench("U1 draws 2.005 kW");
    const Finding* finding = above_setting(over, "U1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(figure(*finding, "stated") == Approx(40.1).epsilon(0.004));
    CHECK(figure(*finding, "setting") == Approx(40));
    CHECK_FALSE(above_setting(bench("U1 draws 1.99 kW"), "U1"));
}

TEST_CASE("an inverter is held against what its rated power takes at the lowest voltage that it works at") {
    // 2 kW / 80 % = 2.5 kW at 40 V: 62.5 A.
    CHECK(above_setting(bench("U2 draws 62.6 A"), "U2"));
    CHECK_FALSE(above_setting(bench("U2 draws 62.4 A"), "U2"));
    CHECK(above_setting(bench("U2 draws 2.51 kW"), "U2"));
    CHECK_FALSE(above_setting(bench("U2 draws 2.49 kW"), "U2"));
}

TEST_CASE("of the levels of a course the largest is held against the setting") {
    const Results over = bench("U1 draws 41 A for 1 s then 43 A for 1 s then 42 A for 1 s repeating");
    REQUIRE(above_setting(over, "U1"));
    CHECK(figure(*above_setting(over, "U1"), "stated") == Approx(43));
    CHECK_FALSE(above_setting(bench("U1 draws limit for 1 s then 39 A for 1 s repeating"), "U1"));
}

TEST_CASE("a charger is held to its output and a drive to its regeneration") {
    CHECK(above_setting(bench("G1 delivers 20.02 A"), "G1"));
    CHECK_FALSE(above_setting(bench("G1 delivers 19.98 A"), "G1"));
    CHECK(above_setting(bench("U1 returns 10.01 A"), "U1"));
    CHECK_FALSE(above_setting(bench("U1 returns 9.99 A"), "U1"));
}

TEST_CASE("a level that nobody knows is judged at what bounds it, and an error where nothing does") {
    struct Row {
        const char *line, *part, *taken;
    };
    for (const Row& row : {Row{"U1 draws unknown A", "U1", "taken as 40 A, its supply setting"},
                           Row{"U1 returns unknown A", "U1", "taken as 10 A, its regen"},
                           Row{"U2 draws unknown W", "U2", "taken as 62.5 A, its rated power"},
                           Row{"G1 delivers unknown A", "G1", "taken as 20 A, its output"}}) {
        INFO(row.line);
        const Results results = bench(row.line);
        const Finding* finding = finding_of(results, "missing-data", row.part);
        REQUIRE(finding);
        CHECK(finding->severity == Severity::warning);
        CHECK(finding->beside == row.taken);
    }
    const Results lamp = bench("E1 draws unknown A");
    REQUIRE(finding_of(lamp, "missing-data", "E1"));
    CHECK(finding_of(lamp, "missing-data", "E1")->severity == Severity::error);
    CHECK(finding_of(lamp, "missing-data", "E1")->beside == "anything up to what its fuse lets through");
    CHECK_FALSE(finding_of(bench("U1 draws 3 A"), "missing-data"));
}

TEST_CASE(
    "a size that nobody knows is asked for where no fuse tells what it may be; a length has a range always") {
    const auto lead = [](const std::string& wire) {
        return check_text(
            "loom 1\nharness \"Sluice bell\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 22..29 V, resistance 9 mohm, capacity 9 Ah, discharge 20 A, charge 5 A }\n"
            "fuse F1 { 5 A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-3 }\n"
            "load E1 { 24 V, 1 A, acts-as current, works 18..32 V }\n"
            "device A1 { pin o signal }\ndevice A2 { pin i signal }\n"
            "route B1.+ (W1 1.5 mm2, 0.1 m) F1 (W2 1.5 mm2, 1 m) E1 (W3 1.5 mm2, 1 m) B1.-\n"
            "route A1.o (" +
            wire + ") A2.i\nmode on { others at rest }\n");
    };
    const Results thin = lead("W9 unknown mm2, 1 m");
    const Finding* finding = finding_of(thin, "missing-data", "W9");
    REQUIRE(finding);
    CHECK(finding->wire);
    CHECK(finding->working.back() == "taken as 1 mm2 meanwhile; its load is not judged");
    const Results far = lead("W9 0.5 mm2, unknown m");
    const Finding* length = finding_of(far, "missing-data", "W9");
    REQUIRE(length);
    CHECK(length->working.back() == "judged for 0.1..3 m meanwhile (one lead of a vehicle, no source)");
}

TEST_CASE(
    "of a fuse that does not say its current it is told between what it may have, or that nothing lies "
    "between") {
    const auto fuse = [](const std::string& load_A) {
        const Results results = check_text(
            "loom 1\nharness \"Sluice bell\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 24..24.01 V, resistance 9 mohm, capacity 90 Ah, discharge 90 A, charge 5 A }\n"
            "fuse F1 { unknown A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-3 }\n"
            "load E1 { 24 V, " +
            load_A +
            ", acts-as current, works 9..32 V }\n"
            "route B1.+ (W1 1.5 mm2, 0.1 m) F1 (W2 1.5 mm2, 0.1 m) E1 (W3 1.5 mm2, 0.1 m) B1.-\n"
            "mode on { others at rest }\n");
        const Finding* finding = finding_of(results, "missing-data", "F1");
        return finding ? finding->requirement : "";
    };
    // 7 A / 80 % = 8.75 A at the least; 1.5 mm2 may carry 26.4 A here.
    CHECK(fuse("7 A") == "be 10..25 A");
    CHECK(fuse("30 A") == "be 37.5 A or more, but the wires in a row with it may carry only 26.4 A");
}

TEST_CASE("a battery of which nobody says the voltage is taken by what most of its loads are made for") {
    const auto taken = [](const std::vector<std::string>& lamps_V) {
        std::string text =
            "loom 1\nharness \"Sluice bell\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { resistance 9 mohm, capacity 90 Ah, discharge 90 A, charge 5 A }\n"
            "fuse F1 { 10 A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-3 }\n"
            "route B1.+ (W1 1.5 mm2, 0.1 m) F1.in\n";
        for (std::size_t i = 0; i < lamps_V.size(); ++i)
            text += fmt::format(
                "load E{0} {{ {1} V, 1 A, acts-as current }}\n"
                "route F1.out (W2{0} 1.5 mm2, 0.1 m) E{0} (W3{0} 1.5 mm2, 0.1 m) B1.-\n",
                i, lamps_V[i]);
        const Results results = check_text(text + "mode on { others at rest }\n");
        const Finding* finding = finding_of(results, "missing-data", "B1");
        REQUIRE(finding);
        return finding->working.back();
    };
    const std::string of_12 = "judged for 10.5..14.6 V meanwhile (batteries of that nominal voltage, memory)",
                      of_24 = "judged for 21..29.2 V meanwhile (batteries of that nominal voltage, memory)";
    CHECK(taken({"12"}) == of_12);
    CHECK(taken({"24"}) == of_24);
    CHECK(taken({"12", "24", "24"}) == of_24);
    CHECK(taken({"12", "24", "12"}) == of_12);
    // As many for one as for another say nothing.
    const std::string unsaid = taken({"12", "24"});
    CHECK((unsaid != of_12 && unsaid != of_24));
}

}  // namespace stated_levels_test
