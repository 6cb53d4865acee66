// Packs side by side, each behind a management of its own: as one of them opens the others take what it
// took.
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "checker/circuit/managements.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::lone_packs {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"charged-alone",
     "a pack beside others, each behind a management of its own, that takes less than its share of what a "
     "charger gives or a controller is set to return, once one of the others has opened",
     "I / (n - 1) <= charge of the pack and of its management; I of one charger, converter or regeneration, "
     "n "
     "packs side by side",
     "rating of the pack",
     "a note of chargers, which give less as packs get full; each source by itself, packs taken for equal; "
     "what all of them take together is judged by other rules",
     "pack B8 { cells 13s6p, cell-voltage 3.0..4.2 V, cell-resistance 20 mohm, cell-capacity 3 Ah, discharge "
     "60 A, charge 15 A }\n"
     "bms Q8 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance 1 mohm "
     "}\n"
     "fuse F8 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
     "route B8.+ (W80 16 mm2, 0.1 m) F8 (W81 16 mm2, 0.2 m) F1.out\n"
     "route B8.- (W82 16 mm2, 0.1 m) Q8 (W83 16 mm2, 0.2 m) Q1.P-\n"
     "controller U9 { input 30..60 V, capacitance 1 uF, supply-limit 5 A, phase-peak 30 A, regen 25 A, spare "
     "U "
     "V W }\n"
     "fuse F9 { 35 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
     "route K1.out (direct) F9 (W84 6 mm2, 0.3 m) U9.+\nroute U9.- (W85 6 mm2, 0.3 m) Q1.P-\nsplice X1",
     "splice X1"},
};

struct Source {
    EdgeId edge;
    double current_A = 0;
};

// What may charge packs, by what it gives at the most.
std::vector<Source> sources(const RuleInput& input) {
    std::vector<Source> found;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        std::optional<Quantity> amps;
        if (edge.role == EdgeRole::regeneration)
            amps = input.facts.quantity(edge.part, "regen"_attr);
        else if (edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output)
            amps = input.facts.quantity(edge.part, output_attribute(input.harness, edge.part), 1);
        if (amps && amps->hi > 0) found.push_back({EdgeId(i), amps->hi});
    }
    return found;
}

class LonePacks {
  public:
    LonePacks(const RuleInput& input, Report& report)
        : input_(input), report_(report), managements_(input.circuit), sources_(sources(input)) {}

    bool any_source() const { return !sources_.empty(); }

    void look(const std::vector<bool>& open) {
        DisjointSets joined = pieces(input_.circuit, [&](EdgeId id) {
            return is_conductor(input_.circuit.edge(id).role) && !open[id.index()];
        });
        // Packs by the pieces of their poles: what lies side by side.
        std::map<std::pair<std::size_t, std::size_t>, std::vector<PartId>> beside;
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            if (input_.harness.parts[i].kind != Kind::pack || input_.circuit.edges_of_part[i].empty())
                continue;
            const auto& sections = input_.circuit.edges_of_part[i];
            const NodeId minus = input_.circuit.edge(sections.front()).from,
                         plus = input_.circuit.edge(sections.back()).to;
            beside[{joined.find(plus.index()), joined.find(minus.index())}].emplace_back(i);
        }
        for (const auto& [poles, packs] : beside)
            for (const Source& source : sources_) {
                const Edge& edge = input_.circuit.edge(source.edge);
                if (packs.size() > 1 && joined.find(edge.to.index()) == poles.first &&
                    joined.find(edge.from.index()) == poles.second)
                    judge(packs, source);
            }
    }

  private:
    void judge(const std::vector<PartId>& packs, const Source& source) {
        for (const PartId pack : packs) {
            const std::set<PartId> own = managements_.of(pack);
            if (own.empty() || told_.contains(pack)) continue;
            std::optional<PartId> opens;
            for (const PartId other : packs)
                for (const PartId each : managements_.of(other))
                    if (other != pack && !own.contains(each) && !opens) opens = each;
            if (!opens) continue;
            std::optional<std::pair<double, PartId>> takes;
            const auto offer = [&](PartId part) {
                const auto charge = input_.facts.quantity(part, "charge"_attr);
                if (charge && (!takes || charge->lo < takes->first)) takes = {charge->lo, part};
            };
            offer(pack);
            for (const PartId each : own) offer(each);
            const auto others = static_cast<double>(packs.size() - 1);
            if (!takes || !above(source.current_A / others, takes->first)) continue;
            told_.insert(pack);
            tell(pack, *opens, source, others, takes->first, takes->second);
        }
    }

    void tell(PartId pack, PartId opens, const Source& source, double others, double takes_A, PartId by) {
        const Edge& edge = input_.circuit.edge(source.edge);
        const bool returns = edge.role == EdgeRole::regeneration;
        const std::string gives = named(input_.harness, edge.part), shared = amps(source.current_A / others);
        Finding finding =
            finding_about(input_, "charged-alone", returns ? Severity::warning : Severity::note, pack);
        finding.message = named(input_.harness, pack) + " takes " + (others > 1 ? "more of" : "all of") +
                          " the charge as " + named(input_.harness, opens) + " opens";
        finding.beside = shared + "; may take " + amps(takes_A);
        if (others > 1)
            finding.working.push_back(shared + " = " + amps(source.current_A) + " / " +
                                      to_text(others, Dimension::none));
        finding.working.push_back(shared + (returns ? " (regen of " : " (output of ") + gives + ") > " +
                                  amps(takes_A) + " (charge of " + named(input_.harness, by) + ")");
        finding.working.push_back("the packs share it only while all of their managements are closed");
        finding.figures = {{"current", source.current_A / others, Dimension::current},
                           {"limit", takes_A, Dimension::current}};
        finding.source = "rating of the pack";
        finding.related.push_back({input_.harness.part(opens).where,
                                   named(input_.harness, opens) + " opens when a cell of its pack is full"});
        finding.related.push_back({input_.harness.part(edge.part).where, gives + " is here"});
        finding.help = "packs and managements that take " + amps(std::ceil(source.current_A / others)) +
                       " or more, " + amps(takes_A * others) + " or less from " + gives +
                       ", or managements that stop it when one opens";
        std::vector<PartId> limits{pack};
        for (const PartId each : managements_.of(pack)) limits.push_back(each);
        for (const PartId part : limits) {
            const auto charge = input_.facts.quantity(part, "charge"_attr);
            if (charge && above(source.current_A / others, charge->lo))
                finding.cures.push_back(at_least(input_.harness, part, "charge"_attr,
                                                 source.current_A / others, Dimension::current));
        }
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    Managements managements_;
    std::vector<Source> sources_;
    std::set<PartId> told_;
};

void run(const RuleInput& input, Report& report) {
    LonePacks packs(input, report);
    if (!packs.any_source()) return;
    const Positions positions(input.circuit);
    for (std::size_t i = 0; i < positions.count(); ++i) packs.look(positions.open(i));
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::lone_packs
