#include "checker/rules/driven_breaking.hpp"

#include <algorithm>

#include "checker/rules/fault_share.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

// The largest current at which a battery management is sure to open its contactor.
struct OpenedAt {
    double current_A = 0;
    const FaultOutcome* outcome = nullptr;  // the short circuit, where it is one
    std::string working;
};

// At the least it opens at its own thresholds.
OpenedAt by_threshold(const RuleInput& input, PartId bms) {
    OpenedAt most;
    for (const Attribute& attribute : input.harness.attributes_of(input.harness.part(bms).attributes)) {
        if (attribute.name != "trips"_attr && attribute.name != "charge-trips"_attr) continue;
        const Value& threshold = input.harness.values_of(attribute)[0];
        if (threshold.known == Knowledge::unknown || threshold.lo <= most.current_A) continue;
        most = {threshold.lo, nullptr,
                amps(threshold.lo) + " at the least, when " + named(input.harness, bms) + " trips"};
    }
    return most;
}

// In a short circuit that it is the first to act on the contact breaks all that flows through it.
OpenedAt largest(const RuleInput& input, PartId bms) {
    OpenedAt most = by_threshold(input, bms);
    const FaultSurvey& survey = input.faults.survey();
    std::vector<std::uint32_t> opened;
    for (std::uint32_t i = 0; i < survey.outcomes.size(); ++i)
        if (const EdgeId first = survey.outcomes[i].first; first && input.circuit.edge(first).part == bms)
            opened.push_back(i);
    const FaultShare share = largest_share(input, std::move(opened));
    if (share.outcome == FaultSurvey::none || share.current_A <= most.current_A) return most;
    const FaultOutcome& outcome = survey.outcomes[share.outcome];
    most = {share.current_A, &outcome,
            fault_text(input.harness, survey.places[outcome.place]) + ": " + share.text + ", opened after " +
                to_text(outcome.first_s, Dimension::time) + ", before any fuse"};
    return most;
}

void judge(const RuleInput& input, PartId bms, PartId contactor, Report& report) {
    const bool none = input.facts.word(contactor, "breaks"_attr) == "none";
    const auto stated = input.facts.quantity(contactor, "breaks"_attr);
    if (!none && !stated) return;  // missing-data says so
    const double may_A = none ? 0 : stated->lo;
    const OpenedAt most = largest(input, bms);
    if (!above(most.current_A, may_A)) return;
    Finding finding = finding_about(input, "breaking-current", Severity::error, contactor);
    finding.message = named(input.harness, contactor) + " cannot break the current at which " +
                      named(input.harness, bms) + " opens it";
    finding.beside = amps(most.current_A) + "; " + (none ? "breaks none" : "breaks " + amps(may_A));
    finding.working = {most.working, amps(most.current_A) + " > " + amps(may_A) + " (breaks)"};
    finding.figures = {{"current", most.current_A, Dimension::current},
                       {"breaks", may_A, Dimension::current}};
    finding.source = "rating of the part";
    if (most.outcome) {
        const FaultAccount account = input.faults.account(input.faults.survey().places[most.outcome->place],
                                                          most.outcome->corner, most.outcome->position);
        finding.corner = most.outcome->corner;
        finding.witness = account.out;
        finding.witness.insert(finding.witness.end(), account.back.begin(), account.back.end());
    }
    finding.related.push_back({input.harness.part(bms).where, named(input.harness, bms) + " opens it"});
    finding.help = "a contactor that breaks " + amps(most.current_A) +
                   " or more, or a fuse in line that opens before it at that current";
    report.add(std::move(finding));
}

}  // namespace

void judge_driven(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (const PartId contactor = input.harness.parts[i].drives)
            judge(input, PartId(i), contactor, report);
}

}  // namespace loomward::rules
