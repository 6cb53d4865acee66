// What published tables print and what the physics of checker/heat gives for the same, with one set of
// assumptions for all of them.
#pragma once
#include <string>
#include <vector>

namespace heat_tables {

struct HeatErrors {
    std::string table;
    std::string source;           // "seen", "memory", ..., of the figures
    std::vector<double> percent;  // what the model gives over what is printed, less one; a cell each
};

// Sorted: 0.5 is the median. `percent` not empty.
double at_part(std::vector<double> percent, double part);
double median_size(const HeatErrors& errors);  // of the absolute errors
double largest_size(const HeatErrors& errors);

// By column: insulation class 60, 75 and 90 degC.
std::vector<HeatErrors> nec_free_air_errors();
HeatErrors joined(const std::vector<HeatErrors>& parts, std::string table);

HeatErrors faa_free_air_errors();
// `cores` loaded ones a circuit.
HeatErrors bunched_errors(double area_mm2, int cores);
// Everything else there is to compare with; no goal was set for these.
std::vector<HeatErrors> other_heat_errors();

}  // namespace heat_tables
