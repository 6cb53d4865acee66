// What is left out is not known: a harness with a value left out is the harness with `unknown` in its place.
// The statements are made from the tables of the language, for every attribute that may be left out.
#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

#include "parser/language/shapes.hpp"
#include "parser/language/units.hpp"
#include "tests/parser/resolve_support.hpp"

namespace left_out_test {

using namespace loomward;

namespace {

using Names = std::vector<Attr>;
using Texts = std::vector<std::string>;

std::string file_with(Kind kind, const Texts& attributes) {
    std::string list;
    for (const std::string& text : attributes) list += (list.empty() ? "" : ", ") + text;
    const std::string rig = "harness \"Rig\" { ambient 0..30 degC }\n";
    const std::string word(info(kind).word);
    const std::string statement = kind == Kind::harness ? "harness \"Rig\" { " + list + " }\n"
                                  : kind == Kind::wire
                                      ? "route X1 (W1" + (list.empty() ? "" : ", " + list) + ") X2\n"
                                      : word + " T1 { " + list + " }\n";
    const std::string core = kind == Kind::cable ? "route X1 (T1.red) X2\n" : "";
    // What a bms drives.
    const std::string driven =
        kind == Kind::bms ? "contactor K1 { carries 9 A, breaks 9 A at 60 V dc, coil 24 V 200 mA }\n" : "";
    return "loom 1\n" + (kind == Kind::harness ? "" : rig) + "stud X1\nstud X2\n" + driven + statement + core;
}

// All that was read, or the mistakes.
std::string everything(const std::string& text) {
    const ReadResult result = read_test(text);
    if (!result.harness) return mistakes_of(result);
    return print_model(*result.harness) + print_model(*result.harness, "location") +
           print_model(*result.harness, "harness");
}

void check_same(Kind kind, const Texts& left_out, const Texts& typed) {
    const std::string short_text = file_with(kind, left_out);
    const std::string long_text = file_with(kind, typed);
    CAPTURE(short_text, long_text);
    const std::string read = everything(long_text);
    CHECK(everything(short_text) == read);
    CHECK_THAT(read, Catch::Contains("unknown"));
    CHECK_THAT(read, !Catch::Contains("["));  // no mistake
}

std::string unit_of(const Slot& slot) {
    return std::string(info(slot.dimension).unit);
}

bool may_be_left_out(Attr name) {
    return shape_of(name).can_be_unknown;
}

std::string typed_unknown(Attr name) {
    if (!is_nameless(name)) return std::string(info(name).name) + " unknown";
    return "unknown " + unit_of(shape_of(name).forms.front().slots.front());
}

Texts examples(Kind kind, const Names& names) {
    Texts texts;
    for (const Attr name : names) texts.push_back(example_of(name, kind));
    return texts;
}

Names without(Names names, Attr name) {
    std::erase(names, name);
    return names;
}

Texts with(Texts texts, const std::string& last) {
    texts.push_back(last);
    return texts;
}

Names required_of(const KindInfo& kind) {
    return lookup(kind.kind).required;
}

Names with_group(Names names, const AttributeGroup* group) {
    if (group) names.insert(names.end(), group->attributes.begin(), group->attributes.end());
    return names;
}

// The names that a whole statement needs besides `name`, in a group of which `name` is, if it is of one.
Names beside(const KindInfo& kind, Attr name) {
    const AttributeGroup* group = group_left_out(kind.kind);
    for (const AttributeGroup& each : kind.one_of)
        if (std::find(each.attributes.begin(), each.attributes.end(), name) != each.attributes.end())
            group = &each;
    return without(with_group(required_of(kind), group), name);
}

bool is_quantity(const Slot& slot) {
    return slot.type == SlotType::quantity || slot.type == SlotType::range;
}

// An attribute of several quantities, none of them optional: "coil 48 V 300 mA", "peak 90 A for 10 s". Not
// those that one word parts twice, as a size: nobody could say which one is left out.
bool is_tuple(Attr name) {
    const auto& slots = shape_of(name).forms.front().slots;
    return may_be_left_out(name) && std::count_if(slots.begin(), slots.end(), is_quantity) > 1 &&
           std::count_if(
               slots.begin(), slots.end(),
               [](const Slot& slot) { return slot.type == SlotType::literal && slot.literal == "x"; }) < 2 &&
           std::all_of(slots.begin(), slots.end(), [](const Slot& slot) {
               return !slot.optional && (is_quantity(slot) || slot.type == SlotType::literal);
           });
}

// The attribute with that quantity left out, or `unknown` in its place. The word before a last one goes too,
// and one before another word.
std::string tuple(Attr name, std::size_t missing, bool typed) {
    const auto& slots = shape_of(name).forms.front().slots;
    std::string text(info(name).name);
    for (std::size_t i = 0; i < slots.size(); ++i) {
        const bool word_of_missing =
            slots[i].type == SlotType::literal && missing == i + 1 &&
            (missing + 1 == slots.size() || (slots[missing + 1].type == SlotType::literal &&
                                             slots[missing + 1].literal != slots[i].literal));
        if (!typed && (i == missing || word_of_missing)) continue;
        text += ' ';
        text += slots[i].type == SlotType::literal ? std::string(slots[i].literal)
                : i == missing                     ? "unknown " + unit_of(slots[i])
                                                   : std::string(info(slots[i].dimension).example);
    }
    return text;
}

}  // namespace

TEST_CASE("every attribute that may be left out is unknown where it is, as if that were typed") {
    int tried = 0;
    for (const KindInfo& kind : kind_table()) {
        std::vector<const AttributeGroup*> groups{nullptr};
        for (const AttributeGroup& group : kind.one_of) groups.push_back(&group);
        for (const AttributeGroup* group : groups) {
            if (!group && !kind.one_of.empty()) continue;
            const Names names = with_group(required_of(kind), group);
            for (const Attr name : names) {
                const bool alone = group && group->attributes == Names{name};  // it would be no group
                if (!may_be_left_out(name) || alone) continue;
                ++tried;
                const Texts others = examples(kind.kind, without(names, name));
                check_same(kind.kind, others, with(others, typed_unknown(name)));
            }
        }
    }
    CHECK(tried > 70);
}

TEST_CASE("a thing of which everything is left out is the thing of which everything is unknown") {
    int tried = 0;
    for (const KindInfo& kind : kind_table()) {
        Texts demanded, typed;
        for (const Attr name : with_group(required_of(kind), group_left_out(kind.kind)))
            if (!may_be_left_out(name)) demanded.push_back(example_of(name, kind.kind));
        typed = demanded;
        for (const Attr name : with_group(required_of(kind), group_left_out(kind.kind)))
            if (may_be_left_out(name)) typed.push_back(typed_unknown(name));
        if (typed.size() == demanded.size()) continue;
        ++tried;
        check_same(kind.kind, demanded, typed);
    }
    CHECK(tried > 20);
}

TEST_CASE("every place of an attribute of several values is unknown where it is left out") {
    int tried = 0;
    for (const KindInfo& kind : kind_table()) {
        for (const KindAttribute& row : kind.attributes) {
            if (!is_tuple(row.attribute)) continue;
            const Texts others = examples(kind.kind, beside(kind, row.attribute));
            const auto& slots = shape_of(row.attribute).forms.front().slots;
            for (std::size_t place = 0; place < slots.size(); ++place) {
                if (!is_quantity(slots[place])) continue;
                ++tried;
                check_same(kind.kind, with(others, tuple(row.attribute, place, false)),
                           with(others, tuple(row.attribute, place, true)));
            }
        }
    }
    CHECK(tried > 30);
}

TEST_CASE("what a pin gives or draws is unknown where it is left out") {
    constexpr std::pair<std::string_view, std::string_view> rows[] = {
        {"supply", "supply unknown A"},
        {"supply 5 V", "supply 5 V unknown A"},
        {"output", "output unknown V unknown A"},
        {"output 5 V", "output 5 V unknown A"},
        {"output 50 mA", "output unknown V 50 mA"},
        {"low-side", "low-side unknown A"},
        {"high-side", "high-side unknown A"},
    };
    for (const auto& [short_text, long_text] : rows)
        check_same(Kind::device, {"pin key " + std::string(short_text)},
                   {"pin key " + std::string(long_text)});
}

TEST_CASE("what decides terminals or wiring is asked for by its name, one message each") {
    int tried = 0;
    for (const KindInfo& kind : kind_table()) {
        for (const Attr name : required_of(kind)) {
            if (may_be_left_out(name)) continue;
            ++tried;
            const std::string text = file_with(kind.kind, examples(kind.kind, beside(kind, name)));
            CAPTURE(text);
            const ReadResult result = read_test(text);
            CHECK_FALSE(result.harness);
            REQUIRE(result.mistakes.size() == 1);
            CHECK(result.mistakes[0].id == "missing-attribute");
            CHECK_THAT(result.mistakes[0].message,
                       Catch::StartsWith("'" + std::string(info(name).name) + "' of "));
            CHECK(result.mistakes[0].help == "for instance " + example_of(name, kind.kind));
        }
    }
    CHECK(tried > 12);
}

TEST_CASE("what a type or an assembly leaves out is unknown in the thing fitted, and may be said there") {
    const std::string head = "loom 1\nharness \"Rig\" { ambient 0..30 degC }\n";
    const std::string assembly =
        "part lamp is assembly {\n  port a\n  load E1 { 12 V }\n  route a (W1 red) E1.+\n}\n";
    CHECK(
        model_of(head + "part strip is fuse { 80 V dc }\nfuse F1 is strip\nfuse F2 is strip { 40 A }\n",
                 "part") ==
        "part fuse F1 is strip {(operational-voltage) 80 V dc, (rated-current) unknown A, breaks unknown A, "
        "curve unknown word} F1.in F1.out\n"
        "part fuse F2 is strip {(operational-voltage) 80 V dc, (rated-current) 40 A, breaks unknown A, "
        "curve unknown word} F2.in F2.out\n");
    CHECK(model_of(head + assembly + "assembly T1 is lamp\nassembly T2 is lamp { E1 { 3 A }, W1 { 2 m } }\n",
                   "part") ==
          "part assembly T1 is lamp {}\npart port T1.a {} T1.a\n"
          "part load T1.E1 {(rated-voltage) 12 V, (power) unknown W} T1.E1.+ T1.E1.-\n"
          "part assembly T2 is lamp {}\npart port T2.a {} T2.a\n"
          "part load T2.E1 {(rated-voltage) 12 V, (current) 3 A} T2.E1.+ T2.E1.-\n");
    CHECK(model_of(head + assembly + "assembly T2 is lamp { E1 { 3 A }, W1 { 2 m } }\n", "wire") ==
          "wire T2.W1 T2.a T2.E1.+ unknown mm2 2 m red pvc 70 degC assumed\n");
}

}  // namespace left_out_test
