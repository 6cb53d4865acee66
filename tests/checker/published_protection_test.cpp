// Fuses, breakers and the limits of regulations as printed.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "checker/parts/facts.hpp"
#include "checker/tables/limits.hpp"
#include "checker/tables/protection.hpp"
#include "tests/checker/checking.hpp"
#include "tests/checker/published.hpp"

using namespace loomward;
using namespace loomward::literals;

namespace {

void add_loads(std::vector<Published>& list) {
    list.push_back({"advised load of a blade fuse", 0.70, find_protection_family("iso8820-3")->load_factor, 0,
                    "ISO 8820-2, lower end (memory)"});
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
}

// What a policy allows where the file says nothing.
void add_policies(std::vector<Published>& list) {
    testing::NoFiles no_files;
    const std::string text = "loom 1\nharness \"none\" { ambient 10..30 degC }\n";
    const ReadResult read = read_harness_text("test.loom", text, no_files, {});
    const Facts facts(*read.harness);
    list.push_back({"device within 7 in of the source, mm", 177.8,
                    1000 * facts.policy("unprotected-length"_attr).hi, 0.5, "33 CFR 183.455(b)(1)"});
    list.push_back({"voltage drop of critical circuits, %", 3, facts.policy("voltage-drop"_attr).hi, 0,
                    "ABYC E-11 11.14.2.6"});
    list.push_back({"voltage class A up to, V DC", 60, facts.policy("live-when-unmated-above"_attr).hi, 0,
                    "ADR 9.2.2; 49 CFR 571.305 S3"});
    list.push_back({"continuous load of a device, %", 80, facts.policy("continuous-fuse-load"_attr).hi, 0,
                    "NFPA 70 210.20(A), 2023"});
}

struct CellRow {
    const char* name;
    double nominal_V, full_V, lowest_V;
    const char* source;
};
constexpr CellRow cells[] = {
    {"NMC", 3.6, 4.2, 2.5, "summary table of lithium-based batteries"},
    {"NCA", 3.6, 4.2, 2.5, "summary table of lithium-based batteries"},
    {"LCO", 3.6, 4.2, 2.5, "summary table of lithium-based batteries"},
    {"LMO", 3.7, 4.2, 2.5, "summary table of lithium-based batteries"},
    {"LFP", 3.2, 3.65, 2.0, "summary table of lithium-based batteries"},
    {"LTO", 2.4, 2.85, 1.5, "summary table of lithium-based batteries"},
    {"lead-acid", 2.0, 2.4, 0, "memory"},
};

void add_cells(std::vector<Published>& list) {
    for (std::size_t i = 0; i < std::size(cells); ++i) {
        const CellChemistry& found = cell_chemistries()[i];
        REQUIRE(found.name == cells[i].name);
        if (cells[i].lowest_V > 0)
            list.push_back({fmt::format("{} lowest", found.name), cells[i].lowest_V, found.lowest_V, 0,
                            cells[i].source});
        list.push_back(
            {fmt::format("{} nominal", found.name), cells[i].nominal_V, found.nominal_V, 0, cells[i].source});
        list.push_back(
            {fmt::format("{} full", found.name), cells[i].full_V, found.full_V, 0, cells[i].source});
    }
}

}  // namespace

std::vector<Published> published_protection() {
    std::vector<Published> list;
    add_loads(list);
    add_overload(list);
    add_policies(list);
    add_cells(list);
    return list;
}

TEST_CASE("figures of fuses, breakers and regulations are those in print", "[published]") {
    check_published(published_protection());
}
