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

// "K1", "K1, K2", "E1 to E4" would need an order: "E1, E2, E3 and 2 more".
std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < std::min<std::size_t>(names.size(), 3); ++i)
        text += (i ? ", " : "") + names[i];
    if (names.size() > 3) text += " and " + std::to_string(names.size() - 3) + " more";
    return text;
}

// What is there, the two most telling kinds of it.
std::string caption_of_piece(const SheetModel& model, const Strip& piece) {
    std::map<std::string, std::size_t> bays;
    std::size_t count = 0;
    enum { source, drive, converter, supply, contactor, lamp, load, switch_, kinds };
    std::vector<std::string> names[kinds];
    const auto kind_of = [](const Element& element) {
        switch (element.symbol) {
            case Symbol::pack:
                return source;
            case Symbol::controller:
                return drive;
            case Symbol::converter:
                return converter;
            case Symbol::charger:
            case Symbol::inverter:
                return supply;
            case Symbol::contactor:
            case Symbol::relay:
                return contactor;
            case Symbol::lamp:
                return lamp;
            case Symbol::load:
            case Symbol::motor_two:
                return load;
            case Symbol::switch_:
                return switch_;
            default:
                return kinds;
        }
    };
    for (const int index : piece.elements) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        if (element.form == Form::pennant) continue;
        ++count;
        if (!element.bay.empty()) ++bays[element.bay];
        if (const auto kind = kind_of(element); kind != kinds) names[kind].push_back(element.name);
    }
    // Only the sources that stand here: another piece of it may have the others.
    if (!names[source].empty()) return "Fed by " + listed(names[source]);
    for (const auto& [name, members] : bays)
        if (members * 3 > count * 2) return name;
    static const char* const words[] = {"",          "Drive", "Converter", "Supply",
                                        "Switching", "Lamps", "Loads",     "Switches"};
    std::string caption;
    int said = 0;
    for (int kind = drive; kind < kinds && said < 2; ++kind) {
        if (names[kind].empty()) continue;
        std::string word = words[kind];
        if (said++ > 0) word[0] = static_cast<char>(word[0] + ('a' - 'A'));
        caption += (said > 1 ? "; " : "") + word + ' ' + listed(names[kind]);
    }
    if (!caption.empty()) return caption;
    std::vector<std::string> any;
    for (const int index : piece.elements)
        if (const Element& element = model.elements[static_cast<std::size_t>(index)];
            element.form != Form::pennant)
            any.push_back(element.name);
    return "Around " + listed(any);
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
    for (Strip& piece : bands) piece.caption = caption_of_piece(model, piece);
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
        rest.figure.clear();
        rest.ring.clear();
        End& begin = rest.left_is_from ? rest.from : rest.to;
        begin = {add_pennant(model, near, static_cast<int>(right)), 0};
        model.elements[static_cast<std::size_t>(begin.element)].of_stub = true;
        bands[right].elements.push_back(begin.element);
        bands[right].lines.push_back(static_cast<int>(model.lines.size()));
        const int stub = static_cast<int>(model.lines.size());
        model.elements[static_cast<std::size_t>(begin.element)].goes_on_as = index;
        model.elements[static_cast<std::size_t>(line.left_is_from ? line.to.element : line.from.element)]
            .goes_on_as = stub;
        model.lines.push_back(std::move(rest));
    }
    // What holds a source is read first.
    std::stable_partition(bands.begin(), bands.end(), [&](const Strip& piece) {
        return std::any_of(piece.elements.begin(), piece.elements.end(), [&](int index) {
            return model.elements[static_cast<std::size_t>(index)].symbol == Symbol::pack;
        });
    });
    return bands;
}

}  // namespace loomward::sheet
