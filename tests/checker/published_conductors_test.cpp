// Conductor sizes, resistances, short-circuit factors and ratings as printed.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "checker/tables/conductors.hpp"
#include "tests/checker/published.hpp"

using namespace loomward;

namespace {

constexpr double mm2_per_circular_mil = std::numbers::pi / 4 * 0.0254 * 0.0254;
constexpr double km_per_kft = 0.3048;

// Table of American wire gauge, university physics page citing Floyd, Electric Circuit Fundamentals, 2nd ed.
struct AwgRow {
    int n;  // 0 is 1/0, -3 is 4/0
    double circular_mils, diameter_in, ohm_per_kft;
};
constexpr AwgRow awg_rows[] = {
    {-3, 211600, 0.46, 0.049},    {-2, 167810, 0.40965, 0.0618}, {-1, 133080, 0.3648, 0.078},
    {0, 105530, 0.32485, 0.0983}, {1, 83694, 0.2893, 0.124},     {2, 66373, 0.25763, 0.1563},
    {3, 52634, 0.22942, 0.197},   {4, 41742, 0.20431, 0.2485},   {5, 33102, 0.18194, 0.3133},
    {6, 26250, 0.16202, 0.3951},  {7, 20816, 0.14428, 0.4982},   {8, 16509, 0.12849, 0.6282},
    {9, 13094, 0.11443, 0.7921},  {10, 10381, 0.10189, 0.9989},  {11, 8234, 0.09074, 1.26},
    {12, 6529, 0.0808, 1.588},    {13, 5178.4, 0.07196, 2.003},  {14, 4106.8, 0.06408, 2.525},
    {15, 3256.7, 0.05707, 3.184}, {16, 2582.9, 0.05082, 4.016},  {17, 2048.2, 0.04526, 5.064},
    {18, 1624.3, 0.0403, 6.385},  {19, 1288.1, 0.03589, 8.051},  {20, 1021.5, 0.03196, 10.15},
    {21, 810.1, 0.02846, 12.8},   {22, 642.4, 0.02535, 16.14},   {23, 509.45, 0.02257, 20.36},
    {24, 404.01, 0.0201, 25.67},  {25, 320.4, 0.0179, 32.37},    {26, 254.1, 0.01594, 40.81},
    {27, 201.5, 0.0142, 51.47},   {28, 159.79, 0.01264, 64.9},   {29, 126.72, 0.01126, 81.83},
    {30, 100.5, 0.01002, 103.2},  {31, 79.7, 0.00893, 130.1},    {32, 63.21, 0.00795, 164.1},
    {33, 50.13, 0.00708, 206.9},  {34, 39.75, 0.0063, 260.9},    {35, 31.52, 0.00561, 329},
    {36, 25, 0.005, 414.8},       {37, 19.83, 0.00445, 523.1},   {38, 15.72, 0.00396, 659.6},
    {39, 12.47, 0.00353, 831.8},  {40, 9.89, 0.00314, 1049},
};

// American wire gauge in an open textbook, engineering tables.
struct AreaRow {
    int n;
    double area_mm2, ohm_per_km;
};
constexpr AreaRow awg_areas[] = {
    {-3, 107, 0.1608}, {-2, 85.0, 0.2028}, {-1, 67.4, 0.2557}, {0, 53.5, 0.3224}, {1, 42.4, 0.4066},
    {2, 33.6, 0.5127}, {3, 26.7, 0.6465},  {4, 21.2, 0.8152},  {5, 16.8, 1.028},  {6, 13.3, 1.296},
    {7, 10.5, 1.634},  {8, 8.37, 2.061},   {9, 6.63, 2.599},   {10, 5.26, 3.277},
};

// IEC 60228:2004, ohm/km at 20 degC; aluminium 0: none printed.
struct SizeRow {
    double area_mm2, copper_class_5, aluminium_class_2;
};
constexpr SizeRow iec60228_rows[] = {
    {0.5, 39.0, 0},        {0.75, 26.0, 0},       {1, 19.5, 0},         {1.5, 13.3, 0},
    {2.5, 7.98, 0},        {4, 4.95, 0},          {6, 3.30, 0},         {10, 1.91, 3.08},
    {16, 1.21, 1.91},      {25, 0.780, 1.20},     {35, 0.554, 0.868},   {50, 0.386, 0.641},
    {70, 0.272, 0.443},    {95, 0.206, 0.320},    {120, 0.161, 0.253},  {150, 0.129, 0.206},
    {185, 0.106, 0.164},   {240, 0.0801, 0.125},  {300, 0.0641, 0.100}, {400, 0.0486, 0.0778},
    {500, 0.0384, 0.0605}, {630, 0.0287, 0.0469},
};

// NEN 1010 (IEC 60364-5-54) tables of k, and BS 7671 Tables 43.1 and 54.2 to 54.5 (pocket guide, 2018).
struct KRow {
    const char* insulation;
    double from_degC, to_degC;
    bool aluminium;
    double k;
};
constexpr KRow k_rows[] = {
    {"PVC <=300 mm2, in cable", 70, 160, false, 115},
    {"PVC >300 mm2, in cable", 70, 140, false, 103},
    {"PVC 90C thermoplastic <=300 mm2", 90, 160, false, 100},
    {"PVC 90C thermoplastic >300 mm2", 90, 140, false, 86},
    {"rubber 60C thermosetting", 60, 200, false, 141},
    {"butyl rubber", 85, 220, false, 134},
    {"EPR / XLPE", 90, 250, false, 143},
    {"PVC <=300 mm2, in cable", 70, 160, true, 76},
    {"butyl rubber", 85, 220, true, 89},
    {"EPR / XLPE", 90, 250, true, 94},
    {"PVC, separate conductor from 30C", 30, 160, false, 143},
    {"butyl, separate", 30, 220, false, 166},
    {"EPR/XLPE, separate", 30, 250, false, 176},
    {"PVC, separate", 30, 160, true, 95},
    {"butyl, separate", 30, 220, true, 110},
    {"EPR/XLPE, separate", 30, 250, true, 116},
    {"bare, visible, restricted area", 30, 500, false, 228},
    {"bare, no fire risk", 30, 200, false, 159},
    {"bare, fire risk", 30, 150, false, 138},
    {"bare, visible, restricted area", 30, 300, true, 125},
    {"bare, no fire risk", 30, 200, true, 105},
    {"bare, fire risk", 30, 150, true, 91},
};

// NFPA 70 240.6(A).
constexpr double ratings_A[] = {1,  3,   6,   10,  15,  20,  25,  30,  35,  40,  45,  50,  60,  70,  80,
                                90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600};

// Diameters are printed to 0.00001 in; AWG 1/0 is one unit off the law.
constexpr double one_printed_unit = 0.000015;

// Areas are printed to three digits.
double half_third_digit(double value) {
    return 0.5 * std::pow(10.0, std::floor(std::log10(value)) - 2);
}

void add_awg(std::vector<Published>& list) {
    for (const AwgRow& row : awg_rows) {
        const double area_mm2 = awg_area_mm2(row.n);
        const std::string size = fmt::format("AWG {} (0 is 1/0)", row.n);
        const char* source = "AWG table citing Floyd, Electric Circuit Fundamentals";
        list.push_back({size + ", circular mils", row.circular_mils, area_mm2 / mm2_per_circular_mil,
                        0.0005 * row.circular_mils, source});
        list.push_back({size + ", diameter in", row.diameter_in,
                        std::sqrt(4 / std::numbers::pi * area_mm2) / 25.4, one_printed_unit, source});
        list.push_back({size + ", ohm/1000 ft", row.ohm_per_kft,
                        smallest_resistance_ohm_per_m(area_mm2, false) * 1000 * km_per_kft,
                        0.001 * row.ohm_per_kft, source});
    }
    for (const AreaRow& row : awg_areas) {
        const std::string size = fmt::format("AWG {} (0 is 1/0)", row.n);
        list.push_back({size + ", mm2", row.area_mm2, awg_area_mm2(row.n), half_third_digit(row.area_mm2),
                        "AWG table, open textbook"});
        list.push_back({size + ", ohm/km", row.ohm_per_km,
                        smallest_resistance_ohm_per_m(awg_area_mm2(row.n), false) * 1000,
                        0.0005 * row.ohm_per_km, "AWG table, open textbook"});
    }
}

void add_resistances(std::vector<Published>& list) {
    for (const SizeRow& row : iec60228_rows) {
        list.push_back({fmt::format("IEC 60228 class 5 copper, {} mm2", row.area_mm2), row.copper_class_5,
                        resistance_ohm_per_m(row.area_mm2, false) * 1000, 0, "IEC 60228:2004"});
        if (row.aluminium_class_2 > 0)
            list.push_back({fmt::format("IEC 60228 class 2 aluminium, {} mm2", row.area_mm2),
                            row.aluminium_class_2, resistance_ohm_per_m(row.area_mm2, true) * 1000, 0,
                            "IEC 60228:2004"});
    }
    // The circular's length formula L2 = 254.5 L1 / (234.5 + T2) says the same of copper as R(T).
    for (const double hot_degC : {-40.0, 70.0, 105.0, 182.0})
        list.push_back({fmt::format("copper at {} degC, (234.5 + T)/254.5", hot_degC),
                        (234.5 + hot_degC) / 254.5, at_temperature(1, hot_degC, false), 0.0005,
                        "FAA AC 43.13-1B 11-66, length formula"});
}

void add_short_circuit(std::vector<Published>& list) {
    for (const KRow& row : k_rows)
        list.push_back({fmt::format("k of {}, {}, {} to {} degC", row.aluminium ? "aluminium" : "copper",
                                    row.insulation, row.from_degC, row.to_degC),
                        row.k, adiabatic_k(row.from_degC, row.to_degC, row.aluminium), 0.7,
                        "NEN 1010 (IEC 60364-5-54), BS 7671"});
    const char* source = "NEN 1010 (IEC 60364-5-54)";
    list.push_back({"end of a short circuit, pvc", 160, short_circuit_limit_degC("pvc"), 0, source});
    list.push_back({"end of a short circuit, xlpe", 250, short_circuit_limit_degC("xlpe"), 0, source});
    list.push_back({"end of a short circuit, epr", 250, short_circuit_limit_degC("epr"), 0, source});
    list.push_back({"end of a short circuit, butyl", 220, short_circuit_limit_degC("butyl"), 0, source});
    list.push_back({"end of a short circuit, pvc above 300 mm2", 140,
                    short_circuit_limit_degC("pvc", 70, 400), 0, "IEC 60364-4-43 Table 43A (memory)"});
    list.push_back({"end of a short circuit, rubber", 200, short_circuit_limit_degC("rubber"), 0,
                    "IEC 60364-4-43 Table 43A (memory)"});
}

}  // namespace

std::vector<Published> published_conductors() {
    std::vector<Published> list;
    add_awg(list);
    add_resistances(list);
    add_short_circuit(list);
    for (std::size_t i = 0; i < std::size(ratings_A); ++i)
        list.push_back({fmt::format("standard rating {} A", ratings_A[i]), ratings_A[i],
                        standard_ratings_A().at(i), 0, "NFPA 70 240.6(A)"});
    return list;
}

TEST_CASE("sizes, resistances and short-circuit factors are those in print", "[published]") {
    check_published(published_conductors());
    CHECK(standard_ratings_A().size() == std::size(ratings_A));
}
