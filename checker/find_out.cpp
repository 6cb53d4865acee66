#include "checker/find_out.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <utility>

namespace loomward {
namespace {

constexpr double could_hide = 0.5;

double weight_of(Severity severity) {
    return severity == Severity::error ? 4 : severity == Severity::warning ? 1 : 0.1;
}

// What hangs on each value, by subject and attribute. What hangs on several hangs less on each, but for those
// that decide it alone.
std::map<std::pair<std::string, std::string>, double> weights(const Results& results) {
    std::map<std::pair<std::string, std::string>, double> weight;
    for (const Finding& finding : results.findings) {
        if (!finding.possible || finding.accepted) continue;
        const auto share = 1 / static_cast<double>(std::max<std::size_t>(finding.hangs_on.size(), 1));
        for (const OpenCause& cause : finding.hangs_on)
            weight[{cause.subject, cause.name}] += weight_of(finding.severity) * (cause.turns ? 1 : share);
    }
    return weight;
}

}  // namespace

std::vector<ToFindOut> what_to_find_out(const Results& results) {
    const auto weight = weights(results);
    std::vector<ToFindOut> groups;
    for (const OpenValue& value : open_values(*results.harness)) {
        auto group = std::find_if(groups.begin(), groups.end(), [&](const ToFindOut& each) {
            return each.first.name == value.name && each.first.unknown == value.unknown;
        });
        if (group == groups.end()) {
            groups.push_back({value, {}, 0});
            group = std::prev(groups.end());
        }
        const std::string& of = value.subject.empty() ? value.of : value.subject;
        group->of.push_back(value.unknown ? of : of + " (" + value.written + ")");
        if (const auto known = weight.find({of, value.name}); known != weight.end())
            group->decides += known->second;
        if (value.unknown && value.hides == Hides::error) group->decides += could_hide;
    }
    std::stable_sort(groups.begin(), groups.end(),
                     [](const ToFindOut& a, const ToFindOut& b) { return a.decides > b.decides; });
    return groups;
}

}  // namespace loomward
