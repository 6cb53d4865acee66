#include "render/sheet/model/sheet_model.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "checker/heat/boxes.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "checker/protection/protection_zones.hpp"
#include "parser/typed_lengths.hpp"
#include "render/svg/canvas.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"

namespace loomward::sheet {
namespace {

using namespace loomward::literals;

std::string size_text(const Wire& wire) {
    const std::string conductors = wire.parallel > 1 ? std::to_string(wire.parallel) + " x " : "";
    if (wire.awg && !wire.size_text.empty()) return conductors + std::string(wire.size_text);
    if (wire.area.known == Knowledge::unknown) return conductors + "? mm²";
    return conductors + number(wire.area.hi) + " mm²";
}

std::string length_text(const Quantity& length) {
    if (length.known == Knowledge::unknown) return "? m";
    // Two digits after the point below 10 m, so that the lengths of a sheet read alike.
    const long hundredths = std::lround(length.hi * 100);
    if (hundredths >= 1000) return number(std::round(length.hi * 10) / 10) + " m";
    const std::string rest = std::to_string(100 + hundredths % 100).substr(1);
    return std::to_string(hundredths / 100) + '.' + rest + " m";
}

std::string colours_text(const Wire& wire) {
    if (wire.colour == Colour::none) return {};
    std::string letters(colour_letters(wire.colour));
    if (wire.second_colour != Colour::none) letters += colour_letters(wire.second_colour);
    return letters;
}

// Several guards are several feeds: each of them must open. Two are named, of more the first and a number.
std::string all_guards(const Harness& harness, const std::vector<PartId>& guards, const char* between) {
    std::string text;
    for (const PartId guard : guards)
        text += (text.empty() ? "" : between) + std::string(harness.part(guard).name);
    return text;
}

std::string tag_for(const Harness& harness, const std::vector<PartId>& guards) {
    if (guards.empty()) return {};
    std::string tag(harness.part(guards[0]).name);
    if (guards.size() == 2) tag += "+" + std::string(harness.part(guards[1]).name);
    if (guards.size() > 2) tag += " +" + std::to_string(guards.size() - 1);
    return tag;
}

void set_guards(const Harness& harness, const std::vector<PartId>& guards, Line& line) {
    line.guard = tag_for(harness, guards);
    line.all_guards = guards.size() > 2 ? all_guards(harness, guards, ", ") : std::string();
}

std::string ring_of(const Harness& harness, const Wire& wire, bool& is_cable) {
    is_cable = wire.cable.valid();
    if (is_cable) return std::string(harness.cables[wire.cable.index()].name);
    for (const BundleId bundle : wire.bundles)
        if (bundle) return std::string(harness.bundles[bundle.index()].name);
    return {};
}

void add_guards(const Harness& harness, const WireGuards& guards, Line& line) {
    line.unguarded = guards.unguarded;
    line.electronic = guards.electronic_only && !guards.unguarded;
    if (!guards.unguarded) set_guards(harness, guards.devices, line);
}

void add_loading(const WireLoading& loading, Line& line) {
    if (loading.limit_A > 0) line.loading = loading.current_A / loading.limit_A;
    line.current_known = loading.direction != 0;
    line.tail_is_from = loading.direction >= 0;
}

// What the proof says of a wire's zone.
void add_zone(const Harness& harness, const ProtectionZone& zone, Line& line) {
    using Guard = ProtectionZone::Guard;
    std::vector<PartId> devices;
    for (const ZoneGuard& device : zone.devices)
        if (!device.limit) devices.push_back(device.part);
    line.unguarded = zone.guard == Guard::none || zone.guard == Guard::short_leads;
    line.short_lead = zone.guard == Guard::short_leads;
    line.electronic = zone.guard == Guard::electronics;
    set_guards(harness, line.unguarded ? std::vector<PartId>{} : devices, line);
    if (zone.guard == Guard::not_known) line.guard += line.guard.empty() ? "" : "?";
}

Line wire_line(const Results& results, std::size_t index, const std::vector<End>& place_of,
               const ProtectionZone* zone) {
    const Harness& harness = *results.harness;
    const Wire& wire = harness.wires[index];
    Line line;
    line.wire = WireId(index);
    line.from = place_of[wire.from.index()];
    line.to = place_of[wire.to.index()];
    line.area_mm2 = std::clamp(wire.area.hi * wire.parallel, 0.05, 400.0);
    line.name = wire.name;
    line.colour = wire.colour;
    line.second_colour = wire.second_colour;
    line.text = size_text(wire);
    if (const std::string letters = colours_text(wire); !letters.empty()) line.text += ' ' + letters;
    line.text += ' ' + with_typed(length_text(wire.length), typed_in_feet(harness, wire));
    line.ring = ring_of(harness, wire, line.is_cable);
    if (index < results.guards.size()) add_guards(harness, results.guards[index], line);
    if (index < results.wires.size()) add_loading(results.wires[index], line);
    if (zone) add_zone(harness, *zone, line);
    line.title = line.name + ": " + line.text + ", " + std::string(harness.terminal(wire.from).path) +
                 " to " + std::string(harness.terminal(wire.to).path);
    if (line.unguarded) line.title += line.short_lead ? ", a short lead without a guard" : ", no guard";
    if (!line.guard.empty()) {
        std::vector<PartId> devices;
        if (zone)
            for (const ZoneGuard& device : zone->devices)
                if (!device.limit) devices.push_back(device.part);
        line.title += ", guarded by " + (devices.size() > 2 ? all_guards(harness, devices, "+") : line.guard);
    }
    if (line.loading >= 0) line.title += ", " + number(std::round(line.loading * 100)) + " % of its limit";
    if (!line.ring.empty()) line.title += ", in " + line.ring;
    return line;
}

// Which way the largest current of any moment runs through each joint: +1 from a to b, -1 against, 0 none
// known.
std::vector<int> joint_directions(const Results& results) {
    std::map<std::pair<TerminalId, TerminalId>, std::size_t> joint_at;
    const std::vector<Joint>& joints = results.harness->joints;
    for (std::size_t i = 0; i < joints.size(); ++i) joint_at.emplace(std::pair(joints[i].a, joints[i].b), i);
    std::vector<int> directions(joints.size(), 0);
    std::vector<double> largest(joints.size(), 1e-6);
    for (std::size_t e = 0; e < results.circuit.edges.size(); ++e) {
        const Edge& edge = results.circuit.edges[e];
        if (edge.role != EdgeRole::joint) continue;
        const auto found = joint_at.find({edge.from_terminal, edge.to_terminal});
        if (found == joint_at.end()) continue;
        for (const OperatingPoint& point : results.points) {
            if (e >= point.edge_A.size()) continue;
            const double current_A = point.edge_A[e];
            if (std::abs(current_A) <= largest[found->second]) continue;
            largest[found->second] = std::abs(current_A);
            directions[found->second] = current_A > 0 ? 1 : -1;
        }
    }
    return directions;
}

// "overloaded wire W3: 50.3 A; may carry 30.7 A here"
std::string words_of(const Finding& finding, const Harness& harness) {
    std::string text = finding.rule;
    std::replace(text.begin(), text.end(), '-', ' ');
    if (!finding.subject.empty()) text += ' ' + finding.subject;
    if (finding.accepted) {
        const Acceptance& acceptance = harness.acceptances[*finding.accepted];
        text += ", accepted" + accepted_amount(acceptance);
        if (!acceptance.reason.empty()) text += ": " + std::string(acceptance.reason);
    } else {
        if (finding.possible) text += " ?";
        if (!finding.beside.empty()) text += ": " + finding.beside;
    }
    if (finding.copies > 1) text += " (" + std::to_string(finding.copies) + " copies)";
    return text;
}

// The wires that a finding tells of: its own, and those its message names with it ("wires W36, W61 are ...").
std::vector<WireId> wires_of(const Finding& finding, const Harness& harness) {
    std::vector<WireId> wires;
    if (finding.wire.valid()) wires.push_back(finding.wire);
    constexpr std::string_view opening = "wires ";
    if (!finding.message.starts_with(opening)) return wires;
    std::string_view rest = std::string_view(finding.message).substr(opening.size());
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find_first_of(", "), rest.size());
        const auto wire = harness.find_wire(rest.substr(0, end));
        if (!wire && !wires.empty() && rest.substr(0, end) != "and") break;
        if (wire && std::find(wires.begin(), wires.end(), *wire) == wires.end()) wires.push_back(*wire);
        rest.remove_prefix(std::min(rest.size(), end + 1));
        while (rest.starts_with(' ')) rest.remove_prefix(1);
    }
    return wires;
}

