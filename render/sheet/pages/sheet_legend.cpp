#include "render/sheet/pages/sheet_legend.hpp"

#include <algorithm>

#include "render/sheet/pages/sheet_signs.hpp"
#include "render/sheet/pages/sheet_title.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {

double legend_left(const PaperSize& paper) {
    return paper.width < 300 ? 23 + 62 : 23 + 141;
}

namespace {
double list_room(const PaperSize& paper) {
    return paper.width - 10 - title_width - legend_left(paper) - 2;
}
}  // namespace

std::size_t list_columns(const PaperSize& paper) {
    return static_cast<std::size_t>(std::max(1.0, list_room(paper) / 76));
}

double list_column(const PaperSize& paper) {
    return list_room(paper) / static_cast<double>(list_columns(paper));
}

double list_indent(const ListedFinding& finding) {
    return finding.mark.empty() ? flag_advance(finding.number)
                                : std::max(8.0, text_width(finding.mark, list_size, true) + 1.5);
}

std::vector<std::string> finding_rows(const ListedFinding& finding, const PaperSize& paper,
                                      const std::string& place) {
    const double room = list_column(paper) - list_indent(finding) - 3;
    const double last = text_width(" " + place, list_size);
    if (text_width(finding.text, list_size) + last <= room) return {finding.text};
    return wrapped(finding.text, list_size, room - last, 2);
}

std::vector<ListedPlace> list_places(const std::vector<const ListedFinding*>& list, const SheetPlan& plan,
                                     double height) {
    std::vector<ListedPlace> places;
    ListedPlace next;
    for (const ListedFinding* each : list) {
        next.rows = finding_rows(*each, plan.paper, plan.pages > 1 ? "/99/A0" : "/A0");
        const double needed = row_height * static_cast<double>(next.rows.size()) + entry_gap;
        if (next.y > 0 && next.y + needed > height + 0.01) {
            if (++next.column == list_columns(plan.paper)) break;
            next.y = 0;
        }
        places.push_back(next);
        next.y += needed;
    }
    return places;
}

std::optional<Spot> spot_of(const SheetPlan& plan, const ListedFinding& finding) {
    if (finding.line >= 0) return plan.spot_of_line(finding.line);
    if (finding.element >= 0) return plan.spot_of_element(finding.element);
    return std::nullopt;
}

std::vector<const ListedFinding*> findings_on(const SheetPlan& plan, int page) {
    std::vector<const ListedFinding*> list;
    for (const ListedFinding& finding : plan.model->findings) {
        const std::optional<Spot> spot = spot_of(plan, finding);
        const bool first = !spot || plan.model->for_owner;  // what the owner looks up stands on one page
        if ((first ? 0 : spot->page) == page) list.push_back(&finding);
    }
    return list;
}

double legend_height(const SheetPlan& plan) {
    double height = std::max({least_legend, signs_height(plan), title_block(plan, 0).height});
    for (int page = 0; page < plan.pages; ++page) {
        const std::vector<const ListedFinding*> list = findings_on(plan, page);
        while (height < most_legend && list_places(list, plan, height - list_head).size() < list.size())
            height += 1;
    }
    // It goes where there is room; only where no page has any the strip grows for it.
    const auto tells_before_work = [&](double high) {
        for (int page = 0; page < plan.pages; ++page)
            if (before_work_on(plan, page, high)) return true;
        return plan.model->before_work.empty();
    };
    while (height < most_legend && !tells_before_work(height)) height += 1;
    return std::max(std::min(height, most_legend), title_block(plan, 0).height);
}

}  // namespace loomward::sheet
