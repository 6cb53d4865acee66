// One mistake, one message, at the right place and in these words.
#include <catch2/catch.hpp>

#include <string>

#include "tests/parser/attributes_support.hpp"

namespace attributes_mistakes_test {

using namespace loomward;
using testing::ReadBlock;

namespace {

struct Row {
    std::string statement;
    std::string marked;   // the text under the caret
    std::string message;  // with its id
    std::string advice;   // "beside | help"
};

const std::string connector_tail =
    ", half socket, 90 V, takes 10..16 mm2, rated-at 30 degC, limit 105 degC }";

void check_rows(const Row& row) {
    const ReadBlock block(row.statement);
    CAPTURE(row.statement, block.lines());
    const auto told = block.told();
    REQUIRE(told.size() == 1);
    CHECK(told[0].marked == row.marked);
    CHECK(told[0].message + " [" + told[0].id + "]" == row.message);
    CHECK(told[0].beside + " | " + told[0].help == row.advice);
}

}  // namespace

TEST_CASE("a wrong unit or quantity gives one message that says what is wanted") {
    check_rows(GENERATE(values<Row>({
        {"(W1 16 mm^2, 0.2 m)", "mm^2", "'mm^2' is not a unit [unknown-unit]",
         "write mm2 | a cross-section is written in mm2, AWG"},
        {"(W1 16 sqmm, 0.2 m)", "sqmm", "'sqmm' is not a unit [unknown-unit]",
         "write mm2 | a cross-section is written in mm2, AWG"},
        {"(W1 16sqmm, 0.2 m)", "sqmm", "'sqmm' is not a unit [unknown-unit]",
         "write mm2 | a cross-section is written in mm2, AWG"},
        {"(W1 16 mm2, 0.2 meters)", "meters", "'meters' is not a unit [unknown-unit]",
         "write m | a length is written in mm, cm, m, in, ft"},
        {"(W1 16 mm2, 0.2 zzz)", "zzz", "'zzz' is not a unit [unknown-unit]",
         " | nameless values of a wire: cross-section in mm2; length in m; colour"},
        {"switch S1 { 72 V dc, carries 5 ma, breaks none }", "ma", "'ma' is not a unit [unknown-unit]",
         "write mA | a current is written in uA, mA, A, kA"},
        {"switch S1 { 72 V dc, carries 120, breaks none }", "120", "120 has no unit [missing-unit]",
         " | 'carries' is a current: 120 A"},
        {"switch S1 { 72 V dc, carries 5 A, breaks 3 at 60 V dc }", "3", "3 has no unit [missing-unit]",
         " | 'breaks' is a current: 3 A"},
        {"resistor R1 { 47, 25 W }", "47", "47 has no unit [missing-unit]",
         " | nameless values of a resistor: resistance in ohm; power in W"},
        {"pack B1 { cells 4s1p, cell-voltage 3..4, cell-resistance 1 mohm, cell-capacity 5 Ah, discharge 8 "
         "A, "
         "charge 2 A }",
         "3..4", "3..4 has no unit [missing-unit]", " | 'cell-voltage' is a voltage: 3..4 V"},
        {"converter D1 { input 36..60 V, output 12.5 V 10, efficiency 88 %, negative common }", "10",
         "10 has no unit [missing-unit]", " | 'output' takes a current here: 10 A"},
        {"connector J1 { mate P1, contacts 2, carries 80 V" + connector_tail, "80 V",
         "'carries' is a current, and 80 V is a voltage [wrong-dimension]",
         " | it is written in uA, mA, A, kA"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 80 V, regen none }", "80 V",
         "'supply-limit' is a current or a percentage, and 80 V is a voltage [wrong-dimension]",
         " | it is written in uA, mA, A, kA or in %"},
        {"resistor R1 { 47 ohm, 25 W, 60 J }", "60 J", "a resistor has no nameless energy [wrong-dimension]",
         " | nameless values of a resistor: resistance in ohm; power in W. Named ones in J: pulse"},
        {"contactor K1 { carries 5 A, breaks none, coil 48 V 1 A, 7 A }", "7 A",
         "a contactor has no nameless current [wrong-dimension]",
         " | nameless values of a contactor: rated voltage in V. Named ones in A: carries, breaks, makes, "
         "withstands"},
        {"contactor K1 { carries 5 A, breaks none, coil 48 V 9 V }", "9 V",
         "the value wanted here for 'coil' is a current, and 9 V is a voltage [wrong-dimension]",
         " | it is written in uA, mA, A, kA"},
        {"(W1 5000 mm2, 0.2 m)", "5000 mm2", "5000 mm2 is no cross-section a harness can have [out-of-range]",
         " | values from 0.05 to 630 mm2 are accepted"},
        {"(W1 16 mm2, -0.2 m)", "-0.2 m", "-0.2 m is no length a harness can have [out-of-range]",
         " | values from 0 to 500 m are accepted"},
        {"(W1 41 AWG, 0.2 m)", "41 AWG", "41 AWG is no cross-section a harness can have [out-of-range]",
         " | sizes from 4/0 to 30 AWG are accepted"},
        {"(W1 2/0 mm2, 0.2 m)", "2/0 mm2", "'2/0' is not a number [malformed-number]",
         " | sizes from 1/0 to 4/0 are followed by AWG"},
        {"(W1 16 mm2, 0 m)", "0 m", "0 m is no length a wire can have [out-of-range]",
         " | two places bolted together without a wire are written with (direct)"},
        {"resistor R1 { 0 ohm, 25 W }", "0 ohm", "0 ohm is no resistance a resistor can have [out-of-range]",
         " | it must be more than nothing"},
        {"harness \"x\" { ambient 40..-5 degC }", "40..-5", "the range 40..-5 runs downward [downward-range]",
         " | the smaller end comes first: -5..40 degC"},
        {"harness \"x\" { ambient 40 degC }", "40 degC",
         "40 degC is one value, and 'ambient' is a range [not-a-range]",
         " | both ends are written: ambient -5..40 degC"},
        {"resistor R1 { about 40..50 ohm, 25 W }", "about 40..50 ohm",
         "a range already says that the value is not certain [about-range]", " | leave 'about' out"},
        {"switch S1 { 72 V dc, carries big, breaks none }", "big", "'big' is not a current [wrong-value]",
         " | for instance carries 100 A"},
        {"switch S1 { 72 V dc, carries about, breaks none }", "about",
         "'about' is not a current [wrong-value]", " | for instance carries 100 A"},
        {"resistor R1 { unknown, 25 W }", "unknown",
         "'unknown' does not say what is not known [missing-unit]",
         " | say which: unknown ohm (resistance), unknown W (power)"},
        {"load E1 { unknown, 25 W }", "unknown", "'unknown' does not say what is not known [missing-unit]",
         " | say which: unknown V (rated voltage), unknown W (power), unknown A (current), unknown ohm "
         "(resistance)"},
        {"(W1 unknown, red)", "unknown", "'unknown' does not say what is not known [missing-unit]",
         " | say which: unknown mm2 (cross-section), unknown m (length)"},
    })));
}

