// Where a strip that is too large may be cut.
#include <algorithm>
#include <cmath>
#include <map>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {
namespace {

// Where each element stands: its column, and the middle of its heights. A bar stands where its landings and
// the fuses on it do, and so do they: a bar is never cut.
struct Stand {
    std::vector<int> column;  // -1: not in the layout
    std::vector<double> y;
};

Stand stand_of(const SheetModel& model, const Strip& strip, const Layout& layout) {
    const std::size_t count = model.elements.size();
    Stand stand{std::vector<int>(count, -1), std::vector<double>(count, 0)};
    std::vector<double> top(count, 1e9), bottom(count, -1e9);
    for (const Node& node : layout.nodes) {
        if (node.element < 0) continue;
        const auto index = static_cast<std::size_t>(node.cluster >= 0 ? node.cluster : node.element);
        stand.column[index] = node.column;
        top[index] = std::min(top[index], node.y);
        bottom[index] = std::max(bottom[index], node.y + node.height);
    }
    for (const int index : strip.elements) {
        const auto i = static_cast<std::size_t>(index);
        if (stand.column[i] >= 0) stand.y[i] = (top[i] + bottom[i]) / 2;
    }
    for (const int index : strip.elements)
        if (const int bar = carrier_of(model.elements[static_cast<std::size_t>(index)]); bar >= 0) {
            stand.column[static_cast<std::size_t>(index)] = stand.column[static_cast<std::size_t>(bar)];
            stand.y[static_cast<std::size_t>(index)] = stand.y[static_cast<std::size_t>(bar)];
        }
    return stand;
}

Bands bands_at(const SheetModel& model, const Strip& strip, const std::vector<int>& column_of,
               const std::vector<int>& cuts) {
    Bands bands(model.elements.size(), -1);
    for (const int index : strip.elements)
        bands[static_cast<std::size_t>(index)] = static_cast<int>(
            std::upper_bound(cuts.begin(), cuts.end(), column_of[static_cast<std::size_t>(index)]) -
            cuts.begin());
    return finished_bands(model, strip, std::move(bands));
}

// What a cut before each column parts.
std::map<int, int> lines_over(const SheetModel& model, const Strip& strip, const std::vector<int>& column_of,
                              const std::map<int, double>& left_of) {
    std::map<int, int> over;
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const auto [low, high] = std::minmax(column_of[static_cast<std::size_t>(line.from.element)],
                                             column_of[static_cast<std::size_t>(line.to.element)]);
        for (auto at = left_of.upper_bound(low); at != left_of.end() && at->first <= high; ++at)
            over[at->first] += weight_of_cut(line);
    }
    return over;
}

// Cuts near even parts of the length, where few lines pass.
std::vector<int> cuts_near(const std::map<int, double>& left_of, std::map<int, int>& over, double width,
                           int count) {
    std::vector<int> cuts;
    const double length = width / count;
    for (int i = 1; i < count; ++i) {
        int best = -1;
        double lowest = 0;
        for (const auto& [column, x] : left_of) {
            const double away = std::abs(x - i * length);
            if (column == left_of.begin()->first || away > length * 0.35 ||
                (!cuts.empty() && column <= cuts.back()))
                continue;
            const double cost = 9.0 * over[column] + 0.6 * away;
            if (best < 0 || cost < lowest) best = column, lowest = cost;
        }
        if (best >= 0) cuts.push_back(best);
    }
    return cuts;
}

}  // namespace

Bands bands_by_columns(const SheetModel& model, const Strip& strip, const Layout& layout, int count) {
    const Stand stand = stand_of(model, strip, layout);
    std::map<int, double> left_of;
    for (const Node& node : layout.nodes)
        if (node.element >= 0) {
            const auto [entry, fresh] = left_of.try_emplace(node.column, node.x);
            if (!fresh) entry->second = std::min(entry->second, node.x);
        }
    std::map<int, int> over = lines_over(model, strip, stand.column, left_of);
    return bands_at(model, strip, stand.column, cuts_near(left_of, over, layout.width, count));
}

Bands bands_by_rows(const SheetModel& model, const Strip& strip, const Layout& layout, int count) {
    const Stand stand = stand_of(model, strip, layout);
    std::vector<double> heights;
    for (const int index : strip.elements) heights.push_back(stand.y[static_cast<std::size_t>(index)]);
    std::sort(heights.begin(), heights.end());
    // What a cut at each height parts, swept from the top: +weight where a line begins, -weight where it
    // ends.
    std::map<double, double> change;
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const auto [low, high] = std::minmax(stand.y[static_cast<std::size_t>(line.from.element)],
                                             stand.y[static_cast<std::size_t>(line.to.element)]);
        change[low] += weight_of_cut(line);
        change[high] -= weight_of_cut(line);
    }
    std::map<double, double> over;
    double running = 0;
    for (std::size_t i = 1; i < heights.size(); ++i) {
        if (const auto found = change.find(heights[i - 1]); found != change.end()) {
            running += found->second;
            change.erase(found);
        }
        if (heights[i] - heights[i - 1] >= 0.5) over[(heights[i - 1] + heights[i]) / 2] = running;
    }
    std::vector<double> cuts;
    const double length = layout.height() / count;
    for (int i = 1; i < count; ++i) {
        double best = 0, lowest = -1;
        for (const auto& [y, parted] : over) {
            const double away = std::abs(y - layout.top - i * length);
            if (away > length * 0.4 || (!cuts.empty() && y <= cuts.back())) continue;
            const double cost = 9.0 * parted + 0.5 * away;
            if (lowest < 0 || cost < lowest) best = y, lowest = cost;
        }
        if (lowest >= 0) cuts.push_back(best);
    }
    Bands bands(model.elements.size(), -1);
    for (const int index : strip.elements)
        bands[static_cast<std::size_t>(index)] = static_cast<int>(
            std::upper_bound(cuts.begin(), cuts.end(), stand.y[static_cast<std::size_t>(index)]) -
            cuts.begin());
    return finished_bands(model, strip, std::move(bands));
}

