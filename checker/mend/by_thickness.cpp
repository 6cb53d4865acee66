// Candidates that make the wires of a way thicker.
#include <algorithm>
#include <map>

#include "checker/mend/candidates.hpp"
#include "checker/mend/ladders.hpp"

namespace loomward::mending {

using namespace literals;

namespace {

// The thickest wire that both ends take, mm2.
double taken_mm2(const AtHand& in, WireId id) {
    const Wire& wire = in.harness.wire(id);
    double most_mm2 = 1e9;
    for (const TerminalId end : {wire.from, wire.to}) {
        const Part& part = in.harness.part(in.harness.terminal(end).part);
        const Value takes = in.harness.value(part.attributes, "takes"_attr);
        if (takes.present() && takes.known != Knowledge::unknown)
            most_mm2 = std::min(most_mm2, takes.hi / wire.parallel);
    }
    return most_mm2;
}

// All wires of the way that are thinner, of one size each: how a way is laid anew.
std::vector<Plan> of_one_size(const AtHand& in, const std::vector<WireId>& wires) {
    std::vector<Plan> plans;
    for (const double size :
         wires.empty() ? std::span<const double>() : sizes_for(in.harness.wire(wires.front()))) {
        Plan plan;
        bool fits = true;
        for (const WireId id : wires) {
            const Wire& wire = in.harness.wire(id);
            if (wire.area.lo * 1.03 >= size || !wire.area.is_known()) continue;
            fits = fits && !wire.cable && size <= 1.001 * taken_mm2(in, id);
            const Change change = resized(in, id, size);
            plan.emplace(change.key, change);
        }
        if (fits && !plan.empty()) plans.push_back(std::move(plan));
    }
    return plans;
}

}  // namespace

// The thinnest of the way first, a step at a time; each plan holds the one before.
std::vector<Plan> by_thicker_way(const AtHand& in) {
    std::vector<WireId> wires = wires_named(in);
    const bool comfort = in.finding.rule == "voltage-drop" || in.finding.rule == "undervoltage" ||
                         in.finding.rule == "cannot-be-fed";
    if (!comfort) {
        wires.clear();
        if (in.finding.wire) wires.push_back(in.finding.wire);
        for (const Related& related : in.finding.related)
            if (related.text.starts_with("the weakest part of the way: ampacity of wire "))
                if (const auto wire =
                        in.harness.find_wire(related.text.substr(46, related.text.find(',', 46) - 46)))
                    wires.push_back(*wire);
    }
    std::vector<Plan> plans;
    std::map<WireId, double> sizes;
    for (const WireId wire : wires) sizes[wire] = in.harness.wire(wire).area.lo;
    constexpr int most_steps = 8;
    for (int step = 0; step < most_steps && !wires.empty(); ++step) {
        // What a step wins of volts for what it weighs.
        WireId best;
        double most = 0;
        for (const WireId wire : wires) {
            const auto next = step_up(sizes_for(in.harness.wire(wire)), sizes[wire] * 1.03);
            if (!next || (comfort && *next > 1.001 * taken_mm2(in, wire))) continue;
            const double won =
                most_A(in.results, wire) * (1 / sizes[wire] - 1 / *next) / (*next - sizes[wire]);
            if (!best || won > most) best = wire, most = won;
        }
        if (!best) break;
        sizes[best] = *step_up(sizes_for(in.harness.wire(best)), sizes[best] * 1.03);
        Plan plan;
        for (const auto& [wire, size] : sizes)
            if (size > in.harness.wire(wire).area.lo * 1.03) {
                const Change change = resized(in, wire, size);
                plan.emplace(change.key, change);
            }
        // Volts alone are not worth a harness made anew; no source.
        constexpr std::size_t most_wires = 3;
        if (in.finding.rule == "voltage-drop" && plan.size() > most_wires) break;
        plans.push_back(std::move(plan));
    }
    // Where one burns others burn as well, and a thicker one alone makes the next the worst.
    if (in.finding.rule == "slow-clearing" && in.finding.wire) {
        std::vector<WireId> all = {in.finding.wire};
        for (const Related& related : in.finding.related)
            if (related.text.starts_with("wire ") && related.text.ends_with(" burns as well"))
                if (const auto wire =
                        in.harness.find_wire(related.text.substr(5, related.text.find(' ', 5) - 5)))
                    all.push_back(*wire);
        if (all.size() > 1)
            for (Plan& plan : of_one_size(in, all)) plans.push_back(std::move(plan));
    }
    // What is far too thin is so all along its own lead.
    if (in.finding.rule == "cannot-be-fed" && !wires.empty()) {
        double thinnest = 1e9;
        for (const WireId wire : wires) thinnest = std::min(thinnest, in.harness.wire(wire).area.lo);
        std::erase_if(wires, [&](WireId wire) { return in.harness.wire(wire).area.lo > thinnest * 1.03; });
        for (Plan& plan : of_one_size(in, wires)) plans.push_back(std::move(plan));
    }
    return plans;
}

}  // namespace loomward::mending
