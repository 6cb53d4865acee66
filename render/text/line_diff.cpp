#include "render/text/line_diff.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace loomward {
namespace {

using TextLines = std::vector<std::string_view>;

TextLines lines_of(std::string_view text) {
    TextLines lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        lines.push_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

// Lengths of the longest common subsequences of what is left from (i, j) on.
class Common {
  public:
    Common(const TextLines& a, const TextLines& b)
        : columns_(b.size() + 1), length_((a.size() + 1) * columns_) {
        for (std::size_t i = a.size(); i-- > 0;)
            for (std::size_t j = b.size(); j-- > 0;)
                length_[i * columns_ + j] =
                    a[i] == b[j] ? at(i + 1, j + 1) + 1 : std::max(at(i + 1, j), at(i, j + 1));
    }
    std::uint32_t at(std::size_t i, std::size_t j) const { return length_[i * columns_ + j]; }

  private:
    std::size_t columns_;
    std::vector<std::uint32_t> length_;
};

}  // namespace

std::string line_diff(std::string_view before, std::string_view after) {
    TextLines a = lines_of(before), b = lines_of(after);
    std::size_t same = 0;
    while (same < a.size() && same < b.size() && a[same] == b[same]) ++same;
    a.erase(a.begin(), a.begin() + static_cast<std::ptrdiff_t>(same));
    b.erase(b.begin(), b.begin() + static_cast<std::ptrdiff_t>(same));
    while (!a.empty() && !b.empty() && a.back() == b.back()) a.pop_back(), b.pop_back();

    constexpr std::size_t most_cells = 16'000'000;
    const bool compared = (a.size() + 1) * (b.size() + 1) <= most_cells;
    const Common common = compared ? Common(a, b) : Common({}, {});
    std::string text;
    bool open = false;
    std::size_t i = 0, j = 0;
    while (i < a.size() || j < b.size()) {
        if (compared && i < a.size() && j < b.size() && a[i] == b[j]) {
            ++i, ++j;
            open = false;
            continue;
        }
        if (!open) text += "line " + std::to_string(same + i + 1) + "\n";
        open = true;
        const bool goes =
            i < a.size() && (j == b.size() || !compared || common.at(i + 1, j) >= common.at(i, j + 1));
        text += goes ? "- " + std::string(a[i++]) + "\n" : "+ " + std::string(b[j++]) + "\n";
    }
    return text;
}

}  // namespace loomward
