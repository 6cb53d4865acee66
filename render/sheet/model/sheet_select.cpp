// A part of the harness instead of all of it: what hangs together with one thing, or one way of the current.
#include <algorithm>
#include <cmath>

#include "checker/currents/measured_way.hpp"
#include "checker/protection/protection_zones.hpp"
#include "render/sheet/model/sheet_model.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {
namespace {

constexpr std::string_view zone_word = "zone:";

// Which wires and parts are shown, and what is said of that; `trouble` where there is nothing of that name.
struct Selection {
    std::vector<bool> wires, parts;
    std::string shown, trouble;
};

Selection nothing(const Harness& harness) {
    return {std::vector<bool>(harness.wires.size()), std::vector<bool>(harness.parts.size()), {}, {}};
}

void take(const Harness& harness, Selection& selection, std::size_t wire) {
    selection.wires[wire] = true;
    for (const TerminalId end : {harness.wires[wire].from, harness.wires[wire].to})
        selection.parts[harness.terminal(end).part.index()] = true;
}

// The wires at those parts with the parts at their other ends.
void take_around(const Harness& harness, Selection& selection, const std::vector<bool>& parts) {
    for (std::size_t i = 0; i < parts.size(); ++i)
        if (parts[i]) selection.parts[i] = true;
    for (std::size_t i = 0; i < harness.wires.size(); ++i)
        for (const TerminalId end : {harness.wires[i].from, harness.wires[i].to})
            if (parts[harness.terminal(end).part.index()]) take(harness, selection, i);
    for (const Joint& joint : harness.joints) {
        const std::size_t a = harness.terminal(joint.a).part.index(),
                          b = harness.terminal(joint.b).part.index();
        if (parts[a]) selection.parts[b] = true;
        if (parts[b]) selection.parts[a] = true;
    }
}

bool take_zone(const Results& results, Selection& selection, std::string_view name) {
    const Harness& harness = *results.harness;
    bool any = false;
    for (const ProtectionZone& zone : results.zones) {
        const bool guards =
            std::any_of(zone.devices.begin(), zone.devices.end(),
                        [&](const ZoneGuard& device) { return harness.part(device.part).name == name; });
        if (!guards) continue;
        any = true;
        for (const WireId wire : zone.wires) take(harness, selection, wire.index());
    }
    if (const auto part = harness.find_part(name); part && any) selection.parts[part->index()] = true;
    return any;
}

Selection select_only(const Results& results, std::string_view name) {
    const Harness& harness = *results.harness;
    Selection out = nothing(harness);
    out.shown = "only " + std::string(name);
    if (name.starts_with(zone_word)) {
        const std::string_view device = name.substr(zone_word.size());
        out.shown = "only the zone that " + std::string(device) + " guards";
        if (!take_zone(results, out, device))
            out.trouble = "there is no zone that '" + std::string(device) + "' guards";
        return out;
    }
    std::vector<bool> parts(harness.parts.size());
    if (const auto part = harness.find_part(name)) {
        parts[part->index()] = true;
        take_around(harness, out, parts);
        return out;
    }
    if (const auto wire = harness.find_wire(name)) {
        take(harness, out, wire->index());
        return out;
    }
    for (const Cable& cable : harness.cables)
        if (cable.name == name) {
            for (const WireId core : cable.cores) take(harness, out, core.index());
            return out;
        }
    for (const Bundle& bundle : harness.bundles)
        if (bundle.name == name) {
            for (const WireId wire : bundle.wires) take(harness, out, wire.index());
            return out;
        }
    bool any = false;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const LocationId location = harness.parts[i].location;
        parts[i] = location && harness.locations[location.index()].name == name;
        any = any || parts[i];
    }
    if (any)
        take_around(harness, out, parts);
    else
        out.trouble = "there is no part, wire, cable, bundle or location named '" + std::string(name) + "'";
    return out;
}

std::string millivolts(double volts) {
    const double mV = volts * 1000;
    return number(mV < 10 ? std::round(mV * 10) / 10 : std::round(mV)) + " mV";
}

std::string with_unit(double amps) {
    return number(std::round(amps * 100) / 100) + " A";
}

// Of a current that was not given: what is lost while the most flows. The current itself is the one that
// heats alike, and is less.
std::string peak_of(const Results& results, const SheetOptions& options, const MeasuredWay& path) {
    if (options.path_A > 0 || !(path.current_A > 0)) return {};
    double peak_A = 0;
    for (const WayPiece& piece : path.pieces)
        if (const WireId wire = results.circuit.edge(piece.edge).wire; wire)
            peak_A = std::max(peak_A, results.wires[wire.index()].peak_A);
    if (peak_A <= path.current_A * 1.005) return {};
    return " (" + millivolts(path.drop_V * peak_A / path.current_A) + " at the peak of " + with_unit(peak_A) +
           ')';
}

std::string trouble_of_path(const Results& results, const SheetOptions& options, MeasuredWay& path) {
    const Harness& harness = *results.harness;
    const auto from = harness.find_terminal(options.path_from), to = harness.find_terminal(options.path_to);
    if (!from) return "there is no terminal '" + options.path_from + "'";
    if (!to) return "there is no terminal '" + options.path_to + "'";
    auto found = measured_way(results.circuit, results.wires, *from, *to, options.path_A);
    if (!found)
        return "no wires and contacts lead from '" + options.path_from + "' to '" + options.path_to +
               "' without passing something that uses current";
    path = std::move(*found);
    return {};
}

