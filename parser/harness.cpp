#include "parser/harness.hpp"

namespace loomward {

Harness::Harness() = default;
Harness::~Harness() = default;
Harness::Harness(const Harness&) = default;
Harness::Harness(Harness&&) noexcept = default;
Harness& Harness::operator=(const Harness&) = default;
Harness& Harness::operator=(Harness&&) noexcept = default;

TerminalId Harness::terminal_of(PartId id, TerminalRole role, std::uint16_t number) const {
    const Slice slice = parts[id.index()].terminals;
    for (std::uint32_t i = slice.first; i < slice.first + slice.count; ++i)
        if (terminals[i].role == role && terminals[i].number == number) return TerminalId(std::size_t{i});
    return {};
}

const DevicePin* Harness::pin_at(TerminalId id) const {
    for (const DevicePin& pin : pins_of(terminal(id).part))
        if (pin.terminal == id) return &pin;
    return nullptr;
}

const OwnContact* Harness::own_contact_at(TerminalId id) const {
    const Part& plug = part(terminal(id).part);
    const TerminalId named = terminal(id).mate_half ? TerminalId(id.index() - plug.terminals.count / 2) : id;
    for (const OwnContact& contact : some(own_contacts, plug.own_contacts))
        if (contact.terminal == named) return &contact;
    return nullptr;
}

std::optional<PartId> Harness::find_part(std::string_view path) const {
    for (std::size_t i = 0; i < parts.size(); ++i)
        if (parts[i].name == path || (!parts[i].mate.empty() && parts[i].mate == path)) return PartId(i);
    return std::nullopt;
}

std::optional<WireId> Harness::find_wire(std::string_view path) const {
    for (std::size_t i = 0; i < wires.size(); ++i)
        if (wires[i].name == path) return WireId(i);
    return std::nullopt;
}

std::optional<TerminalId> Harness::find_terminal(std::string_view path) const {
    for (std::size_t i = 0; i < terminals.size(); ++i)
        if (terminals[i].path == path) return TerminalId(i);
    return std::nullopt;
}

}  // namespace loomward
