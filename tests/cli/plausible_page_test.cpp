// docs/plausible.md is what the program says is plausible, and how far that may be trusted.
#include <catch2/catch.hpp>

#include "render/text/text.hpp"
#include "tests/approved.hpp"

namespace plausible_page_test {

using namespace loomward;

TEST_CASE("the page of what is plausible says what the program says") {
    CHECK(approved::compare_with("docs/plausible.md", plausible_page()) == plausible_page());
}

TEST_CASE("the page of what is plausible says first that a range is not a bound") {
    const std::string page = plausible_page();
    const std::string head = page.substr(0, page.find("\n## "));
    CHECK(head.find("A range is not a bound") != std::string::npos);
    CHECK(head.find("low confidence are taken twice as wide") != std::string::npos);
}

}  // namespace plausible_page_test
