// Whom a mode line is about, and putting what it says into their states.
#include <algorithm>
#include <charconv>

#include "parser/modes/mode_line.hpp"
#include "parser/routes/places.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::uint8_t by_group = 1, by_name = 2, phases_by_group = 4, phases_by_name = 8;

std::string listed(const std::vector<std::string_view>& names) {
    std::string list;
    for (const std::string_view name : names) list += (list.empty() ? "" : ", ") + std::string(name);
    return list;
}

}  // namespace

const StateRules& ModeLines::rules(const Target& target) const {
    if (target.whose == Whose::pin) return driver_pin_rules();
    if (target.is_part()) return state_rules(reading_.harness, reading_.root.parts[target.index]);
    return location_rules(
        reading_.harness.find(reading_.root.locations[target.index].attributes, "state"_attr) != nullptr);
}

Posture ModeLines::rest_of(const Target& target) const {
    return target.is_part() ? rest_posture(reading_.harness, reading_.root.parts[target.index])
                            : rules(target).rest;
}

std::string ModeLines::name_of(const Target& target) const {
    const Scope& root = reading_.root;
    return std::string(target.whose == Whose::pin
                           ? root.terminals[root.driver_pins[target.index].index()].path
                       : target.is_part() ? root.parts[target.index].name
                                          : root.locations[target.index].name);
}

std::string ModeLines::a_kind_of(const Target& target) const {
    if (target.whose == Whose::pin) return "a driver pin";
    return std::string(
        info(target.is_part() ? reading_.root.parts[target.index].kind : Kind::location).a_word);
}

std::size_t ModeLines::place_of(const Target& target) const {
    const std::size_t before = target.is_part() ? 0 : mode_.states.size();
    return before + (target.whose == Whose::location ? mode_.pin_states.size() : 0) + target.index;
}

State& ModeLines::state(const Target& target) {
    if (target.is_part()) return mode_.states[target.index];
    return target.whose == Whose::pin ? mode_.pin_states[target.index] : mode_.location_states[target.index];
}

void ModeLines::find_targets(const Token& subject, Line& line) {
    if (!subject.is_word()) {
        say("left-over", subject.where, "'" + std::string(subject.text) + "' is no part").help =
            "a mode line is parts, then what they do: K1 S1 closed";
        return;
    }
    if (subject.text.find("..") != std::string_view::npos) return find_copies(subject, line);
    add_located(subject, locate(reading_.root, subject.text), line);
}

// "A1.151..300", "A1.151..300.H1"
void ModeLines::find_copies(const Token& subject, Line& line) {
    line.group = true;
    const std::string_view text = subject.text;
    const std::size_t dots = text.find("..");
    const std::size_t before = text.substr(0, dots).rfind('.');
    const std::size_t after = text.find('.', dots + 2);
    const auto number = [](std::string_view digits) {
        std::uint32_t value = 0;
        const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
        return error == std::errc() && end == digits.data() + digits.size() ? value : 0U;
    };
    const std::uint32_t first =
        before == std::string_view::npos ? 0 : number(text.substr(before + 1, dots - before - 1));
    const std::uint32_t last =
        number(text.substr(dots + 2, after == std::string_view::npos ? after : after - dots - 2));
    if (first == 0 || last == 0 || last < first) {
        say("malformed-name", subject.where, "'" + std::string(text) + "' is no range of copies").help =
            "copies are counted from 1, the smaller number first: A1.3..7";
        return;
    }
    for (std::uint32_t copy = first; copy <= last; ++copy) {
        std::string path(text.substr(0, before + 1));
        path += std::to_string(copy);
        if (after != std::string_view::npos) path += text.substr(after);
        const Located found = locate(reading_.root, path);
        if (!found.entity) {
            const Token kept{subject.kind, subject.node, reading_.arena.keep(path), subject.where};
            return add_located(kept, locate(reading_.root, kept.text), line);
        }
        add_located(subject, found, line);
    }
}

// The driver pins of parts that follow each other: their terminals do too, and pins are in that order.
void ModeLines::add_pins_of(std::uint32_t first, std::uint32_t parts, Line& line) const {
    if (parts == 0) return;
    const Scope& root = reading_.root;
    const Slice last = root.parts[first + parts - 1].terminals;
    const auto begin = std::lower_bound(root.driver_pins.begin(), root.driver_pins.end(),
                                        TerminalId(std::size_t{root.parts[first].terminals.first}));
    for (auto pin = begin; pin != root.driver_pins.end() && pin->index() < last.first + last.count; ++pin)
        line.targets.push_back({Whose::pin, static_cast<std::uint32_t>(pin - root.driver_pins.begin())});
}

