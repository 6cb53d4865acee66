#include <catch2/catch.hpp>

#include <string>

#include "parser/language/units.hpp"
#include "tests/parser/attributes_support.hpp"

namespace attributes_values_test {

using namespace loomward;
using testing::ReadBlock;

namespace {

// One value as the tests below write it: "quantity 40..58 V", "word dc", "absent".
std::string in_words(const Value& value) {
    if (!value.present()) return "absent";
    const std::string known = value.known == Knowledge::unknown   ? "unknown "
                              : value.known == Knowledge::about   ? "about "
                              : value.known == Knowledge::assumed ? "assumed "
                                                                  : "";
    const auto number = [](double x) {
        std::string text = std::to_string(x);
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
        return text;
    };
    switch (value.type) {
        case ValueType::quantity:
            return known +
                   (value.lo == value.hi ? number(value.lo) : number(value.lo) + ".." + number(value.hi)) +
                   " " + std::string(info(value.dimension).unit);
        case ValueType::count:
            return known + "count " + std::string(value.text);
        case ValueType::word:
            return known + "word " + std::string(value.text);
        case ValueType::text:
            return known + "text " + std::string(value.text);
        case ValueType::colour:
            return known + "colour " + std::string(value.text);
        case ValueType::name:
            return known + "name " + std::string(value.text);
        case ValueType::absent:
            break;
    }
    return {};
}

std::string values_of(const ReadBlock& block, Attr name) {
    std::string text;
    for (const Attribute& attribute : block.list.attributes) {
        if (attribute.name != name) continue;
        if (!text.empty()) text += " / ";
        std::string list;
        for (const Value& value : block.list.values_of(attribute)) {
            if (!list.empty()) list += ", ";
            list += in_words(value);
        }
        text += list;
    }
    return text;
}

}  // namespace

TEST_CASE("values come in the order of the shape, in base units, with places left out kept") {
    struct Row {
        std::string statement;
        Attr attribute;
        std::string values;
    };
    const Row row = GENERATE(values<Row>({
        {"(W1 16 mm2, 0.2 m)", "(area)"_attr, "16 mm2"},
        {"(W1 16mm2, 20cm)", "(length)"_attr, "0.2 m"},
        {"(W1 16 mm2, 3 ft)", "(length)"_attr, "0.9144 m"},
        {"(W1 16 mm2, 1..1.2 m, green-yellow)", "(length)"_attr, "1..1.2 m"},
        {"(W1 16 mm2, 1 m, green-yellow)", "(colour)"_attr, "colour green-yellow"},
        {"(W1 16 mm2, 1 m, in L1 L2)", "in"_attr, "name L1, name L2"},
        {"(W1 16 mm2, 1 m, insulation silicone)", "insulation"_attr, "word silicone, assumed 180 degC"},
        {"(W1 16 mm2, 1 m, insulation pvc 105 degC)", "insulation"_attr, "word pvc, 105 degC"},
        {"(W1 unknown mm2, about 1.5 m)", "(area)"_attr, "unknown 0 mm2"},
        {"(W1 unknown mm2, about 1.5 m)", "(length)"_attr, "about 1.5 m"},
        {"(W1 16 mm2, 1 m, ends \"ring 8\" \"a \\\"b\\\" \\\\ c\")", "ends"_attr,
         "text ring 8, text a \"b\" \\ c"},
        {"fuse F1 { 100 A, 80 V dc, breaks 2.5 kA, curve iso8820-5 }", "breaks"_attr,
         "2500 A, absent, absent"},
        {"fuse F1 { 100 A, 80 V ac, breaks 2.5 kA at 60 V dc, curve iso8820-5 }", "breaks"_attr,
         "2500 A, 60 V, word dc"},
        {"fuse F1 { 100 A, 80 V ac, breaks unknown, curve unknown }", "(operational-voltage)"_attr,
         "80 V, word ac"},
        {"fuse F1 { 100 A, unknown V, breaks unknown, curve unknown }", "(operational-voltage)"_attr,
         "unknown 0 V, absent"},
        {"fuse F1 { 100 A, 80 V ac, breaks unknown, curve unknown }", "breaks"_attr,
         "unknown 0 A, absent, absent"},
        {"fuse F1 { 100 A, 80 V ac, breaks unknown, curve unknown }", "curve"_attr, "unknown word unknown"},
        {"fuse F1 { 5 A, 80 V dc, breaks 1 kA, point 10 A 2..60 s, point 50 A 4..40 ms }", "point"_attr,
         "10 A, 2..60 s / 50 A, 0.004..0.04 s"},
        {"switch S1 { 72 V dc, carries 2 A, breaks none }", "breaks"_attr, "word none, absent, absent"},
        {"pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
         "discharge 80 A, charge 20 A, peak 140 A for 10 s, taps 5 10 }",
         "cells"_attr, "count 14s8p, count 14s8p"},
        {"pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
         "discharge 80 A, charge 20 A, peak 140 A for 10 s, taps 5 10 }",
         "peak"_attr, "140 A, 10 s"},
        {"pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
         "discharge 80 A, charge 20 A, peak 140 A for 10 s, taps 5 10 }",
         "taps"_attr, "count 5, count 10"},
        {"relay K1 { contacts no change-over, carries 5 A, breaks 1 A at 48 V dc, coil 48 V unknown A }",
         "coil"_attr, "48 V, unknown 0 A"},
        {"relay K1 { contacts no change-over, carries 5 A, breaks 1 A at 48 V dc, coil unknown }",
         "coil"_attr, "unknown 0 V, unknown 0 A"},
        {"relay K1 { contacts no change-over, carries 5 A, breaks 1 A at 48 V dc, coil unknown }",
         "contacts"_attr, "name no, name change-over"},
        {"selector S1 { terminals com 1 2, position off, position both 1 2 com, carries 9 A, breaks none }",
         "position"_attr, "name off / name both, count 1, count 2, name com"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 % of phase-limit, regen none }",
         "supply-limit"_attr, "40 %"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 80 A, regen none }",
         "supply-limit"_attr, "80 A"},
        {"controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 80 A, regen 10 A }", "regen"_attr,
         "10 A"},
        {"device A1 { pin key supply 60 mA, pin 5v output 5 V 50 mA, pin gnd return }", "pin"_attr,
         "name key, word supply, absent, 0.06 A / name 5v, word output, 5 V, 0.05 A / name gnd, word return, "
         "absent, absent"},
        {"harness \"x\" { ambient -5..40 degC, insulation xlpe }", "ambient"_attr, "-5..40 degC"},
        {"connector J1 { mate P1, half socket, contacts + - mid s5, carries 80 A, 120 V, takes 16..10 AWG, "
         "rated-at 30 degC, limit 105 degC }",
         "contacts"_attr, "name +, name -, name mid, name s5"},
    }));
    const ReadBlock block(row.statement);
    CAPTURE(row.statement, block.lines());
    CHECK(block.mistakes.empty());
    CHECK(values_of(block, row.attribute) == row.values);
}

