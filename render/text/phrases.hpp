// Small pieces of English that several texts share.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

inline constexpr std::size_t text_columns = 100;

// "no errors", "1 error", "2 errors": the plural takes an s.
std::string counted(std::size_t count, std::string_view noun);

// What an edge is called: its wire, the contact of its connector, or its part; empty for a joint.
std::string edge_name(const Results& results, EdgeId id);

std::string_view severity_word(Severity severity);  // "error"

// "above 3.2 m"
std::string turn_text(const Turn& turn);

// "pack low, 40 degC, mode climb": when the numbers of a finding hold, or empty for one that
// holds always.
std::string circumstances(const Finding& finding, const Results& results);

// "      why:    first line" and its continuation lines, each with a line break, no wider than text_columns.
std::string labelled(std::string_view label, std::string_view text, bool color);

// "      path:   B1.+ > W1 > F1", wrapped so that no line begins with a sign; of a long path both ends. Empty
// for an empty path.
std::string labelled_path(const std::vector<Step>& witness, bool color);

// The number a finding goes by in text, JSON and on the sheet: its place in the results, from 1; 0 where it
// is none of them.
int finding_number(const Finding& finding, const Results& results);

// " up to 5 A", or nothing.
std::string accepted_amount(const Acceptance& acceptance);

}  // namespace loomward
