// What a practitioner would do about single mistakes, against what mend does: each with the harness beside it
// that asks for something else.
#include <catch2/catch.hpp>

#include <algorithm>
#include <string>

#include "checker/mend/in_a_row.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/questions.hpp"
#include "checker/quick_check.hpp"
#include "checker/rules/rule_info.hpp"
#include "parser/read.hpp"
#include "tests/checker/checking.hpp"
#include "tests/no_files.hpp"

namespace plans_test {

using namespace loomward;
using namespace loomward::literals;

namespace {

std::shared_ptr<const Harness> read(const std::string& text) {
    testing::NoFiles no_files;
    std::vector<std::string_view> names;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    auto harness = read_harness_text("boat.loom", text, no_files, {names}).harness;
    return harness ? std::make_shared<const Harness>(std::move(*harness)) : nullptr;
}

const std::string battery = R"(loom 1
harness "Reed boat" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..29.2 V, resistance 4..6 mohm, capacity 80 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
switch S1 { 48 V dc, carries 100 A, makes 100 A, breaks 80 A at 32 V dc }
)";
const std::string modes = R"(
mode off { others at rest }
mode row { S1 closed, others at rest }
)";
const std::string motor = R"(load M1 { 24 V, 15 A, acts-as current, works 16..30 V }
route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) S1 (W3 16 mm2, 0.4 m) M1 (W4 16 mm2, 0.6 m) B1.-
)";

Results checked(const std::string& text) {
    const auto harness = read(text);
    REQUIRE(harness);
    return check(harness);
}

Mended mended(const std::string& text) {
    const Results found = checked(text);
    REQUIRE(found.count(Severity::error) > 0);
    MendOptions how;
    how.tried_with = [](const std::string& changed) -> std::optional<Results> {
        const auto harness = read(changed);
        return harness ? std::optional(check_quickly(harness)) : std::nullopt;
    };
    const Mended result = mend(
        text, found,
        [](const std::string& changed) -> std::optional<Results> {
            const auto harness = read(changed);
            return harness ? std::optional(check(harness)) : std::nullopt;
        },
        how);
    for (const MadeChange& made : result.changes)
        UNSCOPED_INFO(made.change.key.where << " " << made.change.value << " " << made.change.text << " "
                                            << made.change.other);
    CHECK(result.errors_after == 0);
    return result;
}

const Change* change_of(const Mended& result, Verb verb, const std::string& where) {
    for (const MadeChange& made : result.changes)
        if (made.change.key.verb == verb && made.change.key.where == where) return &made.change;
    return nullptr;
}

std::string pump(const std::string& amperes, const std::string& size) {
    return battery + motor + "load M2 { 24 V, " + amperes +
           " A, acts-as current, works 16..30 V }\nroute S1.out (W5 " + size + " mm2, 0.4 m) M2 (W6 " + size +
           " mm2, 0.6 m) B1.-\n" + modes;
}

}  // namespace

TEST_CASE("a forgotten fuse comes with the wire that it asks for, not with one for the fuse before it") {
    std::string text = pump("24", "1");
    const auto exchange = [&](std::string_view one, std::string_view other) {
        REQUIRE(text.find(one) != std::string::npos);
        for (std::size_t at = text.find(one); at != std::string::npos; at = text.find(one, at + other.size()))
            text.replace(at, one.size(), other);
    };
    exchange("{ 60 A", "{ 100 A");
    exchange("16 mm2", "35 mm2");
    exchange("discharge 80 A", "discharge 120 A");
    exchange("15 A, acts-as", "50 A, acts-as");
    const Mended result = mended(text);
    const Change* fuse = change_of(result, Verb::put_in, "W5");
    REQUIRE(fuse);
    CHECK(fuse->value >= 30);
    CHECK(fuse->value <= 40);
    for (const char* const wire : {"W5", "W6"}) {
        const Change* size = change_of(result, Verb::size, wire);
        REQUIRE(size);
        CHECK(size->value <= 6);  // 100 A ask for 16 mm2
    }
}

TEST_CASE("a forgotten fuse comes alone where the wire stands what its load asks for") {
    const Mended result = mended(pump("5", "1"));
    CHECK(change_of(result, Verb::put_in, "W5"));
    CHECK(result.changes.size() == 1);
}

TEST_CASE("a fuse that is too large to guard anything is exchanged, and none put in before it") {
    const Mended result =
        mended(battery + motor +
               "fuse F2 { 80 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }\n"
               "load M2 { 24 V, 5 A, acts-as current, works 16..30 V }\n"
               "route S1.out (W5 1 mm2, 0.1 m) F2 (W6 1 mm2, 1 m) M2 (W7 1 mm2, 1 m) B1.-\n" +
               modes);
    const Change* fuse = change_of(result, Verb::rating, "F2");
    REQUIRE(fuse);
    CHECK(fuse->value >= 6);
    CHECK(fuse->value <= 25);
    CHECK_FALSE(change_of(result, Verb::put_in, "W5"));
    CHECK_FALSE(change_of(result, Verb::put_in, "W6"));
}

