// What the log of a run comes to, as text and for machines (docs/run.schema.json).
#pragma once
#include <string>
#include <vector>

#include "checker/bench/run_study.hpp"

namespace loomward {

// What is not as expected first, then what is; what was not judged; a line that counts. For a log without
// mistakes.
std::string run_text(const ComparedRun& run, const std::string& path, bool color);
// The pieces of it, for a page: a sentence for each figure that was compared, in the order of the report;
// where a joint is bad; how much was logged and how much of it is not as expected.
struct RunLine {
    bool strange = false;  // not as expected
    std::string text;
};
std::vector<RunLine> run_lines(const ComparedRun& run);
std::string bad_joint_line(const ComparedRun& run, const BadJoint& joint);
std::string run_summary(const ComparedRun& run);  // "121 rows in 120 s, 1 not as expected"

std::string run_json(const ComparedRun& run, const std::string& path);

}  // namespace loomward
