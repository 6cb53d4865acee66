// The search: phase by phase, all findings of a phase at once where their changes bear it, else one by one;
// then what is not needed is dropped, and every step made as small as it can be.
#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <tuple>

#include "checker/mend/candidates.hpp"
#include "checker/mend/functions.hpp"
#include "checker/mend/made_changes.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/open_findings.hpp"
#include "checker/mend/trials.hpp"
#include "checker/mend/whole_checks.hpp"

namespace loomward {
namespace {

// What is offered when all before it is spent.
enum class Pass : std::uint8_t {
    strict,    // a plan may make no error, be it only possible
    tolerant,  // what is only possible may come of it
    slower     // settings are lowered for what could be bought
};

class Search {
  public:
    Search(const std::string& text, const Results& found, const ExamineText& examine,
           const MendOptions& options)
        : text_(text),
          found_(found),
          harness_(*found.harness),
          whole_(text, found, examine),
          open_(found),
          start_(at_first(text, found, options)),
          now_(start_),
          trials_(text, *found.harness, options.tried_with ? options.tried_with : examine,
                  options.most_checks, start_) {}

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

    // An error is left that asks for no value: those no change answers.
    bool is_wrong() const {
        return std::any_of(now_->results.findings.begin(), now_->results.findings.end(),
                           [&](const Finding& finding) {
                               return finding.severity == Severity::error && !finding.accepted &&
                                      !finding.asks() && !open_.has(key_of(finding));
                           });
    }
    Score score(const Seen& of) const { return open_.score(*of); }

    static Seen at_first(const std::string& text, const Results& found, const MendOptions& options) {
        auto first = options.tried_with ? options.tried_with(text) : std::nullopt;
        return seen(first ? std::move(*first) : found);
    }

    bool spent() const { return trials_.spent(); }
    Seen trial(const Plan& plan) { return trials_.of(plan); }
    bool lawful(const Plan& plan, const Seen& after) const {
        return after && lost_function(start_->functions, after->functions, plan).empty();
    }
    // What uncovers something may bring errors to light; what is bought may make none.
    bool may_be_taken(const Plan& plan, const Seen& after, Phase phase) {
        if (!lawful(plan, after)) return false;
        if (score(after) < score(now_) &&
            (phase < Phase::single_parts || after->score.unsolved < now_->score.unsolved ||
             open_.errors_made(*now_, *after).empty()))
            return true;
        return pass_ != Pass::strict && only_may_be(plan, after) && score(after) < score(now_);
    }

    // Whether the errors that a plan makes are all only possible; then they are the owner's to look into.
    bool only_may_be(const Plan& plan, const Seen& after) {
        const std::vector<FindingKey> keys = open_.errors_made(*now_, *after);
        if (!open_.any() || keys.empty() || whole_.spent()) return false;
        const auto whole = whole_.of(plan);
        return whole && open_.leave(keys, *whole);
    }
    // An error that holds for some of what is open only now, and none is certain that was not.
    bool is_no_longer_certain(const Plan& plan, const FindingKey& key) {
        const auto* was = open_.any() ? whole_.certain_with(plan_) : nullptr;
        if (!was || !was->contains(key)) return false;
        const auto* is = whole_.certain_with(plan);
        if (!is || is->contains(key) || !std::includes(was->begin(), was->end(), is->begin(), is->end()))
            return false;
        open_.leave(key);
        return true;
    }
    // What is left to the owner may not become certain again.
    bool stays_open(const Plan& plan) {
        if (!open_.any()) return true;
        const auto *was = whole_.certain_with(plan_), *is = whole_.certain_with(plan);
        return !was || !is || std::includes(was->begin(), was->end(), is->begin(), is->end());
    }

    void take(Plan plan, Seen after) {
        plan_ = std::move(plan);
        now_ = std::move(after);
    }

    std::vector<const Finding*> findings_up_to(Phase phase) const {
        std::vector<const Finding*> list;
        for (const Finding& finding : now_->results.findings)
            if (!finding.accepted && finding.severity != Severity::note && phase_of(finding.rule) <= phase &&
                !open_.has(key_of(finding)))
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
            if (!(phase >= Phase::single_parts && take_together(first_choices(phase), phase)) &&
                !take_one(phase))
                break;
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
                    // What is lost on the way is made up for later; a dearer change is not.
                    const Score left = score(of.after);
                    return std::tuple(!of.gone, left.unsolved, left.errors, of.points, left.warnings);
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
        if (!lawful(plan, after)) return std::nullopt;
        if (after->told.contains(asked_for))
            return is_no_longer_certain(plan, asked_for) ? std::optional(std::pair(plan, after))
                                                         : std::nullopt;
        if (depth == 0 || phase < Phase::single_parts || spent()) return std::nullopt;
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

    // Nothing is worse and no function lost: then a change, or a step of it, was not needed.
    bool as_good(const Plan& plan, const Seen& after) const {
        return lawful(plan, after) && score(after) <= score(now_) && open_.errors_made(*now_, *after).empty();
    }

    // Most of them are needed: while one is tried, the next is tried beside it.
    void drop() {
        const std::vector<ChangeKey> keys = dearest_first(plan_);
        for (std::size_t i = 0; i < keys.size(); ++i) {
            if (!plan_.contains(keys[i])) continue;  // went with another
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

    Mended told() {
        Mended mended;
        mended.errors_before = found_.count(Severity::error);
        mended.warnings_before = found_.count(Severity::warning);
        mended.text = applied(plan_, text_, harness_).value_or(text_);
        // What is said of it is what the whole check finds in the text as it will stand.
        mended.results = std::make_shared<const Results>(whole_.of(plan_).value_or(found_));
        const Results& after = *mended.results;
        const Functions functions = functions_of(after);
        mended.asked_before = counts_of_asked(found_);
        mended.asked_after = counts_of_asked(after);
        mended.possible_before = counts_of_possible(found_);
        mended.possible_after = counts_of_possible(after);
        mended.errors_after = after.count(Severity::error);
        mended.warnings_after = after.count(Severity::warning);
        mended.modes = functions.modes;
        mended.modes_solved = functions.modes_solved;
        mended.changes = made_changes(plan_, *now_, trials_, open_);
        for (const Finding& finding : after.findings)
            if (!finding.accepted && finding.severity != Severity::note)
                mended.left.push_back({finding, tried_.contains(key_of(finding))});
        mended.slower = used_slower_;
        mended.ended_early = spent();
        mended.checks = trials_.checks() + whole_.checks();
        return mended;
    }

    const std::string& text_;
    const Results& found_;
    const Harness& harness_;
    WholeChecks whole_;
    OpenFindings open_;
    Seen start_, now_;
    Trials trials_;
    Plan plan_;
    Pass pass_ = Pass::strict;
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
