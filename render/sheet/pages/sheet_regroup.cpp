#include "render/sheet/pages/sheet_regroup.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "render/sheet/layout/sheet_route.hpp"

namespace loomward::sheet {
namespace {

constexpr int most_tries = 60;              // layouts of all strips that a move touches
constexpr std::size_t worth_a_try = 80;     // lines of a strip
constexpr double weight_of_a_crossing = 6;  // as a cut

struct Move {
    std::vector<int> roots;
    int to = 0, gain = 0;
};

class Regrouping {
  public:
    Regrouping(const SheetModel& model, const Strip& strip, Bands bands, const Room& room,
               RoughLayouts& known)
        : model_(model), strip_(strip), bands_(std::move(bands)), room_(room), known_(known) {
        for (const auto& [band, piece] : laid(bands_)) {
            crossings_[band] = piece.crossings;
            on_top_ = std::max(on_top_, piece.on_top);
        }
    }

    Bands settled() {
        for (int tries = 0; tries < most_tries;) {
            const Bands before = bands_;
            for (const Move& move : moves())
                if (!refused_.count({move.roots, move.to}) && ++tries <= most_tries && take(move)) break;
            if (before == bands_) break;
        }
        return bands_;
    }

  private:
    int root(int element) const {
        const int on = carrier_of(model_.elements[static_cast<std::size_t>(element)]);
        return on >= 0 ? on : element;
    }
    int band(int element) const { return bands_[static_cast<std::size_t>(root(element))]; }
    const Line& line(int index) const { return model_.lines[static_cast<std::size_t>(index)]; }

    // What hangs together within its band by lines of at least that area.
    std::vector<std::vector<int>> groups(double least_mm2) const {
        std::map<int, int> head;
        for (const int index : strip_.elements) head[root(index)] = root(index);
        const auto find = [&](int i) {
            while (head[i] != i) i = head[i] = head[head[i]];
            return i;
        };
        for (const int index : strip_.lines) {
            const Line& each = line(index);
            if (each.area_mm2 < least_mm2 || band(each.from.element) != band(each.to.element)) continue;
            const int a = find(root(each.from.element)), b = find(root(each.to.element));
            head[std::max(a, b)] = std::min(a, b);
        }
        std::map<int, std::vector<int>> members;
        for (const auto& [index, unused] : head) members[find(index)].push_back(index);
        std::vector<std::vector<int>> out;
        out.reserve(members.size());
        for (auto& [first, group] : members) out.push_back(std::move(group));
        return out;
    }

    // A group of one band to each band it has lines to, those that part less than now; the best first.
    std::vector<Move> moves() const {
        std::set<std::vector<int>> units;
        for (const double least_mm2 : {1e9, heavy_mm2, 4.0, 0.0})
            for (std::vector<int>& group : groups(least_mm2)) units.insert(std::move(group));
        std::vector<Move> found;
        for (const std::vector<int>& unit : units) {
            const std::set<int> inside(unit.begin(), unit.end());
            const int here = band(unit.front());
            std::map<int, int> pull;
            for (const int index : strip_.lines) {
                const Line& each = line(index);
                const bool from = inside.count(root(each.from.element)) > 0,
                           to = inside.count(root(each.to.element)) > 0;
                if (from != to) pull[band(from ? each.to.element : each.from.element)] += weight_of_cut(each);
            }
            for (const auto& [there, weight] : pull)
                if (there != here && weight > pull[here]) found.push_back({unit, there, weight - pull[here]});
        }
        std::stable_sort(found.begin(), found.end(),
                         [](const Move& a, const Move& b) { return a.gain > b.gain; });
        return found;
    }

    std::map<int, RoughFigures> laid(const Bands& bands) const {
        SheetModel trial = model_;
        std::map<int, RoughFigures> out;
        for (const Strip& piece : cut_strip(trial, strip_, bands))
            if (!piece.elements.empty())
                out[bands[static_cast<std::size_t>(piece.elements.front())]] =
                    measured_roughly(trial, piece, known_);
        return out;
    }

    bool take(const Move& move) {
        Bands next = bands_;
        const std::set<int> inside(move.roots.begin(), move.roots.end());
        for (const int index : strip_.elements)
            if (inside.count(root(index))) next[static_cast<std::size_t>(index)] = move.to;
        std::map<int, int> crossings;
        bool holds = true;
        int more = 0;
        for (const auto& [band, piece] : laid(next)) {
            holds = holds && room_.holds(piece) && piece.on_top <= on_top_;
            crossings[band] = piece.crossings;
            more += crossings[band];
        }
        for (const auto& [band, count] : crossings_) more -= count;
        if (!holds || move.gain <= weight_of_a_crossing * more) {
            refused_.insert({move.roots, move.to});
            return false;
        }
        bands_ = std::move(next);
        crossings_ = std::move(crossings);
        refused_.clear();
        return true;
    }

    const SheetModel& model_;
    const Strip& strip_;
    Bands bands_;
    Room room_;
    RoughLayouts& known_;
    int on_top_ = 0;  // of the worst strip; no move may make one worse
    std::map<int, int> crossings_;
    std::set<std::pair<std::vector<int>, int>> refused_;
};

}  // namespace

std::optional<CutStrips> regrouped(const SheetModel& model, const CutStrips& cut, const Room& room,
                                   RoughLayouts& known) {
    const std::size_t count = model.elements.size(), lines = model.lines.size();
    if (std::none_of(cut.model->lines.begin(), cut.model->lines.end(),
                     [](const Line& line) { return line.stub && line.area_mm2 >= heavy_mm2; }))
        return std::nullopt;
    CutStrips out;
    out.model = std::make_shared<SheetModel>(model);
    for (std::size_t i = 0; i < lines; ++i)
        out.model->lines[i].left_is_from = cut.model->lines[i].left_is_from;
    Bands piece_of(count, -1);
    for (std::size_t i = 0; i < cut.model->strips.size(); ++i)
        for (const int index : cut.model->strips[i].elements)
            if (static_cast<std::size_t>(index) < count)
                piece_of[static_cast<std::size_t>(index)] = static_cast<int>(i);
    const SheetModel turned = *out.model;
    std::vector<Strip> strips;
    bool changed = false;
    for (const Strip& strip : model.strips) {
        Bands bands(count, -1);
        for (const int index : strip.elements)
            bands[static_cast<std::size_t>(index)] = piece_of[static_cast<std::size_t>(index)];
        bands = finished_bands(turned, strip, std::move(bands));
        if (bands.empty()) {
            strips.push_back(strip);
            continue;
        }
        if (strip.lines.size() <= worth_a_try) {
            Bands better = Regrouping(turned, strip, bands, room, known).settled();
            changed = changed || better != bands;
            bands = finished_bands(turned, strip, std::move(better));
        }
        if (bands.empty()) {
            strips.push_back(strip);
            continue;
        }
        for (Strip& piece : cut_strip(*out.model, strip, bands))
            if (!piece.elements.empty()) strips.push_back(std::move(piece));
    }
    if (!changed) return std::nullopt;
    for (std::size_t i = lines; i < out.model->lines.size(); ++i)
        out.cut_weight += weight_of_cut(out.model->lines[i]);
    out.model->strips = std::move(strips);
    for (std::size_t i = 0; i < out.model->strips.size(); ++i) {
        out.strips.push_back(lay_strip(*out.model, i, roughly));
        if (!room.holds(out.strips.back())) return std::nullopt;
    }
    return out;
}

}  // namespace loomward::sheet
