// What changed between two revisions, as text and for machines (docs/compare.schema.json).
#pragma once
#include <string>

#include "checker/bench/compare.hpp"

namespace loomward {

// At most so many lines of a kind, then how many more; 0: all.
std::string compare_text(const Comparison& comparison, const std::string& old_path,
                         const std::string& new_path, std::size_t most, bool color);
std::string compare_json(const Comparison& comparison, const std::string& old_path,
                         const std::string& new_path);

}  // namespace loomward
