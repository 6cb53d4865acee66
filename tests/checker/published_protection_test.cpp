// Fuses, breakers and the limits of regulations as printed.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "checker/tables/conductors.hpp"
#include "checker/tables/limits.hpp"
#include "checker/tables/protection.hpp"
#include "tests/checker/published.hpp"

using namespace loomward;

namespace {

double promised(const char* word, double rated_A, double voltage_V, bool dc) {
    return promised_breaking_A(*find_protection_family(word), rated_A, voltage_V, dc);
}

void add_scopes(std::vector<Published>& list) {
    list.push_back(
        {"blade fuse at 32 V DC breaks", 1000, promised("iso8820-3", 30, 32, true), 0, "ISO 8820-3:2015"});
    list.push_back(
        {"blade fuse at 58 V DC breaks", 1000, promised("iso8820-3", 30, 58, true), 0, "ISO 8820-3:2015"});
    list.push_back(
        {"blade fuse, largest", 100, find_protection_family("iso8820-3")->largest_A, 0, "ISO 8820-3:2015"});
    list.push_back(
        {"strip fuse at 32 V DC breaks", 2000, promised("iso8820-5", 100, 32, true), 0, "ISO 8820-5:2015"});
    list.push_back(
        {"strip fuse, smallest", 30, find_protection_family("iso8820-5")->smallest_A, 0, "ISO 8820-5:2015"});
    list.push_back(
        {"strip fuse, largest", 500, find_protection_family("iso8820-5")->largest_A, 0, "ISO 8820-5:2015"});
    const char* guide = "UL 248-14, quoted by a fuse selection guide";
    list.push_back(
        {"supplementary fuse at 125 V AC breaks", 10000, promised("ul248-14", 60, 125, false), 0, guide});
    list.push_back(
        {"supplementary fuse of 1 A at 250 V AC breaks", 35, promised("ul248-14", 1, 250, false), 0, guide});
    list.push_back(
        {"supplementary fuse of 3 A at 250 V AC breaks", 100, promised("ul248-14", 3, 250, false), 0, guide});
    list.push_back({"supplementary fuse of 10 A at 250 V AC breaks", 200,
                    promised("ul248-14", 10, 250, false), 0, guide});
    list.push_back({"supplementary fuse of 15 A at 250 V AC breaks", 750,
                    promised("ul248-14", 15, 250, false), 0, guide});
    list.push_back({"supplementary fuse of 30 A at 250 V AC breaks", 1500,
                    promised("ul248-14", 30, 250, false), 0, guide});
    list.push_back({"miniature fuse, letter L, at 250 V AC breaks", 35, promised("iec60127-f", 1, 250, false),
                    0, "IEC 60127-2, quoted by a component marking guide"});
    list.push_back({"advised load, UL 248-14", 0.75, find_protection_family("ul248-14")->load_factor, 0,
                    "comparison note on rated currents"});
    list.push_back({"advised load, IEC 60127", 1.0, find_protection_family("iec60127-f")->load_factor, 0,
                    "comparison note on rated currents"});
    list.push_back({"advised load of a breaker", 0.80, find_protection_family("iec60898-b")->load_factor, 0,
                    "NFPA 70 210.20(A)"});
}

struct PairRow {
    const char* word;
    double rated_A, non_fusing, fusing, open_h;
    const char* source;
};
constexpr PairRow pairs[] = {
    {"iec60269-gg", 4, 1.5, 2.1, 1, "GOST R IEC 60269-3-1 Table II"},
    {"iec60269-gg", 10, 1.5, 1.9, 1, "GOST R IEC 60269-3-1 Table II"},
    {"iec60269-gg", 32, 1.25, 1.6, 1, "IEC 60269-1 Table 2 (memory)"},
    {"iec60269-gg", 100, 1.25, 1.6, 2, "IEC 60269-1 Table 2 (memory)"},
    {"iec60269-gg", 250, 1.25, 1.6, 3, "IEC 60269-1 Table 2 (memory)"},
    {"iec60269-gg", 630, 1.25, 1.6, 4, "IEC 60269-1 Table 2 (memory)"},
    {"iec60127-f", 5, 1.5, 2.1, 0.5, "IEC 60127-2 sheet 2, timetable of fuse opening times"},
    {"ul248-14", 10, 1.1, 1.35, 1, "UL 248-14, comparison note"},
    {"iec60898-b", 16, 1.13, 1.45, 1, "IEC 60898-1, instruction sheet of breakers"},
    {"iec60898-c", 80, 1.13, 1.45, 2, "IEC 60898-1, instruction sheet of breakers"},
    {"iec60947-2", 40, 1.05, 1.30, 2,
     "IEC 60947-2, product table, medium confidence (2 h is the wider figure)"},
};

void add_overload(std::vector<Published>& list) {
    for (const PairRow& row : pairs) {
        const ConventionalCurrents found = *conventional_currents(row.word, row.rated_A);
        const std::string what = fmt::format("{} of {} A", row.word, row.rated_A);
        list.push_back({what + ", non-fusing", row.non_fusing, found.non_fusing, 0, row.source});
        list.push_back({what + ", fusing", row.fusing, found.fusing, 0, row.source});
        list.push_back({what + ", hours", row.open_h, found.open_s / 3600, 0, row.source});
    }
    const char* help = "IEC 60364-4-43 433.1, help text on the gG cable factor";
    list.push_back({"least ampacity per ampere of a gG fuse below 16 A", 1.31,
                    least_guarded_ampacity_A(1, 1.9), 0.005, help});
    list.push_back({"least ampacity per ampere of a gG fuse from 16 A", 1.10,
                    least_guarded_ampacity_A(1, 1.6), 0.005, help});
    list.push_back(
        {"least ampacity for a gG fuse of 32 A", 35.31, least_guarded_ampacity_A(32, 1.6), 0.005, help});
    list.push_back({"a breaker to IEC 60898 guards its rated current", 100,
                    least_guarded_ampacity_A(100, 1.45), 0, "IEC 60364-4-43 433.1 (2), Scaddan p. 333"});
    list.push_back({"rewirable fuse over ampacity", 0.725, 1 / least_guarded_ampacity_A(1, 2.0), 1e-9,
                    "BS 7671 433, The Electricians Guide 4.3.8"});
}

void add_boats(std::vector<Published>& list) {
    const char* rule = "33 CFR 183.455(c), 183.425 Table 5";
    list.push_back({"largest fuse for AWG 14 at 105 degC, 12 V", 52.5,
                    boat_largest_device_A(ampacity(awg_area_mm2(14), 105, false, {}).current_A, 12), 0,
                    rule});
    list.push_back({"largest fuse for AWG 14 at 105 degC, 50 V", 35,
                    boat_largest_device_A(ampacity(awg_area_mm2(14), 105, false, {}).current_A, 50), 0,
                    rule});
    list.push_back({"largest fuse for AWG 6 at 60 degC, 48 V", 120, boat_largest_device_A(80, 48), 0, rule});
    list.push_back({"largest fuse for AWG 8 at 60 degC, 96 V: next standard size of 55 A", 60,
                    boat_largest_device_A(55, 96), 0, rule});
    const char* table = "ABYC E-11 Table V-A";
    const double cranking_A[] = {600, 900, 1200};
    const double main_A[] = {1500, 3000, 5000};
    const double branch_A[] = {750, 1500, 2500};
    for (std::size_t i = 0; i < 3; ++i) {
        list.push_back({fmt::format("main breaker on {} A cranking", cranking_A[i]), main_A[i],
                        boat_breaking(cranking_A[i])->main_A, 0, table});
        list.push_back({fmt::format("branch breaker on {} A cranking", cranking_A[i]), branch_A[i],
                        boat_breaking(cranking_A[i])->branch_A, 0, table});
    }
    const double distances_mm[] = {177.8, 1016, 1828.8, 3000};
    const char* distance_sources[] = {"33 CFR 183.455(b)(1)", "33 CFR 183.455(b)(2)",
                                      "33 CFR 183.460(a) (memory)", "IEC 60364-4-43 434.2.1 (memory)"};
    for (std::size_t i = 0; i < 4; ++i)
        list.push_back({fmt::format("device within {} mm of the source", distances_mm[i]), distances_mm[i],
                        source_distances()[i].length_m * 1000, 1e-9, distance_sources[i]});
    list.push_back({"voltage drop of critical circuits, %", 3, voltage_drop_limits()[0].percent, 0,
                    "ABYC E-11 11.14.2.6"});
    list.push_back({"voltage drop of other circuits, %", 10, voltage_drop_limits()[1].percent, 0,
                    "ABYC E-11 11.14.2.6"});
    list.push_back({"voltage class A up to, V DC", 60, class_a_limit_V, 0, "ADR 9.2.2; 49 CFR 571.305 S3"});
    list.push_back({"isolation at 96 V, ohm", 9600, least_isolation_ohm(96, false), 0, "UN R100 5.1.3.1"});
    list.push_back(
        {"isolation at 96 V, joined buses, ohm", 48000, least_isolation_ohm(96, true), 0, "UN R100 5.1.3.2"});
}

struct CellRow {
    const char* name;
    double empty_V, nominal_V, full_V;
    const char* source;
};
constexpr CellRow cells[] = {
    {"NMC", 3.0, 3.6, 4.2, "summary table of lithium-based batteries"},
    {"NCA", 3.0, 3.6, 4.2, "summary table of lithium-based batteries"},
    {"LCO", 3.0, 3.6, 4.2, "summary table of lithium-based batteries"},
    {"LMO", 3.0, 3.7, 4.2, "summary table of lithium-based batteries"},
    {"LFP", 2.5, 3.2, 3.65, "summary table of lithium-based batteries"},
    {"LTO", 1.8, 2.4, 2.85, "summary table of lithium-based batteries"},
    {"lead-acid", 1.75, 2.0, 2.4, "memory"},
};

void add_cells(std::vector<Published>& list) {
    for (std::size_t i = 0; i < std::size(cells); ++i) {
        const CellChemistry& found = cell_chemistries()[i];
        REQUIRE(found.name == cells[i].name);
        list.push_back(
            {fmt::format("{} empty", found.name), cells[i].empty_V, found.empty_V, 0, cells[i].source});
        list.push_back(
            {fmt::format("{} nominal", found.name), cells[i].nominal_V, found.nominal_V, 0, cells[i].source});
        list.push_back(
            {fmt::format("{} full", found.name), cells[i].full_V, found.full_V, 0, cells[i].source});
    }
}

}  // namespace

std::vector<Published> published_protection() {
    std::vector<Published> list;
    add_scopes(list);
    add_overload(list);
    add_boats(list);
    add_cells(list);
    return list;
}

TEST_CASE("figures of fuses, breakers and regulations are those in print", "[published]") {
    check_published(published_protection());
}

TEST_CASE("blade fuses have the colours in print", "[published]") {
    // ISO 8820-3 / SAE J1284, seen in a workshop guide and a parts list.
    CHECK(fuse_colour("iso8820-3", 1) == "black");
    CHECK(fuse_colour("iso8820-3", 2) == "grey");
    CHECK(fuse_colour("iso8820-3", 4) == "pink");
    CHECK(fuse_colour("iso8820-3", 10) == "red");
    CHECK(fuse_colour("iso8820-3", 15) == "blue");
    // Memory.
    CHECK(fuse_colour("iso8820-3", 7.5) == "brown");
    CHECK(fuse_colour("iso8820-3-e", 60) == "blue");
    CHECK(fuse_colour("iso8820-3", 12).empty());
    CHECK(fuse_colour("iso8820-5", 100).empty());
}
