#include "checker/rests_on.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace loomward {

using namespace literals;

namespace {

constexpr std::size_t most_lines = 3;  // more would bury the working

// "T1.B1.+" is a terminal of "T1.B1"; a name without a terminal stays.
std::string owner_of(const std::string& step, const std::map<std::string, std::vector<std::size_t>>& known) {
    if (known.contains(step)) return step;
    const std::size_t dot = step.rfind('.');
    return dot == step.npos ? step : step.substr(0, dot);
}

}  // namespace

void say_what_it_rests_on(const std::vector<OpenValue>& open, const std::vector<TakenValue>& taken,
                          std::vector<Finding>& findings) {
    const auto is_taken = [&](const OpenValue& value) {
        return std::any_of(taken.begin(), taken.end(), [&](const TakenValue& each) {
            return std::tie(each.open.part, each.open.wire, each.open.attribute) ==
                   std::tie(value.part, value.wire, value.attribute);
        });
    };
    std::map<std::string, std::vector<std::size_t>> by_name;
    const OpenValue* ambient = nullptr;
    for (std::size_t i = 0; i < open.size(); ++i) {
        // What is taken as a range is named by what hangs on it, or decides nothing; a doubt is told itself.
        if (open[i].attribute == "doubt"_attr) continue;
        if (!is_taken(open[i]) && (open[i].part || open[i].wire)) by_name[open[i].subject].push_back(i);
        if (open[i].attribute == "ambient"_attr && open[i].unknown) ambient = &open[i];
    }
    if (open.empty()) return;
    for (Finding& finding : findings) {
        if (finding.asks()) continue;
        std::vector<std::string> names{finding.subject};
        for (const Step& step : finding.witness) names.push_back(step.name);
        std::vector<std::size_t> used;
        for (const std::string& name : names)
            if (const auto values = by_name.find(owner_of(name, by_name)); values != by_name.end())
                used.insert(used.end(), values->second.begin(), values->second.end());
        // What is unknown and may decide it is named by what it hangs on.
        std::erase_if(used, [&](std::size_t i) {
            return open[i].unknown && (finding.possible || !judges_rule(open[i], finding.rule));
        });
        std::sort(used.begin(), used.end());
        used.erase(std::unique(used.begin(), used.end()), used.end());
        for (std::size_t i = 0; i < used.size() && i < most_lines; ++i) {
            const OpenValue& value = open[used[i]];
            finding.working.push_back("on the way: '" + value.name + "' of " + value.of + " is " +
                                      (value.unknown ? "not known" : value.written));
        }
        if (used.size() > most_lines)
            finding.working.push_back("and " + std::to_string(used.size() - most_lines) +
                                      " more values on the way that are not known or estimated");
        if (ambient && judges_rule(*ambient, finding.rule))
            finding.working.emplace_back("an ambient is not known: it is taken as -20..50 degC");
    }
}

}  // namespace loomward
