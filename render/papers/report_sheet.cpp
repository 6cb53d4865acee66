// The drawing inside the report: every page of the sheet as it is drawn, put into one document.
#include <fmt/format.h>

#include "render/papers/report_parts.hpp"
#include "render/sheet.hpp"

namespace loomward {
namespace {

// Ids of one page must not meet those of another one: "part-0" becomes "s1-part-0". References to another
// page were given its prefix as a file: "s2#part-0".
std::string with_prefix(const std::string& svg, const std::string& prefix) {
    std::string out;
    out.reserve(svg.size() + 4096);
    for (std::size_t at = 0; at < svg.size();) {
        // Only inside a tag do these stand unescaped in quotes: text has its quotes escaped.
        // A drawing with links in it is no picture but a group.
        constexpr std::string_view picture = " role=\"img\"";
        constexpr std::string_view id = " id=\"", own = " href=\"#", labelled = " aria-labelledby=\"",
                                   other = " href=\"s";
        const std::string_view rest = std::string_view(svg).substr(at);
        if (rest.starts_with(picture)) {
            out += " role=\"group\"";
            at += picture.size();
        } else if (rest.starts_with(id) || rest.starts_with(own)) {
            const std::string_view begin = rest.starts_with(id) ? id : own;
            out += begin;
            out += prefix;
            at += begin.size();
        } else if (rest.starts_with(labelled)) {
            const std::size_t end = svg.find('"', at + labelled.size());
            out += labelled;
            out += prefix + "sheet-title " + prefix + "sheet-desc";
            at = end;
        } else if (rest.starts_with(other)) {
            const std::size_t hash = svg.find('#', at), quote = svg.find('"', at + other.size());
            if (hash < quote) {
                out += " href=\"#" + svg.substr(at + other.size() - 1, hash - at - other.size() + 1) + "-";
                at = hash + 1;
            } else {
                out += svg[at++];
            }
        } else {
            out += svg[at++];
        }
    }
    return out;
}

}  // namespace

HtmlSection sheet_section(const ReportScope& scope) {
    const std::vector<std::string> pages =
        sheet_pages(scope.results, {}, [](int page, int) { return fmt::format("s{}", page); });
    Html body =
        tag("p", {{"class", "lead only-screen"}},
            "Point at a wire or a part to see its figures; Esc clears. The list does the same from the "
            "keyboard. Numbers on pennants are those of the findings.");
    Html bar = tag("label", {{"for", "pick"}}, "Show ") +
               tag("select", {{"id", "pick"}, {"class", "b"}}, tag("option", {{"value", ""}}, "nothing"));
    for (const auto& [zoom, text] : {std::pair{"-", "smaller"}, {"fit", "whole width"}, {"+", "larger"}})
        bar += tag("button", {{"class", "b"}, {"type", "button"}, {"data-zoom", zoom}}, text);
    body += tag("div", {{"class", "bar only-screen"}, {"id", "bar"}, {"hidden", ""}}, bar);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        const std::string label =
            pages.size() == 1 ? "drawing" : fmt::format("drawing, sheet {} of {}", i + 1, pages.size());
        body += tag(
            "div", {{"class", "sheetpage"}},
            tag("div", {{"class", "sheetbox"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", label}},
                Html::trusted(with_prefix(pages[i], fmt::format("s{}-", i + 1)))));
    }
    return {"sheet", "The sheet", "Sheet", body};
}

}  // namespace loomward
