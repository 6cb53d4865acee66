// What the user said is not known, and what it keeps from being checked.
#include <algorithm>
#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/parts/open_values.hpp"
#include "checker/rules/requirements.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/protection.hpp"

namespace loomward::rules::missing_data {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"missing-data", "a value that is said to be unknown, with what cannot be checked without it", "-", "-",
     "as grave as the gravest finding that the value could hide: mostly an error; a value taken meanwhile is "
     "said in the working",
     "breaks unknown", "breaks 2.5 kA at 80 V dc"},
    {"family-rating",
     "a fuse or breaker of a rating that its family does not have: nothing tells when it opens, and no short "
     "behind it can be judged",
     "the family's table of times has a row for the rated current", "the family's own standard",
     "an error as an unknown curve is, for whatever lies behind it may burn unseen; points of its own settle "
     "it",
     "fuse F2 { 45 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }",
     "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }"},
};

Severity severity_of(const OpenValue& value) {
    switch (value.hides) {
        case Hides::error:
            return Severity::error;
        case Hides::warning:
            return Severity::warning;
        case Hides::note:
            break;
    }
    return Severity::note;
}

Finding begun(const RuleInput& input, const OpenValue& value) {
    Finding finding;
    if (value.part)
        finding = finding_about(input, "missing-data", severity_of(value), value.part);
    else if (value.wire)
        finding = finding_about(input, "missing-data", severity_of(value), value.wire);
    finding.rule = "missing-data";
    finding.severity = severity_of(value);
    finding.mode = value.mode;
    finding.subject = value.subject;
    if (value.where.valid()) finding.where = value.where;
    return finding;
}

void judge_open(const RuleInput& input, Report& report) {
    const std::vector<OpenValue> values = open_values(input.harness);
    if (values.empty()) return;
    const Requirements requirements(input);
    for (const OpenValue& value : values) {
        if (!value.unknown || (value.part && value.mode)) continue;  // levels of modes: below
        Finding finding = begun(input, value);
        finding.message = "'" + value.name + "' of " + value.of + " is not known";
        finding.beside = value.meaning;
        finding.working = {"not judged without it: " + std::string(value.judges)};
        if (requirements.tell(value, finding); !finding.requirement.empty())
            finding.working.push_back("it has to " + finding.requirement + ", in the modes that are judged");
        if (value.wire && value.attribute == "(area)"_attr)
            finding.working.emplace_back("taken as 1 mm2 meanwhile; its load is not judged");
        finding.source = "not stated";
        finding.help = value.find_out;
        report.add(std::move(finding));
    }
}

// A fuse or breaker of which nothing tells when it opens: shorts behind it cannot be judged.
void judge_band(const RuleInput& input, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    if (part.kind != Kind::fuse && part.kind != Kind::breaker) return;
    if (!input.faults.setting().bands[id.index()].slow.empty() || input.facts.is_unknown(id, "curve"_attr) ||
        !input.facts.quantity(id, "(rated-current)"_attr))
        return;
    Finding finding = finding_about(input, "family-rating", Severity::error, id);
    finding.message = "nothing tells when " + named(input.harness, id) + " opens";
    finding.beside = "wires behind it are not judged in a short circuit";
    const std::string_view family = input.facts.word(id, "curve"_attr);
    double least_A = HUGE_VAL, most_A = 0;
    for (const Gate& gate : gates())
        if (gate.word == family)
            least_A = std::min(least_A, gate.from_A), most_A = std::max(most_A, gate.to_A);
    const std::string has = most_A > 0 ? " (" + to_text({least_A, most_A, Dimension::current}) + ")" : "";
    finding.working = {family.empty() ? std::string("no points of its own are stated")
                                      : std::string(family) + " has none of " +
                                            amps(input.facts.quantity(id, "(rated-current)"_attr)->hi) + has +
                                            ", and no points of its own are stated"};
    finding.source = "the family's own standard";
    finding.help =
        "another curve, if it is of another family, or a few points from its data sheet: point 100 A 0.1..2 "
        "s";
    report.add(std::move(finding));
}

