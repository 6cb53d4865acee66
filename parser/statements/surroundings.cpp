// What may be named before it is declared: locations, the ways of fuse blocks that fuses sit in,
// and the contactors that battery managements drive.
#include "parser/names/reading.hpp"

namespace loomward {
namespace {

// A fuse says which way of a fuse block it sits in: its `in` is then the bar of the block.
void settle_holder(Reading& reading, Scope& scope, const Scope::Pending& holder, NameTable& taken,
                   std::vector<std::pair<std::string_view, Span>>& taken_by) {
    const std::string_view text = holder.name.text;
    const std::size_t dot = text.find('.');
    const std::string_view name = text.substr(0, dot);
    const Entity* entity = scope.find(name);
    if (!entity) return say_unknown(reading, scope, name, holder.name.where, "part", {EntityKind::part});
    if (entity->kind != EntityKind::part || scope.parts[entity->index].kind != Kind::fuse_block) {
        reading
            .say("wrong-kind", holder.name.where,
                 "'" + std::string(name) + "' is a " + std::string(word_of(scope, *entity)) +
                     ", and a holder is a way of a fuse block")
            .notes.push_back({entity->where, std::string(name) + " is described here"});
        return;
    }
    if (entity->bad) return;
    const Part& block = scope.parts[entity->index];
    const double ways = reading.harness.value(block.attributes, "ways"_attr).lo;
    const std::string_view way = dot == std::string_view::npos ? std::string_view() : text.substr(dot + 1);
    unsigned number = 0;
    for (const char c : way)
        number = c >= '0' && c <= '9' && number < 10000 ? number * 10 + unsigned(c - '0') : 100000;
    if (number < 1 || number > ways) {
        Diagnostic& mistake =
            reading.say("no-terminal", holder.name.where,
                        "fuse block " + std::string(name) + " has no way '" + std::string(way) + "'");
        mistake.notes.push_back({block.where, std::string(name) + " is described here"});
        mistake.help = "it has " + std::string(name) + ".1 to " + std::string(name) + "." +
                       std::to_string(static_cast<int>(ways));
        return;
    }
    const NameTable::Inserted other =
        taken.insert(text, static_cast<std::uint32_t>(taken_by.size()),
                     [&taken_by](std::uint32_t i) { return taken_by[i].first; });
    if (other.same != NameTable::none) {
        reading.say("way-twice", holder.name.where, "two fuses sit in " + std::string(text))
            .notes.push_back({taken_by[other.same].second, "first here"});
        return;
    }
    taken_by.emplace_back(text, holder.name.where);
    Part& fuse = scope.parts[holder.index];
    fuse.holder = PartId(std::size_t{entity->index});
    if (!fuse.location) fuse.location = block.location;
    if (block.terminals.count > 0 && fuse.terminals.count > 0)
        scope.ties.push_back({TerminalId(fuse.terminals.first), TerminalId(block.terminals.first)});
}

// A battery management says which contactor it opens.
void settle_driver(Reading& reading, Scope& scope, const Scope::Pending& driver) {
    const Value& name = driver.name;
    const Entity* entity = scope.find(name.text);
    if (!entity) return say_unknown(reading, scope, name.text, name.where, "part", {EntityKind::part});
    if (entity->kind != EntityKind::part || scope.parts[entity->index].kind != Kind::contactor) {
        reading
            .say("wrong-kind", name.where,
                 "'" + std::string(name.text) + "' is a " + std::string(word_of(scope, *entity)) +
                     ", and a bms drives a contactor")
            .notes.push_back({entity->where, std::string(name.text) + " is described here"});
        return;
    }
    scope.parts[driver.index].drives = PartId(std::size_t{entity->index});
}

}  // namespace

LocationId location_named(Reading& reading, const Scope& scope, const Value& name) {
    const Entity* entity = scope.find(name.text);
    if (!entity) {
        say_unknown(reading, scope, name.text, name.where, "location", {EntityKind::location});
        return {};
    }
    if (entity->kind == EntityKind::location) return LocationId(std::size_t{entity->index});
    reading
        .say("wrong-kind", name.where,
             "'" + std::string(name.text) + "' is a " + std::string(word_of(scope, *entity)) +
                 ", and 'at' names a location")
        .notes.push_back({entity->where, std::string(name.text) + " is described here"});
    return {};
}

void finish_scope(Reading& reading, Scope& scope) {
    for (const Scope::Pending& at : scope.parts_at)
        scope.parts[at.index].location = location_named(reading, scope, at.name);
    for (const Scope::Pending& at : scope.bundles_at)
        scope.bundles[at.index].location = location_named(reading, scope, at.name);
    NameTable taken;
    std::vector<std::pair<std::string_view, Span>> taken_by;
    for (const Scope::Pending& holder : scope.holders) settle_holder(reading, scope, holder, taken, taken_by);
    for (const Scope::Pending& driver : scope.drivers) settle_driver(reading, scope, driver);
    for (std::size_t i = 0; i < scope.cores.size(); ++i)
        for (std::size_t core = 0; core < scope.cores[i].names.size(); ++core)
            if (!scope.cores[i].routed[core].valid())
                scope.cables[i].unrouted.push_back(scope.cores[i].names[core]);
}

}  // namespace loomward
