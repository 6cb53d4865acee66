// Law: figures add up. No finding prints infinity, or two equal figures as an inequality.
#include <catch2/catch.hpp>

#include <regex>

#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

namespace figures_test {

using namespace laws;

namespace {

void look(const std::string& name, const Finding& finding, Tally& tally) {
    static const std::regex endless(R"(\b(-?inf|nan)\b)");
    static const std::regex unequal(R"((\d[\d.]* ?[A-Za-z%0-9]*) [<>] (\d[\d.]* ?[A-Za-z%0-9]*)(?![\d.]))");
    std::vector<std::string> texts = finding.working;
    texts.insert(texts.end(), {finding.message, finding.beside, finding.help});
    tally.tried();
    for (const std::string& text : texts) {
        std::smatch match;
        if (std::regex_search(text, endless)) tally.exception(name + ": " + finding.rule + ": " + text);
        if (std::regex_search(text, match, unequal) && match[1] == match[2])
            tally.exception(name + ": " + finding.rule + ": " + text);
    }
}

void try_figures(std::size_t harnesses, Tally& tally) {
    for (const std::string& name : example_names()) {
        const std::optional<Results> results = checked(name, example_text(name));
        REQUIRE(results);
        for (const Finding& finding : results->findings) look(name, finding, tally);
    }
    for (std::size_t i = 0; i < harnesses; ++i) {
        const std::optional<Results> results = checked("random.loom", random_harness(i).text());
        REQUIRE(results);
        for (const Finding& finding : results->findings) look("random " + std::to_string(i), finding, tally);
    }
}

}  // namespace

TEST_CASE("no finding prints infinity, or equal figures as an inequality") {
    Tally tally("figures add up");
    try_figures(cases(100), tally);
    INFO(tally.all());
    CHECK(tally.count() > 200);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a checker that prints 36 V < 36 V, or inf h, breaks the law of figures") {
    for (const char* text : {"36 V < 36 V", "lasts inf h"}) {
        const PlantedFault fault([&](Results& results) {
            for (Finding& finding : results.findings) finding.working = {text};
        });
        Tally tally("figures add up, with a planted fault");
        try_figures(2, tally);
        CHECK(tally.exceptions().size() == tally.count());
    }
}

}  // namespace figures_test
