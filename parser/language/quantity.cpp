#include "parser/language/quantity.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "parser/language/units.hpp"

namespace loomward {
namespace {

// A unit is left for the next larger one where its number reaches this; the others change at 1000.
double largest_number(const UnitInfo& unit) {
    if (unit.name == "mm") return 100;  // 0.15 m, not 150 mm
    if (unit.name == "min") return 180;
    return 1000;
}

double rounded(double value, int digits) {
    if (value == 0 || !std::isfinite(value)) return value;
    const double scale =
        std::pow(10.0, digits - 1 - static_cast<int>(std::floor(std::log10(std::abs(value)))));
    // Dividing by a power of ten that is exact in double keeps 0.3 from becoming 0.30000000000000004.
    return scale >= 1 ? std::round(value * scale) / scale : std::round(value / (1 / scale)) * (1 / scale);
}

std::string plain_number(double value, int digits) {
    const double shown = rounded(value, digits);
    if (shown == 0) return "0";  // also -0
    std::array<char, 400> buffer{};
    const auto end =
        std::to_chars(buffer.data(), buffer.data() + buffer.size(), shown, std::chars_format::fixed);
    return {buffer.data(), end.ptr};
}

// Below it the lower end of a range gets a unit of its own.
constexpr double least_beside = 1e-3;

const UnitInfo* unit_for(double magnitude, Dimension dimension, int digits) {
    const UnitInfo* chosen = nullptr;
    for (const UnitInfo& unit : unit_table()) {
        if (unit.dimension != dimension || !unit.printed) continue;
        if (magnitude == 0 && unit.factor != 1) continue;  // nothing is 0 V, not 0 mV
        chosen = &unit;
        if (rounded(magnitude / unit.factor, digits) < largest_number(unit)) break;
    }
    return chosen;
}

std::string with_unit(std::string number, const UnitInfo* unit) {
    if (!unit) return number;
    number += ' ';
    number += unit->name;
    return number;
}

}  // namespace

std::string to_text(double value, Dimension dimension, int digits) {
    // What lasts for good, or is held by nothing, has no number.
    if (std::isinf(value)) return dimension == Dimension::time ? "without end" : "without limit";
    // What rounding leaves of nothing: of no quantity is there so little (a picofarad is the least).
    constexpr double nothing = 1e-15;
    if (std::abs(value) < nothing) value = 0;
    const UnitInfo* unit = unit_for(std::abs(value), dimension, digits);
    return with_unit(plain_number(unit ? value / unit->factor : value, digits), unit);
}

std::string to_text(const Quantity& quantity, int digits) {
    if (!quantity.is_known()) return "unknown";
    const double larger = std::max(std::abs(quantity.lo), std::abs(quantity.hi));
    const UnitInfo* unit = unit_for(larger, quantity.dimension, digits);
    const double factor = unit ? unit->factor : 1;
    if (quantity.lo > 0 && quantity.lo < least_beside * factor)
        return to_text(quantity.lo, quantity.dimension, digits) + " to " +
               to_text(quantity.hi, quantity.dimension, digits);
    const std::string lo = plain_number(quantity.lo / factor, digits);
    const std::string hi = plain_number(quantity.hi / factor, digits);
    const std::string text = with_unit(lo == hi ? lo : lo + ".." + hi, unit);
    return quantity.known == Knowledge::about ? "about " + text : text;
}

}  // namespace loomward
