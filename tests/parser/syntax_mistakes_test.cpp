// Mistakes of spelling and of brackets: each text gives exactly one message, and this is its text.
#include <catch2/catch.hpp>

#include "tests/parser/syntax_print.hpp"

namespace syntax_mistakes_test {

using namespace loomward;

namespace {
struct Row {
    std::string text;
    std::string expected;
};
}  // namespace

TEST_CASE("a mistake in a number or a character is told with what to write instead") {
    const Row row = GENERATE(values<Row>({
        {"route F1 (W7 1,5 mm2, 0.3 m) H1",
         "a.loom:1:14: error: a comma stands between digits [decimal-comma]\n"
         "    1 | route F1 (W7 1,5 mm2, 0.3 m) H1\n"
         "      |              ^~~\n"
         "      help: the decimal sign is a point: 1.5; a list is written with blanks: 1 5\n"},
        {"# Größe\nresistor R1 {\t47 Ω, 25 W }",
         "a.loom:2:18: error: the character 'Ω' is used only inside texts and comments [foreign-character]\n"
         "    2 | resistor R1 {\t47 Ω, 25 W }\n"
         "      |              \t   ^\n"
         "      help: write ohm\n"},
        {"harness { ambient 10 – 40 degC }",
         "a.loom:1:22: error: the character '–' is used only inside texts and comments [foreign-character]\n"
         "    1 | harness { ambient 10 – 40 degC }\n"
         "      |                      ^\n"
         "      help: write a plain '-', or '..' for a range\n"},
        {"fuse F1 “main” { 5 A }",
         "a.loom:1:9: error: the character '“' is used only inside texts and comments [foreign-character]\n"
         "    1 | fuse F1 “main” { 5 A }\n"
         "      |         ^\n"
         "      help: write a plain '\"'\n"},
        {"route A (W1 1 mm2, .3 m) B",
         "a.loom:1:20: error: '.3' is not a number [malformed-number]\n"
         "    1 | route A (W1 1 mm2, .3 m) B\n"
         "      |                    ^~\n"
         "      help: write 0.3\n"},
        {"connector J1 { takes 10-16 mm2 }",
         "a.loom:1:22: error: '10-16' is not a number [malformed-number]\n"
         "    1 | connector J1 { takes 10-16 mm2 }\n"
         "      |                      ^~~~~\n"
         "      help: a range is written 10..16\n"},
        {"pack B1 { resistance 30e-3 ohm }",
         "a.loom:1:22: error: '30e-3' is not a number [malformed-number]\n"
         "    1 | pack B1 { resistance 30e-3 ohm }\n"
         "      |                      ^~~~~\n"
         "      help: exponents are not used: choose a unit such as mohm, uF or kA\n"},
    }));
    const ReadText read(row.text);
    CHECK(read.messages() == row.expected);
    CHECK(read.tree.nodes[0].damaged);
}

TEST_CASE("numbers that are not spelt as the language spells them") {
    const Row row = GENERATE(values<Row>({
        {"+5", "write 5; a plus sign is not written"},
        {"-.5", "write -0.5"},
        {".5..2", "write 0.5..2"},
        {"1...5", "a range is written 10..16"},
        {"1..2..3", "a range is written 10..16"},
        {"1..", "a range is written 10..16"},
        {"1.. 5", "a range is written without blanks: 1..5"},
        {"5.", "write 5"},
        {"5.A", "write 5A"},
        {"1.2.3", "a number has one decimal point"},
        {"-5-40", "a range is written -5..40"},
        {"10-16mm2", "a range is written 10..16"},
        {"10+5", "a range is written 10..16"},
        {"2.5e3", "exponents are not used: choose a unit such as mohm, uF or kA"},
        {"1E9", "exponents are not used: choose a unit such as mohm, uF or kA"},
        {"1_000", "digits are written without signs between them"},
        {"5/0", "a fraction is only an AWG size: 1/0, 2/0, 3/0 or 4/0"},
        {"1/2", "a fraction is only an AWG size: 1/0, 2/0, 3/0 or 4/0"},
        {"12/0", "a fraction is only an AWG size: 1/0, 2/0, 3/0 or 4/0"},
        {"1,2,3", "the decimal sign is a point, and a list is written with blanks: 1 2 3"},
        {"0.5,2", "the decimal sign is a point, and a list is written with blanks: 0.5 2"},
    }));
    const ReadText read("x { y " + row.text + " z }");
    CAPTURE(row.text);
    REQUIRE(read.mistakes.size() == 1);
    CHECK(read.sources.text(read.mistakes[0].where) == row.text);
    CHECK(read.mistakes[0].help == row.expected);
}

TEST_CASE("characters that look like others of the language are named with the plain ones") {
    const Row row = GENERATE(values<Row>({
        {"°", "write degC"},
        {"mm²", "write a plain 2: mm2, A2s"},
        {"µ", "write a plain 'u': uA, uF"},
        {"ü", "names are written with a to z, A to Z, 0 to 9, '_' and '-'"},
        {"10…16", "a range is written with two points: 10..16"},
        {"5\u00A0A", "write a plain blank"},
        {"−5", "write a plain '-', or '..' for a range"},
    }));
    const ReadText read("x { y " + row.text + " z }");
    CAPTURE(row.text);
    REQUIRE(read.told().starts_with("foreign-character"));
    REQUIRE(read.mistakes.size() == 1);
    CHECK(read.mistakes[0].help == row.expected);
}

TEST_CASE("a blank that is none is named by its number") {
    const ReadText read("x 5\u00A0A");
    REQUIRE(read.mistakes.size() == 1);
    CHECK(read.mistakes[0].message == "the character U+00A0 is used only inside texts and comments");
}

TEST_CASE("a sign without meaning, a bracket too many and a line break too few are told at their place") {
    const Row row = GENERATE(values<Row>({
        {"loom 1\nharness \"Test { ambient 10..40 degC }\r\nfuse F1",
         "a.loom:2:9: error: this text has no closing quote on its line [open-text]\n"
         "    2 | harness \"Test { ambient 10..40 degC }\n"
         "      |         ^~~~~~~~~~~~~~~~~~~~~~~~~~~~~\n"
         "      help: a text ends on the line where it begins; longer remarks take several note lines\n"},
        {"resistor R1 { 47 ohm; 25 W }",
         "a.loom:1:21: error: ';' has no meaning here [stray]\n"
         "    1 | resistor R1 { 47 ohm; 25 W }\n"
         "      |                     ^\n"
         "      help: attributes are separated by commas or line breaks\n"},
        {"fuse F1 { 80 V, breaks = 2.5 kA, curve x }",
         "a.loom:1:24: error: '=' has no meaning here [stray]\n"
         "    1 | fuse F1 { 80 V, breaks = 2.5 kA, curve x }\n"
         "      |                        ^\n"
         "      help: an attribute is its name, a blank and its value: breaks 2.5 kA\n"},
        {"fuse F1 { 5 A } }",
         "a.loom:1:17: error: this '}' closes nothing [stray-brace]\n"
         "    1 | fuse F1 { 5 A } }\n"
         "      |                 ^\n"
         "      help: every block before it is already closed\n"},
        {"fuse F1 { 5 A } load H1 { 5 W }",
         "a.loom:1:17: error: a line break is missing here [run-on]\n"
         "    1 | fuse F1 { 5 A } load H1 { 5 W }\n"
         "      |                 ^~~~\n"
         "      help: each statement begins on a line of its own\n"},
        {"stud X1 stud X2\nstud X3",
         "a.loom:1:9: error: a line break is missing here [run-on]\n"
         "    1 | stud X1 stud X2\n"
         "      |         ^~~~\n"
         "      help: each statement begins on a line of its own\n"},
        {"assembly T1 is a { W1 { 1 m } W2 { 2 m } }",
         "a.loom:1:31: error: a comma or a line break is missing here [run-on]\n"
         "    1 | assembly T1 is a { W1 { 1 m } W2 { 2 m } }\n"
         "      |                               ^~\n"
         "      help: attributes are separated by commas or line breaks\n"},
        {"x \"a\\n\"",
         "a.loom:1:5: error: a backslash stands before this character for nothing [escape]\n"
         "    1 | x \"a\\n\"\n"
         "      |     ^~\n"
         "      help: a text knows two signs with a backslash: \\\" is a quote, \\\\ is a backslash\n"},
    }));
    const ReadText read(row.text);
    CHECK(read.messages() == row.expected);
}

TEST_CASE("a bracket that is never closed is told where it opens, with the statement that shows it") {
    const Row row = GENERATE(values<Row>({
        {"fuse F1 { 100 A,\n  curve x\n\n# next\nswitch S1 { 72 V }",
         "a.loom:1:9: error: the block of fuse F1 is not closed [open-brace]\n"
         "    1 | fuse F1 { 100 A,\n"
         "      |         ^\n"
         "      help: a '}' is missing before line 5, where 'switch S1' begins a new statement\n"},
        {"part a is assembly {\n  load H1 { 5 W\n  load H2 { 5 W }\n}",
         "a.loom:2:11: error: the block of load H1 is not closed [open-brace]\n"
         "    2 |   load H1 { 5 W\n"
         "      |           ^\n"
         "      help: a '}' is missing before line 3, where 'load H2' begins a new statement\n"},
        {"part a is assembly {\n  port p\n\nfuse F1 { 1 A }\nfuse F2 { 1 A }",
         "a.loom:1:20: error: the block of part a is not closed [open-brace]\n"
         "    1 | part a is assembly {\n"
         "      |                    ^\n"
         "      help: a '}' is missing before line 4, where 'fuse F1' begins a new statement\n"},
        {"policy { voltage-drop 3 %",
         "a.loom:1:8: error: the block of policy is not closed [open-brace]\n"
         "    1 | policy { voltage-drop 3 %\n"
         "      |        ^\n"
         "      help: a '}' is missing before the end of the file\n"},
        {"route A (W2 16 mm2, red S1 (W3) B",
         "a.loom:1:27: error: wire W2 is not closed [open-wire]\n"
         "    1 | route A (W2 16 mm2, red S1 (W3) B\n"
         "      |                           ^\n"
         "      note: a.loom:1:9: it begins here\n"
         "      help: a ')' is missing here; a wire reads (W1 16 mm2, 0.2 m, red)\n"},
        {"route A (W2 1 mm2, red S1 # !\n\nfuse F1 { 5 A }",
         "a.loom:1:26: error: wire W2 is not closed [open-wire]\n"
         "    1 | route A (W2 1 mm2, red S1 # !\n"
         "      |                          ^\n"
         "      note: a.loom:1:9: it begins here\n"
         "      help: a ')' is missing here; a wire reads (W1 16 mm2, 0.2 m, red)\n"},
    }));
    const ReadText read(row.text);
    CHECK(read.messages() == row.expected);
}

TEST_CASE("bytes that are no text are told once a file") {
    const ReadText latin(
        "# Gr\xF6\xDF"
        "e\nfuse F1 \"gr\xFC"
        "n\" { 5 A }");
    CHECK(latin.told() == "not-utf8 1:5");
    CHECK(latin.mistakes[0].message == "the byte 0xF6 is not part of a UTF-8 character");
    CHECK(ReadText("x \xC0\xAF").told() == "not-utf8 1:3");          // overlong
    CHECK(ReadText("x \"\xED\xA0\x80\"").told() == "not-utf8 1:4");  // half a surrogate pair
    CHECK(ReadText("# \xF5\x80\x80\x80").told() == "not-utf8 1:3");  // above U+10FFFF
    CHECK(ReadText("# \xE2\x82").told() == "not-utf8 1:3");          // cut off
}

TEST_CASE("a hidden character is a mistake even in a text or a comment") {
    const Row row = GENERATE(values<Row>({
        {std::string("x \0y", 4), "the hidden character U+0000 has no place in a harness"},
        {"# \x1B[2Jgone", "the hidden character U+001B has no place in a harness"},
        {"x \"\u202Eab\"", "the hidden character U+202E has no place in a harness"},
        {"# one\rfuse F1", "the hidden character U+000D has no place in a harness"},
        {"# one\u2028fuse F1", "the hidden character U+2028 has no place in a harness"},
    }));
    const ReadText read(row.text);
    REQUIRE(read.mistakes.size() == 1);
    CHECK(read.mistakes[0].message == row.expected);
}

TEST_CASE("one mistake does not draw others after it") {
    const Row row = GENERATE(values<Row>({
        {"fuse F1 100 A, 80 V }\nfuse F2 { 5 A }", "stray 1:14"},  // '{' forgotten
        {"pack B1\n  cells 1s1p, charge 5 A\n  discharge 5 A\n}\nx",
         "stray-brace 4:1"},                                       // the same over lines
        {"route A W1 1 mm2, 0.2 m, red) B (W2) C", "stray 1:17"},  // '(' forgotten
        {"fuse F1 { 5 A )\nfuse F2 { 5 A }", "stray-brace 1:15"},  // the wrong bracket
        {"route A (W1 1 mm2, 0.2 m} B (W2 1 mm2) C", "open-wire 1:25"},
        {"fuse F1 { 5 A, 80 V, \"main }\nfuse F2 { 5 A }", "open-text 1:22"},
        {"fuse F1 \"main, 2 Ω; is x {\n  5 A\n}", "open-text 1:9"},
        {"fuse F1 main\" { 5 A }", "open-text 1:13"},
        {"fuse F1 { 5 A }, fuse F2 { 6 A }; 7", "stray 1:16"},
        {"x { 5 ; ; 6 = 7, y }", "stray 1:7"},
        {"x {{ 5 A } }", "stray 1:4"},
        {"part a is assembly {\n  load H1 { 5 W } }\n  load H2 { 5 W }\n}\nx", "stray-brace 4:1"},
        {"x größe–ß 5", "foreign-character 1:5"},
        {"x “a } b” 5", "foreign-character 1:3"},
        {"f { 5 A\npart a is assembly {\n load H1 { 1 W\n}\nload H2 { 2 W }",
         "open-brace 1:3, open-brace 2:20"},
    }));
    const ReadText read(row.text);
    CAPTURE(row.text);
    CHECK(read.told() == row.expected);
}

TEST_CASE("ten mistakes give ten messages") {
    const ReadText read(
        "loom 1\n"
        "fuse F1 { 5,5 A }\n"
        "fuse F2 { 10-16 A; }\n"
        "load H1 { 5 Ω }\n"
        "load H2 \"lamp { 5 W }\n"
        "load H3 { 5 W } }\n"
        "load H4 { 5 W } load H5 { 5 W }\n"
        "load H6 { acts-as = power }\n"
        "load H7 { 5 W\n"
        "route A (W1 1 mm2, red B\n"
        "stud X1 [ 5 ]\n");
    CHECK(read.told() ==
          "decimal-comma 2:11, malformed-number 3:11, foreign-character 4:13, open-text 5:9, "
          "stray-brace 6:17, run-on 7:17, stray 8:19, open-brace 9:9, open-wire 10:25, stray 11:9");
}

TEST_CASE("a damaged statement is marked, with its names, and its neighbours are not") {
    const ReadText read("stud X1\nroute X1.a>b (W1 1,5 mm2) F1.in\nstud X2\n");
    CHECK(read.printed() ==
          "e[w:stud w:X1] e![w:route w:X1.a>b (e![w:W1 n:1,5 w:mm2]) w:F1.in] e[w:stud w:X2]");
    const std::vector<std::string_view> names = {"route", "X1.a>b", "X1", "W1", "mm2", "F1.in", "F1"};
    CHECK(read.tree.names_in_damage == names);
}

}  // namespace syntax_mistakes_test
