// What panels are rated, as cold and as bright as it gets.
#pragma once
#include <string>
#include <string_view>

#include "checker/circuit/panel_field.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// A cell gives more current in more sun than its ratings are measured at: NFPA 70 690.8(A)(1) (memory). What
// carries a current for hours is loaded to 80 %, the same again: 690.8(B), 690.9(B) (memory).
inline constexpr double bright_sun = 1.25, hours_of_sun = 1.25;

// How much higher the open-circuit voltage is than at 25 degC, crystalline silicon: NFPA 70 Table 690.7(A)
// (memory), 1.00 at 25 degC and above, 1.25 below -36 degC.
double cold_factor(double lowest_degC);

// Of one panel: by the lowest temperature of its place in any mode; 1.25 where none is stated.
struct ColdVoltage {
    double open_circuit_V = 0;  // 0: not known
    double factor = 1;
    std::string why;  // "at -10 degC"; "no temperature is stated"
};
ColdVoltage cold_voltage(const Facts& facts, PartId panel);

PanelField panel_field(const Circuit& circuit, const Facts& facts);

}  // namespace loomward
