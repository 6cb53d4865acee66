// What a pack must not go without, and battery managements in a string.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace pack_care_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Cart {
    std::string ambient = "0..40 degC";
    std::string pack = "voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 10 A";
    std::string bms;  // between the minus and all else
    std::string fuse = "20 A, 80 V dc, breaks 5 kA at 80 V dc, curve ul248-14";
    std::string more;
    bool charger = true;

    Results check() const {
        std::string text = "loom 1\nharness \"Nursery barrow\" { ambient " + ambient +
                           ", insulation pvc 90 degC }\npack B1 { " + pack + " }\nfuse F1 { " + fuse +
                           " }\nload H1 { 48 V, 100 W, works 30..60 V }\n"
                           "switch S1 { 80 V dc, carries 30 A, makes 40 A, breaks 30 A at 60 V dc }\n"
                           "busbar X1 { studs 4, carries 60 A }\nbusbar X2 { studs 4, carries 60 A }\n"
                           "route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.3 m, red) X1.1\n"
                           "route X1.2 (W3 10 mm2, 0.3 m, red) S1 (W4 10 mm2, 0.3 m, red) H1 "
                           "(W5 10 mm2, 0.3 m, black) X2.1\n";
        if (bms.empty())
            text += "route B1.- (W6 10 mm2, 0.1 m, black) X2.2\n";
        else
            text += "bms Q1 { " + bms +
                    " }\nroute B1.- (W6 10 mm2, 0.1 m, black) Q1 (W7 10 mm2, 0.1 m, black) X2.2\n";
        if (charger)
            text +=
                "charger G1 { output 54.6 V 5 A, reverse blocked }\n"
                "route X1.3 (W8 10 mm2, 0.2 m, red) G1 (W9 10 mm2, 0.2 m, black) X2.3\n"
                "mode filling { G1 delivers 5 A, others at rest }\n";
        return check_text(text + "mode off { others at rest }\nmode warm { S1 closed, others at rest }\n" +
                          more);
    }
};
const std::string managed =
    "side low, ports common, discharge 30 A, charge 10 A, trips 60 A after 1 s, resistance 1 mohm";

}  // namespace

TEST_CASE("a lithium pack that nothing watches gets a note that asks for it, charged or not") {
    Cart cart;
    REQUIRE(finding_of(cart.check(), "unwatched-cells", "B1"));
    CHECK(finding_of(cart.check(), "unwatched-cells")->severity == Severity::note);
    Cart watched = cart;
    watched.bms = managed;
    CHECK_FALSE(finding_of(watched.check(), "unwatched-cells"));
    Cart never_charged = cart;
    never_charged.charger = false;
    CHECK(finding_of(never_charged.check(), "unwatched-cells")->beside ==
          "a cell that is empty before the others is drawn flat");
}

TEST_CASE("lithium is told by the voltage of a full cell, of each or of all") {
    const auto watched = [](const std::string& pack) {
        Cart cart;
        cart.pack = pack + ", discharge 30 A, charge 10 A";
        return finding_of(cart.check(), "unwatched-cells") != nullptr;
    };
    const auto cells = [](double full_V, int series) {
        return fmt::format("cells {}s4p, cell-voltage 1.8..{} V, cell-resistance 20 mohm, cell-capacity 3 Ah",
                           series, full_V);
    };
    CHECK(watched(cells(3.65, 15)));
    CHECK(watched(cells(2.85, 20)));
    CHECK_FALSE(watched(cells(2.4, 22)));  // lead
    const std::string rest = ", resistance 40 mohm, capacity 10 Ah";
    CHECK(watched("voltage 39..54.6 V" + rest));        // 13 x 4.2
    CHECK(watched("voltage 40..54.75 V" + rest));       // 15 x 3.65
    CHECK_FALSE(watched("voltage 42..57.6 V" + rest));  // 4 lead batteries
    // A full cell between 2.4 V (lead) and 2.85 V (LTO), and no more than a tenth above 4.2 V.
    CHECK(watched(cells(2.63, 20)));
    CHECK_FALSE(watched(cells(2.62, 20)));
    CHECK(watched(cells(4.61, 13)));
    CHECK_FALSE(watched(cells(4.63, 13)));
    // Two cells of 4.2 V, within 0.3 %; empty between 2.5 V and their nominal voltage, 3.7 V at the most.
    const auto two = [&](double empty_V, double full_V) {
        return watched(fmt::format("voltage {}..{} V", empty_V, full_V) + rest);
    };
    CHECK(two(6, 8.424));
    CHECK(two(6, 8.376));
    CHECK_FALSE(two(6, 8.43));
    CHECK_FALSE(two(6, 8.37));
    CHECK(two(5.01, 8.4));
    CHECK_FALSE(two(4.99, 8.4));
    CHECK(two(7.39, 8.4));
    CHECK_FALSE(two(7.41, 8.4));
    CHECK_FALSE(two(3, 4.2));  // one cell may be anything
}

