// Where there are very many of one thing, the one that does harm is found as where there are few.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace very_many_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A lead behind a large fuse and a thin return, in one bundle with many others or not.
std::string pottery(std::size_t lamps, bool together) {
    std::string text = R"(loom 1
harness "Pottery van" { ambient 5..30 degC, insulation pvc 70 degC }
pack B1 { voltage 44..58 V, resistance 15..24 mohm, capacity 180 Ah, discharge 190 A, charge 25 A }
stud X1
stud X2
switch S1 { 60 V dc, carries 210 A, makes 210 A, breaks 210 A at 60 V dc }
route B1.+ (W1 50 mm2, 0.12 m, red) S1 (W2 50 mm2, 0.06 m, red) X1
route X2 (W3 50 mm2, 0.12 m, black) B1.-
bundle L1 { wrap open, length 2 m }
)";
    const auto branch = [&](const std::string& name, double fuse_A, std::string_view curve, double out_mm2,
                            double back_mm2, bool in) {
        const std::string_view bundle = in ? ", in L1" : "";
        text += fmt::format(
            "fuse F{0} {{ {1} A, 80 V dc, breaks 6 kA at 80 V dc, curve {2} }}\n"
            "load E{0} {{ 48 V, 9 W, acts-as current }}\n"
            "route X1 (WF{0} 16 mm2, 0.03 m, red) F{0} (WA{0} {3} mm2, 3 m, red{5}) E{0} (WB{0} {4} mm2, 3 "
            "m, black{5}) X2\n",
            name, fuse_A, curve, out_mm2, back_mm2, bundle);
    };
    branch("kiln", 60, "iso8820-5", 10, 10, together);
    branch("gauge", 3, "iso8820-3", 1, 0.75, true);
    // Thicker and thinner ones than the two.
    for (std::size_t i = 0; i < lamps; ++i) {
        const double mm2 = i % 3 == 0 ? 16 : i % 3 == 1 ? 4 : 0.75;
        branch(fmt::format("lamp{}", i), i % 3 == 2 ? 2 : 5, "iso8820-3", mm2, mm2, true);
    }
    return text + "mode off { others at rest }\nmode on { S1 closed }\n";
}

// Two banks that are joined in two modes, of which only one comes after the use of one bank alone.
std::string two_banks(const std::string& first, const std::string& second) {
    return R"(loom 1
harness "Peat barge" { ambient 5..30 degC, insulation pvc 70 degC }
pack B1 { voltage 11..14.6 V, resistance 5..9 mohm, capacity 90 Ah, discharge 90 A, charge 35 A }
pack B2 { voltage 11..14.6 V, resistance 5..9 mohm, capacity 90 Ah, discharge 90 A, charge 35 A }
fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 90 A, makes 55 A, breaks 90 A at 80 V dc }
switch S2 { 80 V dc, carries 90 A, makes 55 A, breaks 90 A at 80 V dc }
load E1 { 12 V, 90 W, acts-as current }
stud X1
stud X2
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.25 m, red) S1 (W3 16 mm2, 0.25 m, red) X1
route B2.+ (W4 16 mm2, 0.1 m, red) F2 (W5 16 mm2, 0.25 m, red) S2 (W6 16 mm2, 0.25 m, red) X1
route X1 (W7 16 mm2, 0.25 m, red) E1 (W8 16 mm2, 0.25 m, black) X2
route X2 (W9 16 mm2, 0.25 m, black) B1.-
route X2 (W10 16 mm2, 0.25 m, black) B2.-
mode off { others at rest }
mode one { S1 closed, others at rest }
)" + first +
           second;
}

// Many lamps, and one load behind a small diode.
std::string lantern_raft(std::size_t lamps, double diode_A) {
    std::string text = fmt::format(R"(loom 1
harness "Lantern raft" {{ ambient 5..30 degC, insulation pvc 70 degC }}
pack B1 {{ voltage 22..29 V, resistance 15..24 mohm, capacity 180 Ah, discharge 190 A, charge 25 A, peak 480 A for 9 s }}
fuse F1 {{ 100 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}
busbar X1 {{ studs {0}, carries 210 A }}
busbar X2 {{ studs {0}, carries 210 A }}
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.25 m, red) X1.1
route X2.1 (W3 25 mm2, 0.25 m, black) B1.-
diode D1 {{ {1} A, 100 V }}
fuse F2 {{ 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}
load E1 "pump" {{ 24 V, 11 W, acts-as current, inrush 3.4 A for 25 s }}
route X1.2 (W4 6 mm2, 0.05 m, red) F2 (W5 2.5 mm2, 1 m, red) D1 (W6 2.5 mm2, 1 m, red) E1 (W7 2.5 mm2, 1 m, black) X2.2
)",
                                   lamps + 3, diode_A);
    for (std::size_t i = 0; i < lamps; ++i)
        text += fmt::format(
            "fuse FL{0} {{ 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}\n"
            "load L{0} {{ 24 V, 11 W, acts-as current, inrush 4 A for 20 ms }}\n"
            "route X1.{1} (WX{0} 6 mm2, 0.05 m, red) FL{0} (WA{0} 2.5 mm2, 1 m, red) L{0} (WB{0} 2.5 mm2, 1 "
            "m, black) X2.{1}\n",
            i, i + 3);
    return text + "mode on { others at rest }\n";
}

