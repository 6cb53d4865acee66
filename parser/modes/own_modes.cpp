#include "parser/modes/own_modes.hpp"

#include <algorithm>
#include <iterator>

#include "parser/modes/modes.hpp"

namespace loomward {
namespace {

class OwnModes {
  public:
    OwnModes(Harness& harness, Arena& arena) : harness_(harness), arena_(arena) {}

    void add() {
        const Mode rest = at_rest();
        const Mode on = everything_on(PartId());
        harness_.modes.push_back(rest);
        if (!same_states(rest, on)) harness_.modes.push_back(on);
        const std::vector<PartId> controllers = all_of(Kind::controller);
        if (controllers.size() > 1)
            for (const PartId id : controllers) harness_.modes.push_back(everything_on(id));
        add_between(rest, on);
        if (!all_chargers().empty()) {
            harness_.modes.push_back(charging());
            add_between(rest, harness_.modes.back());
        }
    }

  private:
    static constexpr std::size_t most_between = 48;

    void add_between(const Mode& rest, const Mode& full) {
        std::vector<Mode> made;
        const auto add = [&](const State& state, std::size_t part, std::string_view how,
                             std::string_view position) {
            Mode mode = full;
            mode.name = arena_.join({full.name, how, harness_.parts[part].name, position});
            mode.between = true;
            mode.states[part] = state;
            for (State& each : mode.states) each.stated_by = StatedBy::rest;
            for (State& each : mode.pin_states) each.stated_by = StatedBy::rest;
            made.push_back(std::move(mode));
        };
        for (std::size_t i = 0; i < full.states.size() && made.size() <= most_between; ++i) {
            const Part& part = harness_.parts[i];
            const State &now = full.states[i], &then = rest.states[i];
            if (part.kind == Kind::selector) {
                for (std::uint16_t k = 2; k < part.positions.count && made.size() <= most_between; ++k) {
                    State further = now;
                    further.position = k;
                    add(further, i, ", ",
                        arena_.join({" at ", harness_.positions[part.positions.first + k].name}));
                }
            } else if (now.posture != then.posture &&
                       (part.kind == Kind::switch_ || part.kind == Kind::contactor ||
                        part.kind == Kind::relay)) {
                add(then, i, " but ", {});
            }
        }
        if (made.size() > most_between) return;
        harness_.modes_between.insert(harness_.modes_between.end(), std::make_move_iterator(made.begin()),
                                      std::make_move_iterator(made.end()));
    }

    std::vector<PartId> all_of(Kind kind) const {
        std::vector<PartId> found;
        for (std::size_t i = 0; i < harness_.parts.size(); ++i)
            if (harness_.parts[i].kind == kind) found.emplace_back(i);
        return found;
    }

    // Chargers, and inverters that charge.
    std::vector<PartId> all_chargers() const {
        std::vector<PartId> found = all_of(Kind::charger);
        for (const PartId id : all_of(Kind::inverter))
            if (harness_.find(harness_.part(id).attributes, "charges"_attr)) found.push_back(id);
        return found;
    }

    Mode begin(std::string_view name) const {
        Mode mode;
        mode.name = name;
        mode.where = harness_.where;
        mode.own = true;
        mode.states.resize(harness_.parts.size());
        for (std::size_t i = 0; i < mode.states.size(); ++i) {
            mode.states[i].posture = rest_posture(harness_, harness_.parts[i]);
            mode.states[i].stated_by = StatedBy::rest;
        }
        mode.location_states.resize(harness_.locations.size());
        mode.pin_states.resize(harness_.driver_pins.size());
        for (State& pin : mode.pin_states) pin = {driver_pin_rules().rest, StatedBy::rest, 0, -1, -1, {}};
        return mode;
    }

    Mode at_rest() const { return begin("at rest"); }

    // `alone` is the controller that is at its limit; invalid: every one of them.
    Mode everything_on(PartId alone) const {
        Mode mode =
            begin(alone ? arena_.join({harness_.part(alone).name, " at its limit"}) : "everything on");
        close_all(mode);
        for (const PartId id : all_of(Kind::controller)) {
            if (alone && id != alone) continue;
            State& state = mode.states[id.index()];
            put(state, Posture::on);
            state.profile = at_limit(mode, Flow::draws);
            state.phase_profile = at_limit(mode, Flow::phases);
        }
        for (const PartId id : all_of(Kind::inverter)) {
            put(mode.states[id.index()], Posture::on);
            if (!alone) mode.states[id.index()].profile = at_limit(mode, Flow::draws);
        }
        return mode;
    }

    // What the chargers give goes into the packs, not into what draws meanwhile: so the packs take most.
    Mode charging() const {
        Mode mode = begin("charging");
        close_all(mode);
        for (const PartId id : all_of(Kind::load)) put(mode.states[id.index()], Posture::off);
        for (const PartId id : all_chargers()) {
            State& state = mode.states[id.index()];
            put(state, Posture::on);
            state.profile = at_limit(mode, Flow::delivers);
        }
        return mode;
    }

    static void put(State& state, Posture posture) {
        if (state.posture == posture) return;
        state.posture = posture;
        state.stated_by = StatedBy::line;
    }

    void close_all(Mode& mode) const {
        for (std::size_t i = 0; i < mode.states.size(); ++i) {
            State& state = mode.states[i];
            const Part& part = harness_.parts[i];
            switch (part.kind) {
                case Kind::switch_:
                case Kind::contactor:
                    put(state, Posture::closed);
                    break;
                case Kind::relay:
                    put(state, Posture::energised);
                    break;
                case Kind::selector:
                    if (part.positions.count < 2) break;
                    state.position = 1;
                    state.stated_by = StatedBy::line;
                    break;
                case Kind::load:
                    if (state.posture == Posture::off) put(state, Posture::on);
                    break;
                default:
                    break;
            }
        }
        for (State& pin : mode.pin_states) put(pin, Posture::on);
    }

    std::int32_t at_limit(Mode& mode, Flow flow) const {
        Profile profile;
        profile.flow = flow;
        profile.where = harness_.where;
        Level level;
        level.limit = true;
        level.where = harness_.where;
        profile.levels.push_back(level);
        mode.profiles.push_back(std::move(profile));
        return static_cast<std::int32_t>(mode.profiles.size()) - 1;
    }

    static bool same_states(const Mode& a, const Mode& b) {
        const auto same = [](const State& x, const State& y) {
            return x.posture == y.posture && x.position == y.position && x.profile == y.profile;
        };
        return std::equal(a.states.begin(), a.states.end(), b.states.begin(), b.states.end(), same) &&
               std::equal(a.pin_states.begin(), a.pin_states.end(), b.pin_states.begin(), b.pin_states.end(),
                          same);
    }

    Harness& harness_;
    Arena& arena_;
};

}  // namespace

void add_own_modes(Harness& harness, Arena& arena) {
    if (harness.modes.empty()) OwnModes(harness, arena).add();
}

}  // namespace loomward
