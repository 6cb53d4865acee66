// Law: figures add up. No finding prints infinity, or two equal figures as an inequality.
#include <catch2/catch.hpp>

#include <regex>

#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

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

}  // namespace

TEST_CASE("no finding prints infinity, or equal figures as an inequality") {
    Tally tally("figures add up");
    for (const std::string& name : example_names()) {
        const std::optional<Results> results = checked(name, example_text(name));
        REQUIRE(results);
        for (const Finding& finding : results->findings) look(name, finding, tally);
    }
    const std::size_t harnesses = cases(100);
    for (std::size_t i = 0; i < harnesses; ++i) {
        const std::optional<Results> results = checked("random.loom", random_harness(i).text());
        REQUIRE(results);
        for (const Finding& finding : results->findings) look("random " + std::to_string(i), finding, tally);
    }
    INFO(tally.all());
    CHECK(tally.count() > 200);
    CHECK(tally.exceptions().size() <= tally.known());
}
