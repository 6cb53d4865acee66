#include "checker/failures/struck_modes.hpp"

#include <algorithm>
#include <set>

#include "checker/follow/stops.hpp"
#include "checker/parts/tasks.hpp"

namespace loomward {

using namespace literals;

namespace {

bool is_worked(Kind kind) {
    return kind == Kind::switch_ || kind == Kind::breaker || kind == Kind::connector ||
           kind == Kind::selector;
}

std::string_view rest_of(const Harness& harness, const Part& part) {
    return harness.value(part.attributes, "rest"_attr).text;
}

// Every switch and breaker stands as nobody holds it.
bool is_at_rest(const Harness& harness, const Mode& mode) {
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        if (part.kind != Kind::switch_ && part.kind != Kind::breaker) continue;
        const bool closed = part.kind == Kind::breaker || rest_of(harness, part) == "closed";
        if ((mode.states[i].posture == Posture::closed) != closed) return false;
    }
    return true;
}

// Pressed by who needs it, and not let go of to end the work: a pedal that rests open is let go of all day.
bool is_for_need(const Harness& harness, const Part& part) {
    if (part.kind != Kind::switch_) return true;
    const std::string_view rest = rest_of(harness, part);
    return rest == "closed" || (rest.empty() && called_emergency(part));
}

}  // namespace

std::vector<std::vector<ModeId>> struck_from(const Circuit& circuit, const Follower& follower) {
    const Harness& harness = *circuit.harness;
    std::set<PartId> stops;
    for (const PartId each : stops_of(circuit, follower)) stops.insert(each);
    for (const PartId each : declared_hands(circuit, follower).taken_stops) stops.insert(each);
    std::erase_if(stops, [&](PartId each) { return !is_for_need(harness, harness.part(each)); });
    std::vector<std::vector<ModeId>> found(harness.modes.size());
    if (stops.empty()) return found;
    const auto is_struck = [&](const Mode& mode, const Mode& other) {
        bool any = false;
        for (std::size_t i = 0; i < harness.parts.size(); ++i) {
            if (!is_worked(harness.parts[i].kind)) continue;
            const State &here = mode.states[i], &there = other.states[i];
            if (here.posture == there.posture && here.position == there.position) continue;
            if (!stops.contains(PartId(i)) || hand_stop(circuit, mode, PartId(i)) ||
                !hand_stop(circuit, other, PartId(i)))
                return false;
            any = true;
        }
        return any;
    };
    for (std::size_t m = 0; m < harness.modes.size(); ++m) {
        if (is_at_rest(harness, harness.modes[m])) continue;
        for (std::size_t other = 0; other < harness.modes.size(); ++other)
            if (is_struck(harness.modes[m], harness.modes[other])) found[m].emplace_back(other);
    }
    return found;
}

}  // namespace loomward
