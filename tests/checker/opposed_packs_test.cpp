// Packs in series of which one lies the wrong way round, and what stands on next to no voltage in a closed
// loop.
#include <catch2/catch.hpp>

#include <optional>

#include "tests/checker/checking.hpp"

namespace opposed_packs_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string start =
    "loom 1\nharness \"Peat barrow\" { ambient 0..35 degC, insulation xlpe 105 degC }\n"
    "part cellar is pack { voltage 10.5..14.4 V, resistance 6..8 mohm, capacity 90 Ah, discharge 80 A, "
    "charge 20 A "
    "}\n"
    "fuse F1 { 50 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5, rated-at 23 degC }\n"
    "switch S1 { 80 V dc, carries 100 A, makes 100 A, breaks 80 A at 80 V dc }\npolicy { voltage-drop 10 % "
    "}\n";

// Packs B1, B2 ... in series, B1 lowest; `turned` of them (1 is B1) the wrong way round; `works` of the
// winch.
std::string string_of(int packs, const std::string& turned, const std::string& load,
                      const std::string& more = {}) {
    std::string text = start;
    for (int i = 1; i <= packs; ++i) text += "pack B" + std::to_string(i) + " is cellar\n";
    const auto pole = [&](int pack, bool upper) {
        const bool wrong = turned.find(std::to_string(pack)) != std::string::npos;
        return "B" + std::to_string(pack) + (upper != wrong ? ".+" : ".-");
    };
    for (int i = 1; i < packs; ++i)
        text += "route " + pole(i, true) + " (W5" + std::to_string(i) + " 16 mm2, 0.1 m) " +
                pole(i + 1, false) + "\n";
    return text + "route " + pole(packs, true) + " (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 " +
           "(W3 16 mm2, 0.3 m, red) X1.1\nbusbar X1 { studs 4, carries 100 A }\n" +
           "busbar X2 { studs 4, carries 100 A }\nroute X2.1 (W4 16 mm2, 0.3 m, black) " + pole(1, false) +
           "\n" + load + more + "mode off { others at rest }\nmode on { S1 closed, others at rest }\n";
}
std::string winch(const std::string& attributes) {
    return "load M1 { " + attributes +
           " }\nroute X1.2 (W6 16 mm2, 0.3 m, red) M1 (W7 16 mm2, 0.3 m, black) X2.2\n";
}

std::optional<Severity> told(const std::string& text, std::string_view rule, std::string_view subject) {
    return gravest_of(check_text(text), rule, subject);
}
bool quiet(const std::string& text) {
    const Results results = check_text(text);
    return results.count(Severity::error) == 0 && results.count(Severity::warning) == 0;
}

}  // namespace

TEST_CASE("of two halves the one that is turned round is told, whatever the load is") {
    for (const char* draws :
         {"24 V, 20 A, acts-as current, works 18..31 V", "24 V, 480 W, acts-as power, works 18..31 V",
          "24 V, 1.2 ohm, works 18..31 V"}) {
        INFO(draws);
        CHECK(quiet(string_of(2, "", winch(draws))));
        const std::string turned = string_of(2, "2", winch(draws));
        CHECK(told(turned, "reversed", "B2") == Severity::error);
        CHECK_FALSE(told(turned, "reversed", "B1"));
        CHECK_FALSE(told(turned, "reversed", "M1"));
        CHECK(told(turned, "undervoltage", "M1") == Severity::error);
        CHECK(told(string_of(2, "1", winch(draws)), "reversed", "B1") == Severity::error);
    }
}

TEST_CASE("of three and four packs in series those that stand against the load are told") {
    const std::string load3 = winch("36 V, 20 A, acts-as current, works 27..46 V"),
                      load4 = winch("48 V, 20 A, acts-as current, works 36..62 V");
    CHECK(quiet(string_of(3, "", load3)));
    for (const char* one : {"1", "2", "3"}) {
        INFO(one);
        CHECK(told(string_of(3, one, load3), "reversed", "B" + std::string(one)) == Severity::error);
    }
    CHECK(quiet(string_of(4, "", load4)));
    const std::string two = string_of(4, "24", load4);
    for (const char* pack : {"B2", "B4"}) CHECK(told(two, "reversed", pack) == Severity::error);
    for (const char* pack : {"B1", "B3", "M1"}) CHECK_FALSE(told(two, "reversed", pack));
    // All of them: then it is the load.
    CHECK(told(string_of(2, "12", winch("24 V, 20 A, acts-as current, works 18..31 V")), "reversed", "M1") ==
          Severity::error);
    CHECK_FALSE(
        told(string_of(2, "12", winch("24 V, 20 A, acts-as current, works 18..31 V")), "reversed", "B1"));
}

