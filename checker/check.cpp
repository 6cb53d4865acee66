// The passes of a check, in order. Each is named, gets what it needs, and returns a value.
#include <algorithm>
#include <map>

#include "checker/acceptances.hpp"
#include "checker/alternatives.hpp"
#include "checker/circuit/touching.hpp"
#include "checker/circuit/unstated.hpp"
#include "checker/copies.hpp"
#include "checker/currents/loading.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/currents/own_modes.hpp"
#include "checker/held_requirements.hpp"
#include "checker/own_findings.hpp"
#include "checker/parts/positions.hpp"
#include "checker/possible.hpp"
#include "checker/protection/zones.hpp"
#include "checker/quick_check.hpp"
#include "checker/rests_on.hpp"
#include "checker/results.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule.hpp"
#include "checker/rules/tell_apart.hpp"
#include "checker/rules/watched.hpp"
#include "checker/taken_values.hpp"
#include "checker/thresholds.hpp"
#include "checker/worst_times.hpp"

namespace loomward {
namespace {

void sort_findings(std::vector<Finding>& findings) {
    std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
        return std::tie(a.where, a.rule) < std::tie(b.where, b.rule);
    });
}

void assume_wire_defaults(const Harness& harness, const Facts& facts) {
    for (const Wire& wire : harness.wires)
        if (wire.insulation_known == Knowledge::assumed) {
            facts.assume("insulation of wires", "pvc 70 degC", "IEC 60364-5-52, lowest",
                         "wires that do not say");
            break;
        }
}

// The family of a rule, or every family where none is named.
bool is_wanted(const RuleFamily& family, std::string_view rule) {
    return rule.empty() || std::any_of(family.rules.begin(), family.rules.end(),
                                       [&](const RuleInfo& info) { return info.name == rule; });
}

// Everything but what is done to the findings of all alternatives together.
Results check_once(const std::shared_ptr<const Harness>& harness, const CheckOptions& options,
                   Unstated reverse, std::string_view only_rule = {}) {
    Results results;
    results.harness = harness;
    results.circuit = build_circuit(*harness, reverse);
    Facts facts(*harness);
    results.points = solve_modes(results.circuit, facts, options.only_mode);
    results.boxes = warm_boxes(results.circuit, facts, results.points, options.only_mode);
    const Touching touching(results.circuit, Positions(results.circuit).ways());
    const Zones zones = find_zones(results.circuit, facts);
    const Proof proof = prove_guards(results.circuit, facts, bar_pairs(results.circuit, touching));
    results.wires = load_wires(results.circuit, facts, results.points);
    results.guards = wire_guards(results.circuit, proof);
    const Transients transients = follow_transients(results.circuit, facts, options.only_mode);

    results.zones = protection_zones(results.circuit, facts, zones, proof, results.wires);

    const FaultStudy faults(results.circuit, facts, touching, results.wires);

    Report report;
    const std::vector<AtSetting> at_settings = draw_at_settings(results.circuit, facts);
    const RuleInput input{*harness, results.circuit, results.points, at_settings,   results.wires, zones,
                          proof,    transients,      faults,         results.boxes, facts};
    for (const RuleFamily* family : rule_families())
        if (is_wanted(*family, only_rule)) family->run(input, report);
    results.findings = report.take();
    for (Finding& finding : results.findings) tell_apart(finding);

    assume_wire_defaults(*harness, facts);
    results.assumptions = facts.assumptions();
    for (const std::string& line : not_watched(*harness)) results.not_checked.push_back(line);
    results.not_checked.insert(
        results.not_checked.end(),
        {"short circuits inside phase leads, motors and electronics; what capacitors under 20 J add to one",
         "bounce and arcing of contacts, and the pull-in of warm coils",
         "temperatures of connectors in a bundle"});
    if (!touching.lists_every_pair())
        results.not_checked.emplace_back(
            "every short between two wires of very large bundles and blocks: neighbours by name, and those "
            "behind the largest fuses and the thinnest with all others");
    if (std::any_of(harness->parts.begin(), harness->parts.end(),
                    [](const Part& part) { return part.kind == Kind::panel; }))
        results.not_checked.emplace_back(
            "what panels drive in a mode or into a short circuit: their leads are judged by ratings alone");
    return results;
}

Results check_both_ways(const std::shared_ptr<const Harness>& harness, const CheckOptions& options) {
    Results results = check_once(harness, options, Unstated::passes);
    if (const std::vector<PartId> either = open_reverses(*harness); !either.empty())
        take_worse(*harness, either, check_once(harness, options, Unstated::blocks), results);
    return results;
}

