// Cuts that were made one after the other, looked at once more together.
#pragma once
#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

// The same model cut anew where parts, or all that hangs on them by heavy wires, may change strips or two
// strips may join, with less cut and every strip still within the room. Nothing where no heavy wire was cut
// or nothing gets better.
std::optional<CutStrips> regrouped(const SheetModel& model, const CutStrips& cut, const Room& room,
                                   RoughLayouts& known);

}  // namespace loomward::sheet
