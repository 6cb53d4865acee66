// Typing mistakes in signs, statements and values: one message each, at the right place, in these words.
#include <catch2/catch.hpp>

#include <string>

#include "tests/parser/bench_harness.hpp"

namespace messages_values_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Row {
    std::string title;
    std::string piece;  // of the bench harness
    std::string instead;
    std::string message;  // place, marked text, message, id, note, help
};

}  // namespace

TEST_CASE("the bench harness that mistakes are planted in has none itself") {
    const ReadResult result = read_bench(std::string(bench_text));
    CHECK(in_lines(result) == "");
    CHECK(result.harness);
}

TEST_CASE("a mistake in the signs, brackets and statements of a file gives one message") {
    const Row row = GENERATE(values<Row>({
        {"decimal comma", "W7 1 mm2", "W7 1,5 mm2",
         "23:18 '1,5': a comma stands between digits [decimal-comma] | the decimal sign is a point: 1.5; a "
         "list is written with blanks: 1 5"},
        {"a sign outside texts", "68 ohm", "68 Ω",
         "15:18 'Ω': the character 'Ω' is used only inside texts and comments [foreign-character] | write "
         "ohm"},
        {"a typographic dash", "ambient 5..35", "ambient 5 – 35",
         "2:35 '–': the character '–' is used only inside texts and comments [foreign-character] | write a "
         "plain '-', or '..' for a range"},
        {"a unit spelt another way", "W1 10 mm2, 0.2", "W1 10 mm^2, 0.2",
         "21:19 'mm^2': 'mm^2' is not a unit [unknown-unit] write mm2 | a cross-section is written in mm2, "
         "AWG"},
        {"a unit in the wrong case", "50 mA", "50 ma",
         "14:83 'ma': 'ma' is not a unit [unknown-unit] write mA | a current is written in uA, mA, A, kA"},
        {"a unit missing", "carries 60 A", "carries 60",
         "12:30 '60': 60 has no unit [missing-unit] | 'carries' is a current: 60 A"},
        {"a number without leading zero", "W2 10 mm2, 0.3 m", "W2 10 mm2, .3 m",
         "21:51 '.3': '.3' is not a number [malformed-number] | write 0.3"},
        {"a range with a dash", "takes 6..10", "takes 6-10",
         "13:73 '6-10': '6-10' is not a number [malformed-number] | a range is written 6..10"},
        {"an exponent", "resistance 40 mohm", "resistance 40e-3 ohm",
         "10:40 '40e-3': '40e-3' is not a number [malformed-number] | exponents are not used: choose a unit "
         "such as mohm, uF or kA"},
        {"a text not closed", "\"Peat barrow\"", "\"Peat barrow",
         "2:9 '\"Peat barrow { ambient 5..35 degC }': this text has no closing quote on its line [open-text] "
         "| a text ends on the line where it begins; longer remarks take several note lines"},
        {"a semicolon", "68 ohm,", "68 ohm;",
         "15:21 ';': ';' has no meaning here [stray] | attributes are separated by commas or line breaks"},
        {"an equals sign", "breaks 1 kA", "breaks = 1 kA",
         "11:33 '=': '=' has no meaning here [stray] | an attribute is its name, a blank and its value: "
         "breaks 1 kA"},
        {"a missing closing brace", "curve iso8820-3 }", "curve iso8820-3",
         "11:9 '{': the block of fuse F1 is not closed [open-brace] | a '}' is missing before line 12, where "
         "'switch S1' begins a new statement"},
        {"too many braces", "15 W }", "15 W } }",
         "15:30 '}': this '}' closes nothing [stray-brace] | every block before it is already closed"},
        {"a missing closing bracket", "W2 10 mm2, 0.3 m, red)", "W2 10 mm2, 0.3 m, red",
         "21:64 ' ': wire W2 is not closed [open-wire] | note: 21:39 it begins here | a ')' is missing here; "
         "a wire reads (W1 16 mm2, 0.2 m, red)"},
        {"a comma forgotten in a wire", "(W4 10 mm2, 1 m, red)", "(W4 10 mm2 1 m red)",
         "21:113 '1': '1' is more than the cross-section of wire W4 takes [left-over] | a comma is missing "
         "before '1'"},
        {"a comma forgotten in a part", "breaks 1 kA,", "breaks 1 kA",
         "11:38 'curve': 'curve' is more than 'breaks' takes [left-over] | a comma or a line break is "
         "missing before 'curve'"},
        {"a statement misspelt", "resistor R1", "resister R1",
         "15:1 'resister': no statement begins with 'resister' [unknown-statement] write resistor"},
        {"a wire as a statement", "mode idle", "wire W40 { 1 mm2, 0.3 m }\nmode idle",
         "27:1 'wire': a wire is written inside a route [unknown-statement] | route F1.out (W1 16 mm2, 0.2 "
         "m, red) K1.in"},
        {"a name forgotten", "fuse F1 {", "fuse {",
         "11:1 'fuse': this fuse has no name [missing-name] | fuse F1 { ... }"},
        {"a part name used as a kind", "assembly T1 is mast", "mast T1",
         "18:1 'mast': no statement begins with 'mast' [unknown-statement] | 'mast' is a part; write "
         "assembly T1 is mast"},
        {"no edition", "loom 1\n", "",
         "1:1 'harness': the file does not begin with its language edition [no-edition] | the first line is: "
         "loom 1"},
        {"an edition of the future", "loom 1", "loom 3",
         "1:6 '3': edition 3 of the language is not known to this program [edition] | this program reads "
         "edition 1"},
        {"two statements on a line", "15 W }\n", "15 W } ",
         "15:30 'controller': a line break is missing here [run-on] | each statement begins on a line of its "
         "own"},
    }));
    const std::string text = bench_with(row.piece, row.instead);
    CAPTURE(row.title, text);
    const ReadResult result = read_bench(text);
    CHECK(in_lines(result) == row.message + "\n");
    CHECK_FALSE(result.harness);
}