TEST_CASE("a voltage at which something breaks says dc or ac, and a percentage says of what") {
    check_rows(GENERATE(values<Row>({
        {"fuse F1 { 100 A, 80 V, breaks 2 kA, curve iso8820-5 }", "80 V",
         "80 V says neither dc nor ac [missing-dc-ac]",
         " | the voltage at which it breaks says dc or ac: 80 V dc"},
        {"switch S1 { 72 V dc, carries 5 A, breaks 3 A at 60 V }", "60 V",
         "60 V says neither dc nor ac [missing-dc-ac]",
         " | the voltage at which it breaks says dc or ac: 60 V dc"},
        {"switch S1 { 72 V dc, carries 5 A, breaks 3 A at 60 V DC }", "60 V",
         "60 V says neither dc nor ac [missing-dc-ac]",
         " | the voltage at which it breaks says dc or ac: 60 V dc"},
        {"contactor K1 { carries 5 A, breaks 3 A, coil 48 V 9 mA }", "3 A",
         "3 A does not say at which voltage [missing-voltage]",
         " | a contactor has no voltage printed on it: breaks 3 A at 48 V dc"},
        {"selector S1 { terminals a b, position off, carries 5 A, breaks 3 A }", "3 A",
         "3 A does not say at which voltage [missing-voltage]",
         " | a selector has no voltage printed on it: breaks 3 A at 48 V dc"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 %, regen none }", "40 %",
         "40 % does not say of what [missing-of]", " | write supply-limit 40 % of phase-limit"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 5 A, phase-limit 80 % of peak, "
         "regen none }",
         "peak", "'phase-limit' cannot be 'peak' [unknown-word]", " | it is one of phase-peak"},
    })));
}

