// Candidates that fit another part for the voltage or current of its place: chargers, coils, loads,
// converters.
#include <algorithm>
#include <cmath>
#include <string>

#include "checker/circuit/roles.hpp"
#include "checker/mend/candidates.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/parts/elements.hpp"

namespace loomward::mending {
namespace {

using namespace literals;

constexpr double another_part = 12;  // points

// Voltages that coils and loads are made for, V; common practice, no source.
constexpr double nominal_V[] = {6, 12, 24, 36, 48, 60, 72, 80, 96};
// Upper ends of what panel inputs take, V; common practice, no source.
constexpr double panel_inputs_V[] = {25, 50, 75, 100, 150, 250, 450, 600};

double figure(const Finding& finding, std::string_view name) {
    for (const Figure& each : finding.figures)
        if (each.name == name) return each.value;
    return 0;
}

Change figure_of(const AtHand& in, PartId part, Attr what, Dimension dimension, double value) {
    Change change;
    change.key = {Verb::rating, std::string(in.harness.part(part).name), what, dimension};
    change.value = value;
    for (const std::size_t place : {std::size_t{0}, std::size_t{1}}) {
        const Value now = in.harness.value(in.harness.part(part).attributes, what, place);
        if (now.present() && now.dimension == dimension && now.known != Knowledge::unknown)
            change.from = now.hi;
    }
    change.upper = value > change.from;
    change.points = another_part;
    return change;
}

EdgeId edge_of(const AtHand& in, PartId part, EdgeRole role) {
    if (part)
        for (const EdgeId id : in.results.circuit.edges_of_part[part.index()])
            if (in.results.circuit.edge(id).role == role) return id;
    return {};
}

// Lowest and highest voltage across something while it has any, V.
struct Across {
    double low_V = 0, high_V = 0;
};
Across across(const AtHand& in, const Edge& edge) {
    std::vector<double> volts;
    for (const OperatingPoint& point : in.results.points)
        if (point.usable())
            volts.push_back(std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]));
    Across found;
    if (volts.empty()) return found;
    found.low_V = found.high_V = *std::max_element(volts.begin(), volts.end());
    // Far below it is switched off.
    for (const double each : volts)
        if (each > 0.5 * found.high_V) found.low_V = std::min(found.low_V, each);
    return found;
}

// The voltage that is printed on what is made for the place; nullopt: none of those that are sold.
std::optional<double> made_for(const Across& place) {
    constexpr double least = 0.6, most = 1.35;  // the check says whether it will do; no source
    std::optional<double> best;
    for (const double each : nominal_V)
        if (place.high_V <= most * each && place.low_V >= least * each &&
            (!best || std::abs(each - place.low_V) < std::abs(*best - place.low_V)))
            best = each;
    return best;
}

// An error that more of something than there may be makes: for a warning no part is made weaker.
bool is_worth_less(const Finding& finding) {
    return finding.severity == Severity::error && finding.figures.size() >= 2 &&
           finding.figures[0].value > finding.figures[1].value;
}

// The chargers and converters whose output the finding names, and those that charge its pack.
std::vector<PartId> charging_parts(const AtHand& in) {
    std::vector<PartId> found;
    for (const Edge& edge : in.results.circuit.edges)
        if (edge.role == EdgeRole::charger)
            if (std::find(found.begin(), found.end(), edge.part) == found.end()) found.push_back(edge.part);
    return found;
}

}  // namespace

std::vector<Plan> by_fitting_charger(const AtHand& in) {
    const double allowed_V = figure(in.finding, "allowed");
    if (allowed_V <= 0 || !in.finding.part) return {};
    return {plan_of(figure_of(in, in.finding.part, output_attribute(in.harness, in.finding.part),
                              Dimension::voltage, allowed_V))};
}

// Whose output the pack drives a current into: one that gives what the pack has when it is full.
std::vector<Plan> by_charger_of_pack(const AtHand& in) {
    const EdgeId id = edge_of(in, in.finding.part, EdgeRole::charger);
    if (!id || in.harness.part(in.finding.part).kind != Kind::charger) return {};
    const double stands_V = across(in, in.results.circuit.edge(id)).high_V;
    Change change = figure_of(in, in.finding.part, output_attribute(in.harness, in.finding.part),
                              Dimension::voltage, std::floor(stands_V * 10 + 1e-6) / 10);
    constexpr double alike = 1.05;
    return change.from > 0 && stands_V > alike * change.from ? std::vector{plan_of(change)}
                                                             : std::vector<Plan>{};
}

