#include "checker/tables/protection.hpp"

#include <algorithm>
#include <array>

namespace loomward {

namespace {

using enum SourceId;

constexpr double any_rating_A = std::numeric_limits<double>::infinity();

// Blade fuses sit side by side in plastic, so that they are advised less than the policy's share.
constexpr std::array<ProtectionFamily, 11> families{{
    {"iso8820-3", "blade fuse", false, 0.70, iso8820_load},
    {"iso8820-3-e", "large blade fuse", false, 0.70, iso8820_load},
    {"iso8820-5", "strip fuse", false, 0, nec_continuous},
    {"iec60127-f", "fast miniature fuse", false, 0, nec_continuous},
    {"iec60127-t", "time-lag miniature fuse", false, 0, nec_continuous},
    {"iec60269-gg", "gG fuse", false, 0, nec_continuous},
    {"ul248-14", "supplementary fuse", false, 0, nec_continuous},
    {"ul248-15", "class T fuse", false, 0, nec_continuous},
    {"iec60898-b", "miniature circuit-breaker, type B", true, 0, nec_continuous},
    {"iec60898-c", "miniature circuit-breaker, type C", true, 0, nec_continuous},
    {"iec60947-2", "industrial circuit-breaker", true, 0, nec_continuous},
}};

struct ConventionalRow {
    std::string_view word;
    double to_A;  // rows of a word rise; each begins where the one before ends
    ConventionalCurrents currents;
};
constexpr double hour_s = 3600;
constexpr std::array<ConventionalRow, 19> conventional_rows{{
    {"iso8820-3", any_rating_A, {1.1, 1.35, 100 * hour_s, 600, iso8820_3_times}},
    {"iso8820-3-e", any_rating_A, {1.1, 1.35, 100 * hour_s, 1800, iso8820_3_times}},
    {"iso8820-5", any_rating_A, {1.0, 1.35, 4 * hour_s, 1800, iso8820_5_times}},
    {"iec60127-f", any_rating_A, {1.5, 2.1, hour_s, 1800, iec60127_sheet_2}},
    {"iec60127-t",
     any_rating_A,
     {1.5, 2.1, hour_s, 1800, iec60127_sheets}},  // sheet 5; sheets 3 and 6: 120 s
    {"iec60269-gg", 4, {1.5, 2.1, hour_s, hour_s, iec60269_conventional}},
    {"iec60269-gg", 15.9, {1.5, 1.9, hour_s, hour_s, iec60269_conventional}},
    {"iec60269-gg", 63, {1.25, 1.6, hour_s, hour_s, iec60269_table_2}},
    {"iec60269-gg", 160, {1.25, 1.6, 2 * hour_s, 2 * hour_s, iec60269_table_2}},
    {"iec60269-gg", 400, {1.25, 1.6, 3 * hour_s, 3 * hour_s, iec60269_table_2}},
    {"iec60269-gg", any_rating_A, {1.25, 1.6, 4 * hour_s, 4 * hour_s, iec60269_table_2}},
    {"ul248-14", any_rating_A, {1.1, 1.35, 4 * hour_s, hour_s, ul248_14_times}},
    {"ul248-15", 60, {1.0, 1.35, 4 * hour_s, hour_s, ul248_15_times}},
    {"ul248-15", any_rating_A, {1.0, 1.35, 4 * hour_s, 2 * hour_s, ul248_15_times}},
    {"iec60898-b", 63, {1.13, 1.45, hour_s, hour_s, iec60898_thermal}},
    {"iec60898-b", any_rating_A, {1.13, 1.45, 2 * hour_s, 2 * hour_s, iec60898_thermal}},
    {"iec60898-c", 63, {1.13, 1.45, hour_s, hour_s, iec60898_thermal}},
    {"iec60898-c", any_rating_A, {1.13, 1.45, 2 * hour_s, 2 * hour_s, iec60898_thermal}},
    {"iec60947-2", any_rating_A, {1.05, 1.3, hour_s, 2 * hour_s, iec60947_thermal}},
}};

}  // namespace

std::span<const ProtectionFamily> protection_families() {
    return families;
}

const ProtectionFamily* find_protection_family(std::string_view word) {
    const auto found = std::find_if(families.begin(), families.end(),
                                    [word](const ProtectionFamily& family) { return family.word == word; });
    return found == families.end() ? nullptr : &*found;
}

std::optional<ConventionalCurrents> conventional_currents(std::string_view word, double rated_A) {
    for (const ConventionalRow& row : conventional_rows)
        if (row.word == word && rated_A <= row.to_A) return row.currents;
    return std::nullopt;
}

}  // namespace loomward
