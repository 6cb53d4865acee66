#include "render/html/html_drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace loomward {
namespace {

using SvgAttribute = std::pair<std::string_view, std::string_view>;  // the value as it stands, escaped

// One tag of the program's own SVG: every attribute in double quotes, no comments, no declarations.
struct SvgTag {
    std::string_view name;  // "/g" of an end
    std::vector<SvgAttribute> attributes;
    bool closed = false;
    std::size_t after = 0;
};

SvgTag tag_at(std::string_view svg, std::size_t at) {
    SvgTag tag;
    std::size_t end = svg.find_first_of(" />", at + 2);
    tag.name = svg.substr(at + 1, end - at - 1);
    while (svg[end] == ' ') {
        const std::size_t equals = svg.find('=', end), close = svg.find('"', equals + 2);
        tag.attributes.emplace_back(svg.substr(end + 1, equals - end - 1),
                                    svg.substr(equals + 2, close - equals - 2));
        end = close + 1;
    }
    tag.closed = svg[end] == '/';
    tag.after = svg.find('>', end) + 1;
    return tag;
}

// Attributes that style sheets know as properties; a size of lettering is in the drawing's own unit.
constexpr std::array<std::string_view, 9> properties = {
    "fill",      "stroke",      "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin",
    "font-size", "font-weight", "text-anchor"};

bool is_property(std::string_view name) {
    return std::find(properties.begin(), properties.end(), name) != properties.end();
}

std::string declaration(const SvgAttribute& attribute) {
    const auto& [name, value] = attribute;
    return fmt::format("{}:{}{}", name, value, name == "font-size" ? "px" : "");
}

std::string joined(const std::vector<std::string>& declarations) {
    return fmt::format("{}", fmt::join(declarations, ";"));
}

// Courses that are drawn more than once in a drawing, by the data of their paths.
std::map<std::string_view, std::size_t> repeated_courses(std::string_view svg) {
    constexpr std::size_t worth_it = 40;  // bytes, below which a reference is as long as the course
    std::map<std::string_view, std::size_t> counts;
    for (std::size_t at = svg.find('<'); at != std::string_view::npos; at = svg.find('<', at)) {
        const SvgTag tag = tag_at(svg, at);
        at = tag.after;
        if (tag.name != "path") continue;
        for (const auto& [name, value] : tag.attributes)
            if (name == "d" && value.size() > worth_it) ++counts[value];
    }
    std::erase_if(counts, [](const auto& each) { return each.second < 2; });
    return counts;
}

// What an attribute becomes in a page that holds several drawings.
std::string in_page(const SvgAttribute& attribute, const std::string& prefix) {
    const auto& [name, value] = attribute;
    if (name == "role" && value == "img") return "group";  // with links in it it is no picture
    if (name == "id") return prefix + std::string(value);
    if (name == "aria-labelledby") return prefix + "sheet-title " + prefix + "sheet-desc";
    if (name != "href") return std::string(value);
    const std::size_t hash = value.find('#');
    return "#" + (hash == 0 ? prefix : std::string(value.substr(0, hash)) + "-") +
           std::string(value.substr(hash + 1));
}

}  // namespace

std::string PageDrawings::class_of(const std::vector<SvgAttribute>& look) {
    std::vector<std::string> light, dark;
    for (const SvgAttribute& attribute : look) {
        light.push_back(declaration(attribute));
        const bool colour = attribute.first == "fill" || attribute.first == "stroke";
        const std::string_view other =
            colour && darkened_ ? darkened_(attribute.first, attribute.second) : std::string_view();
        if (!other.empty()) dark.push_back(declaration({attribute.first, other}));
    }
    const auto [found, is_new] = classes_.emplace(joined(light), light_.size());
    if (is_new) {
        light_.push_back(joined(light));
        dark_.push_back(joined(dark));
    }
    return fmt::format("q{}", found->second);
}

Html PageDrawings::add(const std::string& svg, const std::string& prefix) {
    const std::map<std::string_view, std::size_t> repeated = repeated_courses(svg);
    std::map<std::string_view, std::size_t> said;  // number of each course that stands already
    std::string out;
    out.reserve(svg.size());
    for (std::size_t at = 0; at < svg.size();) {
        if (svg[at] != '<') {
            const std::size_t next = std::min(svg.find('<', at), svg.size());
            const std::string_view between = std::string_view(svg).substr(at, next - at);
            if (between != "\n") out += between;
            at = next;
            continue;
        }
        const SvgTag tag = tag_at(svg, at);
        at = tag.after;
        std::vector<SvgAttribute> look;
        std::string rest, course;
        for (const SvgAttribute& attribute : tag.attributes)
            if (is_property(attribute.first))
                look.push_back(attribute);
            else if (attribute.first == "d" && repeated.contains(attribute.second)) {
                const auto [number, is_new] = said.emplace(attribute.second, said.size());
                course = fmt::format("{}k{}", prefix, number->second);
                if (is_new)
                    out += fmt::format("<defs><path id=\"{}\" d=\"{}\"/></defs>", course, attribute.second);
            } else {
                rest += fmt::format(" {}=\"{}\"", attribute.first, in_page(attribute, prefix));
            }
        out += '<';
        out += course.empty() ? tag.name : "use";
        if (!course.empty()) out += " href=\"#" + course + '"';
        if (!look.empty()) out += " class=\"" + class_of(look) + '"';
        out += rest + (tag.closed ? "/>" : ">");
    }
    return Html::trusted(std::move(out));
}

std::string PageDrawings::style() const {
    std::string light, dark;
    for (std::size_t i = 0; i < light_.size(); ++i) {
        light += fmt::format(".q{}{{{}}}\n", i, light_[i]);
        if (!dark_[i].empty()) dark += fmt::format(".q{}{{{}}}\n", i, dark_[i]);
    }
    return dark.empty() ? light : light + "@media screen and (prefers-color-scheme:dark){\n" + dark + "}\n";
}

}  // namespace loomward
