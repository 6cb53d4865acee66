#include "checker/tables/protection.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomward {

namespace {

using enum SourceId;

constexpr double no_limit = std::numeric_limits<double>::infinity();

// Two voltages are two ratings, not a range: a 32 V fuse is not a 58 V fuse.
constexpr std::array<StandardRating, 2> blade_ratings{{
    {32, true, 0, 100, 1000, iso8820_3_scope},
    {58, true, 0, 100, 1000, iso8820_3_scope},
}};
constexpr std::array<StandardRating, 1> strip_ratings{{{32, true, 30, 500, 2000, iso8820_5_scope}}};
// Letter L; E (150 A) and H (1500 A) cannot be told from the word, so the least counts.
constexpr std::array<StandardRating, 1> miniature_ratings{{{250, false, 0.032, 10, 35, iec60127_breaking}}};
constexpr std::array<StandardRating, 6> supplementary_ratings{{
    {125, false, 0, 60, 10000, ul248_14_breaking},
    {250, false, 0, 1, 35, ul248_14_breaking},
    {250, false, 1.1, 3.5, 100, ul248_14_breaking},
    {250, false, 3.6, 10, 200, ul248_14_breaking},
    {250, false, 10.1, 15, 750, ul248_14_breaking},
    {250, false, 15.1, 30, 1500, ul248_14_breaking},
}};

constexpr std::array<double, 12> blade_series{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40};
constexpr std::array<double, 7> large_blade_series{20, 30, 40, 50, 60, 70, 80};
constexpr std::array<double, 24> gg_series{2,   4,   6,   10,  16,  20,  25,  32,  40,  50,  63,   80,
                                           100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250};

constexpr std::array<ProtectionFamily, 10> families{{
    {"iso8820-3", "blade fuse", false, 0, 100, blade_ratings, blade_series, 0.70, iso8820_3_scope,
     iso8820_load},
    {"iso8820-3-e", "large blade fuse", false, 0, 100, blade_ratings, large_blade_series, 0.70,
     iso8820_3_scope, iso8820_load},
    {"iso8820-5", "strip fuse", false, 30, 500, strip_ratings, {}, 0.70, iso8820_5_scope, iso8820_load},
    {"iec60127-f",
     "fast miniature fuse",
     false,
     0.032,
     10,
     miniature_ratings,
     {},
     1.0,
     iec60127_breaking,
     iec60127_load},
    {"iec60127-t",
     "time-lag miniature fuse",
     false,
     0.032,
     10,
     miniature_ratings,
     {},
     1.0,
     iec60127_breaking,
     iec60127_load},
    {"iec60269-gg", "gG fuse", false, 2, 1250, {}, gg_series, 0.80, iec60269_conventional, nec_continuous},
    {"ul248-14",
     "supplementary fuse",
     false,
     0,
     60,
     supplementary_ratings,
     {},
     0.75,
     ul248_14_breaking,
     ul248_load},
    {"iec60898-b",
     "miniature circuit-breaker, type B",
     true,
     0,
     125,
     {},
     {},
     0.80,
     iec60898_thermal,
     nec_continuous},
    {"iec60898-c",
     "miniature circuit-breaker, type C",
     true,
     0,
     125,
     {},
     {},
     0.80,
     iec60898_thermal,
     nec_continuous},
    {"iec60947-2",
     "industrial circuit-breaker",
     true,
     0,
     no_limit,
     {},
     {},
     0.80,
     iec60947_thermal,
     nec_continuous},
}};

struct ConventionalRow {
    std::string_view word;
    double to_A;  // rows of a word rise; each begins where the one before ends
    ConventionalCurrents currents;
};
constexpr double hour_s = 3600;
constexpr std::array<ConventionalRow, 17> conventional_rows{{
    {"iso8820-3", no_limit, {1.1, 1.35, 100 * hour_s, 600, iso8820_3_times}},
    {"iso8820-3-e", no_limit, {1.1, 1.35, 100 * hour_s, 1800, iso8820_3_times}},
    {"iso8820-5", no_limit, {1.0, 1.35, 4 * hour_s, 1800, iso8820_5_times}},
    {"iec60127-f", no_limit, {1.5, 2.1, hour_s, 1800, iec60127_sheet_2}},
    {"iec60127-t", no_limit, {1.5, 2.1, hour_s, 1800, iec60127_sheets}},  // sheet 5; sheets 3 and 6: 120 s
    {"iec60269-gg", 4, {1.5, 2.1, hour_s, hour_s, iec60269_conventional}},
    {"iec60269-gg", 15.9, {1.5, 1.9, hour_s, hour_s, iec60269_conventional}},
    {"iec60269-gg", 63, {1.25, 1.6, hour_s, hour_s, iec60269_table_2}},
    {"iec60269-gg", 160, {1.25, 1.6, 2 * hour_s, 2 * hour_s, iec60269_table_2}},
    {"iec60269-gg", 400, {1.25, 1.6, 3 * hour_s, 3 * hour_s, iec60269_table_2}},
    {"iec60269-gg", no_limit, {1.25, 1.6, 4 * hour_s, 4 * hour_s, iec60269_table_2}},
    {"ul248-14", no_limit, {1.1, 1.35, 4 * hour_s, hour_s, ul248_14_times}},
    {"iec60898-b", 63, {1.13, 1.45, hour_s, hour_s, iec60898_thermal}},
    {"iec60898-b", no_limit, {1.13, 1.45, 2 * hour_s, 2 * hour_s, iec60898_thermal}},
    {"iec60898-c", 63, {1.13, 1.45, hour_s, hour_s, iec60898_thermal}},
    {"iec60898-c", no_limit, {1.13, 1.45, 2 * hour_s, 2 * hour_s, iec60898_thermal}},
    {"iec60947-2", no_limit, {1.05, 1.3, hour_s, 2 * hour_s, iec60947_thermal}},
}};

struct Colour {
    double rated_A;
    std::string_view name;
};
constexpr std::array<Colour, 12> blade_colours{{{1, "black"},
                                                {2, "grey"},
                                                {3, "violet"},
                                                {4, "pink"},
                                                {5, "light brown"},
                                                {7.5, "brown"},
                                                {10, "red"},
                                                {15, "blue"},
                                                {20, "yellow"},
                                                {25, "white"},
                                                {30, "green"},
                                                {40, "orange"}}};
constexpr std::array<Colour, 7> large_blade_colours{
    {{20, "yellow"}, {30, "green"}, {40, "orange"}, {50, "red"}, {60, "blue"}, {70, "brown"}, {80, "white"}}};

std::string_view colour_in(std::span<const Colour> colours, double rated_A) {
    for (const Colour& colour : colours)
        if (std::abs(colour.rated_A - rated_A) < 1e-9 * rated_A) return colour.name;
    return {};
}

}  // namespace

