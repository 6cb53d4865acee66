// The document that every command over several files writes.
#pragma once
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "render/json/json.hpp"
#include "render/json/json_values.hpp"

namespace loomward {

Json text_or_null(std::string_view text);
// null: no mode.
Json mode_name(ModeId mode, const Harness& harness);

// A file an outcome: its path, whether it was checked, its mistakes, and under `key` what `of_results` makes
// of its results, or null.
std::string outcomes_document(const std::vector<Outcome>& outcomes, std::string_view key,
                              const std::function<Json(const Results&)>& of_results);

}  // namespace loomward
