// Which device opens first in a short circuit: the nearest alone should.
#include <algorithm>
#include <map>

#include "checker/circuit/in_series.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/fault_share.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::selectivity {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"not-selective",
     "a short circuit behind one device that makes another one farther up open first, or as soon",
     "t_slow of the nearest device < t_fast of every other device on the way, at the prospective current",
     "IEC 60364-5-53 536 (memory)",
     "at the currents of the two corners, not between them; where bands overlap it is a note; fuses of class "
     "gG at 1.6 : 1 pass by IEC 60269-2; two devices in a row that feed the same parts need not be selective",
     "fuse F2 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }",
     "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }"},
    {"electronics-first",
     "a short circuit that a battery management cuts off before any fuse on the way: it must break it alone",
     "t of the trip < t_fast of every fuse and breaker on the way", "common practice, no source",
     "a note: what the electronics can break is for their maker to say", "trips 120 A after 1 ms, resistance",
     "trips 120 A after 1 s, resistance"},
};

using Race = FaultSurvey::Race;

// One finding for a nearest device and how its races end; the first race carries the numbers.
void report_races(const RuleInput& input, const std::vector<Race>& races, Report& report) {
    const Race& race = races.front();
    const FaultOutcome& outcome = input.faults.survey().outcomes[race.outcome];
    const FaultPlace& place = input.faults.survey().places[outcome.place];
    const FaultAccount account = input.faults.account(place, outcome.corner, outcome.position);
    Finding finding =
        finding_about(input, "not-selective", race.lost ? Severity::warning : Severity::note, race.near);
    std::string others;
    for (const Race& each : races) {
        others += (others.empty() ? "" : ", ") + std::string(input.harness.part(each.far).name);
        finding.related.push_back(
            {input.harness.part(each.far).where, named(input.harness, each.far) + " is here"});
    }
    const std::string near_name(input.harness.part(race.near).name),
        far_name(input.harness.part(race.far).name);
    finding.message = "a short behind " + named(input.harness, race.near) +
                      (race.lost ? " opens " + others + " first" : " may open " + others + " as well");
    finding.beside = near_name + " may take " + seconds(race.near_slow_s) + "; " + far_name +
                     (race.lost             ? " takes at most " + seconds(race.far_slow_s)
                      : race.far_fast_s > 0 ? " may open after " + seconds(race.far_fast_s)
                                            : " may open at any time, by what is known of it");
    finding.working = {fault_text(input.harness, place) + ": " + amps(race.near_A) + " through " + near_name +
                       ", " + amps(race.far_A) + " through " + far_name};
    finding.corner = outcome.corner;
    finding.witness = account.out;
    finding.witness.insert(finding.witness.end(), account.back.begin(), account.back.end());
    finding.source = "IEC 60364-5-53 536 (memory); " +
                     input.faults.setting().bands[race.near.index()].source + "; " +
                     input.faults.setting().bands[race.far.index()].source;
    finding.help = race.lost ? "a smaller or quicker device there, or a slower one farther up" : "";
    report.add(std::move(finding));
}

// A BMS that is sure to be first in some short circuits, however quick the fuses are: one note for each, with
// the fuses that it leaves nothing to do, at its largest current.
struct ElectronicsFirst {
    std::vector<std::uint32_t> outcomes;
    std::vector<PartId> beaten;
};

void judge_electronics(const RuleInput& input, Report& report) {
    std::map<PartId, ElectronicsFirst> all;
    const FaultSurvey& survey = input.faults.survey();
    for (std::uint32_t i = 0; i < survey.outcomes.size(); ++i) {
        const FaultOutcome& outcome = survey.outcomes[i];
        if (!outcome.first || outcome.devices < 2) continue;
        const EdgeRole role = input.circuit.edge(outcome.first).role;
        if (role != EdgeRole::trip && role != EdgeRole::protector) continue;
        const FaultStudy::Quickest quick = input.faults.quickest(outcome);
        if (quick.first != outcome.first) continue;
        ElectronicsFirst& bms = all[input.circuit.edge(outcome.first).part];
        bms.outcomes.push_back(i);
        for (const PartId fuse : quick.passed)
            if (std::find(bms.beaten.begin(), bms.beaten.end(), fuse) == bms.beaten.end())
                bms.beaten.push_back(fuse);
    }
    for (auto& [part, bms] : all) {
        if (bms.beaten.empty()) continue;
        const FaultShare share = largest_share(input, bms.outcomes);
        if (share.outcome == FaultSurvey::none) continue;
        const FaultOutcome& outcome = survey.outcomes[share.outcome];
        const FaultPlace& place = survey.places[outcome.place];
        const FaultAccount account = input.faults.account(place, outcome.corner, outcome.position);
        std::sort(bms.beaten.begin(), bms.beaten.end());
        std::string names;
        for (const PartId fuse : bms.beaten)
            names += (names.empty() ? "" : ", ") + std::string(input.harness.part(fuse).name);
        Finding finding = finding_about(input, "electronics-first", Severity::note, part);
        finding.message = named(input.harness, part) + " cuts off some short circuits before a fuse opens";
        finding.beside =
            "up to " + amps(share.current_A) + " after " + seconds(outcome.first_s) + ", before " + names;
        finding.working = {fault_text(input.harness, place) + ": " + share.text,
                           "even at its fast edge no fuse on the way opens sooner"};
        finding.corner = outcome.corner;
        finding.witness = account.out;
        finding.witness.insert(finding.witness.end(), account.back.begin(), account.back.end());
        finding.source = "common practice, no source";
        finding.help = "it must be rated to break this current; what lies before it stays live";
        report.add(std::move(finding));
    }
}

// By PartId of fuses and breakers: the same for two that lie in series.
std::vector<std::uint64_t> rows_of_devices(const RuleInput& input) {
    std::vector<std::uint64_t> rows(input.harness.parts.size(), 0);
    if (input.faults.survey().races.empty()) return rows;
    const std::vector<std::uint64_t> series = series_numbers(input.circuit);
    for (std::size_t i = 0; i < series.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (is_protective(edge.role)) rows[edge.part.index()] = series[i];
    }
    return rows;
}

void run(const RuleInput& input, Report& report) {
    std::map<std::pair<PartId, bool>, std::vector<Race>> by_nearest;
    const std::vector<std::uint64_t> rows = rows_of_devices(input);
    for (const Race& race : input.faults.survey().races) {
        // In a row either may open: nothing else goes out with it.
        const std::uint64_t row = rows[race.near.index()];
        if (row == 0 || row != rows[race.far.index()]) by_nearest[{race.near, race.lost}].push_back(race);
    }
    for (const auto& [nearest, together] : by_nearest) report_races(input, together, report);
    judge_electronics(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::selectivity
