// Part types: "part main-fuse is fuse { ... }", each built on a kind or on another type.
#include <algorithm>

#include "parser/names/reading.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

bool can_be_typed(Kind kind) {
    return (info(kind).is_part && kind != Kind::port) || kind == Kind::wire || kind == Kind::cable ||
           kind == Kind::assembly;
}

void declare_type(Reading& reading, const Statement& statement) {
    const Head head = read_head(reading, statement);
    PartType type;
    type.statement = statement;
    type.name = head.name.text;
    type.where = head.name.where;
    type.label = head.label;
    type.base = head.type;
    type.block = head.block;
    type.bad = head.bad;
    if (!head.name) return;
    if (!head.bad && !head.type) {
        reading
            .say("missing-name", statement.word.where,
                 "part " + std::string(type.name) + " does not say what it is")
            .help = "part " + std::string(type.name) + " is fuse { ... }";
        type.bad = true;
    }
    const auto index = static_cast<std::uint32_t>(reading.types.size());
    const NameTable::Inserted found = reading.type_names.insert(
        type.name, index, [&reading](std::uint32_t i) { return reading.types[i].name; });
    if (found.same != NameTable::none) {
        reading.say("name-twice", type.where, "the name " + std::string(type.name) + " is used twice")
            .notes.push_back({reading.types[found.same].where, "first here"});
        return;
    }
    if (found.alike != NameTable::none) {
        const PartType& other = reading.types[found.alike];
        reading
            .say(
                "names-alike", type.where,
                std::string(type.name) + " and " + std::string(other.name) + " differ only in their capitals")
            .notes.push_back({other.where, std::string(other.name) + " is here"});
    }
    reading.types.push_back(std::move(type));
}

// The type that this one is built on; nullptr for a kind, or where there is no such thing (said).
PartType* base_of(Reading& reading, PartType& type) {
    const std::optional<Kind> kind = find_kind(type.base.text);
    // A type may have the name of a kind (`part panel is panel`).
    if (const PartType* found = find_type(reading, type.base.text); found && (found != &type || !kind))
        return &reading.types[static_cast<std::size_t>(found - reading.types.data())];
    if (kind && can_be_typed(*kind)) {
        type.kind = *kind;
        return nullptr;
    }
    type.bad = true;
    if (!reading.may_call_unknown(type.base.text)) return nullptr;
    Suggestion nearest(type.base.text);
    for (const KindInfo& row : kind_table())
        if (can_be_typed(row.kind)) nearest.offer(row.word);
    for (const PartType& other : reading.types)
        if (&other != &type) nearest.offer(other.name);
    Diagnostic& mistake = reading.say("unknown-name", type.base.where,
                                      "there is no part named '" + std::string(type.base.text) + "'");
    if (!nearest.best().empty()) mistake.beside = "write " + std::string(nearest.best());
    return nullptr;
}

void fill_in(Reading& reading, PartType& type, const PartType* base) {
    if (base) {
        type.kind = base->kind;
        type.bad = type.bad || base->bad;
        type.shaky = base->shaky;
        type.attributes = base->attributes;
        if (type.label.empty()) type.label = base->label;
        if (type.kind == Kind::assembly) type.built_on = base;
    }
    type.progress = PartType::Progress::done;
    if (type.bad || !type.block) return;
    if (type.kind == Kind::assembly) {
        if (!base) return;  // the block is its body
        type.bad = true;
        reading
            .say("left-over", type.statement.file.token(type.block).where,
                 "an assembly built on another takes no block")
            .help = "the body is written once; an override stands where the assembly is built";
        return;
    }
    const FileText& file = type.statement.file;
    AttributeList own;
    const Owner owner{type.kind, type.name, type.where};
    if (!reading.read_attributes(file, type.block + 1, file.node(type.block).next, owner, own))
        type.shaky = true;
    merge(type.kind, type.attributes, own);
}

