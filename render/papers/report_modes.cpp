// Mode by mode: what each part gets, what comes nearest to its limit, how long the packs last.
#include <fmt/format.h>

#include <cmath>

#include "render/papers/report_parts.hpp"

namespace loomward {
namespace {

std::string_view takes_or_gives(EdgeRole role) {
    switch (role) {
        case EdgeRole::emf:
            return "pack";
        case EdgeRole::coil:
            return "coil";
        case EdgeRole::regeneration:
            return "gives back";
        case EdgeRole::converter_input:
            return "input";
        case EdgeRole::converter_output:
            return "output";
        case EdgeRole::supply_pin:
            return "pin, fed";
        case EdgeRole::output_pin:
            return "pin, gives";
        default:
            return row(role).name;
    }
}

Html figures_cell(const ReportScope& scope, const std::optional<ModeFigures>& figures, ModeId mode) {
    if (!figures) {
        for (const OperatingPoint& point : scope.results.points)
            if (point.mode == mode) return tag("b", {{"class", "bad"}}, "no numbers");
        return not_known_html();
    }
    if (figures->most_A <= 0) return "—";
    return range_html(figures->least_A, figures->most_A, Dimension::current) + empty_tag("br") +
           tag("small", range_html(figures->least_V, figures->most_V, Dimension::voltage));
}

std::vector<HtmlColumn> mode_columns(const ReportScope& scope, std::vector<HtmlColumn> columns) {
    for (const Mode& mode : scope.harness.modes) columns.push_back({std::string(mode.name), true});
    return columns;
}

Html parts_table(const ReportScope& scope) {
    HtmlTable table;
    table.label = "what each part gets in each mode";
    table.columns = mode_columns(scope, {{"part", false}, {"as", false}});
    for (const ModeRow& one : scope.papers.modes) {
        const Part& part = scope.harness.part(one.part);
        const std::string name(one.terminal ? scope.harness.terminal(one.terminal).path : part.name);
        HtmlRow row;
        row.cells = {scope.names.link(name) + " " + tag("small", std::string(part.label)),
                     Html(std::string(takes_or_gives(one.role)))};
        for (std::size_t i = 0; i < one.modes.size(); ++i)
            row.cells.push_back(figures_cell(scope, one.modes[i], ModeId(i)));
        table.rows.push_back(std::move(row));
    }
    return table_html(table);
}

const ModeBudget* budget_of_mode(const Budget& budget, ModeId mode) {
    for (const ModeBudget& one : budget.modes)
        if (one.mode == mode) return &one;
    return nullptr;
}

Html hours_html(const PackTime& time, const ModeBudget& mode) {
    if (time.way == PackTime::Way::stands) return "stands";
    if (time.way == PackTime::Way::not_known) return not_known_html();
    constexpr double long_h = 2400;
    if (time.way == PackTime::Way::runs_down && time.least_h > long_h) return "lasts more than 100 days";
    const Html hours = range_html(time.least_h * 3600, time.most_h * 3600, Dimension::time);
    if (time.way == PackTime::Way::fills) return Html("full after ") + hours;
    return Html(mode.at_most() ? "lasts at most " : "lasts ") + hours;
}

Html packs_table(const ReportScope& scope) {
    HtmlTable table;
    table.label = "packs in each mode";
    table.columns = mode_columns(scope, {{"pack", false}});
    for (std::size_t i = 0; i < scope.harness.parts.size(); ++i) {
        if (scope.harness.parts[i].kind != Kind::pack) continue;
        HtmlRow row;
        row.cells = {scope.names.link(scope.harness.parts[i].name)};
        for (std::size_t m = 0; m < scope.harness.modes.size(); ++m) {
            const ModeBudget* mode = budget_of_mode(scope.papers.budget, ModeId(m));
            Html cell = not_known_html();
            if (mode && mode->known)
                for (const PackTime& time : mode->packs)
                    if (time.gives.part == PartId(i)) {
                        const bool known = time.gives.needs.empty();
                        const bool takes = time.gives.mean_A < 0;
                        cell = known ? Html(takes ? "takes " : "gives ") +
                                           figure_html(std::abs(time.gives.mean_A), Dimension::current)
                                     : not_known_html();
                        cell += empty_tag("br") + tag("small", hours_html(time, *mode));
                    }
            row.cells.push_back(cell);
        }
        table.rows.push_back(std::move(row));
    }
    if (table.rows.empty()) return {};
    return tag("h3", "Packs") + table_html(table);
}

Html limits_table(const ReportScope& scope) {
    HtmlTable table;
    table.label = "what comes nearest to its limit";
    table.columns = {{"mode", false},          {"nearest", false},         {"of its limit", true},
                     {"carries, worst", true}, {"carries for good", true}, {"gives out", true}};
    for (const ModeLimits& mode : scope.papers.limits)
        for (const Nearest& near : mode.nearest) {
            const bool finite = std::isfinite(near.share);
            HtmlRow row;
            row.css_class = near.share > 1 ? "over" : "";
            row.cells = {
                std::string(scope.harness.modes[mode.mode.index()].name),
                Html(std::string(what_word(near.what)) + " ") + scope.names.link(near.name),
                finite ? percent_html(near.share) : Html("has no end"),
                figure_html(near.worst_A, Dimension::current),
                near.lasting_A > 0 ? figure_html(near.lasting_A, Dimension::current) : not_known_html(),
                std::isfinite(near.gives_out_s)
                    ? Html("after ") + figure_html(near.gives_out_s, Dimension::time)
                    : Html("never")};
            table.rows.push_back(std::move(row));
        }
    if (table.rows.empty()) return {};
    return tag("h3", "Nearest to its limit") +
           tag("p", {{"class", "lead"}},
               "Of each mode the wire, contact, device and pack that is brought furthest: as a share of the "
               "rise that it "
               "stands, of a device of what it carries for good. Estimates.") +
           table_html(table);
}

}  // namespace

HtmlSection modes_section(const ReportScope& scope) {
    Html body;
    if (scope.harness.modes.empty()) {
        body = tag("p", "The file has no modes, so currents were not looked at.");
    } else {
        body = tag("p", {{"class", "lead"}},
                   "Amps through each part and, below, volts between its terminals: over all levels of the "
                   "mode, with "
                   "the pack low and with the pack full. Dash: nothing flows.") +
               parts_table(scope) + packs_table(scope) + limits_table(scope);
    }
    return {"modes", "Modes: what each part gets", "Modes", body};
}

}  // namespace loomward
