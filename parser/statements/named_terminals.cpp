#include "parser/statements/named_terminals.hpp"

#include <algorithm>

#include "parser/routes/places.hpp"

namespace loomward {
namespace {

using namespace literals;

class TerminalFinder {
  public:
    TerminalFinder(Reading& reading, Scope& scope) : harness_(reading.harness), scope_(scope) {}

    void find(Part& part) {
        part_ = &part;
        for (std::uint32_t i = 0; i < part.attributes.count; ++i) read(part.attributes.first + i);
    }

  private:
    void read(std::uint32_t line) {
        const Attribute& attribute = harness_.attribute_store[line];
        const std::span<const Value> values = harness_.values_of(attribute);
        if (values.empty()) return;
        if (attribute.name == "pin"_attr)
            take_pin(line, values);
        else if (attribute.name == "contact"_attr)
            append(part_->own_contacts, harness_.own_contacts, {meant(values[0]), line});
        else if (attribute.name == "position"_attr)
            append(part_->positions, harness_.positions, {values[0].text, all_of(values.subspan(1))});
        else if (attribute.name == "bridge"_attr)
            append(part_->bridges, harness_.bridges, all_of(values));
        else if (attribute.name == "spare"_attr)
            take_spares(values);
        else if (attribute.name == "precharges"_attr)
            part_->precharges = meant(values[0]);
    }

    // Entries of one part follow each other, since parts are read one after the other.
    template <class T>
    static void append(Slice& slice, std::vector<T>& all, T entry) {
        if (slice.count++ == 0) slice.first = static_cast<std::uint32_t>(all.size());
        all.push_back(entry);
    }

    TerminalId meant(const Value& value) const { return terminal_meant(scope_, *part_, value.text); }

    Slice all_of(std::span<const Value> values) {
        Slice found;
        for (const Value& value : values)
            if (const TerminalId terminal = meant(value)) append(found, harness_.named_terminals, terminal);
        return found;
    }

    // A pin is what its own line calls it, never what another one has printed on it.
    void take_pin(std::uint32_t line, std::span<const Value> values) {
        const auto purpose = values.size() == 4 ? find_pin_purpose(values[1].text) : std::nullopt;
        if (!purpose) return;
        for (std::uint32_t i = 0; i < part_->terminals.count; ++i) {
            const TerminalId id(part_->terminals.first + i);
            const Terminal& terminal = scope_.terminals[id.index()];
            if (terminal.role == TerminalRole::own && terminal.table_name == values[0].text)
                return append(part_->pins, harness_.device_pins, {id, *purpose, line});
        }
    }

    // A contact that is spare is so in both halves.
    void take_spares(std::span<const Value> values) {
        part_->spares = all_of(values);
        if (part_->kind != Kind::connector) return;
        const std::uint32_t half = part_->terminals.count / 2, named = part_->spares.count;
        for (std::uint32_t i = 0; i < named; ++i) {
            const TerminalId own = harness_.named_terminals[part_->spares.first + i];
            append(part_->spares, harness_.named_terminals, TerminalId(own.index() + half));
        }
    }

    Harness& harness_;
    Scope& scope_;
    Part* part_ = nullptr;
};

}  // namespace

void find_named_terminals(Reading& reading, Scope& scope) {
    TerminalFinder finder(reading, scope);
    for (Part& part : scope.parts) finder.find(part);
}

}  // namespace loomward
