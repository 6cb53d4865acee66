// With all values left out but what says when fuses and breakers open: nothing is called certain that the
// whole file does not tell, and what the open ratings have to be is met by what the whole file states.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <cctype>

#include "checker/parts/facts.hpp"
#include "parser/language/quantity.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/values.hpp"

namespace all_open_test {

using namespace laws;
using namespace loomward;
using namespace loomward::literals;

namespace {

// When a fuse or breaker opens: its rated current and its points, in a block that fits or describes one.
bool says_when_it_opens(const std::string& text, const ValuePlace& place) {
    const std::size_t block = text.rfind('{', place.begin);
    if (block == text.npos) return false;
    const std::size_t line = text.rfind('\n', block) + 1;
    const std::string head = text.substr(line, block - line);
    if (head.find("fuse") == head.npos && head.find("breaker") == head.npos) return false;
    const std::size_t begin = text.find_last_of("{,\n", place.begin - 1) + 1;
    const std::string before = text.substr(begin, place.begin - begin);
    return before.find_first_not_of(' ') == before.npos ? place.unit == "A"
                                                        : before.find("point") != before.npos;
}

std::string all_open(const std::string& text, std::vector<ValuePlace> places) {
    std::sort(places.begin(), places.end(),
              [](const ValuePlace& a, const ValuePlace& b) { return a.begin > b.begin; });
    std::string poorer = text;
    for (const ValuePlace& place : places)
        if (!place.number.empty() && !says_when_it_opens(text, place))
            poorer.replace(place.begin, place.end - place.begin, "unknown " + place.unit);
    return poorer;
}

// "carry 28 A, with peaks of 40 A" -> verb "carry", amount 28 A
struct Requirement {
    std::string verb;
    Quantity least;
};
std::optional<Requirement> read_requirement(const std::string& text) {
    const std::size_t blank = text.find(' ');
    if (blank == text.npos) return {};
    const auto least = quantity_from_text(text.substr(blank + 1));
    if (!least) return {};
    return Requirement{text.substr(0, blank), *least};
}

constexpr double rounding = 1.006;  // three digits are printed

// nullopt: the whole file does not say.
std::optional<bool> is_met(const Harness& whole, const Facts& facts, const Finding& finding,
                           const Requirement& needed) {
    if (finding.wire) {
        const Wire& wire = whole.wire(finding.wire);
        if (!wire.area.is_known()) return {};
        return wire.area.lo * wire.parallel * rounding >= needed.least.lo;
    }
    std::vector<Attr> rated;
    if (needed.verb == "carry")
        rated = {"carries"_attr, "way-carries"_attr, "discharge"_attr, "(rated-current)"_attr};
    if (needed.verb == "stand") rated = {"(operational-voltage)"_attr, "(rated-voltage)"_attr, "input"_attr};
    if (needed.verb == "break") rated = {"breaks"_attr};
    if (needed.verb == "make") rated = {"makes"_attr};
    if (needed.verb == "take") rated = {"takes"_attr};
    for (const Attr attribute : rated) {
        const auto stated = facts.quantity(finding.part, attribute);
        if (!stated || stated->dimension != needed.least.dimension) continue;
        if (needed.verb == "take")
            return stated->lo <= needed.least.lo * rounding && needed.least.hi <= stated->hi * rounding;
        return stated->hi * rounding >= needed.least.lo;
    }
    return {};
}

std::string mistakes_of(const std::string& name, const std::string& text) {
    const ReadResult result = read(name, text);
    std::string all;
    for (const Diagnostic& mistake : result.mistakes) all += mistake.message + "\n";
    return all;
}

struct Counts {
    std::size_t met = 0, not_met = 0;
    std::vector<std::string> misses;
};

void try_example(const std::string& name, Counts& counts, std::vector<std::string>& false_certain) {
    const std::string text = example_text(name);
    const ReadResult once = read(name, text);
    REQUIRE(once.harness);
    const std::string open = all_open(text, value_places(text, *once.harness));
    keep("all open " + name.substr(0, name.find('.')), open);
    const std::optional<Results> full = checked(name, text);
    const std::optional<Results> poorer = checked(name, open);
    REQUIRE(full);
    INFO(mistakes_of(name, open));
    REQUIRE(poorer);
    const Verdict told = told_of_all(*full);
    for (const Finding& finding : poorer->findings) {
        if (!finding.possible && !finding.accepted && finding.severity == Severity::error &&
            !told.contains({finding.rule, finding.subject}))
            false_certain.push_back(name + ": " + finding.rule + " " + finding.subject);
    }
    const Facts facts(*full->harness);
    for (const Finding& finding : poorer->findings) {
        const auto needed = read_requirement(finding.requirement);
        if (!needed) continue;
        const std::optional<bool> met = is_met(*full->harness, facts, finding, *needed);
        if (!met) continue;
        if (*met)
            ++counts.met;
        else
            ++counts.not_met,
                counts.misses.push_back(name + ": " + finding.subject + " " + finding.requirement);
    }
}

}  // namespace

TEST_CASE("with all values open nothing false is certain, and the requirements hold what the file states") {
    Counts counts;
    std::vector<std::string> false_certain;
    for (const std::string& name : example_names())
        if (name.find("mistake") == name.npos) try_example(name, counts, false_certain);
    INFO(fmt::format("{}\n{}", fmt::join(false_certain, "\n"), fmt::join(counts.misses, "\n")));
    fmt::print("requirements that the whole file meets: {} of {}\n", counts.met, counts.met + counts.not_met);
    CHECK(false_certain.empty());
    // The others hang on what is open beside them: a load taken for all that its fuse is rated for, a wire
    // that only what its charger or converter gives keeps small, a tap that may be thin because it is short.
    CHECK(counts.met >= 87 * (counts.met + counts.not_met) / 100);
    CHECK(counts.met > 100);
}

}  // namespace all_open_test
