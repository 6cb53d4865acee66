// The sheet for the owner of the machine: for the lid of the box. What switches off, which fuse is for what.
#include <algorithm>
#include <map>

#include "checker/protection/protection_zones.hpp"
#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

// Switches and plugs in the way of the main current, struck stops, keys.
bool switches_off(const SheetModel& model, std::size_t index, double largest_mm2) {
    const Element& element = model.elements[index];
    if (element.symbol != Symbol::switch_) return false;
    if (element.shape.actuator == Actuator::struck || element.shape.actuator == Actuator::key) return true;
    return std::any_of(model.lines.begin(), model.lines.end(), [&](const Line& line) {
        const bool here =
            line.from.element == static_cast<int>(index) || line.to.element == static_cast<int>(index);
        return here && line.is_wire() && line.area_mm2 >= 0.6 * largest_mm2;
    });
}

std::string how_to(const Element& element) {
    if (element.shape.actuator == Actuator::struck) return "strike it";
    if (element.shape.actuator == Actuator::key) return "turn the key off";
    return "open it";
}

// What the wires of a fuse's zone lead to that uses current.
std::string fed_by(const Results& results, PartId fuse) {
    const Harness& harness = *results.harness;
    std::vector<PartId> users;
    for (const ProtectionZone& zone : results.zones) {
        const bool guards = std::any_of(zone.devices.begin(), zone.devices.end(),
                                        [&](const ZoneGuard& device) { return device.part == fuse; });
        if (!guards) continue;
        for (const WireId wire : zone.wires)
            for (const TerminalId end : {harness.wire(wire).from, harness.wire(wire).to}) {
                const PartId part = harness.terminal(end).part;
                const Kind kind = harness.part(part).kind;
                const bool uses = kind == Kind::load || kind == Kind::controller || kind == Kind::converter ||
                                  kind == Kind::charger || kind == Kind::inverter || kind == Kind::motor;
                if (uses && std::find(users.begin(), users.end(), part) == users.end()) users.push_back(part);
            }
    }
    std::string text;
    for (std::size_t i = 0; i < std::min<std::size_t>(users.size(), 4); ++i)
        text += (i ? ", " : "") + std::string(harness.part(users[i]).name);
    if (users.size() > 4) text += " and " + std::to_string(users.size() - 4) + " more";
    return text;
}

}  // namespace

void suit_owner(const Results& results, SheetModel& model) {
    model.for_owner = true;
    model.shows_loading = model.shows_currents = model.shows_temperature = false;
    double largest_mm2 = 0;
    for (Line& line : model.lines) {
        line.flags.clear();
        line.figure.clear();
        line.loading = -1;
        if (line.is_wire()) largest_mm2 = std::max(largest_mm2, line.area_mm2);
    }
    for (Element& element : model.elements) element.flags.clear();
    model.findings.clear();
    const auto list = [&](std::size_t index, std::string text) {
        ListedFinding entry;
        entry.severity = Severity::note;
        entry.mark = model.elements[index].name;
        entry.text = std::move(text);
        entry.element = static_cast<int>(index);
        model.findings.push_back(std::move(entry));
    };
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        if (switches_off(model, i, largest_mm2)) {
            const Element& element = model.elements[i];
            list(i, (element.label.empty() ? "switch" : element.label) + ": " + how_to(element));
        }
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        const Element& element = model.elements[i];
        const Kind kind = results.harness->part(element.part).kind;
        if (kind != Kind::fuse && kind != Kind::breaker) continue;
        std::string text = element.rating.empty() ? "rating not known" : element.rating;
        if (!element.label.empty()) text += ", " + element.label;
        if (const std::string users = fed_by(results, element.part); !users.empty()) text += "; for " + users;
        list(i, std::move(text));
    }
}

}  // namespace loomward::sheet
