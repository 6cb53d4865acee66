// The page of plausible ranges, as Markdown.
#include <fmt/format.h>

#include "checker/tables/plausible.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

std::string value_of(const PlausibleRow& row) {
    std::string_view name = info(row.attribute).name;
    if (name.front() == '(') name = name.substr(1, name.size() - 2);
    return row.place == 0 ? fmt::format("`{}`", name) : fmt::format("`{}`, value {}", name, row.place + 1);
}

std::string figures_of(const PlausibleRow& row) {
    const SizeClass taken = taken_as(row);
    std::string text = fmt::format("{:g}..{:g}", row.low, row.high);
    if (taken.from < row.low || taken.to > row.high)
        text += fmt::format(" (taken as {:g}..{:g})", taken.from, taken.to);
    return text;
}

std::string scaling_of(const PlausibleRow& row) {
    std::string text(info(row.scaling).formula);
    if (row.each_V > 0) text += fmt::format(" of {:g} V when full", row.each_V);
    if (row.floor > 0)
        text += fmt::format("{}not below {}", text.empty() ? "" : ", ",
                            to_text(row.floor, info(row.scaling).gives));
    return text;
}

std::string unit_of(const PlausibleRow& row) {
    const std::string_view beside = info(row.scaling).beside;
    return fmt::format("{}{}{}", row.unit, row.unit.empty() || beside.empty() ? "" : " ", beside);
}

std::string section_of(Kind kind) {
    const auto rows = plausible_rows(kind);
    if (rows.empty()) return "";
    std::string text = fmt::format(
        "\n## {}\n\n| value | of what | range | unit | scaling | source | how known | confidence | to mind "
        "|\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n",
        info(kind).word);
    for (const PlausibleRow& row : rows)
        text += fmt::format("| {} | {} | {} | {} | {} | {} | {} | {} | {} |\n", value_of(row),
                            applies_text(row), figures_of(row), unit_of(row), scaling_of(row), row.source,
                            known_word(row.known), confidence_word(row.confidence), row.note);
    return text;
}

}  // namespace

std::string plausible_page() {
    std::string text =
        "# What is plausible\n\n"
        "What physical values usually are where nobody wrote them down. This page is made by the program: "
        "`loomward explain --plausible`.\n\n"
        "**A range is not a bound.** Real parts lie outside now and then; what is concluded from a range "
        "holds "
        "for that range only. A value that was measured or read from a data sheet is better than any row "
        "here.\n\n"
        "- *Rows of low confidence are taken twice as wide*: half the low end, twice the high end "
        "(temperatures: 10 K wider at either end). The table shows both.\n"
        "- *How known*: *seen*, both figures were read in the source; *seen at second hand*, in a text that "
        "repeats somebody else's figure; *derived*, worked out here, or one end read and the other widened; "
        "*memory*, recalled and read nowhere, also where a document is named beside it. *No source* means "
        "just "
        "that.\n"
        "- Several rows that may apply are spanned from the lowest low to the highest high: new and aged "
        "parts, "
        "families that are not told apart. A size between two classes is given both, one beyond the last "
        "class "
        "the last, one that nobody knows every class; a voltage that nobody knows is taken as 12..160 V.\n"
        "- Limits on labels are not values (a relay prints 50 mohm and has 3) and are not in the table. Nor "
        "is "
        "neglect: loose, corroded or burnt contacts lie far above.\n"
        "- Packs get the rows of the cells that can make them up: a whole number of them in line by the "
        "voltage of the "
        "full pack (five of 2.8 V are no 14.4 V), and what the name or label says of them (lead, AGM, gel; "
        "iron, LFP; "
        "titanate; NMC; lithium). A label that contradicts the voltage says nothing.\n"
        "- Cells and packs: new, 25 degC, half full. Lithium at 0 degC has 1.4 to 2.5 times the resistance, "
        "at "
        "45 degC 0.6 to 0.9 times (memory); age comes on top.\n"
        "- Bundles are as warm as locations. Engine bays of cars are not in the table.\n"
        "- Ratings (what a part may carry, break, stand) have no plausible range: they are asked for.\n";
    for (std::size_t i = 0; i < kind_count; ++i) text += section_of(static_cast<Kind>(i));
    return text;
}

}  // namespace loomward