void count(const Finding& finding, SheetModel& model) {
    const bool accepted = finding.accepted.has_value();
    if (finding.possible && !accepted && finding.severity != Severity::note) ++model.possible;
    ++(accepted                                ? model.accepted
       : finding.severity == Severity::error   ? model.errors
       : finding.severity == Severity::warning ? model.warnings
                                               : model.notes);
}

// The number of a finding is its place in the results: the same in text, JSON and here.
void number_findings(const Results& results, SheetModel& model) {
    std::vector<std::vector<int>> elements_of(results.harness->parts.size());
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        elements_of[model.elements[i].part.index()].push_back(static_cast<int>(i));
        for (const PartId part : model.elements[i].also)
            elements_of[part.index()].push_back(static_cast<int>(i));
    }
    for (const Finding& finding : results.findings) {
        const bool accepted = finding.accepted.has_value();
        // What only asks for a value is no finding on the paper; the text lists it.
        if (finding.asks() && !accepted) {
            ++model.open;
            continue;
        }
        count(finding, model);
        // What somebody has taken upon himself stays on the paper, as a hollow flag.
        ListedFinding listed{finding_number(finding, results),
                             accepted ? Severity::note : finding.severity,
                             {},
                             words_of(finding, *results.harness),
                             accepted,
                             -1,
                             -1};
        const Flag flag{listed.number, listed.severity, accepted};
        if (const std::vector<WireId> wires = wires_of(finding, *results.harness); !wires.empty()) {
            listed.line = static_cast<int>(wires.front().index());
            for (const WireId wire : wires) model.lines[wire.index()].flags.push_back(flag);
        } else if (finding.part.valid()) {
            const std::vector<int>& elements = elements_of[finding.part.index()];
            if (!elements.empty()) listed.element = elements.front();
            // A finding about one contact stands at that contact.
            for (const int each : elements)
                if (model.elements[static_cast<std::size_t>(listed.element)].name != finding.subject &&
                    model.elements[static_cast<std::size_t>(each)].name == finding.subject)
                    listed.element = each;
            if (listed.element >= 0)
                model.elements[static_cast<std::size_t>(listed.element)].flags.push_back(flag);
        }
        model.findings.push_back(std::move(listed));
    }
}

}  // namespace

