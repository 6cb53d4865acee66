// docs/first-harness.md: a harness written by `new`, completed by answering what a check asks, until it
// passes. The texts and what is said of them are made here.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <sstream>

#include "checker/results.hpp"
#include "parser/first/first_harness.hpp"
#include "parser/read.hpp"
#include "render/text/text.hpp"
#include "tests/approved.hpp"
#include "tests/no_files.hpp"

namespace first_page_test {

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

struct Answer {
    std::string instead_of, written;
};
struct AnswerRound {
    std::string title, told;
    std::vector<Answer> answers;
};

FirstHarness water_cart() {
    FirstHarness told;
    told.name = "Water cart";
    told.cells = "7s6p";
    told.capacity = "18 Ah";
    told.discharge = "30 A";
    told.bms_side = "low";
    told.isolator = told.switched = told.charger = told.charge_plug = true;
    told.loads = {{"pump", {"24 V", "5 A"}, false}, {"lamp", {"24 V", "10 W"}, false}};
    told.charger_output = "29.4 V 3 A";
    return told;
}

const std::vector<AnswerRound> rounds = {
    {"Lengths and sizes",
     "Most hangs on the wires. A string along each, and what stands on the insulation:",
     {{"(W1)", "(W1 4 mm2, 0.1 m, red)"},
      {"(W2)", "(W2 4 mm2, 0.2 m, red)"},
      {"(W3)", "(W3 4 mm2, 0.4 m, red)"},
      {"(W4)", "(W4 4 mm2, 0.2 m, black)"},
      {"(W5)", "(W5 4 mm2, 0.3 m, black)"},
      {"(W6)", "(W6 1.5 mm2, 0.1 m, red)"},
      {"(W7)", "(W7 1.5 mm2, 1.2 m, red)"},
      {"(W8)", "(W8 1.5 mm2, 0.6 m, red)"},
      {"(W9)", "(W9 1.5 mm2, 1.7 m, black)"},
      {"(W10)", "(W10 1 mm2, 0.1 m, red)"},
      {"(W11)", "(W11 1 mm2, 1.2 m, red)"},
      {"(W12)", "(W12 1 mm2, 0.8 m, red)"},
      {"(W13)", "(W13 1 mm2, 1.9 m, black)"},
      {"(W14)", "(W14 1.5 mm2, 0.1 m, red)"},
      {"(W15)", "(W15 1.5 mm2, 0.5 m, red)"},
      {"(W16)", "(W16 1.5 mm2, 1.5 m, red)"},
      {"(W17)", "(W17 1.5 mm2, 1.5 m, black)"},
      {"(W18)", "(W18 1.5 mm2, 0.5 m, black)"}}},
    {"What stands on the prints",
     "The main fuse lies within reach of the pack now. Next it asks for what is printed on fuses, switches "
     "and the "
     "plug. The fuses are what was at hand:",
     {{"fuse F1 \"main fuse\"  # nobody told of it",
       "fuse F1 \"main fuse\" { 15 A, 58 V dc, breaks 1 kA at 58 V dc, curve iso8820-3 }"},
      {"fuse F2 \"pump\"  # nobody told of it",
       "fuse F2 \"pump\" { 10 A, 58 V dc, breaks 1 kA at 58 V dc, curve iso8820-3 }"},
      {"fuse F3 \"lamp\"  # nobody told of it",
       "fuse F3 \"lamp\" { 2 A, 58 V dc, breaks 1 kA at 58 V dc, curve iso8820-3 }"},
      {"fuse F4 \"charger\"  # nobody told of it",
       "fuse F4 \"charger\" { 5 A, 58 V dc, breaks 1 kA at 58 V dc, curve iso8820-3 }"},
      {"switch S1 \"isolator\"",
       "switch S1 \"isolator\" { 48 V dc, carries 50 A, makes 50 A, breaks 50 A at 48 V dc }"},
      {"switch S2 \"pump\"", "switch S2 \"pump\" { 48 V dc, carries 10 A, breaks 10 A at 48 V dc }"},
      {"switch S3 \"lamp\"", "switch S3 \"lamp\" { 48 V dc, carries 10 A, breaks 10 A at 48 V dc }"},
      {"\"plus\" { studs 4 }", "\"plus\" { studs 4, carries 50 A }"},
      {"\"minus\" { studs 4 }", "\"minus\" { studs 4, carries 50 A }"},
      {"half socket, contacts + - }",
       "half socket, contacts + -, carries 10 A, 60 V, takes 0.5..2.5 mm2\n"
       "  rated-at 30 degC, limit 100 degC }"}}},
    {"The data sheets, and the thermometer",
     "What is left stands in data sheets, in the settings of the battery management, and on a thermometer:",
     {{"harness \"Water cart\"", "harness \"Water cart\" { ambient 0..40 degC, insulation pvc 90 degC }"},
      {"pack B1 { cells 7s6p, cell-capacity 3 Ah, discharge 30 A }",
       "pack B1 {\n  cells 7s6p, cell-voltage 3.0..4.2 V, cell-resistance 20..35 mohm, cell-capacity 3 Ah\n"
       "  discharge 30 A, charge 9 A\n}"},
      {"bms Q1 { side low, ports common }",
       "bms Q1 {\n  side low, ports common, discharge 30 A, charge 15 A, resistance 4 mohm\n"
       "  trips 60 A after 1 s, trips 200 A after 0.5 ms, charge-trips 25 A after 2 s\n}"},
      {"{ 24 V, 5 A }", "{ 24 V, 5 A, works 18..30 V }"},
      {"{ 24 V, 10 W }", "{ 24 V, 10 W, works 18..30 V }"},
      {"{ output 29.4 V 3 A }", "{ output 29.4 V 3 A, reverse blocked }"}}},
    {"What was hidden comes to light",
     "Now nothing is open, and an error is certain: such a pack drives more through a short circuit than the "
     "fuse that "
     "was at hand can break. Another main fuse is bought:",
     {{"{ 15 A, 58 V dc, breaks 1 kA at 58 V dc, curve iso8820-3 }",
       "{ 15 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }"}}},
    {"How it is used",
     "A check has made the modes itself until now. What is on at once, and that the plug is out under way, "
     "only its "
     "owner knows:",
     {{"# No mode is written yet: until there is one, a check makes some. For instance\n"
       "# mode parked { others at rest }\n",
       "mode parked { J1 unmated, others at rest }\n"
       "mode water { like parked, S1 S2 closed }\n"
       "mode night { like water, S3 closed }\n"
       "mode charge { like parked, J1 mated, S1 closed, G1 delivers 3 A }\n"}}},
};

std::string with(std::string text, const Answer& answer) {
    const std::size_t at = text.find(answer.instead_of);
    REQUIRE(at != std::string::npos);
    return text.replace(at, answer.instead_of.size(), answer.written);
}

Results checked(const std::string& text) {
    NoFiles files;
    ReadResult read = read_harness_text("water.loom", text, files, {});
    for (const Diagnostic& mistake : read.mistakes) UNSCOPED_INFO(mistake.id << ": " << mistake.message);
    REQUIRE(read.harness);
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}

// What a check says first and last: whether it may be switched on, what parts have to be, what to find out,
// verdict.
std::string told_of(const Results& results) {
    std::istringstream text(results_text(results, "water.loom", {}));
    std::string told, block;
    bool first = true;
    for (std::string line; std::getline(text, line);) {
        if (!line.empty()) {
            block += line + "\n";
            continue;
        }
        if (first && !block.starts_with("water.loom:")) told += block + "\n";
        first = false;
        if (block.starts_with("has to (") || block.starts_with("find out first (")) told += block + "\n";
        block.clear();
    }
    return told + block.substr(block.rfind('\n', block.size() - 2) + 1);
}

std::string shown(const std::string& text, const Results& results) {
    return fmt::format("```loom\n{}```\n\n```text\n{}```\n", text, told_of(results));
}

std::string wrapped(const std::string& prose) {
    std::istringstream words(prose);
    std::string text;
    std::size_t column = 0;
    for (std::string word; words >> word; column += word.size() + 1) {
        if (column > 0 && column + word.size() > 118) column = 0;
        text += (text.empty() ? "" : column == 0 ? "\n" : " ") + word;
    }
    return text;
}

std::string laid_out(const std::string& text) {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    return format_text("water.loom", text, sources, mistakes).value_or("");
}

std::size_t possible_errors(const Results& results) {
    return static_cast<std::size_t>(std::count_if(
        results.findings.begin(), results.findings.end(),
        [](const Finding& finding) { return finding.severity == Severity::error && !finding.accepted; }));
}

}  // namespace

