#include "checker/rules/side_by_side.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/parallel_ways.hpp"
#include "checker/parts/arcs.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

// The contact of a way that breaks most, and how much; infinite where it does not say.
struct Opener {
    EdgeId contact;
    double breaks_A = -1;
};
Opener opener_of(const RuleInput& input, const ParallelWay& way) {
    Opener best;
    for (const EdgeId id : way.edges) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role != EdgeRole::switching && edge.role != EdgeRole::breaker) continue;
        double breaks_A = std::numeric_limits<double>::infinity();
        if (edge.role == EdgeRole::switching) {
            const auto stated = input.facts.quantity(edge.part, "breaks"_attr);
            if (input.facts.word(edge.part, "breaks"_attr) == "none")
                breaks_A = no_arc_A;
            else if (stated)
                breaks_A = std::max(stated->lo, no_arc_A);
        }
        if (breaks_A > best.breaks_A || (breaks_A == best.breaks_A && id < best.contact))
            best = {id, breaks_A};
    }
    return best;
}

// What all ways carry together, and how many of them carry something.
struct Together {
    double current_A = 0;
    std::size_t ways = 0;
};
Together together(const OperatingPoint& point, const std::vector<Opener>& openers) {
    Together sum;
    for (const Opener& each : openers) {
        const double now_A = std::abs(point.edge_A[each.contact.index()]);
        sum.current_A += now_A;
        sum.ways += now_A > no_arc_A ? 1 : 0;
    }
    return sum;
}

// Ways side by side that can all be opened, by their contacts. What nobody opens stays, and takes the current
// from the contacts beside it.
std::vector<std::vector<Opener>> opened_ways(const RuleInput& input) {
    std::vector<std::vector<Opener>> groups;
    for (const std::vector<ParallelWay>& group : parallel_ways(input.circuit)) {
        std::vector<Opener> openers;
        for (const ParallelWay& way : group)
            if (const Opener each = opener_of(input, way); each.contact) openers.push_back(each);
        if (openers.size() == group.size()) groups.push_back(std::move(openers));
    }
    return groups;
}

// The point at which they carry most together, two of them at the least; nullptr: none.
const OperatingPoint* heaviest_of(const RuleInput& input, const std::vector<Opener>& openers) {
    const OperatingPoint* heaviest = nullptr;
    for (const OperatingPoint& point : input.points) {
        if (!point.usable() || together(point, openers).ways < 2) continue;
        if (!heaviest || together(point, openers).current_A > together(*heaviest, openers).current_A)
            heaviest = &point;
    }
    return heaviest;
}

void tell(const RuleInput& input, const std::vector<Opener>& openers, const Opener& ablest,
          const OperatingPoint& point, Report& report) {
    const double all_A = together(point, openers).current_A;
    const Edge& edge = input.circuit.edge(ablest.contact);
    std::set<PartId> parts;
    std::string sum;
    for (const Opener& each : openers) {
        parts.insert(input.circuit.edge(each.contact).part);
        sum += (sum.empty() ? "" : " + ") + amps(std::abs(point.edge_A[each.contact.index()]));
    }
    Finding finding = finding_about(input, "breaking-current", Severity::warning, edge.part);
    std::string names;
    for (const PartId each : parts) {
        names += (names.empty() ? "" : ", ") + std::string(input.harness.part(each).name);
        if (each != edge.part)
            finding.related.push_back(
                {input.harness.part(each).where, named(input.harness, each) + " is here"});
    }
    finding.message = parts.size() > 1 ? "none of " + names + " can break what they carry side by side"
                                       : "the contacts of " + named(input.harness, edge.part) +
                                             " lie side by side, and none can break what they carry together";
    finding.beside = amps(all_A) + "; breaks " + amps(ablest.breaks_A);
    finding.working = {amps(all_A) + " = " + sum,
                       amps(all_A) + " > " + amps(ablest.breaks_A) +
                           " (breaks): contacts never part at once, and the last one breaks all of it"};
    finding.figures = {{"current", all_A, Dimension::current},
                       {"breaks", ablest.breaks_A, Dimension::current}};
    finding.source = "rating of the part; common practice, no source";
    witnessed(input, finding, point, ablest.contact);
    finding.help = "one that breaks " + amps(all_A) + " or more by one of its contacts";
    report.add(std::move(finding));
}

}  // namespace

void judge_side_by_side(const RuleInput& input, std::set<PartId>& said, Report& report) {
    for (const std::vector<Opener>& openers : opened_ways(input)) {
        const Opener& ablest =
            *std::max_element(openers.begin(), openers.end(),
                              [](const Opener& a, const Opener& b) { return a.breaks_A < b.breaks_A; });
        if (!std::isfinite(ablest.breaks_A) || ablest.breaks_A <= no_arc_A) continue;
        const OperatingPoint* heaviest = heaviest_of(input, openers);
        const PartId part = input.circuit.edge(ablest.contact).part;
        if (!heaviest || !above(together(*heaviest, openers).current_A, ablest.breaks_A)) continue;
        if (said.insert(part).second) tell(input, openers, ablest, *heaviest, report);
    }
}

double side_by_side_A(const RuleInput& input, PartId part) {
    double most_A = 0;
    for (const std::vector<Opener>& openers : opened_ways(input)) {
        const bool there = std::any_of(openers.begin(), openers.end(), [&](const Opener& each) {
            return input.circuit.edge(each.contact).part == part;
        });
        if (const OperatingPoint* heaviest = there ? heaviest_of(input, openers) : nullptr)
            most_A = std::max(most_A, together(*heaviest, openers).current_A);
    }
    return most_A;
}

}  // namespace loomward::rules
