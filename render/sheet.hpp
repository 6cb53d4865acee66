// The sheet: the drawing of a harness, on one page or several. Four steps that can be read and tested alone:
// place (Graphviz decides columns, order and heights), route (lines in the channels between columns), page
// (what does not fit is cut and dealt out), draw (SVG).
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "checker/results.hpp"
#include "render/sheet/model/sheet_options.hpp"
#include "render/svg/convert.hpp"

namespace loomward {

// What the options name and the harness does not have, as a sentence; empty: nothing is wrong.
std::string sheet_trouble(const Results& results, const SheetOptions& options);

// The pages of a sheet as one SVG document each. `file_of` gives the name each page will be known by, for
// references between them; pages count from 1. Same results, same bytes.
using PageFile = std::function<std::string(int page, int pages)>;
std::vector<std::string> sheet_pages(const Results& results, const SheetOptions& options,
                                     const PageFile& file_of);
// All pages in one SVG document, one below the other.
std::string sheet_svg(const Results& results, const SheetOptions& options = {});
// All pages as one PDF with bookmarks, page numbers, references to click and text to select.
std::string sheet_pdf(const Results& results, const SheetOptions& options = {});

}  // namespace loomward
