// Cells of one string that give more than the others: a load on a tap, or on one of the batteries in series.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/positions.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
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

// A point between two sections of a string, as all the conductors that hang together there.
struct Between {
    std::vector<EdgeId> below, above;  // sections that end there, that begin there
    // Both sides of converters that only move charge from one section to another; the sign with which their
    // current leaves the point.
    std::vector<std::pair<EdgeId, int>> levelling;
};

// Whether all poles of a converter lie on points of strings: then it levels them.
void add_levelling(const RuleInput& input, DisjointSets& joined, const std::set<std::size_t>& poles,
                   std::map<std::size_t, Between>& all) {
    std::map<PartId, bool> levels;
    const auto both = [&](auto look) {
        for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
            const Edge& edge = input.circuit.edges[i];
            if (edge.role == EdgeRole::converter_input || edge.role == EdgeRole::converter_output)
                look(EdgeId(i), edge, joined.find(edge.from.index()), joined.find(edge.to.index()));
        }
    };
    both([&](EdgeId, const Edge& edge, std::size_t from, std::size_t to) {
        const bool here = poles.contains(from) && poles.contains(to);
        const auto [known, fresh] = levels.emplace(edge.part, here);
        known->second = known->second && here;
    });
    both([&](EdgeId id, const Edge& edge, std::size_t from, std::size_t to) {
        if (!levels[edge.part]) return;
        if (const auto found = all.find(from); found != all.end())
            found->second.levelling.emplace_back(id, 1);
        if (const auto found = all.find(to); found != all.end()) found->second.levelling.emplace_back(id, -1);
    });
}

std::map<std::size_t, Between> points_between(const RuleInput& input) {
    const std::vector<bool> apart = Positions(input.circuit).apart();
    DisjointSets joined = pieces(input.circuit, [&](EdgeId id) {
        return is_conductor(input.circuit.edge(id).role) && !apart[id.index()];
    });
    std::map<std::size_t, Between> all;
    std::set<std::size_t> poles;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::emf || joined.same(edge.from.index(), edge.to.index())) continue;
        all[joined.find(edge.to.index())].below.push_back(EdgeId(i));
        all[joined.find(edge.from.index())].above.push_back(EdgeId(i));
        poles.insert({joined.find(edge.to.index()), joined.find(edge.from.index())});
    }
    std::erase_if(all,
                  [](const auto& each) { return each.second.below.empty() || each.second.above.empty(); });
    add_levelling(input, joined, poles, all);
    return all;
}

double difference_A(const OperatingPoint& point, const Between& between) {
    double sum_A = 0;
    for (const EdgeId id : between.below) sum_A += point.edge_A[id.index()];
    for (const EdgeId id : between.above) sum_A -= point.edge_A[id.index()];
    for (const auto& [id, sign] : between.levelling) sum_A -= sign * point.edge_A[id.index()];
    return sum_A;
}

void tell(const RuleInput& input, const Between& between, const OperatingPoint& point, Report& report) {
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
    for (const auto& [place, between] : points_between(input)) {
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

extern const RuleFamily uneven_discharge;
const RuleFamily uneven_discharge{infos, run};

}  // namespace loomward::rules