namespace {

// The motor behind a fuse of its own, 30 A, behind the main one.
std::string drive(const std::string& main, const std::string& amperes) {
    std::string text = battery;
    text.replace(text.find("60 A"), 4, main + " A");
    return text + "fuse F2 { 30 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }\n" +
           "fuse F3 { 10 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-3 }\n" + "load M1 { 24 V, " +
           amperes +
           " A, acts-as current, works 16..30 V }\nload E1 { 24 V, 5 A, acts-as current, works 16..30 V }\n"
           "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) S1 (W3 16 mm2, 0.1 m) F2 (W4 16 mm2, 0.4 m) "
           "M1"
           " (W5 16 mm2, 0.6 m) B1.-\n"
           "route S1.out (W6 1 mm2, 0.1 m) F3 (W7 1 mm2, 0.3 m) E1 (W8 1 mm2, 0.6 m) B1.-\n" +
           modes;
}

}  // namespace

TEST_CASE("a fuse that is rated above the one before it is seen, and only that one") {
    std::string text = drive("60", "20");
    CHECK(rated_above_before(checked(text)).empty());
    text.replace(text.find("F2 { 30 A"), 9, "F2 { 80 A");
    const InARow above = rated_above_before(checked(text));
    REQUIRE(above.size() == 1);
    CHECK(above.begin()->first == "F2");
    CHECK(above.begin()->second.before == "F1");
    CHECK(above.begin()->second.before_A == 60);
    CHECK(above.begin()->second.rated_A == 80);
}

TEST_CASE("a fuse is raised with the one before it, where that is smaller") {
    const Mended result = mended(drive("60", "50"));
    const Change *main = change_of(result, Verb::rating, "F1"), *own = change_of(result, Verb::rating, "F2");
    REQUIRE(main);
    REQUIRE(own);
    CHECK(main->value >= own->value);
    CHECK(result.above.empty());
}

TEST_CASE("a fuse is raised alone, where the one before it is large enough") {
    const Mended result = mended(drive("80", "40"));
    CHECK(change_of(result, Verb::rating, "F2"));
    CHECK_FALSE(change_of(result, Verb::rating, "F1"));
    CHECK(result.above.empty());
}

TEST_CASE("a plan that leaves a fuse above the one before it asks whether that may be") {
    Mended plan;
    CHECK(questions_of(plan).empty());
    plan.above["F2"] = {"F1", 60, 80};
    const std::vector<std::string> asked = questions_of(plan);
    REQUIRE(asked.size() == 1);
    CHECK(asked.front().find("F2 of 80 A stands behind F1 of 60 A, which opens first") != std::string::npos);
}

namespace {

std::string charging(const std::string& output, const std::string& amperes) {
    return battery + motor +
           "fuse F2 { 30 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }\ncharger G1 { output " +
           output + " V " + amperes +
           " A, reverse blocked }\nroute B1.+ (W6 6 mm2, 0.1 m) F2 (W7 6 mm2, 1 m) G1.+\n"
           "route G1.- (W8 6 mm2, 1 m) B1.-\n" +
           modes + "mode charging { G1 delivers " + amperes + " A, others at rest }\n";
}

}  // namespace

TEST_CASE("a charger that is too strong is exchanged, and the mode that says what it gives follows") {
    const Mended result = mended(charging("29.2", "25"));
    const Change *charger = change_of(result, Verb::rating, "G1"),
                 *line = change_of(result, Verb::mode_line, "charging");
    REQUIRE(charger);
    REQUIRE(line);
    CHECK(charger->value == 20);
    CHECK(line->text == "G1 delivers 20 A");
    const std::vector<std::string> asked = questions_of(result);
    CHECK(std::any_of(asked.begin(), asked.end(), [](const std::string& each) {
        return each.find("mode charging states G1 delivers 25 A; so it is 20 A") != std::string::npos;
    }));
}

TEST_CASE("a charger of half the voltage is exchanged for one of the pack's") {
    const Mended result = mended(charging("14.4", "15"));
    const Change* charger = change_of(result, Verb::rating, "G1");
    REQUIRE(charger);
    CHECK(charger->key.dimension == Dimension::voltage);
    CHECK(charger->value > 28);
    CHECK(charger->value <= 29.2);
    CHECK_FALSE(change_of(result, Verb::mode_line, "charging"));
}

TEST_CASE("a motor whose lead goes past its contactor is landed behind it") {
    const Mended result = mended(
        battery +
        "contactor K1 { 48 V dc, carries 100 A, makes 100 A, breaks 80 A at 32 V dc, coil 24 V 100 mA, "
        "coil-works 16..30 V, suppression diode }\n"
        "switch S2 { 48 V dc, carries 5 A, makes 5 A, breaks 5 A at 32 V dc, stop, hand, rest closed }\n"
        "fuse F2 { 2 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-3 }\nstud X1\n"
        "load M1 { 24 V, 40 A, acts-as current, works 16..30 V }\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) S1 (W3 16 mm2, 0.1 m) X1\n"
        "route X1 (W9 16 mm2, 0.2 m) K1.out\n"
        "route X1 (W4 16 mm2, 0.4 m) M1 (W5 16 mm2, 0.6 m) B1.-\n"
        "route X1 (W6 1 mm2, 0.1 m) F2 (W7 1 mm2, 0.3 m) S2 (W10 1 mm2, 0.3 m) K1.A1\n"
        "route K1.A2 (W8 1 mm2, 0.6 m) B1.-\n"
        "mode off { others at rest }\nmode row { S1 S2 K1 closed, others at rest }\n");
    REQUIRE(result.changes.size() == 1);
    CHECK(result.changes[0].change.key.where == "W4");
    CHECK(result.changes[0].change.other == "K1.in");
}

