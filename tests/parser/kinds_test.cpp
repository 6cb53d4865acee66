// The tables of the language are sane: every row can be read, documented and explained.
#include <catch2/catch.hpp>

#include <algorithm>
#include <set>
#include <string>

#include "parser/attributes/attributes.hpp"
#include "parser/language/kinds.hpp"
#include "parser/language/shapes.hpp"
#include "parser/language/units.hpp"
#include "tests/parser/attributes_support.hpp"

namespace kinds_test {

using namespace loomward;

TEST_CASE("every kind has its row, in the order of the enumeration, with words for messages") {
    REQUIRE(kind_table().size() == kind_count);
    for (std::size_t i = 0; i < kind_count; ++i) {
        const auto kind = static_cast<Kind>(i);
        CAPTURE(info(kind).word);
        CHECK(info(kind).kind == kind);
        CHECK(find_kind(info(kind).word) == kind);
        CHECK((info(kind).a_word.starts_with("a ") || info(kind).a_word.starts_with("an ")));
        CHECK_FALSE(info(kind).meaning.empty());
        CHECK(info(kind).is_part == (kind < Kind::wire));
    }
}

TEST_CASE("a kind takes an attribute once and at most one nameless value of a dimension") {
    for (const KindInfo& kind : kind_table()) {
        CAPTURE(kind.word);
        std::set<Attr> seen;
        std::set<Dimension> nameless;
        for (const KindAttribute& row : kind.attributes) {
            CAPTURE(info(row.attribute).name);
            CHECK(seen.insert(row.attribute).second);
            CHECK(find_attribute(kind.kind, row.attribute) == &row);
            if (is_nameless(row.attribute))
                CHECK(nameless.insert(shape_of(row.attribute).forms.front().slots.front().dimension).second);
            if (row.required) CHECK(row.default_text.empty());
            if (!row.default_text.empty()) CHECK_FALSE(row.default_source.empty());
        }
        for (const AttributeGroup& group : kind.one_of) {
            CHECK(group.word.starts_with("its "));
            for (const Attr name : group.attributes) {
                REQUIRE(find_attribute(kind.kind, name) != nullptr);
                CHECK_FALSE(find_attribute(kind.kind, name)->required);
            }
        }
    }
}

TEST_CASE("no attribute has the name of a statement word, so that a line can close an open block") {
    for (const AttributeInfo& row : attribute_table) {
        CAPTURE(row.name);
        CHECK_FALSE(is_statement_word(row.name));
        CHECK_FALSE(row.meaning.empty());
        CHECK(std::count_if(attribute_table.begin(), attribute_table.end(),
                            [&](const AttributeInfo& other) { return other.name == row.name; }) == 1);
    }
}

TEST_CASE("every attribute is taken by some kind") {
    for (std::size_t i = 0; i < attribute_table.size(); ++i) {
        CAPTURE(attribute_table[i].name);
        CHECK(std::any_of(kind_table().begin(), kind_table().end(), [&](const KindInfo& kind) {
            return find_attribute(kind.kind, static_cast<Attr>(i)) != nullptr;
        }));
    }
}

TEST_CASE("every attribute reads the example that messages and the documentation give for it") {
    for (const KindInfo& kind : kind_table()) {
        for (const KindAttribute& row : kind.attributes) {
            const std::string example = example_of(row.attribute, kind.kind);
            CAPTURE(kind.word, example);
            const testing::ReadBlock block(std::string(kind.word) + " X1 { " + example + " }");
            CHECK(block.list.find(row.attribute) != nullptr);
            for (const Diagnostic& mistake : block.mistakes) CHECK(mistake.id == "missing-attribute");
        }
    }
}

TEST_CASE("every default is a value its attribute could be given in the text") {
    int defaults = 0;
    for (const KindInfo& kind : kind_table()) {
        for (const KindAttribute& row : kind.attributes) {
            if (row.default_text.empty()) continue;
            ++defaults;
            const std::string written =
                is_nameless(row.attribute) ? "" : std::string(info(row.attribute).name) + " ";
            const testing::ReadBlock block(std::string(kind.word) + " X1 { " + written +
                                           std::string(row.default_text) + " }");
            CAPTURE(kind.word, written, row.default_text, block.lines());
            CHECK(block.list.find(row.attribute) != nullptr);
            for (const Diagnostic& mistake : block.mistakes) CHECK(mistake.id == "missing-attribute");
        }
    }
    CHECK(defaults > 20);
}

TEST_CASE("the shapes are made of words, sets and dimensions that are known") {
    for (std::size_t i = 0; i < attribute_table.size(); ++i) {
        const auto attribute = static_cast<Attr>(i);
        CAPTURE(info(attribute).name, info(attribute).shape);
        const Shape& shape = shape_of(attribute);
        REQUIRE_FALSE(shape.forms.empty());
        for (const Form& form : shape.forms) {
            REQUIRE_FALSE(form.slots.empty());
            for (const Slot& slot : form.slots) {
                // A misspelt dimension would be taken for a set of one word.
                if (slot.type == SlotType::words) CHECK(slot.words.size() > 1);
                if (slot.type == SlotType::names) CHECK(&slot == &form.slots.back());
            }
        }
    }
}

TEST_CASE("statement words are sorted, hold every kind and the words kept for later") {
    const auto words = statement_words();
    CHECK(std::is_sorted(words.begin(), words.end()));
    for (const KindInfo& kind : kind_table()) CHECK(is_statement_word(kind.word));
    for (const auto* word : {"loom", "use", "part", "route", "mode", "accept", "variant", "change", "remove"})
        CHECK(is_statement_word(word));
    for (const auto* word : {"carries", "W1", "", "Route", "fuses"}) CHECK_FALSE(is_statement_word(word));
}

}  // namespace kinds_test
