#include "checker/tables/ampacity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "checker/tables/conductors.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

namespace {

constexpr std::size_t row_count = 15;
// AWG numbers of the rows of both tables; 0 is 1/0, -3 is 4/0.
constexpr std::array<int, row_count> row_awg{18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3};

// 33 CFR 183.425 Table 5, A at 30 degC.
constexpr std::array<double, 7> free_air_class{60, 75, 80, 90, 105, 125, 200};
constexpr std::array<std::array<double, 7>, row_count> free_air{{
    {10, 10, 15, 20, 20, 25, 25},
    {15, 15, 20, 25, 25, 30, 35},
    {20, 20, 25, 30, 35, 40, 45},
    {25, 25, 35, 40, 45, 50, 55},
    {40, 40, 50, 55, 60, 70, 70},
    {55, 65, 70, 70, 80, 90, 100},
    {80, 95, 100, 100, 120, 125, 135},
    {105, 125, 130, 135, 160, 170, 180},
    {120, 145, 150, 155, 180, 195, 210},
    {140, 170, 175, 180, 210, 225, 240},
    {165, 195, 210, 210, 245, 265, 280},
    {195, 230, 245, 245, 285, 305, 325},
    {225, 265, 285, 285, 330, 355, 370},
    {260, 310, 330, 330, 385, 410, 430},
    {300, 360, 385, 385, 445, 475, 510},
}};

// NFPA 70 Table 310.16, copper, A at 30 degC; 0: no figure in the table.
constexpr std::array<double, 3> raceway_class{60, 75, 90};
constexpr std::array<std::array<double, 3>, row_count> raceway{{
    {0, 0, 14},
    {0, 0, 18},
    {15, 20, 25},
    {20, 25, 30},
    {30, 35, 40},
    {40, 50, 55},
    {55, 65, 75},
    {70, 85, 95},
    {85, 100, 115},
    {95, 115, 130},
    {110, 130, 145},
    {125, 150, 170},
    {145, 175, 195},
    {165, 200, 225},
    {195, 230, 260},
}};

// Exponents of the area above 4/0: below what the last two rows give, because the rows that follow in the
// NFPA tables (memory) grow more slowly than those.
constexpr double free_air_exponent = 0.6;
constexpr double raceway_exponent = 0.5;

// Areas of the rows, mm2: asked for a few times a wire, so worked out once.
const std::array<double, row_count>& row_areas() {
    static const std::array<double, row_count> areas = [] {
        std::array<double, row_count> list{};
        for (std::size_t row = 0; row < row_count; ++row) list[row] = awg_area_mm2(row_awg[row]);
        return list;
    }();
    return areas;
}

// Areas read from "6 AWG" differ from the law by rounding only; they must hit their row.
bool is_same_area(double a_mm2, double b_mm2) {
    return std::abs(a_mm2 - b_mm2) <= 1e-9 * b_mm2;
}

// One column of a table at any area from its `first` row on.
template <typename Column>
double along_column(Column column, std::size_t first, double area_mm2, double exponent_above) {
    std::size_t row = first;
    while (row + 1 < row_count && row_areas()[row + 1] <= area_mm2 * (1 + 1e-9)) ++row;
    const double here_mm2 = row_areas()[row];
    if (is_same_area(area_mm2, here_mm2)) return column(row);
    if (row + 1 == row_count) return column(row) * std::pow(area_mm2 / here_mm2, exponent_above);
    const double exponent =
        std::log(column(row + 1) / column(row)) / std::log(row_areas()[row + 1] / here_mm2);
    return column(row) * std::pow(area_mm2 / here_mm2, exponent);
}

double free_air_column_A(std::size_t column, double area_mm2) {
    const double smallest_mm2 = row_areas()[0];
    if (area_mm2 < smallest_mm2 * (1 - 1e-9)) return free_air[0][column] * area_mm2 / smallest_mm2;
    return along_column([column](std::size_t row) { return free_air[row][column]; }, 0, area_mm2,
                        free_air_exponent);
}

double raceway_column_A(std::size_t column, double area_mm2) {
    std::size_t first = 0;
    while (raceway[first][column] <= 0) ++first;
    const double smallest_mm2 = row_areas()[first];
    if (area_mm2 < smallest_mm2 * (1 - 1e-9))
        return free_air_A(area_mm2, raceway_class[column]) * raceway[first][column] /
               free_air_A(smallest_mm2, raceway_class[column]);
    return along_column([column](std::size_t row) { return raceway[row][column]; }, first, area_mm2,
                        raceway_exponent);
}

// Straight between the two classes around `class_degC`; the first and last columns stand for all beyond.
template <std::size_t size, typename ColumnAt>
double across_classes(const std::array<double, size>& classes, double class_degC, ColumnAt column_at) {
    if (class_degC <= classes.front()) return column_at(0);
    if (class_degC >= classes.back()) return column_at(size - 1);
    std::size_t right = 1;
    while (classes[right] < class_degC) ++right;
    const double high_A = column_at(right);
    if (class_degC >= classes[right]) return high_A;
    const double low_A = column_at(right - 1);
    const double share = (class_degC - classes[right - 1]) / (classes[right] - classes[right - 1]);
    return low_A + share * (high_A - low_A);
}

struct CountFactor {
    int up_to;
    double factor;
};

template <std::size_t size>
double factor_for(const std::array<CountFactor, size>& rows, int count, double beyond) {
    for (const CountFactor& row : rows)
        if (count <= row.up_to) return row.factor;
    return beyond;
}

constexpr std::array<CountFactor, 12> bunched{{{1, 1.0},
                                               {2, 0.80},
                                               {3, 0.70},
                                               {4, 0.65},
                                               {5, 0.60},
                                               {6, 0.57},
                                               {7, 0.54},
                                               {8, 0.52},
                                               {9, 0.50},
                                               {12, 0.45},
                                               {16, 0.41},
                                               {20, 0.38}}};
constexpr std::array<CountFactor, 4> note_2{{{2, 1.0}, {3, 0.7}, {6, 0.6}, {24, 0.5}}};
constexpr std::array<CountFactor, 6> raceway_counts{
    {{3, 1.0}, {6, 0.8}, {9, 0.7}, {20, 0.5}, {30, 0.45}, {40, 0.4}}};

int circuits_of(int loaded_conductors) {
    return std::max(1, loaded_conductors / 2 + loaded_conductors % 2);
}

void add_source(std::string& sources, SourceId id) {
    if (!sources.empty()) sources += "; ";
    sources += cite(id);
}

// Whether the figure stands in the table as it is.
template <std::size_t size>
bool is_node(const std::array<double, size>& classes, double column_degC, double area_mm2) {
    return std::find(classes.begin(), classes.end(), column_degC) != classes.end() &&
           std::any_of(row_areas().begin(), row_areas().end(),
                       [area_mm2](double row_mm2) { return is_same_area(area_mm2, row_mm2); });
}

void add_base(Ampacity& result, double copper_A, double area_mm2, double limit_degC, bool in_raceway) {
    const bool below = area_mm2 < row_areas().front() * (1 - 1e-9);
    const bool above = area_mm2 > row_areas().back() * (1 + 1e-9);
    const double last_class = in_raceway ? raceway_class.back() : free_air_class.back();
    const double column_degC = std::clamp(limit_degC, 60.0, last_class);
    std::string how = fmt::format("{}, {:.4g} degC", size_text(area_mm2), column_degC);
    if (in_raceway) how += ", raceway";
    if (below) how += ", at the current density of 18 AWG";
    if (above) how += in_raceway ? ", from 4/0 AWG by area^0.5" : ", from 4/0 AWG by area^0.6";
    result.working = fmt::format("{:.3g} A ({})", copper_A, how);
    add_source(result.source, in_raceway ? SourceId::nec_310_16 : SourceId::cfr_table_5);
    const bool printed = in_raceway ? is_node(raceway_class, column_degC, area_mm2)
                                    : is_node(free_air_class, column_degC, area_mm2);
    if (!printed && !below && !above) add_source(result.source, SourceId::ampacity_between);
    if (below) add_source(result.source, SourceId::cfr_below);
    if (above) add_source(result.source, in_raceway ? SourceId::nec_raceway_above : SourceId::cfr_above);
}

void add_factor(Ampacity& result, double factor, const std::string& why, SourceId id) {
    if (factor == 1) return;
    result.working += fmt::format(" x {:.3g} ({})", factor, why);
    add_source(result.source, id);
}

void add_grouping(Ampacity& result, int loaded, bool in_raceway) {
    if (in_raceway) {
        add_factor(result, result.grouping_factor, fmt::format("{} loaded together", loaded),
                   SourceId::nec_factors);
        return;
    }
    const int circuits = circuits_of(loaded);
    if (free_air_bundle_factor(loaded) <= bunched_factor(circuits)) {
        add_factor(result, result.grouping_factor, fmt::format("{} loaded together", loaded),
                   SourceId::cfr_note_2);
        return;
    }
    add_factor(result, result.grouping_factor,
               fmt::format("{} loaded together as {} circuits", loaded, circuits),
               circuits > 20 ? SourceId::iec_bunched_beyond : SourceId::iec_bunched);
}

}  // namespace

