#include "parser/attributes.hpp"

#include <algorithm>
#include <array>

namespace loomward {
namespace {

constexpr auto families = std::to_array<InsulationFamily>({
    {"pvc", 70, "IEC 60364-5-52 table B.52.1"},
    {"rubber", 60, "IEC 60245 (memory)"},
    {"polyurethane", 90, "ISO 6722 class A to B (memory)"},
    {"tpe", 90, "ISO 6722 class A to B (memory)"},
    {"epr", 90, "IEC 60364-5-52 table B.52.1"},
    {"xlpe", 90, "IEC 60364-5-52 table B.52.1"},
    {"etfe", 150, "ISO 6722 class D (memory)"},
    {"silicone", 180, "IEC 60245-3 (memory)"},
    {"fep", 200, "ISO 6722 class F (memory)"},
    {"ptfe", 250, "ISO 6722 class H (memory)"},
    {"polyimide", 200, "memory"},
});

bool is_in(std::span<const Attr> names, Attr name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

}  // namespace

std::span<const InsulationFamily> insulation_families() {
    return families;
}

const InsulationFamily* find_insulation(std::string_view word) {
    for (const InsulationFamily& family : families)
        if (family.word == word) return &family;
    return nullptr;
}

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

}  // namespace loomward
