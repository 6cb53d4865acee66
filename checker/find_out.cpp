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

// What hangs on a value: that of a finding with several of them hangs less on each, unless one decides it
// alone.
double weight_of(const Finding& finding, const Decided& decided) {
    const auto share = 1 / static_cast<double>(std::max<std::size_t>(finding.hangs_on.size(), 1));
    return weight_of(finding.severity) * (decided.turns ? 1 : share);
}

// By subject and attribute.
std::map<std::pair<std::string, std::string>, std::vector<Decided>> decided_by(const Results& results) {
    std::map<std::pair<std::string, std::string>, std::vector<Decided>> decided;
    for (std::size_t i = 0; i < results.findings.size(); ++i) {
        const Finding& finding = results.findings[i];
        if (!finding.possible || finding.accepted) continue;
        for (const OpenCause& cause : finding.hangs_on)
            decided[{cause.subject, cause.name}].push_back({i, cause.subject, cause.turns});
    }
    return decided;
}

}  // namespace

std::vector<ToFindOut> what_to_find_out(const Results& results) {
    const auto decided = decided_by(results);
    std::vector<ToFindOut> groups;
    for (const OpenValue& value : open_values(*results.harness)) {
        auto group = std::find_if(groups.begin(), groups.end(), [&](const ToFindOut& each) {
            return each.first.name == value.name && each.first.unknown == value.unknown;
        });
        if (group == groups.end()) {
            groups.push_back({value, {}, {}, 0, 0});
            group = std::prev(groups.end());
        }
        const std::string& of = value.subject.empty() ? value.of : value.subject;
        group->of.push_back(value.unknown ? of : of + " (" + value.written + ")");
        if (const auto known = decided.find({of, value.name}); known != decided.end())
            for (const Decided& each : known->second) {
                group->decides += weight_of(results.findings[each.finding], each);
                group->findings.push_back(each);
            }
        if (value.unknown && value.hides == Hides::error) {
            group->decides += could_hide;
            ++group->could_hide;
        }
    }
    for (ToFindOut& group : groups)
        std::stable_sort(group.findings.begin(), group.findings.end(),
                         [](const Decided& a, const Decided& b) { return a.finding < b.finding; });
    std::stable_sort(groups.begin(), groups.end(),
                     [](const ToFindOut& a, const ToFindOut& b) { return a.decides > b.decides; });
    return groups;
}

}  // namespace loomward