TEST_CASE("panels that lie on the pack are landed on the free panel input, both leads") {
    const Mended result = mended(
        battery + motor +
        "panel V1 { open-circuit-voltage 45 V, short-circuit-current 8 A, maximum-series-fuse 15 A }\n"
        "charger G1 { output 29.2 V 10 A, panel-input 20..75 V, panel-current 15 A, reverse blocked }\n"
        "fuse F2 { 15 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-3 }\n"
        "route B1.+ (W6 2.5 mm2, 0.1 m) F2 (W7 2.5 mm2, 1 m) G1.+\nroute G1.- (W8 2.5 mm2, 1 m) B1.-\n"
        "route V1.+ (W9 4 mm2, 2 m) S1.out\nroute V1.- (W10 4 mm2, 2 m) B1.-\n" +
        modes);
    const Change *plus = change_of(result, Verb::land, "W9"), *minus = change_of(result, Verb::land, "W10");
    REQUIRE(plus);
    REQUIRE(minus);
    CHECK(plus->other == "G1.in+");
    CHECK(minus->other == "G1.in-");
}

namespace {

// A load of 5 V, and perhaps a lamp of 12 V, at a converter of 12 V.
std::string computer(const std::string& lamp) {
    return battery + motor +
           "fuse F2 { 10 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-3 }\n"
           "converter D1 { input 18..36 V, output 12 V 3 A, negative common, efficiency 88 %, reverse "
           "blocked }\n"
           "load E1 { 5 V, 1 A, acts-as current, works 4.75..5.25 V }\n" +
           lamp +
           "route S1.out (W6 1 mm2, 0.1 m) F2 (W7 1 mm2, 0.3 m) D1.in+\nroute D1.in- (W8 1 mm2, 0.6 m) B1.-\n"
           "route D1.out+ (W9 1 mm2, 0.6 m) E1 (W10 1 mm2, 0.6 m) D1.out-\n" +
           modes;
}

}  // namespace

TEST_CASE("electronics get a converter that fits, unless that feeds others as well") {
    const Mended alone = mended(computer(""));
    const Change* converter = change_of(alone, Verb::rating, "D1");
    REQUIRE(converter);
    CHECK(converter->value == 5);
    const Mended shared =
        mended(computer("load E2 { 12 V, 1 A, acts-as current, works 9..16 V }\n"
                        "route D1.out+ (W11 1 mm2, 0.6 m) E2 (W12 1 mm2, 0.6 m) D1.out-\n"));
    CHECK_FALSE(change_of(shared, Verb::rating, "D1"));
    CHECK(change_of(shared, Verb::rating, "E1"));
}

TEST_CASE("a charger past the charge port gets its own lead there, not the minus of everything") {
    const Mended result = mended(
        "loom 1\nharness \"Reed boat\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..29.2 V, resistance 4..6 mohm, capacity 80 Ah, discharge 80 A, charge 20 A }\n"
        "bms Q1 { side low, ports separate, discharge 80 A, charge 20 A, charge-trips 30 A after 1 s, "
        "trips 200 A after 1 s, resistance 1 mohm }\n"
        "fuse F1 { 60 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }\n"
        "fuse F2 { 20 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-3 }\n"
        "switch S1 { 48 V dc, carries 100 A, makes 100 A, breaks 80 A at 32 V dc }\n"
        "busbar X1 { studs 4, carries 150 A }\nbusbar X2 { studs 4, carries 150 A }\n"
        "load M1 { 24 V, 15 A, acts-as current, works 16..30 V }\n"
        "charger G1 { output 29.2 V 10 A, reverse blocked }\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) X1.1\n"
        "route B1.- (W3 16 mm2, 0.1 m) Q1.B-\nroute Q1.P- (W4 16 mm2, 0.3 m) X2.1\n"
        "route X1.2 (W5 16 mm2, 0.3 m) S1 (W6 16 mm2, 0.3 m) M1 (W7 16 mm2, 0.3 m) X2.2\n"
        "route X1.3 (W8 16 mm2, 0.1 m) F2 (W9 4 mm2, 0.3 m) G1.+\nroute G1.- (W10 4 mm2, 0.3 m) X2.3\n" +
        modes + "mode shore { others at rest, G1 delivers 10 A }\n");
    REQUIRE(result.changes.size() == 1);
    CHECK(result.changes.front().change.key.where == "W10");
    CHECK(result.warnings_after <= result.warnings_before);
}

}  // namespace plans_test
