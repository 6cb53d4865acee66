// Which words are names, how a scope declares them, and what is said when one is not there.
#include <algorithm>
#include <array>
#include <iterator>

#include "parser/names/reading.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool is_inner(char c) {
    return is_letter(c) || (c >= '0' && c <= '9') || c == '_';
}

// Words of routes and mode lines: a part of that name could be read as the word.
constexpr auto glue_words = std::to_array<std::string_view>(
    {"about",    "ac",        "after", "and",       "at",   "because", "closed", "dc",
     "delivers", "direct",    "draws", "energised", "for",  "in",      "is",     "like",
     "limit",    "mated",     "none",  "off",       "on",   "open",    "others", "phases",
     "released", "repeating", "rest",  "returns",   "then", "unknown", "unmated"});

}  // namespace

bool is_name(std::string_view text) {
    if (text.empty() || !is_letter(text.front())) return false;
    for (std::size_t i = 1; i < text.size(); ++i) {
        if (is_inner(text[i])) continue;
        if (text[i] != '-' || i + 1 == text.size() || !is_inner(text[i + 1])) return false;
    }
    return true;
}

bool is_port_name(std::string_view text) {
    if (!text.empty() && (text.back() == '+' || text.back() == '-')) text.remove_suffix(1);
    return is_name(text);
}

bool is_reserved_name(std::string_view text) {
    // All of them are small letters and hyphens; most names are not.
    for (const char c : text)
        if (c != '-' && (c < 'a' || c > 'z')) return false;
    if (text.empty() || text.front() < 'a' || text.front() > 'z') return false;
    // Words that came after files had been written: a part or a type may go on being called so.
    constexpr std::string_view came_later[] = {"inverter", "panel", "protector", "stretch"};
    if (std::find(std::begin(came_later), std::end(came_later), text) != std::end(came_later)) return false;
    return std::binary_search(glue_words.begin(), glue_words.end(), text) || is_statement_word(text);
}

Diagnostic& Reading::say(std::string_view id, Span where, std::string message) {
    if (where.end <= where.begin) where.end = where.begin + 1;
    Diagnostic& mistake = mistakes.emplace_back();
    mistake.id = id;
    mistake.where = where;
    mistake.message = std::move(message);
    return mistake;
}

bool Reading::may_call_unknown(std::string_view name) {
    if (file_missing || name_missing || excused.contains(name)) return false;
    return called_unknown.insert(name).second;
}

void Reading::excuse(std::string_view word) {
    excused.insert(word);
    const std::size_t dot = word.find_first_of(".>");
    if (dot != std::string_view::npos) excused.insert(word.substr(0, dot));
}

void Reading::excuse_all_in(const FileText& file, std::uint32_t first, std::uint32_t end) {
    for (std::uint32_t at = first; at < end; ++at)
        if (file.node(at).kind == NodeKind::word) excuse(file.token(at).text);
}

bool declare(Reading& reading, Scope& scope, const Entity& entity) {
    const auto index = static_cast<std::uint32_t>(scope.entities.size());
    const NameTable::Inserted found =
        scope.names.insert(entity.name, index, [&scope](std::uint32_t i) { return scope.entities[i].name; });
    if (found.same != NameTable::none) {
        Entity& other = scope.entities[found.same];
        const auto [first, second] = std::minmax(other.where, entity.where);
        reading.say("name-twice", second, "the name " + std::string(entity.name) + " is used twice")
            .notes.push_back({first, "first here"});
        other.bad = true;
        return false;
    }
    if (found.alike != NameTable::none) {
        const Entity& other = scope.entities[found.alike];
        const Entity& first = other.where < entity.where ? other : entity;
        const Entity& second = other.where < entity.where ? entity : other;
        reading
            .say("names-alike", second.where,
                 std::string(second.name) + " and " + std::string(first.name) +
                     " differ only in their capitals")
            .notes.push_back({first.where, std::string(first.name) + " is here"});
    }
    scope.entities.push_back(entity);
    return true;
}

std::string_view word_of(const Scope& scope, const Entity& entity) {
    switch (entity.kind) {
        case EntityKind::part:
            return info(scope.parts[entity.index].kind).word;
        case EntityKind::mate:
            return "connector half";
        case EntityKind::assembly:
            return "assembly";
        case EntityKind::wire:
            return "wire";
        case EntityKind::cable:
            return "cable";
        case EntityKind::bundle:
            return "bundle";
        case EntityKind::location:
            return "location";
        case EntityKind::stretch:
            return "stretch";
    }
    return "name";
}

void say_unknown(Reading& reading, const Scope& scope, std::string_view name, Span where,
                 std::string_view what, std::initializer_list<EntityKind> offered) {
    if (!reading.may_call_unknown(name)) return;
    Suggestion nearest(name);
    for (const Entity& entity : scope.entities)
        if (std::find(offered.begin(), offered.end(), entity.kind) != offered.end())
            nearest.offer(entity.name);
    Diagnostic& mistake = reading.say(
        "unknown-name", where, "there is no " + std::string(what) + " named '" + std::string(name) + "'");
    if (nearest.best().empty()) return;
    const Entity* found = scope.find(nearest.best());
    mistake.help =
        "there is a " + std::string(word_of(scope, *found)) + " named '" + std::string(nearest.best()) + "'";
}

}  // namespace loomward