TEST_CASE("what is left out is unknown, in the places of its shape") {
    struct Row {
        std::string statement;
        Attr attribute;
        std::string values;
    };
    const Row row = GENERATE(values<Row>({
        {"fuse F1 { 80 V dc, breaks 2 kA, curve iso8820-5 }", "(rated-current)"_attr, "unknown 0 A"},
        {"fuse F1 { 100 A }", "(operational-voltage)"_attr, "unknown 0 V, absent"},
        {"fuse F1 { 100 A, 80 V dc, curve iso8820-5 }", "breaks"_attr, "unknown 0 A, absent, absent"},
        {"fuse F1 { 100 A, 80 V dc, breaks 2 kA }", "curve"_attr, "unknown word "},
        {"fuse F1 { 100 A, 80 V dc, breaks 2 kA }", "point"_attr, ""},
        {"fuse F1 { 100 A, point 20 A 1 s }", "curve"_attr, ""},
        {"fuse F1 { 100 A, point 20 A }", "point"_attr, "20 A, unknown 0 s"},
        {"(W1 16 mm2, red)", "(length)"_attr, "unknown 0 m"},
        {"(W1 black)", "(area)"_attr, "unknown 0 mm2"},
        {"(W1 black)", "(colour)"_attr, "colour black"},
        {"(W1)", "(colour)"_attr, ""},
        {"load H1 { 12 V }", "(power)"_attr, "unknown 0 W"},
        {"load H1 { 12 V }", "(current)"_attr, ""},
        {"load H1 { 3 A }", "(power)"_attr, ""},
        {"pack B1 { discharge 8 A, charge 2 A }", "voltage"_attr, "unknown 0 V"},
        {"pack B1 { discharge 8 A, charge 2 A }", "cells"_attr, ""},
        {"pack B1 { cells 14s8p }", "cell-voltage"_attr, "unknown 0 V"},
        {"pack B1 { cells 14s8p }", "voltage"_attr, ""},
        {"pack B1 { voltage 40..58 V, resistance 30 mohm }", "capacity"_attr, "unknown 0 Ah"},
        {"controller U1", "regen"_attr, "unknown 0 A"},
        {"controller U1", "supply-limit"_attr, "unknown 0 A"},
        {"contactor K1 { coil 48 V }", "coil"_attr, "48 V, unknown 0 A"},
        {"contactor K1 { coil 300 mA }", "coil"_attr, "unknown 0 V, 0.3 A"},
        {"charger G1 { output 60 A }", "output"_attr, "unknown 0 V, 60 A"},
        {"load H1 { 12 V, 20 W, inrush 90 A }", "inrush"_attr, "90 A, unknown 0 s"},
        {"load H1 { 12 V, 20 W, inrush for 2 s }", "inrush"_attr, "unknown 0 A, 2 s"},
        {"bms Q1 { side low, ports common, trips 90 A, trips after 2 s }", "trips"_attr,
         "90 A, unknown 0 s / unknown 0 A, 2 s"},
        {"device A1 { pin key supply, pin a supply 5 V, pin b output, pin c high-side, pin d signal }",
         "pin"_attr,
         "name key, word supply, absent, unknown 0 A / name a, word supply, 5 V, unknown 0 A / "
         "name b, word output, unknown 0 V, unknown 0 A / name c, word high-side, absent, unknown 0 A / "
         "name d, word signal, absent, absent"},
    }));
    const ReadBlock block(row.statement);
    CAPTURE(row.statement, block.lines());
    CHECK(block.mistakes.empty());
    CHECK(values_of(block, row.attribute) == row.values);
}