double free_air_A(double area_mm2, double class_degC) {
    return across_classes(free_air_class, class_degC,
                          [area_mm2](std::size_t column) { return free_air_column_A(column, area_mm2); });
}

double raceway_A(double area_mm2, double class_degC) {
    return across_classes(raceway_class, class_degC,
                          [area_mm2](std::size_t column) { return raceway_column_A(column, area_mm2); });
}

double ambient_factor(double class_degC, double ambient_degC) {
    const double rise_K = class_degC - std::max(ambient_degC, 10.0);
    if (rise_K <= 0) return 0;
    return std::sqrt(rise_K / (std::max(class_degC, 60.0) - 30));
}

double bunched_factor(int circuits) {
    return factor_for(bunched, circuits, 0.38 * std::sqrt(20.0 / circuits));
}

double free_air_bundle_factor(int loaded_conductors) {
    return factor_for(note_2, loaded_conductors, 0.4);
}

double grouping_factor(int loaded_conductors) {
    return std::min(bunched_factor(circuits_of(loaded_conductors)),
                    free_air_bundle_factor(loaded_conductors));
}

double raceway_factor(int loaded_conductors) {
    return factor_for(raceway_counts, loaded_conductors, 0.35);
}

double aluminium_factor() {
    return std::sqrt(smallest_resistance_ohm_per_m(1, false) / smallest_resistance_ohm_per_m(1, true));
}

