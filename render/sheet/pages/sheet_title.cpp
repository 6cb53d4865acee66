#include "render/sheet/pages/sheet_title.hpp"

#include <algorithm>
#include <cmath>

#include "render/sheet/pages/sheet_legend.hpp"
#include "render/svg/canvas.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

constexpr double margin = 3, room = title_width - 2 * margin;
constexpr double cell_gap = 3.4;  // from a value to the next field
constexpr double note_size = 2.0, note_row = 2.9;

std::string count_text(std::size_t count, std::string_view word) {
    return std::to_string(count) + ' ' + std::string(word) + (count == 1 ? "" : "s");
}

std::string verdict_of(const SheetModel& model) {
    std::string verdict = count_text(model.errors, "error") + ", " + count_text(model.warnings, "warning") +
                          ", " + count_text(model.notes, "note");
    if (model.possible > 0) verdict += ", " + std::to_string(model.possible) + " possible (?)";
    if (model.accepted > 0) verdict += ", " + std::to_string(model.accepted) + " accepted";
    return model.for_owner ? "NOT TO BE HANDED OVER: " + verdict : verdict;
}

// What the figures rest on: the mode, modes that were not solved, values nobody wrote down.
std::string basis_of(const SheetModel& model) {
    std::string basis = model.mode.empty() ? "worst of all modes" : "mode " + model.mode;
    if (model.modes_solved < model.modes && model.mode.empty())
        basis +=
            ", only " + std::to_string(model.modes_solved) + " of " + std::to_string(model.modes) + " solved";
    if (model.unknown_values > 0) basis += ", " + count_text(model.unknown_values, "value") + " not known";
    basis += model.mode.empty() ? "; contacts at rest" : "; contacts as in it";
    if (!model.mode.empty()) basis += "; pale: no current in this mode, may be live";
    return basis;
}

void add_rows(std::vector<TitleText>& to, double& base, double step, std::string_view text, double size,
              bool bold) {
    for (std::string& row : in_rows(text, size, bold, room)) {
        to.push_back({base, size, bold, std::move(row)});
        base += step;
    }
}

// The title in one row of large letters, or whole in as many smaller ones as it takes; gives what is below.
double write_name(const SheetModel& model, TitleBlock& block) {
    const double one_row = room / std::max(1.0, text_width(model.title, 1, true));
    double base = 0;
    if (one_row >= 2.9) {
        const double size = std::min(4.4, one_row);
        base = 2.4 + size * 0.85;
        block.name.push_back({base, size, true, model.title});
        base += 3.0;
    } else {
        base = 3.7;
        add_rows(block.name, base, 3.6, model.title, 2.9, true);
        base -= 0.6;
    }
    add_rows(block.name, base, 2.9, model.fields.subtitle, 2.1, false);
    add_rows(block.name, base, 2.9, model.part_shown, 2.1, false);
    return std::max(8.4, base - 1.0);
}

// One that checks does so when the file is written, on the print: where persons are named the field to sign
// is there. None of the others is ever empty.
std::vector<TitleCell> cells_of(const SheetPlan& plan, int page) {
    const SheetModel& model = *plan.model;
    std::vector<TitleCell> cells;
    const auto add = [&](std::string_view name, const std::string& value, std::string_view widest = {}) {
        if (value.empty()) return;
        TitleCell cell{name, in_rows(value, field_size, true, room), false, 0, 0};
        for (const std::string& row : cell.value)
            cell.width = std::max(cell.width, text_width(row, field_size, true));
        cell.width = std::max(
            {cell.width, text_width(widest, field_size, true), text_width(name, field_name_size, false)});
        cells.push_back(std::move(cell));
    };
    const TitleFields& fields = model.fields;
    add("document", fields.document);
    add("revision", fields.revision);
    add("date", fields.date);
    add("sheet", std::to_string(page + 1) + " of " + std::to_string(plan.pages), "9 of 9");
    add("paper", plan.paper_name + ", " + number(std::round(plan.scale * 100)) + " %", "A3, 100 %");
    add("wires", model.wires_shown == model.wires
                     ? std::to_string(model.wires)
                     : std::to_string(model.wires_shown) + " of " + std::to_string(model.wires));
    add("file", model.file);
    add("drawn by", fields.drawn_by);
    add("checked by", fields.checked_by);
    if (fields.names_anybody() && fields.checked_by.empty()) cells.push_back({"checked by", {}, true, 0, 22});
    add("approved by", fields.approved_by);
    add("legal owner", fields.legal_owner);
    return cells;
}

// Fields side by side as far as they go, each row spread over the whole width.
double write_fields(const SheetPlan& plan, int page, double top, TitleBlock& block) {
    double used = 0;
    for (TitleCell& cell : cells_of(plan, page)) {
        if (block.bands.empty() || used + cell_gap + cell.width > room) {
            block.bands.emplace_back();
            used = -cell_gap;
        }
        used += cell_gap + cell.width;
        block.bands.back().cells.push_back(std::move(cell));
    }
    for (TitleBand& band : block.bands) {
        double needed = 0;
        std::size_t rows = 1;
        for (const TitleCell& cell : band.cells) {
            needed += cell.width + cell_gap;
            rows = std::max(rows, cell.value.size());
        }
        const double more = (room + cell_gap - needed) / static_cast<double>(band.cells.size());
        double x = margin;
        for (TitleCell& cell : band.cells) {
            cell.x = x;
            cell.width += cell_gap + more;
            x += cell.width;
        }
        band.y = top;
        band.height = 4.7 + field_row * static_cast<double>(rows);
        top += band.height;
    }
    return top;
}

}  // namespace

TitleBlock title_block(const SheetPlan& plan, int page) {
    const SheetModel& model = *plan.model;
    TitleBlock block;
    double base = block.verdict_top = write_fields(plan, page, write_name(model, block), block);
    const auto note = [&](std::string_view text, double size = note_size, bool bold = false) {
        add_rows(block.rest, base, note_row, text, size, bold);
    };
    base += 3.4;
    if (model.for_owner && !model.withheld) {
        note("Switch off, and take the plug out, before a cover is opened.", 2.1, true);
        note("Capacitors keep their voltage for a while; measure first.");
        note("New fuses only as listed; local codes apply, ask your workshop.");
    } else {
        if (model.shows_findings) {
            block.verdict = verdict_of(model);
            base += verdict_bar;
            // Longer than the bar: the rest of it goes on below.
            std::vector<std::string> rows = in_rows(block.verdict, 2.3, true, room);
            block.verdict = rows.front();
            for (std::size_t i = 1; i < rows.size(); ++i) note(rows[i], 2.2, true);
            note(basis_of(model));
        }
        note(model.surroundings);
        note("Checked under stated assumptions; local codes and licensed practice apply.");
    }
    block.height = base - 1.6;
    return block;
}

}  // namespace loomward::sheet