void ModeLines::add_located(const Token& subject, const Located& found, Line& line) {
    if (!found.entity) {
        bad_ = true;
        if (found.copy_missing) {
            reading_
                .say("no-terminal", subject.where,
                     std::string(subject.text) + ": there is no copy '" + std::string(found.missing) + "'")
                .help = "its copies are numbered from 1 to " + std::to_string(found.copies);
            return;
        }
        say_unknown(reading_, *found.within, found.missing, subject.where, "part",
                    {EntityKind::part, EntityKind::mate, EntityKind::assembly});
        return;
    }
    if (found.kind == EntityKind::assembly) {
        line.group = true;
        for (std::uint32_t i = 0; i < found.parts; ++i)
            line.targets.push_back({Whose::part, found.index + i});
        add_pins_of(found.index, found.parts, line);
        return;
    }
    if (found.kind == EntityKind::location && found.rest.empty()) {
        if (found.entity->bad)
            bad_ = true;
        else
            line.targets.push_back({Whose::location, found.index});
        return;
    }
    if (found.kind != EntityKind::part && found.kind != EntityKind::mate) {
        say("wrong-kind", subject.where,
            "'" + std::string(subject.text) + "' is a " + std::string(word_of(*found.within, *found.entity)) +
                " and has no state")
            .notes.push_back({found.entity->where, std::string(found.entity->name) + " is described here"});
        return;
    }
    if (reading_.root.traits[found.index].bad) {
        bad_ = true;
        return;
    }
    if (found.rest.empty())
        line.targets.push_back({Whose::part, found.index});
    else
        find_pin(subject, found, line);
}

void ModeLines::find_pin(const Token& subject, const Located& found, Line& line) {
    const Scope& root = reading_.root;
    const PartId part(std::size_t{found.index});
    const TerminalId terminal = terminal_named(root, part, found.rest, found.kind == EntityKind::mate);
    const std::string name(found.entity->name);
    if (!terminal) {
        Diagnostic& mistake = say("no-terminal", subject.where,
                                  std::string(info(root.parts[found.index].kind).word) + " " + name +
                                      " has no terminal '" + std::string(found.rest) + "'");
        mistake.notes.push_back({found.entity->where, name + " is described here"});
        mistake.help = "it has " + terminal_list(root, part, found.kind == EntityKind::mate);
        return;
    }
    const auto pin = std::lower_bound(root.driver_pins.begin(), root.driver_pins.end(), terminal);
    if (pin == root.driver_pins.end() || *pin != terminal) {
        say("wrong-verb", subject.where, std::string(subject.text) + " has no state of its own").help =
            "driver pins (low-side, high-side) have one: on or off";
        return;
    }
    line.targets.push_back({Whose::pin, static_cast<std::uint32_t>(pin - root.driver_pins.begin())});
}

bool ModeLines::fits(const Target& target, const Line& line) const {
    const StateRules& r = rules(target);
    // "A1.3..7 open" is about switches: what protects is opened by its own name only.
    if (line.group && r.otherwise == Posture::closed) return false;
    if (line.rest) return r.rest != Posture::none;
    return std::find(r.words.begin(), r.words.end(), line.verb.text) != r.words.end();
}

// A place that says no states, or is told something else than one of them.
void ModeLines::say_wrong_state(const Target& target, const Token& subject, const Line& line) {
    const std::vector<std::string_view> names = choices_of(target);
    if (names.empty()) {
        say("wrong-verb", line.verb.where, "location " + name_of(target) + " has no states").help =
            "say them where it is described: state open 20 cm2 0.2 m, state shut";
        return;
    }
    const bool meant = std::find(names.begin(), names.end(), line.verb.text) != names.end();
    Diagnostic& mistake =
        say("wrong-verb", line.verb.where,
            "a location cannot be " + (line.rest ? "at rest" : "'" + std::string(line.verb.text) + "'"));
    if (meant) mistake.beside = "write at " + std::string(line.verb.text);
    mistake.help = std::string(subject.text) + " can be at " + listed(names);
}

