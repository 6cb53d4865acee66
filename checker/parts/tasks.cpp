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

bool called_stop(const Harness& harness, const Part& part) {
    return harness.value(part.attributes, "stop"_attr).text.empty() && is_stop(harness, part) &&
           says(part, {"stop"});
}

}  // namespace loomward
