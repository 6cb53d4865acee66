#include "parser/harness.hpp"

namespace loomward {

TerminalId Harness::terminal_of(PartId id, std::string_view role) const {
    const Slice slice = parts[id.index()].terminals;
    for (std::uint32_t i = slice.first; i < slice.first + slice.count; ++i)
        if (terminals[i].role == role) return TerminalId(std::size_t{i});
    return {};
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
