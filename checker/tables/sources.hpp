// Where the published figures come from. One row a table or formula; docs/sources.md is checked against
// these rows by a test, and findings print `cite`.
#pragma once
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace loomward {

// How a figure got here.
enum class Known : std::uint8_t {
    seen,       // read in a reprint, mirror or extract of the document; no purchased standard was opened
    secondary,  // read on a page that only repeats the document
    memory,     // recalled, not read; every print of it says so
    computed,   // worked out from a formula of physics
    practice,   // common practice, no source
};

// Every table and formula of checker/tables, in the order of docs/sources.md.
enum class SourceId : std::uint8_t {
    awg_law,
    iec60228,
    resistance_between,
    resistivity,
    temperature_coefficient,
    cfr_table_5,
    ampacity_between,
    cfr_below,
    cfr_above,
    cfr_note_2,
    nec_310_16,
    nec_raceway_above,
    nec_factors,
    ambient_formula,
    iec_bunched,
    iec_bunched_beyond,
    iec_insulated,
    aluminium_ratio,
    iec60949_k,
    short_circuit_limits,
    short_circuit_memory,
    insulation_overload,
    thermal_constant,
    connector_curve,
    nec_standard_ratings,
    iso8820_3_times,
    iso8820_5_times,
    iso8820_load,
    iec60127_sheet_2,
    iec60127_sheets,
    iec60269_conventional,
    iec60269_table_2,
    iec60269_table_3,
    iec60269_table_7,
    iec60269_selectivity,
    iec60269_ratio,
    ul248_14_times,
    ul248_15_times,
    iec60898_thermal,
    iec60898_magnetic,
    iec60898_2_magnetic,
    iec60947_thermal,
    iec60947_magnetic,
    nec_continuous,
    iec_overload,
    cfr_distance,
    abyc_drop,
    nec_panel_voltage,
    nec_panel_current,
    voltage_class,
    cell_voltages,
    lead_voltages,
    overload_curve,
    profile_heat,
    adiabatic,
    circuit_theory,
    fuse_temperature,
    curve_tolerance,
    heat_balance,
    count_
};
inline constexpr std::size_t source_count = static_cast<std::size_t>(SourceId::count_);

struct PublishedSource {
    SourceId id{};
    std::string_view document;  // as findings print it: "33 CFR 183.425 Table 5"
    std::string_view edition;   // as far as known
    std::string_view holds;     // what is taken from it
    Known known{};
    std::string_view caution;  // what to mind; may be empty
};

const PublishedSource& source(SourceId id);
std::span<const PublishedSource> source_table();
std::string_view known_word(Known known);  // "seen", "seen at second hand", "memory", "computed", ...
// "IEC 60364-5-52 523.9 (memory)": the document, and how it is known unless it was seen.
std::string cite(SourceId id);

}  // namespace loomward
