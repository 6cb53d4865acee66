// Wires, connectors, fuses and parts as lists.
#include <fmt/format.h>

#include <algorithm>

#include "render/papers/report_parts.hpp"
#include "render/text/phrases.hpp"

namespace loomward {

using namespace literals;

namespace {

Html maybe(const std::optional<double>& value, Dimension dimension) {
    return value ? figure_html(*value, dimension) : not_known_html();
}

Html text_or_dash(const std::string& text) {
    return text.empty() ? Html("—") : Html(on_paper(text));
}

Html colour_html(const ReportScope& scope, WireId id, const std::string& colour) {
    const Wire& wire = scope.harness.wire(id);
    if (colour.empty()) return "—";
    return swatch_html(wire.colour, wire.second_colour) + Html(colour);
}

std::string joined(const std::vector<std::string>& texts, std::string_view between) {
    return fmt::format("{}", fmt::join(texts, between));
}

std::string remarks(const WireEntry& wire) {
    std::vector<std::string> all;
    if (!wire.end_from.empty() || !wire.end_to.empty()) all.push_back(wire.end_from + " / " + wire.end_to);
    if (!wire.order.empty()) all.push_back("order: " + wire.order);
    if (!wire.note.empty()) all.push_back(wire.note);
    return joined(all, "; ");
}

HtmlRow wire_row(const ReportScope& scope, const WireEntry& wire) {
    const std::size_t index = wire.wire.index();
    const WireLoading& loading = scope.results.wires[index];
    const WireGuards& guards = scope.results.guards[index];
    const WireDrop& drop = scope.papers.drops[index];
    Html guard;
    for (const PartId part : guards.devices) {
        if (!guard.empty()) guard += " + ";
        guard += scope.names.link(scope.harness.part(part).name);
    }
    if (guard.empty()) guard = guards.unguarded ? "no guard" : "—";
    std::vector<std::string> places = wire.bundles;
    if (!wire.cable.empty()) places.insert(places.begin(), wire.cable);
    HtmlRow row;
    row.id = wire_anchor(wire.name);
    const bool over = loading.limit_A > 0 && loading.current_A > loading.limit_A;
    row.css_class = over ? "over" : "";
    const std::string size =
        wire.size + (wire.parallel > 1 ? fmt::format(", {} side by side", wire.parallel) : std::string());
    row.cells = {scope.names.link(wire.name),
                 scope.names.link(wire.from),
                 scope.names.link(wire.to),
                 size.empty() ? not_known_html() : Html(on_paper(size)),
                 colour_html(scope, wire.wire, wire.colour),
                 maybe(wire.length_m, Dimension::length),
                 text_or_dash(wire.insulation + (wire.aluminium ? " aluminium" : "")),
                 Html(joined(places, " ")),
                 loading.mode ? figure_html(loading.current_A, Dimension::current) : Html("—"),
                 loading.limit_A > 0 ? figure_html(loading.limit_A, Dimension::current) : not_known_html(),
                 drop.mode ? figure_html(drop.drop_V, Dimension::voltage) : Html("—"),
                 guard,
                 flags_html(scope, scope.papers.findings_of_wire[index]),
                 Html(remarks(wire))};
    return row;
}

Html reels_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "how much wire of each sort";
    table.columns = {{"size", false},    {"colour", false},   {"insulation", false},     {"pieces", true},
                     {"together", true}, {"conductor", true}, {"length not known", true}};
    for (const ReelTotal& reel : scope.papers.schedules.reels)
        table.rows.push_back(
            {{reel.size.empty() ? not_known_html() : Html(on_paper(reel.size)), text_or_dash(reel.colour),
              text_or_dash(reel.insulation + (reel.aluminium ? " aluminium" : "")),
              fmt::format("{}", reel.pieces), figure_html(reel.cut_m, Dimension::length),
              figure_html(reel.metal_kg, Dimension::mass),
              reel.unknown ? Html(fmt::format("{} pieces", reel.unknown)) : Html("—")}});
    return tag("h3", "By reel") + table_html(table);
}

Html half_html(const ReportScope& scope, const std::vector<WireId>& wires) {
    Html out;
    for (const WireId id : wires) {
        const Wire& wire = scope.harness.wire(id);
        if (!out.empty()) out += empty_tag("br");
        out += scope.names.link(wire.name) + " " + swatch_html(wire.colour, wire.second_colour) +
               Html(wire.area.is_known() ? on_paper(std::string(wire.size_text)) : std::string());
    }
    return out.empty() ? Html("—") : out;
}

Html connector_html(const ReportScope& scope, PartId id) {
    const Part& part = scope.harness.part(id);
    const std::string name(part.name);
    HtmlTable table;
    table.label = "contacts of " + name;
    table.columns = {{"contact", false},
                     {"at " + name, false},
                     {"at " + std::string(part.mate.empty() ? "the other half" : part.mate), false},
                     {"carries, worst", true},
                     {"may carry", true},
                     {"findings", false}};
    for (const ContactEntry& contact : scope.papers.schedules.contacts) {
        if (contact.connector != id) continue;
        std::vector<std::size_t> findings;
        for (const std::size_t i : scope.papers.findings_of_part[id.index()])
            if (scope.results.findings[i].subject == contact.terminal ||
                scope.results.findings[i].subject == contact.mate)
                findings.push_back(i);
        const bool over = contact.worst_A && contact.may_A && *contact.worst_A > *contact.may_A;
        table.rows.push_back(
            {{Html(contact.contact + (contact.spare ? ", spare" : "")), half_html(scope, contact.wires),
              half_html(scope, contact.mate_wires),
              contact.worst_A ? figure_html(*contact.worst_A, Dimension::current) : Html("—"),
              contact.may_A ? figure_html(*contact.may_A, Dimension::current) : not_known_html(),
              flags_html(scope, findings)},
             {},
             over ? "over" : ""});
    }
    return tag("h3", {{"id", part_anchor(name)}},
               scope.names.link(name) + Html(" " + std::string(part.label) + " ") +
                   flags_html(scope, scope.papers.findings_of_part[id.index()])) +
           tag("p", {{"class", "meta"}}, on_paper(joined(written_attributes(scope.harness, id), ", "))) +
           table_html(table);
}

Html fuses_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "fuses and breakers";
    table.columns = {
        {"fuse, breaker", false},   {"rated", true},   {"volts", true},    {"breaks, as stated", false},
        {"short here, most", true}, {"family", false}, {"sits in", false}, {"torque", true},
        {"findings", false}};
    for (const FuseEntry& fuse : scope.papers.schedules.fuses)
        table.rows.push_back(
            {{scope.names.link(fuse.name) + " " + tag("small", fuse.label),
              maybe(fuse.rated_A, Dimension::current), maybe(fuse.rated_V, Dimension::voltage),
              fuse.breaks.empty() ? not_known_html() : Html(on_paper(fuse.breaks)),
              fuse.short_here_A ? figure_html(*fuse.short_here_A, Dimension::current) : Html("—"),
              text_or_dash(fuse.curve), fuse.holder.empty() ? Html("—") : scope.names.link(fuse.holder),
              fuse.torque_Nm ? figure_html(*fuse.torque_Nm, Dimension::torque) : Html("not stated"),
              flags_html(scope, scope.papers.findings_of_part[fuse.part.index()])},
             part_anchor(fuse.name)});
    return tag("h3", "Fuses and breakers") + table_html(table);
}

