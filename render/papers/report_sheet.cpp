// The drawing inside the report: every page of the sheet as it is drawn, put into one document.
#include <fmt/format.h>

#include "render/html/html_drawing.hpp"
#include "render/papers/report_parts.hpp"
#include "render/sheet.hpp"
#include "render/svg/palette.hpp"

namespace loomward {
namespace {

// The sheet is drawn in the light colours; in the dark each of its own becomes that of the dark sheet. The
// colours of insulation stay.
std::string_view in_the_dark(std::string_view property, std::string_view colour) {
    using sheet::dark_palette, sheet::light_palette;
    const std::pair<std::string_view, std::string_view> pairs[] = {
        {light_palette.ink, dark_palette.ink},
        {light_palette.soft, dark_palette.soft},
        {light_palette.area, dark_palette.area},
        {light_palette.area_edge, dark_palette.area_edge},
        {light_palette.error, dark_palette.error}};
    for (const auto& [light, dark] : pairs)
        if (colour == light) return dark;
    for (std::size_t i = 0; i < light_palette.tints.size(); ++i)
        if (colour == light_palette.tints[i]) return dark_palette.tints[i];
    return property == "fill" && colour == light_palette.paper ? dark_palette.paper : std::string_view();
}

}  // namespace

HtmlSection sheet_section(const ReportScope& scope) {
    const std::vector<std::string> pages =
        sheet_pages(scope.results, {}, [](int page, int) { return fmt::format("s{}", page); });
    PageDrawings drawings(in_the_dark);
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
                drawings.add(pages[i], fmt::format("s{}-", i + 1))));
    }
    return {"sheet", "The sheet", "Sheet", body, drawings.style()};
}

}  // namespace loomward
