// What hangs on the rest by one supply line and its returns: a load with its contactor, a bar with its loads.
#include <algorithm>
#include <map>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {
namespace {

constexpr std::size_t least_tail = 4;  // elements worth a strip of their own
constexpr int least_returns = 4;       // of a bar that gathers them

class Tails {
  public:
    Tails(const SheetModel& model, const Strip& strip)
        : model_(model), strip_(strip), around_(model.elements.size()) {
        std::map<int, int> returns;
        for (const int index : strip.lines) {
            const Line& line = this->line(index);
            const int a = root(line.from.element), b = root(line.to.element);
            around_[static_cast<std::size_t>(a)].emplace_back(index, b);
            around_[static_cast<std::size_t>(b)].emplace_back(index, a);
            if (line.is_return) ++returns[a], ++returns[b];
        }
        gathers_.assign(model.elements.size(), false);
        for (const auto& [element, count] : returns)
            gathers_[static_cast<std::size_t>(element)] =
                count >= least_returns && !model.elements[static_cast<std::size_t>(element)].main_source;
    }

    // Empty where the line is not the only way from what lies at its head to a source, returns aside.
    Bands beyond(int index) const {
        const Line& cut = line(index);
        const int begin = root(cut.head().element);
        if (gathers(begin) || gathers(root(cut.tail().element))) return {};
        std::vector<bool> reached(model_.elements.size(), false);
        std::vector<int> open = {begin};
        reached[static_cast<std::size_t>(begin)] = true;
        while (!open.empty()) {
            const int here = open.back();
            open.pop_back();
            if (model_.elements[static_cast<std::size_t>(here)].main_source) return {};
            for (const auto& [by, there] : around_[static_cast<std::size_t>(here)]) {
                if (by == index || gathers(there) || reached[static_cast<std::size_t>(there)]) continue;
                reached[static_cast<std::size_t>(there)] = true;
                open.push_back(there);
            }
        }
        if (reached[static_cast<std::size_t>(root(cut.tail().element))]) return {};
        Bands bands(model_.elements.size(), -1);
        std::size_t size = 0;
        for (const int each : strip_.elements) {
            const bool out = reached[static_cast<std::size_t>(root(each))];
            bands[static_cast<std::size_t>(each)] = out;
            size += out;
        }
        if (size < least_tail || size * 4 > strip_.elements.size() * 3) return {};
        return finished_bands(model_, strip_, std::move(bands));
    }

  private:
    const Line& line(int index) const { return model_.lines[static_cast<std::size_t>(index)]; }
    bool gathers(int element) const { return gathers_[static_cast<std::size_t>(element)]; }
    int root(int element) const {
        const int on = carrier_of(model_.elements[static_cast<std::size_t>(element)]);
        return on >= 0 ? on : element;
    }

    const SheetModel& model_;
    const Strip& strip_;
    std::vector<std::vector<std::pair<int, int>>> around_;  // by element: line and what lies beyond it
    std::vector<bool> gathers_;
};

}  // namespace

std::vector<Bands> bands_by_tails(const SheetModel& model, const Strip& strip) {
    const Tails tails(model, strip);
    std::vector<Bands> choices;
    for (const int index : strip.lines) {
        Bands bands = tails.beyond(index);
        if (!bands.empty() && std::find(choices.begin(), choices.end(), bands) == choices.end())
            choices.push_back(std::move(bands));
    }
    return choices;
}

}  // namespace loomward::sheet
