// The results for machines; the schema is docs/check.schema.json.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "checker/budget/budget.hpp"
#include "checker/faults/fault.hpp"
#include "checker/results.hpp"
#include "parser/text/diagnostic.hpp"

namespace loomward {

// One file's outcome. `results` is null where the input had mistakes.
struct Outcome {
    std::string path;
    const Sources* sources = nullptr;
    const std::vector<Diagnostic>* mistakes = nullptr;
    const Results* results = nullptr;
};

// One JSON document for all files, two blanks a level, keys in a fixed order, line break at the end.
std::string outcomes_json(const std::vector<Outcome>& outcomes);

// The same document with the protection zones of each file and nothing else: docs/zones.schema.json.
std::string zones_json(const std::vector<Outcome>& outcomes);

// The same document with the load budget of each file and nothing else: docs/budget.schema.json.
// `budget_of` works it out.
std::string budget_json(const std::vector<Outcome>& outcomes,
                        const std::function<Budget(const Results&)>& budget_of);

// One fault at the corners at which anything flows: docs/fault.schema.json.
std::string fault_json(const Results& results, const FaultStudy& study, const FaultPlace& place,
                       const std::vector<FaultAccount>& accounts);

}  // namespace loomward
