#include "checker/papers/wire_entries.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "checker/parts/elements.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string colour_text(const Wire& wire) {
    if (wire.colour == Colour::none) return {};
    std::string text(colour_word(wire.colour));
    if (wire.second_colour != Colour::none) text += "-" + std::string(colour_word(wire.second_colour));
    return text;
}

std::string insulation_text(const Wire& wire) {
    if (wire.insulation.empty() || wire.insulation_known == Knowledge::unknown) return {};
    return fmt::format("{} {}", wire.insulation, to_text(wire.insulation_limit_degC, Dimension::temperature));
}

WireEntry entry_of(const Results& results, const Facts& facts, WireId id, double allowance) {
    const Harness& harness = *results.harness;
    const Wire& wire = harness.wire(id);
    WireEntry entry;
    entry.wire = id;
    entry.name = wire.name;
    entry.from = harness.terminal(wire.from).path;
    entry.to = harness.terminal(wire.to).path;
    if (wire.area.is_known()) {
        entry.size = wire.size_text.empty() ? to_text(wire.area) : std::string(wire.size_text);
        entry.area_mm2 = wire.area.lo;
    }
    entry.parallel = wire.parallel;
    entry.colour = colour_text(wire);
    entry.insulation = insulation_text(wire);
    entry.aluminium = wire.aluminium;
    if (wire.cable) entry.cable = harness.cables[wire.cable.index()].name;
    for (const BundleId bundle : wire.bundles)
        if (bundle) entry.bundles.emplace_back(harness.bundles[bundle.index()].name);
    const std::vector<std::string> ends = texts_of(harness, wire.attributes, "ends"_attr);
    if (!ends.empty()) entry.end_from = ends[0];
    if (ends.size() > 1) entry.end_to = ends[1];
    entry.note = fmt::format("{}", fmt::join(texts_of(harness, wire.attributes, "note"_attr), "; "));
    entry.order = fmt::format("{}", fmt::join(texts_of(harness, wire.attributes, "order"_attr), "; "));
    if (!wire.length.is_known()) return entry;
    entry.length_m = wire.length.hi;
    entry.cut_m = wire.length.hi * (1 + allowance);
    if (!entry.area_mm2) return entry;
    entry.metal_kg = *entry.cut_m * *entry.area_mm2 * wire.parallel * metal_kg_per_m_mm2(wire.aluminium);
    const Edge& edge = results.circuit.edge(results.circuit.edge_of_wire[id.index()]);
    entry.least_ohm = resistance_ohm(results.circuit, facts, edge, Corner::fault_max, 20);
    entry.most_ohm = resistance_ohm(results.circuit, facts, edge, Corner::run_hot, 20);
    return entry;
}

}  // namespace

double metal_kg_per_m_mm2(bool aluminium) {
    return aluminium ? 2.70e-3 : 8.96e-3;
}

std::vector<WireEntry> wire_entries(const Results& results, double allowance) {
    const Facts facts(*results.circuit.harness);
    std::vector<WireEntry> entries;
    for (std::size_t i = 0; i < results.harness->wires.size(); ++i)
        entries.push_back(entry_of(results, facts, WireId(i), allowance));
    return entries;
}

std::vector<ReelTotal> reel_totals(const std::vector<WireEntry>& wires) {
    using Key = std::tuple<double, std::string, std::string, std::string, bool>;
    std::map<Key, ReelTotal> totals;
    for (const WireEntry& wire : wires) {
        const Key key{-wire.area_mm2.value_or(0), wire.size, wire.colour, wire.insulation, wire.aluminium};
        ReelTotal& total = totals[key];
        total.size = wire.size;
        total.colour = wire.colour;
        total.insulation = wire.insulation;
        total.aluminium = wire.aluminium;
        total.area_mm2 = wire.area_mm2;
        total.pieces += wire.parallel;
        if (wire.cut_m)
            total.cut_m += *wire.cut_m * wire.parallel;
        else
            total.unknown += wire.parallel;
        total.metal_kg += wire.metal_kg.value_or(0);
    }
    std::vector<ReelTotal> sorted;
    for (auto& [key, total] : totals) sorted.push_back(std::move(total));
    return sorted;
}

}  // namespace loomward
