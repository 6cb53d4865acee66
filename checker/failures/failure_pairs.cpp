#include "checker/failures/failure_pairs.hpp"

#include <algorithm>
#include <map>

#include "checker/failures/failure_words.hpp"

namespace loomward {
namespace {

class PairTrier {
  public:
    PairTrier(FailureReport& report, const FailureJudge& judge, const std::set<std::uint32_t>& takes_stop)
        : report_(report), judge_(judge), takes_stop_(takes_stop) {}

    std::vector<FailureLine> lines() {
        sort_out();
        try_all();
        for (const auto& [place, others] : alone_) tell_alone(report_.tried[place], others);
        return made();
    }

  private:
    using Place = std::size_t;  // into FailureReport::tried

    // Each that does the same to the circuit once.
    void sort_out() {
        const std::vector<EdgeId> parted = judge_.parted_by_stops();
        const auto keeps_closed = [&](const TriedFailure& tried) {
            return std::any_of(tried.failure.change.forced.begin(), tried.failure.change.forced.end(),
                               [&](const CircuitChange::Forced& each) {
                                   return each.conducts &&
                                          std::binary_search(parted.begin(), parted.end(), each.edge);
                               });
        };
        for (Place i = 0; i < report_.tried.size(); ++i) {
            const TriedFailure& tried = report_.tried[i];
            if (!joins(tried.failure) || tried.heading == FailureHeading::unstoppable) continue;
            const bool takes = takes_stop_.contains(tried.failure.same);
            const bool in_line = !takes && keeps_closed(tried);
            if (in_line) in_line_.insert(tried.failure.same);
            if (takes || in_line || !tried.failure.change.running.empty())
                seconds_.emplace(tried.failure.same, i);
            if (tried.hidden && (takes || in_line)) firsts_.emplace(tried.failure.same, i);
        }
    }

    void try_all() {
        std::set<std::pair<std::uint32_t, std::uint32_t>> seen;
        for (const auto& [first, i] : firsts_)
            for (const auto& [second, k] : seconds_) {
                if (first == second || !seen.insert(std::minmax(first, second)).second) continue;
                ++report_.pairs;
                const SingleFailure &one = report_.tried[i].failure, &other = report_.tried[k].failure;
                const CircuitChange both = one.change + other.change;
                const auto left = judge_.left_running(both);
                if (!left.empty())
                    found_[names_in_short(left)].push_back(failure_text(one) + " and " + failure_text(other));
                if (!in_line_.contains(first) || !in_line_.contains(second)) continue;
                if (left.empty() && !judge_.takes_a_stop(judge_.stops_with(both))) continue;
                alone_[i].insert(other.who);
                if (firsts_.contains(second)) alone_[k].insert(one.who);
            }
    }

    void tell_alone(TriedFailure& tried, const std::set<std::string>& others) const {
        if (tried.heading < FailureHeading::at_rest) return;
        tried.heading = FailureHeading::not_seen;
        tried.level = Severity::warning;
        tried.then = "only " + names_that({others.begin(), others.end()}, "still parts", "still part") +
                     " what it should";
        tried.test = judge_.test_of_contact(tried.failure);
    }

    std::vector<FailureLine> made() const {
        std::vector<FailureLine> lines;
        for (const auto& [drives, pairs] : found_) {
            std::string who = pairs.front();
            if (pairs.size() > 1) who += "; " + pairs[1];
            if (pairs.size() > 2)
                who += "; " + std::to_string(pairs.size() - 2) +
                       (pairs.size() == 3 ? " pair more" : " pairs more");
            FailureLine line;
            line.heading = FailureHeading::unstoppable;
            line.level = Severity::error;
            line.who = std::move(who);
            line.then = "nothing that a hand works stops " + drives;
            line.test = "the first of each pair is not seen: see its test";
            line.pairs = pairs.size();
            lines.push_back(std::move(line));
        }
        return lines;
    }

    FailureReport& report_;
    const FailureJudge& judge_;
    const std::set<std::uint32_t>& takes_stop_;
    std::map<std::uint32_t, Place> firsts_, seconds_;  // by SingleFailure::same
    std::set<std::uint32_t> in_line_;
    std::map<std::string, std::vector<std::string>> found_;  // by drives
    std::map<Place, std::set<std::string>> alone_;           // who is left beside it
};

}  // namespace

std::vector<FailureLine> try_pairs(FailureReport& report, const FailureJudge& judge,
                                   const std::set<std::uint32_t>& takes_stop) {
    return PairTrier(report, judge, takes_stop).lines();
}

}  // namespace loomward
