// Cuts strips until they fit a page.
#include <algorithm>
#include <cmath>
#include <map>

#include "render/sheet/layout/sheet_route.hpp"
#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {
namespace {

constexpr std::size_t too_many_lines = 200;  // to be laid out only to be cut
constexpr std::size_t few_lines = 150;       // to try several cuts and see
constexpr int deepest = 24;
constexpr double far_too_large = 1.6;
constexpr double cost_of_weight = 8;
constexpr int weight_of_no_cut = 40;  // of a piece that is too large and cannot be cut

PlacedStrip placed(const SheetModel& model, const Strip& strip, const PlaceOptions& options) {
    PlacedStrip out;
    out.layout = place(model, strip, options);
    out.width = out.layout.width;
    out.height = out.layout.height();
    out.caption = strip.caption;
    return out;
}

// All that a rough layout of a strip depends on, besides what no cut changes. With the numbers of its
// pennants and stubs, which its nodes and lines refer to, or without.
std::vector<int> key_of(const SheetModel& model, const Strip& strip, bool numbers) {
    std::vector<int> key = {static_cast<int>(model.widest_square.size()),
                            static_cast<int>(strip.elements.size())};
    const auto add_element = [&](int index) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        const bool pennant = element.form == Form::pennant;
        key.insert(key.end(), {pennant && !numbers ? -1 : index, element.goes_on_at, element.of_stub});
    };
    for (const int index : strip.elements) add_element(index);
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        key.insert(key.end(), {line.stub && !numbers ? -1 : index, line.from.pin, line.to.pin,
                               line.left_is_from, line.stub});
        add_element(line.from.element);
        add_element(line.to.element);
        // A stub may have the number of another one of another cut.
        if (line.stub) key.insert(key.end(), line.name.begin(), line.name.end());
    }
    return key;
}

const PlacedStrip& rough(const SheetModel& model, const Strip& strip, RoughLayouts& known) {
    const auto [entry, fresh] = known.layouts.try_emplace(key_of(model, strip, true));
    if (fresh) entry->second = placed(model, strip, roughly);
    entry->second.caption = strip.caption;
    return entry->second;
}

}  // namespace

RoughFigures measured_roughly(const SheetModel& model, const Strip& strip, RoughLayouts& known) {
    const auto [entry, fresh] = known.figures.try_emplace(key_of(model, strip, false));
    if (fresh) {
        PlacedStrip out = rough(model, strip, known);
        out.layout.model = &model;
        const Tally counted = tally(out.layout);
        entry->second = {out.width, out.height, counted.crossings, counted.on_top};
    }
    return entry->second;
}

