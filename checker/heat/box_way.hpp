// How the heat of a location leaves it: by a stated path, or by its outside as an estimate; in each of the
// states that modes put it at.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checker/heat/enclosure.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

enum class HeatPath : std::uint8_t {
    unknown,    // it was asked for and nobody knows: the inside is not judged
    stated,     // a thermal resistance
    estimated,  // by its size, wall and vents
};

// One way, of a location that has no states or of one of its states. Temperatures in degC, losses in W.
struct HeatWay {
    HeatPath path = HeatPath::unknown;
    std::string_view state;  // empty: the location has none
    double resistance_K_W = 0;
    Enclosure box;
    std::vector<std::string> lines;

    // nullopt: hotter than is followed, 400 degC.
    std::optional<double> inside_with(double losses_W, double around_degC) const;
    // What leaves at an inside.
    double leaves_W(double inside_degC, double around_degC) const;
    std::string_view source() const;  // of the formulas, empty for a stated path
};

// Whether it has a thermal resistance, a size or states, known or not.
bool says_how_heat_leaves(const Harness& harness, LocationId location);

// Of a location in a mode: the state that the mode says; where it says none, all of them, and the hottest
// counts.
class BoxWay {
  public:
    BoxWay(const Facts& facts, LocationId location, ModeId mode);

    // One of the ways that may hold is not known.
    bool is_unknown() const;
    // The way with which it gets hottest; one that is not known, where there is one.
    const HeatWay& worst_with(double losses_W, double around_degC) const;
    // The least that leaves with any of them.
    double leaves_W(double inside_degC, double around_degC) const;
    double time_constant_s() const { return time_constant_s_; }  // 600 s (no source) where none is stated
    const std::string& time_text() const { return time_text_; }
    // "state shut, as mode hill says"; none: the location has no states.
    std::vector<std::string> said_of(const HeatWay& taken) const;
    // Puts what is taken of this way on the assumption list.
    void assume_of(const HeatWay& taken) const;

  private:
    Value value(Attr name, std::size_t place = 0) const;
    bool is_known(Attr name, std::size_t place = 0) const;
    HeatWay own_way() const;
    HeatWay way_in(const Attribute& state) const;
    void take_size(HeatWay& way, double vent_cm2, double vent_apart_m) const;

    const Facts& facts_;
    const Location& location_;
    ModeId mode_;
    std::vector<HeatWay> ways_;  // never empty
    bool said_ = false;          // by the mode
    bool timed_ = false;
    double time_constant_s_ = 600;
    std::string time_text_ = "10 min (no source)";
};

}  // namespace loomward