TEST_CASE("a lithium pack that is charged in the frost gets a note that asks what it stands") {
    Cart cart;
    cart.bms = managed;
    cart.ambient = "-0.1..40 degC";
    REQUIRE(finding_of(cart.check(), "charged-in-the-cold", "B1"));
    CHECK(finding_of(cart.check(), "charged-in-the-cold")->severity == Severity::note);
    Cart warm = cart;
    warm.ambient = "0..40 degC";
    CHECK_FALSE(finding_of(warm.check(), "charged-in-the-cold"));
    Cart said = cart;
    said.pack += ", charge-at 0 degC 0 A, charge-at 5 degC 10 A";
    CHECK_FALSE(finding_of(said.check(), "charged-in-the-cold"));
    said = cart;
    said.bms += ", charge-at 0 degC 0 A, charge-at 5 degC 10 A";
    CHECK_FALSE(finding_of(said.check(), "charged-in-the-cold"));
    // What it stands on a mild day says nothing of the frost.
    said = cart;
    said.bms += ", charge-at 10 degC 10 A, charge-at 45 degC 5 A";
    CHECK(finding_of(said.check(), "charged-in-the-cold"));
    Cart only_used = cart;
    only_used.charger = false;
    CHECK_FALSE(finding_of(only_used.check(), "charged-in-the-cold"));
}

TEST_CASE("a guard far above what the pack may give is a warning, unless a battery management trips before") {
    Cart cart;
    cart.charger = false;
    const auto judged = [&](double discharge_A, const std::string& bms) {
        Cart each = cart;
        each.pack =
            fmt::format("voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge {} A, charge 10 A",
                        discharge_A);
        each.bms = bms;
        const Results results = each.check();
        const Finding* finding = finding_of(results, "pack-guard", "B1");
        return finding ? std::optional(finding->severity) : std::nullopt;
    };
    // 20 A over 1.5 is 13.333 A.
    CHECK(judged(13.32, "") == Severity::warning);
    CHECK(judged(13.35, "") == std::nullopt);
    const std::string bms = "side low, ports common, charge 10 A, resistance 1 mohm, ";
    CHECK(judged(10, bms + "discharge 15 A, trips 60 A after 1 s") == std::nullopt);
    CHECK(judged(10, bms + "discharge 15.1 A, trips 15 A after 1 s") == std::nullopt);
    CHECK(judged(10, bms + "discharge 15.1 A, trips 15.1 A after 1 s") == Severity::warning);
}

