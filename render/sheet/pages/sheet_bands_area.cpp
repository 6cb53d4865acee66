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

constexpr std::size_t most_choices = 10, small_strip = 60, few_choices = 2;

// What no heavy line touches, in groups that hang together; by element the number of its group, -1 for what
// stays.
std::vector<int> light_groups(const SheetModel& model, const Strip& strip, double least_mm2) {
    const auto carrier = [&](int index) {
        const int on = carrier_of(model.elements[static_cast<std::size_t>(index)]);
        return on >= 0 ? on : index;
    };
    std::vector<bool> stays(model.elements.size(), false);
    const auto each_end = [&](int index, auto&& act) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        act(line, carrier(line.from.element), carrier(line.to.element));
    };
    for (const int index : strip.elements)
        if (model.elements[static_cast<std::size_t>(index)].main_source)
            stays[static_cast<std::size_t>(carrier(index))] = true;
    for (const int index : strip.lines)
        each_end(index, [&](const Line& line, int a, int b) {
            if (line.area_mm2 >= least_mm2 || !line.is_labelled())
                stays[static_cast<std::size_t>(a)] = stays[static_cast<std::size_t>(b)] = true;
        });
    Sets groups(model.elements.size());
    for (const int index : strip.lines)
        each_end(index, [&](const Line&, int a, int b) {
            if (!stays[static_cast<std::size_t>(a)] && !stays[static_cast<std::size_t>(b)]) groups.join(a, b);
        });
    std::vector<int> group(model.elements.size(), -1);
    for (const int index : strip.elements)
        if (const int at = carrier(index); !stays[static_cast<std::size_t>(at)])
            group[static_cast<std::size_t>(index)] = groups.find(at);
    return group;
}

// Light groups leave the main current one after the other, those first that need the fewest lines cut for
// each of their own; small ones share a strip.
void offer_light(const SheetModel& model, const Strip& strip, double least_mm2, std::vector<Bands>& choices) {
    const std::vector<int> group = light_groups(model, strip, least_mm2);
    std::map<int, std::size_t> members;
    std::map<int, double> cut, held;
    for (const int index : strip.elements)
        if (const int at = group[static_cast<std::size_t>(index)]; at >= 0) ++members[at];
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const int a = group[static_cast<std::size_t>(line.from.element)],
                  b = group[static_cast<std::size_t>(line.to.element)];
        for (const int at : {a, b})
            if (at >= 0) (a == b ? held[at] : cut[at]) += a == b ? 0.5 : weight_of_cut(line);
    }
    std::vector<int> order;
    for (const auto& [at, count] : members) order.push_back(at);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
        return cut[a] * static_cast<double>(members[b]) < cut[b] * static_cast<double>(members[a]);
    });
    const std::size_t step =
        1 + order.size() / (strip.lines.size() <= small_strip ? most_choices : few_choices);
    for (std::size_t leaving = order.size(); leaving > 0; leaving -= std::min(leaving, step)) {
        std::map<int, int> band_of;
        int next = 2;
        for (std::size_t i = 0; i < leaving; ++i)
            band_of[order[i]] = members[order[i]] < few_elements ? 1 : next++;
        Bands bands(model.elements.size(), -1);
        for (const int index : strip.elements) {
            const auto found = band_of.find(group[static_cast<std::size_t>(index)]);
            bands[static_cast<std::size_t>(index)] = found == band_of.end() ? 0 : found->second;
        }
        bands = finished_bands(model, strip, std::move(bands));
        if (!bands.empty() && std::find(choices.begin(), choices.end(), bands) == choices.end())
            choices.push_back(std::move(bands));
    }
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
    offer_light(model, strip, heavy_mm2, choices);
    return choices;
}

}  // namespace loomward::sheet