// A pack or its battery management is not bought anew: a charger that gives what they take.
std::vector<Plan> by_weaker_charger(const AtHand& in) {
    const auto& figures = in.finding.figures;
    if (!is_worth_less(in.finding)) return {};
    const double share = figures[1].value / figures[0].value;
    std::vector<Plan> plans;
    for (const PartId part : charging_parts(in)) {
        Change change = figure_of(in, part, output_attribute(in.harness, part), Dimension::current, 0);
        for (const double further : {1.0, 0.9, 0.8, 0.6, 0.4}) {
            change.value = std::floor(change.from * share * further + 1e-6);
            if (change.value < 1) continue;
            change.gives_less = true;
            change.points = another_part + 60 * (1 - share * further);
            plans.push_back(merged(plan_of(change), held_to(in, part, Flow::delivers, change.value,
                                                            to_text(change.value, Dimension::current, 4))));
        }
    }
    return plans;
}

// An inverter of less power, where what feeds it is not for sale.
std::vector<Plan> by_smaller_inverter(const AtHand& in) {
    const auto& figures = in.finding.figures;
    const bool needed = phase_of(in.finding.rule) == Phase::not_for_sale;
    if ((!needed && !in.slower) || !is_worth_less(in.finding)) return {};
    std::vector<Plan> plans;
    for (std::size_t i = 0; i < in.harness.parts.size(); ++i) {
        const PartId part(i);
        if (in.harness.parts[i].kind != Kind::inverter ||
            (in.finding.part != part && most_A(in.results, part) <= 0))
            continue;
        Change change = figure_of(in, part, "(power)"_attr, Dimension::power, 0);
        const double share = figures[1].value / figures[0].value;
        for (const double further : {1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2}) {
            constexpr double step_W = 100;
            change.value = std::floor(change.from * share * further / step_W) * step_W;
            if (change.value <= 0) continue;
            change.gives_less = true;
            change.points = another_part + 60 * (1 - share * further);
            plans.push_back(plan_of(change));
        }
    }
    return plans;
}

std::vector<Plan> by_fitting_coil(const AtHand& in) {
    const EdgeId id = edge_of(in, in.finding.part, EdgeRole::coil);
    if (!id) return {};
    const Across place = across(in, in.results.circuit.edge(id));
    const auto volts = made_for(place);
    const Value now = in.harness.value(in.harness.part(in.finding.part).attributes, "coil"_attr);
    const Value takes = in.harness.value(in.harness.part(in.finding.part).attributes, "coil"_attr, 1);
    if (!volts || !now.present()) return {};
    Change coil = figure_of(in, in.finding.part, "coil"_attr, Dimension::voltage, *volts);
    coil.points = 7;
    coil.text = "coil " + to_text(*volts, Dimension::voltage);
    // Of the same power.
    if (takes.present() && takes.known != Knowledge::unknown && takes.dimension == Dimension::current)
        coil.text += " " + to_text(takes.hi * now.lo / *volts, Dimension::current, 2);
    constexpr double room = 0.05;
    const Quantity works{std::floor(place.low_V * (1 - room)), std::ceil(place.high_V * (1 + room)),
                         Dimension::voltage};
    coil.besides = {{"coil-works"_attr, "coil-works " + to_text(works, 4)}};
    return {plan_of(coil)};
}

