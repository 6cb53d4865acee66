// Figures as they are printed.
#pragma once
#include <cmath>
#include <string>

#include "parser/language/quantity.hpp"

namespace loomward {

inline std::string amps(double value_A) {
    return to_text(value_A, Dimension::current);
}
inline std::string volts(double value_V) {
    return to_text(value_V, Dimension::voltage);
}
inline std::string ohms(double value_ohm) {
    return to_text(value_ohm, Dimension::resistance);
}
inline std::string seconds(double value_s) {
    return to_text(value_s, Dimension::time);
}
inline std::string degrees(double value_degC) {
    return to_text(value_degC, Dimension::temperature);
}
inline std::string kelvins(double value_K) {
    return to_text(value_K, Dimension::temperature_rise);
}
inline std::string watts(double value_W) {
    return to_text(value_W, Dimension::power);
}

// To so many digits, so that what is printed still passes where more would not (down) or less would not (up).
// What these digits print exactly stays as it is; 0 for what is not above 0.
inline double rounded_down(double value, int digits = 3) {
    if (!(value > 0)) return 0;
    const double step = std::pow(10.0, std::floor(std::log10(value)) + 1 - digits);
    return step * std::floor(value / step * (1 + 1e-9));
}
inline double rounded_up(double value, int digits = 3) {
    if (!(value > 0)) return 0;
    const double step = std::pow(10.0, std::floor(std::log10(value)) + 1 - digits);
    return step * std::ceil(value / step * (1 - 1e-9));
}

}  // namespace loomward