// The drop at a joint stands at one of the two parts that touch there; they are drawn touching, as anywhere.
void write_joint(SheetModel& model, Line& line, double drop_V) {
    for (const int end : {line.from.element, line.to.element}) {
        Element& element = model.elements[static_cast<std::size_t>(end)];
        if (element.form != Form::symbol && element.form != Form::box) continue;
        element.label += (element.label.empty() ? "joint " : ", joint ") + millivolts(drop_V);
        return;
    }
    line.text = millivolts(drop_V);
}

// What is written at each piece of the way; everything that is no piece of it is dropped.
void keep_path(const Results& results, const MeasuredWay& path, SheetModel& model) {
    const Harness& harness = *results.harness;
    std::vector<bool> kept(model.lines.size()), named(model.elements.size());
    std::vector<std::pair<std::size_t, double>> joints;  // lines, and what drops there
    const auto same_ends = [&](const Line& line, const Edge& edge) {
        return line.title.starts_with(std::string(harness.terminal(edge.from_terminal).path) + " bolted to " +
                                      std::string(harness.terminal(edge.to_terminal).path));
    };
    for (const WayPiece& piece : path.pieces) {
        const Edge& edge = results.circuit.edge(piece.edge);
        if (edge.wire) {
            kept[edge.wire.index()] = true;
            model.lines[edge.wire.index()].text += ", " + millivolts(piece.drop_V);
        } else if (edge.role == EdgeRole::joint) {
            for (std::size_t i = harness.wires.size(); i < model.lines.size(); ++i)
                if (same_ends(model.lines[i], edge)) {
                    kept[i] = true;
                    joints.emplace_back(i, piece.drop_V);
                }
        } else {
            const std::string contact(harness.terminal(edge.from_terminal).path);
            for (std::size_t i = 0; i < model.elements.size(); ++i) {
                Element& element = model.elements[i];
                if (element.part != edge.part || named[i]) continue;
                const bool is_contact = element.form == Form::contact;
                if (is_contact && element.name != contact) continue;
                named[i] = true;
                if (is_contact)
                    element.name += "  " + millivolts(piece.drop_V);
                else
                    element.label = millivolts(piece.drop_V);
            }
        }
    }
    for (const auto& [line, drop_V] : joints) write_joint(model, model.lines[line], drop_V);
    for (std::size_t i = 0; i < kept.size(); ++i) model.lines[i].dropped = !kept[i];
}

void drop_elements(SheetModel& model, const std::vector<bool>& also_kept) {
    std::vector<bool> kept(model.elements.size());
    for (const Line& line : model.lines)
        if (!line.dropped)
            kept[static_cast<std::size_t>(line.from.element)] =
                kept[static_cast<std::size_t>(line.to.element)] = true;
    for (std::size_t i = 0; i < kept.size(); ++i) {
        const Element& element = model.elements[i];
        if (!also_kept.empty() && also_kept[element.part.index()]) kept[i] = true;
        if (element.on_bar >= 0 && kept[i]) kept[static_cast<std::size_t>(element.on_bar)] = true;
    }
    for (std::size_t i = 0; i < kept.size(); ++i) model.elements[i].dropped = !kept[i];
}

void finish(SheetModel& model) {
    model.wires_shown = 0;
    for (const Line& line : model.lines) model.wires_shown += !line.dropped && line.is_wire();
    std::erase_if(model.findings, [&](const ListedFinding& finding) {
        if (finding.line >= 0) return model.lines[static_cast<std::size_t>(finding.line)].dropped;
        return finding.element < 0 || model.elements[static_cast<std::size_t>(finding.element)].dropped;
    });
}

}  // namespace

void limit(const Results& results, const SheetOptions& options, SheetModel& model) {
    if (!options.path_from.empty()) {
        MeasuredWay path;
        if (!trouble_of_path(results, options, path).empty()) return;
        keep_path(results, path, model);
        drop_elements(model, {});
        model.part_shown = options.path_from + " to " + options.path_to + ": " + millivolts(path.drop_V) +
                           " at " + with_unit(path.current_A) + peak_of(results, options, path) +
                           ", largest resistances";
        finish(model);
    } else if (!options.only.empty()) {
        const Selection selection = select_only(results, options.only);
        if (!selection.trouble.empty()) return;
        for (std::size_t i = 0; i < model.lines.size(); ++i) {
            Line& line = model.lines[i];
            const auto shown = [&](const End& end) {
                return selection.parts[model.elements[static_cast<std::size_t>(end.element)].part.index()];
            };
            line.dropped =
                i < selection.wires.size() ? !selection.wires[i] : !(shown(line.from) && shown(line.to));
        }
        drop_elements(model, {});
        model.part_shown = selection.shown;
        finish(model);
    }
}

}  // namespace loomward::sheet

namespace loomward {

std::string sheet_trouble(const Results& results, const SheetOptions& options) {
    if (!options.path_from.empty()) {
        MeasuredWay path;
        return sheet::trouble_of_path(results, options, path);
    }
    return options.only.empty() ? std::string() : sheet::select_only(results, options.only).trouble;
}

}  // namespace loomward
