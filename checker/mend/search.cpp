// The search: phase by phase, all findings of a phase at once where their changes bear it, else one by one;
// then what is not needed is dropped, and every step made as small as it can be.
#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <tuple>

#include "checker/mend/candidates.hpp"
#include "checker/mend/functions.hpp"
#include "checker/mend/in_a_row.hpp"
#include "checker/mend/made_changes.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/standing.hpp"

namespace loomward {
namespace {

// What is tried for a finding.
struct Choice {
    Plan plan;
    FindingKey about;
};

class Search : Standing {
  public:
    Search(const std::string& text, const Results& found, const ExamineText& examine,
           const MendOptions& options)
        : Standing(text, found, examine, options) {}

    Mended run() {
        search();
        // What only may be was left to the owner: where a plan has made it certain, it is worked on after
        // all.
        if (open_.any() && open_.forget_what_is_certain(whole_.of(plan_).value_or(found_))) search();
        return told();
    }

  private:
    void search() {
        for (const Pass pass : {Pass::strict, Pass::tolerant, Pass::slower}) {
            if (pass != Pass::strict && !is_wrong()) break;
            if (pass == Pass::tolerant && !open_.any()) continue;
            pass_ = pass;
            const Plan before = plan_;
            work_through();
            if (pass == Pass::slower) used_slower_ |= signature_of(before) != signature_of(plan_);
        }
        drop();
        step_down();
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

    // What a plan has brought to light may be no more than possible.
    void look_what_is_open() {
        const std::string plan = signature_of(plan_);
        if (!open_.any() || plan == looked_at_) return;
        looked_at_ = plan;
        if (const auto whole = whole_.of(plan_)) open_.leave_what_is_open(*whole);
    }

    void work(Phase phase) {
        constexpr int most_rounds = 12;
        for (int round = 0; round < most_rounds && !spent(); ++round) {
            look_what_is_open();
            if (!(phase >= Phase::single_parts && take_choices(phase)) && !take_one(phase)) break;
        }
    }

    std::vector<Plan> fresh_candidates(const Finding& finding) const {
        std::vector<Plan> plans = candidates(finding, now_->results, harness_, pass_ == Pass::slower);
        std::erase_if(plans, [&](const Plan& plan) {
            const Plan all = merged(plan_, plan);
            return signature_of(all) == signature_of(plan_) || refused_.contains(signature_of(plan));
        });
        return plans;
    }

    // The first to try for each finding; of two that set the same figure, the larger. `by_device`: what a
    // device and its wires are together first, for that often answers what is said of each of the wires.
    std::vector<Choice> first_choices(Phase phase, bool by_device) const {
        std::vector<Choice> choices;
        Plan all;
        for (const Finding* finding : findings_up_to(phase, now_->results, open_)) {
            std::vector<Plan> plans = fresh_candidates(*finding);
            if (by_device) std::stable_partition(plans.begin(), plans.end(), mending::sets_device);
            for (const Plan& plan : plans) {
                const bool clashes = std::any_of(plan.begin(), plan.end(), [&](const auto& entry) {
                    const auto at = all.find(entry.first);
                    return at != all.end() && at->second.value > entry.second.value;
                });
                if (clashes) continue;
                all = merged(all, plan);
                choices.push_back({plan, key_of(*finding)});
                break;
            }
        }
        return choices;
    }

    // Finding by finding a thicker wire may be the cheapest and yet the dearest of all together: what costs
    // least as a whole is tried first.
    bool take_choices(Phase phase) {
        std::vector<Choice> first = first_choices(phase, false), other = first_choices(phase, true);
        if (points_of(with_all(other)) < points_of(with_all(first))) std::swap(first, other);
        return take_all(first, phase) || take_all(other, phase) || take_together(first, phase);
    }

    Plan with_all(std::span<const Choice> choices) const {
        Plan all;
        for (const Choice& choice : choices) all = merged(all, choice.plan);
        return all;
    }

    bool take_all(std::span<const Choice> choices, Phase phase) {
        const Plan all = with_all(choices);
        if (choices.size() < 2 || refused_.contains(signature_of(all))) return false;
        const Plan plan = merged(plan_, all);
        if (const Seen after = trial(plan); may_be_taken(plan, after, phase) && raised(after).empty()) {
            if (!take_what_helped(choices, after, phase)) take(plan, after);
            return true;
        }
        refused_.insert(signature_of(all));
        return false;
    }

    // Of what was tried at once, without the choices whose findings stay: a step that was not enough is not
    // kept for what may come of it.
    bool take_what_helped(std::span<const Choice> choices, const Seen& after, Phase phase) {
        std::vector<Choice> useful(choices.begin(), choices.end());
        std::erase_if(useful, [&](const Choice& choice) { return after->told.contains(choice.about); });
        if (useful.empty() || useful.size() == choices.size()) return false;
        const Plan plan = merged(plan_, with_all(useful));
        const Seen without = trial(plan);
        if (!may_be_taken(plan, without, phase) || !raised(without).empty() || score(after) < score(without))
            return false;
        for (const Choice& choice : choices)
            if (after->told.contains(choice.about)) refused_.insert(signature_of(choice.plan));
        take(plan, without);
        return true;
    }

    // All at once, for most findings have nothing to do with each other; where one spoils it, half of them
    // and then the other half.
    bool take_together(std::span<const Choice> choices, Phase phase) {
        if (choices.size() < 2 || spent()) return false;
        if (take_all(choices, phase)) return true;
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
        for (const Finding* finding : findings_up_to(phase, now_->results, open_)) {
            const FindingKey key = key_of(*finding);
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
                const auto rank = [&](const Best& of) {
                    // What is lost on the way is made up for later; a dearer change is not. What is fed
                    // again may ask for values.
                    const Score left = score(of.after);
                    return std::tuple(!of.gone, left.unsolved, left.errors - of.after->asks,
                                      raised(of.after).size(), of.points, left.warnings);
                };
                if (!best || rank(now) < rank(*best)) best = std::move(now);
                // The cheapest that leaves nothing of it is enough.
                if (best->gone && raised(best->after).empty() && phase >= Phase::not_for_sale) break;
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
        if (!lawful(plan, after)) return std::nullopt;
        if (after->told.contains(asked_for))
            return is_no_longer_certain(plan, asked_for) ? std::optional(std::pair(plan, after))
                                                         : std::nullopt;
        if (depth == 0 || phase < Phase::single_parts || spent()) return std::nullopt;
        if (const InARow above = raised(after); !above.empty()) {
            const Plan before = as_large_before(above, *after->results.harness);
            return before.empty() ? std::nullopt : joined(merged(plan, before), phase, depth - 1, asked_for);
        }
        const std::vector<FindingKey> keys = open_.errors_made(*now_, *after);
        if (keys.empty() || keys.size() > 3) return std::nullopt;
        if (!barren_.emplace(depth, keys).second) return std::nullopt;
        // What is bought may be a larger one; nothing that is there is changed for what only may be.
        std::vector<std::pair<Plan, FindingKey>> own, others;
        for (const Finding& finding : after->results.findings) {
            const FindingKey key = key_of(finding);
            if (std::find(keys.begin(), keys.end(), key) == keys.end()) continue;
            for (const Plan& more : candidates(finding, after->results, harness_, pass_ == Pass::slower))
                if (std::none_of(more.begin(), more.end(), [&](const auto& entry) {
                        const auto at = plan.find(entry.first);
                        return at != plan.end() && at->second.value >= entry.second.value;
                    }))
                    (is_about_what_it_brings(more, plan) ? own : others).emplace_back(more, key);
        }
        constexpr std::size_t most = 4;
        if (auto both = joined_with(own, most, plan, phase, depth)) return both;
        if (own.size() > most) return std::nullopt;
        if (only_may_be(plan, after) && may_be_taken(plan, after, phase)) return std::pair(plan, after);
        return joined_with(others, most - own.size(), plan, phase, depth);
    }

    std::optional<std::pair<Plan, Seen>> joined_with(const std::vector<std::pair<Plan, FindingKey>>& offered,
                                                     std::size_t most, const Plan& plan, Phase phase,
                                                     int depth) {
        for (std::size_t i = 0; i < std::min(most, offered.size()); ++i)
            if (auto both = joined(merged(plan, offered[i].first), phase, depth - 1, offered[i].second))
                return both;
        return std::nullopt;
    }

    // Most of them are needed: while one is tried, the next is tried beside it.
    void drop() {
        const std::vector<ChangeKey> keys = dearest_first(plan_);
        for (std::size_t i = 0; i < keys.size(); ++i) {
            // Went with another, or belongs to one.
            if (!plan_.contains(keys[i]) || plan_.at(keys[i]).of_pattern) continue;
            const Plan plan = without(plan_, keys[i]);
            if (i + 1 < keys.size() && plan_.contains(keys[i + 1]))
                look_ahead(plan, without(plan_, keys[i + 1]));
            const Seen after = trial(plan);
            if ((as_good(plan, after) || (after && only_may_be(plan, after) && as_good(plan, after))) &&
                stays_open(plan))
                take(plan, after);
        }
    }

    void look_ahead(const Plan& now, const std::optional<Plan>& next) {
        if (next && !trials_.knows(now)) trials_.prepare({now, *next});
    }

    void step_down() {
        std::vector<ChangeKey> keys = dearest_first(plan_);
        std::erase_if(keys, [&](const ChangeKey& key) { return !with_smaller(plan_, key); });
        for (std::size_t i = 0; i < keys.size(); ++i)
            while (const auto smaller = with_smaller(plan_, keys[i])) {
                if (i + 1 < keys.size()) look_ahead(*smaller, with_smaller(plan_, keys[i + 1]));
                const Seen after = trial(*smaller);
                if (!as_good(*smaller, after) || !stays_open(*smaller)) break;
                take(*smaller, after);
            }
    }

    // A plan that brings as much as it clears is none.
    bool gains(const Mended& mended) const {
        const auto certain = [](std::size_t errors, const FindingCounts& possible) {
            return errors - possible.errors;
        };
        return std::tuple(certain(mended.errors_after, mended.possible_after), mended.errors_after,
                          mended.warnings_after) <
                   std::tuple(certain(mended.errors_before, mended.possible_before), mended.errors_before,
                              mended.warnings_before) ||
               mended.modes_solved > start_->functions.modes_solved;
    }

    Mended told() {
        // What is said of it is what the whole check finds in the text as it will stand.
        Mended mended = told_of(found_, std::make_shared<const Results>(whole_.of(plan_).value_or(found_)));
        if (!plan_.empty() && !gains(mended)) {
            take({}, start_);
            mended = told_of(found_, std::make_shared<const Results>(found_));
        }
        mended.text = applied(plan_, text_, harness_).value_or(text_);
        mended.changes = made_changes(plan_, *now_, trials_, open_);
        for (LeftFinding& left : mended.left) left.tried = tried_.contains(key_of(left.finding));
        mended.above = raised_above(start_->above, rated_above_before(*mended.results));
        mended.slower = used_slower_;
        mended.ended_early = spent();
        mended.checks = trials_.checks() + whole_.checks();
        return mended;
    }

    bool used_slower_ = false;
    std::string looked_at_;          // the plan
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
