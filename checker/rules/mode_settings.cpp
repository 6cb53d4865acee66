// Modes that say more of a part than its settings allow: one of the two numbers is wrong, and which one
// cannot be known, so that everything is judged at the larger.
#include <algorithm>
#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::mode_settings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"mode-above-setting",
     "a mode in which a controller draws, returns or feeds its phases more than its settings allow, an "
     "inverter "
     "draws more than its rated power takes, or a charger delivers more than it gives",
     "level of the mode <= supply-limit, regen, phase-limit; <= rated power / efficiency of an inverter; <= "
     "output of a charger",
     "the file itself: one of the two figures is wrong",
     "currents are judged at what the mode says; a power is held against the setting at the highest voltage "
     "that the part gets in the mode, that of an inverter at the lowest it works at",
     "U1 draws 45 A", "U1 draws 35 A"},
};

// What a setting allows, with the words for it.
struct Allowed {
    double current_A = 0;
    std::string working;
};

std::optional<Allowed> allowed_for(const RuleInput& input, PartId part, Flow flow) {
    const auto from = [](const std::optional<Setting>& setting) {
        return setting ? std::optional(Allowed{setting->current_A, setting->working}) : std::nullopt;
    };
    const Harness& harness = input.harness;
    switch (flow) {
        case Flow::draws:
            return harness.part(part).kind == Kind::load ? std::nullopt
                                                         : from(supply_limit(input.facts, part));
        case Flow::phases:
            return from(phase_limit(input.facts, part));
        case Flow::returns: {
            const Value regen = harness.value(harness.part(part).attributes, "regen"_attr);
            if (regen.type == ValueType::word) return Allowed{0, "regen " + std::string(regen.text)};
            const auto amps_back = input.facts.quantity(part, "regen"_attr);
            if (!amps_back) return std::nullopt;
            return Allowed{amps_back->hi, "regen " + amps(amps_back->hi)};
        }
        case Flow::delivers: {
            const Attr name = output_attribute(harness, part);
            const auto output = input.facts.quantity(part, name, 1);
            if (!output) return std::nullopt;
            return Allowed{output->hi, std::string(info(name).name) + " " + amps(output->hi)};
        }
    }
    return std::nullopt;
}

// The voltage at which a power that a mode states is held against the setting, V; 0 where it is not known:
// the highest at the part's own poles in the mode; of an inverter the lowest it works at, as its limit is.
double judged_at_V(const RuleInput& input, ModeId mode, PartId part) {
    if (input.harness.part(part).kind == Kind::inverter)
        return input.facts.quantity(part, "input"_attr).value_or(Quantity{}).lo;
    double highest = 0;
    for (const OperatingPoint& point : input.points) {
        if (point.mode != mode || !point.usable()) continue;
        for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
            const Edge& edge = input.circuit.edge(id);
            if (edge.role == EdgeRole::controller)
                highest = std::max(highest, point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
        }
    }
    return highest;
}

std::string_view verb(Flow flow) {
    return flow == Flow::phases ? "feeds its phases" : flow_word(flow);
}

void judge(const RuleInput& input, ModeId id, PartId part, const Profile& profile, Report& report) {
    const std::optional<Allowed> allowed = allowed_for(input, part, profile.flow);
    if (!allowed) return;
    const Level* worst = nullptr;
    double worst_A = 0;
    std::string why;
    for (const Level& level : profile.levels) {
        if (level.limit || level.amount.known == Knowledge::unknown) continue;
        double now_A = level.amount.hi;
        std::string working = amps(now_A);
        if (level.amount.dimension == Dimension::power) {
            const double full_V = judged_at_V(input, id, part);
            if (full_V <= 0) continue;
            now_A = level.amount.hi / full_V;
            working =
                amps(now_A) + " = " + to_text(level.amount.hi, Dimension::power) + " / " + volts(full_V);
        }
        if (worst && now_A <= worst_A) continue;
        worst = &level;
        worst_A = now_A;
        why = working;
    }
    if (!worst || !above(worst_A, allowed->current_A)) return;
    const Mode& mode = input.harness.modes[id.index()];
    Finding finding = finding_about(input, "mode-above-setting", Severity::warning, part);
    const std::string who = named(input.harness, part);
    const bool inverter = input.harness.part(part).kind == Kind::inverter;
    const std::string set = inverter ? "rated for " : "set to ";
    finding.message = "mode " + std::string(mode.name) + " says more of " + who +
                      (inverter ? " than it is rated for" : " than its settings allow");
    finding.beside =
        std::string(verb(profile.flow)) + " " + amps(worst_A) + "; " + set + amps(allowed->current_A);
    finding.working = {why + " > " + amps(allowed->current_A) + " (" + allowed->working + ")",
                       "judged at what the mode says"};
    finding.figures = {{"stated", worst_A, Dimension::current},
                       {"setting", allowed->current_A, Dimension::current}};
    finding.source = "the file itself";
    finding.mode = id;
    if (worst->where.valid()) finding.where = worst->where;
    finding.related.push_back(
        {input.harness.part(part).where, who + " is " + set + amps(allowed->current_A) + " here"});
    finding.help = "say " + amps(allowed->current_A) + " or 'limit' in the mode, or " +
                   (inverter ? "fit one that is rated for it" : "set what the mode says");
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t m = 0; m < input.harness.modes.size(); ++m) {
        const Mode& mode = input.harness.modes[m];
        for (std::size_t i = 0; i < mode.states.size(); ++i)
            for (const std::int32_t profile : {mode.states[i].profile, mode.states[i].phase_profile}) {
                if (profile < 0) continue;
                // What a mode takes over from another is told of there.
                if (mode.states[i].stated_by == StatedBy::inherited) continue;
                judge(input, ModeId(m), PartId(i), mode.profiles[static_cast<std::size_t>(profile)], report);
            }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::mode_settings
