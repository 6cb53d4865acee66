// What guards what, the time-current charts, and the short circuits.
#include <fmt/format.h>

#include <cmath>

#include "render/papers/curve_chart.hpp"
#include "render/papers/report_parts.hpp"

namespace loomward {
namespace {

std::vector<std::string> names_of(const Harness& harness, const std::vector<WireId>& wires) {
    std::vector<std::string> names;
    for (const WireId wire : wires) names.emplace_back(harness.wire(wire).name);
    return names;
}

Html guard_html(const ReportScope& scope, const ProtectionZone& zone) {
    Html names;
    for (const ZoneGuard& guard : zone.devices) {
        if (!names.empty()) names += " + ";
        names += scope.names.link(scope.harness.part(guard.part).name);
    }
    switch (zone.guard) {
        case ProtectionZone::Guard::devices:
            return names;
        case ProtectionZone::Guard::electronics:
            return Html("electronics alone: ") + names;
        case ProtectionZone::Guard::no_source:
            return "no source reaches them";
        case ProtectionZone::Guard::not_known:
            return Html("not known: ") + names;
        case ProtectionZone::Guard::short_leads:
            return "nothing: short lead";
        case ProtectionZone::Guard::none:
            return "nothing";
    }
    return {};
}

bool flows(const ProtectionZone& zone) {
    return zone.guard != ProtectionZone::Guard::no_source && zone.guard != ProtectionZone::Guard::not_known;
}

HtmlRow zone_row(const ReportScope& scope, const ProtectionZone& zone, const ZoneRow& figures) {
    const bool unguarded = zone.guard == ProtectionZone::Guard::none;
    HtmlRow row;
    if ((figures.share && *figures.share > 1) || unguarded) row.css_class = "over";
    Html room = "—";
    if (figures.share)
        room = tag("span", {{*figures.share > 1 ? "class" : "", "bad"}}, percent_html(*figures.share));
    else if (unguarded)
        room = tag("span", {{"class", "bad"}}, "no guard");
    Html hottest = "—";
    if (figures.hottest)
        hottest = meter_html(figures.heat_over_limit) + percent_html(figures.heat_over_limit) + " in " +
                  scope.names.link(scope.harness.wire(figures.hottest).name);
    row.cells = {guard_html(scope, zone),
                 scope.names.list(names_of(scope.harness, zone.wires), 40),
                 !flows(zone)                       ? Html("—")
                 : std::isfinite(figures.at_most_A) ? figure_html(figures.at_most_A, Dimension::current)
                                                    : Html("no end"),
                 zone.weakest ? scope.names.link(scope.harness.wire(zone.weakest).name) : Html("—"),
                 figures.allowed_A ? figure_html(*figures.allowed_A, Dimension::current) : Html("—"),
                 room,
                 hottest};
    return row;
}

std::string accused_words(const DeviceCurve& curve, const Harness& harness) {
    std::string names;
    for (const DamageCurve& wire : curve.wires)
        if (wire.accused)
            names += (names.empty() ? "" : ", ") + std::string(harness.wire(wire.wire).name) +
                     (wire.alike > 0 ? fmt::format(" and {} more of its size", wire.alike) : std::string());
    return names;
}

Html figure_of(const ReportScope& scope, const DeviceCurve& curve, CurveCharts& charts) {
    const Part& part = scope.harness.part(curve.device);
    Html head = tag("b", scope.names.link(part.name));
    if (!part.label.empty()) head += Html(" " + std::string(part.label));
    if (curve.rated_A) head += Html(": ") + figure_html(*curve.rated_A, Dimension::current);
    if (curve.load_mode) {
        head += Html(". Carries ") + figure_html(curve.load_A, Dimension::current) + " as heat (mode " +
                std::string(scope.harness.modes[curve.load_mode.index()].name) + ")";
    }
    head += ". ";
    const std::string accused = accused_words(curve, scope.harness);
    if (curve.slow.empty())
        head += tag(
            "b", "No curve: what it would need is not known. Nothing can be said about the wires behind it.");
    else if (!accused.empty())
        head += tag("b", {{"class", "bad"}}, accused + " can be damaged before it must have opened.");
    else if (curve.wires.empty())
        head += tag("b", "It guards no wire.");
    if (!curve.source.empty()) head += Html(" ") + tag("small", "Band: " + curve.source + ".");
    return tag("figure", tag("figcaption", head) + charts.add(curve, scope.harness));
}

Html opens_html(const ReportScope& scope, const std::optional<WireShort::End>& end) {
    if (!end) return "—";
    if (!end->first) return "nothing";
    return scope.names.link(scope.harness.part(end->first).name) + " after " +
           figure_html(end->first_s, Dimension::time);
}

HtmlRow short_row(const ReportScope& scope, std::size_t wire) {
    const WireShorts& shorts = scope.papers.shorts[wire];
    const WireShort& at = shorts.at_end;
    HtmlRow row;
    const bool burns = shorts.hottest && shorts.hottest->heat_over_limit > 1;
    row.css_class = burns ? "over" : "";
    Html goes_on = "—";
    if (at.most)
        goes_on =
            at.most->standing_A > 1e-3 ? figure_html(at.most->standing_A, Dimension::current) : Html("ends");
    Html hottest = "—";
    if (shorts.hottest)
        hottest =
            tag("span", {{burns ? "class" : "", "bad"}}, percent_html(shorts.hottest->heat_over_limit)) +
            Html(", ") + tag("small", scope.names.linked(fault_text(scope.harness, shorts.hottest->place)));
    Html end = scope.names.link(scope.harness.wires[wire].name);
    if (const auto& told = at.most ? at.most : at.least; told && !at.own_end)
        end += empty_tag("br") + tag("small", scope.names.linked(fault_text(scope.harness, told->place)));
    row.cells = {end,
                 at.most ? figure_html(at.most->prospective_A, Dimension::current) : Html("—"),
                 at.least ? figure_html(at.least->prospective_A, Dimension::current) : Html("—"),
                 opens_html(scope, at.most),
                 opens_html(scope, at.least),
                 goes_on,
                 hottest};
    return row;
}

}  // namespace

HtmlSection guards_section(const ReportScope& scope) {
    HtmlTable table;
    table.label = "what guards what";
    table.columns = {
        {"guard", false},           {"wires", false}, {"flows for long", true},     {"weakest", false},
        {"may carry × 1.45", true}, {"used", true},   {"hottest in a short", false}};
    for (std::size_t i = 0; i < scope.results.zones.size(); ++i)
        table.rows.push_back(zone_row(scope, scope.results.zones[i], scope.papers.zones[i]));
    return {"guards", "What guards what", "Guards",
            tag("p", {{"class", "lead"}},
                "One row for each set of wires behind the same devices. \"Flows for long\": what these "
                "devices let pass "
                "without opening; it is held against 1.45 times what the weakest wire may carry. \"Hottest "
                "in a short\": "
                "the worst of all shorts looked at, in parts of the rise that the insulation stands.") +
                table_html(table)};
}

HtmlSection curves_section(const ReportScope& scope) {
    CurveCharts charts;
    Html figures;
    for (const DeviceCurve& curve : scope.papers.curves) figures += figure_of(scope, curve, charts);
    Html body = tag(
        "p", {{"class", "lead"}},
        "Right is more current, up is longer. The band: between the moment the device may open and the "
        "moment it must have opened. A red line: when a wire is damaged that was fully loaded before. Where "
        "it runs below the band, the wire burns first. Bracket at the bottom: the short circuits behind the "
        "device, least to most.");
    body += figures.empty() ? tag("p", "None in this harness.") : tag("div", {{"class", "charts"}}, figures);
    return {"curves", "Current against time, device by device", "Curves", body};
}

HtmlSection shorts_section(const ReportScope& scope) {
    HtmlTable table;
    table.label = "short circuits at the ends of wires";
    table.columns = {{"end of", false},
                     {"most", true},
                     {"least", true},
                     {"opens first (at most)", false},
                     {"opens first (at least)", false},
                     {"goes on", true},
                     {"hottest by any short", false}};
    for (std::size_t i = 0; i < scope.papers.shorts.size(); ++i)
        if (scope.papers.shorts[i].at_end.most || scope.papers.shorts[i].at_end.least)
            table.rows.push_back(short_row(scope, i));
    return {"shorts", "Short circuits", "Shorts",
            tag("p", {{"class", "lead"}},
                "The end of each wire touches what lies beside it on the way back, or a frame; where there "
                "is no such "
                "short, the one that is looked at is named. Most: pack "
                "full, cold, "
                "resistances at their lowest. Least: pack empty and aged, hot. Wires that no source drives a "
                "short "
                "through are left out.") +
                table_html(table)};
}

}  // namespace loomward