TEST_CASE("a charger on the string, or on each pack, neither hides a turned pack nor makes one up") {
    const std::string load = winch("24 V, 20 A, acts-as current, works 18..31 V");
    const std::string charger =
        "charger G1 { output 28.8 V 15 A, reverse blocked }\n"
        "fuse F3 { 20 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-3, rated-at 23 degC }\n"
        "route X1.3 (direct) F3 (W8 6 mm2, 0.3 m, red) G1 (W9 6 mm2, 0.3 m, black) X2.3\n"
        "mode charge { S1 closed, G1 delivers 10 A, M1 off, others at rest }\n";
    CHECK(quiet(string_of(2, "", load, charger)));
    CHECK(told(string_of(2, "2", load, charger), "reversed", "B2") == Severity::error);
    CHECK_FALSE(told(string_of(2, "2", load, charger), "reversed", "G1"));
    // A charger alone has poles too.
    CHECK(told(string_of(2, "2", charger.substr(0, charger.find("mode"))), "reversed", "B2") ==
          Severity::error);
    CHECK_FALSE(told(string_of(2, "", charger.substr(0, charger.find("mode"))), "reversed", "B2"));
}

TEST_CASE("packs side by side, a load on one of two and a change of the banks are not turned round") {
    const std::string load = winch("12 V, 20 A, acts-as current, works 9..16 V");
    const std::string beside =
        "pack B2 is cellar\nfuse F2 { 50 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5, rated-at 23 "
        "degC }\n"
        "route B2.+ (W60 16 mm2, 0.1 m, red) F2 (W61 16 mm2, 0.3 m, red) X1.3\n"
        "route B2.- (W62 16 mm2, 0.3 m, black) X2.3\n";
    CHECK_FALSE(told(string_of(1, "", load, beside), "reversed", "B2"));
    // A lamp of 12 V on the lower pack of a string.
    const std::string tapped =
        "load H1 { 12 V, 5 W, acts-as current, works 9..16 V }\n"
        "fuse F4 { 3 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-3, rated-at 23 degC }\n"
        "route B1.+ (W70 1 mm2, 0.1 m, red) F4 (W71 1 mm2, 0.3 m, red) H1 (W72 1 mm2, 0.3 m, black) X2.4\n";
    const std::string both = winch("24 V, 20 A, acts-as current, works 18..31 V");
    for (const char* pack : {"B1", "B2"}) CHECK_FALSE(told(string_of(2, "", both, tapped), "reversed", pack));
    CHECK(told(string_of(2, "2", both, tapped), "reversed", "B2") == Severity::error);
    CHECK_FALSE(told(string_of(2, "2", both, tapped), "reversed", "B1"));
}

TEST_CASE("a load that its mode has in a closed loop and that gets nothing is not switched off") {
    // Between the pluses of two packs.
    const auto between = [](const std::string& minus, const std::string& attributes) {
        return start + "pack B1 is cellar\npack B2 is cellar\nload M1 { 12 V, 5 A, acts-as current" +
               attributes +
               " }\n"
               "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.3 m, red) M1 "
               "(W4 16 mm2, 0.3 m) " +
               minus +
               "\nroute B1.- (W5 16 mm2, 0.1 m, black) B2.-\n"
               "mode off { others at rest }\nmode on { S1 closed, others at rest }\n";
    };
    CHECK(told(between("B2.+", ", works 9..16 V"), "undervoltage", "M1") == Severity::error);
    CHECK(told(between("B2.+", ""), "wrong-rail", "M1") == Severity::error);
    CHECK_FALSE(told(between("B2.-", ", works 9..16 V"), "undervoltage", "M1"));
    CHECK_FALSE(told(between("B2.-", ""), "wrong-rail", "M1"));
    // Off means off: an open switch, or a load that the mode has off.
    const std::string off =
        replaced(between("B2.+", ", works 9..16 V"), "mode on { S1 closed", "mode on { S1 open");
    CHECK_FALSE(told(off, "undervoltage", "M1"));
    const std::string rests =
        replaced(between("B2.+", ", works 9..16 V"), "mode on { S1 closed", "mode on { S1 closed, M1 off");
    CHECK_FALSE(told(rests, "undervoltage", "M1"));
}

