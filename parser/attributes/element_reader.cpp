#include "parser/attributes/element_reader.hpp"

#include <algorithm>

#include "parser/attributes/attribute_messages.hpp"

namespace loomward {
namespace {

using namespace literals;

bool is_dc_or_ac(const Slot& slot) {
    return slot.type == SlotType::words && slot.words.front() == "dc";
}
// "latching": every value may be left out.
bool stands_alone(const Shape& shape) {
    const std::vector<Slot>& slots = shape.forms.front().slots;
    return std::all_of(slots.begin(), slots.end(), [](const Slot& slot) { return slot.optional != 0; });
}
bool is_quantity(const Slot& slot) {
    return slot.type == SlotType::quantity || slot.type == SlotType::range;
}

}  // namespace

Value unknown_value(const Slot& slot, std::string_view word, Span where) {
    Value value;
    value.type = is_quantity(slot) ? ValueType::quantity : ValueType::word;
    value.dimension = slot.dimension;
    value.known = Knowledge::unknown;
    value.text = is_quantity(slot) ? std::string_view() : word;
    value.where = where;
    return value;
}

bool ElementReader::read(ValueCursor cursor) {
    if (cursor.done()) return true;
    if (!read_one(cursor)) {
        // What stands after the mistake in the same element was not looked at: it may be what seems missing.
        if (!cursor.done()) list_.flawed = true;
        return false;
    }
    return cursor.done() || left_over(cursor);
}

bool ElementReader::read_one(ValueCursor& cursor) {
    const SyntaxNode& first = node(cursor.at);
    if (first.kind == NodeKind::number || at_word(cursor, "about") || at_word(cursor, "unknown"))
        return nameless(cursor);
    const std::string_view word = token(cursor.at);
    const auto attribute = first.kind == NodeKind::word ? lookup_.find(word) : std::nullopt;
    if (!attribute) return nameless_colour(cursor);
    const Span where = span(cursor.at);
    advance(cursor);
    return values_of(cursor, *attribute, where);
}

// Reads the values behind the attribute's name and adds the attribute, sound or not.
bool ElementReader::values_of(ValueCursor& cursor, Attr attribute, Span where) {
    current_ = attribute;
    current_where_ = where;
    const Attribute* before = info(attribute).repeatable ? nullptr : list_.find(attribute);
    if (before) {
        list_.flawed = true;
        return fail(messages::twice(where, before->where, attribute, owner_));
    }
    const auto first_value = static_cast<std::uint32_t>(list_.values.size());
    const Shape& shape = shape_of(attribute);
    bool sound = true;
    if (cursor.done() && !stands_alone(shape)) {
        sound = fail(messages::missing_value(where, attribute, false));
    } else if (mentions_unknown(cursor) && !shape.can_be_unknown) {
        sound = fail(messages::cannot_be_unknown(span(cursor.at), attribute));
    } else {
        sound = match(cursor, attribute, choose(shape, cursor));
    }
    while (list_.values.size() < first_value + shape.places) push({});
    add(attribute, where, first_value);
    return sound && further_rules(attribute, first_value);
}

bool ElementReader::add(Attr attribute, Span where, std::uint32_t first_value) {
    list_.attributes.push_back(
        {attribute, where, first_value, static_cast<std::uint32_t>(list_.values.size()) - first_value});
    return true;
}

// ---- matching a shape ---------------------------------------------------------------------------------

const Form& ElementReader::choose(const Shape& shape, const ValueCursor& cursor) const {
    if (shape.forms.size() == 1) return shape.forms.front();
    for (const Form& form : shape.forms)
        if (begins(form.slots.front(), cursor)) return form;
    return shape.forms.back();
}

bool ElementReader::begins(const Slot& slot, const ValueCursor& cursor) const {
    if (cursor.done()) return false;
    const NodeKind kind = node(cursor.at).kind;
    switch (slot.type) {
        case SlotType::literal:
            return kind == NodeKind::word && token(cursor.at) == slot.literal;
        case SlotType::words:
            return kind == NodeKind::word &&
                   std::find(slot.words.begin(), slot.words.end(), token(cursor.at)) != slot.words.end();
        case SlotType::quantity:
        case SlotType::range: {
            const Dimension dimension = peek_dimension(cursor);
            if (dimension == Dimension::none) return kind == NodeKind::number || mentions_unknown(cursor);
            return dimension == slot.dimension;
        }
        default:
            return true;
    }
}

bool ElementReader::match(ValueCursor& cursor, Attr attribute, const Form& form) {
    if (mentions_unknown(cursor)) {
        ValueCursor after = cursor;
        advance(after);
        if (after.done()) return all_unknown(cursor, attribute, form);
    }
    std::uint8_t skipped = 0;
    bool open = false;  // the rest is left out
    for (std::size_t i = 0; i < form.slots.size(); ++i) {
        const Slot& slot = form.slots[i];
        const bool opens = slot.optional && (i == 0 || form.slots[i - 1].optional != slot.optional);
        if (opens && !begins(slot, cursor)) skipped = slot.optional;
        if (slot.optional && slot.optional == skipped) {
            if (slot.type != SlotType::literal) push({});
            continue;
        }
        if (left_between(cursor, attribute, form, i)) {
            push(unknown_value(form.slots[++i], {}, current_where_));
            continue;
        }
        // Behind "for" a time must come.
        const bool goes_on = i > 0 && form.slots[i - 1].type == SlotType::literal && !open;
        if (!goes_on && left_open(cursor, attribute, form, i)) {
            open = i > 0;
            if (slot.type != SlotType::literal) push(unknown_value(slot, {}, current_where_));
            continue;
        }
        if (!match_slot(cursor, attribute, slot, i == 0, form.slots.size() == 1)) return false;
    }
    return true;
}

// Whether a place of an attribute of several quantities was left out: what is not said is not known. "coil 12
// V" has no current, "output 60 A" no voltage, "inrush 90 A" no time, "inrush for 2 s" no current.
bool ElementReader::left_open(const ValueCursor& cursor, Attr attribute, const Form& form,
                              std::size_t place) const {
    const auto quantities = std::count_if(form.slots.begin(), form.slots.end(), [](const Slot& each) {
        return is_quantity(each) && !each.optional;
    });
    const bool others = std::any_of(form.slots.begin(), form.slots.end(), [](const Slot& each) {
        return !is_quantity(each) && (each.type != SlotType::literal || each.literal == "of");
    });
    if (quantities < 2 || others || !shape_of(attribute).can_be_unknown) return false;
    if (place > 0) return cursor.done();
    const Slot& first = form.slots.front();
    return is_quantity(first) && !begins(first, cursor) && begins(form.slots[1], cursor);
}

// Whether a place between two words was left out with the word before it: "rise 35 K after 1 h" has no
// current.
bool ElementReader::left_between(const ValueCursor& cursor, Attr attribute, const Form& form,
                                 std::size_t place) const {
    if (place == 0 || place + 2 >= form.slots.size() || !shape_of(attribute).can_be_unknown) return false;
    const Slot &word = form.slots[place], &value = form.slots[place + 1], &next = form.slots[place + 2];
    return word.type == SlotType::literal && is_quantity(value) && next.type == SlotType::literal &&
           word.literal != next.literal && !word.optional && begins(next, cursor);
}

bool ElementReader::match_slot(ValueCursor& cursor, Attr attribute, const Slot& slot, bool first,
                               bool alone) {
    if (slot.type == SlotType::literal) return match_literal(cursor, attribute, slot, alone);
    if (slot.type == SlotType::words) return match_word(cursor, attribute, slot);
    if (cursor.done()) return nothing_here(attribute, slot, first);
    if (slot.type == SlotType::names) return match_names(cursor, attribute);
    Value value;
    Value second;
    bool sound = false;
    switch (slot.type) {
        case SlotType::quantity:
        case SlotType::range: {
            const bool nameless = is_nameless(attribute);
            const Wanted wanted{first && !nameless ? shape_of(attribute).dimensions : bit(slot.dimension),
                                nameless && first ? std::string_view() : info(attribute).name, attribute,
                                first, slot.type == SlotType::range};
            sound = quantity(cursor, wanted, value);
            break;
        }
        case SlotType::count:
            sound = count(cursor, attribute, value);
            break;
        case SlotType::text:
            sound = text(cursor, attribute, value);
            break;
        case SlotType::name:
            sound = name(cursor, attribute, value);
            break;
        case SlotType::colour:
            sound = colour(cursor, value);
            break;
        case SlotType::series:
            sound = series(cursor, attribute, value, second);
            break;
        default:
            break;
    }
    if (!sound) return false;
    push(value);
    if (slot.type == SlotType::series) push(second);
    return true;
}

bool ElementReader::nothing_here(Attr attribute, const Slot&, bool first) {
    return fail(messages::missing_value(current_where_, attribute, !first));
}

bool ElementReader::match_literal(ValueCursor& cursor, Attr attribute, const Slot& slot, bool alone) {
    if (at_word(cursor, slot.literal)) {
        if (alone)
            push({ValueType::word, Dimension::none, Knowledge::stated, 0, 0, slot.literal, span(cursor.at)});
        advance(cursor);
        return true;
    }
    const Value* before = list_.values.empty() ? nullptr : &list_.values.back();
    if (slot.literal == "of" && before) {
        const std::string_view of_what = shape_of(attribute).forms.back().slots.back().literal;
        return fail(messages::missing_of(before->where, written(before->where), attribute, of_what));
    }
    if (cursor.done()) return fail(messages::missing_value(current_where_, attribute, true));
    if (node(cursor.at).kind == NodeKind::word && !begins_an_attribute(token(cursor.at)))
        return fail(messages::unknown_word(span(cursor.at), attribute, token(cursor.at), {slot.literal}));
    return fail(messages::missing_word(span(cursor.at), shown(cursor.at), slot.literal, attribute));
}

bool ElementReader::match_word(ValueCursor& cursor, Attr attribute, const Slot& slot) {
    const bool here = !cursor.done();
    const std::string_view word = here ? token(cursor.at) : std::string_view();
    if (here && begins(slot, cursor) && takes_word(owner_.kind, attribute, token(cursor.at))) {
        push({ValueType::word, Dimension::none, Knowledge::stated, 0, 0, word, span(cursor.at)});
        advance(cursor);
        return true;
    }
    if (here && word == "unknown") {
        push({ValueType::word, Dimension::none, Knowledge::unknown, 0, 0, word, span(cursor.at)});
        advance(cursor);
        return true;
    }
    if (is_dc_or_ac(slot)) {
        const Value& voltage = list_.values.back();
        // A voltage that nobody knows need not be said to be either.
        if (voltage.known == Knowledge::unknown && !here) return push({}), true;
        return fail(messages::missing_dc_ac(voltage.where, written(voltage.where)));
    }
    if (!here) return nothing_here(attribute, slot, list_.values.empty());
    std::vector<std::string_view> taken = slot.words;
    std::erase_if(taken, [&](std::string_view one) { return !takes_word(owner_.kind, attribute, one); });
    return fail(messages::unknown_word(span(cursor.at), attribute, shown(cursor.at), taken));
}

bool ElementReader::match_names(ValueCursor& cursor, Attr attribute) {
    while (!cursor.done()) {
        Value value;
        if (!name(cursor, attribute, value)) return false;
        push(value);
    }
    return true;
}

// "coil unknown": every value that must be there is unknown.
bool ElementReader::all_unknown(ValueCursor& cursor, Attr attribute, const Form& form) {
    const std::uint32_t at = cursor.at;
    if (is_nameless(attribute)) {
        Value value;
        return quantity(cursor, {lookup_.nameless_dimensions, {}, attribute, true, false}, value);
    }
    for (const Slot& slot : form.slots) {
        if (slot.type == SlotType::literal) continue;
        push(slot.optional ? Value{} : unknown_value(slot, token(at), span(at)));
    }
    advance(cursor);
    return true;
}

// One message; what follows is read as if the comma were there, so that it is not called missing.
bool ElementReader::left_over(ValueCursor& cursor) {
    const bool is_block = node(cursor.at).kind == NodeKind::block || node(cursor.at).kind == NodeKind::wire;
    const bool new_one = node(cursor.at).kind == NodeKind::number || at_word(cursor, "about") ||
                         at_word(cursor, "unknown") || begins_an_attribute(token(cursor.at));
    Span where = span(cursor.at);
    if (is_block) where.end = where.begin + 1;
    fail(messages::left_over(where, shown(cursor.at), current_, owner_, new_one));
    const std::size_t told = mistakes_.size();
    while (!cursor.done())
        if (!read_one(cursor)) {
            list_.flawed = true;
            break;
        }
    mistakes_.resize(told);
    return false;
}

}  // namespace loomward
