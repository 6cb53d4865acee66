// The drawing inside the report: every page of the sheet as it is drawn, put into one document.
#include <fmt/format.h>

#include "render/html/html_drawing.hpp"
#include "render/papers/report_parts.hpp"
#include "render/sheet.hpp"

namespace loomward {

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
                drawing_html(pages[i], fmt::format("s{}-", i + 1))));
    }
    return {"sheet", "The sheet", "Sheet", body};
}

}  // namespace loomward
