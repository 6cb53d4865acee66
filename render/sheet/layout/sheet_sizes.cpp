// How large the things of a sheet are.
#include <algorithm>

#include "render/sheet/layout/sheet_place.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {

std::string tag_of(const Line& line) {
    if (line.unguarded) return line.short_lead ? "short lead" : "no guard";
    return line.guard;
}

double tag_width(const Line& line) {
    const std::string tag = tag_of(line);
    return tag.empty() ? 0 : text_width(tag, small_size, true) + 1.5;
}

double ring_width(const Line& line) {
    return line.ring.empty() ? 0 : std::max(text_width(line.ring, small_size, true), 2.2) + 1.6;
}

double end_radius(const Line& line) {
    return std::max(0.6, 0.35 * wire_width(line.area_mm2) + 0.2);
}

double clearance(const Line& line) {
    return line.unguarded ? 1.75 : 0.6;
}

double pennant_width(const std::string& name, const std::string& square) {
    return text_width(name + " /" + square, rating_size, true) + 4.6;
}

double flag_advance(int number) {
    return number < 100 ? flag_width : flag_width + 0.5 + 1.2 * (number >= 1000);
}

double flags_width(const std::vector<Flag>& flags) {
    double width = 0;
    for (std::size_t i = 0; i < std::min(flags.size(), flags_shown); ++i)
        width += flag_advance(flags[i].number);
    if (flags.size() <= flags_shown) return width;
    const std::string more = "+" + std::to_string(flags.size() - flags_shown);
    return width + text_width(more, small_size, true) + 1;
}

LabelSize label_size(const Line& line, bool arrow) {
    const double half = wire_width(line.area_mm2) / 2;
    if (!line.is_labelled()) return {2, half + 0.9, half + 0.9};
    if (line.stub)
        return {text_width(line.name, label_size_mm, true) + 1 + (arrow ? 3.2 : 0),
                half + clearance(line) + 2.55, half + 1.2};
    const double tag = tag_width(line);
    double above = flags_room(line) + text_width(line.name, label_size_mm, true);
    if (tag > 0) above += 1.1 + tag;
    if (line.loading >= 0) above += 1.0 + 5.4;
    if (!line.figure.empty()) above += 1.0 + text_width(line.figure, small_size, true);
    const double below = text_width(line.text, label_size_mm * 0.93) + 0.6;
    const double width = std::max(above, below) + (arrow ? 3.2 : 0) + ring_width(line);
    return {width, half + clearance(line) + 2.55, half + clearance(line) + 1.95};
}

void add_rows(std::vector<TextRow>& rows, std::string_view text, bool is_label, double limit) {
    const double size = is_label ? small_size : rating_size;
    for (std::string& row : wrapped(text, size, limit, 2)) rows.push_back({std::move(row), size, is_label});
}

double widest(const std::vector<TextRow>& rows) {
    double width = 0;
    for (const TextRow& row : rows) width = std::max(width, text_width(row.text, row.size));
    return width;
}

BodySize body_size(Symbol symbol) {
    const auto modules = [](double length, double up, double down) {
        return BodySize{length * module_mm, up * module_mm, down * module_mm};
    };
    switch (symbol) {
        case Symbol::fuse:
            return modules(6, 0.75, 0.75);
        case Symbol::resistor:
        case Symbol::shunt:
            return modules(6.2, 0.75, 0.75);
        case Symbol::switch_:
            return modules(5, 2.0, 0.4);
        case Symbol::breaker:
            return modules(5, 1.4, 0.5);
        case Symbol::contactor:
        case Symbol::relay:
            return modules(6.4, 1.4, 0.5);
        case Symbol::lamp:
            return modules(4.6, 1.1, 1.1);
        case Symbol::motor_two:
            return modules(5.2, 1.35, 1.35);
        case Symbol::diode:
            return modules(4.5, 1.1, 1.1);
        case Symbol::capacitor:
            return modules(3.6, 1.3, 1.3);
        case Symbol::contact:
            return modules(5.6, 0.95, 0.95);
        default:
            return modules(6, 0.85, 0.85);
    }
}

}  // namespace loomward::sheet
