#include "render/sheet/pages/sheet_signs.hpp"

#include <algorithm>
#include <map>

#include "render/sheet/pages/sheet_legend.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

// As many as a column of the legend has room for.
std::size_t colours_in_row(const PaperSize& paper) {
    return paper.width < 300 ? 3 : 4;
}

struct Seen {
    std::set<Sign> signs;
    std::set<Colour> colours;
    std::map<std::string, std::map<std::string, std::vector<std::string>>> guards;  // tag, all, wires
};

void look_at(const SheetModel& model, const Layout& layout, const Run& run, Seen& seen) {
    const Line& line = layout.line(run.line);
    if (line.off) seen.signs.insert(Sign::pale);
    if (!line.is_labelled()) {
        seen.signs.insert(Sign::joint);
        return;
    }
    seen.signs.insert(Sign::wire_end);
    if (line.stub) seen.signs.insert(Sign::goes_on);
    for (const Colour colour : {line.colour, line.second_colour})
        if (colour != Colour::none) seen.colours.insert(colour);
    if (line.colour == Colour::none) seen.signs.insert(Sign::unstated);
    if (line.unguarded)
        seen.signs.insert(line.short_lead ? Sign::short_lead : Sign::unguarded);
    else if (!line.guard.empty())
        seen.signs.insert(line.electronic ? Sign::electronic : Sign::guarded);
    if (!line.all_guards.empty() && !line.stub) seen.guards[line.guard][line.all_guards].push_back(line.name);
    if (!line.ring.empty()) seen.signs.insert(line.is_cable ? Sign::cable : Sign::bundle);
    if (line.loading >= 0) seen.signs.insert(line.loading > 1.0005 ? Sign::overload : Sign::loading);
    if (!line.figure.empty()) {
        if (model.shows_temperature)
            seen.signs.insert(line.beyond ? Sign::too_hot : Sign::temperature);
        else
            seen.signs.insert(line.beyond ? Sign::too_much : Sign::current);
    }
    if (layout.arrow_leftward(run)) seen.signs.insert(Sign::leftward);
}

std::string text_of(Sign sign) {
    switch (sign) {
        case Sign::colours:
        case Sign::all_guards:
            return {};
        case Sign::unstated:
            return "colour not stated";
        case Sign::guarded:
            return "guard as in the tag";
        case Sign::electronic:
            return "electronics alone";
        case Sign::unguarded:
            return "no guard";
        case Sign::short_lead:
            return "short lead, no guard";
        case Sign::cable:
            return "cable";
        case Sign::bundle:
            return "bundle";
        case Sign::loading:
            return "55 % of its limit";
        case Sign::overload:
            return "over its limit";
        case Sign::temperature:
            return "settles at";
        case Sign::too_hot:
            return "hotter than it may";
        case Sign::current:
            return "flows, of what may";
        case Sign::too_much:
            return "more than may flow";
        case Sign::leftward:
            return "current leftwards";
        case Sign::wire_end:
            return "end of a wire";
        case Sign::joint:
            return "joint, no wire";
        case Sign::goes_on:
            return "goes on: sheet/square";
        case Sign::accepted:
            return "accepted finding";
        case Sign::possible:
            return "it may be so";
        case Sign::pale:
            return "no current, maybe live";
    }
    return {};
}

}  // namespace

namespace {

// "F3 +2: F3, F4, F8"; where a tag stands for several, by wire.
void add_guards(const SheetPlan& plan, const Seen& seen, std::vector<SignRow>& rows) {
    for (const auto& [tag, sets] : seen.guards)
        for (const auto& [all, wires] : sets) {
            std::string text = tag;
            if (sets.size() > 1)
                for (std::size_t i = 0; i < wires.size(); ++i) text += (i ? ", " : " at ") + wires[i];
            text += ": " + all;
            for (std::string& row : wrapped(text, list_size, sign_column(plan.paper) - 1.5, 4))
                rows.push_back({Sign::all_guards, std::move(row), {}});
        }
}

}  // namespace

std::vector<SignRow> signs_on(const SheetPlan& plan, int page) {
    Seen seen;
    for (const PlacedStrip& strip : plan.strips) {
        if (page >= 0 && strip.page != page) continue;
        for (const Run& run : strip.layout.runs) look_at(*plan.model, strip.layout, run, seen);
        for (const Node& node : strip.layout.nodes)
            if (node.type == NodeType::element) {
                if (!node.links.empty()) seen.signs.insert(Sign::joint);
                if (strip.layout.element(node).off) seen.signs.insert(Sign::pale);
            }
    }
    for (const ListedFinding& finding : plan.model->findings) {
        const std::optional<Spot> spot = spot_of(plan, finding);
        if (page >= 0 && (spot ? spot->page : 0) != page) continue;
        if (finding.accepted) seen.signs.insert(Sign::accepted);
        if (finding.text.find(" ?") != std::string::npos) seen.signs.insert(Sign::possible);
    }
    std::vector<SignRow> rows;
    for (const Colour colour : seen.colours) {
        if (rows.empty() || rows.back().colours.size() == colours_in_row(plan.paper))
            rows.push_back({Sign::colours, {}, {}});
        rows.back().colours.push_back(colour);
    }
    for (const Sign sign : seen.signs) rows.push_back({sign, text_of(sign), {}});
    add_guards(plan, seen, rows);
    return rows;
}

std::size_t sign_columns(const PaperSize& paper) {
    return paper.width < 300 ? 2 : 4;
}

double sign_column(const PaperSize& paper) {
    return (legend_left(paper) - 25) / static_cast<double>(sign_columns(paper));
}

SignColumns sign_columns_on(const SheetPlan& plan, int page, double height) {
    const std::size_t signs = signs_on(plan, page).size();
    SignColumns out;
    out.rows = std::max<std::size_t>(1, static_cast<std::size_t>((height - list_head) / sign_row));
    out.used = (signs + out.rows - 1) / out.rows;
    return out;
}

double signs_height(const SheetPlan& plan) {
    std::size_t most = 0;
    for (int page = 0; page < plan.pages; ++page) most = std::max(most, signs_on(plan, page).size());
    const std::size_t columns = sign_columns(plan.paper);
    return list_head + 1 + sign_row * static_cast<double>((most + columns - 1) / columns);
}

}  // namespace loomward::sheet
