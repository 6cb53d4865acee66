// What the log of a run comes to, as text and for machines (docs/run.schema.json).
#pragma once
#include <string>

#include "checker/bench/run_study.hpp"

namespace loomward {

// What is not as expected first, then what is; what was not judged; a line that counts. For a log without
// mistakes.
std::string run_text(const ComparedRun& run, const std::string& path, bool color);
std::string run_json(const ComparedRun& run, const std::string& path);

}  // namespace loomward