// A load of the same power for the voltage that is there.
std::vector<Plan> by_fitting_load(const AtHand& in) {
    const EdgeId id = edge_of(in, in.finding.part, EdgeRole::load);
    if (!id) return {};
    const Slice attributes = in.harness.part(in.finding.part).attributes;
    const Value rated = in.harness.value(attributes, "(rated-voltage)"_attr),
                current = in.harness.value(attributes, "(current)"_attr),
                works = in.harness.value(attributes, "works"_attr);
    const auto volts = made_for(across(in, in.results.circuit.edge(id)));
    if (!volts || !rated.present() || rated.known == Knowledge::unknown) return {};
    // Nothing is bought for what only hangs on the wrong rail.
    if (in.finding.rule == "wrong-rail" && !in.slower && !by_other_rail(in).empty()) return {};
    if (*volts == rated.lo) {
        if (in.finding.severity != Severity::error) return {};
        Change range = figure_of(in, in.finding.part, "works"_attr, Dimension::voltage, 1.35 * rated.lo);
        range.text = "works " + to_text(Quantity{0.75 * rated.lo, 1.35 * rated.lo, Dimension::voltage}, 3);
        return {plan_of(range)};
    }
    const double times = *volts / rated.lo;
    // The same current: what a motor is laid for, and one of less power.
    Change alike = figure_of(in, in.finding.part, "(rated-voltage)"_attr, Dimension::voltage, *volts);
    alike.points += 0.5;
    Change fitted = figure_of(in, in.finding.part, "(rated-voltage)"_attr, Dimension::voltage, *volts);
    if (current.present() && current.known != Knowledge::unknown)
        fitted.besides.emplace_back("(current)"_attr, to_text(current.hi / times, Dimension::current, 3));
    if (works.present() && works.known != Knowledge::unknown)
        for (Change* change : {&fitted, &alike})
            change->besides.emplace_back(
                "works"_attr,
                "works " + to_text(Quantity{works.lo * times, works.hi * times, Dimension::voltage}, 3));
    // What is made for 5 V is electronics, of which there is no other: a feed that fits comes first.
    constexpr double electronics_V = 6, no_other = 6;
    if (rated.lo < electronics_V) fitted.points += no_other;
    std::vector<Plan> plans = {plan_of(fitted)};
    if (current.present() && *volts < rated.lo) plans.push_back(plan_of(alike));
    return plans;
}

// The converter that feeds a load, of an output that the load takes.
std::vector<Plan> by_fitting_converter(const AtHand& in) {
    const EdgeId use = edge_of(in, in.finding.part, EdgeRole::load);
    if (!use) return {};
    const Slice attributes = in.harness.part(in.finding.part).attributes;
    const Value rated = in.harness.value(attributes, "(rated-voltage)"_attr),
                works = in.harness.value(attributes, "works"_attr);
    const bool stated = works.present() && works.known != Knowledge::unknown;
    const double volts = rated.present() && rated.known != Knowledge::unknown ? rated.lo
                         : stated ? std::round(5 * (works.lo + works.hi)) / 10
                                  : 0;
    const Circuit& circuit = in.results.circuit;
    std::vector<NodeId> open = {circuit.edge(use).from};
    std::vector<Plan> plans;
    for (std::size_t i = 0; i < open.size() && volts > 0; ++i)
        for (const Incidence& next : circuit.at(open[i])) {
            const Edge& edge = circuit.edge(next.edge);
            if (edge.role == EdgeRole::converter_output && edge.to == open[i]) {
                Change change = figure_of(in, edge.part, output_attribute(in.harness, edge.part),
                                          Dimension::voltage, volts);
                change.points += 1;  // it may feed others as well
                plans.push_back(plan_of(change));
            } else if (is_conductor(edge.role) &&
                       std::find(open.begin(), open.end(), next.other) == open.end())
                open.push_back(next.other);
        }
    return plans;
}

std::vector<Plan> by_fitting_panel_input(const AtHand& in) {
    const double stands_V = figure(in.finding, "voltage"), flows_A = figure(in.finding, "current");
    if (!in.finding.part || in.harness.part(in.finding.part).kind != Kind::charger) return {};
    const auto volts = stands_V > 0 ? step_up(panel_inputs_V, stands_V) : std::nullopt;
    const auto amps = flows_A > 0 ? step_up(contact_ratings_A(), flows_A) : std::nullopt;
    if (volts)
        return {plan_of(figure_of(in, in.finding.part, "panel-input"_attr, Dimension::voltage, *volts))};
    if (amps)
        return {plan_of(figure_of(in, in.finding.part, "panel-current"_attr, Dimension::current, *amps))};
    return {};
}

std::vector<Plan> by_stronger_converter(const AtHand& in) {
    if (!in.finding.part || in.finding.figures.empty()) return {};
    std::vector<Plan> plans;
    double at_least_A = in.finding.figures.front().value;
    for (int more = 0; more < 3; ++more) {
        const auto amps = step_up(contact_ratings_A(), at_least_A);
        if (!amps) break;
        Change change = figure_of(in, in.finding.part, output_attribute(in.harness, in.finding.part),
                                  Dimension::current, *amps);
        change.points += 0.1 * more;
        plans.push_back(plan_of(change));
        at_least_A = *amps * 1.01;
    }
    return plans;
}

}  // namespace loomward::mending
