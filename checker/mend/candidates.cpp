#include "checker/mend/candidates.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "checker/currents/largest.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/tables/ampacity.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {
namespace {

using namespace mending;
using Way = std::vector<Plan> (*)(const AtHand&);

struct RuleWays {
    std::string_view rule;
    Phase phase;
    std::vector<Way> ways;
};

const std::vector<RuleWays>& table() {
    static const std::vector<RuleWays> rows = {
        {"bypassed-fuse", Phase::shape, {by_taking_out}},
        {"bridged-contact", Phase::shape, {by_taking_out}},
        {"dead-short", Phase::shape, {by_taking_out}},
        {"short-when-closed", Phase::shape, {by_taking_out}},
        {"back-feed", Phase::shape, {by_taking_out}},
        {"reversed", Phase::shape, {by_exchanging}},
        {"bms-direction", Phase::shape, {by_exchanging}},
        {"blocking-diode", Phase::shape, {by_exchanging}},
        {"past-bms", Phase::shape, {by_other_port}},
        {"floating", Phase::shape, {by_joining}},
        {"wrong-rail", Phase::shape, {by_other_rail, by_cures, by_fitting_load, by_fitting_converter}},
        {"panel-on-pack", Phase::shape, {by_panel_input}},
        {"idle-contact", Phase::shape, {by_landing_behind}},
        {"idle-stop", Phase::shape, {by_landing_behind}},
        {"charge-voltage", Phase::not_for_sale, {by_fitting_charger}},
        {"joined-outputs", Phase::not_for_sale, {by_charger_of_pack}},
        {"mode-contradicts", Phase::shape, {by_mode_lines}},
        {"overdrawn-pack", Phase::not_for_sale, {by_lower_setting, by_weaker_charger, by_smaller_inverter}},
        {"overdrawn-bms", Phase::not_for_sale, {by_lower_setting, by_weaker_charger, by_smaller_inverter}},
        {"unprotected-wire", Phase::single_parts, {by_cures, by_fuse_put_in, by_free_way}},
        {"family-rating", Phase::single_parts, {by_other_family}},
        {"fuse-voltage", Phase::single_parts, {by_fuse_type, by_cures}},
        {"fuse-breaking-capacity", Phase::single_parts, {by_fuse_type, by_cures}},
        {"contact-voltage", Phase::single_parts, {by_cures}},
        {"input-voltage", Phase::single_parts, {by_cures, by_fitting_load, by_fitting_converter}},
        {"undervoltage",
         Phase::single_parts,
         {by_cures, by_thicker_way, by_fitting_load, by_fitting_converter}},
        {"coil-voltage", Phase::single_parts, {by_fitting_coil}},
        {"panel-voltage", Phase::single_parts, {by_fitting_panel_input}},
        {"panel-current", Phase::single_parts, {by_fitting_panel_input, by_thicker_way}},
        {"overloaded-converter", Phase::single_parts, {by_stronger_converter}},
        {"cannot-be-fed", Phase::single_parts, {by_thicker_way}},
        {"no-precharge", Phase::single_parts, {by_precharging, by_precharge_set}},
        {"slow-precharge", Phase::single_parts, {by_precharging}},
        {"no-disconnect", Phase::single_parts, {by_switch_put_in}},
        {"size-mismatch", Phase::single_parts, {by_cures}},
        {"missing-data", Phase::single_parts, {by_rating_bought}},
        {"overloaded-wire", Phase::way, {by_cures, by_bracket, by_fuse_and_wires, by_lower_setting}},
        {"overloaded-contact", Phase::way, {by_cures, by_lower_setting}},
        {"overloaded-fuse", Phase::way, {by_cures, by_bracket, by_lower_setting}},
        {"overloaded-diode", Phase::way, {by_cures}},
        {"freewheel-diode", Phase::way, {by_cures}},
        {"overloaded-shunt", Phase::way, {by_cures}},
        {"overloaded-protector", Phase::way, {by_cures}},
        {"setting-too-high", Phase::way, {by_cures, by_bracket, by_thicker_way, by_smaller_inverter}},
        {"oversized-fuse", Phase::way, {by_cures, by_bracket, by_free_way, by_fuse_put_in}},
        {"slow-clearing", Phase::way, {by_thicker_way, by_fuse_put_in}},
        {"insufficient-fault-current", Phase::way, {by_thicker_way, by_fuse_put_in}},
        {"rated-below-guard", Phase::way, {by_cures}},
        {"making-current", Phase::way, {by_cures}},
        {"breaking-current", Phase::way, {by_cures}},
        {"voltage-drop", Phase::comfort, {by_thicker_way}},
    };
    return rows;
}

const RuleWays* row_of(std::string_view rule) {
    const auto& rows = table();
    const auto at = std::find_if(rows.begin(), rows.end(), [&](const auto& row) { return row.rule == rule; });
    return at == rows.end() ? nullptr : &*at;
}

}  // namespace

Phase phase_of(std::string_view rule) {
    const RuleWays* row = row_of(rule);
    return row ? row->phase : Phase::never;
}

