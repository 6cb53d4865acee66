#include "render/sheet/pages/sheet_unwired.hpp"

#include <algorithm>

#include "render/svg/font.hpp"

namespace loomward::sheet {

std::vector<UnwiredBox> place_unwired(const SheetModel& model, double width) {
    std::vector<UnwiredBox> boxes;
    double x = 0, y = 0, row = 0;
    for (const int index : model.unwired) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        UnwiredBox& out = boxes.emplace_back();
        out.element = index;
        out.rating = cropped(element.rating, rating_size, false, 34);
        out.label = cropped(element.label, small_size, false, 34);
        const double name = text_width(element.name, designator_size, true);
        const double wide =
            std::max({15.0, name + flags_room(element) + 4, text_width(out.rating, rating_size) + 3,
                      text_width(out.label, small_size) + 3});
        const double high = 4.4 + (out.rating.empty() ? 0 : 2.8) + (out.label.empty() ? 0 : 2.6);
        if (x > 0 && x + wide > width) x = 0, y += row + 2, row = 0;
        out.box = {x, y, x + wide, y + high};
        x += wide + 2;
        row = std::max(row, high);
    }
    return boxes;
}

}  // namespace loomward::sheet