namespace {

// As which many a length has to be folded.
int pieces(double length, double room) {
    return std::max(2, static_cast<int>(std::ceil((length + 10) / room)));
}

// About what it costs to cut a piece that is still too large.
int weight_of_next_cut(const SheetModel& model, const Strip& strip, const PlacedStrip& whole,
                       const Room& room) {
    const Bands bands = whole.width > room.width
                            ? bands_by_columns(model, strip, whole.layout, pieces(whole.width, room.width))
                            : bands_by_rows(model, strip, whole.layout, pieces(whole.height, room.height));
    return bands.empty() ? weight_of_no_cut : weight_of_bands(model, strip, bands);
}

// How good a cut turned out: what it parts, how much paper its pieces need, how their lines cross, and which
// of them are still too large.
double price(const SheetModel& model, const Strip& strip, const Bands& bands, const Room& room,
             RoughLayouts& known) {
    SheetModel trial = model;
    double sum = cost_of_weight * weight_of_bands(model, strip, bands);
    for (const Strip& piece : cut_strip(trial, strip, bands)) {
        const RoughFigures out = measured_roughly(trial, piece, known);
        const double wide = std::min(1.0, std::max(0.35, out.width / room.width));
        sum += (out.height + caption_height + shelf_gap) * wide;
        sum += 12.0 * out.crossings + 100.0 * out.on_top;
        if (!room.holds(out))
            sum += 60 + cost_of_weight * weight_of_next_cut(trial, piece, rough(trial, piece, known), room);
    }
    return sum;
}

// Of many ways to take bays out, only those that part little are worth a look.
void keep_cheapest(const SheetModel& model, const Strip& strip, std::vector<Bands>& choices,
                   std::size_t count) {
    std::stable_sort(choices.begin(), choices.end(), [&](const Bands& a, const Bands& b) {
        return weight_of_bands(model, strip, a) < weight_of_bands(model, strip, b);
    });
    if (choices.size() > count) choices.resize(count);
}

// A strip far too large would be laid out again after every little that leaves it.
bool takes_little(const Strip& strip, const Bands& bands) {
    std::map<int, std::size_t> members;
    std::size_t most = 0;
    for (const int index : strip.elements)
        most = std::max(most, ++members[bands[static_cast<std::size_t>(index)]]);
    return most * 8 > strip.elements.size() * 7;
}

Bands best_cut(const SheetModel& model, const Strip& strip, const PlacedStrip& whole, const Room& room,
               RoughLayouts& known, bool whole_harness) {
    std::vector<Bands> choices;
    const bool few = strip.lines.size() <= few_lines;
    if (few) {
        choices = bands_by_bays(model, strip);
        keep_cheapest(model, strip, choices, 6);
        if (whole_harness)
            for (Bands& bands : bands_by_area(model, strip)) choices.push_back(std::move(bands));
    }
    const int across = pieces(whole.width, room.width), down = pieces(whole.height, room.height);
    if (few || whole.width > room.width)
        choices.push_back(bands_by_columns(model, strip, whole.layout, across));
    if (choices.empty() || (few && whole.height > room.height))
        choices.push_back(bands_by_rows(model, strip, whole.layout, down));
    std::erase_if(choices, [](const Bands& bands) { return bands.empty(); });
    if (whole.width > far_too_large * room.width || whole.height > far_too_large * room.height) {
        std::vector<Bands> worth = choices;
        std::erase_if(worth, [&](const Bands& bands) { return takes_little(strip, bands); });
        if (!worth.empty()) choices = std::move(worth);
    }
    // The lightest first: what weighs more than the best costs altogether need not be laid out.
    keep_cheapest(model, strip, choices, choices.size());
    Bands best;
    double lowest = 0;
    for (Bands& bands : choices) {
        if (!best.empty() && cost_of_weight * weight_of_bands(model, strip, bands) >= lowest) break;
        const double now = choices.size() == 1 ? 0 : price(model, strip, bands, room, known);
        if (best.empty() || now < lowest) best = std::move(bands), lowest = now;
    }
    return best;
}

class Cutter {
  public:
    Cutter(SheetModel& model, const Room& room, RoughLayouts& known)
        : model_(model), room_(room), known_(known) {}

    void settle(const Strip& strip, int depth) {
        const bool huge = strip.lines.size() > too_many_lines;
        PlacedStrip whole;
        if (!huge) whole = laid(strip);
        if ((!huge && room_.holds(whole)) || depth > deepest) {
            if (huge) whole = laid(strip);
            return keep(strip, std::move(whole));
        }
        Bands bands = huge ? bands_by_closeness(model_, strip, room_)
                           : best_cut(model_, strip, whole, room_, known_, depth < 2);
        if (bands.empty()) {
            if (huge) whole = laid(strip);
            return keep(strip, std::move(whole));
        }
        // A cut line lies as it did when it was whole.
        for (const Run& run : whole.layout.runs)
            model_.lines[static_cast<std::size_t>(run.line)].left_is_from = run.left_is_from;
        const std::size_t lines = model_.lines.size();
        const std::vector<Strip> pieces = cut_strip(model_, strip, bands);
        for (std::size_t i = lines; i < model_.lines.size(); ++i)
            cut_weight_ += weight_of_cut(model_.lines[i]);
        for (const Strip& piece : pieces)
            if (!piece.elements.empty()) settle(piece, depth + 1);
    }

    std::vector<Strip> strips;
    std::vector<PlacedStrip> placed_strips;
    int cut_weight() const { return cut_weight_; }

  private:
    PlacedStrip laid(const Strip& strip) {
        PlacedStrip out = rough(model_, strip, known_);
        out.layout.model = &model_;
        return out;
    }
    void keep(const Strip& strip, PlacedStrip out) {
        out.strip = static_cast<int>(strips.size());
        strips.push_back(strip);
        placed_strips.push_back(std::move(out));
    }
    SheetModel& model_;
    Room room_;
    RoughLayouts& known_;
    int cut_weight_ = 0;
};

}  // namespace

PlacedStrip lay_strip(const SheetModel& model, std::size_t strip, const PlaceOptions& options) {
    PlacedStrip out = placed(model, model.strips[strip], options);
    out.strip = static_cast<int>(strip);
    return out;
}

CutStrips cut_to_fit(const SheetModel& model, const Room& room, RoughLayouts& known) {
    CutStrips out;
    out.model = std::make_shared<SheetModel>(model);
    Cutter cutter(*out.model, room, known);
    for (const Strip& strip : model.strips) cutter.settle(strip, 0);
    out.model->strips = std::move(cutter.strips);
    out.strips = std::move(cutter.placed_strips);
    out.cut_weight = cutter.cut_weight();
    return out;
}

}  // namespace loomward::sheet
