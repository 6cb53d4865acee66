// The sheet: the drawing of a harness, on one page or several. Four steps that can be read and tested alone:
// place (Graphviz decides columns, order and heights), route (lines in the channels between columns), page
// (what does not fit is cut and dealt out), draw (SVG).
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

enum class Paper { a4, a3, letter, tabloid };
enum class Theme { light, dark };

struct SheetOptions {
    Paper paper = Paper::a3;
    Theme theme = Theme::light;
    // The one mode the results are of: what carries no current in it is drawn paler. Empty: the worst of all.
    std::string mode = {};
    bool loading = true;  // gauges of how far each wire is loaded
    // Only a part, wire, cable, bundle or location with what hangs together with it, or "zone:F1": the wires
    // that F1 guards.
    std::string only = {};
    // Only the way of least resistance between two terminals, with the drop on each piece. A current of 0:
    // the largest any wire of it carries.
    std::string path_from = {}, path_to = {};
    double path_A = 0;
};

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

// An SVG document as a picture (librsvg, cairo). Sides are limited to 32,767 dots.
std::string svg_to_png(const std::string& svg, double dots_per_inch = 150);

// An SVG document with what a PDF needs besides; places in mm from the top left of the page.
struct PdfPage {
    struct Area {
        double x = 0, y = 0, width = 0, height = 0;
        std::string target;
    };
    struct Target {
        std::string name;
        double x = 0, y = 0;
    };
    std::string svg;
    std::string label;  // page number as a viewer shows it
    std::vector<Area> references;
    std::vector<Target> targets;
    std::vector<std::pair<std::string, double>> bookmarks;  // text, and how far down the page
};
std::string pages_to_pdf(const std::vector<PdfPage>& pages, const std::string& title);

}  // namespace loomward
