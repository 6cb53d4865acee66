#include "checker/possible.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <string_view>
#include <tuple>
#include <unordered_set>
#include <utility>

#include "checker/other_ends.hpp"
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

// What a drive returns flows in the modes that say so.
bool idle_in(const Harness& harness, const OpenValue& open, ModeId mode) {
    if (open.attribute != "regen"_attr || !open.part || !mode) return false;
    const Mode& in = harness.modes[mode.index()];
    const std::int32_t profile = in.states[open.part.index()].profile;
    return profile < 0 || in.profiles[static_cast<std::size_t>(profile)].flow != Flow::returns;
}

// Whether an open value may decide a finding: a level of a mode what is told of that mode, other values as
// far as they reach.
bool may_decide(const Harness& harness, const OpenValue& open, const Finding& finding,
                const NamesOnWay& way) {
    if (open.hides == Hides::note || open.reach.forbids_only) return false;
    if (open.is_time) return finding.mode == open.mode && judges_rule(open, finding.rule);
    if (open.mode) return finding.mode == open.mode || !finding.mode.valid();
    if (idle_in(harness, open, finding.mode)) return false;
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
        RequiredFigure needed{open.attribute, "be", taken.range.lo, Dimension::area};
        needed.rest = " or larger";
        finding.requirement = to_text(needed);
        finding.required = std::move(needed);
        finding.working.push_back("it has to " + finding.requirement +
                                  ": what its fuse lets through for long");
    }
    return finding;
}

OpenCause cause_of(const OpenValue& open, std::string taken) {
    return {open.subject.empty() ? open.of : open.subject, open.name, std::move(taken)};
}

// When a device opens: what it is rated, by which curve, at which setting; and what a drive pushes.
bool is_of_a_guard(const OpenValue& open) {
    const Attr of = open.attribute;
    return open.reach.guards &&
           (of == "(rated-current)"_attr || of == "curve"_attr || of == "trips"_attr || of == "regen"_attr);
}
// What other ends of what stays open tell: of the first list with the smallest devices there may be, of the
// second at either end of the ambient. What all of a list tell does not hang on that.
struct OtherEnds {
    std::vector<Gravest> smallest, ambients;
};
bool told_by_all(const std::vector<Gravest>& ends, const Finding& finding) {
    return !ends.empty() && std::all_of(ends.begin(), ends.end(), [&](const Gravest& told) {
        return tells(told, whatever_mode(finding), finding.severity);
    });
}

void hang_on_what_stayed_open(const Harness& harness, const OtherEnds& ends, std::vector<Finding>& findings) {
    const std::vector<OpenValue> open = open_values(harness);
    for (Finding& finding : findings) {
        if (finding.asks()) continue;
        const NamesOnWay way(finding);
        const bool whatever_guards = goes_by_guards(finding.rule) && told_by_all(ends.smallest, finding);
        const bool whatever_ambient = told_by_all(ends.ambients, finding);
        // The devices it speaks of before those that stand elsewhere.
        const auto spoken_of = [&](const OpenValue& value) {
            return way.has(value.subject) ||
                   (value.part &&
                    std::any_of(finding.related.begin(), finding.related.end(), [&](const Related& note) {
                        return note.where == harness.part(value.part).where;
                    }));
        };
        std::vector<OpenCause> causes, of_guards_elsewhere;
        bool guard_spoken_of = false;
        for (const OpenValue& value : open) {
            if (!value.unknown || !may_decide(harness, value, finding, way)) continue;
            const bool of_a_guard = is_of_a_guard(value);
            if (of_a_guard ? whatever_guards : whatever_ambient && is_ambient_of_all(value)) continue;
            const bool elsewhere = of_a_guard && !spoken_of(value);
            guard_spoken_of |= of_a_guard && !elsewhere;
            (elsewhere ? of_guards_elsewhere : causes).push_back(cause_of(value, {}));
        }
        if (!guard_spoken_of)
            causes.insert(causes.end(), of_guards_elsewhere.begin(), of_guards_elsewhere.end());
        finding.possible |= !causes.empty();
        finding.hangs_on.insert(finding.hangs_on.end(), causes.begin(), causes.end());
    }
}

