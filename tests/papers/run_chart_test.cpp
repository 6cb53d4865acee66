// The chart of a run: peaks stay, gaps stay, and a long log does not make it long.
#include "render/papers/run_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "tests/papers/papers_support.hpp"

namespace run_chart_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// One column of amps, by its row; `rows` a second apart.
ComparedRun run_of(std::size_t rows, const std::function<std::string(std::size_t)>& amps) {
    std::string text = "time,amps W1\n";
    for (std::size_t i = 0; i < rows; ++i) text += fmt::format("{},{}\n", i, amps(i));
    ComparedRun run{"run.csv", read_run_log("run.csv", text), {}, {}};
    REQUIRE(run.log.mistakes.empty());
    RunCurrent current;
    current.column = 1;
    run.report.currents.push_back(current);
    return run;
}

// The data of the lines of one class.
std::vector<std::string> lines_of(const Html& chart, const std::string& css) {
    std::vector<std::string> all;
    for (const PageTag& tag : tags_of(chart.markup()))
        if (tag.name == "path" && !tag.end && tag.attributes.at("class") == css)
            all.push_back(tag.attributes.at("d"));
    return all;
}

double highest(const std::string& data) {  // the smallest y of "M64.0 20.0L..."
    double least = 1e9;
    for (std::size_t at = data.find(' '); at != std::string::npos; at = data.find(' ', at + 1))
        least = std::min(least, std::stod(data.substr(at + 1)));
    return least;
}

}  // namespace

TEST_CASE("one row among a hundred thousand that peaks is drawn to its height") {
    const Html chart = run_chart(run_of(100'000, [](std::size_t i) {
        return std::string(i == 61'803 ? "80" : i % 2 == 0 ? "10" : "12");
    }));
    const std::vector<std::string> lines = lines_of(chart, "c-edge");
    REQUIRE(lines.size() == 1);
    CHECK(highest(lines[0]) == Approx(18));  // the top of the panel, where the scale ends at 80
    CHECK(chart.markup().size() < 40'000);
    // Times with whole hours.
    CHECK(chart.markup().find(">6 h</text>") != std::string::npos);
}

TEST_CASE("what was not logged leaves a gap, and a value alone is a dot") {
    const Html chart = run_chart(run_of(30, [](std::size_t i) {
        return i == 0 || i == 29 || (i > 10 && i < 20 && i != 15) ? std::string() : std::string("5");
    }));
    const std::vector<std::string> lines = lines_of(chart, "c-edge");
    REQUIRE(lines.size() == 1);
    CHECK(std::count(lines[0].begin(), lines[0].end(), 'M') == 3);
    CHECK(std::count(lines[0].begin(), lines[0].end(), 'h') == 1);
}

TEST_CASE(
    "a current that is not as expected is red beside what the mode asks, and nothing judged is no chart") {
    ComparedRun run = run_of(20, [](std::size_t) { return std::string("44"); });
    CHECK(lines_of(run_chart(run), "c-strange").empty());
    run.report.currents[0].held_down = true;
    run.report.currents[0].asked_A = 70;
    CHECK(lines_of(run_chart(run), "c-strange").size() == 1);
    CHECK(lines_of(run_chart(run), "c-limit").size() == 1);
    run.report.currents.clear();
    CHECK(run_chart(run).empty());
}

TEST_CASE("more lines than can be told apart: those not as expected stay") {
    std::string text = "time";
    for (int i = 0; i < 12; ++i) text += fmt::format(",amps W{}", i);
    for (int row = 0; row < 5; ++row) {
        text += fmt::format("\n{}", row);
        for (int i = 0; i < 12; ++i) text += fmt::format(",{}", i);
    }
    ComparedRun run{"run.csv", read_run_log("run.csv", text + "\n"), {}, {}};
    REQUIRE(run.log.mistakes.empty());
    for (std::size_t column = 1; column <= 12; ++column) {
        RunCurrent current;
        current.column = column;
        current.above = column == 12;
        run.report.currents.push_back(current);
    }
    const Html chart = run_chart(run);
    CHECK(lines_of(chart, "c-strange").size() == 1);
    CHECK(lines_of(chart, "c-edge").size() == 4);
}

}  // namespace run_chart_test
