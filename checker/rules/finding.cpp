#include "checker/rules/finding.hpp"

namespace loomward {

namespace {

constexpr std::size_t most_named = 3;  // standard ratings; of more the ends are told

// "20 A", "20 or 25 A", "20, 25 or 30 A", "20..60 A"
std::string choice(const std::vector<double>& ratings, Dimension dimension) {
    if (ratings.size() > most_named)
        return to_text({ratings.front(), ratings.back(), dimension, Knowledge::stated});
    std::string text;
    for (std::size_t i = 0; i + 1 < ratings.size(); ++i)
        text += (i ? ", " : "") + to_text(ratings[i], Dimension::none);
    return text + (ratings.size() > 1 ? " or " : "") + to_text(ratings.back(), dimension);
}

}  // namespace

std::string to_text(const RequiredFigure& required) {
    std::string text = required.verb + " " +
                       (required.ratings.empty() ? to_text(required.least, required.dimension)
                                                 : choice(required.ratings, required.dimension));
    if (required.at_V > 0) text += " at " + to_text(required.at_V, Dimension::voltage) + " dc";
    return text + required.rest;
}

Finding::Finding() = default;
Finding::~Finding() = default;
Finding::Finding(const Finding&) = default;
Finding::Finding(Finding&&) noexcept = default;
Finding& Finding::operator=(const Finding&) = default;
Finding& Finding::operator=(Finding&&) noexcept = default;

bool is_same_thing(const Finding& a, const Finding& b) {
    return a.rule == b.rule && a.subject == b.subject && a.part == b.part && a.wire == b.wire;
}

}  // namespace loomward
