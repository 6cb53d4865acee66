// What the user said is not known, and what it keeps from being checked.
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"missing-data", "a value that is said to be unknown, with what cannot be checked without it", "-", "-",
     "an error where the value is needed to know any current or limit, else a warning", "breaks unknown",
     "breaks 2.5 kA at 80 V dc"},
};

// Without these nothing about the part, or the whole harness, can be said.
bool needed(Kind kind, Attr name) {
    if (kind == Kind::pack)
        return name == "voltage"_attr || name == "resistance"_attr || name == "cell-voltage"_attr ||
               name == "cell-resistance"_attr;
    if (kind == Kind::fuse || kind == Kind::breaker) return name == "(rated-current)"_attr;
    if (kind == Kind::controller) return name == "supply-limit"_attr || name == "phase-peak"_attr;
    if (kind == Kind::load)
        return name == "(power)"_attr || name == "(current)"_attr || name == "(resistance)"_attr;
    return false;
}

std::string attribute_name(Attr name) {
    std::string text(info(name).name);
    if (text.front() == '(')
        text = "'" + text.substr(1, text.size() - 2) + "'";
    else
        text = "'" + text + "'";
    return text;
}

void judge_part(const RuleInput& input, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
        bool unknown = false;
        for (const Value& value : input.harness.values_of(attribute))
            unknown = unknown || (value.present() && value.known == Knowledge::unknown);
        if (!unknown) continue;
        const bool severe = needed(part.kind, attribute.name);
        Finding finding =
            finding_about(input, "missing-data", severe ? Severity::error : Severity::warning, id);
        if (attribute.where.valid()) finding.where = attribute.where;
        finding.message =
            attribute_name(attribute.name) + " of " + named(input.harness, id) + " is not known";
        finding.beside = std::string(info(attribute.name).meaning);
        finding.working = {severe ? "currents and limits that depend on it are not known"
                                  : "what depends on it is not checked"};
        finding.source = "stated as unknown";
        finding.help = "find it in the datasheet, on the print, or by measuring";
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
    Finding finding = finding_about(input, "missing-data", Severity::warning, id);
    finding.message = "nothing tells how quickly " + named(input.harness, id) + " opens";
    finding.beside = "wires behind it are not judged in a short circuit";
    finding.working = {"its family (curve) has no such rating, and no points of its own are stated"};
    finding.source = "the file itself";
    finding.help = "state its curve, or a few points from its datasheet: point 100 A 0.1..2 s";
    report.add(std::move(finding));
}

void judge_wire(const RuleInput& input, WireId id, Report& report) {
    const Wire& wire = input.harness.wire(id);
    if (wire.area.is_known() && wire.length.is_known()) return;
    Finding finding =
        finding_about(input, "missing-data", wire.area.is_known() ? Severity::warning : Severity::error, id);
    finding.message = std::string(wire.area.is_known() ? "the length" : "the cross-section") + " of " +
                      named(input.harness, id) + " is not known";
    finding.beside = wire.area.is_known() ? "taken as 0 m: no drop, no distance from the source"
                                          : "taken as 1 mm2; its load is not judged";
    finding.working = {"what depends on it is not checked"};
    finding.source = "stated as unknown";
    finding.help = "measure it";
    report.add(std::move(finding));
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
    const TerminalId lead = input.harness.terminal_of(id, "U") ? input.harness.terminal_of(id, "U")
                                                               : input.harness.terminal_of(id, "M+");
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
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        judge_part(input, PartId(i), report);
        judge_band(input, PartId(i), report);
        judge_phases(input, PartId(i), report);
    }
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) judge_wire(input, WireId(i), report);
}

}  // namespace

extern const RuleFamily missing_data;
const RuleFamily missing_data{infos, run};

}  // namespace loomward::rules
