// What is said of electronics in a short circuit is what flows through them, not what other sources add; and
// a wire that electronics guard is told by these.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace fault_share_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A pump trailer with one pack or two equal ones side by side; of each the plus by a fuse, then `in_plus`.
std::string trailer(int packs, const std::string& management, const std::string& parts,
                    const std::string& in_plus) {
    std::string text =
        "loom 1\nharness \"Pump trailer\" { ambient 20..20 degC, insulation xlpe 90 degC }\n"
        "busbar X1 { studs 4, carries 300 A }\nbusbar X2 { studs 4, carries 300 A }\n"
        "load M1 { 48 V, 10 A, acts-as current }\n"
        "route X1.3 (W90 70 mm2, 0.2 m, red) M1 (W91 70 mm2, 0.2 m, black) X2.3\n";
    for (int i = 1; i <= packs; ++i) {
        text += fmt::format(
            "pack B{0} {{ voltage 44..57.6 V, resistance 20 mohm, capacity 120 Ah, discharge 100 A, charge "
            "100 "
            "A }}\nfuse F{0} {{ 100 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }}\n",
            i);
        const bool managed = i == 1;
        text +=
            fmt::format("route B{0}.+ (W1{0} 70 mm2, 0.1 m, red) F{0} (W2{0} 70 mm2, 0.1 m, red){1} X1.{0}\n",
                        i, managed ? in_plus : "");
        text += fmt::format("route B{0}.- (W3{0} 70 mm2, 0.1 m, black){1} X2.{0}\n", i,
                            managed && in_plus.empty() ? " Q1 (W50 70 mm2, 0.1 m, black)" : "");
    }
    return text + management + parts;
}

const std::string low =
    "bms Q1 { side low, ports common, discharge 100 A, charge 100 A, trips 400 A after 0.5 ms\n"
    "  resistance 0.5 mohm }\n";

}  // namespace

TEST_CASE("a short that two packs feed: the note on a battery management has what flows through it") {
    const std::string mode = "mode on { others at rest }\n";
    const auto note_of = [&](int packs) {
        const Results results = check_text(trailer(packs, low, mode, ""));
        const Finding* finding = finding_of(results, "electronics-first", "Q1");
        REQUIRE(finding);
        return *finding;
    };
    const Finding one = note_of(1), two = note_of(2);
    // 57.6 V over 20 mohm and the 0.5 mohm of the management, whatever stands beside its pack.
    const std::string alone = one.beside.substr(0, one.beside.find(" after"));
    CHECK(one.working.front().find("of which") == std::string::npos);
    CHECK(two.beside.find(alone) == 0);
}

TEST_CASE("a contactor that a battery management opens breaks what flows through it") {
    const auto with = [](double breaks_A) {
        return check_text(trailer(
            2, "bms Q1 { side high, drives K1, discharge 100 A, charge 100 A, trips 400 A after 0.5 ms }\n",
            fmt::format("contactor K1 {{ carries 150 A, makes 20 kA, breaks {:.3f} A at 80 V dc, "
                        "opening-time 0.1 ms\n"
                        "  coil 48 V 300 mA, coil-works 36..62 V, suppression diode, spare A1 A2 }}\n",
                        breaks_A) +
                "mode on { others at rest, K1 closed }\n",
            " K1 (W60 70 mm2, 0.1 m, red)"));
    };
    const Results weak = with(100);
    const Finding* finding = finding_of(weak, "breaking-current", "K1");
    REQUIRE(finding);
    const double through_A = figure(*finding, "current");
    // One pack's part at the most: 57.6 V / 20 mohm = 2.88 kA.
    CHECK(through_A > 2300);
    CHECK(through_A < 2880);
    CHECK(finding_of(with(through_A * 0.999), "breaking-current", "K1"));
    CHECK_FALSE(finding_of(with(through_A * 1.001), "breaking-current"));
}

TEST_CASE("the remark of a wire that electronics guard names them, not the fuse of another position") {
    const Results results = check_text(R"(loom 1
harness "Bird hide" { ambient 0..30 degC, insulation pvc 90 degC }
pack B1 { voltage 21..28.8 V, resistance 8..14 mohm, capacity 70 Ah, discharge 120 A, charge 20 A }
fuse F2 { 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, rated-at 25 degC }
fuse F3 { 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, rated-at 25 degC }
converter D1 { input 18..32 V, output 24 V 5 A, efficiency 88 %, negative common, spare out- }
selector S1 { terminals 1 2 com, position off, position one 1 com, position two 2 com
  carries 10 A, makes 20 A, breaks 10 A at 32 V dc }
load E1 { 24 V, 20 W, works 18..32 V }
busbar X2 { studs 4, carries 100 A }
route B1.+ (W1 1.5 mm2, 0.1 m, red) F2 (W2 1.5 mm2, 0.5 m, red) D1.in+
route D1.in- (W3 1.5 mm2, 0.5 m, black) X2.1
route D1.out+ (W4 1.5 mm2, 0.5 m, yellow) S1.1
route B1.+ (W5 1.5 mm2, 0.1 m, red) F3 (W6 1.5 mm2, 0.5 m, red) S1.2
route S1.com (W7 1.5 mm2, 0.5 m, yellow) E1 (W8 1.5 mm2, 0.5 m, black) X2.2
route B1.- (W9 1.5 mm2, 0.1 m, black) X2.3
mode on { others at rest, S1 at one }
)");
    CHECK(finding_of(results, "electronic-only", "W4")->beside == "limit of converter D1");
    CHECK(finding_of(results, "electronic-only", "W7")->beside ==
          "in one position of the contacts before it; fuse F3 guards it in another alone");
}

}  // namespace fault_share_test
