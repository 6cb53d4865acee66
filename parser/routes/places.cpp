// From the word of a place to terminals, and what is said when it does not fit.
#include "parser/routes/places.hpp"

#include <algorithm>

namespace loomward {
namespace {

constexpr auto stops = {EntityKind::part, EntityKind::mate, EntityKind::assembly};

// "K2.com>no" taken apart.
struct PlaceText {
    std::string_view name;  // "K2"
    std::string_view rest;  // "com"
    std::string_view exit;  // "no"
    bool has_exit = false;
    bool dotted = false;
};

PlaceText take_apart(std::string_view text) {
    PlaceText place;
    const std::size_t arrow = text.find('>');
    place.has_exit = arrow != std::string_view::npos;
    if (place.has_exit) place.exit = text.substr(arrow + 1);
    const std::string_view head = text.substr(0, arrow);
    const std::size_t dot = head.find('.');
    place.name = head.substr(0, dot);
    place.dotted = dot != std::string_view::npos;
    if (place.dotted) place.rest = head.substr(dot + 1);
    return place;
}

class Resolver {
  public:
    Resolver(Reading& reading, const Scope& scope, const Token& word, StopAt where)
        : reading_(reading),
          scope_(scope),
          word_(word),
          middle_(where == StopAt::middle),
          place_(take_apart(word.text)) {}

    Stop resolve() {
        stop_.text = word_.text;
        stop_.where = word_.where;
        const Entity* entity = scope_.find(place_.name);
        if (!entity) {
            say_unknown(reading_, scope_, place_.name, word_.where, "part", stops);
            return stop_;
        }
        if (entity->kind == EntityKind::assembly) return resolve_port(scope_.instances[entity->index]);
        if (entity->kind != EntityKind::part && entity->kind != EntityKind::mate) return say_no_stop(*entity);
        id_ = PartId(entity->index);
        mate_ = entity->kind == EntityKind::mate;
        if (scope_.traits[id_.index()].bad || entity->bad) return stop_;
        if (place_.has_exit) return resolve_way();
        if (!place_.dotted) return resolve_bare();
        return resolve_terminal();
    }

  private:
    const Part& part() const { return scope_.parts[id_.index()]; }
    std::string name() const { return std::string(place_.name); }
    std::string written() const { return std::string(word_.text); }

    Stop at(TerminalId enter, TerminalId leave) {
        stop_.enter = enter;
        stop_.leave = leave;
        stop_.ok = true;
        return stop_;
    }

    Stop say_no_stop(const Entity& entity) {
        reading_
            .say("wrong-kind", word_.where,
                 "'" + name() + "' is a " + std::string(word_of(scope_, entity)) +
                     ", and a route stops at parts")
            .notes.push_back({entity.where, name() + " is described here"});
        return stop_;
    }

    // The part's name alone.
    Stop resolve_bare() {
        const Part& p = part();
        const PartTraits& traits = scope_.traits[id_.index()];
        const TerminalId first(p.terminals.first);
        if (p.terminals.count == 1 && scope_.terminals[p.terminals.first].name.empty())
            return at(first, first);
        if (traits.passes && !mate_) {
            if (middle_) return at(first, TerminalId(p.terminals.first + 1));
            return say_which_end();
        }
        return say_which_terminal();
    }

    Stop say_which_end() {
        Diagnostic& mistake =
            reading_.say("which-end", word_.where, name() + " has two ends, and a route must end at one");
        const auto path = [&](std::uint32_t i) {
            return std::string(scope_.terminals[part().terminals.first + i].path);
        };
        mistake.help = "write " + path(0) + " or " + path(1);
        return stop_;
    }

    Stop say_which_terminal() {
        Diagnostic& mistake =
            reading_.say("which-terminal", word_.where, name() + " has several terminals; say which");
        if (part().terminals.count == 0) {
            mistake.message = name() + " has no terminals";
            return stop_;
        }
        mistake.help = "they are " + terminal_list(scope_, id_, mate_);
        if (const std::string ways = way_list(false); middle_ && !ways.empty())
            mistake.help += "; ways through it: " + ways;
        return stop_;
    }

