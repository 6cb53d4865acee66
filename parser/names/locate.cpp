// Paths through assemblies: "T1.H1", "A1.17.H1.+".
#include "parser/names/reading.hpp"

namespace loomward {
namespace {

// 1..copies; 0 where it is no such number.
std::uint32_t copy_number(std::string_view text, std::uint32_t copies) {
    std::uint32_t number = 0;
    if (text.empty() || text.size() > 7) return 0;
    for (const char c : text) {
        if (c < '0' || c > '9') return 0;
        number = number * 10 + static_cast<std::uint32_t>(c - '0');
    }
    return number <= copies ? number : 0;
}

std::string_view take_segment(std::string_view& path) {
    const std::size_t dot = path.find('.');
    const std::string_view segment = path.substr(0, dot);
    path = dot == std::string_view::npos ? std::string_view() : path.substr(dot + 1);
    return segment;
}

}  // namespace

Located locate(const Scope& scope, std::string_view path) {
    Located result;
    const Scope* at = &scope;
    std::uint32_t first_bundle = 0, first_cable = 0;
    while (true) {
        const std::string_view segment = take_segment(path);
        result.within = at;
        const Entity* entity = at->find(segment);
        if (!entity) {
            result.missing = segment;
            return result;
        }
        if (entity->kind != EntityKind::assembly) {
            result.entity = entity;
            result.kind = entity->kind;
            result.rest = path;
            const std::uint32_t offset = entity->kind == EntityKind::wire       ? result.first_wire
                                         : entity->kind == EntityKind::bundle   ? first_bundle
                                         : entity->kind == EntityKind::cable    ? first_cable
                                         : entity->kind == EntityKind::location ? result.first_location
                                                                                : result.first_part;
            result.index = offset + entity->index;
            return result;
        }
        const Instance& instance = at->instances[entity->index];
        if (!instance.body || instance.bad) {
            result.entity = entity;
            result.kind = EntityKind::assembly;
            return result;
        }
        std::uint32_t copy = 0;
        const auto inner = static_cast<std::uint32_t>(instance.body->parts.size());
        if (instance.repeated && !path.empty()) {
            const std::string_view number = take_segment(path);
            copy = copy_number(number, instance.copies);
            if (copy == 0) {
                result.missing = number;
                result.copy_missing = true;
                result.copies = instance.copies;
                return result;
            }
            --copy;
            result.parts = inner;
        } else {
            result.parts = inner * instance.copies;
        }
        if (path.empty()) {
            result.entity = entity;
            result.kind = EntityKind::assembly;
            result.index = result.first_part + instance.part_of(copy, 0);
            return result;
        }
        result.first_part += instance.part_of(copy, 0);
        result.first_terminal += instance.terminal_of(copy, 0);
        result.first_wire +=
            instance.first_wire + copy * static_cast<std::uint32_t>(instance.body->wires.size());
        result.first_location +=
            instance.first_location + copy * static_cast<std::uint32_t>(instance.body->locations.size());
        first_bundle +=
            instance.first_bundle + copy * static_cast<std::uint32_t>(instance.body->bundles.size());
        first_cable += instance.first_cable + copy * static_cast<std::uint32_t>(instance.body->cables.size());
        at = instance.body;
    }
}

}  // namespace loomward
