// Time-current gates as rows; bands are built from them elsewhere. Rows whose figures could not be trusted at
// all (low confidence) are left out, e.g. ISO 8820-3 types C and F at 1.6 and 6 x In.
#include <algorithm>
#include <array>
#include <iterator>

#include "checker/tables/protection.hpp"

namespace loomward {

namespace {

using enum SourceId;

constexpr double no_limit = std::numeric_limits<double>::infinity();

constexpr auto gate_rows = std::to_array<Gate>({
    // The lower limit at 3.5 x In is 0.08 s in some editions: the wider side is kept.
    {"iso8820-3", "types C and F", 2, 40, 1.1, 360000, forever_s, iso8820_3_times, false},
    {"iso8820-3", "types C and F", 2, 40, 1.35, 0.75, 600, iso8820_3_times, false},
    {"iso8820-3", "types C and F", 2, 40, 2.0, 0.15, 5, iso8820_3_times, false},
    {"iso8820-3", "types C and F", 2, 40, 3.5, 0.04, 0.5, iso8820_3_times, false},
    {"iso8820-3-e", "type E", 20, 80, 1.1, 360000, forever_s, iso8820_3_times, false},
    {"iso8820-3-e", "type E", 20, 80, 1.35, 60, 1800, iso8820_3_times, false},
    {"iso8820-3-e", "type E", 20, 80, 2.0, 2, 60, iso8820_3_times, false},
    {"iso8820-3-e", "type E", 20, 80, 3.5, 0.2, 7, iso8820_3_times, false},
    {"iso8820-3-e", "type E", 20, 80, 6.0, 0.04, 1, iso8820_3_times, false},
    {"iso8820-5", "SF 30 and SF 51", 30, 500, 1.0, 14400, forever_s, iso8820_5_times, false},
    {"iso8820-5", "SF 30 and SF 51", 30, 500, 1.35, 120, 1800, iso8820_5_times, false},
    {"iso8820-5", "SF 30 and SF 51", 30, 500, 2.0, 1, 15, iso8820_5_times, false},
    {"iso8820-5", "SF 30 and SF 51", 30, 500, 3.5, 0.3, 5, iso8820_5_times, false},
    {"iso8820-5", "SF 30 and SF 51", 30, 500, 6.0, 0.1, 1, iso8820_5_times, false},

    {"iec60127-f", "sheet 2", 0.032, 0.1, 1.5, 3600, forever_s, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.032, 0.1, 2.1, 0, 1800, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.032, 0.1, 2.75, 0.01, 0.5, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.032, 0.1, 4, 0.003, 0.1, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.032, 0.1, 10, 0, 0.02, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.125, 10, 1.5, 3600, forever_s, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.125, 10, 2.1, 0, 1800, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.125, 10, 2.75, 0.05, 2, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.125, 10, 4, 0.01, 0.3, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 2", 0.125, 10, 10, 0, 0.02, iec60127_sheet_2, true},
    {"iec60127-f", "sheet 1", 0.05, 4, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 0.05, 4, 2.1, 0, 1800, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 0.05, 4, 2.75, 0.01, 2, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 0.05, 4, 4, 0.003, 0.3, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 0.05, 4, 10, 0, 0.02, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 5, 6.3, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 5, 6.3, 2.1, 0, 1800, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 5, 6.3, 2.75, 0.01, 3, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 5, 6.3, 4, 0.003, 0.3, iec60127_sheets, false},
    {"iec60127-f", "sheet 1", 5, 6.3, 10, 0, 0.02, iec60127_sheets, false},

    {"iec60127-t", "sheet 3", 0.032, 0.1, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.032, 0.1, 2.1, 0, 120, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.032, 0.1, 2.75, 0.2, 10, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.032, 0.1, 4, 0.04, 3, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.032, 0.1, 10, 0.01, 0.3, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.125, 10, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.125, 10, 2.1, 0, 120, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.125, 10, 2.75, 0.6, 10, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.125, 10, 4, 0.15, 3, iec60127_sheets, false},
    {"iec60127-t", "sheet 3", 0.125, 10, 10, 0.02, 0.3, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 1, 3.15, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 1, 3.15, 2.1, 0, 1800, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 1, 3.15, 2.75, 0.75, 80, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 1, 3.15, 4, 0.095, 5, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 1, 3.15, 10, 0.01, 0.1, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 4, 6.3, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 4, 6.3, 2.1, 0, 1800, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 4, 6.3, 2.75, 0.75, 80, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 4, 6.3, 4, 0.15, 5, iec60127_sheets, false},
    {"iec60127-t", "sheet 5", 4, 6.3, 10, 0.01, 0.1, iec60127_sheets, false},
    {"iec60127-t", "sheet 6", 0.125, 6.3, 1.5, 3600, forever_s, iec60127_sheets, false},
    {"iec60127-t", "sheet 6", 0.125, 6.3, 2.1, 0, 120, iec60127_sheets, false},
    {"iec60127-t", "sheet 6", 0.125, 6.3, 2.75, 0.6, 10, iec60127_sheets, false},
    {"iec60127-t", "sheet 6", 0.125, 6.3, 4, 0.15, 3, iec60127_sheets, false},
    {"iec60127-t", "sheet 6", 0.125, 6.3, 10, 0.02, 0.3, iec60127_sheets, false},

    {"ul248-14", "", 0.05, 60, 1.0, forever_s, forever_s, ul248_14_times, true},
    {"ul248-14", "", 0.05, 60, 1.1, 14400, forever_s, ul248_14_times, true},
    {"ul248-14", "", 0.05, 60, 1.35, 0, 3600, ul248_14_times, true},
    {"ul248-14", "", 0.05, 30, 2.0, 0, 120, ul248_14_times, true},
    {"ul248-14", "", 30.1, 60, 2.0, 0, 240, ul248_14_times, true},
    {"ul248-14", "time-delay", 0.08, 3, 2.0, 5, 120, ul248_14_times, true},
    {"ul248-14", "time-delay", 3.15, 10, 2.0, 12, 120, ul248_14_times, true},

    // No lower limit is promised: how soon one may open is in its data sheet.
    {"ul248-15", "", 0, 600, 1.0, 14400, forever_s, ul248_15_times, false},
    {"ul248-15", "", 0, 60, 1.35, 0, 3600, ul248_15_times, true},
    {"ul248-15", "", 60.1, 600, 1.35, 0, 7200, ul248_15_times, true},
    {"ul248-15", "", 0, 30, 2.0, 0, 120, ul248_15_times, false},
    {"ul248-15", "", 30.1, 60, 2.0, 0, 240, ul248_15_times, false},
    {"ul248-15", "", 60.1, 100, 2.0, 0, 360, ul248_15_times, false},
    {"ul248-15", "", 100.1, 200, 2.0, 0, 480, ul248_15_times, false},
    {"ul248-15", "", 200.1, 400, 2.0, 0, 600, ul248_15_times, false},
    {"ul248-15", "", 400.1, 600, 2.0, 0, 720, ul248_15_times, false},

    {"iec60898-b", "", 0, 63, 1.13, 3600, forever_s, iec60898_thermal, true},
    {"iec60898-b", "", 63.1, 125, 1.13, 7200, forever_s, iec60898_thermal, true},
    {"iec60898-b", "", 0, 63, 1.45, 0, 3600, iec60898_thermal, true},
    {"iec60898-b", "", 63.1, 125, 1.45, 0, 7200, iec60898_thermal, true},
    {"iec60898-b", "", 0, 32, 2.55, 1, 60, iec60898_thermal, true},
    {"iec60898-b", "", 32.1, 125, 2.55, 1, 120, iec60898_thermal, true},
    {"iec60898-b", "ac", 0, 125, 3, 0.1, forever_s, iec60898_magnetic, true},
    {"iec60898-b", "ac", 0, 125, 5, 0, 0.1, iec60898_magnetic, true},
    {"iec60898-b", "dc", 0, 125, 4, 0.1, forever_s, iec60898_2_magnetic, true},
    {"iec60898-b", "dc", 0, 125, 7, 0, 0.1, iec60898_2_magnetic, true},
    {"iec60898-c", "", 0, 63, 1.13, 3600, forever_s, iec60898_thermal, true},
    {"iec60898-c", "", 63.1, 125, 1.13, 7200, forever_s, iec60898_thermal, true},
    {"iec60898-c", "", 0, 63, 1.45, 0, 3600, iec60898_thermal, true},
    {"iec60898-c", "", 63.1, 125, 1.45, 0, 7200, iec60898_thermal, true},
    {"iec60898-c", "", 0, 32, 2.55, 1, 60, iec60898_thermal, true},
    {"iec60898-c", "", 32.1, 125, 2.55, 1, 120, iec60898_thermal, true},
    {"iec60898-c", "ac", 0, 125, 5, 0.1, forever_s, iec60898_magnetic, true},
    {"iec60898-c", "ac", 0, 125, 10, 0, 0.1, iec60898_magnetic, true},
    {"iec60898-c", "dc", 0, 125, 7, 0.1, forever_s, iec60898_2_magnetic, true},
    {"iec60898-c", "dc", 0, 125, 15, 0, 0.1, iec60898_2_magnetic, true},
    {"iec60947-2", "", 0, 63, 1.05, 3600, forever_s, iec60947_thermal, false},
    {"iec60947-2", "", 63.1, no_limit, 1.05, 7200, forever_s, iec60947_thermal, false},
    {"iec60947-2", "", 0, 63, 1.3, 0, 3600, iec60947_thermal, false},
    {"iec60947-2", "", 63.1, no_limit, 1.3, 0, 7200, iec60947_thermal, false},
    // Of its setting Ii, which every product chooses: the multiples are of Ii, not of In.
    {"iec60947-2", "of Ii", 0, no_limit, 0.8, 0.2, forever_s, iec60947_magnetic, true},
    {"iec60947-2", "of Ii", 0, no_limit, 1.2, 0, 0.2, iec60947_magnetic, true},
});

// Rated current; IEC 60269-1 Table 3 (4, 6 and 10 A: medium confidence, 2 A seen); Table 7 (seen);
// selectivity test.
constexpr auto gg_rows = std::to_array<GgFuse>({
    {2, 3.7, 9.2, 6.0, 23.0, 0, 0, 0.67, 13, 16.4, 64},
    {4, 7.8, 18.5, 14.0, 47.0, 0, 0, 4.9, 35, 67.6, 130},
    {6, 11.0, 28.0, 26.0, 72.0, 0, 0, 16.4, 64, 193.6, 220},
    {10, 22.0, 46.5, 58.0, 111.0, 0, 0, 67.6, 130, 640, 400},
    {16, 33, 65, 85, 150, 300, 1000, 291, 270, 1210, 550},
    {20, 42, 85, 110, 200, 500, 1800, 640, 400, 2500, 790},
    {25, 52, 110, 150, 260, 1000, 3000, 1210, 550, 4000, 1000},
    {32, 75, 150, 200, 350, 1800, 5000, 2500, 790, 5750, 1200},
    {40, 95, 190, 260, 450, 3000, 9000, 4000, 1000, 9000, 1500},
    {50, 125, 250, 350, 610, 5000, 16000, 5750, 1200, 13700, 1850},
    {63, 160, 320, 450, 820, 9000, 27000, 9000, 1500, 21200, 2300},
    {80, 215, 425, 610, 1100, 16000, 46000, 13700, 1850, 36000, 3000},
    {100, 290, 580, 820, 1450, 27000, 86000, 21200, 2300, 64000, 4000},
    {125, 355, 715, 1100, 1910, 46000, 140000, 36000, 3000, 104000, 5100},
    {160, 460, 950, 1450, 2590, 86000, 250000, 64000, 4000, 185000, 6800},
    {200, 610, 1250, 1910, 3420, 140000, 400000, 104000, 5100, 302000, 8700},
    {250, 750, 1650, 2590, 4500, 250000, 760000, 185000, 6800, 557000, 11800},
    {315, 1050, 2200, 3420, 6000, 400000, 1300000, 302000, 8700, 900000, 15000},
    {400, 1420, 2840, 4500, 8060, 760000, 2250000, 557000, 11800, 1600000, 20000},
    {500, 1780, 3800, 6000, 10600, 1300000, 3800000, 900000, 15000, 2700000, 26000},
    {630, 2200, 5100, 8060, 14140, 2250000, 7500000, 1600000, 20000, 5470000, 37000},
    {800, 3060, 7000, 10600, 19000, 3800000, 13600000, 2700000, 26000, 10000000, 50000},
    {1000, 4000, 9500, 14140, 24000, 7840000, 25000000, 5470000, 37000, 17400000, 66000},
    {1250, 5000, 13000, 19000, 35000, 13700000, 47000000, 10000000, 50000, 33100000, 91000},
});

}  // namespace

std::span<const Gate> gates() {
    return gate_rows;
}

std::vector<Gate> gates_of(std::string_view word, double rated_A) {
    std::vector<Gate> found;
    std::copy_if(gate_rows.begin(), gate_rows.end(), std::back_inserter(found), [&](const Gate& gate) {
        return gate.word == word && rated_A >= gate.from_A && rated_A <= gate.to_A;
    });
    return found;
}

std::span<const GgFuse> gg_fuses() {
    return gg_rows;
}

bool is_selective_gg_pair(double upstream_A, double downstream_A) {
    const auto find = [](double rated_A) {
        return std::find_if(gg_rows.begin(), gg_rows.end(),
                            [rated_A](const GgFuse& row) { return row.rated_A == rated_A; });
    };
    const auto upstream = find(upstream_A);
    const auto downstream = find(downstream_A);
    if (upstream == gg_rows.end() || downstream == gg_rows.end() || downstream_A < 16) return false;
    return upstream - downstream >= 2;
}

}  // namespace loomward
