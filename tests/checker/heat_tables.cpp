#include "tests/checker/heat_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "checker/heat/conductor_temperature.hpp"
#include "checker/tables/ampacity.hpp"

using namespace loomward;

namespace heat_tables {

namespace {

constexpr double m_per_ft = 0.3048;
constexpr double mm2_per_cmil = 5.067075e-4;

double percent(double found, double printed) {
    return 100 * (found / printed - 1);
}

// Building wire of an AWG size, stranded: two percent over the solid conductor (ASTM B8, memory).
HeatedWire american(int n, Wall wall = Wall::building) {
    HeatedWire wire = heated_wire(awg_area_mm2(n), 1, wall);
    wire.ohm_per_m = 1.02 * smallest_resistance_ohm_per_m(awg_area_mm2(n), false);
    return wire;
}

HeatedBundle alike(int count, const HeatedWire& wire) {
    return {std::vector<HeatedWire>(static_cast<std::size_t>(count), wire), {}};
}

// The first `loaded` of `count` wires carry current.
HeatedBundle partly(int count, int loaded, const HeatedWire& wire) {
    HeatedBundle bundle = alike(count, wire);
    for (std::size_t i = static_cast<std::size_t>(loaded); i < bundle.wires.size(); ++i)
        bundle.wires[i].current_A = 0;
    return bundle;
}

HeatedBundle in_conduit(int count, const HeatedWire& wire) {
    HeatedBundle bundle = alike(count, wire);
    bundle.layers.push_back(layer_of(Wrap::conduit, body_mm(bundle)).value());
    return bundle;
}

// FAA AC 43.13-1B CHG 1 Table 11-9: largest ohm per 1000 ft at 20 degC (tinned), circular mils, A at 105, 150
// and 200 degC in 70 degC at 60 000 ft; 33 wires 20 percent loaded up to AWG 10, 9 wires beyond. Seen.
struct AircraftWire {
    int n;
    double ohm_per_kft, cmil;
    double current_A[3];
};
constexpr AircraftWire table_11_9[] = {
    {24, 28.4, 475, {2.5, 4, 5}},        {22, 16.2, 755, {3, 5, 6}},
    {20, 9.88, 1216, {4, 7, 9}},         {18, 6.23, 1900, {6, 9, 12}},
    {16, 4.81, 2426, {7, 11, 14}},       {14, 3.06, 3831, {10, 14, 18}},
    {12, 2.02, 5874, {13, 19, 25}},      {10, 1.26, 9354, {17, 26, 32}},
    {8, 0.70, 16983, {38, 57, 71}},      {6, 0.44, 26818, {50, 76, 97}},
    {4, 0.28, 42615, {68, 103, 133}},    {2, 0.18, 66500, {95, 141, 179}},
    {1, 0.15, 81700, {113, 166, 210}},   {0, 0.12, 104500, {128, 192, 243}},
    {-1, 0.09, 133000, {147, 222, 285}}, {-2, 0.07, 166500, {172, 262, 335}},
    {-3, 0.06, 210900, {204, 310, 395}},
};

HeatedWire aircraft(const AircraftWire& row) {
    HeatedWire wire = heated_wire(row.cmil * mm2_per_cmil, 1, Wall::thin);
    wire.ohm_per_m = row.ohm_per_kft / 1000 / m_per_ft;
    return wire;
}

HeatedWire aircraft(int n) {
    return aircraft(*std::find_if(std::begin(table_11_9), std::end(table_11_9),
                                  [n](const AircraftWire& row) { return row.n == n; }));
}

HeatErrors table_11_9_errors() {
    HeatErrors errors{
        "FAA AC 43.13-1B Table 11-9, 33 or 9 wires of which a fifth is loaded, 60 000 ft", "seen", {}};
    constexpr double limits[] = {105, 150, 200};
    for (const AircraftWire& row : table_11_9) {
        const HeatedBundle bundle = row.n >= 10 ? partly(33, 7, aircraft(row)) : partly(9, 2, aircraft(row));
        for (std::size_t i = 0; i < 3; ++i)
            errors.percent.push_back(
                percent(lasting_factor(bundle, limits[i], {70, 60000 * m_per_ft}), row.current_A[i]));
    }
    return errors;
}

// Figures 11-5 and 11-6 as read in examples of the circular; AWG 20, 200 degC in 60 degC.
std::vector<HeatErrors> faa_factor_errors() {
    const HeatedWire wire = aircraft(20);
    const double alone = lasting_A(wire, 200, {60});
    const auto bundled = [&](int count, int loaded) {
        return lasting_factor(partly(count, loaded, wire), 200, {60}) / alone;
    };
    const auto high = [&](double ft) { return lasting_A(wire, 200, {60, ft * m_per_ft}) / alone; };
    return {{"FAA figure 11-6, 8 wires, 5 of them loaded (60 percent: 0.60)",
             "seen",
             {percent(bundled(8, 5), 0.60)}},
            {"FAA figure 11-6, 12 wires, all loaded (0.43)", "memory", {percent(bundled(12, 12), 0.43)}},
            {"FAA figure 11-6, 35 wires, 7 of them loaded, at the centre (20 percent: 0.52)",
             "memory",
             {percent(bundled(35, 7), 0.52)}},
            {"FAA figure 11-5, 20 000 ft (0.91)", "seen", {percent(high(20000), 0.91)}},
            {"FAA figure 11-5, 60 000 ft (0.79)", "memory", {percent(high(60000), 0.79)}}};
}

// 33 CFR 183.425 Table 5 as `free_air_A` holds it (compared with print in published_ampacity_test.cpp).
HeatErrors boat_errors(double class_degC, bool small) {
    HeatErrors errors{fmt::format("33 CFR 183.425 Table 5, {:g} degC, {}", class_degC,
                                  small ? "AWG 18 to 12" : "AWG 10 to 4/0"),
                      "seen",
                      {}};
    for (const int n : {18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3})
        if ((n > 10) == small)
            errors.percent.push_back(
                percent(lasting_A(american(n), class_degC, {30}), free_air_A(awg_area_mm2(n), class_degC)));
    return errors;
}

// The low or high ends of the bands of 33 CFR 183.425 Table 5 note 2: AWG 14, 105 degC, all wires loaded.
HeatErrors note_2_errors(const std::string& which, const std::vector<int>& counts) {
    HeatErrors errors{"33 CFR 183.425 note 2, " + which, "seen", {}};
    const double alone = lasting_A(american(14), 105, {30});
    for (const int count : counts)
        errors.percent.push_back(percent(lasting_factor(alike(count, american(14)), 105, {30}) / alone,
                                         free_air_bundle_factor(count)));
    return errors;
}

// NFPA 70 Table 310.16 as `raceway_A` holds it: three wires in a conduit.
HeatErrors raceway_errors() {
    HeatErrors errors{"NFPA 70 Table 310.16, three wires in a conduit, AWG 14 to 4/0", "seen", {}};
    for (const int n : {14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3})
        for (const double class_degC : {60.0, 75.0, 90.0})
            errors.percent.push_back(percent(lasting_factor(in_conduit(3, american(n)), class_degC, {30}),
                                             raceway_A(awg_area_mm2(n), class_degC)));
    return errors;
}

// The upper ends of the bands of NFPA 70 Table 310.15(C)(1), AWG 12 at 75 degC, over three wires in a
// conduit.
HeatErrors raceway_factor_errors(const std::string& which, const std::vector<int>& counts) {
    HeatErrors errors{"NFPA 70 Table 310.15(C)(1), " + which, "seen", {}};
    const double three = lasting_factor(in_conduit(3, american(12)), 75, {30});
    for (const int count : counts)
        errors.percent.push_back(percent(lasting_factor(in_conduit(count, american(12)), 75, {30}) / three,
                                         raceway_factor(count)));
    return errors;
}

// MIL-W-5088B: one wire, 105 degC in 50 degC; then 2 to 5 wires as a part of one. Seen on a secondary page,
// weak.
std::vector<HeatErrors> military_errors() {
    constexpr double single[][2] = {{22, 5.0}, {20, 8.33}, {18, 15.4}, {14, 31.2}, {12, 40},
                                    {10, 55},  {8, 75},    {6, 100},   {4, 135}};
    HeatErrors errors{"MIL-W-5088B, one wire, AWG 22 and 20", "seen, weak", {}};
    HeatErrors larger{"MIL-W-5088B, one wire, AWG 18 to 4", "seen, weak", {}};
    for (const auto& [n, current_A] : single)
        (n > 18 ? errors : larger)
            .percent.push_back(percent(lasting_A(aircraft(static_cast<int>(n)), 105, {50}), current_A));
    HeatErrors bundles{"MIL-W-5088B, 2 to 5 wires over one, AWG 14", "seen, weak", {}};
    constexpr double parts[] = {0.94, 0.89, 0.83, 0.76};
    const double alone = lasting_A(aircraft(14), 105, {50});
    for (int i = 0; i < 4; ++i)
        bundles.percent.push_back(
            percent(lasting_factor(alike(i + 2, aircraft(14)), 105, {50}) / alone, parts[i]));
    return {errors, larger, bundles};
}

std::vector<double> sizes(const HeatErrors& errors) {
    std::vector<double> found;
    for (const double value : errors.percent) found.push_back(std::abs(value));
    return found;
}

}  // namespace

double at_part(std::vector<double> values, double part) {
    std::sort(values.begin(), values.end());
    const double place = part * static_cast<double>(values.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, values.size() - 1);
    return values[below] + (place - static_cast<double>(below)) * (values[above] - values[below]);
}

double median_size(const HeatErrors& errors) {
    return at_part(sizes(errors), 0.5);
}
double largest_size(const HeatErrors& errors) {
    return at_part(sizes(errors), 1);
}

std::vector<HeatErrors> nec_free_air_errors() {
    // NFPA 70 Table 310.17, copper, one wire in free air of 30 degC, 60, 75 and 90 degC insulation; 0: none
    // printed. Seen, but AWG 3 at 60 and 90 degC (memory).
    struct Row {
        int n;
        double current_A[3];
    };
    constexpr Row table_310_17[] = {
        {18, {0, 0, 18}},      {16, {0, 0, 24}},      {14, {25, 30, 35}},    {12, {30, 35, 40}},
        {10, {40, 50, 55}},    {8, {60, 70, 80}},     {6, {80, 95, 105}},    {4, {105, 125, 140}},
        {3, {120, 145, 165}},  {2, {140, 170, 190}},  {1, {165, 195, 220}},  {0, {195, 230, 260}},
        {-1, {225, 265, 300}}, {-2, {260, 310, 350}}, {-3, {300, 360, 405}},
    };
    constexpr double classes_degC[] = {60, 75, 90};
    std::vector<HeatErrors> errors;
    for (std::size_t i = 0; i < 3; ++i) {
        errors.push_back({fmt::format("NFPA 70 Table 310.17, {:g} degC", classes_degC[i]), "seen", {}});
        for (const Row& row : table_310_17)
            if (row.current_A[i] > 0)
                errors.back().percent.push_back(
                    percent(lasting_A(american(row.n), classes_degC[i], {30}), row.current_A[i]));
    }
    return errors;
}

HeatErrors joined(const std::vector<HeatErrors>& parts, std::string table) {
    HeatErrors all{std::move(table), parts.front().source, {}};
    for (const HeatErrors& part : parts)
        all.percent.insert(all.percent.end(), part.percent.begin(), part.percent.end());
    return all;
}

HeatErrors faa_free_air_errors() {
    // FAA AC 43.13-1B figure 11-4a: AWG, ambient, A at 200 degC. The first seen, the others memory.
    HeatErrors errors{"FAA AC 43.13-1B figure 11-4a, 200 degC", "one seen, four memory", {}};
    constexpr double points[][3] = {{14, 50, 47}, {12, 25, 68}, {12, 60, 61}, {20, 60, 21.5}, {22, 60, 16.2}};
    for (const auto& [n, ambient_degC, current_A] : points)
        errors.percent.push_back(
            percent(lasting_A(aircraft(static_cast<int>(n)), 200, {ambient_degC}), current_A));
    return errors;
}

HeatErrors bunched_errors(double area_mm2, int cores) {
    // IEC 60364-5-52 Table B.52.17 as `bunched_factor` holds it, 2 to 20 circuits over one; 70 degC in 30
    // degC.
    HeatErrors errors{
        fmt::format("IEC 60364-5-52 Table B.52.17 bunched, {:g} mm2, {} cores a circuit", area_mm2, cores),
        "seen",
        {}};
    const auto of = [&](int circuits) {
        return lasting_factor(alike(circuits * cores, heated_wire(area_mm2, 1, Wall::building)), 70, {30});
    };
    const double one = of(1);
    for (const int circuits : {2, 3, 4, 5, 6, 7, 8, 9, 12, 16, 20})
        errors.percent.push_back(percent(of(circuits) / one, bunched_factor(circuits)));
    return errors;
}

std::vector<HeatErrors> other_heat_errors() {
    std::vector<HeatErrors> errors{table_11_9_errors()};
    const auto add = [&](const std::vector<HeatErrors>& more) {
        errors.insert(errors.end(), more.begin(), more.end());
    };
    add(faa_factor_errors());
    add(military_errors());
    for (const bool small : {false, true})
        for (const double class_degC : {60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0})
            errors.push_back(boat_errors(class_degC, small));
    errors.push_back(note_2_errors("low ends of its bands: 3, 4, 7, 25 wires", {3, 4, 7, 25}));
    errors.push_back(note_2_errors("high ends of its bands: 6, 24 wires", {6, 24}));
    errors.push_back(raceway_errors());
    errors.push_back(raceway_factor_errors("6 and 9 wires", {6, 9}));
    errors.push_back(raceway_factor_errors("20, 30, 40 wires", {20, 30, 40}));
    return errors;
}

}  // namespace heat_tables
