// SVG to PNG and PDF.
#pragma once
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace loomward {

// What PNG and PDF are made with is not on this machine.
struct LibraryMissing : std::runtime_error {
    using std::runtime_error::runtime_error;
};

// An SVG document as a picture (librsvg, cairo). Sides are limited to 32,767 dots.
// May throw LibraryMissing, as pages_to_pdf may.
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