// Selectors between a large and a small fuse each, by which of their ways the large one hangs on.
std::string signal_box(const std::string& large_first, double minus_mm2) {
    std::string text = R"(loom 1
harness "Signal box" { ambient 5..30 degC, insulation pvc 70 degC }
pack B1 { voltage 22..29 V, resistance 15..24 mohm, capacity 180 Ah, discharge 190 A, charge 25 A }
stud X1
stud X2
switch S1 { 60 V dc, carries 310 A, makes 310 A, breaks 310 A at 60 V dc }
route B1.+ (W1 120 mm2, 0.1 m, red) S1 (W2 120 mm2, 0.05 m, red) X1
)";
    for (std::size_t i = 0; i < large_first.size(); ++i) {
        const bool first = large_first[i] == 'y';
        const auto fuse = [&](char way, bool large) {
            text += fmt::format(
                "fuse F{0}{1} {{ {2} A, 80 V dc, breaks 6 kA at 80 V dc, curve {3} }}\n"
                "route X1 (WX{0}{1} 120 mm2, 0.03 m, red) F{0}{1} (WY{0}{1} 10 mm2, 1 m, red) T{0}.{1}\n",
                i, way, large ? 30 : 3, large ? "iso8820-5" : "iso8820-3");
        };
        fuse('a', first);
        fuse('b', !first);
        text += fmt::format(
            "selector T{0} {{ terminals a b com, position up a com, position down b com, 80 V dc, carries 60 "
            "A, breaks 40 A at 80 V dc }}\nload E{0} {{ 24 V, 19 W, acts-as current }}\n"
            "route T{0}.com (WE{0} 10 mm2, 1 m, red) E{0} (WR{0} 10 mm2, 1 m, black) X2\n",
            i);
    }
    return text + fmt::format(
                      "route X2 (WM {} mm2, 0.3 m, black) B1.-\nmode off {{ others at rest }}\nmode on {{ S1 "
                      "closed, "
                      "others at rest }}\n",
                      minus_mm2);
}

}  // namespace

TEST_CASE("a thin return in a bundle of many wires is told of the lead behind the largest fuse beside it") {
    // Few, more than are ever looked at pair by pair in a small group, more than in a large one.
    for (const std::size_t lamps : {std::size_t{0}, std::size_t{11}, std::size_t{60}}) {
        INFO(lamps);
        CHECK(finding_of(check_text(pottery(lamps, true)), "slow-clearing", "WBgauge") != nullptr);
        const Results results = check_text(pottery(lamps, false));
        CHECK(finding_of(results, "slow-clearing", "WBgauge") == nullptr);
        // Where not every pair was looked at, that is said.
        const bool said =
            std::any_of(results.not_checked.begin(), results.not_checked.end(), [](const std::string& line) {
                return line.find("every short between two wires of very large bundles") == 0;
            });
        CHECK(said == (lamps == 60));
    }
}

TEST_CASE("of the modes that join two packs the worst is told, whatever their names") {
    const auto severity = [](const std::string& first, const std::string& second) {
        const Results results = check_text(two_banks(first, second));
        const Finding* finding = finding_of(results, "joined-packs", "B2");
        REQUIRE(finding);
        return finding->severity;
    };
    const std::string later = "mode zjoined { S1 S2 closed, after one 1 h }\n",
                      at_once = "mode all { S1 S2 closed }\n", late_name = "mode zz { S1 S2 closed }\n";
    CHECK(severity(later, "") == Severity::warning);
    CHECK(severity(later, at_once) == Severity::warning);
    CHECK(severity(later, late_name) == Severity::warning);
    CHECK(severity(at_once, "") == Severity::note);
    CHECK(severity(at_once, late_name) == Severity::note);
}

TEST_CASE("the load with the smallest inrush of very many is followed on its way") {
    CHECK(finding_of(check_text(lantern_raft(5, 2)), "overloaded-diode", "D1") != nullptr);
    CHECK(finding_of(check_text(lantern_raft(70, 2)), "overloaded-diode", "D1") != nullptr);
    CHECK(finding_of(check_text(lantern_raft(70, 4)), "overloaded-diode", "D1") == nullptr);
}

TEST_CASE("a common return is held to every selector at its larger fuse, on whichever side that lies") {
    for (const char* sides : {"yyyyyyy", "yynnyyn", "nynynyn"}) {
        INFO(sides);
        CHECK(finding_of(check_text(signal_box(sides, 35)), "oversized-fuse", "WM") != nullptr);
        CHECK(finding_of(check_text(signal_box(sides, 95)), "oversized-fuse", "WM") == nullptr);
    }
}

}  // namespace very_many_test
