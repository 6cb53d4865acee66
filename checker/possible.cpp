#include "checker/possible.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <string_view>
#include <tuple>
#include <unordered_set>
#include <utility>

#include "checker/work/at_once.hpp"

namespace loomward {

using namespace literals;

namespace {

// Rule, subject and mode: what a rule tells of a subject once is told whatever the mode.
using InMode = std::tuple<std::string, std::string, std::uint32_t>;

InMode whatever_mode(const Finding& finding) {
    return {finding.rule, finding.subject, ~0U};
}
InMode in_mode(const Finding& finding) {
    return {finding.rule, finding.subject, finding.mode.value};
}

// The gravest that is told, by mode and whatever the mode.
using Gravest = std::map<InMode, Severity>;
Gravest gravest_of(const std::vector<Finding>& findings) {
    Gravest gravest;
    for (const Finding& finding : findings)
        for (const InMode& key : {whatever_mode(finding), in_mode(finding)}) {
            const auto [place, fresh] = gravest.try_emplace(key, finding.severity);
            if (!fresh) place->second = std::min(place->second, finding.severity);
        }
    return gravest;
}

bool tells(const Gravest& told, const InMode& key, Severity severity) {
    const auto found = told.find(key);
    return found != told.end() && found->second <= severity;
}

// Adds what a mixture tells and nobody else did.
void add_new(std::vector<Finding> told, Gravest& known, std::vector<Finding>& added) {
    const Gravest before = known;
    for (Finding& finding : told) {
        if (finding.severity == Severity::note || finding.asks() ||
            tells(before, whatever_mode(finding), finding.severity))
            continue;
        for (const InMode& key : {whatever_mode(finding), in_mode(finding)}) {
            Severity& gravest = known.try_emplace(key, finding.severity).first->second;
            gravest = std::min(gravest, finding.severity);
        }
        finding.possible = true;
        added.push_back(std::move(finding));
    }
}

Severity severity_of(Hides hides) {
    return hides == Hides::error     ? Severity::error
           : hides == Hides::warning ? Severity::warning
                                     : Severity::note;
}

// What a finding names: its subject and the steps of its witness, and whatever these are terminals of:
// "T1.B1.+" is one of "T1.B1". Holds on to the finding's texts.
class NamesOnWay {
  public:
    explicit NamesOnWay(const Finding& finding) {
        add(finding.subject);
        for (const Step& step : finding.witness) add(step.name);
    }
    bool has(std::string_view subject) const { return names_.contains(subject); }

  private:
    void add(std::string_view name) {
        names_.insert(name);
        for (std::size_t dot = name.find('.'); dot != std::string_view::npos; dot = name.find('.', dot + 1))
            names_.insert(name.substr(0, dot));
    }

