#include "render/sheet.hpp"

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/svg/font.hpp"

namespace loomward {
namespace {

using namespace sheet;

struct Drawn {
    SheetPlan plan;
    std::vector<Canvas> pages;
};

// Where a viewer finds a target; `page` is below 0 where it stands on the page that refers to it.
using Address = std::function<std::string(const SheetPlan& plan, int page, const std::string& target)>;

// Which page each target stands on; found out before anything is drawn, since references lead forward too.
std::function<std::string(const std::string&)> addresses(const SheetPlan& plan, int page,
                                                         const Address& address) {
    std::map<std::string, int> page_of;
    for (const PlacedStrip& strip : plan.strips)
        for (const Node& node : strip.layout.nodes) {
            if (node.element >= 0) page_of.emplace(element_target(node.element), strip.page);
            if (node.cluster >= 0) page_of.emplace(element_target(node.cluster), strip.page);
            if (node.type == NodeType::label) page_of.emplace(line_target(node.line), strip.page);
        }
    return [page_of = std::move(page_of), page, address, &plan](const std::string& target) {
        const auto found = page_of.find(target);
        if (found == page_of.end()) return std::string();
        return address(plan, found->second == page ? -1 : found->second, target);
    };
}

Drawn draw(const Results& results, const SheetOptions& options, const Address& address) {
    Drawn drawn{plan_sheet(results, options), {}};
    const SheetPlan& plan = drawn.plan;
    drawn.pages = draw_pages(plan, options, [&](Canvas& canvas, int page) {
        if (address) canvas.set_addresses(addresses(plan, page, address));
    });
    return drawn;
}

std::string head(const SheetPlan& plan, double height, const std::string& title) {
    const SheetModel& model = *plan.model;
    const std::string size = number(plan.paper.width) + ' ' + number(height);
    return "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + number(plan.paper.width) +
           "mm\" height=\"" + number(height) + "mm\" viewBox=\"0 0 " + size + "\" font-family=\"" +
           std::string(font_family) + "\" role=\"img\" aria-labelledby=\"sheet-title sheet-desc\">\n" +
           "<title id=\"sheet-title\">" + escaped(title) + "</title>\n<desc id=\"sheet-desc\">Wiring of " +
           escaped(model.title) + ": " + std::to_string(model.wires) + " wires" +
           (model.shows_findings
                ? ", " + std::to_string(model.errors) + " errors, " + std::to_string(model.warnings) +
                      " warnings, " + std::to_string(model.notes) + " notes"
                : std::string()) +
           ". Current flows from left to right unless an arrow head says otherwise.</desc>\n";
}

std::string page_title(const SheetPlan& plan, int page) {
    if (plan.pages == 1) return plan.model->title;
    return plan.model->title + ", sheet " + std::to_string(page + 1) + " of " + std::to_string(plan.pages);
}

std::string document(const Drawn& drawn, int page) {
    return head(drawn.plan, drawn.plan.paper.height, page_title(drawn.plan, page)) +
           drawn.pages[static_cast<std::size_t>(page)].markup() + "</svg>\n";
}

PdfPage pdf_page(const Drawn& drawn, int page) {
    const Canvas& canvas = drawn.pages[static_cast<std::size_t>(page)];
    PdfPage out;
    out.svg = document(drawn, page);
    out.label = std::to_string(page + 1);
    for (const Reference& each : canvas.references())
        out.references.push_back(
            {each.box.left, each.box.top, each.box.width(), each.box.height(), each.target});
    for (const Target& each : canvas.targets()) out.targets.push_back({each.name, each.x, each.y});
    for (const PlacedStrip& strip : drawn.plan.strips)
        if (strip.page == page) out.bookmarks.emplace_back(strip.caption, strip.y - caption_height);
    return out;
}

}  // namespace

std::vector<std::string> sheet_pages(const Results& results, const SheetOptions& options,
                                     const PageFile& file_of) {
    const Drawn drawn =
        draw(results, options, [&](const SheetPlan& plan, int page, const std::string& target) {
            return (page < 0 ? std::string() : file_of(page + 1, plan.pages)) + '#' + target;
        });
    std::vector<std::string> out;
    for (int page = 0; page < drawn.plan.pages; ++page) out.push_back(document(drawn, page));
    return out;
}

std::string sheet_svg(const Results& results, const SheetOptions& options) {
    const Drawn drawn =
        draw(results, options, [](const SheetPlan&, int, const std::string& target) { return '#' + target; });
    if (drawn.plan.pages == 1) return document(drawn, 0);
    const double height = drawn.plan.paper.height;
    std::string out = head(drawn.plan, height * drawn.plan.pages, drawn.plan.model->title);
    for (int page = 0; page < drawn.plan.pages; ++page)
        out += "<g transform=\"translate(0 " + number(height * page) + ")\">\n" +
               drawn.pages[static_cast<std::size_t>(page)].markup() + "</g>\n";
    return out + "</svg>\n";
}

std::string sheet_pdf(const Results& results, const SheetOptions& options) {
    const Drawn drawn = draw(results, options, {});
    std::vector<PdfPage> pages;
    for (int page = 0; page < drawn.plan.pages; ++page) pages.push_back(pdf_page(drawn, page));
    return pages_to_pdf(pages, drawn.plan.model->title);
}

}  // namespace loomward