    std::string way_list(bool backward) const {
        std::string list;
        for (const Way& way : ways_through(reading_, scope_, id_, backward)) {
            if (!list.empty()) list += ", ";
            list += spelt(way);
        }
        return list;
    }

    // "K2.com>no", "K2.2.com>no", or the part's name for the usual way.
    std::string spelt(const Way& way) const {
        if (way.usual) return name();
        const Terminal& from = scope_.terminals[way.from.index()];
        const std::string_view to = scope_.terminals[way.to.index()].name;
        const std::string_view pole = pole_of(from);
        if (!pole.empty() && from.role == TerminalRole::in) return name() + "." + std::string(pole);
        return std::string(from.path) + ">" + std::string(pole.empty() ? to : to.substr(pole.size() + 1));
    }

    // "1" of "1.in"; a printed mark has no pole.
    static std::string_view pole_of(const Terminal& terminal) {
        const std::size_t dot = terminal.name.find('.');
        return dot == std::string_view::npos ? std::string_view() : terminal.name.substr(0, dot);
    }

    Stop resolve_terminal() {
        const TerminalId terminal = terminal_named(scope_, id_, place_.rest, mate_);
        if (!terminal) return resolve_pole();
        if (!middle_) return at(terminal, terminal);
        const Part& p = part();
        if (p.kind == Kind::connector) {
            const std::uint32_t half = p.terminals.count / 2;
            const std::size_t other = mate_ ? terminal.index() - half : terminal.index() + half;
            return at(terminal, TerminalId(other));
        }
        if (terminal.index() - p.terminals.first < scope_.traits[id_.index()].contact_terminals)
            return say_lands_midway();
        return at(terminal, terminal);
    }

    // "S1.2": pole 2 of a part with several.
    Stop resolve_pole() {
        TerminalId in, out;
        for (std::uint32_t i = 0; i < scope_.traits[id_.index()].contact_terminals; ++i) {
            const std::uint32_t index = part().terminals.first + i;
            const Terminal& each = scope_.terminals[index];
            if (each.number == 0 || std::to_string(each.number) != place_.rest) continue;
            if (each.role == TerminalRole::in) in = TerminalId(index);
            if (each.role == TerminalRole::out) out = TerminalId(index);
            if (each.role == TerminalRole::com) return say_which_terminal();
        }
        if (!in || !out) return say_no_terminal(place_.rest);
        if (middle_) return at(in, out);
        reading_.say("which-end", word_.where, written() + " has two ends, and a route must end at one")
            .help = "write " + std::string(scope_.terminals[in.index()].path) + " or " +
                    std::string(scope_.terminals[out.index()].path);
        return stop_;
    }

    Stop say_no_terminal(std::string_view missing) {
        Diagnostic& mistake = reading_.say("no-terminal", word_.where,
                                           std::string(info(part().kind).word) + " " + name() +
                                               " has no terminal '" + std::string(missing) + "'");
        mistake.notes.push_back({part().where, std::string(part().name) + " is described here"});
        if (part().terminals.count > 0) mistake.help = "it has " + terminal_list(scope_, id_, mate_);
        const bool turns = part().kind == Kind::controller || part().kind == Kind::motor;
        if (turns && is_motor_lead_word(missing))
            mistake.help += std::string("; ") + (part().kind == Kind::motor ? "leads" : "phases") +
                            " 2 makes M+ and M-, 3 makes U, V and W";
        return stop_;
    }

    Stop say_lands_midway() {
        reading_
            .say("lands-midway", word_.where,
                 "in the middle of a route " + written() + " would be a landing, not a way through " + name())
            .help = "to pass through it write " + usual_way() + "; to land on it end the route at " +
                    written() + " and begin another there";
        return stop_;
    }
    std::string usual_way() const {
        const std::vector<Way> ways = ways_through(reading_, scope_, id_, false);
        return ways.empty() ? name() : spelt(ways.front());
    }

