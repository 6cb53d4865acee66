// docs/language.md tells the tables as the program holds them. To take a change over into the page, run
// tests/approve and read the difference.
#include <catch2/catch.hpp>

#include <string>

#include "parser/language/kind_tables.hpp"
#include "tests/approved.hpp"

namespace language_tables_test {

TEST_CASE("the language page has the tables of kinds, attributes and units that the program reads by") {
    const std::string name = "docs/language.md";
    const std::string page = approved::read(name);
    const std::size_t begin = page.find("<!-- tables: begin");
    const std::size_t end = page.find("<!-- tables: end -->");
    REQUIRE(begin != std::string::npos);
    REQUIRE(end != std::string::npos);
    REQUIRE(begin < end);
    const std::size_t after_marker = page.find('\n', begin) + 1;
    const std::string expected =
        page.substr(0, after_marker) + "\n" + loomward::kind_tables_markdown() + "\n" + page.substr(end);
    CHECK(approved::compare_with(name, expected) == expected);
}

}  // namespace language_tables_test
