#include "checker/parts/tasks.hpp"

#include <algorithm>
#include <cctype>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "checker/parts/stops.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string lower(std::string_view text) {
    std::string made(text);
    for (char& each : made) each = static_cast<char>(std::tolower(static_cast<unsigned char>(each)));
    return made;
}

bool says(const Part& part, std::initializer_list<std::string_view> words) {
    const std::string text = lower(part.name) + " " + lower(part.label);
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return text.find(word) != std::string::npos; });
}

// The same as a word of its own: a fan, and no fanfare.
bool says_word(const Part& part, std::initializer_list<std::string_view> words) {
    std::string text = lower(part.name) + " " + lower(part.label) + " ";
    for (char& each : text)
        if (!std::isalpha(static_cast<unsigned char>(each))) each = ' ';
    return std::any_of(words.begin(), words.end(), [&](std::string_view word) {
        return (" " + text).find(" " + std::string(word) + " ") != std::string::npos;
    });
}

using Words = std::initializer_list<std::string_view>;

// Adds the words up to the first comma, bracket or "with", "of", "for", "on", "at".
void add_words(std::string_view text, std::vector<std::string>& words) {
    const std::size_t before = words.size();
    std::string word;
    for (const char each : lower(text) + ".") {
        if (std::isalpha(static_cast<unsigned char>(each))) {
            word += each;
            continue;
        }
        if (word == "with" || word == "of" || word == "for" || word == "on" || word == "at") return;
        if (!word.empty()) words.push_back(std::move(word));
        word.clear();
        const bool ends = each == ',' || each == '(' || each == ';' || each == ':';
        if (ends && words.size() > before) return;
    }
}
// The words of what it is, by its name and then its label: "winch, light duty" is a winch, "lamp of the
// winch" a lamp.
std::vector<std::string> what_it_is(const Part& part) {
    std::vector<std::string> words;
    add_words(part.name, words);
    add_words(part.label, words);
    return words;
}
// The place of the last of them, counted from 1; 0: none is there.
std::size_t last_of(const std::vector<std::string>& words, Words wanted) {
    for (std::size_t i = words.size(); i > 0; --i)
        if (std::find(wanted.begin(), wanted.end(), words[i - 1]) != wanted.end()) return i;
    return 0;
}

std::size_t last_hurting(const std::vector<std::string>& words) {
    return last_of(words,
                   {"hoist",   "winch",      "windlass", "lift",     "hydraulic", "hydraulics", "blade",
                    "blades",  "cutter",     "saw",      "conveyor", "auger",     "spindle",    "tipper",
                    "crusher", "tiller",     "capstan",  "slew",     "slewing",   "traverse",   "traction",
                    "travel",  "propulsion", "thruster", "gantry",   "turntable"});
}

// Called a motor, and nothing says of what that hurts nobody.
std::size_t last_motor(const std::vector<std::string>& words) {
    const bool harmless =
        last_of(words, {"fan",    "fans",   "ventilator", "blower", "pump",    "pumps", "wiper",  "wipers",
                        "washer", "window", "mirror",     "valve",  "damper",  "lock",  "blind",  "blinds",
                        "seat",   "clock",  "stirrer",    "toy",    "display", "meter", "starter"}) > 0;
    return harmless ? 0 : last_of(words, {"motor", "motors"});
}

// A motor by the word for what it moves; a word after it says what it really is: a winch lamp, and a light
// winch.
bool moves_what_hurts(const Part& part) {
    const std::vector<std::string> words = what_it_is(part);
    const std::size_t hurts = std::max(last_hurting(words), last_motor(words));
    return part.kind == Kind::load && hurts > 0 &&
           last_of(words, {"lamp",     "lamps",       "light",   "lights", "valve",   "sensor",
                           "horn",     "buzzer",      "beacon",  "heater", "display", "meter",
                           "gauge",    "thermometer", "counter", "brake",  "remote",  "radio",
                           "receiver", "indicator",   "bell",    "siren",  "switch",  "relay"}) < hurts;
}

