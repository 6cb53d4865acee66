#include "checker/rules/packs_and_strings.hpp"

#include <algorithm>
#include <set>

#include "checker/circuit/by_name.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/pack_ways.hpp"
#include "checker/circuit/packs_in_series.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

using namespace literals;

namespace {

// The sections of packs in series with what joins each to the next.
std::vector<EdgeId> with_links(const Circuit& circuit, const std::vector<EdgeId>& sections) {
    std::vector<bool> taken_out(circuit.edges.size(), false);
    for (std::size_t i = 0; i < taken_out.size(); ++i)
        taken_out[i] = circuit.edges[i].role == EdgeRole::emf || circuit.edges[i].role == EdgeRole::switching;
    const PackWays ways(circuit, std::move(taken_out), PackFlow::charging);
    std::vector<EdgeId> all;
    EdgeId below;
    for (const EdgeId id : sections) {
        if (below)
            for (const EdgeId link :
                 ways.way(circuit.edge(below).to, circuit.edge(id).from, [](EdgeId) { return 1.0; }))
                all.push_back(link);
        all.push_back(id);
        below = id;
    }
    return all;
}

// Strings of packs that nothing switches between.
void add_strings(const RuleInput& input, std::vector<PackOrString>& list) {
    DisjointSets fixed = pieces(input.circuit, [&](EdgeId id) {
        const EdgeRole role = input.circuit.edge(id).role;
        return is_conductor(role) && role != EdgeRole::switching;
    });
    const std::vector<PackOrString> singles = list;
    for (const PacksInSeries::String& string : PacksInSeries(input.circuit).strings(fixed)) {
        PackOrString whole;
        whole.minus = string.minus;
        whole.plus = string.plus;
        whole.sections = with_links(input.circuit, string.sections);
        whole.place = list.size();
        std::set<PartId> members;
        bool known = true;
        for (const EdgeId id : string.sections) {
            if (!members.insert(input.circuit.edge(id).part).second) continue;
            const auto single = std::find_if(singles.begin(), singles.end(), [&](const PackOrString& each) {
                return each.part == input.circuit.edge(id).part;
            });
            known = known && single != singles.end();
            if (!known) break;
            if (members.size() == 1) {
                whole.part = single->part;
                whole.charge_A = single->charge_A;
            }
            whole.label += (whole.label.empty() ? "" : " + ") + single->label;
            whole.empty_V += single->empty_V;
            whole.full_V += single->full_V;
            whole.resistance_ohm += single->resistance_ohm;
            whole.charge_A = std::min(whole.charge_A, single->charge_A);
        }
        whole.name = "packs " + whole.label;
        if (known) list.push_back(std::move(whole));
    }
}

}  // namespace

std::vector<PackOrString> packs_and_strings(const RuleInput& input) {
    std::vector<PackOrString> list;
    for (const PartId part : parts_by_name(input.harness)) {
        if (input.harness.part(part).kind != Kind::pack) continue;
        PackOrString pack;
        pack.part = part;
        pack.name = named(input.harness, part);
        pack.label = input.harness.part(part).name;
        pack.place = list.size();
        bool known = true;
        for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
            const Edge& edge = input.circuit.edge(id);
            if (edge.role != EdgeRole::emf) continue;
            if (pack.sections.empty()) pack.minus = edge.from;
            pack.plus = edge.to;
            pack.sections.push_back(id);
            const auto section = pack_section(input.circuit, input.facts, edge, Corner::fault_max);
            known = known && section;
            if (section) pack.resistance_ohm += section->resistance_ohm;
        }
        const auto voltage = pack_voltage(input.facts, pack.part);
        if (!known || pack.sections.empty() || !voltage) continue;
        pack.empty_V = voltage->lo;
        pack.full_V = voltage->hi;
        if (const auto charge = input.facts.quantity(pack.part, "charge"_attr)) pack.charge_A = charge->lo;
        list.push_back(std::move(pack));
    }
    add_strings(input, list);
    return list;
}

}  // namespace loomward::rules
