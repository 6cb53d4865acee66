#include "checker/tables/sources.hpp"

#include <array>

namespace loomward {

namespace {

using enum SourceId;
using enum Known;

constexpr auto table = std::to_array<Source>({
    {awg_law, "ASTM B258", "", "diameter of an AWG size: 0.127 mm x 92^((36 - n)/39)", memory,
     "agrees with a published AWG table (4/0 to 40) that was seen, within 0.1 %"},
    {iec60228, "IEC 60228", "2004", "largest resistance at 20 degC: copper class 5 plain, aluminium class 2",
     seen, "50 mm2 class 5 (0.386 ohm/km) lies below class 2 (0.387): so in the standard"},
    {resistance_between, "between the sizes of IEC 60228", "",
     "straight line between neighbouring sizes, both axes logarithmic; below 0.5 mm2 the allowance of 0.5 "
     "mm2",
     computed, "aircraft wire to AC 43.13-1B has less copper in a size and up to 15 % more resistance"},
    {resistivity, "IEC 60028, IEC 60889", "", "17.241 (copper) and 28.264 (aluminium) ohm mm2/km at 20 degC",
     memory, "copper agrees with a published AWG table that was seen"},
    {temperature_coefficient, "IEC 60028, IEC 60889", "",
     "0.00393 (copper) and 0.00403 (aluminium) 1/K at 20 degC", memory, ""},
    {cfr_table_5, "33 CFR 183.425 Table 5", "text of 2001 and current mirror",
     "current of one copper conductor in free air at 30 degC, AWG 18 to 4/0, 60 to 200 degC", seen,
     "a boat regulation; AWG 18 to 12 at 60 to 80 degC and the 200 degC column are not thermal limits"},
    {ampacity_between, "interpolated between rows or classes", "",
     "straight line between neighbouring AWG rows, both axes logarithmic, and between neighbouring classes; "
     "both ampacity tables",
     computed, ""},
    {cfr_below, "below AWG 18: current density of AWG 18", "",
     "current in proportion to the area, although smaller wires stand a higher density", computed,
     "no published figure behind it"},
    {cfr_above, "above 4/0: area to the power 0.6", "",
     "free air; the last two rows alone would give 0.62 or more", computed,
     "below what larger rows of NFPA 70 Table 310.17 give (memory)"},
    {cfr_note_2, "33 CFR 183.425 Table 5 note 2", "",
     "three or more loaded conductors together: 0.7, 4 to 6: 0.6, 7 to 24: 0.5, from 25: 0.4", secondary,
     "law from 50 V only; used at every voltage, heat knows no volts; with all wires loaded a heat balance "
     "is "
     "up to a third lower at the end of each band"},
    {nec_310_16, "NFPA 70 Table 310.16", "unchanged over several editions",
     "up to three loaded copper conductors in a raceway at 30 degC, AWG 18 to 4/0, 60, 75, 90 degC", seen,
     "60 and 75 degC begin at AWG 14; smaller: the ratio of that row to free air. Classes above 90 degC take "
     "the "
     "90 degC column"},
    {nec_raceway_above, "above 4/0 in a raceway: area to the power 0.5", "",
     "the last two rows alone would give 0.60 or more", computed,
     "below what larger rows of NFPA 70 Table 310.16 give (memory)"},
    {nec_factors, "NFPA 70 Table 310.15(C)(1)", "2014",
     "more than three conductors in a raceway: 4 to 6: 0.8, 7 to 9: 0.7, 10 to 20: 0.5, 21 to 30: 0.45, 31 "
     "to "
     "40: 0.4, from 41: 0.35",
     seen, ""},
    {ambient_formula, "NFPA 70 Table 310.15(B)(1)", "2021",
     "factor sqrt((Tc - Ta)/(Tc - 30)); not raised further below 10 degC", seen,
     "the formula equals every printed factor after rounding; below class 60 degC it starts from the 60 degC "
     "column"},
    {iec_bunched, "IEC 60364-5-52 Table B.52.17", "as BS 7671:2008 Table 4C1",
     "bunched in air, on a surface or enclosed, 1 to 20 circuits; between printed counts the next larger one",
     seen, "a circuit is taken as two loaded conductors"},
    {iec_bunched_beyond, "beyond 20 circuits: 0.38 x sqrt(20/n)", "", "grouping beyond the table", computed,
     ""},
    {iec_insulated, "IEC 60364-5-52 523.9", "2009",
     "factor 0.5 where a conductor is buried in thermal insulation", memory, ""},
    {aluminium_ratio, "square root of the resistivity ratio", "",
     "aluminium carries 0.78 of copper at equal heat", computed, ""},
    {iec60949_k, "IEC 60949", "1988", "k = 226 (148) sqrt(ln((234.5 (228) + Tf)/(234.5 (228) + Ti)))",
     secondary, "reproduces 18 published k factors of IEC 60364-4-43 and 60364-5-54 within 0.7"},
    {short_circuit_limits, "IEC 60364-5-54", "as NEN 1010",
     "end of a short circuit: PVC 160, XLPE and EPR 250, butyl rubber 220 degC", seen, ""},
    {short_circuit_memory, "IEC 60364-4-43 Table 43A", "",
     "end of a short circuit: PVC above 300 mm2 140, 60 degC rubber 200 degC", memory, ""},
    {insulation_overload, "ISO 6722", "2011",
     "other insulation: its class plus 50 K (overload temperature), at least 160 degC", memory,
     "an overload of six hours in the standard; below the short-circuit limits of most materials"},
    {thermal_constant, "IEC 60255-149", "", "tau = k2 S2 / Iz2, k from ambient to rated temperature",
     computed,
     "the link to k2 S2 is ours: the curve then ends in the adiabatic one; 13 % longer than first "
     "principles"},
    {connector_curve, "IEC 60512-5-2", "2002", "base curve I(T) = Ir sqrt((Tmax - T)/(Tmax - Tr))", seen,
     "plug connectors are published with 0.8 of it; take the rating that the data sheet gives"},
    {nec_standard_ratings, "NFPA 70 240.6(A)", "2023", "standard ratings of fuses and breakers, 1 to 600 A",
     seen, ""},
});

constexpr bool complete_and_in_order() {
    if (table.size() != source_count) return false;
    for (std::size_t i = 0; i < table.size(); ++i)
        if (table[i].id != static_cast<SourceId>(i)) return false;
    return true;
}
static_assert(complete_and_in_order());

}  // namespace

const Source& source(SourceId id) {
    return table[static_cast<std::size_t>(id)];
}

std::span<const Source> source_table() {
    return table;
}

std::string_view known_word(Known known) {
    switch (known) {
        case Known::seen:
            return "seen";
        case Known::secondary:
            return "seen at second hand";
        case Known::memory:
            return "memory";
        case Known::computed:
            return "computed";
        case Known::practice:
            return "common practice, no source";
    }
    return "";
}

std::string cite(SourceId id) {
    const Source& row = source(id);
    std::string text(row.document);
    if (row.known != Known::seen) text.append(" (").append(known_word(row.known)).append(")");
    return text;
}

}  // namespace loomward
