// The rows of the table of plausible ranges, by files. Internal to checker/tables.
#pragma once
#include <span>
#include <string_view>

#include "checker/tables/plausible.hpp"

namespace loomward::plausible {

inline constexpr std::string_view unsourced = "no source";
// For a row of fuses whose family the language has no word for: taken where no family is stated.
inline constexpr std::string_view no_family = "(none)";

// The attribute of most rows.
inline constexpr Attr resistance = "resistance"_attr;

std::span<const PlausibleRow> contact_rows();
std::span<const PlausibleRow> fuse_rows();
std::span<const PlausibleRow> joint_rows();
std::span<const PlausibleRow> pack_rows();
std::span<const PlausibleRow> electronics_rows();
std::span<const PlausibleRow> surroundings_rows();

}  // namespace loomward::plausible
