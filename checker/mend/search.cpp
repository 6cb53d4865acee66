// The search: phase by phase, all findings of a phase at once where their changes bear it, else one by one;
// then what is not needed is dropped, and every step made as small as it can be.
#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <tuple>

#include "checker/mend/candidates.hpp"
#include "checker/mend/functions.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/trials.hpp"
#include "checker/tables/ampacity.hpp"

namespace loomward {
namespace {

class Search {
  public:
    Search(const std::string& text, const Results& found, const ExamineText& examine,
           const MendOptions& options)
        : text_(text),
          found_(found),
          harness_(*found.harness),
          whole_(examine),
          start_(at_first(text, found, options)),
          now_(start_),
          trials_(text, *found.harness, options.tried_with ? options.tried_with : examine,
                  options.most_checks, start_) {}

    Mended run() {
        for (const bool slower : {false, true}) {
            if (slower && !is_wrong()) break;
            slower_ = slower;
            const Plan before = plan_;
            work_through();
            if (slower) used_slower_ = signature_of(before) != signature_of(plan_);
        }
        drop();
        step_down();
        return told();
    }

  private:
    // An error is left that asks for no value: those no change answers.
    bool is_wrong() const {
        return std::any_of(
            now_->results.findings.begin(), now_->results.findings.end(), [](const Finding& finding) {
                return finding.severity == Severity::error && !finding.accepted && !finding.asks();
            });
    }

    static Seen at_first(const std::string& text, const Results& found, const MendOptions& options) {
        auto first = options.tried_with ? options.tried_with(text) : std::nullopt;
        return seen(first ? std::move(*first) : found);
    }

    bool spent() const { return trials_.spent(); }
    Seen trial(const Plan& plan) { return trials_.of(plan); }

    // Errors that were not there before, or are worse than they were.
    std::vector<FindingKey> made(const Trial& before, const Trial& after) const {
        std::vector<FindingKey> keys;
        for (const auto& [key, severity] : after.told) {
            if (severity != Severity::error) continue;
            const auto old = before.told.find(key);
            const bool fresh = old == before.told.end() || old->second != Severity::error;
            const auto was = before.ratios.find(key), is = after.ratios.find(key);
            constexpr double noticeably = 1.05;
            const bool worse = was != before.ratios.end() && is != after.ratios.end() &&
                               is->second > noticeably * was->second;
            if (fresh || worse) keys.push_back(key);
        }
        return keys;
    }

    bool lawful(const Plan& plan, const Seen& after) const {
        return after && lost_function(start_->functions, after->functions, plan).empty();
    }
    // What uncovers something may bring errors to light; what is bought may make none.
    bool may_be_taken(const Plan& plan, const Seen& after, Phase phase) const {
        if (!lawful(plan, after)) return false;
        if (after->score >= now_->score) return false;
        return phase < Phase::single_parts || after->score.unsolved < now_->score.unsolved ||
               made(*now_, *after).empty();
    }

    void take(Plan plan, Seen after) {
        plan_ = std::move(plan);
        now_ = std::move(after);
    }

    std::vector<const Finding*> findings_up_to(Phase phase) const {
        std::vector<const Finding*> list;
        for (const Finding& finding : now_->results.findings)
            if (!finding.accepted && finding.severity != Severity::note && phase_of(finding.rule) <= phase)
                list.push_back(&finding);
        std::stable_sort(list.begin(), list.end(), [](const Finding* a, const Finding* b) {
            return std::tuple(phase_of(a->rule), a->rule, a->subject, a->beside) <
                   std::tuple(phase_of(b->rule), b->rule, b->subject, b->beside);
        });
        return list;
    }

    void work_through() {
        constexpr int most_rounds = 4;
        for (int round = 0; round < most_rounds; ++round) {
            const std::string before = signature_of(plan_);
            refused_.clear();
            for (const Phase phase :
                 {Phase::shape, Phase::not_for_sale, Phase::single_parts, Phase::way, Phase::comfort})
                work(phase);
            if (signature_of(plan_) == before || spent()) break;
        }
    }

    void work(Phase phase) {
        constexpr int most_rounds = 12;
        for (int round = 0; round < most_rounds && !spent(); ++round)
            if (!(phase >= Phase::single_parts && take_together(first_choices(phase), phase)) &&
                !take_one(phase))
                break;
    }

    std::vector<Plan> fresh_candidates(const Finding& finding) const {
        std::vector<Plan> plans = candidates(finding, now_->results, harness_, slower_);
        std::erase_if(plans, [&](const Plan& plan) {
            const Plan all = merged(plan_, plan);
            return signature_of(all) == signature_of(plan_) || refused_.contains(signature_of(plan));
        });
        return plans;
    }

    // The first to try for each finding; of two that set the same figure, the larger.
    std::vector<Plan> first_choices(Phase phase) const {
        std::vector<Plan> choices;
        Plan all;
        for (const Finding* finding : findings_up_to(phase)) {
            for (const Plan& plan : fresh_candidates(*finding)) {
                const bool clashes = std::any_of(plan.begin(), plan.end(), [&](const auto& entry) {
                    const auto at = all.find(entry.first);
                    return at != all.end() && at->second.value > entry.second.value;
                });
                if (clashes) continue;
                all = merged(all, plan);
                choices.push_back(plan);
                break;
            }
        }
        return choices;
    }