// What is on the way first; where nothing that was taken there judges the rule, all of it is named; where
// nothing lies there, what is elsewhere.
void hang_on_what_was_taken(const Completion& completion, Finding& finding) {
    const NamesOnWay way(finding);
    std::vector<OpenCause> on_way, judging, elsewhere;
    for (const TakenValue& each : completion.taken) {
        const OpenCause cause = cause_of(each.open, to_text(each.range));
        const bool judges = may_decide(*completion.harness, each.open, finding, way);
        if (way.has(each.open.subject))
            on_way.push_back(cause);
        else if (judges)
            elsewhere.push_back(cause);
        if (judges && way.has(each.open.subject)) judging.push_back(cause);
    }
    const std::vector<OpenCause>& named = !judging.empty() || !finding.hangs_on.empty() ? judging
                                          : !on_way.empty()                             ? on_way
                                                                                        : elsewhere;
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

std::shared_ptr<const Harness> at_mixture(const Completion& completion, std::size_t mixture) {
    if (completion.taken.empty()) return completion.harness;
    return pinned(completion, [&](std::size_t i) { return place_in(completion, mixture, i); });
}

void tell_possible(
    const Completion& completion, Results& results,
    const std::function<std::vector<Finding>(const std::shared_ptr<const Harness>&)>& check_at) {
    for (Finding& finding : results.findings) finding.possible |= finding.asks();
    // With the smallest devices, as it is and at one end of what is open; at the ends of the ambient; then
    // the mixtures.
    std::vector<std::shared_ptr<const Harness>> tried;
    const auto coolest = [](std::shared_ptr<const Harness> harness) {
        auto cool = with_ambient_at(harness, false);
        return cool ? cool : harness;
    };
    if (auto smallest = with_smallest_devices(coolest(completion.harness))) {
        tried.push_back(std::move(smallest));
        if (!completion.taken.empty())
            tried.push_back(
                with_smallest_devices(coolest(pinned(completion, [](std::size_t) { return 0.0; }))));
    }
    const std::size_t smallest_count = tried.size();
    // What is cold lets most through; either end of what is open may make the least current.
    for (const auto& [hot, mixture] : {std::pair(false, least_resistance), std::pair(false, most_resistance),
                                       std::pair(true, least_resistance)})
        if (auto ambient = with_ambient_at(at_mixture(completion, mixture), hot))
            tried.push_back(std::move(ambient));
    const std::size_t ends_count = tried.size();
    for (std::size_t k = 0; k < mixtures && !completion.taken.empty(); ++k)
        tried.push_back(at_mixture(completion, k));
    std::vector<std::vector<Finding>> told_by(tried.size());
    at_once(tried.size(), [&](std::size_t i) { told_by[i] = check_at(tried[i]); });
    OtherEnds ends;
    for (std::size_t i = 0; i < ends_count; ++i)
        (i < smallest_count ? ends.smallest : ends.ambients).push_back(gravest_of(told_by[i]));
    hang_on_what_stayed_open(*completion.harness, ends, results.findings);
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
        std::vector<Finding> now = std::move(told_by[ends_count + k]);
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
        if (finding.possible && !finding.asks()) hang_on_what_was_taken(completion, finding);
    for (const TakenValue& taken : completion.taken)
        if (!taken.sure || taken.open.attribute == "(area)"_attr)
            results.findings.push_back(still_open(taken));
    std::vector<Assumption> assumed = assumptions_of(completion);
    results.assumptions.insert(results.assumptions.end(), std::make_move_iterator(assumed.begin()),
                               std::make_move_iterator(assumed.end()));
}

}  // namespace loomward