void add_lines(const Results& results, const std::vector<End>& place_of, SheetModel& model) {
    const Harness& harness = *results.harness;
    std::vector<const ProtectionZone*> zone_of(harness.wires.size(), nullptr);
    for (const ProtectionZone& zone : results.zones)
        for (const WireId wire : zone.wires) zone_of[wire.index()] = &zone;
    for (std::size_t i = 0; i < harness.wires.size(); ++i)
        model.lines.push_back(wire_line(results, i, place_of, zone_of[i]));
    const auto bolt = [&](TerminalId a, TerminalId b, std::string_view how, int direction) {
        const End from = place_of[a.index()], to = place_of[b.index()];
        if (from.element < 0 || to.element < 0 || (from.element == to.element && from.pin == to.pin)) return;
        const auto seated = [&](const End& fuse, const End& bar) {
            const Element& element = model.elements[static_cast<std::size_t>(fuse.element)];
            return fuse.pin == element.seat_pin && element.on_bar == bar.element;
        };
        if (seated(from, to) || seated(to, from)) return;
        Line line;
        line.from = from;
        line.to = to;
        line.area_mm2 = 1;
        line.current_known = direction != 0;
        line.tail_is_from = direction >= 0;
        line.title = std::string(harness.terminal(a).path) + ' ' + std::string(how) + ' ' +
                     std::string(harness.terminal(b).path);
        model.lines.push_back(std::move(line));
    };
    const std::vector<int> ways = joint_directions(results);
    for (std::size_t i = 0; i < harness.joints.size(); ++i)
        bolt(harness.joints[i].a, harness.joints[i].b, "bolted to", ways[i]);
    for (const Tie& tie : harness.ties) bolt(tie.a, tie.b, "is the same point as", 0);
}

