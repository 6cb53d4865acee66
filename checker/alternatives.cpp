#include "checker/alternatives.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "checker/circuit/unstated.hpp"

namespace loomward {
namespace {

using namespace literals;

using Key = std::pair<std::string, std::string>;  // rule and subject
using Groups = std::map<Key, std::vector<Finding>>;

Groups grouped(std::vector<Finding> findings) {
    Groups groups;
    for (Finding& finding : findings) groups[{finding.rule, finding.subject}].push_back(std::move(finding));
    return groups;
}

Severity gravest(const std::vector<Finding>& findings) {
    Severity worst = Severity::note;
    for (const Finding& finding : findings) worst = std::min(worst, finding.severity);
    return worst;
}

// The largest current or energy that any of them speaks of.
double largest_figure(const std::vector<Finding>& findings) {
    double largest = 0;
    for (const Finding& finding : findings)
        for (const Figure& figure : finding.figures)
            if (figure.dimension == Dimension::current || figure.dimension == Dimension::energy ||
                figure.dimension == Dimension::joule_integral)
                largest = std::max(largest, figure.value);
    return largest;
}

bool worse(const std::vector<Finding>& a, const std::vector<Finding>& b) {
    if (gravest(a) != gravest(b)) return gravest(a) < gravest(b);
    return largest_figure(a) > 1.001 * largest_figure(b);
}

std::string said_of(const Harness& harness, const std::vector<PartId>& open, bool passes) {
    std::string names;
    for (std::size_t i = 0; i < open.size() && i < 3; ++i)
        names += (i ? ", " : "") + std::string(harness.part(open[i]).name);
    if (open.size() > 3) names += " and others";
    return std::string("assumed: ") +
           (passes ? "current passes back through " : "nothing passes back through ") + names +
           ", whose 'reverse' is not stated; this is the worse of the two here";
}

}  // namespace

std::vector<PartId> open_reverses(const Harness& harness) {
    std::vector<PartId> open;
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (reverse_is_open(harness, PartId(i))) open.emplace_back(i);
    return open;
}

void take_worse(const Harness& harness, const std::vector<PartId>& open, Results blocked, Results& results) {
    const Groups passing = grouped(results.findings), blocking = grouped(std::move(blocked.findings));
    const auto mark = [&](Finding& finding, bool passes) {
        finding.working.push_back(said_of(harness, open, passes));
    };
    std::set<Key> replaced;
    std::vector<Finding> added;
    for (const auto& [key, group] : blocking) {
        const auto other = passing.find(key);
        if (other != passing.end() && !worse(group, other->second)) continue;
        if (other != passing.end()) replaced.insert(key);
        for (Finding finding : group) {
            mark(finding, false);
            added.push_back(std::move(finding));
        }
    }
    for (Finding& finding : results.findings) {
        const auto other = blocking.find({finding.rule, finding.subject});
        if (other == blocking.end() || worse(passing.at(other->first), other->second)) mark(finding, true);
    }
    std::erase_if(results.findings, [&](const Finding& finding) {
        return replaced.contains({finding.rule, finding.subject});
    });
    results.findings.insert(results.findings.end(), std::make_move_iterator(added.begin()),
                            std::make_move_iterator(added.end()));
    for (Assumption& one : blocked.assumptions) {
        const bool known =
            std::any_of(results.assumptions.begin(), results.assumptions.end(), [&](const auto& each) {
                return std::tie(each.what, each.value, each.source) ==
                       std::tie(one.what, one.value, one.source);
            });
        if (!known) results.assumptions.push_back(std::move(one));
    }
    for (std::string& each : blocked.not_checked)
        if (std::find(results.not_checked.begin(), results.not_checked.end(), each) ==
            results.not_checked.end())
            results.not_checked.push_back(std::move(each));
}

}  // namespace loomward