namespace {

// The bays in `out` as bands of their own, the rest as the first. Parts of no bay go with most of their
// lines.
Bands bays_apart(const SheetModel& model, const Strip& strip, const std::vector<std::string>& out) {
    Bands bands(model.elements.size(), -1);
    const auto band = [&](int index) -> int& { return bands[static_cast<std::size_t>(index)]; };
    for (const int index : strip.elements) {
        const std::string& bay = model.elements[static_cast<std::size_t>(index)].bay;
        const auto found = std::find(out.begin(), out.end(), bay);
        band(index) = found == out.end() ? 0 : static_cast<int>(found - out.begin()) + 1;
    }
    for (int round = 0; round < 3; ++round) {
        std::map<int, std::map<int, int>> pull;  // by element and band
        for (const int index : strip.lines) {
            const Line& line = model.lines[static_cast<std::size_t>(index)];
            pull[line.from.element][band(line.to.element)] += weight_of_cut(line);
            pull[line.to.element][band(line.from.element)] += weight_of_cut(line);
        }
        for (const int index : strip.elements) {
            const Element& element = model.elements[static_cast<std::size_t>(index)];
            if (!element.bay.empty() || element.main_source) continue;
            int best = band(index), most = pull[index][best];
            for (const auto& [where, weight] : pull[index])
                if (weight > most) best = where, most = weight;
            band(index) = best;
        }
    }
    return finished_bands(model, strip, std::move(bands));
}

}  // namespace

std::vector<Bands> bands_by_bays(const SheetModel& model, const Strip& strip) {
    std::map<std::string, std::size_t> members;
    std::vector<std::string> with_source, out;
    for (const int index : strip.elements) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        if (element.bay.empty()) continue;
        ++members[element.bay];
        if (element.main_source) with_source.push_back(element.bay);
    }
    for (const auto& [name, count] : members)
        if (count >= 3 && count * 4 <= strip.elements.size() * 3 &&
            std::find(with_source.begin(), with_source.end(), name) == with_source.end())
            out.push_back(name);
    std::vector<Bands> choices;
    const auto offer = [&](const std::vector<std::string>& names) {
        Bands bands = bays_apart(model, strip, names);
        if (!bands.empty()) choices.push_back(std::move(bands));
    };
    constexpr std::size_t most = 8;
    for (std::size_t i = 0; i < std::min(out.size(), most); ++i) offer({out[i]});
    for (std::size_t i = 0; i < std::min(out.size(), most); ++i)
        for (std::size_t j = 0; j < i; ++j) offer({out[j], out[i]});
    if (out.size() > 2) offer(out);
    return choices;
}

Bands finished_bands(const SheetModel& model, const Strip& strip, Bands bands) {
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        for (const auto& [here, there] :
             {std::pair(line.from.element, line.to.element), std::pair(line.to.element, line.from.element)})
            if (model.elements[static_cast<std::size_t>(here)].form == Form::pennant)
                bands[static_cast<std::size_t>(here)] = bands[static_cast<std::size_t>(there)];
    }
    for (const int index : strip.elements)
        if (const int bar = carrier_of(model.elements[static_cast<std::size_t>(index)]); bar >= 0)
            bands[static_cast<std::size_t>(index)] = bands[static_cast<std::size_t>(bar)];
    std::vector<int> numbers;
    for (const int band : bands)
        if (band >= 0) numbers.push_back(band);
    std::sort(numbers.begin(), numbers.end());
    numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
    if (numbers.size() < 2) return {};
    for (int& band : bands)
        if (band >= 0)
            band = static_cast<int>(std::lower_bound(numbers.begin(), numbers.end(), band) - numbers.begin());
    return bands;
}

int weight_of_cut(const Line& line) {
    if (line.bar_goes_on) return 0;  // it is in pieces already
    if (!line.is_labelled()) return 30;
    const double followed = line.area_mm2 >= heavy_mm2 ? 6 : 0;
    return static_cast<int>(std::lround(1 + followed + line.area_mm2 / 3));
}

int weight_of_bands(const SheetModel& model, const Strip& strip, const Bands& bands) {
    int sum = 0;
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        if (bands[static_cast<std::size_t>(line.from.element)] !=
            bands[static_cast<std::size_t>(line.to.element)])
            sum += weight_of_cut(line);
    }
    return sum;
}

}  // namespace loomward::sheet