std::string_view task_of(const Harness& harness, const Part& part) {
    return harness.value(part.attributes, "task"_attr).text;
}

}  // namespace

bool holds_unfed(const Harness& harness, const Part& part) {
    if (const std::string_view task = task_of(harness, part); !task.empty()) return task == "holds";
    if (part.kind != Kind::load || !says(part, {"brake"}) || says(part, {"brakelight", "brakelamp"}))
        return false;
    const std::vector<std::string> words = what_it_is(part);
    return last_of(words, {"lamp", "lamps", "light", "lights"}) <= last_of(words, {"brake", "brakes"});
}

bool warns_others(const Harness& harness, const Part& part) {
    if (const std::string_view task = task_of(harness, part); !task.empty())
        return task != "holds" && task != "drives";
    return part.kind == Kind::load &&
           says(part, {"lamp", "light", "beacon", "horn", "brake", "steer", "siren"});
}

bool drops_out(const Harness& harness, const Part& part) {
    if (const std::string_view task = task_of(harness, part); !task.empty())
        return task == "holds" || task == "brakes" || task == "steers";
    return holds_unfed(harness, part) || (part.kind == Kind::load && says(part, {"steer"}));
}

bool called_stop(const Harness& harness, const Part& part) {
    if (!harness.value(part.attributes, "stop"_attr).text.empty()) return false;
    const bool other_kind =
        part.kind == Kind::breaker || part.kind == Kind::selector || part.kind == Kind::connector;
    if (part.kind != Kind::switch_ && !other_kind) return is_stop(harness, part) && says(part, {"stop"});
    // A contact for the stop lamp, or at the end of a way, stops something else or nothing.
    if (last_of(what_it_is(part), {"lamp", "lamps", "light", "lights", "signal", "end", "limit", "endstop"}) >
        0)
        return false;
    if (other_kind) return says(part, {"emergency stop", "emergency off", "e-stop", "estop"});
    if (!harness.find(part.attributes, "rest"_attr) && says_word(part, {"emergency", "estop"})) return true;
    return is_stop(harness, part) &&
           says(part, {"stop", "emergency", "kill", "mushroom", "panic", "dead man", "deadman", "halt"});
}

bool called_emergency(const Part& part) {
    return says(part, {"emergency", "e-stop", "estop", "kill", "mushroom", "panic"});
}

bool moves_air_or_water(const Harness& harness, const Part& part) {
    if (part.kind != Kind::load || !task_of(harness, part).empty()) return false;
    const std::vector<std::string> words = what_it_is(part);
    const std::size_t moves = last_of(words, {"fan", "fans", "ventilator", "ventilators", "blower", "blowers",
                                              "bilge", "coolant", "circulation", "circulator"});
    const std::size_t pumps = last_of(words, {"pump", "pumps"});
    const bool water =
        says_word(part, {"water", "cooling", "washer", "wash", "spray", "sprayer", "shower", "irrigation"});
    return std::max(moves, water ? pumps : 0) > last_hurting(words);
}

bool is_driving_load(const Facts& facts, PartId part) {
    const Harness& harness = facts.harness();
    // A winch that stalls is no lamp, whatever its task says.
    if (const std::string_view task = task_of(harness, harness.part(part)); !task.empty())
        return task == "drives" ||
               ((task == "lights" || task == "warns") && moves_what_hurts(harness.part(part)) &&
                facts.quantity(part, "stall"_attr).has_value());
    if (moves_air_or_water(harness, harness.part(part))) return false;
    if (facts.quantity(part, "stall"_attr)) return true;
    // What a valve, a lamp or a sensor takes moves nothing that hurts.
    constexpr double least_W = 20, least_A = 1;
    const auto watts = facts.quantity(part, "(power)"_attr), amps = facts.quantity(part, "(current)"_attr);
    if ((watts && watts->hi < least_W) || (amps && amps->hi < least_A)) return false;
    return moves_what_hurts(harness.part(part));
}

}  // namespace loomward