TEST_CASE("a series count gives the cells in series and in parallel") {
    const ReadBlock block(
        "pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
        "discharge 80 A, "
        "charge 20 A }");
    CHECK(block.list.value("cells"_attr, 0).lo == 14);
    CHECK(block.list.value("cells"_attr, 1).lo == 8);
    CHECK(block.list.value("cells"_attr, 2).type == ValueType::absent);
    CHECK(block.list.value("taps"_attr).type == ValueType::absent);
}

TEST_CASE("a wire gauge becomes mm2, and a range of gauges rises in thickness") {
    const ReadBlock block(
        "connector J1 { mate P1, half socket, contacts 2, carries 80 A, 120 V, takes 16..1/0 AWG, rated-at "
        "30 degC, "
        "limit 105 degC }");
    CAPTURE(block.lines());
    REQUIRE(block.mistakes.empty());
    const Value takes = block.list.value("takes"_attr);
    CHECK(takes.lo == Approx(1.309).epsilon(1e-3));
    CHECK(takes.hi == Approx(53.48).epsilon(1e-3));
    CHECK(takes.text == "AWG");
}

TEST_CASE("a value knows where it stands, with its unit") {
    const ReadBlock block("(W1 about 16 mm2, 0.2m, red)");
    REQUIRE(block.mistakes.empty());
    CHECK(block.sources.text(block.list.value("(area)"_attr).where) == "about 16 mm2");
    CHECK(block.sources.text(block.list.value("(length)"_attr).where) == "0.2m");
    CHECK(block.sources.text(block.list.value("(colour)"_attr).where) == "red");
}

TEST_CASE("every unit of the language is read into its base unit") {
    int units = 0;
    for (const UnitInfo& unit : unit_table()) {
        if (unit.name == "AWG") continue;  // its own law, tested above
        ++units;
        Sources sources;
        std::deque<std::string> strings;
        std::vector<Diagnostic> mistakes;
        const FileId file = sources.add("a.loom", "draws 0.5 " + std::string(unit.name));
        const SyntaxTree tree = read_syntax(sources, file, mistakes);
        AttributeReader reader(sources, strings, mistakes);
        ValueCursor cursor = AttributeReader::values_of(tree, 0);
        cursor.at = tree.nodes[cursor.at].next;
        const Value value = reader.read_quantity(tree, cursor, {unit.dimension}, "draws");
        CAPTURE(unit.name);
        CHECK(cursor.done());
        CHECK(value.dimension == unit.dimension);
        if (unit.name == "mm2" || mistakes.empty()) CHECK(value.lo == 0.5 * unit.factor);
    }
    CHECK(units > 35);
}

