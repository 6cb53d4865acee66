// Law: a threshold is where it turns. A finding that is said to be true above (below) a value of a wire is
// told of the text that states a little more (less), and is not told of the one that states a little less
// (more).
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <algorithm>

#include "tests/checker/random_network.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"
#include "tests/laws/values.hpp"

namespace threshold_test {

using namespace laws;
using loomward::OpenCause;
using loomward::Turn;
using loomward::test::Dice;

namespace {

bool is_of_wire(const ValuePlace& place) {
    return place.unit == "m" || place.unit == "mm2";
}

// The text with about one length or size of a wire in `one_in` left open.
std::string left_open(const std::string& text, std::vector<ValuePlace> places, std::uint32_t one_in,
                      Dice& dice) {
    std::sort(places.begin(), places.end(),
              [](const ValuePlace& a, const ValuePlace& b) { return a.begin > b.begin; });
    std::string poorer = text;
    for (const ValuePlace& place : places)
        if (is_of_wire(place) && dice.below(one_in) == 0)
            poorer.replace(place.begin, place.end - place.begin, "unknown " + place.unit);
    return poorer;
}

// The text with the open length or size of a wire stated; empty where it has none.
std::string stated(const std::string& text, const OpenCause& cause, double value) {
    const std::string unit = cause.name == "area" ? "mm2" : "m";
    const std::size_t wire = text.find("(" + cause.subject + " ");
    if (wire == text.npos) return {};
    const std::string open = "unknown " + unit;
    for (std::size_t at = text.find(open, wire); at < text.find(')', wire); at = text.find(open, at + 1)) {
        const char next = text[at + open.size()];
        if (next != ',' && next != ')') continue;
        std::string now = text;
        return now.replace(at, open.size(), fmt::format("{:.6f} {}", value, unit));
    }
    return {};
}

bool tells(const std::string& name, const std::string& text, const Finding& finding) {
    const std::optional<Results> results = checked(name, text);
    REQUIRE(results);
    return std::any_of(results->findings.begin(), results->findings.end(), [&](const Finding& each) {
        return each.rule == finding.rule && each.subject == finding.subject &&
               each.severity <= finding.severity && each.mode == finding.mode;
    });
}

void try_turn(const std::string& name, const std::string& text, const Finding& finding,
              const OpenCause& cause, Tally& tally) {
    constexpr double a_little = 1.01;
    const Turn& turn = *cause.turns;
    const std::string more = stated(text, cause, turn.at.hi * a_little);
    const std::string less = stated(text, cause, turn.at.lo / a_little);
    if (more.empty() || less.empty()) return tally.refused();
    tally.tried();
    const bool told_above = tells(name, more, finding), told_below = tells(name, less, finding);
    if (told_above != turn.above || told_below == turn.above) {
        for (const auto& [which, kept] : {std::pair("open", text), {"less", less}, {"more", more}})
            keep(fmt::format("{} {} {}", name, finding.subject, which), kept);
        tally.exception(fmt::format("{}: {} {} turns at {}..{} of {}: told below {}, above {}", name,
                                    finding.rule, finding.subject, turn.at.lo, turn.at.hi, cause.subject,
                                    told_below, told_above));
    }
}

void try_turns(std::size_t harnesses, Tally& tally) {
    Dice dice(23);
    for (std::size_t i = 0; i < harnesses; ++i) {
        const std::string name = "random " + std::to_string(i), full = random_harness(i).text();
        const loomward::ReadResult once = read(name, full);
        REQUIRE(once.harness);
        const std::string text = left_open(full, value_places(full, *once.harness), 8, dice);
        const std::optional<Results> results = checked(name, text, {{}, true});
        if (!results) {
            tally.refused();
            continue;
        }
        for (const Finding& finding : results->findings)
            for (const OpenCause& cause : finding.hangs_on)
                if (cause.turns) try_turn(name, text, finding, cause, tally);
    }
}

}  // namespace

TEST_CASE("a possible finding turns where it is said to turn") {
    Tally tally("a threshold is where it turns");
    try_turns(cases(10), tally);
    INFO(tally.all());
    CHECK(tally.count() > 5);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a threshold that is a tenth off breaks the law of thresholds") {
    const PlantedFault fault([](Results& results) {
        for (Finding& finding : results.findings)
            for (OpenCause& cause : finding.hangs_on)
                if (cause.turns) cause.turns->at.lo *= 1.1, cause.turns->at.hi *= 1.1;
    });
    Tally tally("a threshold is where it turns, with a planted fault");
    try_turns(8, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace threshold_test
