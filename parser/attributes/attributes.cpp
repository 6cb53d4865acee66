#include "parser/attributes/attributes.hpp"

#include <algorithm>

#include "parser/attributes/attribute_messages.hpp"
#include "parser/attributes/element_reader.hpp"
#include "parser/language/shapes.hpp"

namespace loomward {
namespace {

bool is_in(std::span<const Attr> names, Attr name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

}  // namespace

void AttributeList::clear() {
    attributes.clear();
    values.clear();
    flawed = false;
}

const Attribute* AttributeList::find(Attr name) const {
    for (const Attribute& attribute : attributes)
        if (attribute.name == name) return &attribute;
    return nullptr;
}

std::span<const Value> AttributeList::values_of(const Attribute& attribute) const {
    return std::span(values).subspan(attribute.first, attribute.count);
}

Value AttributeList::value(Attr name, std::size_t place) const {
    const Attribute* found = find(name);
    return found && place < found->count ? values[found->first + place] : Value{};
}

void merge(Kind kind, AttributeList& list, const AttributeList& later) {
    list.flawed = list.flawed || later.flawed;
    std::vector<Attr> replaced;
    for (const Attribute& attribute : later.attributes) replaced.push_back(attribute.name);
    // Where the later level describes a pack in another way, the earlier way goes as a whole.
    for (const AttributeGroup& group : info(kind).one_of) {
        const bool same = std::any_of(group.attributes.begin(), group.attributes.end(),
                                      [&](Attr name) { return later.find(name) != nullptr; });
        if (same) continue;
        const bool other =
            std::any_of(info(kind).one_of.begin(), info(kind).one_of.end(), [&](const AttributeGroup& g) {
                return std::any_of(g.attributes.begin(), g.attributes.end(),
                                   [&](Attr name) { return later.find(name) != nullptr; });
            });
        if (other) replaced.insert(replaced.end(), group.attributes.begin(), group.attributes.end());
    }
    std::erase_if(list.attributes,
                  [&](const Attribute& attribute) { return is_in(replaced, attribute.name); });
    const auto offset = static_cast<std::uint32_t>(list.values.size());
    list.values.insert(list.values.end(), later.values.begin(), later.values.end());
    for (Attribute attribute : later.attributes) {
        attribute.first += offset;
        list.attributes.push_back(attribute);
    }
}

Slice store(const AttributeList& list, Harness& harness, std::span<const Attr> skip) {
    Slice slice{static_cast<std::uint32_t>(harness.attribute_store.size()), 0};
    for (Attribute attribute : list.attributes) {
        if (is_in(skip, attribute.name)) continue;
        const auto values = list.values_of(attribute);
        attribute.first = static_cast<std::uint32_t>(harness.value_store.size());
        harness.value_store.insert(harness.value_store.end(), values.begin(), values.end());
        harness.attribute_store.push_back(attribute);
        ++slice.count;
    }
    return slice;
}

// ---- reading -------------------------------------------------------------------------------------------

AttributeReader::AttributeReader(const Sources& sources, std::deque<std::string>& strings,
                                 std::vector<Diagnostic>& mistakes)
    : sources_(sources), strings_(strings), mistakes_(mistakes) {}

ValueCursor AttributeReader::values_of(const SyntaxTree& tree, std::uint32_t element) {
    return {element + 1, tree.nodes[element].next};
}

bool AttributeReader::read(const SyntaxTree& tree, std::uint32_t first, std::uint32_t last,
                           const Owner& owner, AttributeList& list) {
    bool sound = true;
    ElementReader reader(sources_, strings_, mistakes_, tree, owner, list);
    for (std::uint32_t at = first; at < last; at = tree.nodes[at].next) {
        if (tree.nodes[at].damaged) {
            list.flawed = true;
            sound = false;
        } else if (!reader.read(values_of(tree, at))) {
            sound = false;
        }
    }
    return sound;
}

bool AttributeReader::read_element(const SyntaxTree& tree, ValueCursor cursor, const Owner& owner,
                                   AttributeList& list) {
    return ElementReader(sources_, strings_, mistakes_, tree, owner, list).read(cursor);
}

Value AttributeReader::read_quantity(const SyntaxTree& tree, ValueCursor& cursor,
                                     std::initializer_list<Dimension> dimensions, std::string_view what) {
    const Owner owner{Kind::policy, {}, {}};
    ValueReader reader(sources_, strings_, mistakes_, tree, owner);
    Wanted wanted{0, what, std::nullopt, true, false};
    for (const Dimension dimension : dimensions) wanted.dimensions |= bit(dimension);
    Value value;
    return reader.quantity(cursor, wanted, value) ? value : Value{};
}

std::string_view AttributeReader::text_of(const SyntaxTree& tree, std::uint32_t node) {
    const Owner owner{Kind::policy, {}, {}};
    return ValueReader(sources_, strings_, mistakes_, tree, owner).text_of(node);
}

// ---- what must be there --------------------------------------------------------------------------------

namespace {

const Attribute* first_of(const AttributeGroup& group, const AttributeList& list) {
    const Attribute* first = nullptr;
    for (const Attr name : group.attributes) {
        const Attribute* found = list.find(name);
        if (found && (!first || found->where < first->where)) first = found;
    }
    return first;
}

// A breaking current means nothing without a voltage: where no rated one is printed, it stands with the
// current.
bool check_breaking_voltage(const Owner& owner, const AttributeList& list,
                            std::vector<Diagnostic>& mistakes) {
    const Value current = list.value("breaks"_attr, 0);
    if (current.type != ValueType::quantity || current.known == Knowledge::unknown) return true;
    if (list.value("breaks"_attr, 1).present() || list.find("(operational-voltage)"_attr) ||
        has_printed_voltage(owner.kind))
        return true;
    mistakes.push_back(messages::missing_voltage(current, owner.kind));
    return false;
}

// The group that a part is described by: the one begun, else the one that may be wholly unknown. nullptr
// after a mistake, and where the kind has none.
const AttributeGroup* group_meant(const Owner& owner, const AttributeList& list,
                                  std::vector<Diagnostic>& mistakes) {
    const AttributeGroup* given = nullptr;
    for (const AttributeGroup& group : info(owner.kind).one_of) {
        const Attribute* first = first_of(group, list);
        if (!first) continue;
        if (given) {
            const Attribute* other = first_of(*given, list);
            mistakes.push_back(messages::says_twice(owner, std::max(first->where, other->where),
                                                    std::min(first->where, other->where), *given, group));
            return nullptr;
        }
        given = &group;
    }
    return given ? given : group_left_out(owner.kind);
}

void put_unknown(const Owner& owner, Attr name, AttributeList& list) {
    Attribute& attribute = list.attributes.emplace_back();
    attribute.name = name;
    attribute.where = owner.where;
    attribute.first = static_cast<std::uint32_t>(list.values.size());
    const Shape& shape = shape_of(name);
    for (const Slot& slot : form_of_unknown(shape).slots) {
        if (slot.type == SlotType::literal) continue;
        // Of a voltage that nobody knows nobody says either whether it is dc.
        const bool beside = slot.type == SlotType::words && list.values.size() > attribute.first;
        list.values.push_back(slot.optional || beside ? Value{} : unknown_value(slot, {}, owner.where));
    }
    list.values.resize(attribute.first + shape.places);
    attribute.count = shape.places;
}

}  // namespace

bool AttributeReader::complete(const Owner& owner, AttributeList& list) {
    if (list.flawed) return true;
    const std::size_t told = mistakes_.size();
    const auto want = [&](Attr name) {
        if (list.find(name)) return;
        if (shape_of(name).can_be_unknown)
            put_unknown(owner, name, list);
        else
            mistakes_.push_back(messages::missing_attribute(owner, name));
    };
    const AttributeGroup* group = group_meant(owner, list, mistakes_);
    for (const Attr name : lookup(owner.kind).required)
        if (name != "(length)"_attr || !list.find("along"_attr)) want(name);  // the stretches are its length
    check_breaking_voltage(owner, list, mistakes_);
    if (group)
        for (const Attr name : group->attributes) want(name);
    return mistakes_.size() == told;
}

}  // namespace loomward
