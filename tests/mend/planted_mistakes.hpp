// Sound harnesses with mistakes of the kinds that workshops make, planted by chance. For the tests of mend
// and for its measurement.
#pragma once
#include <functional>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "parser/edit/edited_text.hpp"
#include "parser/harness.hpp"

namespace loomward::planting {

// One mistake in the text of `sound`: "W3 4 -> 1 mm2"; empty: it has no place where chance put it, and
// nothing was changed. What it makes may be no text: read it.
std::string plant_mistake(EditedText& text, const Harness& sound, std::mt19937& chance);

struct BrokenText {
    std::string text;
    std::vector<std::string> mistakes;
};
// As many as asked for, 0: 1 to 6 of them, by the number of the case; the same for the same case. `reads`:
// whether a text has no mistakes.
BrokenText broken_text(const std::string& text, const Harness& sound, unsigned number,
                       const std::function<bool(const std::string&)>& reads, std::size_t count = 0);

}  // namespace loomward::planting
