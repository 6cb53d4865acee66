// One minus sign for the whole sheet: at terminals and before figures.
#include <cctype>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

constexpr std::string_view minus = "\u2212";

bool is_figure(char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0;
}

// "B1.-", "J1.-": the end of a word that names a terminal.
bool ends_terminal(const std::string& text, std::size_t at) {
    const auto ends = [](char c) { return c == ' ' || c == ',' || c == ';' || c == ':' || c == ')'; };
    if (at + 1 < text.size() && !ends(text[at + 1])) return false;
    std::size_t begin = at;
    while (begin > 0 && text[begin - 1] != ' ') --begin;
    return text.substr(begin, at - begin).find('.') != std::string::npos;
}

// "-10 degC", "(-5..40": not "48-60", which is a range or a name.
bool begins_figure(const std::string& text, std::size_t at) {
    if (at + 1 >= text.size() || !is_figure(text[at + 1])) return false;
    return at == 0 || text[at - 1] == ' ' || text[at - 1] == '(' || text[at - 1] == '.';
}

void set_minus(std::string& text) {
    for (std::size_t at = text.find('-'); at != std::string::npos; at = text.find('-', at + 1))
        if (ends_terminal(text, at) || begins_figure(text, at)) text.replace(at, 1, minus);
}

}  // namespace

void set_minus_signs(SheetModel& model) {
    for (Element& element : model.elements) {
        for (std::string* text : {&element.name, &element.rating, &element.label, &element.heading})
            set_minus(*text);
        for (Pin& pin : element.pins)
            if (!pin.name.empty() && pin.name.back() == '-') pin.name.replace(pin.name.size() - 1, 1, minus);
    }
    for (Line& line : model.lines)
        for (std::string* text : {&line.text, &line.figure}) set_minus(*text);
    for (ListedFinding& finding : model.findings) set_minus(finding.text);
    set_minus(model.surroundings);
}

}  // namespace loomward::sheet