    std::unordered_set<std::string_view> names_;
};

bool goes_by_guards(const std::string& rule) {
    return rule == "oversized-fuse" || rule == "unprotected-wire" || rule == "rated-below-guard" ||
           rule == "pack-guard" || rule == "electronic-only";
}
bool goes_by_currents(const Finding& finding) {
    return finding.corner.has_value() || finding.mode.valid();
}

// A size that is guessed from a fuse says nothing certain of what it fits.
bool is_of_guessed_size(const TakenValue& taken, const Finding& finding) {
    return taken.open.attribute == "(area)"_attr && finding.rule == "size-mismatch" &&
           NamesOnWay(finding).has(taken.open.subject);
}

// Whether an open value may decide a finding: a level of a mode what is told of that mode, other values as
// far as they reach.
bool may_decide(const OpenValue& open, const Finding& finding, const NamesOnWay& way) {
    if (open.hides == Hides::note) return false;
    if (open.is_time) return finding.mode == open.mode && judges_rule(open, finding.rule);
    if (open.mode) return finding.mode == open.mode || !finding.mode.valid();
    if (open.reach.currents && goes_by_currents(finding)) return true;
    if (!judges_rule(open, finding.rule)) return false;
    const auto on_way = [&](const std::string& name) { return way.has(name); };
    return open.reach.everywhere || open.subject.empty() || on_way(open.subject) ||
           std::any_of(open.wires.begin(), open.wires.end(), on_way) ||
           (open.reach.guards && goes_by_guards(finding.rule));
}

Finding still_open(const TakenValue& taken) {
    const OpenValue& open = taken.open;
    Finding finding;
    finding.rule = "missing-data";
    finding.severity = severity_of(open.hides);
    finding.subject = open.subject;
    finding.part = open.part;
    finding.wire = open.wire;
    finding.where = open.where;
    finding.message = "'" + open.name + "' of " + open.of + " is not known";
    finding.beside = open.meaning;
    finding.working = {"judged for " + to_text(taken.range) + " meanwhile (" + taken.source + ")"};
    finding.source = "not stated";
    finding.help = open.find_out;
    finding.possible = true;
    if (open.attribute == "(area)"_attr) {
        finding.requirement = "be " + to_text(taken.range.lo, Dimension::area) + " or larger";
        finding.working.push_back("it has to " + finding.requirement +
                                  ": what its fuse lets through for long");
    }
    return finding;
}

OpenCause cause_of(const OpenValue& open, std::string taken) {
    return {open.subject.empty() ? open.of : open.subject, open.name, std::move(taken)};
}

// What is told of guards with the smallest devices too, at both ends of what else is open, does not hang on
// what they are rated.
void hang_on_what_stayed_open(const std::vector<OpenValue>& open, const std::vector<Gravest>& with_smallest,
                              std::vector<Finding>& findings) {
    for (Finding& finding : findings) {
        if (finding.asks()) continue;
        const NamesOnWay way(finding);
        const auto told_by = [&](const Gravest& told) {
            return tells(told, whatever_mode(finding), finding.severity);
        };
        const bool whatever_rating =
            goes_by_guards(finding.rule) && std::all_of(with_smallest.begin(), with_smallest.end(), told_by);
        for (const OpenValue& value : open) {
            if (!value.unknown || !may_decide(value, finding, way)) continue;
            const bool rating = value.reach.guards && value.attribute == "(rated-current)"_attr;
            if (rating && whatever_rating) continue;
            finding.possible = true;
            finding.hangs_on.push_back(cause_of(value, {}));
        }
    }
}

// What is on the way first; where nothing that was taken there judges the rule, all of it is named.
void hang_on_what_was_taken(const std::vector<TakenValue>& taken, Finding& finding) {
    const NamesOnWay way(finding);
    std::vector<OpenCause> on_way, judging;
    for (const TakenValue& each : taken) {
        if (!way.has(each.open.subject)) continue;
        on_way.push_back(cause_of(each.open, to_text(each.range)));
        if (may_decide(each.open, finding, way)) judging.push_back(on_way.back());
    }
    const std::vector<OpenCause>& named = judging.empty() && finding.hangs_on.empty() ? on_way : judging;
    finding.hangs_on.insert(finding.hangs_on.end(), named.begin(), named.end());
    std::stable_partition(finding.hangs_on.begin(), finding.hangs_on.end(),
                          [&](const OpenCause& cause) { return way.has(cause.subject); });
}

// Of these the larger value is what the smaller one is of lengths and resistances.
bool lets_more_through(const TakenValue& taken) {
    return taken.open.attribute == "(area)"_attr || taken.open.attribute == "efficiency"_attr;
}

}  // namespace

double place_in(const Completion& completion, std::size_t mixture, std::size_t i) {
    const bool second = i % 2;
    switch (mixture) {
        case 0:
            return lets_more_through(completion.taken[i]) ? 1 : 0;
        case 1:
            return lets_more_through(completion.taken[i]) ? 0 : 1;
        case 2:
            return second ? 1 : 0;
        default:
            return second ? 0 : 1;
    }
}

void tell_possible(
    const Completion& completion, Results& results,
    const std::function<std::vector<Finding>(const std::shared_ptr<const Harness>&)>& check_at) {
    for (Finding& finding : results.findings) finding.possible |= finding.asks();
    // With the smallest devices as it is, and at one end of what is open; then the mixtures.
    std::vector<std::shared_ptr<const Harness>> tried;
    if (auto smallest = with_smallest_devices(completion.harness)) {
        tried.push_back(std::move(smallest));
        if (!completion.taken.empty())
            tried.push_back(with_smallest_devices(pinned(completion, [](std::size_t) { return 0.0; })));
    }
    const std::size_t smallest_count = tried.size();
    for (std::size_t k = 0; k < mixtures && !completion.taken.empty(); ++k)
        tried.push_back(pinned(completion, [&](std::size_t i) { return place_in(completion, k, i); }));
    std::vector<std::vector<Finding>> told_by(tried.size());
    at_once(tried.size(), [&](std::size_t i) { told_by[i] = check_at(tried[i]); });
    std::vector<Gravest> with_smallest(smallest_count);
    for (std::size_t i = 0; i < smallest_count; ++i) with_smallest[i] = gravest_of(told_by[i]);
    hang_on_what_stayed_open(open_values(*completion.harness), with_smallest, results.findings);
    if (completion.taken.empty()) return;
    for (Finding& finding : results.findings)
        finding.possible |=
            std::any_of(completion.taken.begin(), completion.taken.end(),
                        [&](const TakenValue& taken) { return is_of_guessed_size(taken, finding); });
    std::map<InMode, std::size_t> of_subject;  // how many are told of one subject
    for (const Finding& finding : results.findings) ++of_subject[whatever_mode(finding)];
    Gravest known = gravest_of(results.findings);
    std::vector<Finding> added;
    for (std::size_t k = 0; k < mixtures; ++k) {
        std::vector<Finding> now = std::move(told_by[smallest_count + k]);
        const Gravest told = gravest_of(now);
        for (Finding& finding : results.findings) {
            const bool single = of_subject[whatever_mode(finding)] == 1;
            finding.possible |=
                !tells(told, single ? whatever_mode(finding) : in_mode(finding), finding.severity);
        }
        add_new(std::move(now), known, added);
    }
    results.findings.insert(results.findings.end(), std::make_move_iterator(added.begin()),
                            std::make_move_iterator(added.end()));
    for (Finding& finding : results.findings)
        if (finding.possible && !finding.asks()) hang_on_what_was_taken(completion.taken, finding);
    for (const TakenValue& taken : completion.taken)
        if (!taken.sure || taken.open.attribute == "(area)"_attr)
            results.findings.push_back(still_open(taken));
    std::vector<Assumption> assumed = assumptions_of(completion);
    results.assumptions.insert(results.assumptions.end(), std::make_move_iterator(assumed.begin()),
                               std::make_move_iterator(assumed.end()));
}

}  // namespace loomward