TEST_CASE("of several leads of a pack the one with the largest guard is held to what the pack may give") {
    const auto told = [](const char* first_A, const char* second_A) {
        const Results results = check_text(fmt::format(
            "loom 1\nharness \"Nursery barrow\" {{ ambient 5..30 degC, insulation xlpe 90 degC }}\n"
            "pack B1 {{ voltage 40..50 V, resistance 40 mohm, capacity 10 Ah, discharge 10 A, charge 5 A }}\n"
            "part branch is fuse {{ 80 V dc, breaks 5 kA at 80 V dc, curve ul248-14 }}\n"
            "fuse F1 is branch {{ {} A }}\nfuse F2 is branch {{ {} A }}\n"
            "load H1 {{ 48 V, 50 W, works 30..60 V }}\nload H2 {{ 48 V, 50 W, works 30..60 V }}\n"
            "route B1.+ (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.1 m) H1 (W3 10 mm2, 0.1 m) B1.-\n"
            "route B1.+ (W4 10 mm2, 0.1 m) F2 (W5 10 mm2, 0.1 m) H2 (W6 10 mm2, 0.1 m) B1.-\n"
            "mode on {{ others at rest }}\n",
            first_A, second_A));
        const Finding* finding = finding_of(results, "pack-guard", "B1");
        return finding ? finding->beside : "";
    };
    CHECK(told("10", "16") == "F2 is rated 16 A; the pack may give 10 A");
    CHECK(told("16", "10") == "F1 is rated 16 A; the pack may give 10 A");
    CHECK(told("15", "10").empty());
}

namespace {

Results string_of_two(const std::string& stands) {
    const std::string pack =
        " { voltage 10..14.6 V, resistance 10 mohm, capacity 50 Ah, discharge 60 A, charge 20 A }\n";
    const std::string bms =
        " { side low, ports common, discharge 60 A, charge 20 A, trips 90 A after 1 s, resistance 1 mohm" +
        stands + " }\n";
    return check_text(
        "loom 1\nharness \"Punt\" { ambient 0..40 degC, insulation pvc 90 degC }\npack B1" + pack +
        "pack B2" + pack + "bms Q1" + bms + "bms Q2" + bms +
        "fuse F1 { 40 A, 58 V dc, breaks 5 kA at 58 V dc, curve iso8820-5 }\n"
        "load H1 { 24 V, 100 W, works 18..31 V }\n"
        "route B2.+ (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.3 m) H1 (W3 10 mm2, 0.3 m) Q1.P->B- "
        "(W8 10 mm2, 0.1 m) B1.-\n"
        "route B2.- (W4 10 mm2, 0.1 m) Q2 (W9 10 mm2, 0.1 m) B1.+\nmode off { others at rest }\n");
}

}  // namespace

TEST_CASE("a battery management in a string is asked what it stands, and held to it") {
    const Results asked = string_of_two("");
    for (const char* subject : {"Q1", "Q2"}) {
        REQUIRE(finding_of(asked, "series-bms", subject));
        CHECK(finding_of(asked, "series-bms", subject)->severity == Severity::note);
    }
    CHECK(finding_of(asked, "series-bms")->working.front() == "29.2 V = 14.6 V (B1) + 14.6 V (B2)");
    for (const char* subject : {"Q1", "Q2"}) {
        REQUIRE(finding_of(string_of_two(", 29.17 V"), "contact-voltage", subject));
        CHECK(finding_of(string_of_two(", 29.17 V"), "contact-voltage", subject)->severity ==
              Severity::error);
    }
    CHECK_FALSE(finding_of(string_of_two(", 29.17 V"), "series-bms"));
    CHECK_FALSE(finding_of(string_of_two(", 29.23 V"), "contact-voltage"));
    CHECK_FALSE(finding_of(string_of_two(", 29.23 V"), "series-bms"));
    REQUIRE(finding_of(string_of_two(", unknown V"), "series-bms"));
    CHECK(finding_of(string_of_two(", unknown V"), "series-bms")->severity == Severity::error);
    CHECK_FALSE(finding_of(asked, "bms-direction"));
}