    Stop resolve_way() {
        if (!middle_) {
            reading_
                .say("which-end", word_.where,
                     written() + " is a way through, and a route must end at one terminal")
                .help = "write " + std::string(word_.text.substr(0, word_.text.find('>')));
            return stop_;
        }
        const TerminalId from = terminal_named(scope_, id_, place_.rest, mate_);
        if (!from) return say_no_terminal(place_.rest);
        const std::string_view pole = pole_of(scope_.terminals[from.index()]);
        TerminalId to = terminal_named(scope_, id_, place_.exit, mate_);
        if (!pole.empty() && place_.exit.find('.') == std::string_view::npos)
            to = terminal_named(scope_, id_, std::string(pole) + "." + std::string(place_.exit), mate_);
        if (!to) return say_no_terminal(place_.exit);
        for (const Way& way : ways_through(reading_, scope_, id_, true)) {
            // The usual way too, which needs no more than the name.
            if (way.from == from && way.to == to) return at(from, to);
        }
        Diagnostic& mistake = reading_.say("no-way", word_.where,
                                           "nothing in " + name() + " leads from " +
                                               std::string(place_.rest) + " to " + std::string(place_.exit));
        if (const std::string ways = way_list(true); !ways.empty()) mistake.help = "ways through it: " + ways;
        return stop_;
    }

    Stop resolve_port(const Instance& instance) {
        if (instance.bad || !instance.body) return stop_;
        const std::string ports = port_list(scope_, instance);
        if (!place_.dotted) {
            reading_.say("which-terminal", word_.where, name() + " has several terminals; say which").help =
                "they are " + ports;
            return stop_;
        }
        if (const TerminalId port = port_named(scope_, instance, place_.rest); port && !place_.has_exit)
            return at(port, port);
        return say_no_port(instance, ports);
    }

    Stop say_no_port(const Instance& instance, const std::string& ports) {
        std::string_view inner = place_.rest;
        const std::size_t dot = inner.find('.');
        std::string_view first = inner.substr(0, dot);
        if (instance.repeated && dot != std::string_view::npos) {  // "17.H1.+": past the number
            inner = inner.substr(dot + 1);
            first = inner.substr(0, inner.find('.'));
        }
        const Entity* inside = instance.body->find(first);
        if (inside && inside->kind == EntityKind::part &&
            instance.body->parts[inside->index].kind == Kind::port) {
            reading_
                .say("no-terminal", word_.where,
                     "each copy of " + name() + " has a port '" + std::string(first) + "'; say which copy")
                .help = "write " + name() + ".1." + std::string(first);
            return stop_;
        }
        if (inside && inside->kind != EntityKind::bundle) {
            Diagnostic& mistake = reading_.say(
                "inside", word_.where,
                std::string(first) + " lies inside " + name() + " and is not reached from outside");
            mistake.notes.push_back({inside->where, std::string(first) + " is described here"});
            std::string names;
            for (const std::uint32_t port : instance.body->ports)
                names += (names.empty() ? "" : ", ") + std::string(instance.body->parts[port].name);
            mistake.help = "its ports are " + names;
            return stop_;
        }
        Diagnostic& mistake =
            reading_.say("no-terminal", word_.where,
                         "assembly " + name() + " has no terminal '" + std::string(place_.rest) + "'");
        mistake.notes.push_back({instance.where, name() + " is described here"});
        mistake.help = "it has " + ports;
        return stop_;
    }

    Reading& reading_;
    const Scope& scope_;
    const Token& word_;
    bool middle_;
    PlaceText place_;
    PartId id_;
    bool mate_ = false;
    Stop stop_;
};

}  // namespace

Stop resolve_stop(Reading& reading, const Scope& scope, const Token& word, StopAt where) {
    return Resolver(reading, scope, word, where).resolve();
}

}  // namespace loomward