namespace {

// The numbers of an ampacity; the texts are left empty.
Ampacity worked_out(double area_mm2, double limit_degC, bool aluminium, const Surroundings& surroundings) {
    const bool in_raceway = surroundings.wrap == Wrap::conduit;
    const int loaded = std::max(surroundings.loaded_conductors, 1);
    Ampacity result;
    result.base_A = in_raceway ? raceway_A(area_mm2, limit_degC) : free_air_A(area_mm2, limit_degC);
    if (aluminium) result.base_A *= aluminium_factor();
    result.ambient_factor = ambient_factor(limit_degC, surroundings.ambient_degC);
    result.grouping_factor = in_raceway ? raceway_factor(loaded) : grouping_factor(loaded);
    result.wrap_factor = surroundings.wrap == Wrap::foamed ? 0.5 : 1.0;
    result.current_A = result.base_A * result.ambient_factor * result.grouping_factor * result.wrap_factor;
    return result;
}

}  // namespace

double ampacity_A(double area_mm2, double insulation_limit_degC, bool aluminium,
                  const Surroundings& surroundings) {
    return worked_out(area_mm2, insulation_limit_degC, aluminium, surroundings).current_A;
}

Ampacity ampacity(double area_mm2, double insulation_limit_degC, bool aluminium,
                  const Surroundings& surroundings) {
    const bool in_raceway = surroundings.wrap == Wrap::conduit;
    Ampacity result = worked_out(area_mm2, insulation_limit_degC, aluminium, surroundings);
    add_base(result, result.base_A / (aluminium ? aluminium_factor() : 1), area_mm2, insulation_limit_degC,
             in_raceway);
    if (aluminium) add_factor(result, aluminium_factor(), "aluminium", SourceId::aluminium_ratio);
    std::string surrounded = fmt::format("{:.3g} degC", surroundings.ambient_degC);
    if (insulation_limit_degC < 60)
        surrounded += fmt::format(", conductor limit {:.3g} degC", insulation_limit_degC);
    add_factor(result, result.ambient_factor, surrounded, SourceId::ambient_formula);
    add_grouping(result, std::max(surroundings.loaded_conductors, 1), in_raceway);
    add_factor(result, result.wrap_factor, "foamed in", SourceId::iec_insulated);
    return result;
}

}  // namespace loomward
