#include "checker/parts/lithium.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "checker/tables/chemistry_words.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

// Lithium cells of the table, told by the voltage of a full one.
bool is_lithium(const CellChemistry& chemistry) {
    return chemistry.lowest_V > 0;
}
// Between the fullest cell of lead and the lightest-charged of lithium, and above all of them.
bool is_lithium_cell(double full_V) {
    double lead_V = 0, lowest_V = 0, highest_V = 0;
    for (const CellChemistry& each : cell_chemistries()) {
        if (!is_lithium(each)) lead_V = std::max(lead_V, each.full_V);
        if (is_lithium(each) && (lowest_V == 0 || each.full_V < lowest_V)) lowest_V = each.full_V;
        if (is_lithium(each)) highest_V = std::max(highest_V, each.full_V);
    }
    return full_V > (lead_V + lowest_V) / 2 && full_V < 1.1 * highest_V;
}

// What the word for the cells of a pack leaves of the table.
bool is_said(const CellChemistry& each, std::string_view word) {
    if (word.empty()) return true;
    if (word == "lead" || word == "lithium") return is_lithium(each) == (word == "lithium");
    return std::equal(word.begin(), word.end(), each.name.begin(), each.name.end(),
                      [](char a, char b) { return a == std::tolower(static_cast<unsigned char>(b)); });
}

}  // namespace

std::optional<CellChemistry> likely_cells(const Part& pack, double nominal_V) {
    constexpr double near_V = 0.5;  // no source
    const std::string_view word = chemistry_of(pack);
    std::optional<CellChemistry> nearest;
    const auto off_V = [&](const CellChemistry& each) { return std::abs(each.nominal_V - nominal_V); };
    for (const CellChemistry& each : cell_chemistries())
        if (is_said(each, word) && off_V(each) <= near_V && (!nearest || off_V(each) < off_V(*nearest)))
            nearest = each;
    return nearest;
}

std::string taken_for_lithium(const Facts& facts, PartId pack) {
    const auto cell = facts.quantity(pack, "cell-voltage"_attr);
    if (cell)
        return is_lithium_cell(cell->hi) ? "a full cell has " + to_text(cell->hi, Dimension::voltage)
                                         : std::string();
    const auto voltage = facts.quantity(pack, "voltage"_attr);
    if (!voltage || chemistry_of(facts.harness().part(pack)) == "lead") return {};
    for (const CellChemistry& each : cell_chemistries()) {
        const double cells = std::round(voltage->hi / each.full_V);
        if (!is_lithium(each) || cells < 2) continue;
        // A whole number of full cells, and none of them flatter than it may be or half full when empty.
        if (std::abs(voltage->hi - cells * each.full_V) > 0.003 * voltage->hi) continue;
        if (voltage->lo < cells * each.lowest_V || voltage->lo > cells * each.nominal_V) continue;
        facts.assume("cells of a pack that is described at its terminals",
                     "lithium, where its full voltage is a whole number of full cells",
                     cite(SourceId::cell_voltages), facts.harness().part(pack).name);
        return to_text(voltage->hi, Dimension::voltage) + " is " + to_text(cells, Dimension::none) + " x " +
               to_text(each.full_V, Dimension::voltage) + ", as " + std::string(each.name);
    }
    return {};
}

bool says_lithium(const Facts& facts, PartId pack) {
    const auto cell = facts.quantity(pack, "cell-voltage"_attr);
    if (cell) return is_lithium_cell(cell->hi);
    const std::string_view said = chemistry_of(facts.harness().part(pack));
    return !said.empty() && said != "lead";
}

}  // namespace loomward