std::span<const ProtectionFamily> protection_families() {
    return families;
}

const ProtectionFamily* find_protection_family(std::string_view word) {
    const auto found = std::find_if(families.begin(), families.end(),
                                    [word](const ProtectionFamily& family) { return family.word == word; });
    return found == families.end() ? nullptr : &*found;
}

double promised_breaking_A(const ProtectionFamily& family, double rated_A, double voltage_V, bool dc) {
    double least_A = no_limit;
    for (const StandardRating& rating : family.ratings)
        if (rating.dc == dc && rating.voltage_V >= voltage_V && rated_A >= rating.from_A &&
            rated_A <= rating.to_A)
            least_A = std::min(least_A, rating.breaks_A);
    return std::isfinite(least_A) ? least_A : 0;
}

std::optional<ConventionalCurrents> conventional_currents(std::string_view word, double rated_A) {
    for (const ConventionalRow& row : conventional_rows)
        if (row.word == word && rated_A <= row.to_A) return row.currents;
    return std::nullopt;
}

std::string_view fuse_colour(std::string_view word, double rated_A) {
    if (word == "iso8820-3") return colour_in(blade_colours, rated_A);
    if (word == "iso8820-3-e") return colour_in(large_blade_colours, rated_A);
    return {};
}

}  // namespace loomward
