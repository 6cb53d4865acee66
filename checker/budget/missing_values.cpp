#include "checker/budget/missing_values.hpp"

#include <algorithm>

#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string thing(const Harness& harness, PartId part) {
    return std::string(info(harness.part(part).kind).word) + " " + std::string(harness.part(part).name);
}

// Notes down attributes that are said to be unknown.
class Missing {
  public:
    Missing(const Facts& facts, PartId part) : facts_(facts), part_(part) {}
    // Said to be unknown.
    Missing& unknown(Attr name) {
        if (facts_.is_unknown(part_, name)) add(name);
        return *this;
    }
    // Said to be unknown, or simply not there.
    Missing& absent(Attr name, std::size_t place = 0) {
        if (!facts_.quantity(part_, name, place)) add(name);
        return *this;
    }
    Missing& say(const std::string& what) {
        found_.push_back(what + " " + thing(facts_.harness(), part_));
        return *this;
    }
    std::vector<std::string> take() { return std::move(found_); }

  private:
    void add(Attr name) {
        std::string word(info(name).name);
        if (word.front() == '(') word = word.substr(1, word.size() - 2);
        found_.push_back(word + " of " + thing(facts_.harness(), part_));
    }
    const Facts& facts_;
    PartId part_;
    std::vector<std::string> found_;
};

const Profile* profile_of(const Mode& state, PartId part) {
    const std::int32_t number = state.states[part.index()].profile;
    return number < 0 ? nullptr : &state.profiles[static_cast<std::size_t>(number)];
}

bool any_limit(const Profile& profile) {
    return std::any_of(profile.levels.begin(), profile.levels.end(),
                       [](const Level& level) { return level.limit; });
}
bool any_unknown(const Profile& profile) {
    return std::any_of(profile.levels.begin(), profile.levels.end(),
                       [](const Level& level) { return !level.limit && !level.amount.is_known(); });
}

// What a profile leaves open. `setting`: whether its limit is known.
void of_profile(Missing& missing, const Mode& state, const Profile& profile, Attr setting,
                bool setting_known) {
    if (any_unknown(profile)) missing.say("what mode " + std::string(state.name) + " has of");
    if (any_limit(profile) && !setting_known) missing.say(std::string(info(setting).name) + " of");
}

void of_load(Missing& missing, const Mode& state, const Edge& edge) {
    if (state.states[edge.part.index()].posture == Posture::off) return;
    const Profile* profile = profile_of(state, edge.part);
    if (profile && any_unknown(*profile)) missing.say("what mode " + std::string(state.name) + " has of");
    if (profile && !any_limit(*profile)) return;
    missing.unknown("(power)"_attr).unknown("(current)"_attr).unknown("(resistance)"_attr);
    missing.unknown("(rated-voltage)"_attr);
}

void of_controller(Missing& missing, const Facts& facts, const Mode& state, const Edge& edge) {
    const Profile* profile = profile_of(state, edge.part);
    if (profile && profile->flow == Flow::draws)
        of_profile(missing, state, *profile, "supply-limit"_attr, supply_limit(facts, edge.part).has_value());
    else
        missing.unknown("standby"_attr);
}

void of_inverter(Missing& missing, const Mode& state, const Edge& edge) {
    if (state.states[edge.part.index()].posture == Posture::off) return;
    const Profile* profile = profile_of(state, edge.part);
    if (!profile) {
        missing.unknown("standby"_attr);
    } else if (profile->flow == Flow::draws) {
        if (any_unknown(*profile)) missing.say("what mode " + std::string(state.name) + " has of");
        if (any_limit(*profile)) missing.unknown("(power)"_attr).unknown("efficiency"_attr);
    }
}

void of_source(Missing& missing, const Facts& facts, const Mode& state, const Edge& edge) {
    const Profile* profile = profile_of(state, edge.part);
    if (!profile) return;
    if (edge.role == EdgeRole::regeneration) {
        if (profile->flow != Flow::returns) return;
        of_profile(missing, state, *profile, "regen"_attr, !facts.is_unknown(edge.part, "regen"_attr));
        return;
    }
    if (profile->flow != Flow::delivers) return;
    const Attr output = output_attribute(facts.harness(), edge.part);
    missing.absent(output);
    of_profile(missing, state, *profile, output, facts.quantity(edge.part, output, 1).has_value());
}

}  // namespace

