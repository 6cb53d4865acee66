#include "checker/heat/box_way.hpp"

#include <algorithm>

#include "checker/parts/printed_figures.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double m2_per_cm2 = 1e-4;

bool stated_and_known(const Value& value) {
    return value.present() && value.known != Knowledge::unknown;
}

std::string lengths(const Enclosure& box) {
    const auto text = [](double value) { return to_text(value, Dimension::length); };
    return text(box.width_m) + " x " + text(box.depth_m) + " x " + text(box.height_m);
}

HeatWay through(double resistance_K_W) {
    HeatWay way;
    way.path = HeatPath::stated;
    way.resistance_K_W = resistance_K_W;
    way.lines = {"its heat leaves through " + to_text(resistance_K_W, Dimension::thermal_resistance) +
                 ", as stated"};
    return way;
}

}  // namespace

std::optional<double> HeatWay::inside_with(double losses_W, double around_degC) const {
    if (path == HeatPath::estimated) return inside_degC(box, losses_W, around_degC);
    const double degC = around_degC + losses_W * resistance_K_W;
    return degC <= hottest_inside_degC ? std::optional(degC) : std::nullopt;
}

double HeatWay::leaves_W(double inside_degC, double around_degC) const {
    if (inside_degC <= around_degC) return 0;
    if (path == HeatPath::estimated)
        return through_wall_W(box, inside_degC, around_degC) + through_vents_W(box, inside_degC, around_degC);
    return (inside_degC - around_degC) / resistance_K_W;
}

std::string_view HeatWay::source() const {
    return path == HeatPath::estimated ? "Churchill and Chu (1975) on the effective area of VDE 0660 part "
                                         "500 (secondary), radiation; an estimate, good to a quarter"
                                       : "";
}

bool says_how_heat_leaves(const Harness& harness, LocationId location) {
    const Slice said = harness.locations[location.index()].attributes;
    return harness.find(said, "thermal-resistance"_attr) || harness.find(said, "size"_attr) ||
           harness.find(said, "state"_attr);
}

BoxWay::BoxWay(const Facts& facts, LocationId id, ModeId mode)
    : facts_(facts), location_(facts.harness().locations[id.index()]), mode_(mode) {
    const Harness& harness = facts.harness();
    if (is_known("time-constant"_attr)) {
        timed_ = true;
        time_constant_s_ = value("time-constant"_attr).lo;
        time_text_ = to_text(time_constant_s_, Dimension::time);
    }
    State state;
    if (mode && id.index() < harness.modes[mode.index()].location_states.size())
        state = harness.modes[mode.index()].location_states[id.index()];
    said_ = state.posture == Posture::at_position;
    std::size_t number = 0;
    for (const Attribute& attribute : harness.attributes_of(location_.attributes)) {
        if (attribute.name != "state"_attr) continue;
        if (!said_ || state.position == number) ways_.push_back(way_in(attribute));
        ++number;
    }
    if (ways_.empty()) ways_.push_back(own_way());
}

Value BoxWay::value(Attr name, std::size_t place) const {
    return facts_.harness().value(location_.attributes, name, place);
}

bool BoxWay::is_known(Attr name, std::size_t place) const {
    return stated_and_known(value(name, place));
}

HeatWay BoxWay::own_way() const {
    const Value resistance = value("thermal-resistance"_attr);
    if (stated_and_known(resistance)) return through(resistance.hi);
    HeatWay way;
    const bool vents = is_known("vents"_attr, 0) && is_known("vents"_attr, 1);
    if (is_known("size"_attr, 0) && is_known("size"_attr, 1) && is_known("size"_attr, 2))
        take_size(way, vents ? value("vents"_attr).lo : 0, vents ? value("vents"_attr, 1).lo : 0);
    return way;
}