// "a is b is a", starting at the type where the message stands.
void say_circle(Reading& reading, const std::vector<PartType*>& chain, const PartType* again) {
    auto first = std::find(chain.begin(), chain.end(), again);
    std::vector<PartType*> circle(first, chain.end());
    std::rotate(circle.begin(),
                std::min_element(circle.begin(), circle.end(),
                                 [](const PartType* a, const PartType* b) { return a->where < b->where; }),
                circle.end());
    std::string text;
    for (const PartType* type : circle) text += std::string(type->name) + " is ";
    text += circle.front()->name;
    reading.say("part-circle", circle.front()->base.where,
                "part " + std::string(circle.front()->name) + " is built on itself: " + text);
    for (PartType* type : circle) type->bad = true;
}

void resolve_chain(Reading& reading, PartType& start) {
    std::vector<PartType*> chain;
    PartType* at = &start;
    while (at && at->progress == PartType::Progress::untouched) {
        at->progress = PartType::Progress::open;
        chain.push_back(at);
        at = at->bad ? nullptr : base_of(reading, *at);
    }
    if (at && at->progress == PartType::Progress::open) {
        say_circle(reading, chain, at);
        for (PartType* type : chain) {
            type->bad = true;
            type->progress = PartType::Progress::done;
        }
        return;
    }
    for (; !chain.empty(); chain.pop_back()) {
        fill_in(reading, *chain.back(), at);
        at = chain.back();
    }
}

}  // namespace

const PartType* find_type(const Reading& reading, std::string_view name) {
    const std::uint32_t index =
        reading.type_names.find(name, [&reading](std::uint32_t i) { return reading.types[i].name; });
    return index == NameTable::none ? nullptr : &reading.types[index];
}

void resolve_part_types(Reading& reading, const std::vector<Statement>& statements) {
    reading.types.reserve(statements.size());
    for (const Statement& statement : statements) declare_type(reading, statement);
    for (PartType& type : reading.types) resolve_chain(reading, type);
    for (PartType& type : reading.types)
        if (!type.bad && type.kind != Kind::assembly) type.stored = store(type.attributes, reading.harness);
}

const PartType* type_for(Reading& reading, const Token& name, Kind kind, std::string_view thing, bool& bad) {
    const PartType* type = find_type(reading, name.text);
    if (!type) {
        bad = true;
        if (find_kind(name.text) == kind) {
            reading.say("unknown-name", name.where, "'is' names a part, not a kind").help =
                "leave 'is " + std::string(name.text) + "' out, or describe a part: part my-" +
                std::string(name.text) + " is " + std::string(name.text) + " { ... }";
            return nullptr;
        }
        if (!reading.may_call_unknown(name.text)) return nullptr;
        Suggestion nearest(name.text);
        for (const PartType& other : reading.types)
            if (other.kind == kind) nearest.offer(other.name);
        Diagnostic& mistake = reading.say("unknown-name", name.where,
                                          "there is no part named '" + std::string(name.text) + "'");
        if (const PartType* found = find_type(reading, nearest.best()))
            mistake.help = "there is " + std::string(info(found->kind).a_word) + " named '" +
                           std::string(nearest.best()) + "'";
        return nullptr;
    }
    if (type->bad) {
        bad = true;
        return nullptr;
    }
    if (type->kind == kind) return type;
    bad = true;
    Diagnostic& mistake =
        reading.say("wrong-kind", name.where,
                    std::string(thing) + " is " + std::string(info(kind).a_word) + ", and " +
                        std::string(type->name) + " is " + std::string(info(type->kind).a_word));
    mistake.notes.push_back({type->where, std::string(type->name) + " is described here"});
    if (type->kind == Kind::wire)
        mistake.help = "a wire is written inside a route: (W1 is " + std::string(type->name) + ", 0.2 m)";
    else if (kind != Kind::wire)
        mistake.help = "write " + std::string(info(type->kind).word) + " " + std::string(thing) + " is " +
                       std::string(type->name);
    return nullptr;
}

}  // namespace loomward