// What bounds a level that nobody knows, in words; empty where nothing does: a load draws whatever it likes.
std::string bound_of(const RuleInput& input, PartId id, Flow flow) {
    const auto setting = [&](const std::optional<Setting>& limit, const char* name) {
        return limit ? amps(limit->current_A) + ", its " + name : std::string();
    };
    switch (flow) {
        case Flow::phases:
            return setting(phase_limit(input.facts, id), "phase setting");
        case Flow::draws:
            if (input.harness.part(id).kind == Kind::load) return {};
            return setting(supply_limit(input.facts, id),
                           input.harness.part(id).kind == Kind::inverter ? "rated power" : "supply setting");
        case Flow::returns:
            if (const auto regen = input.facts.quantity(id, "regen"_attr))
                return amps(regen->hi) + ", its regen";
            return {};
        case Flow::delivers:
            if (const auto output = input.facts.quantity(id, output_attribute(input.harness, id), 1))
                return amps(output->hi) + ", its output";
            return {};
    }
    return {};
}

// A level of a mode that nobody knows: what it loads cannot be judged, or is judged at the setting.
void judge_level(const RuleInput& input, ModeId mode, PartId id, std::int32_t profile, Report& report) {
    if (profile < 0) return;
    const Mode& now = input.harness.modes[mode.index()];
    const Profile& course = now.profiles[static_cast<std::size_t>(profile)];
    const auto unknown = std::find_if(course.levels.begin(), course.levels.end(), [](const Level& level) {
        return !level.limit && !level.amount.is_known();
    });
    if (unknown == course.levels.end()) return;
    const std::string bound = bound_of(input, id, course.flow);
    Finding finding =
        finding_about(input, "missing-data", bound.empty() ? Severity::error : Severity::warning, id);
    if (unknown->where.valid()) finding.where = unknown->where;
    finding.message = "what " + named(input.harness, id) + " " + std::string(flow_word(course.flow)) +
                      " in mode " + std::string(now.name) + " is not known";
    finding.beside = bound.empty() ? "anything up to what its fuse lets through" : "taken as " + bound;
    finding.working = {bound.empty() ? "wires, contacts and devices on its way are judged at its rating only"
                                     : "everything on its way is judged at " + bound};
    finding.source = "not stated";
    finding.mode = mode;
    finding.help = "measure it with a clamp meter, or find it in the datasheet";
    report.add(std::move(finding));
}
void judge_levels(const RuleInput& input, Report& report) {
    for (std::size_t m = 0; m < input.harness.modes.size(); ++m) {
        const Mode& mode = input.harness.modes[m];
        if (mode.profiles.empty()) continue;
        for (std::size_t i = 0; i < mode.states.size(); ++i) {
            judge_level(input, ModeId(m), PartId(i), mode.states[i].profile, report);
            judge_level(input, ModeId(m), PartId(i), mode.states[i].phase_profile, report);
        }
    }
}

// Phase leads that nobody said anything about, and whose setting is above what they may carry.
void judge_phases(const RuleInput& input, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    if (part.kind != Kind::controller) return;
    bool draws = false, stated = false;
    for (const Mode& mode : input.harness.modes) {
        const State& state = mode.states[id.index()];
        draws = draws || state.profile >= 0;
        stated = stated || state.phase_profile >= 0;
    }
    TerminalId lead;
    for (std::uint32_t i = part.terminals.count; i-- > 0;)
        if (const TerminalId each(part.terminals.first + i); is_motor_lead(input.harness.terminal(each).role))
            lead = each;
    if (!draws || stated || !lead || input.circuit.at(input.circuit.node(lead)).empty()) return;
    Finding finding = finding_about(input, "missing-data", Severity::warning, id);
    finding.message = "no mode says what current the phases of " + named(input.harness, id) + " carry";
    finding.beside = "its phase leads are not judged";
    finding.working = {
        "the current of the phases is not that of the supply: it can be several times as large"};
    finding.source = "energy conservation: U_supply I_supply = U_phase I_phase";
    finding.help = "a line in the mode: " + std::string(part.name) + " phases 60 A";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    judge_open(input, report);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        judge_band(input, PartId(i), report);
        judge_phases(input, PartId(i), report);
    }
    judge_levels(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::missing_data
