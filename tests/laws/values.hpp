// Places in a text where a value stands that somebody might not know.
#pragma once
#include <string>
#include <vector>

#include "parser/harness.hpp"

namespace laws {

struct ValuePlace {
    std::size_t begin = 0, end = 0;  // bytes of the value with its unit
    std::string number;              // "16", "40..58"; empty: a word
    std::string unit;
};

// Numbers with a unit, outside of comments and texts; and words that are values of an attribute in the file
// itself. By place.
std::vector<ValuePlace> value_places(const std::string& text, const loomward::Harness& harness);

std::string with(const std::string& text, const ValuePlace& place, const std::string& written);
std::string line_of(const std::string& text, std::size_t at);  // "54: route B1.+ ..."

}  // namespace laws
