#include "parser/statements/named_terminals.hpp"

#include "parser/routes/places.hpp"

namespace loomward {
namespace {

using namespace literals;

// The values of an attribute that name terminals: from the first of them on, and how many.
std::span<Value> naming(const Attribute& attribute, std::span<Value> values) {
    if (attribute.name == "bridge"_attr || attribute.name == "spare"_attr) return values;
    if (attribute.name == "position"_attr) return values.subspan(values.empty() ? 0 : 1);
    if (attribute.name == "contact"_attr || attribute.name == "precharges"_attr)
        return values.first(values.empty() ? 0 : 1);
    return {};
}

}  // namespace

void forget_printed_names(Reading& reading, const Scope& scope) {
    Harness& harness = reading.harness;
    // Parts of one type share their attributes: a name that was exchanged must not be looked up again.
    std::vector<bool> done(harness.attribute_store.size(), false);
    for (const Part& part : scope.parts) {
        if (!harness.find(part.attributes, "marks"_attr)) continue;
        for (std::uint32_t i = part.attributes.first; i < part.attributes.first + part.attributes.count;
             ++i) {
            const Attribute& attribute = harness.attribute_store[i];
            if (done[i]) continue;
            done[i] = true;
            const std::span<Value> values =
                std::span(harness.value_store).subspan(attribute.first, attribute.count);
            for (Value& value : naming(attribute, values))
                if (const TerminalId meant = terminal_meant(scope, part, value.text))
                    value.text = scope.terminals[meant.index()].role;
        }
    }
}

}  // namespace loomward