TEST_CASE("a wrong word, name or count gives one message with what it can be") {
    check_rows(GENERATE(values<Row>({
        {"bundle L1 { wrap tape, length 0.6 m }", "tape", "'wrap' cannot be 'tape' [unknown-word]",
         "write taped | it is one of open, taped, sleeved, conduit, foamed"},
        {"bundle L1 { wrap 5, length 0.6 m }", "5", "'wrap' cannot be '5' [unknown-word]",
         " | it is one of open, taped, sleeved, conduit, foamed"},
        {"relay K1 { contacts co, carries 5 A, breaks none, coil 48 V 9 mA }", "co",
         "'contacts' cannot be 'co' [unknown-word]", "write no | it is one of no, nc, change-over"},
        {"(W1 16 mm2, 1 m, insulation silicon)", "silicon", "'insulation' cannot be 'silicon' [unknown-word]",
         "write silicone | it is one of pvc, rubber, polyurethane, tpe, epr, xlpe, etfe, silicone, fep, "
         "ptfe, "
         "polyimide"},
        {"(W1 16 mm2, 1 m, rde)", "rde", "'rde' is not a colour [unknown-word]",
         "write red | colours are black, brown, red, orange, yellow, green, blue, violet, grey, white, pink, "
         "gold, "
         "turquoise, silver, or two of them joined by a hyphen"},
        {"connector J1 { mate P1, contacts 2, caries 120 A" + connector_tail, "caries",
         "'caries' is not an attribute of a connector [unknown-attribute]",
         "write carries | they are contacts, carries, half, mate, takes, contact-resistance, rated-at, "
         "limit, breaks, withstands, "
         "contact, spare, hand, note, doubt, order, at, marks"},
        {"motor M1 { leads 3, carries 9 A, frobnicate 3 }", "frobnicate",
         "'frobnicate' is not an attribute of a motor [unknown-attribute]",
         " | they are leads, carries, losses, efficiency, resistance, thermal-resistance, rise, "
         "time-constant, "
         "limit, highest-ambient, note, doubt, order, at, marks, spare, torque"},
        {"motor M1 { leads 2.5, carries 9 A }", "2.5",
         "'2.5' is not a whole number from 1 to 100000 [malformed-count]", " | for instance leads 2"},
        {"motor M1 { leads 0, carries 9 A }", "0",
         "'0' is not a whole number from 1 to 100000 [malformed-count]", " | for instance leads 2"},
        {"motor M1 { leads unknown, carries 9 A }", "unknown", "'leads' cannot be unknown [not-unknown]",
         " | the wiring depends on it; for instance leads 2"},
        {"pack B1 { cells 14s, cell-voltage 3..4 V, cell-resistance 1 mohm, cell-capacity 5 Ah, discharge 8 "
         "A, "
         "charge 2 A }",
         "14s", "'14s' does not say how the cells are joined [malformed-cells]",
         " | series and parallel count are written together: 14s8p; one string is 14s1p"},
        {"motor M1 { leads 3, carries 9 A, note loud }", "loud",
         "'loud' is not a text; texts stand between quotes [wrong-value]", " | for instance note \"...\""},
        {"motor M1 { leads 3, carries 9 A, \"loud\" }", "\"loud\"",
         "a text alone is no attribute [stray-text]", " | a remark is written note \"...\""},
        {"motor M1 { leads 3, carries 9 A, at a..b }", "a..b", "'a..b' is not a name [malformed-name]",
         " | names are letters, digits, '_' and, inside, '-'"},
        {"(W1 16 mm2, 1 m, in L1 L1)", "L1", "wire W1 lies in bundle L1 twice [twice]",
         " | a wire names each bundle once"},
        {"(W1 16 mm2, 1 m, in L1 L2 L3)", "L3", "wire W1 lies in more than two bundles [too-many]",
         " | a wire names one bundle, or two where it runs through both"},
        {"device A1 { pin key }", "pin", "'pin' is not complete [missing-value]",
         " | for instance pin key supply 60 mA"},
        {"device A1 { pin key low-side 5 V 50 mA }", "5 V", "'5 V' is more than 'low-side' takes [left-over]",
         " | for instance pin key low-side 50 mA"},
        {"device A1 { pin key return 5 V }", "5 V", "'5 V' is more than 'return' takes [left-over]",
         " | for instance pin key return"},
        {"device A1 { pin key return 50 mA }", "50 mA", "'50 mA' is more than 'return' takes [left-over]",
         " | for instance pin key return"},
        {"device A1 { pin key signal 5 V 1 A }", "1 A", "'1 A' is more than 'signal' takes [left-over]",
         " | for instance pin key signal"},
        {"device A1 { pin key sgnal }", "sgnal", "'pin' cannot be 'sgnal' [unknown-word]",
         "write signal | it is one of signal, return, supply, output, low-side, high-side"},
    })));
}

