// Cells of one string that give more than the others: a load on a tap, or on one of the batteries in series.
#include <algorithm>
#include <cmath>

#include "checker/parts/ratings.hpp"
#include "checker/parts/string_points.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::uneven_discharge {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"uneven-discharge",
     "a string of cells of which one part gives more current than another in some mode: what draws at a tap, "
     "or "
     "between two batteries in series, empties that part alone, and it is driven backwards in the end",
     "|I_below - I_above| <= signal-current at every point between two sections of a string",
     "Kirchhoff's laws; policy signal-current; common practice, no source",
     "a part that gives back at that point what is drawn there (an equaliser, a converter) counts with what "
     "it "
     "gives in the mode; what balances the cells inside a pack is not known",
     "discharge 60 A, charge 15 A, taps 4\n}\nload H9 { 12 V, 2 A, acts-as current, works 9..17 V }\n"
     "fuse F9 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
     "route B1.t4 (W30 1 mm2, 0.1 m) F9 (W31 1 mm2, 1 m) H9 (W32 1 mm2, 1 m) Q1.P-\n"
     "splice X9 {",
     "discharge 60 A, charge 15 A"},
};

double difference_A(const OperatingPoint& point, const StringPoint& between) {
    double sum_A = 0;
    for (const EdgeId id : between.below) sum_A += point.edge_A[id.index()];
    for (const EdgeId id : between.above) sum_A -= point.edge_A[id.index()];
    for (const auto& [id, sign] : between.levelling) sum_A -= sign * point.edge_A[id.index()];
    return sum_A;
}

void tell(const RuleInput& input, const StringPoint& between, const OperatingPoint& point, Report& report) {
    const double more_A = difference_A(point, between);
    const auto names = [&](const std::vector<EdgeId>& sections) {
        std::string text;
        for (const EdgeId id : sections) {
            const Edge& edge = input.circuit.edge(id);
            text += (text.empty() ? "" : " and ") +
                    std::string(input.harness.terminal(edge.from_terminal).path) + " to " +
                    std::string(input.harness.terminal(edge.to_terminal).path);
        }
        return text;
    };
    const auto total_A = [&](const std::vector<EdgeId>& sections) {
        double sum_A = 0;
        for (const EdgeId id : sections) sum_A += point.edge_A[id.index()];
        return sum_A;
    };
    const EdgeId most = more_A > 0 ? between.below.front() : between.above.front();
    Finding finding =
        finding_about(input, "uneven-discharge", Severity::warning, input.circuit.edge(most).part);
    finding.message = "the cells from " + names(more_A > 0 ? between.below : between.above) +
                      " give more than the others of their string";
    finding.beside = amps(std::abs(more_A)) + " more; " + amps(input.facts.policy("signal-current"_attr).hi) +
                     " is a sense lead";
    finding.working = {amps(total_A(between.below)) + " (" + names(between.below) + "), " +
                       amps(total_A(between.above)) + " (" + names(between.above) + ")"};
    finding.working.push_back("they run empty first, and are then charged backwards by the others");
    finding.figures = {{"difference", std::abs(more_A), Dimension::current}};
    finding.source = "Kirchhoff's laws; common practice, no source";
    witnessed(input, finding, point, most);
    finding.help = "a converter from the whole string, or an equaliser that gives back what is drawn there";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const double sense_A = input.facts.policy("signal-current"_attr).hi;
    for (const auto& [place, between] : string_points(input.circuit).among) {
        const OperatingPoint* worst = nullptr;
        for (const OperatingPoint& point : input.points)
            if (point.usable() && std::abs(difference_A(point, between)) > sense_A * 1.0001 &&
                (!worst ||
                 std::abs(difference_A(point, between)) > std::abs(difference_A(*worst, between)) * 1.0001))
                worst = &point;
        if (worst) tell(input, between, *worst, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::uneven_discharge
