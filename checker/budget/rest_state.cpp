#include "checker/budget/rest_state.hpp"

#include "checker/circuit/latching.hpp"
#include "parser/modes/rest.hpp"

namespace loomward {

namespace {

// May be either way with everything at rest.
bool either_way(const Harness& harness, PartId part) {
    const Kind kind = harness.part(part).kind;
    return kind == Kind::connector || (kind == Kind::load && !rests_off(harness, harness.part(part))) ||
           kind == Kind::converter || kind == Kind::inverter || is_latching(harness, part);
}

bool at_rest(const Harness& harness, const Mode& mode) {
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        const State& state = mode.states[i];
        if (state.profile >= 0) return false;
        if (either_way(harness, PartId(i))) continue;
        const Posture rest = rest_posture(harness, part);
        if (rest == Posture::none) continue;
        // A controller or charger without a profile is at rest, whatever its posture is called.
        const bool driven = part.kind == Kind::controller || part.kind == Kind::charger;
        if (!driven && state.posture != rest) return false;
        if (part.kind == Kind::selector && state.position != 0) return false;
    }
    for (const State& pin : mode.pin_states)
        if (pin.posture == Posture::on) return false;
    return true;
}

}  // namespace

Mode rest_state(const Harness& harness) {
    Mode mode;
    mode.states.resize(harness.parts.size());
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        mode.states[i].posture = rest_posture(harness, harness.parts[i]);
    mode.pin_states.resize(harness.driver_pins.size());
    for (State& pin : mode.pin_states) pin.posture = Posture::off;
    return mode;
}

std::vector<ModeId> modes_at_rest(const Harness& harness) {
    std::vector<ModeId> found;
    for (std::size_t i = 0; i < harness.modes.size(); ++i)
        if (at_rest(harness, harness.modes[i])) found.emplace_back(i);
    return found;
}

}  // namespace loomward
