// Habits from elsewhere that people type without thinking: one message each, and never one that would lead
// to a wrong number.
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "parser/read.hpp"
#include "tests/no_files.hpp"

namespace messages_habits_test {

namespace {

using namespace loomward;
using loomward::testing::NoFiles;

const std::string rig =
    "loom 1\n"
    "harness \"Pump\" { ambient 0..35 degC }\n"
    "pack B1 { voltage 11..14 V, resistance 9..16 mohm, capacity 24 Ah, discharge 30 A, charge 7 A }\n"
    "fuse F1 { 15 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }\n"
    "load M1 { 12 V, 8 A }\n"
    "route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 1 m, red) M1 (W3 4 mm2, 1 m, black) B1.-\n"
    "mode on { others at rest }\n";

// "id: message | beside | help", one mistake a line.
std::string told(const std::string& text) {
    NoFiles files;
    const ReadResult read = read_harness_text("rig.loom", text, files, {});
    std::string all;
    for (const Diagnostic& mistake : read.mistakes)
        all += mistake.id + ": " + mistake.message + " | " + mistake.beside + " | " + mistake.help + "\n";
    return all;
}

}  // namespace

TEST_CASE("habits from elsewhere get one message that says what is meant", "[messages]") {
    REQUIRE(told(rig) == "");
    struct Row {
        std::string typed, instead_of, expected;
    };
    const Row row = GENERATE(values<Row>({
        {"32..95 degF", "0..35 degC",
         "unknown-unit: 'degF' is not a unit |  | a temperature is written in degC\n"},
        {"(W1 AWG 12,", "(W1 4 mm2,",
         "unit-first: 'AWG' has no number before it |  | a unit follows its number: 12 AWG\n"},
        {"resistance 12 +-3 mohm", "resistance 9..16 mohm",
         "malformed-number: '+-3' is no way to give a spread |  | a spread is given by its ends, as 9..15, "
         "or "
         "as about 12\n"},
        {"B1.+ -> (W1 4 mm2, 0.1 m, red) -> F1", "B1.+ (W1 4 mm2, 0.1 m, red) F1",
         "stray: '->' has no meaning here |  | a route is places and wires, one after the other: B1.+ (W1 16 "
         "mm2, 0.2 m, red) F1.in\n"},
        {"others at rest } // on", "others at rest }",
         "stray: '//' has no meaning here |  | a remark begins with '#', and a text stands in quotes\n"},
        {"8 A };", "8 A }", "stray: ';' has no meaning here |  | statements are separated by line breaks\n"},
        {"mode on: {", "mode on {",
         "stray: ':' has no meaning here |  | a name is followed by a blank and what belongs to it\n"},
        {"capacity ?", "capacity 24 Ah",
         "stray: '?' has no meaning here |  | what nobody can tell is written unknown\n"},
    }));
    std::string text = rig;
    const std::size_t at = text.find(row.instead_of);
    REQUIRE(at != std::string::npos);
    text.replace(at, row.instead_of.size(), row.typed);
    CAPTURE(row.typed);
    CHECK(told(text) == row.expected);
}

TEST_CASE("two places that are joined without a route are told the route, and it reads", "[messages]") {
    const std::string open = "unknown-statement: no statement begins with '", stray = "stray: '",
                      foreign = "foreign-character: the character '",
                      help = "a wire between two places is written in a route: ";
    struct Row {
        std::string typed, begins, route;
    };
    const Row row = GENERATE_COPY(values<Row>({
        {"F1.out -> M1.+", open + "F1.out'", "route F1.out (W4) M1.+"},
        {"F1.out->M1.+", open + "F1.out->M1.+'", "route F1.out (W4) M1.+"},
        {"F1.out -- M1.+", open + "F1.out'", "route F1.out (W4) M1.+"},
        {"F1.out to M1.+", open + "F1.out'", "route F1.out (W4) M1.+"},
        {"F1.out M1.+", open + "F1.out'", "route F1.out (W4) M1.+"},
        {"B1.+ -> F1.in -> M1.+", open + "B1.+'", "route B1.+ (W4) F1.in"},
        {"W9 F1.out M1.+", open + "W9'", "route F1.out (W9) M1.+"},
        {"W9 from F1.out to M1.+", open + "W9'", "route F1.out (W9) M1.+"},
        {"F1.out > M1.+", stray + ">'", "route F1.out (W4) M1.+"},
        {"F1.out => M1.+ # the pump", stray + "=>'", "route F1.out (W4) M1.+"},
        {"F1.out . M1.+", stray + ".'", "route F1.out (W4) M1.+"},
        {"F1.out = M1.+", stray + "='", "route F1.out (W4) M1.+"},
        {"F1.out \u2192 M1.+", foreign + "\u2192'", "route F1.out (W4) M1.+"},
        {"F1.out \u00B7 M1.+", foreign + "\u00B7'", "route F1.out (W4) M1.+"},
    }));
    CAPTURE(row.typed);
    const std::string message = told(rig + row.typed + "\n");
    CHECK(message.starts_with(row.begins));
    CHECK(message.ends_with("| " + help + row.route +
                            "; its size, length and colour follow its name in the brackets\n"));
    CHECK(told(rig + row.route + "\n") == "");
}

TEST_CASE("a line with a wire in it lacks only its first word; other lines are told nothing of routes",
          "[messages]") {
    CHECK(
        told(rig + "F1.out (W4 1 mm2, 1 m, red) M1.+\n") ==
        "unknown-statement: no statement begins with 'F1.out' |  | places and wires stand in a route: route "
        "F1.out (W4 1 mm2, 1 m, red) M1.+\n");
    CHECK(told(rig + "route F1.out (W4 1 mm2, 1 m, red) M1.+\n") == "");
    for (const char* typed : {"foo bar", "F1.out", "M7.x { 8 A }", "resister R1 { 1 ohm }", "fuse F2 > F1",
                              "F1.out .M1", "F1.out (W4 1 mm2, red) > M1.+", "load M2 \u2192 M1"})
        CHECK(told(rig + typed + "\n").find("route") == std::string::npos);
}

}  // namespace messages_habits_test
