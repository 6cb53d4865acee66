// Law: what is told of a harness is told of it beside another one, whether nothing joins the two or a lead
// between the minus of their packs, in which no current has a way to go.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <regex>

#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

namespace union_test {

using namespace laws;

namespace {

const std::string tie = "W99";

// Every name with a letter more; a terminal (K1.A1) keeps its own.
std::string renamed(const std::string& text) {
    static const std::regex name("(^|[^.\\w])([A-Z][0-9]+)\\b"), mode("^mode (\\w+)");
    return std::regex_replace(std::regex_replace(text, name, "$1$2z"), mode, "mode z$1");
}
RandomHarness renamed(RandomHarness harness) {
    for (std::string& part : harness.parts) part = renamed(part);
    for (WireText& wire : harness.wires)
        for (std::string* each : {&wire.name, &wire.from, &wire.to, &wire.bundle}) *each = renamed(*each);
    for (std::string& mode : harness.modes) mode = renamed(mode);
    return harness;
}

RandomHarness beside(RandomHarness one, const RandomHarness& other, bool tied) {
    one.parts.insert(one.parts.end(), other.parts.begin(), other.parts.end());
    one.wires.insert(one.wires.end(), other.wires.begin(), other.wires.end());
    one.modes.insert(one.modes.end(), other.modes.begin(), other.modes.end());
    if (tied) one.wires.push_back({tie, "B1.-", "B1z.-", "70 mm2", "0.3 m", "black", {}});
    return one;
}

Verdict of_both(const Verdict& one, const Verdict& other) {
    Verdict both = one;
    for (const Verdict::value_type& entry : other) {
        const auto [place, fresh] = both.insert(entry);
        if (!fresh) place->second = std::min(place->second, entry.second);
    }
    return both;
}

void try_unions(std::size_t harnesses, Tally& tally) {
    for (std::size_t i = 0; i < harnesses; ++i) {
        const RandomHarness one = random_harness(i);
        RandomHarness other = renamed(random_harness(i + 1));
        other.head = one.head;
        const std::string name = fmt::format("random {} and {}", i, i + 1);
        const std::optional<Results> of_one = checked(name, one.text()),
                                     of_other = checked(name, other.text());
        REQUIRE(of_one);
        REQUIRE(of_other);
        const Verdict apart = of_both(told_of_all(*of_one), told_of_all(*of_other));
        for (const bool tied : {false, true}) {
            const RandomHarness both = beside(one, other, tied);
            const std::optional<Results> of_union = checked(name, both.text());
            REQUIRE(of_union);
            tally.tried();
            const Verdict together = told_of_all(*of_union);
            std::vector<std::string> found;
            for (const Verdict::value_type& gone : lost(apart, together))
                found.push_back("no more " + shown(gone));
            for (const Verdict::value_type& come : lost(together, apart))
                if (come.first.second != tie) found.push_back("only then " + shown(come));
            if (!found.empty()) keep(tally.next_name(), both.text());
            for (const std::string& each : found)
                tally.exception(name + (tied ? " tied: " : " apart: ") + each);
        }
    }
}

}  // namespace

TEST_CASE("what is told of a harness is told of it beside another one") {
    Tally tally("two harnesses in one");
    try_unions(cases(40), tally);
    INFO(tally.all());
    CHECK(tally.count() >= 80);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a checker that looks at one harness of a text breaks the law of the union") {
    const PlantedFault fault([](Results& results) {
        if (results.harness->find_part("B1z")) forget(results, "overloaded-wire");
    });
    Tally tally("two harnesses in one, with a planted fault");
    try_unions(10, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace union_test