    Plan with_all(std::span<const Plan> choices) const {
        Plan all;
        for (const Plan& choice : choices) all = merged(all, choice);
        return all;
    }

    // All at once, for most findings have nothing to do with each other; where one spoils it, half of them
    // and then the other half.
    bool take_together(std::span<const Plan> choices, Phase phase) {
        if (choices.size() < 2 || spent()) return false;
        const Plan all = with_all(choices);
        if (!refused_.contains(signature_of(all))) {
            const Plan plan = merged(plan_, all);
            if (const Seen after = trial(plan); may_be_taken(plan, after, phase)) {
                take(plan, after);
                return true;
            }
            refused_.insert(signature_of(all));
        }
        const auto one = choices.first(choices.size() / 2), other = choices.subspan(one.size());
        if (one.size() > 1) trials_.prepare({merged(plan_, with_all(one)), merged(plan_, with_all(other))});
        const bool took_one = take_together(one, phase);
        return take_together(other, phase) || took_one;
    }

    struct Best {
        Plan plan;
        Seen after;
        double points = 0;
        bool gone = false;
    };

    // In the first phase every candidate is looked at, in the others mostly the first is enough: only where
    // it is not, the next ones are tried two at a time.
    void prepare(std::span<const Plan> fresh, std::size_t at, Phase phase) {
        if (phase != Phase::shape && at % 2 == 0) return;
        const auto list = phase == Phase::shape
                              ? fresh
                              : fresh.subspan(at).first(std::min<std::size_t>(2, fresh.size() - at));
        std::vector<Plan> plans;
        for (const Plan& candidate : list) plans.push_back(merged(plan_, candidate));
        trials_.prepare(plans);
    }

    // The best change for the first finding that has one.
    bool take_one(Phase phase) {
        for (const Finding* finding : findings_up_to(phase)) {
            const FindingKey key{finding->rule, finding->subject};
            std::optional<Best> best;
            const std::vector<Plan> fresh = fresh_candidates(*finding);
            barren_.clear();
            for (std::size_t i = 0; i < fresh.size(); ++i) {
                if (spent()) break;
                prepare(fresh, i, phase);
                const auto tried = joined(merged(plan_, fresh[i]), phase, 2, key);
                refused_.insert(signature_of(fresh[i]));
                tried_.insert(key);
                if (!tried) continue;
                Best now{tried->first, tried->second, points_of(tried->first),
                         !tried->second->told.contains(key)};
                const auto rank = [](const Best& of) {
                    // What is lost on the way is made up for later; a dearer change is not.
                    const Score& score = of.after->score;
                    return std::tuple(!of.gone, score.unsolved, score.errors, of.points, score.warnings);
                };
                if (!best || rank(now) < rank(*best)) best = std::move(now);
                // The cheapest that leaves nothing of it is enough where nothing is left open beside it.
                if (best->gone && phase >= Phase::not_for_sale) break;
            }
            if (!best) continue;
            take(best->plan, best->after);
            return true;
        }
        return false;
    }

    // A plan with what the errors that it makes need; nullopt: they stay, or `asked_for` does.
    std::optional<std::pair<Plan, Seen>> joined(const Plan& plan, Phase phase, int depth,
                                                const FindingKey& asked_for) {
        const Seen after = trial(plan);
        if (may_be_taken(plan, after, phase)) return std::pair(plan, after);
        if (!lawful(plan, after) || depth == 0 || phase < Phase::single_parts || spent()) return std::nullopt;
        if (after->told.contains(asked_for)) return std::nullopt;
        const std::vector<FindingKey> keys = made(*now_, *after);
        if (keys.empty() || keys.size() > 3) return std::nullopt;
        if (!barren_.emplace(depth, keys).second) return std::nullopt;
        int tried = 0;
        constexpr int most = 4;
        for (const Finding& finding : after->results.findings) {
            const FindingKey key{finding.rule, finding.subject};
            if (std::find(keys.begin(), keys.end(), key) == keys.end()) continue;
            for (const Plan& more : candidates(finding, after->results, harness_, slower_)) {
                if (std::any_of(more.begin(), more.end(), [&](const auto& entry) {
                        const auto at = plan.find(entry.first);
                        return at != plan.end() && at->second.value >= entry.second.value;
                    }))
                    continue;
                if (++tried > most) return std::nullopt;
                if (auto both = joined(merged(plan, more), phase, depth - 1, key)) return both;
            }
        }
        return std::nullopt;
    }

    // Nothing is worse and no function lost: then a change, or a step of it, was not needed.
    bool as_good(const Plan& plan, const Seen& after) const {
        return lawful(plan, after) && after->score <= now_->score && made(*now_, *after).empty();
    }