std::vector<std::string> missing_draw(const Circuit& circuit, const Facts& facts, const Mode& state,
                                      const Edge& edge) {
    const Harness& harness = *circuit.harness;
    Missing missing(facts, edge.part);
    const bool off = edge.part && state.states[edge.part.index()].posture == Posture::off;
    switch (edge.role) {
        case EdgeRole::load:
            of_load(missing, state, edge);
            break;
        case EdgeRole::controller:
            if (harness.part(edge.part).kind == Kind::inverter)
                of_inverter(missing, state, edge);
            else
                of_controller(missing, facts, state, edge);
            break;
        case EdgeRole::regeneration:
        case EdgeRole::charger:
            of_source(missing, facts, state, edge);
            break;
        case EdgeRole::converter_input:
            if (!off)
                missing.unknown("efficiency"_attr)
                    .unknown("standby"_attr)
                    .unknown("input"_attr)
                    .unknown("output"_attr);
            break;
        case EdgeRole::coil:
            missing.unknown("coil"_attr);
            break;
        case EdgeRole::trip:
            missing.unknown("standby"_attr);
            break;
        case EdgeRole::resistor:
            missing.unknown("(resistance)"_attr);
            break;
        case EdgeRole::capacitor:
            missing.unknown("bleed"_attr);
            break;
        case EdgeRole::supply_pin:
        case EdgeRole::output_pin:
            if (!pin_current(harness, pin_of(harness, edge)))
                return {"current of pin " +
                        std::string(harness.terminal(pin_of(harness, edge).terminal).path)};
            break;
        default:
            break;
    }
    return missing.take();
}

std::vector<std::string> missing_loss(const Circuit& circuit, const Facts& facts, const Edge& edge) {
    const Harness& harness = *circuit.harness;
    std::vector<std::string> found;
    if (edge.wire) {
        const Wire& wire = harness.wire(edge.wire);
        const std::string of = " of wire " + std::string(wire.name);
        if (!wire.area.is_known()) found.push_back("cross-section" + of);
        if (!wire.length.is_known()) found.push_back("length" + of);
        if (wire.material_known == Knowledge::unknown) found.push_back("material" + of);
        return found;
    }
    if (!edge.part) return found;
    Missing missing(facts, edge.part);
    switch (edge.role) {
        case EdgeRole::contact:
            missing.unknown("contact-resistance"_attr);
            break;
        case EdgeRole::fuse:
        case EdgeRole::breaker:
        case EdgeRole::switching:
        case EdgeRole::trip:
        case EdgeRole::protector:
            missing.unknown("resistance"_attr);
            break;
        case EdgeRole::shunt:
        case EdgeRole::diode:
            missing.unknown("drop"_attr);
            break;
        default:
            break;
    }
    return missing.take();
}

bool standby_left_out(const Harness& harness, const Mode& state, const Edge& edge) {
    const bool own = edge.role == EdgeRole::controller || edge.role == EdgeRole::converter_input ||
                     edge.role == EdgeRole::trip;
    if (!own || harness.find(harness.part(edge.part).attributes, "standby"_attr)) return false;
    if (edge.role == EdgeRole::converter_input)
        return state.states[edge.part.index()].posture != Posture::off;
    const Profile* profile = edge.role == EdgeRole::controller ? profile_of(state, edge.part) : nullptr;
    if (harness.part(edge.part).kind == Kind::inverter)
        return !profile && state.states[edge.part.index()].posture != Posture::off;
    return !profile || profile->flow != Flow::draws;
}

std::optional<Quantity> pack_capacity(const Facts& facts, PartId pack) {
    if (const auto whole = facts.quantity(pack, "capacity"_attr)) return whole;
    const auto cell = facts.quantity(pack, "cell-capacity"_attr);
    const auto parallel = facts.count(pack, "cells"_attr, 1);
    if (!cell || !parallel || *parallel <= 0) return std::nullopt;
    return Quantity{*parallel * cell->lo, *parallel * cell->hi, Dimension::charge, cell->known};
}

}  // namespace loomward
