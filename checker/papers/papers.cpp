#include "checker/papers/papers.hpp"

#include <algorithm>
#include <cmath>

#include "checker/heat/endurance.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {
namespace {

// Less is what a solution leaves.
constexpr double nothing_V = 1e-5;

std::vector<WireDrop> wire_drops(const Results& results) {
    std::vector<WireDrop> drops(results.wires.size());
    for (const OperatingPoint& point : results.points) {
        if (!point.usable()) continue;
        for (std::size_t i = 0; i < drops.size(); ++i) {
            const Edge& edge = results.circuit.edge(results.circuit.edge_of_wire[i]);
            const double drop_V = std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
            if (!drops[i].mode || drop_V > std::max(drops[i].drop_V, nothing_V))
                drops[i] = {drop_V > nothing_V ? drop_V : 0, point.mode};
        }
    }
    return drops;
}

std::vector<std::optional<std::size_t>> causes_of_findings(const Results& results, const Digest& digest) {
    std::vector<std::optional<std::size_t>> cause_of(results.findings.size());
    for (std::size_t i = 0; i < digest.causes.size(); ++i)
        for (const std::size_t finding : digest.causes[i].findings) cause_of[finding] = i;
    return cause_of;
}

}  // namespace

ShortFacts short_facts(const Results& results, const FaultStudy& study) {
    ShortFacts facts;
    facts.wires = wire_shorts(results.circuit, study.survey());
    facts.curves = {study.setting().bands, study.setting().wires};
    for (const FaultSurvey::DeviceWorst& worst : study.survey().devices)
        facts.short_here_A.push_back(worst.prospective_A);
    return facts;
}

std::vector<ModeEndurance> endurance_of(const Results& results) {
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    return endurance(results.circuit, facts, results.points);
}

std::vector<std::size_t> finding_numbers(const Results& results) {
    std::vector<std::size_t> numbers;
    for (const Finding& finding : results.findings) {
        const std::size_t place = numbers.size() + 1;
        numbers.push_back(finding.asks() && !finding.accepted ? 0 : place);
    }
    return numbers;
}

Papers papers_of(const Results& results, const ShortFacts& facts, double allowance) {
    Papers papers;
    papers.digest = digest_of(results);
    papers.numbers = finding_numbers(results);
    papers.cause_of = causes_of_findings(results, papers.digest);
    papers.budget = make_budget(results.circuit, results.points, *results.harness);
    papers.modes = mode_table(results);
    papers.limits = mode_limits(endurance_of(results));
    papers.drops = wire_drops(results);
    papers.shorts = facts.wires;
    papers.zones = zone_rows(results, facts.wires);
    papers.curves = device_curves(results, facts.curves, facts.wires);
    papers.schedules = schedules_of(results, allowance, facts.short_here_A);
    papers.estimates = estimate_ends(results);
    papers.findings_of_part.resize(results.harness->parts.size());
    papers.findings_of_wire.resize(results.harness->wires.size());
    for (std::size_t i = 0; i < results.findings.size(); ++i) {
        const Finding& finding = results.findings[i];
        if (finding.wire)
            papers.findings_of_wire[finding.wire.index()].push_back(i);
        else if (finding.part)
            papers.findings_of_part[finding.part.index()].push_back(i);
    }
    return papers;
}

}  // namespace loomward
