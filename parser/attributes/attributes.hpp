// Reads what stands in a block or a wire into attributes with values, by the tables of
// parser/language/kinds.hpp. A mistake gives one message and reading goes on with the next attribute.
#pragma once
#include <cstdint>
#include <deque>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "parser/harness.hpp"
#include "parser/language/insulations.hpp"
#include "parser/language/kinds.hpp"
#include "parser/syntax/syntax.hpp"
#include "parser/text/diagnostic.hpp"
#include "parser/text/source.hpp"

namespace loomward {

// The attributes of one thing while it is put together, with their values; `Attribute::first` is an index
// into `values` here. An attribute that was written wrongly is in the list too (with absent or unknown
// values), so that nobody calls it missing.
struct AttributeList {
    std::vector<Attribute> attributes;
    std::vector<Value> values;
    // Something could not be told apart well enough to know which attribute it was meant to be: nothing is
    // called missing then.
    bool flawed = false;

    void clear();
    const Attribute* find(Attr name) const;  // the first of that name, or nullptr
    std::span<const Value> values_of(const Attribute& attribute) const;
    // Value `place` of the first attribute of that name; an absent value where there is none.
    Value value(Attr name, std::size_t place = 0) const;
};

// Whom the attributes describe, for messages: "fuse F1", "wire W4", "policy".
struct Owner {
    Kind kind{};
    std::string_view name;  // may be empty
    Span where;             // its name, or the word of the statement
};

// One position in the values of an element: nodes[at] is the next value, `last` is one past the last.
struct ValueCursor {
    std::uint32_t at = 0;
    std::uint32_t last = 0;
    bool done() const { return at >= last; }
};

class AttributeReader {
  public:
    // `strings` keeps texts that had escapes; it and the sources must outlive the lists that are read.
    AttributeReader(const Sources& sources, std::deque<std::string>& strings,
                    std::vector<Diagnostic>& mistakes);

    // Reads the elements with indexes [first, last) of the tree and appends to `list`. Elements inside
    // nested blocks are not read: a caller whose blocks hold more than attributes (overrides, statements)
    // gives the elements one by one to read_element. False if anything was wrong.
    bool read(const SyntaxTree& tree, std::uint32_t first, std::uint32_t last, const Owner& owner,
              AttributeList& list);
    // One attribute: the values of the element from `cursor.at` on (a wire's first attribute stands after its
    // name). Must not be called for a damaged element.
    bool read_element(const SyntaxTree& tree, ValueCursor cursor, const Owner& owner, AttributeList& list);
    // The cursor over all values of an element.
    static ValueCursor values_of(const SyntaxTree& tree, std::uint32_t element);

    // For the thing as fitted, after merging: what has to be known and was left out is put in as unknown.
    // What decides terminals has to be written, and no two groups of `one_of` may be; false after such a
    // mistake. `list.flawed` keeps it quiet.
    bool complete(const Owner& owner, AttributeList& list);

    // For mode lines: a quantity of one of these dimensions ("draws 45 A", "for 30 s", "after ready 12 s",
    // "ambient -5..40 degC"). `what` is the word before it, for messages. Moves the cursor past it. On a
    // mistake says so and gives an absent value. `unknown` is not accepted.
    Value read_quantity(const SyntaxTree& tree, ValueCursor& cursor,
                        std::initializer_list<Dimension> dimensions, std::string_view what);
    // For statements: the content of a text node, quotes removed and escapes resolved.
    std::string_view text_of(const SyntaxTree& tree, std::uint32_t node);

  private:
    const Sources& sources_;
    std::deque<std::string>& strings_;
    std::vector<Diagnostic>& mistakes_;
};

// A later level replaces an attribute of an earlier one whole, all its repetitions too; the others are kept.
// (A group of `one_of` is replaced as a group: a pack type with cells can be fitted with its terminals.)
void merge(Kind kind, AttributeList& list, const AttributeList& later);

// Appends the list to the harness's stores. `skip`: attributes that the caller keeps in fields of its own.
Slice store(const AttributeList& list, Harness& harness, std::span<const Attr> skip = {});

}  // namespace loomward
