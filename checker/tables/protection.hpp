// Published figures of fuses and circuit breakers, and the limits rules compare them with. The families are
// the words of the attribute `curve`. Currents in A, voltages in V, times in s, joule integrals in A2s.
#pragma once
#include <limits>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "checker/tables/sources.hpp"

namespace loomward {

inline constexpr double forever_s = std::numeric_limits<double>::infinity();

struct ProtectionFamily {
    std::string_view word;  // "iso8820-3"
    std::string_view name;  // "blade fuse"
    bool is_breaker;
    double load_factor;  // advised continuous load over rated current; 0: what the policy says
    SourceId load_source;
};

std::span<const ProtectionFamily> protection_families();
const ProtectionFamily* find_protection_family(std::string_view word);

// What the standard promises at overload: not open within `hold_s` at non_fusing x In, open within `open_s`
// at fusing x In.
struct ConventionalCurrents {
    double non_fusing = 0;
    double fusing = 0;
    double hold_s = 0;
    double open_s = 0;
    SourceId source{};
};
// Of the row nearest to the rated current; nullopt for a word that is no family.
std::optional<ConventionalCurrents> conventional_currents(std::string_view word, double rated_A);

// One gate of a time-current band: at multiple x In it holds for t_min_s and is open by t_max_s. `variant`
// tells sheets, editions and kinds of current apart; where the word of the language cannot, take the widest.
struct Gate {
    std::string_view word, variant;
    double from_A, to_A;  // rated currents
    double multiple;
    double t_min_s;  // 0: no lower limit stated
    double t_max_s;  // forever_s: need not open
    SourceId source;
    bool sure;  // false: of medium confidence
};
std::span<const Gate> gates();
std::vector<Gate> gates_of(std::string_view word, double rated_A);

// Fuses of class gG, IEC 60269, in amperes; 0 where there is no figure. The last four are the selectivity
// test: joule integrals and the prospective currents they are measured at.
struct GgFuse {
    double rated_A;
    double holds_10s_A, opens_5s_A, holds_100ms_A, opens_100ms_A;
    double melting_min_A2s, melting_max_A2s;
    double select_melting_min_A2s, select_min_A, select_operating_max_A2s, select_max_A;
};
std::span<const GgFuse> gg_fuses();
// Two of them in series, 16 A or larger, at least 1.6 : 1 by the nominal series (two steps, IEC 60269-2).
// False for ratings that are not in the series.
bool is_selective_gg_pair(double upstream_A, double downstream_A);

}  // namespace loomward