std::vector<Plan> candidates(const Finding& finding, const Results& results, const Harness& found,
                             bool slower) {
    std::vector<Plan> all;
    const RuleWays* row = row_of(finding.rule);
    if (!row) return all;
    const AtHand in{finding, results, *results.harness, found, slower};
    for (const Way way : row->ways)
        for (Plan& plan : way(in))
            if (!plan.empty()) all.push_back(std::move(plan));
    // Among equals by name, so that the order of the text decides nothing.
    std::stable_sort(all.begin(), all.end(), [](const Plan& a, const Plan& b) {
        return std::pair(points_of(a), signature_of(a)) < std::pair(points_of(b), signature_of(b));
    });
    return all;
}

namespace mending {

Plan plan_of(Change change) {
    Plan plan;
    const ChangeKey key = change.key;
    plan.emplace(key, std::move(change));
    return plan;
}

std::span<const double> sizes_for(const Wire& wire) {
    return wire.awg ? wire_gauges_mm2() : wire_sizes_mm2();
}

// Whether a wire that thick goes on beyond a device, contact or plug that this one alone leads to: then it is
// what belongs there. What lands beside others branches off, and says nothing about those.
bool beside_as_thick(const AtHand& in, const Wire& wire, double area_mm2) {
    const auto alone_on = [&](TerminalId at) {
        return std::count_if(in.harness.wires.begin(), in.harness.wires.end(),
                             [&](const Wire& each) { return each.from == at || each.to == at; }) == 1;
    };
    const auto hands_on = [&](TerminalId at) {
        const Kind kind = in.harness.part(in.harness.terminal(at).part).kind;
        return (kind == Kind::fuse || kind == Kind::breaker || kind == Kind::switch_ ||
                kind == Kind::contactor || kind == Kind::relay || kind == Kind::selector ||
                kind == Kind::connector || kind == Kind::shunt || kind == Kind::bms) &&
               alone_on(at);
    };
    const auto meet = [&](TerminalId one, TerminalId other) {
        return one != other && hands_on(one) &&
               in.harness.terminal(one).part == in.harness.terminal(other).part;
    };
    return std::any_of(in.harness.wires.begin(), in.harness.wires.end(), [&](const Wire& other) {
        const bool beside = meet(wire.from, other.from) || meet(wire.to, other.to) ||
                            meet(wire.to, other.from) || meet(wire.from, other.to);
        return beside && &other != &wire && other.area.lo * 1.001 >= area_mm2;
    });
}

Change resized(const AtHand& in, WireId id, double area_mm2) {
    using namespace literals;
    const Wire& wire = in.harness.wire(id);
    Change change;
    change.key = {Verb::size, std::string(wire.name), "(area)"_attr, Dimension::area};
    change.value = area_mm2;
    change.from = wire.area.lo;
    change.ladder = sizes_for(wire);
    change.text = size_text(area_mm2);
    constexpr double copper_g_per_mm2_m = 8.9, dear_mm2 = 35;
    const double times = area_mm2 / std::max(0.1, wire.area.lo);
    constexpr double thinner = 8;  // hardly ever is a wire too thick: what takes no such wire is too small
    change.points = 3 + 0.01 * copper_g_per_mm2_m * area_mm2 * wire.length.hi * wire.parallel +
                    (area_mm2 < wire.area.lo ? thinner : 0) +
                    (times > 3 && !beside_as_thick(in, wire, area_mm2) ? 4 * (times / 3 - 1) : 0) +
                    (area_mm2 > dear_mm2 && wire.area.lo <= dear_mm2 ? 10 : 0);
    return change;
}

double most_A(const Results& results, WireId wire) {
    return largest_A(results.points, results.circuit.edge_of_wire[wire.index()]);
}

double most_A(const Results& results, PartId part) {
    double most = 0;
    for (const OperatingPoint& point : results.points)
        if (point.usable())
            for (const EdgeId edge : results.circuit.edges_of_part[part.index()])
                most = std::max(most, std::abs(point.edge_A[edge.index()]));
    return most;
}

double most_V(const Results& results) {
    double most = 0;
    for (const OperatingPoint& point : results.points) {
        if (!point.usable()) continue;
        const auto [low, high] = std::minmax_element(point.node_V.begin(), point.node_V.end());
        most = std::max(most, *high - *low);
    }
    return most;
}

std::vector<WireId> wires_named(const AtHand& in) {
    std::vector<WireId> wires;
    const auto add = [&](std::string_view name) {
        const auto wire = in.harness.find_wire(name);
        if (wire && std::find(wires.begin(), wires.end(), *wire) == wires.end()) wires.push_back(*wire);
    };
    for (const Related& related : in.finding.related) add(related.text.substr(0, related.text.find(' ')));
    for (const Step& step : in.finding.witness) add(step.name);
    if (in.finding.wire) add(in.harness.wire(in.finding.wire).name);
    return wires;
}

}  // namespace mending
}  // namespace loomward
