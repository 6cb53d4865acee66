// A drawing inside a page.
#pragma once
#include <string>

#include "render/html/html.hpp"

namespace loomward {

// An SVG document of the program's own as an element of a page. Its ids get `prefix`, so that those of one
// drawing do not meet those of another; references to another drawing, written as "s2#part-0", become
// "#s2-part-0".
Html drawing_html(const std::string& svg, const std::string& prefix);

}  // namespace loomward
