#include "render/html/html_parts.hpp"

#include <fmt/format.h>

#include <cmath>

#include "render/sheet/model/sheet_style.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

bool of_a_name(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0x80 || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           c == '_';
}
bool inside_a_name(char c) {
    return of_a_name(c) || c == '.' || c == '-' || c == '+';
}

Html cell(const HtmlColumn& column, const Html& content) {
    return tag("td", {{column.figure ? "class" : "", "n"}}, content);
}

Html row_html(const HtmlTable& table, const HtmlRow& row) {
    Html cells;
    for (std::size_t i = 0; i < row.cells.size() && i < table.columns.size(); ++i)
        cells += i == 0 ? tag("th", {{"scope", "row"}}, row.cells[0]) : cell(table.columns[i], row.cells[i]);
    return tag("tr",
               {{row.id.empty() ? "" : "id", row.id}, {row.css_class.empty() ? "" : "class", row.css_class}},
               cells);
}

}  // namespace

Html table_html(const HtmlTable& table) {
    if (table.rows.empty()) return tag("p", {{"class", "meta"}}, "None in this harness.");
    Html heads, rows;
    for (const HtmlColumn& column : table.columns)
        heads += tag("th", {{"scope", "col"}, {column.figure ? "class" : "", "n"}}, column.head);
    for (const HtmlRow& row : table.rows) {
        rows += row_html(table, row);
        rows += Html::trusted("\n");
    }
    Html inside;
    if (!table.caption.empty()) inside += tag("caption", table.caption);
    inside += tag("thead", tag("tr", heads)) + tag("tbody", rows);
    const Html whole = tag("table", {{table.id.empty() ? "" : "id", table.id}}, inside);
    return tag(
        "div",
        {{"class", "tw"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", "table: " + table.label}},
        whole);
}

// ---- figures
// -----------------------------------------------------------------------------------------------

Html not_known_html() {
    return tag("small", "not known");
}

Html figure_html(double value, Dimension dimension) {
    if (!std::isfinite(value)) return not_known_html();
    return tag("data", {{"value", fmt::format("{}", value)}}, on_paper(to_text(value, dimension)));
}

Html range_html(double lo, double hi, Dimension dimension) {
    if (to_text(lo, dimension) == to_text(hi, dimension)) return figure_html(hi, dimension);
    return figure_html(lo, dimension) + " to " + figure_html(hi, dimension);
}

// ---- names
// -------------------------------------------------------------------------------------------------

const std::string* HtmlNames::anchor_of(std::string_view name) const {
    for (;;) {
        if (const auto found = anchors_.find(name); found != anchors_.end()) return &found->second;
        const std::size_t dot = name.rfind('.');  // "T1.J1.2" stands with T1.J1
        if (dot == std::string_view::npos || dot == 0) return nullptr;
        name = name.substr(0, dot);
    }
}

Html HtmlNames::link(std::string_view name) const {
    const std::string* anchor = anchor_of(name);
    if (!anchor) return Html(name);
    return tag("a", {{"href", "#" + *anchor}}, name);
}

Html HtmlNames::linked(std::string_view text) const {
    Html out;
    std::string between;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && inside_a_name(text[end])) ++end;
        // What ends a sentence is no part of a name, unless it is: "B1.+".
        while (end > at && !anchors_.contains(text.substr(at, end - at)) && !of_a_name(text[end - 1]) &&
               !(text[end - 1] != '.' && anchor_of(text.substr(at, end - at))))
            --end;
        if (end == at) {
            between += text[at++];
            continue;
        }
        const std::string_view word = text.substr(at, end - at);
        if (anchor_of(word)) {
            out += Html(on_paper(between)) + link(word);
            between.clear();
        } else {
            between += word;
        }
        at = end;
    }
    return out + Html(on_paper(between));
}

Html HtmlNames::list(const std::vector<std::string>& names, std::size_t most) const {
    Html out;
    for (std::size_t i = 0; i < names.size() && i < most; ++i) {
        if (i > 0) out += " ";
        out += link(names[i]);
    }
    if (names.size() > most) out += fmt::format(" and {} more", names.size() - most);
    return out;
}

// ---- flags and boxes
// ---------------------------------------------------------------------------------------

std::string flag_anchor(std::size_t number) {
    return fmt::format("f-{}", number);
}

Html flag_html(std::size_t number, const Finding& finding) {
    const std::string severity(severity_word(finding.severity));
    const std::string text = fmt::format("{}{}", number, finding.possible ? "?" : "");
    return tag("a",
               {{"class", "flag " + (finding.accepted ? std::string("accepted") : severity)},
                {"href", "#" + flag_anchor(number)},
                {"title", severity + (finding.accepted ? ", accepted" : "")}},
               text);
}

Html caution_html(const Html& content, bool hot) {
    std::string stripes;
    for (int x = -8; x < 1000; x += 24) stripes += fmt::format("M{} 8l4-8h12l-4 8z", x);
    const Html edge = Html::trusted(
        "<svg class=\"stripes\" viewBox=\"0 0 1000 8\" preserveAspectRatio=\"xMinYMid slice\" "
        "aria-hidden=\"true\">"
        "<rect width=\"1000\" height=\"8\" fill=\"#f2b705\"/><path fill=\"#1c2024\" d=\"" +
        stripes + "\"/></svg>");
    return tag("div", {{"class", hot ? "caution hot" : "caution"}}, edge + content);
}

Html verdict_html(std::string_view large, const Html& more, bool stop) {
    return tag("div", {{"class", stop ? "verdict stop" : "verdict"}},
               tag("b", {{"class", "large"}}, large) + more);
}

Html cautions_html() {
    Html items;
    for (const char* sentence :
         {"A pack of this size burns people and buildings. Work with it disconnected; take off rings and "
          "watch; one "
          "hand where it is live.",
          "Capacitors stay charged: wait, then measure across the controller before you touch it.",
          "This paper says what was looked at, under which assumptions, and what was found; it is not a "
          "licence, and "
          "it never says that a machine may be used.",
          "Local codes, the makers' instructions and licensed practice come first.",
          "A figure marked \"(memory)\" or \"no source\" has not been held against its publication."})
        items += tag("li", sentence);
    return tag("ul", items);
}

Html swatch_html(Colour first, Colour second) {
    if (first == Colour::none) return {};
    const auto patch = [](Colour colour, const char* shape) {
        return fmt::format("<path fill=\"{}\" d=\"{}\"/>", sheet::insulation_colour(colour), shape);
    };
    return Html::trusted(
        "<svg class=\"sw\" viewBox=\"0 0 27 10\" aria-hidden=\"true\">" + patch(first, "M0 0h27v10H0z") +
        (second == Colour::none ? std::string() : patch(second, "M1 3.5h25v3H1z")) + "</svg>");
}

}  // namespace loomward
