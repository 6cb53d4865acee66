#include "parser/statements/joined_places.hpp"

#include <vector>

#include "parser/language/route_example.hpp"

namespace loomward {
namespace {

struct Joined {
    std::vector<std::string_view> places;
    bool sign = false;  // something stands between two of them
    bool wire = false;  // a wire does
    std::uint32_t end = 0;
};

// "B1.+->F1.in" is one word.
void split(std::string_view word, Joined& joined) {
    const std::size_t arrow = word.find("->");
    if (arrow == std::string_view::npos || arrow == 0 || arrow + 2 == word.size()) {
        joined.places.push_back(word);
        return;
    }
    joined.sign = true;
    joined.places.push_back(word.substr(0, arrow));
    split(word.substr(arrow + 2), joined);
}

Joined joined_in(const Statement& statement) {
    Joined joined;
    Tokens tokens(statement.file, statement.element);
    while (!tokens.done()) {
        const Token token = tokens.next();
        joined.end = statement.file.node(token.node).end;
        if (token.is(NodeKind::block)) break;
        if (token.is(NodeKind::wire)) joined.wire = true;
        if (!token.is_word()) continue;
        if (joins_places(token.text))
            joined.sign = true;
        else
            split(token.text, joined);
    }
    return joined;
}

}  // namespace

std::set<std::string_view> declared_names(const Statements& statements) {
    std::set<std::string_view> names;
    for (const Statement& part : statements.parts) {
        Tokens tokens(part.file, part.element);
        tokens.next();
        if (tokens.peek().is_word()) names.insert(tokens.peek().text);
    }
    return names;
}

std::string joined_places_help(const Statement& statement, const std::set<std::string_view>& declared) {
    const Joined joined = joined_in(statement);
    if (joined.places.size() < 2) return {};
    // "B1.+", "B1": a place for certain.
    const auto is_place = [&](std::string_view word) {
        return word.find('.') != std::string_view::npos || declared.contains(word);
    };
    if (joined.wire) {
        constexpr std::size_t longest = 60;
        if (!is_place(joined.places[0])) return {};
        const std::uint32_t begin = statement.word.where.begin;
        const std::string_view whole = statement.file.text.substr(begin, joined.end - begin);
        if (whole.size() > longest || whole.find('\n') != std::string_view::npos || joined.sign)
            return "places and wires stand in a route, one after the other: route B1.+ (W1 16 mm2, 0.2 m, "
                   "red) F1.in";
        return "places and wires stand in a route: route " + std::string(whole);
    }
    // "W1 B1.+ F1.in"
    if (joined.places.size() >= 3 && !is_place(joined.places[0]) && is_place(joined.places[1]) &&
        is_place(joined.places[2]))
        return route_help(joined.places[1], joined.places[2], joined.places[0], statement.file.text);
    if (joined.sign || is_place(joined.places[0]))
        return route_help(joined.places[0], joined.places[1], {}, statement.file.text);
    return {};
}

}  // namespace loomward