std::string remarks(const Harness& harness, const Part& part) {
    std::vector<std::string> all;
    for (const std::string& order : texts_of(harness, part.attributes, "order"_attr))
        all.push_back("order: " + order);
    for (const std::string& note : texts_of(harness, part.attributes, "note"_attr)) all.push_back(note);
    for (const std::string& doubt : texts_of(harness, part.attributes, "doubt"_attr))
        all.push_back("doubt: " + doubt);
    return joined(all, "; ");
}

Html others_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "parts";
    table.columns = {{"part", false}, {"kind", false},     {"as stated", false},
                     {"at", false},   {"findings", false}, {"remarks", false}};
    for (std::size_t i = 0; i < scope.harness.parts.size(); ++i) {
        const Part& part = scope.harness.parts[i];
        if (part.kind == Kind::connector || part.kind == Kind::fuse || part.kind == Kind::breaker) continue;
        const std::string location =
            part.location ? std::string(scope.harness.locations[part.location.index()].name) : std::string();
        table.rows.push_back(
            {{scope.names.link(part.name) + " " + tag("small", std::string(part.label)),
              Html(std::string(info(part.kind).word)),
              Html(on_paper(joined(written_attributes(scope.harness, PartId(i)), ", "))), Html(location),
              flags_html(scope, scope.papers.findings_of_part[i]), Html(remarks(scope.harness, part))},
             part_anchor(part.name)});
    }
    return tag("h3", "Everything else") + table_html(table);
}

