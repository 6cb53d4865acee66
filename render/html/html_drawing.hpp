// Drawings inside a page.
#pragma once
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "render/html/html.hpp"

namespace loomward {

// The drawings of one page. SVG says how an element looks in attributes, for each of some thousands again;
// in a page each look is said once, as a rule of its style sheet, and each line that is drawn several times
// (edge, insulation, bands) has its course once. What it looks like stays the same.
class PageDrawings {
  public:
    // What a colour of the drawing becomes in the dark; empty: it stays. `property`: "fill" or "stroke".
    using Darkened = std::function<std::string_view(std::string_view property, std::string_view colour)>;

    // Without `darkened` a drawing is the same in the dark.
    explicit PageDrawings(Darkened darkened = {}) : darkened_(std::move(darkened)) {}

    // An SVG document of the program's own as an element of the page. Its ids get `prefix`, so that those of
    // one drawing do not meet those of another; references to another drawing, written as "s2#part-0", become
    // "#s2-part-0".
    Html add(const std::string& svg, const std::string& prefix);

    // The rules of all that were added, for the page's style sheet.
    std::string style() const;

  private:
    // The class of a look, "fill:none;stroke:#1c2024"; made where it is new.
    std::string class_of(const std::vector<std::pair<std::string_view, std::string_view>>& look);

    Darkened darkened_;
    std::map<std::string, std::size_t> classes_;  // by their declarations
    std::vector<std::string> light_, dark_;       // declarations by class; `dark_` only what differs
};

}  // namespace loomward
