// What every JSON document of the program shares.
#pragma once
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

namespace loomward {

// Keys stay in the order in which they are written.
using Json = nlohmann::ordered_json;

inline constexpr std::string_view json_caution =
    "checked under the stated assumptions, not a licence: see local codes";

// Infinite and undefined numbers have no JSON: null.
inline Json json_number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

// Two blanks a level, a line break at the end; what is no UTF-8 is replaced.
inline std::string document_text(const Json& whole) {
    return whole.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace loomward
