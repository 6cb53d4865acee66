// Terminals of parts by name, and the ways a route may take through a part.
#include <charconv>

#include "parser/routes/places.hpp"

namespace loomward {
namespace {

// Contacts of relays and switches: in to out, and com to either throw, within one pole.
void add_contact_ways(const Scope& scope, const Part& part, std::uint32_t contacts, std::vector<Way>& ways) {
    for (std::uint32_t i = 0; i < contacts; ++i) {
        const Terminal& from = scope.terminals[part.terminals.first + i];
        if (from.role != TerminalRole::in && from.role != TerminalRole::com) continue;
        for (std::uint32_t j = i + 1; j < contacts; ++j) {
            if (scope.terminals[part.terminals.first + j].number != from.number) continue;
            ways.push_back(
                {TerminalId(part.terminals.first + i), TerminalId(part.terminals.first + j), false});
        }
    }
}

// A selector joins whatever stands together in one position.
void add_position_ways(const Reading& reading, const Scope& scope, const Part& part, std::vector<Way>& ways) {
    std::vector<std::pair<TerminalId, TerminalId>> seen;
    for (const Attribute& attribute : reading.harness.attributes_of(part.attributes)) {
        if (attribute.name != "position"_attr) continue;
        const auto values = reading.harness.values_of(attribute);
        for (std::size_t i = 1; i < values.size(); ++i)
            for (std::size_t j = i + 1; j < values.size(); ++j) {
                const TerminalId a = terminal_meant(scope, part, values[i].text);
                const TerminalId b = terminal_meant(scope, part, values[j].text);
                if (!a || !b) continue;
                bool known = false;
                for (const Way& way : ways)
                    known = known || (way.from == a && way.to == b) || (way.from == b && way.to == a);
                if (!known) ways.push_back({a, b, false});
            }
    }
}

void add_pair(const Part& part, std::uint32_t a, std::uint32_t b, bool usual, std::vector<Way>& ways) {
    ways.push_back({TerminalId(part.terminals.first + a), TerminalId(part.terminals.first + b), usual});
}

}  // namespace

std::vector<Way> ways_through(const Reading& reading, const Scope& scope, PartId id, bool backward) {
    const Part& part = scope.parts[id.index()];
    const PartTraits& traits = scope.traits[id.index()];
    std::vector<Way> ways;
    if (traits.passes) {
        add_pair(part, 0, 1, true, ways);
        if (part.kind == Kind::bms && traits.contact_terminals == 3) add_pair(part, 0, 2, false, ways);
    } else if (part.kind == Kind::relay || part.kind == Kind::switch_) {
        add_contact_ways(scope, part, traits.contact_terminals, ways);
    } else if (part.kind == Kind::selector) {
        add_position_ways(reading, scope, part, ways);
    } else if (part.kind == Kind::pack) {
        for (std::uint32_t i = 0; i < part.terminals.count; ++i)
            for (std::uint32_t j = i + 1; j < part.terminals.count; ++j) add_pair(part, j, i, false, ways);
        backward = true;
    }
    if (!backward) return ways;
    const std::size_t forward = ways.size();
    for (std::size_t i = 0; i < forward; ++i) ways.push_back({ways[i].to, ways[i].from, false});
    return ways;
}

TerminalId terminal_meant(const Scope& scope, const Part& part, std::string_view name) {
    const bool halves = part.kind == Kind::connector;
    const std::uint32_t count = halves ? part.terminals.count / 2 : part.terminals.count;
    for (const bool printed : {true, false})
        for (std::uint32_t i = part.terminals.first; i < part.terminals.first + count; ++i) {
            const Terminal& each = scope.terminals[i];
            if ((printed ? each.name : each.table_name) == name) return TerminalId(std::size_t{i});
        }
    return {};
}

TerminalId terminal_named(const Scope& scope, PartId id, std::string_view name, bool mate) {
    const Part& part = scope.parts[id.index()];
    const bool halves = part.kind == Kind::connector;
    const std::uint32_t count = halves ? part.terminals.count / 2 : part.terminals.count;
    const std::uint32_t first = part.terminals.first + (halves && mate ? count : 0);
    // Numbered ways stand in order: no search.
    std::uint32_t number = 0;
    const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
    if (error == std::errc() && end == name.data() + name.size() && number >= 1 && number <= count &&
        scope.terminals[first + number - 1].name == name)
        return TerminalId(first + number - 1);
    for (std::uint32_t i = first; i < first + count; ++i)
        if (scope.terminals[i].name == name) return TerminalId(i);
    return {};
}

std::string terminal_list(const Scope& scope, PartId id, bool mate) {
    constexpr std::uint32_t shown = 12;
    const Part& part = scope.parts[id.index()];
    const bool halves = part.kind == Kind::connector;
    const std::uint32_t count = halves ? part.terminals.count / 2 : part.terminals.count;
    const std::uint32_t first = part.terminals.first + (halves && mate ? count : 0);
    std::string list;
    for (std::uint32_t i = 0; i < count && i < shown; ++i)
        list += (i ? ", " : "") + std::string(scope.terminals[first + i].path);
    if (count > shown) list += " ... " + std::string(scope.terminals[first + count - 1].path);
    return list;
}

}  // namespace loomward