TEST_CASE("a mistake in an attribute or a value gives one message") {
    const Row row = GENERATE(values<Row>({
        {"an attribute misspelt", "carries 50 A", "caries 50 A",
         "13:47 'caries': 'caries' is not an attribute of a connector [unknown-attribute] write carries | "
         "they are contacts, carries, half, mate, takes, contact-resistance, rated-at, limit, breaks, "
         "withstands, "
         "contact, spare, hand, note, doubt, order, at, marks"},
        {"a voltage where a current belongs", "carries 8 A", "carries 80 V",
         "14:42 '80 V': 'carries' is a current, and 80 V is a voltage [wrong-dimension] | it is written in "
         "uA, mA, A, kA"},
        {"a nameless value of no use", "15 W }", "15 W, 60 J }",
         "15:29 '60 J': a resistor has no nameless energy [wrong-dimension] | nameless values of a resistor: "
         "resistance in ohm; power in W. Named ones in J: pulse"},
        {"an attribute twice", "15 W }", "15 W, 68 ohm }",
         "15:29 '68': resistor R1 has its resistance twice [twice] | note: 15:15 the first is here | "
         "nameless values: resistance in ohm, power in W"},
        {"an attribute missing", "cores red black, ", "",
         "19:7 'C1': 'cores' of cable C1 is missing [missing-attribute] | for instance cores red black "
         "white"},
        {"a word not in the set", "wrap taped", "wrap tape",
         "20:18 'tape': 'wrap' cannot be 'tape' [unknown-word] write taped | it is one of open, taped, "
         "sleeved, conduit, foamed"},
        {"a size out of range", "W2 10 mm2", "W2 5000 mm2",
         "21:43 '5000 mm2': 5000 mm2 is no cross-section a harness can have [out-of-range] | values from "
         "0.05 to 630 mm2 are accepted"},
        {"a negative length", "W1 10 mm2, 0.2 m", "W1 10 mm2, -0.2 m",
         "21:24 '-0.2 m': -0.2 m is no length a harness can have [out-of-range] | values from 0 to 500 m are "
         "accepted"},
        {"a downward range", "voltage 30..42 V", "voltage 42..30 V",
         "10:19 '42..30': the range 42..30 runs downward [downward-range] | the smaller end comes first: "
         "30..42 V"},
        {"a pack described twice over", "voltage 30..42 V", "cells 10s6p, voltage 30..42 V",
         "10:24 'voltage': pack B1 is described by its cells and by its terminals [says-twice] | note: 10:11 "
         "the cells are given here | keep cells, cell-voltage, cell-resistance, cell-capacity or voltage, "
         "resistance, capacity"},
        {"series without parallel", "voltage 30..42 V, resistance 40 mohm, capacity 15 Ah",
         "cells 10s, cell-voltage 3.0..4.2 V, cell-resistance 24 mohm, cell-capacity 2.5 Ah",
         "10:17 '10s': '10s' does not say how the cells are joined [malformed-cells] | series and parallel "
         "count are written together: 10s8p; one string is 10s1p"},
    }));
    const std::string text = bench_with(row.piece, row.instead);
    CAPTURE(row.title, text);
    const ReadResult result = read_bench(text);
    CHECK(in_lines(result) == row.message + "\n");
    CHECK_FALSE(result.harness);
}

}  // namespace messages_values_test
