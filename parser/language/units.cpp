#include "parser/language/units.hpp"

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <utility>

#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

using enum Dimension;

constexpr auto units = std::to_array<UnitInfo>({
    {"mV", voltage, 1e-3},
    {"V", voltage, 1},
    {"kV", voltage, 1e3},
    {"uA", current, 1e-6},
    {"mA", current, 1e-3},
    {"A", current, 1},
    {"kA", current, 1e3},
    {"uohm", resistance, 1e-6},
    {"mohm", resistance, 1e-3},
    {"ohm", resistance, 1},
    {"kohm", resistance, 1e3},
    {"Mohm", resistance, 1e6},
    {"nF", capacitance, 1e-9},
    {"uF", capacitance, 1e-6},
    {"mF", capacitance, 1e-3},
    {"F", capacitance, 1},
    {"mW", power, 1e-3},
    {"W", power, 1},
    {"kW", power, 1e3},
    {"mJ", energy, 1e-3},
    {"J", energy, 1},
    {"kJ", energy, 1e3},
    {"mAh", charge, 1e-3},
    {"Ah", charge, 1},
    {"us", time, 1e-6},
    {"ms", time, 1e-3},
    {"s", time, 1},
    {"min", time, 60},
    {"h", time, 3600},
    {"mm", length, 1e-3},
    {"cm", length, 1e-2, false},
    {"m", length, 1},
    {"in", length, 0.0254, false},
    {"ft", length, 0.3048, false},
    {"mm2", area, 1},
    {"AWG", area, 0, false},
    {"degC", temperature, 1},
    {"%", percentage, 1},
    {"Nm", torque, 1},
    {"A2s", joule_integral, 1},
    {"kA2s", joule_integral, 1e3},
    {"g", mass, 1e-3},
    {"kg", mass, 1},
    {"K/W", thermal_resistance, 1},
    {"K", temperature_rise, 1},
    {"cm2", opening, 1},
    {"m/s", speed, 1},
});

constexpr auto dimensions = std::to_array<DimensionInfo>({
    {none, "count", "a count", "count", "", 1, 100e3, "1 to 100000", "2", "2"},
    {voltage, "voltage", "a voltage", "voltage", "V", 0, 1500, "0 to 1500 V", "48 V", "40..58 V"},
    {current, "current", "a current", "current", "A", 0, 50e3, "0 to 50 kA", "100 A", "1..2 A"},
    {resistance, "resistance", "a resistance", "resistance", "ohm", 0, 100e6, "0 to 100 Mohm", "47 ohm",
     "1..2 ohm"},
    {capacitance, "capacitance", "a capacitance", "capacitance", "F", 0, 10, "0 to 10 F", "3 mF", "1..2 mF"},
    {power, "power", "a power", "power", "W", 0, 10e6, "0 to 10000 kW", "25 W", "1..2 W"},
    {energy, "energy", "an energy", "energy", "J", 0, 100e6, "0 to 100000 kJ", "60 J", "1..2 J"},
    {charge, "charge", "a charge", "charge", "Ah", 0, 100e3, "0 to 100000 Ah", "20 Ah", "1..2 Ah"},
    {time, "time", "a time", "time", "s", 0, 3.6e7, "0 to 10000 h", "10 s", "2..60 s"},
    {length, "length", "a length", "length", "m", 0, 500, "0 to 500 m", "0.2 m", "1..2 m"},
    {area, "cross-section", "a cross-section", "area", "mm2", 0.05, 630, "0.05 to 630 mm2", "16 mm2",
     "10..16 mm2"},
    {temperature, "temperature", "a temperature", "temperature", "degC", -70, 400, "-70 to 400 degC",
     "40 degC", "-5..40 degC"},
    {percentage, "percentage", "a percentage", "percentage", "%", 0, 1000, "0 to 1000 %", "80 %", "70..80 %"},
    {torque, "torque", "a torque", "torque", "Nm", 0, 1000, "0 to 1000 Nm", "9 Nm", "8..9 Nm"},
    {joule_integral, "joule integral", "a joule integral", "joule-integral", "A2s", 0, 1e9,
     "0 to 1000000 kA2s", "900 A2s", "800..900 A2s"},
    {mass, "mass", "a mass", "mass", "kg", 0, 100e3, "0 to 100000 kg", "12 kg", "10..12 kg"},
    {thermal_resistance, "thermal resistance", "a thermal resistance", "thermal-resistance", "K/W", 0, 10e3,
     "0 to 10000 K/W", "0.8 K/W", "0.7..0.9 K/W"},
    {temperature_rise, "temperature rise", "a temperature rise", "temperature-rise", "K", 0, 400,
     "0 to 400 K", "35 K", "30..35 K"},
    {opening, "opening", "an opening", "opening", "cm2", 0, 10e3, "0 to 10000 cm2", "20 cm2", "20..30 cm2"},
    {speed, "speed", "a speed", "speed", "m/s", 0, 50, "0 to 50 m/s", "2 m/s", "2..5 m/s"},
});

