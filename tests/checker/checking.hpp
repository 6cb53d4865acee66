// From a text to its findings, for tests.
#pragma once
#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <catch2/catch.hpp>

#include "checker/results.hpp"
#include "parser/read.hpp"
#include "tests/no_files.hpp"

namespace loomward::testing {

// Mistakes in the text fail the test.
Results check_text(const std::string& text);

// "rule subject", sorted, of this severity and not accepted.
std::vector<std::string> found(const Results& results, Severity severity);

// The first finding of a rule, about this subject where one is given; nullptr: none.
const Finding* finding_of(const Results& results, std::string_view rule, std::string_view subject = {});

// The gravest that a rule says of a subject; nullopt: nothing.
std::optional<Severity> gravest_of(const Results& results, std::string_view rule, std::string_view subject);

// Fails the test where the finding has none of that name.
double figure(const Finding& finding, std::string_view name);

// Fails the test where `from` is not in the text.
std::string replaced(std::string text, std::string_view from, std::string_view to);

}  // namespace loomward::testing
