// The results as JSON. Shapes are described in docs/check.schema.json; a change there or here is a change of
// `layout` if a reader could stumble over it.
#include "render/json/json.hpp"

#include <cmath>

#include "checker/parts/open_values.hpp"
#include "render/json/json_digest.hpp"
#include "render/json/json_document.hpp"
#include "render/json/json_heat.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"

namespace loomward {

Json text_or_null(std::string_view text) {
    return text.empty() ? Json(nullptr) : Json(std::string(text));
}

Json mode_name(ModeId mode, const Harness& harness) {
    return mode.valid() ? Json(std::string(harness.modes[mode.index()].name)) : Json(nullptr);
}

namespace {

std::string_view unit_of(Dimension dimension) {
    switch (dimension) {
        case Dimension::none:
            return "";
        case Dimension::voltage:
            return "V";
        case Dimension::current:
            return "A";
        case Dimension::resistance:
            return "ohm";
        case Dimension::capacitance:
            return "F";
        case Dimension::power:
            return "W";
        case Dimension::energy:
            return "J";
        case Dimension::charge:
            return "Ah";
        case Dimension::time:
            return "s";
        case Dimension::length:
            return "m";
        case Dimension::area:
            return "mm2";
        case Dimension::temperature:
            return "degC";
        case Dimension::percentage:
            return "%";
        case Dimension::torque:
            return "Nm";
        case Dimension::joule_integral:
            return "A2s";
        case Dimension::mass:
            return "kg";
        case Dimension::thermal_resistance:
            return "K/W";
        case Dimension::temperature_rise:
            return "K";
        case Dimension::opening:
            return "cm2";
        case Dimension::speed:
            return "m/s";
    }
    return "";
}

std::string_view status_word(SolveStatus status) {
    switch (status) {
        case SolveStatus::solved:
            return "solved";
        case SolveStatus::collapsed:
            return "collapsed";
        case SolveStatus::not_converged:
            return "not-converged";
    }
    return "";
}

Json place(Span where, const Sources& sources) {
    if (!where.valid()) return nullptr;
    const Position position = sources.position(where);
    return {{"file", sources.file(where.file).path},
            {"line", position.line},
            {"column", position.column},
            {"begin_byte", where.begin},
            {"end_byte", where.end}};
}

Json mistake_json(const Diagnostic& mistake, const Sources& sources) {
    Json notes = Json::array();
    for (const Note& note : mistake.notes)
        notes.push_back({{"place", place(note.where, sources)}, {"text", note.text}});
    return {{"id", mistake.id},           {"place", place(mistake.where, sources)},
            {"message", mistake.message}, {"beside", text_or_null(mistake.beside)},
            {"notes", std::move(notes)},  {"help", text_or_null(mistake.help)}};
}

Json figures_json(const Finding& finding) {
    Json figures = Json::array();
    for (const Figure& figure : finding.figures)
        figures.push_back({{"name", figure.name},
                           {"value", json_number(figure.value)},
                           {"unit", unit_of(figure.dimension)}});
    return figures;
}

Json witness_json(const std::vector<Step>& steps, const Sources& sources) {
    Json witness = Json::array();
    for (const Step& step : steps)
        witness.push_back({{"name", step.name}, {"place", place(step.where, sources)}});
    return witness;
}

Json related_json(const Finding& finding, const Sources& sources) {
    Json related = Json::array();
    for (const Related& one : finding.related)
        related.push_back({{"place", place(one.where, sources)}, {"text", one.text}});
    return related;
}

Json accepted_json(const Finding& finding, const Harness& harness) {
    if (!finding.accepted) return nullptr;
    const Acceptance& acceptance = harness.acceptances[*finding.accepted];
    const auto& up_to = acceptance.up_to;
    return {{"reason", std::string(acceptance.reason)},
            {"up_to", up_to ? Json(to_text(up_to->lo, up_to->dimension)) : Json(nullptr)},
            {"place", place(acceptance.where, *harness.sources)}};
}

Json turn_json(const std::optional<Turn>& turn) {
    if (!turn) return nullptr;
    return {{"told", turn->above ? "above" : "below"},
            {"at", middle_of(*turn)},
            {"unit", unit_of(turn->at.dimension)}};
}

Json causes_json(const Finding& finding) {
    Json causes = Json::array();
    for (const OpenCause& cause : finding.hangs_on)
        causes.push_back({{"subject", cause.subject},
                          {"value", cause.name},
                          {"taken_as", cause.taken},
                          {"turns", turn_json(cause.turns)}});
    return causes;
}

Json cures_json(const Finding& finding) {
    Json cures = Json::array();
    for (const Cure& cure : finding.cures) {
        std::string_view what = info(cure.what).name;
        if (what.starts_with('(')) what = what.substr(1, what.size() - 2);
        cures.push_back({{"what", what},
                         {"where", cure.where},
                         {cure.at_least ? "at_least" : "at_most", cure.value},
                         {"unit", unit_of(cure.dimension)},
                         {"way", cure.way + 1}});
    }
    return cures;
}

Json finding_json(const Finding& finding, const Results& results) {
    const Harness& harness = *results.harness;
    const Sources& sources = *harness.sources;
    return {{"number", finding_number(finding, results)},
            {"rule", finding.rule},
            {"severity", severity_word(finding.severity)},
            {"place", place(finding.where, sources)},
            {"subject", finding.subject},
            {"message", finding.message},
            {"beside", text_or_null(finding.beside)},
            {"witness", witness_json(finding.witness, sources)},
            {"working", finding.working},
            {"figures", figures_json(finding)},
            {"source", text_or_null(finding.source)},
            {"corner", finding.corner ? Json(corner_name(*finding.corner)) : Json(nullptr)},
            {"mode", mode_name(finding.mode, harness)},
            {"help", text_or_null(finding.help)},
            {"related", related_json(finding, sources)},
            {"accepted", accepted_json(finding, harness)},
            {"copies", finding.copies},
            {"certain", !finding.possible},
            {"hangs_on", causes_json(finding)},
            {"requirement", text_or_null(finding.requirement)},
            {"cures", cures_json(finding)}};
}

Json assumption_json(const Assumption& assumption) {
    return {{"what", assumption.what},
            {"value", assumption.value},
            {"source", text_or_null(assumption.source)},
            {"used_by", assumption.used_by}};
}

Json open_value_json(const OpenValue& value, const Harness& harness) {
    return {{"of", value.of},
            {"attribute", value.name},
            {"known", value.unknown ? "unknown" : "about"},
            {"written", text_or_null(value.written)},
            {"place", place(value.where, *harness.sources)},
            {"level", severity_word(static_cast<Severity>(value.hides))},
            {"not_judged", std::string(value.judges)},
            {"find_out", std::string(value.find_out)}};
}

Json point_json(const OperatingPoint& point, const Harness& harness) {
    return {{"mode", mode_name(point.mode, harness)},
            {"corner", corner_name(point.corner)},
            {"from_s", json_number(point.from_s)},
            {"duration_s", json_number(point.duration_s)},
            {"repeats", point.repeats},
            {"status", status_word(point.status)},
            {"usable", point.usable()},
            {"worst_residual_A", point.node_V.empty() ? Json(nullptr) : json_number(point.worst_residual_A)}};
}

Json wire_json(WireId id, const Results& results, const WireTemperature& heat) {
    const Harness& harness = *results.harness;
    const Wire& wire = harness.wire(id);
    const WireLoading& loading = results.wires[id.index()];
    const WireGuards& guarded = results.guards[id.index()];
    Json guards = Json::array();
    for (const PartId guard : guarded.devices) guards.push_back(std::string(harness.part(guard).name));
    return {{"name", std::string(wire.name)},
            {"from", std::string(harness.terminal(wire.from).path)},
            {"to", std::string(harness.terminal(wire.to).path)},
            {"current_A", loading.mode ? json_number(loading.current_A) : Json(nullptr)},
            {"peak_A", loading.mode ? json_number(loading.peak_A) : Json(nullptr)},
            {"limit_A", loading.limit_A > 0 ? json_number(loading.limit_A) : Json(nullptr)},
            {"hottest_degC", heat.judged && heat.settles ? json_number(heat.hottest_degC) : Json(nullptr)},
            {"limit_degC", heat.judged ? json_number(heat.limit_degC) : Json(nullptr)},
            {"mode", mode_name(loading.mode, harness)},
            {"guards", std::move(guards)},
            {"unguarded", guarded.unguarded},
            {"electronic_only", guarded.electronic_only}};
}

std::string_view guard_word(ProtectionZone::Guard guard) {
    switch (guard) {
        case ProtectionZone::Guard::devices:
            return "devices";
        case ProtectionZone::Guard::electronics:
            return "electronics";
        case ProtectionZone::Guard::no_source:
            return "no-source";
        case ProtectionZone::Guard::not_known:
            return "not-known";
        case ProtectionZone::Guard::short_leads:
            return "short-leads";
        case ProtectionZone::Guard::none:
            return "none";
    }
    return "";
}

Json zone_json(const ProtectionZone& zone, const Harness& harness) {
    Json devices = Json::array(), limits = Json::array(), wires = Json::array();
    for (const ZoneGuard& guard : zone.devices)
        (guard.limit ? limits : devices)
            .push_back({{"name", std::string(harness.part(guard.part).name)},
                        {"current_A", json_number(guard.current_A)},
                        {"working", guard.working}});
    for (const WireId wire : zone.wires) wires.push_back(std::string(harness.wire(wire).name));
    Json weakest = nullptr;
    if (zone.weakest)
        weakest = {{"name", std::string(harness.wire(zone.weakest).name)},
                   {"ampacity_A", json_number(zone.weakest_ampacity_A)}};
    const bool led = !zone.witness.empty();
    return {
        {"guard", guard_word(zone.guard)},
        {"devices", std::move(devices)},
        {"limits", std::move(limits)},
        {"current_A", zone.guard == ProtectionZone::Guard::no_source ? Json(0) : json_number(zone.current_A)},
        {"wires", std::move(wires)},
        {"weakest", std::move(weakest)},
        {"reach_m", led ? json_number(zone.reach_m) : Json(nullptr)},
        {"witness", witness_json(zone.witness, *harness.sources)}};
}

Json all_zones_json(const Results& results) {
    Json zones = Json::array();
    for (const ProtectionZone& zone : results.zones) zones.push_back(zone_json(zone, *results.harness));
    return zones;
}

Json results_json(const Results& results) {
    const Harness& harness = *results.harness;
    Json findings = Json::array(), assumptions = Json::array(), points = Json::array(), wires = Json::array();
    for (const Finding& finding : results.findings) findings.push_back(finding_json(finding, results));
    for (const Assumption& one : results.assumptions) assumptions.push_back(assumption_json(one));
    Json open_values = Json::array(), modes = Json::array();
    for (const Mode& mode : harness.modes)
        modes.push_back({{"name", std::string(mode.name)}, {"made_by_the_program", mode.own}});
    for (const OpenValue& one : loomward::open_values(harness))
        open_values.push_back(open_value_json(one, harness));
    for (const OperatingPoint& point : results.points) points.push_back(point_json(point, harness));
    const HeatOfResults heat(results);
    for (std::size_t i = 0; i < results.wires.size(); ++i)
        wires.push_back(wire_json(WireId(i), results, heat.of(WireId(i))));
    const OpenCounts open = open_counts(results);
    const Digest digest = digest_of(results);
    return {{"title", std::string(harness.title)},
            {"counts",
             {{"errors", results.count(Severity::error)},
              {"warnings", results.count(Severity::warning)},
              {"notes", results.count(Severity::note)},
              {"possible_errors", open.told_errors},
              {"possible_warnings", open.told_warnings},
              {"open_that_could_hide_one", open.asked},
              {"accepted", accepted_findings(results)},
              {"parts", harness.parts.size()},
              {"wires", harness.wires.size()},
              {"modes", harness.modes.size()},
              {"modes_solved", solved_modes(results)},
              {"assumed_values", assumed_values(results)},
              {"unknown_values", results.unknown_values}}},
            {"findings", std::move(findings)},
            {"steps", steps_json(results, digest)},
            {"causes", causes_json(digest)},
            {"assumptions", std::move(assumptions)},
            {"to_find_out", std::move(open_values)},
            {"not_checked", results.not_checked},
            {"modes", std::move(modes)},
            {"points", std::move(points)},
            {"boxes", heat.boxes()},
            {"contacts", heat.contacts()},
            {"wires", std::move(wires)},
            {"zones", all_zones_json(results)}};
}

Json mistakes_json(const Outcome& outcome) {
    Json mistakes = Json::array();
    if (outcome.mistakes && outcome.sources)
        for (const Diagnostic& mistake : *outcome.mistakes)
            mistakes.push_back(mistake_json(mistake, *outcome.sources));
    return mistakes;
}

}  // namespace

std::string outcomes_document(const std::vector<Outcome>& outcomes, std::string_view key,
                              const std::function<Json(const Results&)>& of_results) {
    Json files = Json::array();
    for (const Outcome& outcome : outcomes)
        files.push_back({{"path", outcome.path},
                         {"outcome", outcome.results ? "checked" : "not-checked"},
                         {"mistakes", mistakes_json(outcome)},
                         {key, outcome.results ? of_results(*outcome.results) : Json(nullptr)}});
    const Json whole = {{"layout", 1}, {"caution", json_caution}, {"files", std::move(files)}};
    return document_text(whole);
}

std::string outcomes_json(const std::vector<Outcome>& outcomes) {
    return outcomes_document(outcomes, "results", results_json);
}

std::string zones_json(const std::vector<Outcome>& outcomes) {
    return outcomes_document(outcomes, "zones", all_zones_json);
}

}  // namespace loomward
