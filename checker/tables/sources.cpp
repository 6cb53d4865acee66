#include "checker/tables/sources.hpp"

#include <array>

namespace loomward {

namespace {

using enum SourceId;
using enum Known;

constexpr auto table = std::to_array<PublishedSource>({
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
    {nec_310_16, "NFPA 70 Table 310.16", "2011 and later",
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
     secondary, "reproduces 22 published k factors of IEC 60364-4-43 and 60364-5-54 within 0.7"},
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
    {iso8820_3_times, "ISO 8820-3", "2010/2015",
     "operating times of types C, F and E at multiples of rated current", memory,
     "medium confidence; the lower limit at 3.5 x In differs between editions; rows at 1.6 and 6 x In of "
     "types "
     "C and F left out (low confidence)"},
    {iso8820_5_times, "ISO 8820-5", "2015", "operating times of SF 30 and SF 51", memory,
     "medium confidence; small ratings can differ"},
    {iso8820_load, "ISO 8820-2", "2005", "continuous load 70 % of rated current", memory,
     "70 to 80 % at 23 degC, less when hot; the lower end is taken"},
    {iec60127_sheet_2, "IEC 60127-2 sheet 2", "2003/2014",
     "operating times of fast fuses, low breaking capacity", secondary, ""},
    {iec60127_sheets, "IEC 60127-2 sheets 1, 3, 5, 6", "2003/2014", "operating times of the other sheets",
     memory, "medium confidence"},
    {iec60269_conventional, "IEC 60269-3-1 Table II", "as GOST R",
     "gG below 16 A: non-fusing 1.5, fusing 2.1 (to 4 A) or 1.9, 1 h", seen,
     "designation of the table inferred"},
    {iec60269_table_2, "IEC 60269-1 Table 2", "2006", "gG from 16 A: non-fusing 1.25, fusing 1.6; 1 to 4 h",
     memory, "the pair 1.25 and 1.6 was seen quoted, the hours were not"},
    {iec60269_table_3, "IEC 60269-1 Table 3", "2006", "gates of gG fuses at 10 s, 5 s and 0.1 s in amperes",
     memory,
     "from 16 A each opening current at 0.1 s is the holding current two steps up; 4, 6 and 10 A: medium "
     "confidence; "
     "2 A seen"},
    {iec60269_table_7, "IEC 60269-1 Table 7", "as GOST R, 2010",
     "pre-arcing joule integral of gG fuses at 0.01 s", seen,
     "limits pre-arcing only; what a cable sees is the operating integral, which depends on voltage and L/R"},
    {iec60269_selectivity, "IEC 60269-2, selectivity test", "2006",
     "joule integrals of gG fuses and test currents", memory,
     "measured with AC; below 16 A medium confidence"},
    {iec60269_ratio, "IEC 60269-2", "", "gG fuses of 16 A and more are selective at 1.6 : 1", secondary,
     "by the nominal series: two steps"},
    {ul248_14_times, "UL 248-14", "current",
     "carries 1.1 x In for 4 h, opens at 1.35 within 1 h, at 2 within 2 or 4 min", secondary, ""},
    {ul248_15_times, "UL 248-15, UL 248-1 Table 4", "2011",
     "carries In, opens at 1.35 within 1 h (2 h above 60 A), at 2 x In within 2 to 12 min by rating", memory,
     "nothing is promised beyond 2 x In; DC voltage and DC breaking capacity are the product's, not the "
     "class's"},
    {iec60898_thermal, "IEC 60898-1", "2003/2015",
     "no trip at 1.13, trip at 1.45 x In within 1 h (2 h above 63 A); 2.55 x In", secondary, ""},
    {iec60898_magnetic, "IEC 60898-1", "2003/2015", "instantaneous trip with AC: B 3 to 5, C 5 to 10 x In",
     secondary, ""},
    {iec60898_2_magnetic, "IEC 60898-2", "2003/2016", "instantaneous trip with DC: B 4 to 7, C 7 to 15 x In",
     memory, "scope seen: 220 V DC one pole, 440 V two poles, 125 A, 10 kA; each product states its own"},
    {iec60947_thermal, "IEC 60947-2 Table 6", "2016",
     "no trip at 1.05, trip at 1.3 x In within 1 h (2 h above 63 A)", secondary, "medium confidence"},
    {iec60947_magnetic, "IEC 60947-2 8.3.3.1.2", "2016", "short-circuit release within 20 % of its setting",
     memory, ""},
    {nec_continuous, "NFPA 70 210.20(A)", "2023", "continuous load 80 % of the device", seen,
     "continuous is three hours or more"},
    {iec_overload, "IEC 60364-4-43 433.1", "2008", "Ib <= In <= Iz and I2 <= 1.45 Iz", secondary,
     "as quoted by Scaddan, Electrical Installation Work"},
    {cfr_distance, "33 CFR 183.455(b)", "2024", "device within 7 in of the source; 40 in, all of it sheathed",
     seen, ""},
    {abyc_drop, "ABYC E-11 11.14.2.6", "", "voltage drop 3 % and 10 %", secondary, ""},
    {nec_panel_voltage, "NFPA 70 690.7(A)", "",
     "open-circuit voltage of silicon panels when cold: 1.02 from 20 degC down to 1.25 below -36 degC",
     memory, "1.25 where no temperature is stated"},
    {nec_panel_current, "NFPA 70 690.8, 690.9", "",
     "1.25 x short-circuit current of panels; 1.25 x that for wires, fuses and breakers", memory,
     "held against ampacities at the hottest ambient, which is stricter"},
    {voltage_class, "ISO 6469-3", "2018/2021", "voltage class B begins above 60 V DC", memory,
     "60 V DC was seen in ADR 9.2.2, 49 CFR 571.305 and race rules"},
    {cell_voltages, "table of lithium cell voltages", "",
     "empty, nominal, full and lowest voltage by chemistry", secondary,
     "two copies of one table; products differ"},
    {lead_voltages, "lead-acid cell voltages", "", "1.75, 2.0 and 2.4 V", memory, ""},
    {overload_curve, "IEC 60255-149", "", "t = tau ln((I2 - Ip2)/(I2 - Iz2))", secondary,
     "formula and worked examples from relay manuals"},
    {profile_heat, "first-order heating of a load profile", "",
     "equivalent current Iz sqrt(peak of theta), theta' = (I2/Iz2 - theta)/tau", computed, ""},
    {adiabatic, "IEC 60364-4-43 434.5.2", "2008", "t = (k S / I)2, up to 5 s", secondary,
     "as in Linsley, Basic Electrical Installation Work"},
    {circuit_theory, "circuit theory", "",
     "precharge, bleed, closing current, supply current, three-phase to DC, regeneration, pack resistance",
     computed, ""},
    {fuse_temperature, "military fuse practice", "",
     "rated current of a fuse: 0.2 % a kelvin of the fuse body", secondary,
     "medium confidence; the maker's own curve is better"},
    {curve_tolerance, "IEC 60269-3-1 5.6.1", "2004", "a published curve is at most 10 % off in current", seen,
     "read in a national twin of the standard"},
    {heat_balance, "Churchill and Chu; Churchill and Bernstein; Stefan and Boltzmann", "1975, 1977",
     "how hot a conductor gets by what it loses and gives away", memory,
     "told beside the tables, which stay the limit; docs/heat.md says how far it meets them"},
});

constexpr bool complete_and_in_order() {
    if (table.size() != source_count) return false;
    for (std::size_t i = 0; i < table.size(); ++i)
        if (table[i].id != static_cast<SourceId>(i)) return false;
    return true;
}
static_assert(complete_and_in_order());

}  // namespace

const PublishedSource& source(SourceId id) {
    return table[static_cast<std::size_t>(id)];
}

std::span<const PublishedSource> source_table() {
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
    const PublishedSource& row = source(id);
    std::string text(row.document);
    if (row.known != Known::seen) text.append(" (").append(known_word(row.known)).append(")");
    return text;
}

}  // namespace loomward
