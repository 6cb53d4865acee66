#include "checker/parts/tasks.hpp"

#include <algorithm>
#include <cctype>
#include <initializer_list>
#include <string>
#include <string_view>

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

// A motor by the word for what it moves.
bool moves_what_hurts(const Part& part) {
    return part.kind == Kind::load &&
           says_word(part,
                     {"hoist", "winch", "windlass", "lift", "hydraulic", "hydraulics", "blade", "blades",
                      "cutter", "saw", "conveyor", "auger", "spindle", "tipper", "crusher", "tiller"}) &&
           !says_word(part, {"lamp",   "lamps",  "light",    "lights",    "valve", "sensor",  "horn",
                             "buzzer", "beacon", "heater",   "display",   "meter", "counter", "brake",
                             "remote", "radio",  "receiver", "indicator", "bell",  "siren"});
}

std::string_view task_of(const Harness& harness, const Part& part) {
    return harness.value(part.attributes, "task"_attr).text;
}

}  // namespace

bool holds_unfed(const Harness& harness, const Part& part) {
    if (const std::string_view task = task_of(harness, part); !task.empty()) return task == "holds";
    return part.kind == Kind::load && says(part, {"brake"}) && !says(part, {"lamp", "light"});
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
    return harness.value(part.attributes, "stop"_attr).text.empty() && is_stop(harness, part) &&
           says(part, {"stop"});
}

bool called_emergency(const Part& part) {
    return says(part, {"emergency", "e-stop", "estop", "kill"});
}

bool moves_air_or_water(const Harness& harness, const Part& part) {
    if (part.kind != Kind::load || !task_of(harness, part).empty()) return false;
    return says_word(part, {"fan", "fans", "ventilator", "ventilators", "blower", "blowers", "bilge",
                            "coolant", "circulation", "circulator"}) ||
           (says_word(part, {"pump", "pumps"}) &&
            says_word(part,
                      {"water", "cooling", "washer", "wash", "spray", "sprayer", "shower", "irrigation"}));
}

bool is_driving_load(const Facts& facts, PartId part) {
    const Harness& harness = facts.harness();
    if (const std::string_view task = task_of(harness, harness.part(part)); !task.empty())
        return task == "drives";
    if (moves_air_or_water(harness, harness.part(part))) return false;
    return facts.quantity(part, "stall"_attr).has_value() || moves_what_hurts(harness.part(part));
}

}  // namespace loomward
