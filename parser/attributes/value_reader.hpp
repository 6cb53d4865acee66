// Reads single values out of an element: quantities, counts, names, texts. Internal to parser/.
#pragma once
#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "parser/attributes/attributes.hpp"
#include "parser/language/shapes.hpp"
#include "parser/language/units.hpp"
#include "parser/text/number_text.hpp"

namespace loomward {

// What a quantity is wanted for.
struct Wanted {
    std::uint32_t dimensions = 0;
    std::string_view name;          // of the attribute or the verb before it; empty: nameless
    std::optional<Attr> attribute;  // none in mode lines
    bool first = true;              // the first value of its attribute
    bool range = false;             // both ends must be written
};

// Every function that can fail says why, once, and gives false.
class ValueReader {
  public:
    ValueReader(const Sources& sources, std::deque<std::string>& strings, std::vector<Diagnostic>& mistakes,
                const SyntaxTree& tree, const Owner& owner)
        : strings_(strings),
          mistakes_(mistakes),
          tree_(tree),
          text_(sources.file(tree.file).text),
          owner_(owner),
          lookup_(lookup(owner.kind)) {}

    const SyntaxNode& node(std::uint32_t at) const { return tree_.nodes[at]; }
    std::string_view token(std::uint32_t at) const {
        return text_.substr(node(at).begin, node(at).end - node(at).begin);
    }
    Span span(std::uint32_t at) const { return {tree_.file, node(at).begin, node(at).end}; }
    Span span(std::uint32_t from, std::uint32_t to) const {
        return {tree_.file, node(from).begin, node(to).end};
    }
    std::string_view written(Span where) const { return text_.substr(where.begin, where.end - where.begin); }
    void advance(ValueCursor& cursor) const { cursor.at = node(cursor.at).next; }
    // The next token is that word.
    bool at_word(const ValueCursor& cursor, std::string_view word) const {
        return !cursor.done() && node(cursor.at).kind == NodeKind::word && token(cursor.at) == word;
    }
    // Token for a message: a block or a wire is shown by its bracket.
    std::string_view shown(std::uint32_t at) const;

    bool fail(Diagnostic mistake) {
        mistakes_.push_back(std::move(mistake));
        return false;
    }

    // The dimension of the quantity that begins here, without reading it: none where it is no quantity or has
    // no unit of the language.
    Dimension peek_dimension(ValueCursor cursor) const;
    bool quantity(ValueCursor& cursor, const Wanted& wanted, Value& value);
    bool count(ValueCursor& cursor, Attr attribute, Value& value);
    bool name(ValueCursor& cursor, Attr attribute, Value& value);
    bool text(ValueCursor& cursor, Attr attribute, Value& value);
    bool colour(ValueCursor& cursor, Value& value);
    bool series(ValueCursor& cursor, Attr attribute, Value& first, Value& second);
    std::string_view text_of(std::uint32_t at);

  protected:
    // Looks like the beginning of another attribute: then a comma was forgotten, or a unit.
    bool begins_an_attribute(std::string_view word) const;

  private:
    struct Unit {
        const UnitInfo* info = nullptr;
        std::string_view written;
        Span where;
    };
    bool unknown_quantity(ValueCursor& cursor, const Wanted& wanted, Value& value);
    bool unit_after(ValueCursor& cursor, const NumberText& number, std::uint32_t at, const Wanted& wanted,
                    Unit& unit);
    bool missing_unit(std::uint32_t at, const NumberText& number, const Wanted& wanted);
    bool fits(Dimension dimension, const Wanted& wanted, Span where);
    bool convert(const NumberText& number, const Unit& unit, const Wanted& wanted, Value& value);
    bool inches_after(ValueCursor& cursor, const NumberText& feet, const Unit& unit, Value& value);
    bool convert_gauge(const NumberText& number, Value& value);

    std::deque<std::string>& strings_;

  protected:
    std::vector<Diagnostic>& mistakes_;
    const SyntaxTree& tree_;
    std::string_view text_;
    const Owner& owner_;
    const KindLookup& lookup_;
};

}  // namespace loomward