namespace {

// Two packs side by side, each with its own switch; `poles` of the second as they land on the plus and the
// minus bar.
std::string side_by_side(const std::string& second, const std::string& load) {
    return start +
           "pack B1 is cellar\npack B2 is cellar\n"
           "fuse F2 { 50 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5, rated-at 23 degC }\n"
           "switch S2 { 80 V dc, carries 100 A, makes 100 A, breaks 80 A at 80 V dc }\n"
           "busbar X1 { studs 5, carries 100 A }\nbusbar X2 { studs 5, carries 100 A }\n"
           "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.3 m, red) X1.1\n"
           "route B1.- (W4 16 mm2, 0.3 m, black) X2.1\n"
           "route B2.+ (W8 16 mm2, 0.1 m, red) F2 (W9 16 mm2, 0.3 m, red) S2 (W10 16 mm2, 0.3 m, red) " +
           second + load +
           "mode off { others at rest }\nmode one { S1 closed, others at rest }\n"
           "mode both { S1 S2 closed, others at rest }\n";
}
const std::string rightly = "X1.3\nroute B2.- (W11 16 mm2, 0.3 m, black) X2.3\n";
const std::string wrongly = "X2.3\nroute B2.- (W11 16 mm2, 0.3 m, black) X1.3\n";

}  // namespace

TEST_CASE("of two packs side by side the one that is turned round is named, and not what hangs on the bars") {
    const std::string pump =
        winch("12 V, 20 A, acts-as current, works 9..15 V") +
        "converter D1 { input 9..16 V, output 5 V 2 A, negative common, spare out-, capacitance 10 uF }\n"
        "fuse F3 { 3 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-3 }\n"
        "load E1 { 5 V, 1 A, acts-as current, works 4..6 V }\n"
        "route X1.4 (W12 1 mm2, 0.1 m, red) F3 (W13 1 mm2, 0.3 m, red) D1.in+\n"
        "route D1.in- (W14 1 mm2, 0.3 m, black) X2.4\n"
        "route D1.out+ (W15 1 mm2, 0.3 m, red) E1 (W16 1 mm2, 0.3 m, black) D1.in-\n";
    const std::string turned = side_by_side(wrongly, pump), right = side_by_side(rightly, pump);
    CHECK(told(turned, "reversed", "B2") == Severity::error);
    for (const char* other : {"B1", "M1", "D1", "E1"}) CHECK_FALSE(told(turned, "reversed", other));
    for (const char* any : {"B1", "B2", "M1", "D1", "E1"}) CHECK_FALSE(told(right, "reversed", any));
}

TEST_CASE("a load that is turned round beside such a pack is told in the modes that the pack is not in") {
    const std::string load =
        "load M1 { 12 V, 20 A, acts-as current, works 9..15 V }\nload M2 { 12 V, 5 A, acts-as current, works "
        "9..15 V }\n"
        "route X1.2 (W6 16 mm2, 0.3 m, red) M1 (W7 16 mm2, 0.3 m, black) X2.2\n"
        "route X1.4 (W12 16 mm2, 0.3 m, red) M2.->+ (W13 16 mm2, 0.3 m, black) X2.4\n"
        "load M3 { 12 V, 1 A, acts-as current, works 9..15 V }\n"
        "route X1.5 (W14 16 mm2, 0.3 m, red) M3 (W15 16 mm2, 0.3 m, black) X2.5\n";
    CHECK(told(side_by_side(wrongly, load), "reversed", "B2") == Severity::error);
    CHECK(told(side_by_side(wrongly, load), "reversed", "M2") == Severity::error);
    CHECK(told(side_by_side(rightly, load), "reversed", "M2") == Severity::error);
    CHECK_FALSE(told(side_by_side(rightly, load), "reversed", "B2"));
}

}  // namespace opposed_packs_test
