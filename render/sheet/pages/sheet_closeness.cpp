// Cuts a strip that is too large to be laid out: joins what hangs together most, as long as it fits a page.
#include <algorithm>
#include <cmath>
#include <map>
#include <queue>
#include <tuple>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {
namespace {

constexpr double area_of_a_line_mm2 = 1900;  // of paper, as sheets of many sizes turned out

struct Near {
    int weight = 0, half_lines = 0;
};
struct Cluster {
    std::map<int, Near> near;  // lines to other clusters
    int half_lines = 0, elements = 1, stamp = 0;
    bool gone = false;
};

// Parts with one line to each of two bars stand in rows, both their lines in one: each takes half the paper.
std::vector<bool> between_bars(const SheetModel& model, const Strip& strip) {
    std::vector<int> lines(model.elements.size(), 0), to_bars(model.elements.size(), 0);
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        for (const auto& [here, there] :
             {std::pair(line.from.element, line.to.element), std::pair(line.to.element, line.from.element)}) {
            ++lines[static_cast<std::size_t>(here)];
            to_bars[static_cast<std::size_t>(here)] +=
                model.elements[static_cast<std::size_t>(there)].form == Form::bar;
        }
    }
    std::vector<bool> between(model.elements.size(), false);
    for (const int index : strip.elements) {
        const auto at = static_cast<std::size_t>(index);
        between[at] = lines[at] == 2 && to_bars[at] == 2;
    }
    return between;
}

class Joiner {
  public:
    Joiner(const SheetModel& model, const Strip& strip, int most_lines)
        : most_half_lines_(2 * most_lines), at_(model.elements.size(), -1) {
        for (const int index : strip.elements) {
            const int bar = carrier_of(model.elements[static_cast<std::size_t>(index)]);
            const auto key = static_cast<std::size_t>(bar >= 0 ? bar : index);
            if (at_[key] < 0) at_[key] = static_cast<int>(clusters_.size()), clusters_.emplace_back();
            at_[static_cast<std::size_t>(index)] = at_[key];
        }
        const std::vector<bool> between = between_bars(model, strip);
        for (const int index : strip.lines) {
            const Line& line = model.lines[static_cast<std::size_t>(index)];
            const int half = between[static_cast<std::size_t>(line.from.element)] ||
                                     between[static_cast<std::size_t>(line.to.element)]
                                 ? 1
                                 : 2;
            const int a = at_[static_cast<std::size_t>(line.from.element)],
                      b = at_[static_cast<std::size_t>(line.to.element)];
            const int weight = weight_of_cut(line);
            if (a == b) {
                cluster(a).half_lines += half;
                continue;
            }
            for (const auto& [here, there] : {std::pair(a, b), std::pair(b, a)}) {
                cluster(here).near[there].weight += weight;
                cluster(here).near[there].half_lines += half * weight;
            }
        }
        for (int a = 0; a < static_cast<int>(clusters_.size()); ++a) offer_all(a);
    }

    Bands joined() {
        while (!queue_.empty()) {
            const auto [score, minus_a, minus_b, stamp] = queue_.top();
            queue_.pop();
            const int a = -minus_a, b = -minus_b;
            if (cluster(a).gone || cluster(b).gone || stamp != cluster(a).stamp + cluster(b).stamp) continue;
            if (cluster(a).half_lines + cluster(b).half_lines + cluster(a).near[b].half_lines >
                most_half_lines_)
                continue;
            join(a, b);
        }
        for (int& each : at_)
            while (each >= 0 && into_.count(each)) each = into_[each];
        return at_;
    }

  private:
    Cluster& cluster(int index) { return clusters_[static_cast<std::size_t>(index)]; }
    void offer_all(int a) {
        for (const auto& [b, near] : cluster(a).near) {
            if (near.weight == 0) continue;  // pieces of a long bar stay in pieces
            // Close things first, small ones before large ones.
            const double score =
                near.weight / std::sqrt(static_cast<double>(cluster(a).elements) * cluster(b).elements);
            queue_.emplace(score, -std::min(a, b), -std::max(a, b), cluster(a).stamp + cluster(b).stamp);
        }
    }
    void join(int a, int b) {
        Cluster &into = cluster(a), &from = cluster(b);
        into.half_lines += from.half_lines + into.near[b].half_lines;
        into.elements += from.elements;
        into.near.erase(b);
        for (const auto& [other, near] : from.near) {
            if (other == a) continue;
            for (Near* each : {&into.near[other], &cluster(other).near[a]}) {
                each->weight += near.weight;
                each->half_lines += near.half_lines;
            }
            cluster(other).near.erase(b);
        }
        from.gone = true;
        into_[b] = a;
        into.stamp += 1000000;
        offer_all(a);
    }

    int most_half_lines_;
    Bands at_;
    std::vector<Cluster> clusters_;
    std::map<int, int> into_;
    std::priority_queue<std::tuple<double, int, int, int>> queue_;
};

}  // namespace

Bands bands_by_closeness(const SheetModel& model, const Strip& strip, const Room& room) {
    const int most_lines = std::max(12, static_cast<int>(room.width * room.height / area_of_a_line_mm2));
    Bands bands = Joiner(model, strip, most_lines).joined();
    // Pennants go with what they lead to; numbers without gaps, in the order of the elements.
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        for (const auto& [here, there] :
             {std::pair(line.from.element, line.to.element), std::pair(line.to.element, line.from.element)})
            if (model.elements[static_cast<std::size_t>(here)].form == Form::pennant)
                bands[static_cast<std::size_t>(here)] = bands[static_cast<std::size_t>(there)];
    }
    std::map<int, int> number;
    for (int& band : bands)
        if (band >= 0) band = number.try_emplace(band, static_cast<int>(number.size())).first->second;
    return number.size() > 1 ? bands : Bands{};
}

}  // namespace loomward::sheet
