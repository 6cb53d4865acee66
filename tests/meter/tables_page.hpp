// Tables of docs/bench.md that are made by the tests.
#pragma once
#include <string>

#include "tests/approved.hpp"

namespace loomward::testing {

// Puts `text` in place of the n-th block of the page (from 0) and compares.
inline void holds_block(std::size_t number, const std::string& text) {
    std::string page = approved::read("docs/bench.md");
    const std::string fence = "\n```text\n";
    std::size_t at = 0;
    for (std::size_t i = 0; i <= number; ++i) {
        at = page.find(fence, at);
        REQUIRE(at != std::string::npos);
        at += fence.size();
    }
    const std::size_t end = page.find("```\n", at);
    page.replace(at, end - at, text);
    CHECK(approved::compare_with("docs/bench.md", page) == page);
}

}  // namespace loomward::testing
