// Findings and mistakes as SARIF 2.1.0 (OASIS), which editors and build servers read.
#pragma once
#include <string>
#include <vector>

#include "render/json/json.hpp"

namespace loomward {

// One run over all files. A finding is a result with the way of its current as a code flow, other places as
// related locations; an accepted one is suppressed with the owner's reason. A mistake in the text is a result
// of its own rule, and the run then counts as not successful. Columns count characters.
std::string sarif_text(const std::vector<Outcome>& outcomes, const std::string& version);

}  // namespace loomward