TEST_CASE("what is missing, left over or said twice gives one message") {
    check_rows(GENERATE(values<Row>({
        {"(W4 16 mm2 0.2 m red)", "0.2", "'0.2' is more than the cross-section of wire W4 takes [left-over]",
         " | a comma is missing before '0.2'"},
        {"fuse F1 { 100 A, 80 V dc, breaks 2.5 kA curve iso8820-5 }", "curve",
         "'curve' is more than 'breaks' takes [left-over]",
         " | a comma or a line break is missing before 'curve'"},
        {"motor M1 { leads 3 really, carries 9 A }", "really",
         "'really' is more than 'leads' takes [left-over]", " | it reads leads 2"},
        {"motor M1 { leads 3, carries }", "carries", "'carries' has no value [missing-value]",
         " | for instance carries 100 A"},
        {"contactor K1 { carries 5 A, breaks none, coil }", "coil", "'coil' has no value [missing-value]",
         " | for instance coil 48 V 300 mA"},
        {"load H1 { 12 V, 20 W, inrush 9 A for }", "inrush", "'inrush' is not complete [missing-value]",
         " | for instance inrush 100 A for 10 s"},
        {"load H1 { 12 V, 20 W, inrush for }", "inrush", "'inrush' is not complete [missing-value]",
         " | for instance inrush 100 A for 10 s"},
        {"load H1 { 12 V, 20 W, inrush 2 s }", "2 s",
         "'inrush' is a current, and 2 s is a time [wrong-dimension]", " | it is written in uA, mA, A, kA"},
        {"controller U1 { precharges main }", "precharges", "'precharges' is not complete [missing-value]",
         " | for instance precharges main 47 ohm"},
        {"bms Q1 { side low, ports common, discharge 9 A, charge 4 A, trips 18 A 0.5 s, resistance 1 mohm }",
         "0.5", "'after' is missing before '0.5' [missing-word]", " | for instance trips 180 A after 0.5 s"},
        {"resistor R1 { 47 ohm, 25 W, 47 ohm }", "47", "resistor R1 has its resistance twice [twice]",
         " | nameless values: resistance in ohm, power in W"},
        {"motor M1 { leads 3, carries 9 A, leads 3 }", "leads", "motor M1 has 'leads' twice [twice]",
         " | it is written once"},
        {"motor M1 { carries 9 A }", "M1", "'leads' of motor M1 is missing [missing-attribute]",
         " | for instance leads 2"},
        {"bms Q1 { ports common }", "Q1", "'side' of bms Q1 is missing [missing-attribute]",
         " | for instance side low"},
        {"frame X9", "X9", "'serves' of frame X9 is missing [missing-attribute]",
         " | for instance serves bond"},
        {"converter D1 { output 12 V }", "D1", "'negative' of converter D1 is missing [missing-attribute]",
         " | for instance negative common"},
        {"relay K1 { coil 12 V }", "K1", "'contacts' of relay K1 is missing [missing-attribute]",
         " | for instance contacts change-over"},
        {"device A1", "A1", "'pin' of device A1 is missing [missing-attribute]",
         " | for instance pin key supply 60 mA"},
        {"load H1 { 12 V, 20 W, 3 A }", "3",
         "load H1 is described by its power and by its current [says-twice]", " | keep 25 W or 100 A"},
        {"pack B1 { cell-voltage 3.0..4.2 V, discharge 8 A, charge 2 A }", "B1",
         "'cells' of pack B1 is missing [missing-attribute]", " | for instance cells 14s8p"},
        {"pack B1 { cells 14s8p, voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 8 A, charge "
         "2 A }",
         "voltage", "pack B1 is described by its cells and by its terminals [says-twice]",
         " | keep cells, cell-voltage, cell-resistance, cell-capacity or voltage, resistance, capacity"},
        {"fuse F1 { 9 A, 80 V dc, breaks 2 kA, point 20 A 1 s, curve iso8820-5 }", "curve",
         "fuse F1 is described by its family and by its own points [says-twice]", " | keep curve or point"},
    })));
}

