// What one scope declares: the harness itself, or the body of an assembly type. A body is resolved once and
// then stamped out wherever the assembly is built (assemblies.cpp), so its ids count from 0.
#pragma once
#include <cstdint>
#include <string_view>
#include <vector>

#include "parser/harness.hpp"
#include "parser/names/name_table.hpp"
#include "parser/syntax/tokens.hpp"

namespace loomward {

struct PartType;
struct Scope;

enum class EntityKind : std::uint8_t { part, mate, assembly, wire, cable, bundle, location, stretch };

// What a name of a scope stands for. `index` counts among the things of that kind in the scope (a mate: the
// part; an assembly: Scope::instances; a stretch: Harness::stretches).
struct Entity {
    std::string_view name;
    Span where;
    std::uint32_t index = 0;
    EntityKind kind{};
    bool bad = false;  // its statement has a mistake: declared, but not judged further
};

// What reading needs to know about a part beyond what the checker gets; parallel to Scope::parts.
struct PartTraits {
    std::uint32_t contact_terminals =
        0;                // so many of the first terminals are ends of contacts: never landed on midway
    bool passes = false;  // has a usual way through: from its first terminal to its second
    bool bad = false;
};

// One assembly statement: `copies` bodies that follow each other in the vectors of the scope.
struct Instance {
    std::string_view name;
    Span where;
    const Scope* body = nullptr;  // nullptr: the type is broken
    PartId part;                  // the assembly itself
    std::uint32_t copies = 1;
    bool repeated = false;  // says `repeat`: copies have a number in their path
    bool bad = false;
    // Of the first copy, in the scope's vectors.
    std::uint32_t first_part = 0, first_terminal = 0, first_wire = 0, first_bundle = 0, first_cable = 0,
                  first_location = 0;
    // Ports as parts of the body: of one copy, and of the next one, which are one point.
    std::vector<std::pair<std::uint32_t, std::uint32_t>> chains;
    FileText file;
    std::uint32_t element = 0;
    std::uint32_t block = 0;  // 0: none

    std::uint32_t part_of(std::uint32_t copy, std::uint32_t inner) const;
    std::uint32_t terminal_of(std::uint32_t copy, std::uint32_t inner) const;
};

// A cable's cores, while routes are read.
struct CableCores {
    std::vector<std::string_view> names;
    std::vector<Span> routed;                               // where; invalid: not yet
    Wire pattern;                                           // what all its cores share
    std::vector<std::pair<std::string_view, Value>> areas;  // cores unlike the others
    bool bad = false;
};

struct Scope {
    const PartType* type = nullptr;  // of an assembly; nullptr for the harness itself
    NameTable names;
    std::vector<Entity> entities;  // what `names` counts; in source order

    std::vector<Part> parts;
    std::vector<PartTraits> traits;  // by PartId
    std::vector<Terminal> terminals;
    std::vector<Wire> wires;
    std::vector<Joint> joints;
    std::vector<Tie> ties;
    std::vector<Cable> cables;
    std::vector<CableCores> cores;  // by CableId
    std::vector<Bundle> bundles;
    std::vector<Location> locations;
    std::vector<TerminalId> driver_pins;
    std::vector<Instance> instances;
    std::vector<std::uint32_t> ports;  // parts of kind port, in source order

    // Names that may be declared further down; looked up when the scope is finished.
    struct Pending {
        std::uint32_t index = 0;  // part, bundle or cable
        Value name;
    };
    std::vector<Pending> parts_at, bundles_at, cables_in, holders, drivers;

    const Entity* find(std::string_view name) const {
        const std::uint32_t index = names.find(name, [this](std::uint32_t i) { return entities[i].name; });
        return index == NameTable::none ? nullptr : &entities[index];
    }
};

inline std::uint32_t Instance::part_of(std::uint32_t copy, std::uint32_t inner) const {
    return first_part + copy * static_cast<std::uint32_t>(body->parts.size()) + inner;
}
inline std::uint32_t Instance::terminal_of(std::uint32_t copy, std::uint32_t inner) const {
    return first_terminal + copy * static_cast<std::uint32_t>(body->terminals.size()) + inner;
}

}  // namespace loomward