TEST_CASE("the page of the first harness goes from `new` to a pass by answering what is asked") {
    std::string page =
        "# A first harness, from nothing to a pass\n\n" +
        wrapped(
            "This page is made by a test: the texts below are read, and what is said of them is what the "
            "program "
            "says. Of each check the beginning, the questions and the last line are shown; between them "
            "stand the "
            "findings. After each step `loomward format` lays the text out.") +
        "\n\nA cart with a pump and a lamp. What its builder knows without getting up:\n\n"
        "    loomward new water.loom --name \"Water cart\" --cells 7s6p --capacity \"18 Ah\" --discharge "
        "\"30 A\" \\\n"
        "        --bms low --isolator --load \"pump 24 V 5 A\" --load \"lamp 24 V 10 W\" --switches \\\n"
        "        --charger \"29.4 V 3 A\" --charge-plug\n\n"
        "Fuses and bars were put in unasked. Nothing else was: what is left out is not known.\n\n";
    std::string text = first_harness_text(water_cart());
    Results results = checked(text);
    CHECK(possible_errors(results) > 0);
    page += shown(text, results);
    for (const AnswerRound& step : rounds) {
        for (const Answer& answer : step.answers) text = with(std::move(text), answer);
        text = laid_out(text);
        results = checked(text);
        page += fmt::format("\n## {}\n\n{}\n\n{}", step.title, wrapped(step.told), shown(text, results));
    }
    CHECK(results.count(Severity::error) == 0);
    CHECK(results.count(Severity::warning) == 0);
    CHECK(possible_errors(results) == 0);
    page +=
        "\nIt passes these checks under these assumptions. What the notes say is worth reading all the same, "
        "and "
        "local codes and licensed practice come first.\n";
    CHECK(approved::compare_with("docs/first-harness.md", page) == page);
}

}  // namespace first_page_test
