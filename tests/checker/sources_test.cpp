// docs/sources.md says what the tables say of themselves, row for row.
#include "checker/tables/sources.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <string>
#include <vector>

namespace sources_test {

using namespace loomward;

namespace {

std::vector<std::string> rows_of_the_page() {
    std::ifstream page(LOOMWARD_SOURCE_DIR "/docs/sources.md");
    REQUIRE(page);
    std::vector<std::string> rows;
    bool in_table = false;
    for (std::string line; std::getline(page, line);) {
        if (line.rfind("| --- ", 0) == 0)
            in_table = true;
        else if (line.rfind("| ", 0) != 0)
            in_table = false;
        else if (in_table)
            rows.push_back(line);
    }
    return rows;
}

std::string row_text(const PublishedSource& row) {
    return fmt::format("| {} | {} | {} | {} | {} |", row.document, row.edition, row.holds,
                       known_word(row.known), row.caution);
}

}  // namespace

TEST_CASE("docs/sources.md lists every table and formula as the program knows it", "[sources]") {
    const std::vector<std::string> page = rows_of_the_page();
    std::vector<std::string> known;
    for (const PublishedSource& row : source_table()) known.push_back(row_text(row));
    REQUIRE(known.size() == source_count);
    for (std::size_t i = 0; i < std::min(page.size(), known.size()); ++i) CHECK(page[i] == known[i]);
    CHECK(page.size() == known.size());
}

TEST_CASE("a citation says when a figure was not seen in its document", "[sources]") {
    CHECK(cite(SourceId::cfr_table_5) == "33 CFR 183.425 Table 5");
    CHECK(cite(SourceId::iec_insulated) == "IEC 60364-5-52 523.9 (memory)");
    CHECK(cite(SourceId::abyc_drop) == "ABYC E-11 11.14.2.6 (seen at second hand)");
    for (const PublishedSource& row : source_table()) {
        INFO(row.document);
        CHECK_FALSE(row.document.empty());
        CHECK_FALSE(row.holds.empty());
        CHECK((cite(row.id).find('(' + std::string(known_word(row.known)) + ')') != std::string::npos) ==
              (row.known != Known::seen));
        // A bar would end the cell of the page.
        CHECK(row.holds.find('|') == std::string_view::npos);
        CHECK(row.caution.find('|') == std::string_view::npos);
    }
}

}  // namespace sources_test
