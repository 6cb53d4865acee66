#include "checker/rules/requirements.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "checker/circuit/in_series.hpp"
#include "checker/currents/loading.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/panel_figures.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/contact_needs.hpp"
#include "checker/rules/fed_capacitors.hpp"
#include "checker/rules/side_by_side.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/protection.hpp"

namespace loomward {

using namespace literals;

namespace {

bool one_of(Attr attribute, std::initializer_list<Attr> list) {
    return std::find(list.begin(), list.end(), attribute) != list.end();
}

RequiredFigure at_least(Attr what, std::string verb, double least, Dimension dimension) {
    return {what, std::move(verb), rounded_up(least), dimension};
}

std::string with_peaks(double peak_A, double carries_A) {
    return above(peak_A, carries_A) ? ", with peaks of " + amps(rounded_up(peak_A)) : "";
}

// What panels drive through the contacts of a part as long as it is light, A.
double of_panels_A(const RuleInput& input, PartId part) {
    const PanelField field = panel_field(input.circuit, input.facts);
    double most_A = 0;
    if (field.panels().empty()) return most_A;
    for (const EdgeId id : input.circuit.edges_of_part[part.index()])
        if (opened_by_hand(input.circuit.edge(id).role))
            most_A = std::max(most_A, bright_sun * field.through_A(id));
    return most_A;
}

}  // namespace

// What the ways of a part meet.
struct Requirements::Met {
    double sustained_A = 0, peak_A = 0, across_V = 0;
};

Requirements::Requirements(const RuleInput& input)
    : input_(input),
      courses_(usable_courses(input.points)),
      potentials_(input),
      rows_(series_numbers(input.circuit)) {}

Requirements::Met Requirements::met_by(PartId part) const {
    Met met;
    for (const EdgeId edge : input_.circuit.edges_of_part[part.index()]) {
        if (input_.circuit.edge(edge).role == EdgeRole::coil) continue;
        for (const Course& course : courses_) {
            met.sustained_A = std::max(met.sustained_A, load_of(course, hours().quick_s, edge).current_A);
            met.peak_A = std::max(met.peak_A, peak_of(course, edge).current_A);
        }
        met.across_V = std::max(met.across_V, potentials_.across_when_open_V(edge));
    }
    return met;
}

// A standard rating that carries what flows for hours and that the wires in a row with it may carry.
std::optional<RequiredFigure> Requirements::current(PartId part, const Met& met) const {
    const double share = input_.facts.policy("continuous-fuse-load"_attr).lo / 100;
    const double least_A = met.sustained_A / (share > 0 ? share : 1);
    double most_A = std::numeric_limits<double>::infinity();
    for (const EdgeId device : input_.circuit.edges_of_part[part.index()]) {
        const std::uint64_t row = rows_[device.index()];
        if (row == 0) continue;
        for (std::size_t i = 0; i < input_.harness.wires.size(); ++i) {
            const WireId wire(i);
            if (rows_[input_.circuit.edge_of_wire[i].index()] != row ||
                !input_.harness.wire(wire).area.is_known() ||
                input_.harness.wire(wire).area.known == Knowledge::assumed)
                continue;
            most_A = std::min(most_A, standing_ampacity(input_.facts, wire, input_.wires[i]).current_A);
        }
    }
    // IEC 60364-4-43 433.1: I2 <= 1.45 Iz, besides In <= Iz.
    constexpr double protects_share = 1.45;
    const auto opens_A = [&](double rated_A) {
        const auto family = conventional_currents(input_.facts.word(part, "curve"_attr), rated_A);
        return rated_A * (family ? family->fusing : factor_of_unknown_family(input_.harness.part(part).kind));
    };
    const std::string_view curve = input_.facts.word(part, "curve"_attr);
    const bool known_family =
        std::any_of(gates().begin(), gates().end(), [&](const Gate& gate) { return gate.word == curve; });
    std::vector<double> may_be_A;
    bool smaller_than_its_family = false;
    for (const double rating_A : standard_ratings_A()) {
        if (rating_A < least_A || rating_A > most_A ||
            opens_A(rating_A) > protects_share * most_A * (1 + 1e-9))
            continue;
        if (known_family && gates_of(curve, rating_A).empty())
            smaller_than_its_family = true;
        else
            may_be_A.push_back(rating_A);
    }
    RequiredFigure needed = at_least("(rated-current)"_attr, "be", least_A, Dimension::current);
    needed.ratings = std::move(may_be_A);
    if (std::isinf(most_A)) {
        if (met.sustained_A <= idle_A) return std::nullopt;
        needed.ratings.clear();
        needed.rest = " or more";
    } else if (needed.ratings.empty()) {
        needed.rest = " or more, but the wires in a row with it may carry only " + amps(most_A);
        if (smaller_than_its_family) needed.rest += ", and " + std::string(curve) + " has none so small";
    }
    return needed;
}

// What it closes onto: loads that were dead before count with their inrush, capacitors where a resistor in
// line leaves little of theirs.
std::optional<RequiredFigure> Requirements::making(PartId part) const {
    double most_A = of_panels_A(input_, part);
    for (const ModeEntry& entry : input_.transients.entries)
        for (const ClosingContact& contact : entry.closing)
            if (input_.circuit.edge(contact.edge).part == part)
                most_A = std::max(
                    {most_A, std::abs(contact.load_A),
                     closes_through_resistor(input_, entry, contact.edge) ? std::abs(contact.current_A) : 0});
    if (most_A <= idle_A) return std::nullopt;
    return at_least("makes"_attr, "make", most_A, Dimension::current);
}

// The sizes of the wires that land on it.
std::string Requirements::sizes(PartId part) const {
    double least_mm2 = std::numeric_limits<double>::infinity(), most_mm2 = 0;
    for (const Wire& wire : input_.harness.wires) {
        if (!wire.area.is_known() || wire.area.known == Knowledge::assumed) continue;
        for (const TerminalId end : {wire.from, wire.to}) {
            if (!end || input_.harness.terminal(end).part != part) continue;
            least_mm2 = std::min(least_mm2, wire.area.lo * wire.parallel);
            most_mm2 = std::max(most_mm2, wire.area.hi * wire.parallel);
        }
    }
    if (most_mm2 <= 0) return {};
    return "take " + to_text({least_mm2, most_mm2, Dimension::area, Knowledge::stated});
}

// The voltages that come to stand at its supply.
std::string Requirements::fed_with(PartId part) const {
    const TerminalId plus = input_.harness.terminal_of(part, TerminalRole::plus);
    if (!plus) return {};
    const double most_V = potentials_.node_V(input_.circuit.node(plus));
    return most_V > 0 ? "stand " + volts(rounded_up(most_V)) : "";
}

namespace {

// What panels give and push back.
std::string of_panels(const RuleInput& input, const OpenValue& value) {
    const PanelField field = panel_field(input.circuit, input.facts);
    for (const EdgeId edge : input.circuit.edges_of_part[value.part.index()]) {
        const EdgeRole role = input.circuit.edge(edge).role;
        double amount_A = 0;
        if (value.attribute == "maximum-series-fuse"_attr && role == EdgeRole::panel)
            amount_A = field.back_into(edge).guarded_A;
        if (value.attribute == "panel-current"_attr && role == EdgeRole::panel_input)
            amount_A = bright_sun * field.through_A(edge);
        if (amount_A > 0) return "be " + amps(rounded_up(amount_A)) + " or more";
    }
    return {};
}

}  // namespace

std::optional<RequiredFigure> Requirements::figure_of(const OpenValue& value) const {
    const Kind kind = input_.harness.part(value.part).kind;
    const bool device = kind == Kind::fuse || kind == Kind::breaker || kind == Kind::protector;
    if (value.attribute == "makes"_attr) return making(value.part);
    const Met met = met_by(value.part);
    if (device && value.attribute == "(rated-current)"_attr) return current(value.part, met);
    if (value.attribute == "breaks"_attr) {
        double breaks_A = 0;
        if (device)
            breaks_A = input_.faults.survey().devices[value.part.index()].prospective_A;
        else if (met.across_V > 0)
            breaks_A = std::max(
                {met.peak_A, rules::side_by_side_A(input_, value.part), of_panels_A(input_, value.part)});
        if (device ? breaks_A > 0 : breaks_A > idle_A) {
            RequiredFigure needed = at_least(value.attribute, "break", breaks_A, Dimension::current);
            needed.at_V = rounded_up(met.across_V);
            return needed;
        }
    }
    if (value.attribute == "carries"_attr)
        if (const double carries_A = rules::contact_must_carry_A(input_, courses_, value.part);
            carries_A > idle_A) {
            RequiredFigure needed = at_least(value.attribute, "carry", carries_A, Dimension::current);
            needed.rest = with_peaks(met.peak_A, carries_A);
            return needed;
        }
    if (one_of(value.attribute,
               {"carries"_attr, "(rated-current)"_attr, "discharge"_attr, "way-carries"_attr}) &&
        met.sustained_A > idle_A) {
        RequiredFigure needed = at_least(value.attribute, "carry", met.sustained_A, Dimension::current);
        needed.rest = with_peaks(met.peak_A, met.sustained_A);
        return needed;
    }
    return std::nullopt;
}

std::string Requirements::words_of(const OpenValue& value) const {
    const Kind kind = input_.harness.part(value.part).kind;
    if (one_of(value.attribute, {"maximum-series-fuse"_attr, "panel-current"_attr}))
        return of_panels(input_, value);
    if (value.attribute == "takes"_attr) return sizes(value.part);
    if (value.attribute == "input"_attr) return fed_with(value.part);
    // The rated voltage of a load is that of its supply by name; one of 12 V is at home at 14.6 V.
    const bool nominal = kind == Kind::load || kind == Kind::motor;
    if (one_of(value.attribute, {"(rated-voltage)"_attr, "(operational-voltage)"_attr, "breaks"_attr}) &&
        !nominal)
        if (const double across_V = met_by(value.part).across_V; across_V > 0)
            return "stand " + volts(rounded_up(across_V)) + " dc";
    return {};
}

void Requirements::tell(const OpenValue& value, Finding& finding) const {
    if (!value.part) return;
    finding.required = figure_of(value);
    finding.requirement = finding.required ? to_text(*finding.required) : words_of(value);
}

}  // namespace loomward