void ModeLines::say_wrong_verb(const Target& target, const Token& subject, const Line& line) {
    const std::string a_what = a_kind_of(target);
    const StateRules& r = rules(target);
    if (target.whose == Whose::location) return say_wrong_state(target, subject, line);
    if (r.words.empty()) {
        say("wrong-verb", line.verb.where, a_what + " has no state").help =
            "leave " + std::string(subject.text) + " out of the line";
        return;
    }
    Diagnostic& mistake =
        say("wrong-verb", line.verb.where, a_what + " cannot be '" + std::string(line.verb.text) + "'");
    mistake.help = std::string(subject.text) + " can be given: ";
    for (const std::string_view word : r.words)
        mistake.help += std::string(word) + (word == "at" ? " (a position), " : ", ");
    mistake.help += "at rest";
}

std::vector<std::string_view> ModeLines::choices_of(const Target& target) const {
    const Scope& root = reading_.root;
    const bool part = target.is_part();
    const Slice said = part ? root.parts[target.index].attributes : root.locations[target.index].attributes;
    std::vector<std::string_view> names;
    for (const Attribute& attribute : reading_.harness.attributes_of(said)) {
        if (attribute.name != (part ? "position"_attr : "state"_attr)) continue;
        const auto values = reading_.harness.values_of(attribute);
        if (!values.empty()) names.push_back(values[0].text);
    }
    return names;
}

std::uint16_t ModeLines::find_position(const Target& target, const Token& subject, const Line& line) {
    const std::vector<std::string_view> names = choices_of(target);
    const auto found = std::find(names.begin(), names.end(), line.position.text);
    if (found != names.end()) return static_cast<std::uint16_t>(found - names.begin());
    const bool part = target.is_part();
    say("unknown-word", line.position.where,
        (part ? "selector " : "location ") + std::string(subject.text) + " has no " +
            (part ? "position" : "state") + " '" + std::string(line.position.text) + "'")
        .help = "it has " + listed(names);
    return 0;
}

// `limit` stands for a setting of the part's own; only an inverter that has a charger gives.
bool ModeLines::check_limit(const Target& target, const Line& line) {
    const Part& part = reading_.root.parts[target.index];
    if (part.kind == Kind::inverter && line.profile.flow == Flow::delivers &&
        !reading_.harness.find(part.attributes, "charges"_attr)) {
        say("wrong-verb", line.verb.where, "inverter " + std::string(part.name) + " does not charge").help =
            "say what its charger gives where it is described: charges 28.4 V 40 A";
        return false;
    }
    if (part.kind != Kind::load) return true;
    for (const Level& level : line.profile.levels) {
        if (!level.limit) continue;
        say("wrong-verb", level.where, "a load has no limit of its own").help =
            "say what it draws, in A or in W";
        return false;
    }
    return true;
}

void ModeLines::apply(const Target& target, bool group, const Token& subject, const Line& line) {
    const bool phases = line.profile.flow == Flow::phases && !line.profile.levels.empty();
    std::uint8_t& said = said_[place_of(target)];
    const std::uint8_t named = phases ? phases_by_name : by_name;
    const std::uint8_t grouped = phases ? phases_by_group : by_group;
    State& s = state(target);
    if (group && (said & named)) return;  // what is said of the part by its own name stands
    if (said & (group ? grouped : named)) {
        say("twice", subject.where,
            "mode " + std::string(mode_.name) + " says twice what " + name_of(target) + " does")
            .notes.push_back({s.where, "the first is here"});
        return;
    }
    said = static_cast<std::uint8_t>(said | (group ? grouped : named));
    s.where = line.where;
    if (line.rest) {
        s = {rest_of(target), StatedBy::line, 0, -1, -1, line.where};
        return;
    }
    if (!line.profile.levels.empty()) {
        if (!check_limit(target, line)) return;
        Line& once = const_cast<Line&>(line);
        if (once.profile_index < 0) {
            once.profile_index = static_cast<std::int32_t>(mode_.profiles.size());
            mode_.profiles.push_back(line.profile);
        }
        if (phases) {
            s.phase_profile = line.profile_index;
            return;
        }
        s.posture = Posture::on;
        s.profile = line.profile_index;
    } else if (line.verb.text == "at") {
        s.posture = Posture::at_position;
        s.position = find_position(target, subject, line);
    } else {
        s.posture = line.posture;
        s.profile = -1;
    }
    s.stated_by = StatedBy::line;
}

}  // namespace loomward
