// Single failures and what they do, for machines; the schema is docs/failures.schema.json.
#pragma once
#include <string>

#include "checker/failures/failures.hpp"

namespace loomward {

std::string failures_json(const FailureReport& report, const Harness& harness, const std::string& path);

}  // namespace loomward