    std::vector<ChangeKey> dearest_first() const {
        std::vector<ChangeKey> keys;
        for (const auto& [key, change] : plan_) keys.push_back(key);
        std::stable_sort(keys.begin(), keys.end(), [&](const ChangeKey& a, const ChangeKey& b) {
            return plan_.at(a).points > plan_.at(b).points;
        });
        return keys;
    }

    // Most of them are needed: while one is tried, the next is tried beside it.
    void drop() {
        const std::vector<ChangeKey> keys = dearest_first();
        for (std::size_t i = 0; i < keys.size(); ++i) {
            const Plan plan = without(keys[i]);
            if (i + 1 < keys.size()) look_ahead(plan, without(keys[i + 1]));
            if (const Seen after = trial(plan); as_good(plan, after)) take(plan, after);
        }
    }

    void look_ahead(const Plan& now, const std::optional<Plan>& next) {
        if (next && !trials_.knows(now)) trials_.prepare({now, *next});
    }

    void step_down() {
        std::vector<ChangeKey> keys = dearest_first();
        std::erase_if(keys, [&](const ChangeKey& key) { return !with_smaller(key); });
        for (std::size_t i = 0; i < keys.size(); ++i)
            while (const auto smaller = with_smaller(keys[i])) {
                if (i + 1 < keys.size()) look_ahead(*smaller, with_smaller(keys[i + 1]));
                const Seen after = trial(*smaller);
                if (!as_good(*smaller, after)) break;
                take(*smaller, after);
            }
    }

    static std::vector<std::string> back(const Trial& with, const Trial& without) {
        std::vector<std::string> list;
        for (const auto& [key, severity] : without.told)
            if (const auto at = with.told.find(key); at == with.told.end() || severity < at->second)
                list.push_back(key.first + " " + key.second);
        return list;
    }

    Plan without(const ChangeKey& key) const {
        Plan plan = plan_;
        plan.erase(key);
        return plan;
    }

    std::optional<Plan> with_smaller(const ChangeKey& key) const {
        const auto smaller = one_smaller(plan_.at(key));
        if (!smaller) return std::nullopt;
        Plan plan = plan_;
        plan[key] = *smaller;
        return plan;
    }

    MadeChange told_of(const ChangeKey& key) {
        MadeChange made_change;
        made_change.change = plan_.at(key);
        if (const Seen after = trial(without(key))) made_change.clears = back(*now_, *after);
        if (const auto smaller = with_smaller(key))
            if (const Seen after = trial(*smaller)) {
                made_change.smaller_tried = true;
                const auto list = back(*now_, *after);
                made_change.smaller = list.empty() ? "" : list.front();
            }
        return made_change;
    }

    static AskedValues asked_in(const Results& results) {
        AskedValues asked;
        for (const Finding& finding : results.findings) {
            if (finding.accepted || !finding.asks()) continue;
            asked.errors += finding.severity == Severity::error;
            asked.warnings += finding.severity == Severity::warning;
        }
        return asked;
    }

    Mended told() {
        Mended mended;
        mended.errors_before = found_.count(Severity::error);
        mended.warnings_before = found_.count(Severity::warning);
        mended.text = applied(plan_, text_, harness_).value_or(text_);
        // What is said of it is what the whole check finds in the text as it will stand.
        const auto again = mended.text == text_ ? std::nullopt : whole_(mended.text);
        const Results& after = again ? *again : found_;
        const Functions functions = functions_of(after);
        mended.asked_before = asked_in(found_);
        mended.asked_after = asked_in(after);
        mended.errors_after = after.count(Severity::error);
        mended.warnings_after = after.count(Severity::warning);
        mended.modes = functions.modes;
        mended.modes_solved = functions.modes_solved;
        std::vector<Plan> proof;
        for (const auto& [key, change] : plan_) {
            proof.push_back(without(key));
            if (const auto smaller = with_smaller(key)) proof.push_back(*smaller);
        }
        trials_.prepare(proof);
        for (const auto& [key, change] : plan_) mended.changes.push_back(told_of(key));
        std::stable_sort(
            mended.changes.begin(), mended.changes.end(),
            [](const MadeChange& a, const MadeChange& b) { return a.clears.size() > b.clears.size(); });
        for (const Finding& finding : after.findings)
            if (!finding.accepted && finding.severity != Severity::note)
                mended.left.push_back({finding, tried_.contains({finding.rule, finding.subject})});
        mended.slower = used_slower_;
        mended.ended_early = spent();
        mended.checks = trials_.checks();
        return mended;
    }

    const std::string& text_;
    const Results& found_;
    const Harness& harness_;
    const ExamineText& whole_;
    Seen start_, now_;
    Trials trials_;
    Plan plan_;
    bool slower_ = false, used_slower_ = false;
    std::set<std::string> refused_;  // did not help in this round
    std::set<FindingKey> tried_;
    // Errors made on the way to one finding, at a depth, for which nothing more was found: not looked for
    // again.
    std::set<std::pair<int, std::vector<FindingKey>>> barren_;
};

}  // namespace

Mended mend(const std::string& text, const Results& found, const ExamineText& examine,
            const MendOptions& options) {
    return Search(text, found, examine, options).run();
}

}  // namespace loomward
