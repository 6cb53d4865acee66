// Pieces that every page is made of: tables, flags, boxes, figures, names that lead to their row.
#pragma once
#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "checker/rules/finding.hpp"
#include "parser/language/quantity.hpp"
#include "render/html/html.hpp"

namespace loomward {

// ---- tables
// ------------------------------------------------------------------------------------------------

struct HtmlColumn {
    Html head;
    bool figure = false;  // to the right, never broken
};
struct HtmlRow {
    std::vector<Html> cells;  // the first is the row's head
    std::string id = {};
    std::string css_class = {};  // the program's own: "over"
};
struct HtmlTable {
    std::string id;  // may be empty
    Html caption;    // may be empty; then `label` names the table to who cannot see it
    std::string label;
    std::vector<HtmlColumn> columns;
    std::vector<HtmlRow> rows;
};
// Scrolls in a box of its own where the screen is narrow. "None in this harness." where it has no rows.
Html table_html(const HtmlTable& table);

// ---- figures
// -----------------------------------------------------------------------------------------------

// "46.4 A" with the whole figure behind it as <data value="46.4028">: what a program reads is what the JSON
// says. "not known" where it is no number.
Html figure_html(double value, Dimension dimension);
// "0.5 to 2 kA".
Html range_html(double lo, double hi, Dimension dimension);
Html not_known_html();

// ---- names
// -------------------------------------------------------------------------------------------------

// Names of a harness and where the page tells of them.
class HtmlNames {
  public:
    // "#w-W3" for "W3". The first one wins.
    void add(std::string_view name, std::string anchor) { anchors_.emplace(name, std::move(anchor)); }
    // A link with nothing but its address, since a page has thousands of them, or the plain name where the
    // page does not tell of it. "J1.2" leads to J1.
    Html link(std::string_view name) const;
    // Running text: every name in it is a link, units are printed as on paper.
    Html linked(std::string_view text) const;
    // Several, a blank between two; after `most` the count of the rest.
    Html list(const std::vector<std::string>& names, std::size_t most = static_cast<std::size_t>(-1)) const;

  private:
    const std::string* anchor_of(std::string_view name) const;
    std::map<std::string, std::string, std::less<>> anchors_;
};

// ---- flags and boxes
// ---------------------------------------------------------------------------------------

// The pennant with the number that the finding has on the sheet, and a link to where it is told. A page has
// many of each: what it says beyond number and severity stands there alone (the report's script shows it here
// as well).
Html flag_html(std::size_t number, const Finding& finding);
std::string flag_anchor(std::size_t number);  // "f-9"

// A box with a striped edge. `hot`: something can go wrong at once.
Html caution_html(const Html& content, bool hot = false);
// A box that says first whether to go on: "Do not switch on." large, then more. `stop`: red.
Html verdict_html(std::string_view large, const Html& more, bool stop);
// The caution of the whole program: what a page never promises, local codes and licensed practice first.
Html cautions_html();

// A patch of the colours of a wire's insulation; words stand beside it.
Html swatch_html(Colour first, Colour second);

}  // namespace loomward