HeatWay BoxWay::way_in(const Attribute& state) const {
    const auto values = facts_.harness().values_of(state);
    const Value &resistance = values[1], &opening = values[2], &apart = values[3];
    HeatWay way;
    const bool sized = is_known("size"_attr, 0) && is_known("size"_attr, 1) && is_known("size"_attr, 2);
    if (resistance.present()) {
        if (resistance.known != Knowledge::unknown) way = through(resistance.hi);
    } else if (!opening.present()) {
        way = own_way();
    } else if (sized && stated_and_known(opening) && stated_and_known(apart)) {
        take_size(way, opening.lo, apart.lo);
    }
    way.state = values[0].text;
    return way;
}

void BoxWay::take_size(HeatWay& way, double vent_cm2, double vent_apart_m) const {
    way.path = HeatPath::estimated;
    Enclosure& box = way.box;
    box.width_m = value("size"_attr, 0).lo;
    box.depth_m = value("size"_attr, 1).lo;
    box.height_m = value("size"_attr, 2).lo;
    box.altitude_m = facts_.altitude_m();
    const std::string_view word = is_known("wall"_attr) ? value("wall"_attr).text : "bare";
    box.emissivity = word == "bare" ? bare_emissivity : painted_emissivity;
    if (word == "plastic") box.wall_m2K_W = plastic_wall_m2K_W;
    std::string vents = "sealed";
    if (vent_cm2 > 0) {
        box.vent_m2 = vent_cm2 * m2_per_cm2;
        box.vent_apart_m = std::min(vent_apart_m, box.height_m);
        vents = "vents of " + to_text(vent_cm2, Dimension::opening) + " " +
                to_text(box.vent_apart_m, Dimension::length) + " apart";
    }
    way.lines = {"its heat leaves by its outside, an estimate: " + lengths(box) + ", " + std::string(word) +
                 ", its back covered, " + vents};
}

bool BoxWay::is_unknown() const {
    return std::any_of(ways_.begin(), ways_.end(),
                       [](const HeatWay& way) { return way.path == HeatPath::unknown; });
}

const HeatWay& BoxWay::worst_with(double losses_W, double around_degC) const {
    const HeatWay* worst = nullptr;
    double hottest_degC = 0;
    for (const HeatWay& way : ways_) {
        if (way.path == HeatPath::unknown) return way;
        const double degC = way.inside_with(losses_W, around_degC).value_or(2 * hottest_inside_degC);
        if (worst && degC <= hottest_degC) continue;
        worst = &way;
        hottest_degC = degC;
    }
    return *worst;
}

double BoxWay::leaves_W(double inside_degC, double around_degC) const {
    double least_W = ways_.front().leaves_W(inside_degC, around_degC);
    for (const HeatWay& way : ways_) least_W = std::min(least_W, way.leaves_W(inside_degC, around_degC));
    return least_W;
}

std::vector<std::string> BoxWay::said_of(const HeatWay& taken) const {
    if (taken.state.empty()) return {};
    const std::string state = "state " + std::string(taken.state);
    if (said_)
        return {state + ", as mode " + std::string(facts_.harness().modes[mode_.index()].name) + " says"};
    return {state + ", the hottest: the mode does not say how it stands"};
}

void BoxWay::assume_of(const HeatWay& taken) const {
    if (!timed_)
        facts_.assume("time constant of the air in a location", "10 min", "no source", location_.name);
    if (!taken.state.empty() && !said_)
        facts_.assume("state of a location where a mode does not say",
                      std::string(taken.state) + ", with which it gets hottest", "no source, safe side",
                      location_.name);
    if (taken.path != HeatPath::estimated) return;
    facts_.assume_altitude();
    if (!is_known("wall"_attr))
        facts_.assume("wall of a location", "bare", "no source, safe side", location_.name);
    if (taken.state.empty() && taken.box.vent_m2 <= 0)
        facts_.assume("vents of a location", "none", "sealed, safe side", location_.name);
    facts_.assume("how the heat of a location leaves",
                  "by the outside of its box, its back covered, its floor not counted",
                  "VDE 0660 part 500 (secondary), an estimate", location_.name);
}

}  // namespace loomward
