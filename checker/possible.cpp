#include "checker/possible.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <tuple>

namespace loomward {

using namespace literals;

namespace {

// Rule, subject and mode: what a rule tells of a subject once is told whatever the mode.
using Key = std::tuple<std::string, std::string, std::uint32_t>;

Key whatever_mode(const Finding& finding) {
    return {finding.rule, finding.subject, ~0U};
}
Key in_mode(const Finding& finding) {
    return {finding.rule, finding.subject, finding.mode.value};
}

// The gravest that is told, by mode and whatever the mode.
using Gravest = std::map<Key, Severity>;
Gravest gravest_of(const std::vector<Finding>& findings) {
    Gravest gravest;
    for (const Finding& finding : findings)
        for (const Key& key : {whatever_mode(finding), in_mode(finding)}) {
            const auto [place, fresh] = gravest.try_emplace(key, finding.severity);
            if (!fresh) place->second = std::min(place->second, finding.severity);
        }
    return gravest;
}

bool tells(const Gravest& told, const Key& key, Severity severity) {
    const auto found = told.find(key);
    return found != told.end() && found->second <= severity;
}

// Adds what a mixture tells and nobody else did.
void add_new(std::vector<Finding> told, Gravest& known, std::vector<Finding>& added) {
    const Gravest before = known;
    for (Finding& finding : told) {
        if (finding.severity == Severity::note || finding.rule == "missing-data" ||
            tells(before, whatever_mode(finding), finding.severity))
            continue;
        for (const Key& key : {whatever_mode(finding), in_mode(finding)}) {
            Severity& gravest = known.try_emplace(key, finding.severity).first->second;
            gravest = std::min(gravest, finding.severity);
        }
        finding.possible = true;
        added.push_back(std::move(finding));
    }
}

constexpr std::size_t mixtures = 4;  // all low, all high, and two of ends

// Where in its range value `i` stands in mixture `k`.
double place_in(std::size_t mixture, std::size_t i) {
    switch (mixture) {
        case 0:
            return 0;
        case 1:
            return 1;
        case 2:
            return i % 2 ? 1 : 0;
        default:
            return i % 2 ? 0 : 1;
    }
}

Severity severity_of(Hides hides) {
    return hides == Hides::error     ? Severity::error
           : hides == Hides::warning ? Severity::warning
                                     : Severity::note;
}

// "T1.B1.+" is a terminal of "T1.B1".
bool is_on_way(const Finding& finding, const std::string& subject) {
    const auto names = [&](const std::string& step) {
        return step == subject || (step.starts_with(subject) && step[subject.size()] == '.');
    };
    return names(finding.subject) || std::any_of(finding.witness.begin(), finding.witness.end(),
                                                 [&](const Step& step) { return names(step.name); });
}

bool goes_by_heat(const std::string& rule) {
    return rule.starts_with("overloaded-") || rule == "oversized-fuse" || rule == "slow-clearing" ||
           rule == "limit-at-temperature" || rule == "voltage-drop" || rule == "nuisance-trip" ||
           rule == "setting-too-high" || rule == "undervoltage" || rule == "rated-below-guard";
}

bool goes_by_guards(const std::string& rule) {
    return rule == "oversized-fuse" || rule == "unprotected-wire" || rule == "rated-below-guard" ||
           rule == "pack-guard" || rule == "electronic-only";
}
bool bounds_current(const OpenValue& open) {
    constexpr Attr bounds[] = {"(rated-current)"_attr, "trips"_attr, "output"_attr, "short-circuit"_attr,
                               "discharge"_attr,       "curve"_attr, "pin"_attr,    "regen"_attr};
    return std::find(std::begin(bounds), std::end(bounds), open.attribute) != std::end(bounds);
}

// Whether a value that stayed unknown may decide a finding: an ambient or policy all that goes by it, a level
// of a mode what is told of that mode, what is on the way what the value's own list names.
bool may_decide(const OpenValue& open, const Finding& finding) {
    if (open.hides == Hides::note) return false;
    const bool listed = open.judges.find(finding.rule) != std::string_view::npos;
    const bool all = open.judges.find("every ") != std::string_view::npos ||
                     open.judges.find("what ") != std::string_view::npos;
    if (open.attribute == "ambient"_attr) return goes_by_heat(finding.rule);
    if (open.mode) return finding.mode == open.mode || !finding.mode.valid();
    if (open.subject.empty()) return listed;
    // What bounds a current anywhere bounds it for every wire that it can reach; what draws pulls on every
    // supply.
    if (goes_by_guards(finding.rule) && bounds_current(open)) return true;
    if (all) return finding.corner.has_value() || finding.mode.valid() || is_on_way(finding, open.subject);
    return listed && is_on_way(finding, open.subject);
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

void hang_on_what_stayed_open(const std::vector<OpenValue>& open, std::vector<Finding>& findings) {
    for (const OpenValue& value : open) {
        if (!value.unknown) continue;
        for (Finding& finding : findings) {
            if (finding.rule == "missing-data" || !may_decide(value, finding)) continue;
            finding.possible = true;
            finding.hangs_on.push_back({value.subject.empty() ? value.of : value.subject, value.name, {}});
        }
    }
}

}  // namespace

void tell_possible(
    const Completion& completion, Results& results,
    const std::function<std::vector<Finding>(const std::shared_ptr<const Harness>&)>& check_at) {
    for (Finding& finding : results.findings) finding.possible |= finding.rule == "missing-data";
    hang_on_what_stayed_open(open_values(*completion.harness), results.findings);
    if (completion.taken.empty()) return;
    std::map<Key, std::size_t> of_subject;  // how many are told of one subject
    for (const Finding& finding : results.findings) ++of_subject[whatever_mode(finding)];
    Gravest known = gravest_of(results.findings);
    std::vector<Finding> added;
    for (std::size_t k = 0; k < mixtures; ++k) {
        std::vector<Finding> now =
            check_at(pinned(completion, [&](std::size_t i) { return place_in(k, i); }));
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
        if (finding.possible && finding.rule != "missing-data")
            for (const TakenValue& taken : completion.taken)
                if (is_on_way(finding, taken.open.subject))
                    finding.hangs_on.push_back({taken.open.subject, taken.open.name, to_text(taken.range)});
    for (const TakenValue& taken : completion.taken)
        if (!taken.sure || taken.open.attribute == "(area)"_attr)
            results.findings.push_back(still_open(taken));
    std::vector<Assumption> assumed = assumptions_of(completion);
    results.assumptions.insert(results.assumptions.end(), std::make_move_iterator(assumed.begin()),
                               std::make_move_iterator(assumed.end()));
}

}  // namespace loomward
