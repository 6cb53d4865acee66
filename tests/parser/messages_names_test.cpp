// Mistakes in names, routes, modes and files: one message each, at the right place, in these words.
#include <catch2/catch.hpp>

#include <string>

#include "tests/parser/bench_harness.hpp"

namespace messages_names_test {

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

TEST_CASE("a mistake in names, routes and assemblies gives one message") {
    const Row row = GENERATE(values<Row>({
        {"an unknown part in a route", ") F1 (W2", ") F11 (W2",
         "21:36 'F11': there is no part named 'F11' [unknown-name] | there is a fuse named 'F1'"},
        {"a name used twice", "(W8 ", "(W7 ",
         "23:41 'W7': the name W7 is used twice [name-twice] | note: 23:15 first here"},
        {"names that differ in capitals", "resistor R1", "resistor s1",
         "15:10 's1': s1 and S1 differ only in their capitals [names-alike] | note: 12:8 S1 is here"},
        {"no such terminal", "m, black) B1.-\nroute F1.out (W9", "m, black) B1.minus\nroute F1.out (W9",
         "23:65 'B1.minus': pack B1 has no terminal 'minus' [no-terminal] | note: 10:6 B1 is described here "
         "| it has B1.+, B1.-"},
        {"a contact that does not exist", ") P1.2 (", ") P1.3 (",
         "22:38 'P1.3': connector P1 has no terminal '3' [no-terminal] | note: 13:11 J1 is described here | "
         "it has P1.1, P1.2"},
        {"a route that ends on a two-ended part", ") H1 (W8 1 mm2, 0.4 m, black) B1.-", ") H1",
         "23:37 'H1': H1 has two ends, and a route must end at one [which-end] | write H1.+ or H1.-"},
        {"a landing where a way through was meant", ") F1 (W2", ") F1.in (W2",
         "21:36 'F1.in': in the middle of a route F1.in would be a landing, not a way through F1 "
         "[lands-midway] | to pass through it write F1; to land on it end the route at F1.in and begin "
         "another there"},
        {"no way through", ") H1 (W8", ") K1.no>nc (W11 1 mm2, 0.3 m) H1 (W8",
         "23:37 'K1.no>nc': nothing in K1 leads from no to nc [no-way] | ways through it: K1.com>no, "
         "K1.com>nc, K1.no>com, K1.nc>com"},
        {"a change-over contact without a way", ") H1 (W8", ") K1 (W11 1 mm2, 0.3 m) H1 (W8",
         "23:37 'K1': K1 has several terminals; say which [which-terminal] | they are K1.com, K1.no, K1.nc, "
         "K1.A1, K1.A2; ways through it: K1.com>no, K1.com>nc"},
        {"a wire without a name", "(W7 1 mm2", "(1 mm2",
         "23:15 '1': this wire has no name [nameless-wire] | its name comes first: (W1 1 mm2, 0.3 m, red)"},
        {"two stops without a wire", ") F1 (W2 10 mm2, 0.3 m, red) S1", ") F1 S1",
         "21:38 ' ': no wire leads from F1 to S1 [no-wire] | write the wire between them, or (direct) if "
         "they are bolted together"},
        {"a route that ends in a wire", "black) P1.2 (W6 10 mm2, 0.9 m, black) B1.-",
         "black) P1.2 (W6 10 mm2, 0.9 m, black)",
         "22:67 ')': the route ends with wire W6 [open-ended] | after it comes the terminal where it "
         "arrives"},
        {"a part of the wrong kind", "mode idle", "fuse F3 is tail\nmode idle",
         "27:12 'tail': F3 is a fuse, and tail is a wire [wrong-kind] | note: 3:6 tail is described here | a "
         "wire is written inside a route: (W1 is tail, 0.2 m)"},
        {"reaching into an assembly", "mode idle", "route F1.out (W20 1 mm2, 1 m) T1.E1.+\nmode idle",
         "27:31 'T1.E1.+': E1 lies inside T1 and is not reached from outside [inside] | note: 7:8 E1 is "
         "described here | its ports are feed, back"},
        {"a core used twice", "mode idle",
         "route F1.out (C1.red) H1.+\nroute F1.out (C1.red) K1.A1\nmode idle",
         "28:15 'C1.red': core red of cable C1 is routed twice [core-twice] | note: 27:15 first here"},
        {"a part built on itself", "mode idle", "part a is b { 10 A }\npart b is a\nmode idle",
         "27:11 'b': part a is built on itself: a is b is a [part-circle]"},
        {"a bundle longer than its wire", "length 0.5 m", "length 0.75 m",
         "21:67 'W3': W3 is 0.7 m long and cannot lie 0.75 m in bundle L1 [longer-than-wire] | note: 20:32 "
         "L1 is described here"},
    }));
    const std::string text = bench_with(row.piece, row.instead);
    CAPTURE(row.title, text);
    const ReadResult result = read_bench(text);
    CHECK(in_lines(result) == row.message + "\n");
    CHECK_FALSE(result.harness);
}

TEST_CASE("a mistake in modes, accepted findings and files gives one message") {
    const Row row = GENERATE(values<Row>({
        {"a mode silent about a part", "K1 released, ", "",
         "26:6 'haul': mode haul does not say what K1 does [mode-silent] | add a line for each, begin with "
         "'like' another mode, or end with: others at rest"},
        {"a verb that does not fit", "S1 closed", "S1 on",
         "26:16 'on': a switch cannot be 'on' [wrong-verb] | S1 can be given: closed, open, at rest"},
        {"the verb first", "S1 closed", "closed S1",
         "26:13 'closed': the parts come before what they do [verb-first] | write S1 closed"},
        {"a profile without an end", "U1 draws 20 A", "U1 draws 30 A for 20 s then 12 A for 60 s",
         "26:65 '12': this profile does not say what comes after its last time [no-end] | end it with a "
         "level that stays (then 20 A) or with 'repeating'"},
        {"like an unknown mode", "mode idle", "mode climb { like hual, U1 draws 30 A }\nmode idle",
         "27:19 'hual': there is no mode named 'hual' [unknown-mode] | there is a mode named 'haul'"},
        {"accept without a reason", "mode idle", "accept unprotected-wire on W7\nmode idle",
         "27:30 '...': an accepted finding needs its reason [no-reason] | because \"sense lead, 47 kohm at "
         "the pack end\""},
        {"an unknown rule", "mode idle", "accept unprotected-wires on W7 because \"short\"\nmode idle",
         "27:8 'unprotected-wires': there is no rule named 'unprotected-wires' [unknown-rule] | there is a "
         "rule 'unprotected-wire'"},
        {"a file that is not there", "loom 1\n", "loom 1\nuse \"shelfs.loom\"\n",
         "2:5 '\"shelfs.loom\"': there is no file 'shelfs.loom' beside this one [no-file] | there is a file "
         "'shelf.loom'"},
        {"a file outside the folder", "loom 1\n", "loom 1\nuse \"../other/shelf.loom\"\n",
         "2:5 '\"../other/shelf.loom\"': '../other/shelf.loom' leaves the folder of the harness [outside] | "
         "files are named from the folder of the file that uses them, with forward slashes"},
    }));
    const std::string text = bench_with(row.piece, row.instead);
    CAPTURE(row.title, text);
    const ReadResult result = read_bench(text);
    CHECK(in_lines(result) == row.message + "\n");
    CHECK_FALSE(result.harness);
}

TEST_CASE("ten mistakes in one file give ten messages in one run, in the order of the file") {
    const Row rows[] = {
        {"series without parallel", "voltage 30..42 V, resistance 40 mohm, capacity 15 Ah",
         "cells 10s, cell-voltage 3.0..4.2 V, cell-resistance 24 mohm, cell-capacity 2.5 Ah",
         "malformed-cells"},
        {"an attribute misspelt", "carries 50 A", "caries 50 A", "unknown-attribute"},
        {"a unit in the wrong case", "50 mA", "50 ma", "unknown-unit"},
        {"an attribute twice", "15 W }", "15 W, 68 ohm }", "twice"},
        {"an attribute missing", "cores red black, ", "", "missing-attribute"},
        {"a word not in the set", "wrap taped", "wrap tape", "unknown-word"},
        {"a unit spelt another way", "W1 10 mm2, 0.2", "W1 10 mm^2, 0.2", "unknown-unit"},
        {"a name used twice", "(W8 ", "(W7 ", "name-twice"},
        {"a verb that does not fit", "S1 closed", "S1 on", "wrong-verb"},
        {"an unknown rule", "mode idle", "accept unprotected-wires on W7 because \"short\"\nmode idle",
         "unknown-rule"},
    };
    std::string text(bench_text);
    for (const Row& row : rows) {
        const std::size_t at = text.find(row.piece);
        REQUIRE(at != std::string::npos);
        text.replace(at, row.piece.size(), row.instead);
    }
    const ReadResult result = read_bench(text);
    CAPTURE(in_lines(result));
    REQUIRE(result.mistakes.size() == std::size(rows));
    std::size_t i = 0;
    for (const Row& row : rows) CHECK(result.mistakes[i++].id == row.message);
}

}  // namespace messages_names_test
