// Reads one element as one attribute, by the shape of the attribute. Internal to parser/.
#pragma once
#include "parser/attributes/value_reader.hpp"

namespace loomward {

// What `unknown` gives for one place of a shape; `word` as it was written, empty where it was left out.
Value unknown_value(const Slot& slot, std::string_view word, Span where);

class ElementReader : public ValueReader {
  public:
    ElementReader(const Sources& sources, std::deque<std::string>& strings, std::vector<Diagnostic>& mistakes,
                  const SyntaxTree& tree, const Owner& owner, AttributeList& list)
        : ValueReader(sources, strings, mistakes, tree, owner), list_(list) {}

    // False if anything was wrong; the attribute is then in the list all the same, if it is known which was
    // meant.
    bool read(ValueCursor cursor);

  private:
    bool read_one(ValueCursor& cursor);
    bool nameless(ValueCursor& cursor);
    bool nameless_colour(ValueCursor& cursor);
    bool not_an_attribute(const ValueCursor& cursor);
    std::optional<Attr> nameless_meant_by(std::string_view word) const;
    bool values_of(ValueCursor& cursor, Attr attribute, Span where);
    bool add(Attr attribute, Span where, std::uint32_t first_value);

    const Form& choose(const Shape& shape, const ValueCursor& cursor) const;
    bool begins(const Slot& slot, const ValueCursor& cursor) const;
    bool match(ValueCursor& cursor, Attr attribute, const Form& form);
    bool left_between(const ValueCursor& cursor, Attr attribute, const Form& form, std::size_t place) const;
    bool left_open(const ValueCursor& cursor, Attr attribute, const Form& form, std::size_t place) const;
    bool match_slot(ValueCursor& cursor, Attr attribute, const Slot& slot, bool first, bool alone);
    bool match_literal(ValueCursor& cursor, Attr attribute, const Slot& slot, bool alone);
    bool match_word(ValueCursor& cursor, Attr attribute, const Slot& slot);
    bool match_names(ValueCursor& cursor, Attr attribute);
    bool all_unknown(ValueCursor& cursor, Attr attribute, const Form& form);
    bool nothing_here(Attr attribute, const Slot& slot, bool first);

    bool further_rules(Attr attribute, std::uint32_t first_value);
    bool pin_rules(std::span<Value> values);
    bool left_over(ValueCursor& cursor);

    Value& push(Value value) { return list_.values.emplace_back(value); }
    bool mentions_unknown(const ValueCursor& cursor) const { return at_word(cursor, "unknown"); }

    AttributeList& list_;
    Attr current_{};
    Span current_where_;
};

}  // namespace loomward
