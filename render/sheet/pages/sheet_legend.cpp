#include "render/sheet/pages/sheet_legend.hpp"

#include <algorithm>

namespace loomward::sheet {

namespace {
constexpr double least_height = 25;
}

double legend_left(const PaperSize& paper) {
    return paper.width < 300 ? 23 + 62 : 23 + 141;
}

std::size_t list_columns(const PaperSize& paper) {
    const double room = paper.width - 10 - title_width - legend_left(paper) - 2;
    return static_cast<std::size_t>(std::max(1.0, room / list_column));
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
        if ((spot ? spot->page : 0) == page) list.push_back(&finding);
    }
    return list;
}

double legend_height(std::size_t findings, const PaperSize& paper) {
    const std::size_t columns = list_columns(paper);
    const std::size_t rows = std::min<std::size_t>((findings + columns - 1) / columns, 12);
    return std::max(least_height, 6.2 + row_height * static_cast<double>(rows));
}

std::size_t most_findings(const SheetPlan& plan) {
    std::size_t most = 0;
    for (int page = 0; page < plan.pages; ++page) most = std::max(most, findings_on(plan, page).size());
    return most;
}

}  // namespace loomward::sheet
