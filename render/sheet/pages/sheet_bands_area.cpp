// The way of the main current in one piece, and what it leaves behind.
#include <algorithm>
#include <map>
#include <numeric>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {
namespace {

constexpr std::size_t few_elements = 4;  // not worth a strip of their own

class Sets {
  public:
    explicit Sets(std::size_t count) : head_(count) { std::iota(head_.begin(), head_.end(), 0); }
    int find(int i) {
        while (at(i) != i) i = at(i) = at(at(i));
        return i;
    }
    void join(int a, int b) {
        a = find(a), b = find(b);
        at(std::max(a, b)) = std::min(a, b);
    }

  private:
    int& at(int i) { return head_[static_cast<std::size_t>(i)]; }
    std::vector<int> head_;
};

Bands bands_above(const SheetModel& model, const Strip& strip, double least_mm2) {
    const auto element = [&](int index) -> const Element& {
        return model.elements[static_cast<std::size_t>(index)];
    };
    Sets heavy(model.elements.size()), rest(model.elements.size());
    const auto hold_together = [&](Sets& sets) {
        for (const int index : strip.elements)
            if (const int carrier = carrier_of(element(index)); carrier >= 0) sets.join(index, carrier);
    };
    hold_together(heavy);
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        if (line.area_mm2 >= least_mm2 || !line.is_labelled()) heavy.join(line.from.element, line.to.element);
    }
    // The main piece is that of the first source, or else the largest.
    std::map<int, int> sizes;
    int main_piece = -1;
    for (const int index : strip.elements) {
        ++sizes[heavy.find(index)];
        if (main_piece < 0 && element(index).main_source) main_piece = heavy.find(index);
    }
    for (const auto& [piece, size] : sizes)
        if (main_piece < 0 ||
            (size > sizes[main_piece] && !element(piece).main_source && size > 6 && sizes[main_piece] < 3))
            main_piece = piece;
    hold_together(rest);
    const auto in_main = [&](int index) { return heavy.find(index) == main_piece; };
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        if (!in_main(line.from.element) && !in_main(line.to.element))
            rest.join(line.from.element, line.to.element);
    }
    std::map<int, std::size_t> members;
    for (const int index : strip.elements)
        if (!in_main(index)) ++members[rest.find(index)];
    Bands bands(model.elements.size(), -1);
    std::map<int, int> number;
    for (const int index : strip.elements) {
        const int piece = rest.find(index);
        const bool stays = in_main(index) || members[piece] < few_elements;
        bands[static_cast<std::size_t>(index)] =
            stays ? 0 : number.try_emplace(piece, static_cast<int>(number.size()) + 1).first->second;
    }
    return finished_bands(model, strip, std::move(bands));
}

}  // namespace

std::vector<Bands> bands_by_area(const SheetModel& model, const Strip& strip) {
    double largest = 0;
    for (const int index : strip.lines)
        largest = std::max(largest, model.lines[static_cast<std::size_t>(index)].area_mm2);
    std::vector<Bands> choices;
    for (const double part : {0.6, 0.3, 0.12}) {
        Bands bands = bands_above(model, strip, largest * part);
        if (!bands.empty() && std::find(choices.begin(), choices.end(), bands) == choices.end())
            choices.push_back(std::move(bands));
    }
    return choices;
}

}  // namespace loomward::sheet
