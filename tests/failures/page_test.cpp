// The run on docs/failures.md is what the program prints; the JSON is what its schema says.
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <sstream>

#include "render/json/json_failures.hpp"
#include "render/text/text_failures.hpp"
#include "tests/failures/trying.hpp"
#include "tests/json_schema.hpp"

namespace page_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::vector<std::string> examples = {"market-cart", "yard-crane-96v", "ice-sweeper", "launch-24v",
                                           "market-cart-mistakes"};

std::string printed(const std::string& name, bool all = false) {
    const auto harness = example_harness(name, example(name));
    return failures_text(tried_in_full(harness), *harness, "examples/" + name + ".loom", all, false);
}

}  // namespace

TEST_CASE("the page of failures shows a real run") {
    const std::string run = printed("yard-crane-96v");
    const std::string page = approved::read("docs/failures.md");
    const std::size_t begin = page.find("\n```\n") + 5, end = page.rfind("```");
    REQUIRE(begin <= end);
    const std::string made = page.substr(0, begin) + run + page.substr(end);
    CHECK(approved::compare_with("docs/failures.md", made) == made);
}

TEST_CASE("the text of failures has at most 40 lines of at most 100 columns, worst first") {
    for (const std::string& name : examples) {
        INFO(name);
        const std::string text = printed(name);
        INFO(text);
        std::istringstream lines(text);
        std::size_t count = 0;
        for (std::string line; std::getline(lines, line); ++count)
            if (line.find("local codes") == std::string::npos) CHECK(line.size() <= 100);
        CHECK(count > 8);
        CHECK(count <= failure_lines);
        CHECK(text.find("cannot be stopped or held") < text.find("stops under way"));
        for (const char* word : {"category 3", "PL d", "SIL", "reached"})
            CHECK(text.find(word) == std::string::npos);
    }
}

TEST_CASE("the JSON of failures is what its schema says, and holds what the text holds") {
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/failures.schema.json"));
    for (const std::string& name : examples) {
        INFO(name);
        const auto harness = example_harness(name, example(name));
        const FailureReport report = tried_in_full(harness);
        const auto document = json_schema::json::parse(failures_json(report, *harness, "x.loom"));
        CHECK(validator.complaints(document) == std::vector<std::string>{});
        CHECK(document["failures"].size() == report.tried.size());
        CHECK(document["lines"].size() == report.lines.size());
    }
}

TEST_CASE("what one part does in each mode is told, and a name that fails in no way is told so") {
    const auto harness = example_harness("market-cart", example("market-cart"));
    const FailureReport report = tried(harness).report;
    const std::string text = failures_of_text(report, *harness, "K1", false);
    CHECK(text.find("K1 welds: stops only by asking electronics [warning]") == 0);
    CHECK(text.find("mode ready: U1 ready instead of ") != std::string::npos);
    CHECK(failures_of_text(report, *harness, "X1", false).empty());
}

TEST_CASE("the order of statements changes nothing but the order of names") {
    const std::string text = example("ice-sweeper");
    const std::string moved = replaced(
        replaced(text, "switch S1 \"left pack\" is isolator\n", ""), "switch S2 \"right pack\" is isolator\n",
        "switch S2 \"right pack\" is isolator\nswitch S1 \"left pack\" is isolator\n");
    const auto one = example_harness("ice-sweeper", text), two = example_harness("ice-sweeper", moved);
    const auto lines = [](const std::shared_ptr<const Harness>& harness) {
        std::multiset<std::string> all;
        for (const TriedFailure& each : tried(harness).report.tried)
            all.insert(failure_text(each.failure) + std::string(heading_words(each.heading)) + each.then +
                       each.can_do + each.test);
        return all;
    };
    CHECK(lines(one) == lines(two));
}

}  // namespace page_test
