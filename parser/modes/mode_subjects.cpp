// Whom a mode line is about, and putting what it says into their states.
#include <algorithm>
#include <charconv>

#include "parser/modes/mode_line.hpp"
#include "parser/routes/places.hpp"

namespace loomward {
namespace {

constexpr std::uint8_t by_group = 1, by_name = 2, phases_by_group = 4, phases_by_name = 8;

}  // namespace

const StateRules& ModeLines::rules(const Target& target) const {
    return target.pin ? driver_pin_rules() : state_rules(reading_.harness, reading_.root.parts[target.index]);
}

Posture ModeLines::rest_of(const Target& target) const {
    return target.pin ? driver_pin_rules().rest
                      : rest_posture(reading_.harness, reading_.root.parts[target.index]);
}

std::string ModeLines::name_of(const Target& target) const {
    return std::string(target.pin
                           ? reading_.root.terminals[reading_.root.driver_pins[target.index].index()].path
                           : reading_.root.parts[target.index].name);
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
        line.targets.push_back({true, static_cast<std::uint32_t>(pin - root.driver_pins.begin())});
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
        for (std::uint32_t i = 0; i < found.parts; ++i) line.targets.push_back({false, found.index + i});
        add_pins_of(found.index, found.parts, line);
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
        line.targets.push_back({false, found.index});
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
    line.targets.push_back({true, static_cast<std::uint32_t>(pin - root.driver_pins.begin())});
}

bool ModeLines::fits(const Target& target, const Line& line) const {
    const StateRules& r = rules(target);
    // "A1.3..7 open" is about switches: what protects is opened by its own name only.
    if (line.group && r.otherwise == Posture::closed) return false;
    if (line.rest) return r.rest != Posture::none;
    return std::find(r.words.begin(), r.words.end(), line.verb.text) != r.words.end();
}

void ModeLines::say_wrong_verb(const Target& target, const Token& subject, const Line& line) {
    const std::string what(target.pin ? "driver pin" : info(reading_.root.parts[target.index].kind).word);
    const std::string a_what =
        target.pin ? "a driver pin" : std::string(info(reading_.root.parts[target.index].kind).a_word);
    const StateRules& r = rules(target);
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

std::uint16_t ModeLines::find_position(PartId part, const Token& subject, const Line& line) {
    std::uint16_t index = 0;
    std::string list;
    for (const Attribute& attribute :
         reading_.harness.attributes_of(reading_.root.parts[part.index()].attributes)) {
        if (attribute.name != "position"_attr) continue;
        const auto values = reading_.harness.values_of(attribute);
        if (values.empty()) continue;
        if (values[0].text == line.position.text) return index;
        list += (list.empty() ? "" : ", ") + std::string(values[0].text);
        ++index;
    }
    say("unknown-word", line.position.where,
        "selector " + std::string(subject.text) + " has no position '" + std::string(line.position.text) +
            "'")
        .help = "it has " + list;
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
    std::uint8_t& said = said_[target.pin ? mode_.states.size() + target.index : target.index];
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
        s.position = find_position(PartId(std::size_t{target.index}), subject, line);
    } else {
        s.posture = line.posture;
        s.profile = -1;
    }
    s.stated_by = StatedBy::line;
}

}  // namespace loomward
