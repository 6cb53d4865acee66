#include "checker/mend/trials.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "checker/work/at_once.hpp"

namespace loomward {

Seen seen(Results results) {
    Trial trial;
    trial.functions = functions_of(results);
    for (const Finding& finding : results.findings) {
        if (finding.accepted || finding.severity == Severity::note) continue;
        trial.asks += finding.asks() && finding.severity == Severity::error;
        const FindingKey key = key_of(finding);
        const auto [at, fresh] = trial.told.emplace(key, finding.severity);
        at->second = std::min(at->second, finding.severity);
        if (finding.rule.starts_with("overloaded") && finding.figures.size() >= 2 &&
            finding.figures[1].value > 0)
            trial.ratios[key] = finding.figures[0].value / finding.figures[1].value;
    }
    trial.score = {trial.functions.modes - trial.functions.modes_solved, results.count(Severity::error),
                   results.count(Severity::warning)};
    trial.above = rated_above_before(results);
    trial.results = std::move(results);
    return std::make_shared<const Trial>(std::move(trial));
}

Trials::Trials(const std::string& text, const Harness& found, const ExamineText& examine, std::size_t most,
               Seen nothing)
    : text_(text), found_(found), examine_(examine), most_(most), nothing_(std::move(nothing)) {}

Seen Trials::of(const Plan& plan) {
    if (plan.empty()) return nothing_;
    prepare({plan});
    return known_.at(signature_of(plan));
}

void Trials::prepare(const std::vector<Plan>& plans) {
    struct Job {
        std::string signature, text;
        Seen result;
    };
    std::vector<Job> jobs;
    for (const Plan& plan : plans) {
        std::string signature = signature_of(plan);
        if (plan.empty() || !known_.emplace(signature, nullptr).second) continue;
        if (auto text = applied(plan, text_, found_); text && !spent()) {
            ++checks_;
            jobs.push_back({std::move(signature), std::move(*text), nullptr});
        }
    }
    at_once(jobs.size(), [&](std::size_t i) {
        if (auto results = examine_(jobs[i].text)) jobs[i].result = seen(std::move(*results));
    });
    for (Job& job : jobs) known_[job.signature] = std::move(job.result);
}

}  // namespace loomward
