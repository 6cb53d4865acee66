// Which kinds have a state in a mode (docs/language.md, "Modes").
#include <algorithm>
#include <array>

#include "parser/modes/modes.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr auto contact_words = std::to_array<std::string_view>({"closed", "open"});
constexpr auto relay_words = std::to_array<std::string_view>({"energised", "released"});
constexpr auto selector_words = std::to_array<std::string_view>({"at"});
constexpr auto controller_words = std::to_array<std::string_view>({"draws", "returns", "phases"});
constexpr auto charger_words = std::to_array<std::string_view>({"delivers"});
constexpr auto inverter_words = std::to_array<std::string_view>({"on", "off", "draws", "delivers"});
constexpr auto connector_words = std::to_array<std::string_view>({"mated", "unmated"});
constexpr auto load_words = std::to_array<std::string_view>({"on", "off", "draws"});
constexpr auto on_off = std::to_array<std::string_view>({"on", "off"});
constexpr auto all_words =
    std::to_array<std::string_view>({"closed", "open", "energised", "released", "on", "off", "mated",
                                     "unmated", "at", "draws", "returns", "delivers", "phases"});

constexpr StateRules none{};
constexpr StateRules contact{true, Posture::open, Posture::none, contact_words};
constexpr StateRules relay{true, Posture::released, Posture::none, relay_words};
constexpr StateRules selector{true, Posture::at_position, Posture::none, selector_words};
constexpr StateRules controller{true, Posture::off, Posture::none, controller_words};
constexpr StateRules charger{true, Posture::off, Posture::none, charger_words};
constexpr StateRules inverter{true, Posture::off, Posture::none, inverter_words};
constexpr StateRules protection{false, Posture::closed, Posture::closed, contact_words};
constexpr StateRules connector{false, Posture::mated, Posture::mated, connector_words};
constexpr StateRules load{false, Posture::on, Posture::on, load_words};
// With a switch of its own: placed like any other switch.
constexpr StateRules switched_load{true, Posture::off, Posture::none, load_words};
constexpr StateRules converter{false, Posture::on, Posture::on, on_off};
constexpr StateRules pin{true, Posture::off, Posture::none, on_off};
// Nobody has to say how a lid is; then it counts as it is worst.
constexpr StateRules location{false, Posture::none, Posture::none, selector_words};

}  // namespace

const StateRules& state_rules(Kind kind) {
    switch (kind) {
        case Kind::contactor:
        case Kind::switch_:
            return contact;
        case Kind::relay:
            return relay;
        case Kind::selector:
            return selector;
        case Kind::controller:
            return controller;
        case Kind::charger:
            return charger;
        case Kind::inverter:
            return inverter;
        case Kind::fuse:
        case Kind::breaker:
        case Kind::bms:
        case Kind::protector:
            return protection;
        case Kind::connector:
            return connector;
        case Kind::load:
            return load;
        case Kind::converter:
            return converter;
        default:
            return none;
    }
}

const StateRules& state_rules(const Harness& harness, const Part& part) {
    return rests_off(harness, part) ? switched_load : state_rules(part.kind);
}

bool rests_off(const Harness& harness, const Part& part) {
    return part.kind == Kind::load && harness.value(part.attributes, "rest"_attr).text == "off";
}

const StateRules& driver_pin_rules() {
    return pin;
}

const StateRules& location_rules(bool has_states) {
    return has_states ? location : none;
}

Posture rest_posture(const Harness& harness, const Part& part) {
    if (part.kind == Kind::switch_ && harness.value(part.attributes, "rest"_attr).text == "closed")
        return Posture::closed;
    return state_rules(harness, part).rest;
}

std::optional<Posture> posture_of(std::string_view word) {
    if (word == "closed") return Posture::closed;
    if (word == "open") return Posture::open;
    if (word == "energised") return Posture::energised;
    if (word == "released") return Posture::released;
    if (word == "on") return Posture::on;
    if (word == "off") return Posture::off;
    if (word == "mated") return Posture::mated;
    if (word == "unmated") return Posture::unmated;
    return std::nullopt;
}

bool is_state_word(std::string_view word) {
    return std::find(all_words.begin(), all_words.end(), word) != all_words.end();
}

std::span<const std::string_view> state_words() {
    return all_words;
}

}  // namespace loomward