Html torques_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "what is tightened";
    table.columns = {{"part", false}, {"terminals", false}, {"torque", true}};
    for (const TorqueEntry& entry : scope.papers.schedules.torques)
        table.rows.push_back(
            {{scope.names.link(entry.name) + " " + tag("small", entry.label),
              Html(joined(entry.terminals, " ")),
              entry.torque ? range_html(entry.torque->lo, entry.torque->hi, Dimension::torque)
                           : Html("not stated: see its data sheet")}});
    return tag("h3", "Tightening") + table_html(table);
}

Html materials_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "bill of materials";
    table.columns = {
        {"what", false}, {"amount", true}, {"as stated", false}, {"order", false}, {"for", false}};
    for (const MaterialEntry& entry : scope.papers.schedules.materials)
        table.rows.push_back({{Html(entry.kind + (entry.type.empty() ? "" : " " + entry.type)),
                               fmt::format("{}", entry.amount), Html(on_paper(entry.ratings)),
                               Html(entry.order), scope.names.list(entry.names, 20)}});
    return tag("h3", "Bill of materials") + table_html(table);
}

}  // namespace

HtmlSection wires_section(const ReportScope& scope) {
    HtmlTable table;
    table.id = "wirelist";
    table.label = "wire list";
    table.columns = {{"wire", false},       {"from", false},
                     {"to", false},         {"size", false},
                     {"colour", false},     {"length", true},
                     {"insulation", false}, {"in", false},
                     {"carries", true},     {"may carry", true},
                     {"loses", true},       {"guard", false},
                     {"findings", false},   {"ends, order, note", false}};
    for (const WireEntry& wire : scope.papers.schedules.wires) table.rows.push_back(wire_row(scope, wire));
    const Html filter =
        tag("div", {{"class", "bar only-screen"}, {"id", "filterbar"}, {"hidden", ""}},
            tag("label", {{"for", "filter"}}, "Only rows with ") +
                empty_tag("input", {{"id", "filter"}, {"class", "b"}, {"autocomplete", "off"}}));
    return {"wires", "Wire list", "Wires", filter + table_html(table) + reels_html(scope)};
}

HtmlSection connectors_section(const ReportScope& scope) {
    Html body;
    for (std::size_t i = 0; i < scope.harness.parts.size(); ++i)
        if (scope.harness.parts[i].kind == Kind::connector) body += connector_html(scope, PartId(i));
    if (body.empty()) body = tag("p", "None in this harness.");
    return {"connectors", "Connectors", "Connectors", body};
}

HtmlSection parts_section(const ReportScope& scope) {
    return {"parts", "Fuses and parts", "Fuses, parts",
            fuses_html(scope) + others_html(scope) + torques_html(scope) + materials_html(scope)};
}

}  // namespace loomward