TEST_CASE("a mode's quantity must be of a dimension the verb takes, and known") {
    struct Row {
        std::string text;
        std::string message;
    };
    const Row row = GENERATE(values<Row>({
        {"draws 45 A", ""},
        {"draws 1.2 kW", ""},
        {"draws 45", "45 has no unit|'draws' is a current or a power: 45 A or 45 W"},
        {"draws 45 V",
         "'draws' is a current or a power, and 45 V is a voltage|"
         "it is written in uA, mA, A, kA or in mW, W, kW"},
        {"draws 45 amps", "'amps' is not a unit|a current is written in uA, mA, A, kA"},
        {"draws lots", "'lots' is not a current or a power|"},
        {"draws unknown", "'draws' cannot be unknown|"},
        {"draws 60 kA", "60 kA is no current a harness can have|values from 0 to 50 kA are accepted"},
    }));
    Sources sources;
    std::deque<std::string> strings;
    std::vector<Diagnostic> mistakes;
    const FileId file = sources.add("a.loom", row.text);
    const SyntaxTree tree = read_syntax(sources, file, mistakes);
    AttributeReader reader(sources, strings, mistakes);
    ValueCursor cursor = AttributeReader::values_of(tree, 0);
    cursor.at = tree.nodes[cursor.at].next;
    const Value value = reader.read_quantity(tree, cursor, {Dimension::current, Dimension::power}, "draws");
    CAPTURE(row.text);
    CHECK(value.present() == row.message.empty());
    REQUIRE(mistakes.size() == (row.message.empty() ? 0 : 1));
    if (!mistakes.empty()) CHECK(mistakes[0].message + "|" + mistakes[0].help == row.message);
}

TEST_CASE("a later level replaces an attribute whole, its repetitions too") {
    ReadBlock base(
        "connector J1 { mate P1, half socket, contacts a b c, carries 80 A, 120 V, takes 10..16 mm2, "
        "rated-at 30 degC, limit 105 degC, note \"one\", note \"two\" }");
    const ReadBlock later("connector J1 { contacts x y, note \"three\", spare y }", false);
    REQUIRE(base.mistakes.empty());
    merge(Kind::connector, base.list, later.list);
    CHECK(values_of(base, "contacts"_attr) == "name x, name y");
    CHECK(values_of(base, "note"_attr) == "text three");
    CHECK(values_of(base, "spare"_attr) == "name y");
    CHECK(values_of(base, "carries"_attr) == "80 A");
}

TEST_CASE("describing a pack another way drops the earlier way as a whole") {
    ReadBlock base(
        "pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
        "discharge 80 A, charge 20 A }");
    const ReadBlock by_terminals(
        "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 60 A }", false);
    merge(Kind::pack, base.list, by_terminals.list);
    CHECK(base.list.find("cells"_attr) == nullptr);
    CHECK(base.list.find("cell-capacity"_attr) == nullptr);
    CHECK(values_of(base, "discharge"_attr) == "60 A");
    CHECK(values_of(base, "charge"_attr) == "20 A");
    const ReadBlock one_cell_value("pack B1 { cell-resistance 20 mohm }", false);
    ReadBlock again(
        "pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
        "discharge 80 A, charge 20 A }");
    merge(Kind::pack, again.list, one_cell_value.list);
    CHECK(values_of(again, "cells"_attr) == "count 14s8p, count 14s8p");
    CHECK(values_of(again, "cell-resistance"_attr) == "0.02 ohm");
}

TEST_CASE("stored attributes keep their values and leave out what the caller keeps") {
    const ReadBlock block("(W1 16 mm2, 0.2 m, red, in L1, ends \"a\" \"b\", note \"n\")");
    Harness harness;
    const ReadBlock before("(W0 4 mm2, 1 m, note \"first\")");
    store(before.list, harness);
    const Attr kept[] = {"(area)"_attr, "(length)"_attr, "(colour)"_attr, "in"_attr};
    const Slice slice = store(block.list, harness, kept);
    CHECK(slice.count == 2);
    CHECK(harness.value(slice, "ends"_attr, 1).text == "b");
    CHECK(harness.value(slice, "note"_attr).text == "n");
    CHECK_FALSE(harness.value(slice, "(area)"_attr).present());
}

}  // namespace attributes_values_test