TEST_CASE("a percentage outside the ends that make sense for its attribute gives one message") {
    check_rows(GENERATE(values<Row>({
        {"converter D1 { input 36..60 V, output 12.5 V 10 A, efficiency 400 %, negative common }", "400 %",
         "'efficiency' of a converter cannot be 400 % [out-of-range]",
         " | values from 1 to 100 % are accepted"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 140 % of phase-limit, regen none }",
         "140 %", "'supply-limit' of a controller cannot be 140 % [out-of-range]",
         " | values from 0 to 100 % are accepted"},
        {"policy { estimate-spread 100 % }", "100 %",
         "'estimate-spread' of a policy cannot be 100 % [out-of-range]",
         " | values from 0 to 90 % are accepted"},
    })));
}

TEST_CASE("the second place of a mistake is noted") {
    const ReadBlock twice("resistor R1 { 47 ohm, 25 W, 47 ohm }");
    REQUIRE(twice.mistakes.size() == 1);
    REQUIRE(twice.mistakes[0].notes.size() == 1);
    CHECK(twice.mistakes[0].notes[0].text == "the first is here");
    CHECK(twice.sources.position(twice.mistakes[0].notes[0].where).column == 15);
    const ReadBlock pack("pack B1 { cells 14s8p, voltage 40..58 V, discharge 8 A, charge 2 A }");
    REQUIRE(pack.mistakes.size() == 1);
    REQUIRE(pack.mistakes[0].notes.size() == 1);
    CHECK(pack.mistakes[0].notes[0].text == "the cells are given here");
    CHECK(pack.sources.text(pack.mistakes[0].notes[0].where) == "cells");
}

TEST_CASE("a breaking current needs no voltage of its own where one is printed, or where nothing is broken") {
    for (const std::string statement :
         {"switch S1 { 72 V dc, carries 5 A, breaks 3 A }",
          "selector S1 { 72 V dc, terminals a b, position off, carries 5 A, breaks 3 A }",
          "contactor K1 { carries 5 A, breaks none, coil 48 V 9 mA }",
          "contactor K1 { carries 5 A, breaks unknown, coil 48 V 9 mA }"}) {
        CAPTURE(statement);
        CHECK(ReadBlock(statement).lines() == "");
    }
}

TEST_CASE("a lexical mistake silences what would be missing because of it") {
    const ReadBlock block("(W7 1,5 mm2, 0.3 m, red)");
    CAPTURE(block.lines());
    REQUIRE(block.mistakes.size() == 1);
    CHECK(block.mistakes[0].id == "decimal-comma");
}

TEST_CASE("several mistakes in one block give one message each") {
    const ReadBlock block(
        "connector J1 { mate P1, half sockt, contacts 2, caries 120 A, 90, takes 16..10 mm2, "
        "rated-at 30 V, limit 105 degC, note \"a\", spare }");
    CAPTURE(block.lines());
    std::string ids;
    for (const Diagnostic& mistake : block.mistakes) ids += mistake.id + " ";
    CHECK(ids == "unknown-word unknown-attribute missing-unit downward-range wrong-dimension missing-value ");
}

}  // namespace attributes_mistakes_test
