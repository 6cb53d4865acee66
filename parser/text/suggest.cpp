#include "parser/text/suggest.hpp"

#include <algorithm>
#include <array>
#include <vector>

namespace loomward {
namespace {

// Names longer than this are never mistyped words; comparing them would only cost time.
constexpr std::size_t longest_word = 64;

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t limit) {
    const std::size_t difference = a.size() > b.size() ? a.size() - b.size() : b.size() - a.size();
    if (difference > limit || a.size() > longest_word || b.size() > longest_word) return limit + 1;
    using Row = std::array<std::size_t, longest_word + 1>;
    Row two_back{}, one_back{}, row{};
    for (std::size_t j = 0; j <= b.size(); ++j) one_back[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        std::size_t smallest = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = one_back[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
            row[j] = std::min({one_back[j] + 1, row[j - 1] + 1, change});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = std::min(row[j], two_back[j - 2] + 1);
            smallest = std::min(smallest, row[j]);
        }
        if (smallest > limit) return limit + 1;
        two_back = one_back;
        one_back = row;
    }
    return std::min(one_back[b.size()], limit + 1);
}

void Suggestion::offer(std::string_view candidate) {
    const std::size_t longer = std::max(written_.size(), candidate.size());
    const std::size_t allowed = longer < 2 ? 0 : std::max<std::size_t>(1, longer / 3);
    if (!best_.empty() && distance_ == 0) return;
    // Of equals a word that was not finished: "of" is "off" rather than "on".
    const bool unfinished = candidate.starts_with(written_) && !best_.starts_with(written_);
    const std::size_t limit =
        best_.empty() ? allowed : std::min(allowed, unfinished ? distance_ : distance_ - 1);
    const std::size_t distance = edit_distance(written_, candidate, limit);
    if (distance > limit) return;
    best_ = candidate;
    distance_ = distance;
}

}  // namespace loomward