TEST_CASE("a battery management stands the whole pack when it opens, whatever else shares its minus") {
    const auto alone = [](const std::string& side, const std::string& stands, const std::string& more = {}) {
        const bool low = side == "low";
        return check_text(
            "loom 1\nharness \"Punt\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 40..58.4 V, resistance 10 mohm, capacity 50 Ah, discharge 60 A, charge 20 A "
            "}\n"
            "bms Q1 { " +
            stands + ", side " + side +
            ", ports separate, discharge 60 A, charge 20 A, trips 90 A after 1 s, resistance 1 mohm, spare "
            "C" +
            (low ? "-" : "+") +
            " }\nfuse F1 { 40 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
            "load H1 { 48 V, 100 W, works 36..60 V }\nbusbar X2 { studs 3, carries 100 A }\n"
            "route B1.+ (W1 10 mm2, 0.1 m) " +
            (low ? "" : "Q1.B+>P+ (W8 10 mm2, 0.1 m) ") +
            "F1 (W2 10 mm2, 0.3 m) H1 (W3 10 mm2, 0.3 m) X2.1\n"
            "route X2.2 (W9 10 mm2, 0.1 m) " +
            (low ? "Q1.P->B- (W8 10 mm2, 0.1 m) " : "") + "B1.-\n" + more + "mode off { others at rest }\n");
    };
    for (const char* side : {"low", "high"}) {
        INFO(side);
        REQUIRE(finding_of(alone(side, "58.34 V"), "contact-voltage", "Q1"));
        CHECK(finding_of(alone(side, "58.34 V"), "contact-voltage", "Q1")->severity == Severity::error);
        CHECK_FALSE(finding_of(alone(side, "58.46 V"), "contact-voltage"));
        // A pack of a higher voltage on the same minus has nothing to do with it.
        const std::string other =
            "pack B2 { voltage 70..88 V, resistance 10 mohm, capacity 50 Ah, discharge 60 A, charge 20 A }\n"
            "fuse F2 { 40 A, 125 V dc, breaks 20 kA at 125 V dc, curve iso8820-5 }\n"
            "load H2 { 80 V, 100 W, works 60..90 V }\n"
            "route B2.+ (W21 10 mm2, 0.1 m) F2 (W22 10 mm2, 0.3 m) H2 (W23 10 mm2, 0.3 m) X2.3\n"
            "route B2.- (W24 10 mm2, 0.1 m) X2.3\n";
        CHECK_FALSE(finding_of(alone(side, "58.46 V", other), "contact-voltage", "Q1"));
        CHECK(finding_of(alone(side, "58.34 V", other), "contact-voltage", "Q1"));
    }
}

TEST_CASE("of two packs side by side the one without a battery management was forgotten") {
    const auto lift = [](const std::string& second) {
        return check_text(R"(loom 1
harness "Lift" { ambient 0..35 degC, insulation xlpe 90 degC }
part brick is pack { cells 13s6p, cell-voltage 3.0..4.2 V, cell-resistance 20 mohm, cell-capacity 3 Ah
  discharge 60 A, charge 15 A }
pack B1 is brick
pack B2 is brick
part watch is bms { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance 1 mohm }
bms Q1 is watch
bms Q2 is watch
fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
load M1 { 48 V, 60 A, acts-as current, works 35..60 V }
stud X1
stud X2
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) X1
route B2.+ (W3 16 mm2, 0.1 m, red) F2 (W4 16 mm2, 0.3 m, red) X1
route B1.- (W5 16 mm2, 0.1 m, black) Q1 (W6 16 mm2, 0.5 m, black) X2
route B2.- (W7 16 mm2, 0.1 m, black) )" +
                          second + R"(X2
route X1 (W9 25 mm2, 1 m, red) M1 (W10 25 mm2, 1 m, black) X2
mode on { M1 on }
)");
    };
    const Results half = lift("");
    const Finding* finding = finding_of(half, "unwatched-cells", "B2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK_FALSE(finding_of(half, "unwatched-cells", "B1"));
    CHECK_FALSE(finding_of(lift("Q2 (W8 16 mm2, 0.5 m, black) "), "unwatched-cells"));
}

}  // namespace pack_care_test
