// A strip too long for the paper, parted into bands.
#include <algorithm>
#include <map>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

std::string end_name(const SheetModel& model, const End& end) {
    const Element& element = model.elements[static_cast<std::size_t>(end.element)];
    const bool one_point =
        element.form == Form::point || element.form == Form::bar || element.form == Form::contact;
    const std::string& pin = element.pins[static_cast<std::size_t>(end.pin)].name;
    return one_point || pin.empty() ? element.name : element.name + "." + pin;
}

int add_pennant(SheetModel& model, const End& beyond, int strip) {
    Element pennant;
    pennant.part = model.elements[static_cast<std::size_t>(beyond.element)].part;
    pennant.form = Form::pennant;
    pennant.name = end_name(model, beyond);
    pennant.pins.push_back({});
    pennant.goes_on_at = beyond.element;
    pennant.strip = strip;
    model.elements.push_back(std::move(pennant));
    return static_cast<int>(model.elements.size()) - 1;
}

// A piece that is one bay bears its name.
std::string caption_of_piece(const SheetModel& model, const Strip& whole, const Strip& piece) {
    std::map<std::string, std::size_t> bays;
    std::size_t count = 0;
    for (const int index : piece.elements) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        if (element.form == Form::pennant) continue;
        ++count;
        if (!element.bay.empty()) ++bays[element.bay];
    }
    for (const auto& [name, members] : bays)
        if (members * 3 > count * 2) return whole.caption + ": " + name;
    const bool said = whole.caption.ends_with(", continued") || whole.caption.find(": ") != std::string::npos;
    return said ? whole.caption : whole.caption + ", continued";
}

}  // namespace

std::vector<Strip> cut_strip(SheetModel& model, const Strip& strip, const std::vector<int>& band_of) {
    std::vector<Strip> bands;
    const auto band = [&](const End& end) {
        return static_cast<std::size_t>(band_of[static_cast<std::size_t>(end.element)]);
    };
    for (const int element : strip.elements) {
        const auto index = static_cast<std::size_t>(band_of[static_cast<std::size_t>(element)]);
        if (bands.size() <= index) bands.resize(index + 1);
        bands[index].elements.push_back(element);
    }
    for (std::size_t i = 0; i < bands.size(); ++i)
        bands[i].caption = i == 0 ? strip.caption : caption_of_piece(model, strip, bands[i]);
    for (const int index : strip.lines) {
        Line& line = model.lines[static_cast<std::size_t>(index)];
        const std::size_t left = band(line.left()), right = band(line.right());
        bands[left].lines.push_back(index);
        if (left == right) continue;
        Line rest = line;
        End& cut = line.left_is_from ? line.to : line.from;
        const End far = cut, near = line.left();
        cut = {add_pennant(model, far, static_cast<int>(left)), 0};
        bands[left].elements.push_back(cut.element);
        rest.wire = {};
        rest.stub = true;
        rest.flags.clear();
        rest.loading = -1;
        rest.degC.clear();
        rest.ring.clear();
        End& begin = rest.left_is_from ? rest.from : rest.to;
        begin = {add_pennant(model, near, static_cast<int>(right)), 0};
        model.elements[static_cast<std::size_t>(begin.element)].of_stub = true;
        bands[right].elements.push_back(begin.element);
        bands[right].lines.push_back(static_cast<int>(model.lines.size()));
        model.lines.push_back(std::move(rest));
    }
    return bands;
}

}  // namespace loomward::sheet