// What one check of it finds, in one mode where one is named, by the family of one rule where one is.
std::vector<Finding> found_in(const std::shared_ptr<const Harness>& harness, std::string_view mode,
                              std::string_view rule = {}) {
    CheckOptions quiet;
    quiet.only_mode = mode;
    return check_once(harness, quiet, Unstated::passes, rule).findings;
}

// Wires and parts times checks that a look for thresholds may cost where nobody asked for it.
constexpr std::size_t cheap = 400;
constexpr std::size_t many = 2000;  // checks, where somebody did

std::size_t checks_for_thresholds(const Harness& harness, const CheckOptions& options) {
    return options.all_thresholds ? many : cheap / (harness.wires.size() + harness.parts.size() + 1);
}

std::size_t checks_for_requirements(const Harness& harness, const CheckOptions& options) {
    constexpr std::size_t least = 2, most = 24;
    return options.all_thresholds ? most : std::clamp(checks_for_thresholds(harness, options), least, most);
}

// The harness as written, with the modes of the one that is judged where those were settled.
std::shared_ptr<const Harness> with_modes_of(const std::shared_ptr<const Harness>& written,
                                             const std::shared_ptr<const Harness>& before,
                                             const std::shared_ptr<const Harness>& settled) {
    if (settled == before) return written;
    if (before == written) return settled;
    auto made = std::make_shared<Harness>(*written);
    made->modes = settled->modes;
    return made;
}

// Which findings hang on what the file leaves open, and where they turn.
void tell_open(const Completion& completion, const Harness& harness, const CheckOptions& options,
               Results& results) {
    const auto check_at = [&](const std::shared_ptr<const Harness>& changed) {
        return found_in(changed, options.only_mode);
    };
    tell_possible(completion, results, check_at);
    find_thresholds(
        completion, results.findings, checks_for_thresholds(harness, options),
        [&](const std::shared_ptr<const Harness>& changed, std::string_view mode, std::string_view rule) {
            return found_in(changed, mode.empty() ? options.only_mode : mode, rule);
        });
    hold_requirements(completion, results.findings, checks_for_requirements(harness, options), check_at);
}

Results check_all(const std::shared_ptr<const Harness>& as_written, const CheckOptions& options,
                  bool quickly) {
    std::vector<LeftAtRest> left;
    const std::shared_ptr<const Harness> written = with_worst_times(as_written);
    Completion completion = complete(written);
    const std::shared_ptr<const Harness> unsettled = completion.harness;
    completion.harness = settle_own_modes(unsettled, left);
    const std::shared_ptr<const Harness> harness = with_modes_of(written, unsettled, completion.harness);
    Results results = check_both_ways(completion.harness, options);
    if (!quickly) tell_open(completion, *harness, options, results);
    results.harness = harness;
    results.judged = completion.harness;
    const std::vector<std::size_t> lowered =
        judge_own_modes(completion, results, [&](const std::shared_ptr<const Harness>& changed, ModeId mode) {
            return found_in(changed, changed->modes[mode.index()].name);
        });
    if (options.only_mode.empty())
        take_graver_modes(lowered, results, [&](ModeId mode) {
            CheckOptions alone;
            alone.only_mode = harness->modes[mode.index()].name;
            return check_all(as_written, alone, quickly).findings;
        });
    say_own_modes(*harness, left, results.assumptions);
    const std::vector<OpenValue> open = open_values(*harness);
    say_what_it_rests_on(open, completion.taken, results.findings);
    if (options.only_mode.empty())
        apply_acceptances(*harness, results.findings, [&](ModeId mode) {
            CheckOptions alone;
            alone.only_mode = harness->modes[mode.index()].name;
            return check_both_ways(completion.harness, alone).findings;
        });
    bring_together(results.findings);
    sort_findings(results.findings);
    fold_copies(*harness, results.findings);
    results.unknown_values = static_cast<std::size_t>(
        std::count_if(open.begin(), open.end(), [](const OpenValue& each) { return each.unknown; }));
    return results;
}
}  // namespace

Results check(std::shared_ptr<const Harness> written, const CheckOptions& options) {
    return check_all(written, options, false);
}

Results check_quickly(std::shared_ptr<const Harness> harness) {
    return check_all(harness, {}, true);
}

std::vector<RuleInfo> rule_list() {
    std::vector<RuleInfo> all;
    for (const RuleFamily* family : rule_families())
        all.insert(all.end(), family->rules.begin(), family->rules.end());
    all.push_back(unused_acceptance);
    std::sort(all.begin(), all.end(), [](const RuleInfo& a, const RuleInfo& b) { return a.name < b.name; });
    return all;
}

}  // namespace loomward
