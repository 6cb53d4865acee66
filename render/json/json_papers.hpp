// The figures of a report for other programs: docs/report.schema.json.
#pragma once
#include <string>
#include <vector>

#include "checker/papers/papers.hpp"
#include "render/json/json.hpp"

namespace loomward {

// One document for one file: the results as `check` gives them and, under `papers`, what the report shows
// besides. `papers`: null where the file was not checked. `version` is the program's.
// `readings`: what was measured, a document of docs/readings.schema.json; empty: nothing was.
// `runs`: logs of runs, a document of docs/run.schema.json each.
std::string papers_json(const Outcome& outcome, const Papers* papers, const std::string& version,
                        const std::string& readings = {}, const std::vector<std::string>& runs = {});

}  // namespace loomward
