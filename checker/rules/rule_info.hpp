// What is told about a rule (`explain`, docs/rules.md).
#pragma once
#include <string_view>

namespace loomward {

struct RuleInfo {
    std::string_view name;       // "overloaded-wire"
    std::string_view looks_for;  // one sentence
    std::string_view formula;
    std::string_view source;
    std::string_view limits;   // where it does not hold, what it leaves out
    std::string_view example;  // a change to the example harness (rule_example.hpp) that triggers it ...
    std::string_view
        instead_of;  // ... and what stands in the harness that passes; both empty: cannot be shown
};

}  // namespace loomward
