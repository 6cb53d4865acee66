#include "checker/rules/tell_apart.hpp"

#include <algorithm>

namespace loomward {

namespace {

constexpr int printed_digits = 3, most_digits = 9;

struct Pair {
    std::string same;           // what both print as
    std::string first, second;  // in the order of the figures
};

// Pairs of figures that print alike and are not equal.
std::vector<Pair> pairs_of(const std::vector<Figure>& figures) {
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < figures.size(); ++i)
        for (std::size_t k = i + 1; k < figures.size(); ++k) {
            const Figure &a = figures[i], &b = figures[k];
            if (a.dimension != b.dimension || a.value == b.value) continue;
            Pair pair{to_text(a.value, a.dimension), {}, {}};
            if (to_text(b.value, b.dimension) != pair.same) continue;
            for (int digits = printed_digits + 1; digits <= most_digits; ++digits) {
                pair.first = to_text(a.value, a.dimension, digits);
                pair.second = to_text(b.value, b.dimension, digits);
                if (pair.first != pair.second) break;
            }
            if (pair.first != pair.second) pairs.push_back(std::move(pair));
        }
    return pairs;
}

// Where it stands as a figure of its own: not the end of "136 V", not the beginning of "36 VA".
std::size_t find_figure(const std::string& line, const std::string& figure, std::size_t from) {
    const auto part_of_word = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '.' ||
               c == '-';
    };
    for (std::size_t at; (at = line.find(figure, from)) != std::string::npos; from = at + 1) {
        const std::size_t behind = at + figure.size();
        if (at > 0 && part_of_word(line[at - 1])) continue;
        if (behind < line.size() && part_of_word(line[behind])) continue;
        return at;
    }
    return std::string::npos;
}

void tell_apart(std::string& line, const Pair& pair) {
    const std::size_t first = find_figure(line, pair.same, 0);
    if (first == std::string::npos) return;
    const std::size_t second = find_figure(line, pair.same, first + pair.same.size());
    if (second == std::string::npos) return;
    line.replace(second, pair.same.size(), pair.second);
    line.replace(first, pair.same.size(), pair.first);
}

}  // namespace

void tell_apart(Finding& finding) {
    for (const Pair& pair : pairs_of(finding.figures)) {
        tell_apart(finding.beside, pair);
        for (std::string& line : finding.working) tell_apart(line, pair);
    }
}

}  // namespace loomward