// What is written for a unit elsewhere. Other capitals, a plural s and small slips are found without a row
// here.
constexpr auto other_spellings = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"mm^2", "mm2"},      {"sqmm", "mm2"},      {"mmq", "mm2"},         {"mm²", "mm2"},
    {"qmm", "mm2"},       {"mm-2", "mm2"},      {"sqmm2", "mm2"},       {"awg", "AWG"},
    {"ga", "AWG"},        {"gauge", "AWG"},     {"Ω", "ohm"},           {"Ω", "ohm"},
    {"mΩ", "mohm"},       {"mΩ", "mohm"},       {"kΩ", "kohm"},         {"kΩ", "kohm"},
    {"MΩ", "Mohm"},       {"MΩ", "Mohm"},       {"R", "ohm"},           {"k", "kohm"},
    {"µA", "uA"},         {"µF", "uF"},         {"µs", "us"},           {"µΩ", "uohm"},
    {"°C", "degC"},       {"°", "degC"},        {"C", "degC"},          {"c", "degC"},
    {"deg", "degC"},      {"celsius", "degC"},  {"Celsius", "degC"},    {"degrees", "degC"},
    {"percent", "%"},     {"pct", "%"},         {"amp", "A"},           {"amps", "A"},
    {"ampere", "A"},      {"amperes", "A"},     {"Amp", "A"},           {"Amps", "A"},
    {"milliamps", "mA"},  {"volt", "V"},        {"volts", "V"},         {"Volt", "V"},
    {"VDC", "V"},         {"Vdc", "V"},         {"vdc", "V"},           {"VAC", "V"},
    {"Vac", "V"},         {"millivolts", "mV"}, {"watt", "W"},          {"watts", "W"},
    {"sec", "s"},         {"secs", "s"},        {"second", "s"},        {"seconds", "s"},
    {"msec", "ms"},       {"usec", "us"},       {"minute", "min"},      {"minutes", "min"},
    {"mins", "min"},      {"hour", "h"},        {"hours", "h"},         {"hr", "h"},
    {"hrs", "h"},         {"meter", "m"},       {"meters", "m"},        {"metre", "m"},
    {"metres", "m"},      {"inch", "in"},       {"inches", "in"},       {"foot", "ft"},
    {"feet", "ft"},       {"milliohm", "mohm"}, {"milliohms", "mohm"},  {"kiloohm", "kohm"},
    {"kiloohms", "kohm"}, {"farad", "F"},       {"joule", "J"},         {"joules", "J"},
    {"N-m", "Nm"},        {"N.m", "Nm"},        {"newtonmetres", "Nm"}, {"A^2s", "A2s"},
    {"A²s", "A2s"},       {"kA^2s", "kA2s"},    {"kA²s", "kA2s"},       {"AmpHours", "Ah"},
});

// Spellings packed into one word each: a unit is looked up for every number of a file.
class UnitLookup {
  public:
    UnitLookup() {
        for (const UnitInfo& unit : units) {
            std::size_t slot = slot_of(packed(unit.name));
            while (slots_[slot]) slot = (slot + 1) % slots_.size();
            slots_[slot] = &unit;
        }
    }
    const UnitInfo* find(std::string_view spelling) const {
        if (spelling.empty() || spelling.size() > 4) return nullptr;  // no unit is longer
        for (std::size_t slot = slot_of(packed(spelling)); slots_[slot]; slot = (slot + 1) % slots_.size())
            if (slots_[slot]->name == spelling) return slots_[slot];
        return nullptr;
    }

  private:
    static std::uint32_t packed(std::string_view spelling) {
        std::uint32_t bytes = 0;
        for (const char letter : spelling) bytes = bytes << 8 | static_cast<unsigned char>(letter);
        return bytes;
    }
    static std::size_t slot_of(std::uint32_t bytes) { return bytes * 0x9E3779B1U >> 24; }

    std::array<const UnitInfo*, 256> slots_{};
};

char lower(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

bool equal_but_for_capitals(std::string_view a, std::string_view b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (lower(a[i]) != lower(b[i])) return false;
    return true;
}

std::string_view with_other_capitals(std::string_view spelling, Dimension wanted) {
    std::string_view found;
    for (const UnitInfo& unit : units) {
        if (!equal_but_for_capitals(unit.name, spelling)) continue;
        if (unit.dimension == wanted)
            return unit.name;  // "MOHM" where a resistance is wanted: mohm, first row
        if (found.empty()) found = unit.name;
    }
    return found;
}

}  // namespace

std::span<const UnitInfo> unit_table() {
    return units;
}
std::span<const DimensionInfo> dimension_table() {
    return dimensions;
}

const DimensionInfo& info(Dimension dimension) {
    return dimensions[static_cast<std::size_t>(dimension)];
}

const UnitInfo* find_unit(std::string_view spelling) {
    static const UnitLookup lookup;
    return lookup.find(spelling);
}

std::string_view unit_meant_by(std::string_view spelling, Dimension wanted) {
    // Fahrenheit is another scale, not another spelling: "write degC" would turn 95 degF into 95 degC.
    if (spelling == "degF" || spelling == "°F" || equal_but_for_capitals(spelling, "fahrenheit")) return {};
    for (const auto& [other, ours] : other_spellings)
        if (other == spelling) return ours;
    if (const auto found = with_other_capitals(spelling, wanted); !found.empty()) return found;
    if (spelling.size() > 1 && spelling.back() == 's')
        if (const auto found = with_other_capitals(spelling.substr(0, spelling.size() - 1), wanted);
            !found.empty())
            return found;
    Suggestion nearest(spelling);
    for (const UnitInfo& unit : units)
        if (wanted == none || unit.dimension == wanted) nearest.offer(unit.name);
    return nearest.best();
}

std::string units_of(Dimension dimension) {
    std::string list;
    for (const UnitInfo& unit : units) {
        if (unit.dimension != dimension) continue;
        if (!list.empty()) list += ", ";
        list += unit.name;
    }
    return list;
}

double awg_to_mm2(int gauge) {
    const double diameter_mm = 0.127 * std::pow(92.0, (36.0 - gauge) / 39.0);
    return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

}  // namespace loomward
