// One mode on the layout of all of them. Both models are made from one harness, so what has the same place in
// one is the same thing in the other; only lines that were cut come after.
#include <algorithm>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {
namespace {

template <typename Flagged>
void paint_flags(Flagged& to, const Flagged& from) {
    to.flag_room = flags_width(to.flags);
    to.flags = from.flags;
    // More flags than there is room for would push the name aside.
    while (!to.flags.empty() && flags_width(to.flags) > to.flag_room + 0.01) to.flags.pop_back();
}

void paint(Line& to, const Line& from) {
    paint_flags(to, from);
    to.off = from.off;
    to.loading = to.loading < 0 ? -1 : from.loading;
    if (!to.figure.empty()) to.figure = from.figure;
    to.beyond = from.beyond;
    to.title = from.title;
    to.current_known = from.current_known;
    to.tail_is_from = from.tail_is_from;
}

}  // namespace

SheetModel painted(const SheetModel& laid, const SheetModel& mode) {
    SheetModel out = laid;
    const std::size_t lines = std::min(out.lines.size(), mode.lines.size());
    const std::size_t elements = std::min(out.elements.size(), mode.elements.size());
    for (std::size_t i = 0; i < lines; ++i) paint(out.lines[i], mode.lines[i]);
    for (std::size_t i = 0; i < elements; ++i) {
        paint_flags(out.elements[i], mode.elements[i]);
        out.elements[i].off = mode.elements[i].off;
        out.elements[i].shape = mode.elements[i].shape;
    }
    // The rest of a line that was cut is as pale as the line.
    for (const Element& element : out.elements) {
        if (element.form != Form::pennant || !element.of_stub || element.goes_on_as < 0) continue;
        const Line& whole = out.lines[static_cast<std::size_t>(element.goes_on_as)];
        for (Line& line : out.lines)
            if (line.stub && line.name == whole.name) {
                line.off = whole.off;
                line.current_known = whole.current_known;
                line.tail_is_from = whole.tail_is_from;
            }
    }
    out.mode = mode.mode;
    out.findings = mode.findings;
    out.errors = mode.errors, out.warnings = mode.warnings, out.notes = mode.notes;
    out.accepted = mode.accepted, out.possible = mode.possible, out.open = mode.open;
    out.modes = mode.modes, out.modes_solved = mode.modes_solved;
    out.unknown_values = mode.unknown_values;
    return out;
}

}  // namespace loomward::sheet