namespace {

// What carries nothing is as warm as its place, and says so.
void add_temperatures(const Results& results, SheetModel& model) {
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    const std::vector<WireTemperature> heat = wire_temperatures(results.circuit, facts, results.points);
    model.shows_temperature = true;
    for (Line& line : model.lines) {
        if (!line.wire || !heat[line.wire.index()].judged) continue;
        const WireTemperature& of_wire = heat[line.wire.index()];
        line.figure = (of_wire.settles ? "" : "above ") + number(std::round(of_wire.hottest_degC)) + " °C";
        line.beyond = !of_wire.settles || of_wire.hottest_degC > of_wire.limit_degC;
        line.title += ", settles at " + line.figure + ", may get " + number(of_wire.limit_degC) + " °C";
    }
}

}  // namespace

namespace {

// "12 of 20 A": two digits that matter.
std::string amperes(double value) {
    if (value > 0 && value < 0.05) return "< 0.1";
    return number(value >= 9.95 ? std::round(value) : std::round(value * 10) / 10);
}

void add_currents(const Results& results, SheetModel& model) {
    model.shows_currents = true;
    for (Line& line : model.lines) {
        if (!line.wire || line.wire.index() >= results.wires.size()) continue;
        const WireLoading& loading = results.wires[line.wire.index()];
        if (!loading.mode) continue;
        line.figure = amperes(loading.current_A);
        if (loading.limit_A > 0) line.figure += " of " + amperes(loading.limit_A);
        line.figure += " A";
        line.beyond = line.loading > 1.0005;
    }
}

std::string surroundings_of(const Harness& harness) {
    std::string text;
    const Value ambient = harness.value(harness.attributes, "ambient"_attr);
    if (ambient.type == ValueType::quantity && ambient.known != Knowledge::unknown)
        text = "ambient " + to_text(ambient.quantity());
    std::string insulation;
    for (std::size_t place = 0; place < 2; ++place) {
        const Value value = harness.value(harness.attributes, "insulation"_attr, place);
        const std::string word =
            value.type == ValueType::quantity ? to_text(value.quantity()) : std::string(value.text);
        if (!word.empty()) insulation += (insulation.empty() ? "" : " ") + word;
    }
    if (!insulation.empty()) text += (text.empty() ? "insulation " : ", insulation ") + insulation;
    return text;
}

}  // namespace

SheetModel make_model(const Results& results, const SheetOptions& options) {
    const Harness& harness = *results.harness;
    SheetModel model;
    model.title = harness.title.empty() ? "Harness" : std::string(harness.title);
    model.fields = title_fields(harness);
    if (harness.sources && !harness.sources->files.empty())
        model.file = paper_file_name(harness.sources->files.front().path);
    model.wires = harness.wires.size();
    for (const Part& part : harness.parts) model.part_names.emplace_back(part.name);
    std::vector<End> place_of;
    add_elements(harness, model, place_of);
    add_lines(results, place_of, model);
    if (options.findings) number_findings(results, model);
    if (options.findings && options.reader == Reader::workshop && options.only.empty() &&
        options.path_from.empty())
        tell_before_work(results, model);
    model.modes = harness.modes.size();
    model.modes_solved = solved_modes(results);
    model.unknown_values = results.unknown_values;
    model.mode = options.mode;
    model.shows_loading = options.loading;
    model.shows_findings = options.findings;
    model.surroundings = surroundings_of(harness);
    if (options.temperature) add_temperatures(results, model);
    if (options.currents) add_currents(results, model);
    if (!options.loading)
        for (Line& line : model.lines) line.loading = -1;
    if (!options.mode.empty()) {
        mark_off(results, model);
        for (const Mode& mode : harness.modes)
            if (mode.name == options.mode) set_contacts(harness, mode, model);
    }
    if (options.reader == Reader::owner) suit_owner(results, model);
    model.wires_shown = model.wires;
    limit(results, options, model);
    deal_strips(model);
    orient(results, model);
    turn_on_bars(model);
    attach_guests(model);
    part_long_bars(model, options.paper);
    set_minus_signs(model);
    return model;
}

}  // namespace loomward::sheet
