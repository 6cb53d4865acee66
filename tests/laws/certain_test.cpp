// Law: what is certain stays. With any number of values made unknown, a finding that is called certain is
// also told, as gravely, of the harness that states them all.
#include <catch2/catch.hpp>

#include <algorithm>

#include "tests/checker/random_network.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"
#include "tests/laws/values.hpp"

namespace certain_test {

using namespace laws;
using loomward::test::Dice;

namespace {

// The text with about one value in `one_in` made unknown; from the back, so that places stay right.
std::string knocked_out(const std::string& text, std::vector<ValuePlace> places, std::uint32_t one_in,
                        Dice& dice) {
    std::sort(places.begin(), places.end(),
              [](const ValuePlace& a, const ValuePlace& b) { return a.begin > b.begin; });
    std::string poorer = text;
    for (const ValuePlace& place : places) {
        if (dice.below(one_in) != 0) continue;
        poorer.replace(place.begin, place.end - place.begin,
                       place.number.empty() ? "unknown" : "unknown " + place.unit);
    }
    return poorer;
}

void try_text(const std::string& name, const std::string& text, Dice& dice, Tally& tally) {
    const loomward::ReadResult once = read(name, text);
    REQUIRE(once.harness);
    const Verdict richer = told_of_all(*checked(name, text));
    for (const std::uint32_t one_in : {1U, 2U, 6U}) {
        const std::string less = knocked_out(text, value_places(text, *once.harness), one_in, dice);
        const std::optional<Results> poorer = checked(name, less);
        if (!poorer) {
            tally.refused();
            continue;
        }
        tally.tried();
        for (const Finding& finding : poorer->findings) {
            if (finding.possible || finding.accepted || finding.severity == Severity::note) continue;
            const auto told = richer.find({finding.rule, finding.subject});
            if (told == richer.end() || told->second > finding.severity) {
                keep(name + "-all", text);
                keep(name + "-one-in-" + std::to_string(one_in), less);
                tally.exception(name + ", one in " + std::to_string(one_in) + ": only then " +
                                shown({{finding.rule, finding.subject}, finding.severity}));
            }
        }
    }
}

void try_certain(std::size_t harnesses, bool examples, Tally& tally) {
    Dice dice(17);
    if (examples)
        for (const std::string& name : example_names()) try_text(name, example_text(name), dice, tally);
    for (std::size_t i = 0; i < harnesses; ++i)
        try_text("random " + std::to_string(i), random_harness(i).text(), dice, tally);
}

}  // namespace

TEST_CASE("what is certain of a harness that says less is told of one that says more") {
    Tally tally("certain stays");
    try_certain(cases(12), true, tally);
    INFO(tally.all());
    CHECK(tally.count() > 20);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a checker that calls everything certain breaks the law of certainty") {
    const PlantedFault fault([](Results& results) {
        for (Finding& finding : results.findings) finding.possible = false;
    });
    Tally tally("certain stays, with a planted fault");
    try_certain(4, false, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace certain_test
