// Findings as text: whole outputs.
#include <catch2/catch.hpp>
#include <sstream>

#include "render/text/characters.hpp"
#include "render/text/text.hpp"
#include "tests/render/hand_made.hpp"

namespace text_finding_test {

using namespace loomward;

TEST_CASE("a finding shows its place, caret, notes, path, working, circumstances, source and help") {
    const Results results = hand_made::results();
    CHECK(finding_text(hand_made::full_finding(results), results, false) ==
          "yard.loom:4:15: error: wire W7 is guarded by too large a fuse [oversized-fuse]\n"
          "    4 | route F3.out (W7 1.5 mm2, 0.6 m, red) H1\n"
          "      |               ^~ may carry 16 A here; F3 lets 40 A pass for good\n"
          "      note:   yard.loom:3:6: fuse F3 is rated 40 A here\n"
          "      path:   B1.+ > W1 > F3 > W7\n"
          "      why:    1.35 x 40 A = 54 A\n"
          "              1.45 x 16 A = 23.2 A\n"
          "      at:     pack low, 40 degC, mode lift\n"
          "      source: IEC 60364-4-43, 433.1\n"
          "      help:   a fuse of 15 A or less would guard W7\n");
}

TEST_CASE("a finding with little to say is short") {
    const Results results = hand_made::results();
    Finding finding;
    finding.rule = "no-disconnect";
    finding.severity = Severity::warning;
    finding.message = "nothing switches the pack off";
    CHECK(finding_text(finding, results, false) ==
          "warning: nothing switches the pack off [no-disconnect]\n");
}

TEST_CASE("the circumstances are told in plain words") {
    const Results results = hand_made::results();
    struct Row {
        std::optional<Corner> corner;
        bool in_mode;
        std::string line;
    };
    const Row rows[] = {
        {Corner::fault_max, false, "at:     pack full, 10 degC, resistances at their lowest, every mode"},
        {Corner::fault_min, true,
         "at:     pack empty and aged, conductors hot, resistances at their highest, mode lift"},
        {Corner::run_hot, false, "at:     pack low, 40 degC, every mode"},
        {Corner::run_full, true, "at:     pack full, mode lift"},
        {std::nullopt, true, "at:     mode lift"},
    };
    for (const Row& row : rows) {
        Finding finding;
        finding.wire = WireId(0);
        finding.corner = row.corner;
        if (row.in_mode) finding.mode = ModeId(0);
        CHECK_THAT(finding_text(finding, results, false), Catch::Contains("      " + row.line + "\n"));
    }
}

TEST_CASE("long parts of a finding are wrapped at 100 columns and lose no word") {
    const Results results = hand_made::results();
    Finding finding = hand_made::full_finding(results);
    finding.message = "short";
    finding.beside.clear();
    std::string words;
    for (int i = 0; i < 60; ++i) words += "word" + std::to_string(i) + " ";
    finding.help = words;
    finding.witness.clear();
    for (int i = 0; i < 24; ++i) finding.witness.push_back({"T1.long-name.W" + std::to_string(i), {}});
    const std::string text = finding_text(finding, results, false);
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        CHECK(display_width(line) <= 100);
        CHECK(line.find_last_not_of(' ') == line.size() - 1);
        CHECK_THAT(line, !Catch::StartsWith("              >"));
    }
    std::istringstream all(text.substr(text.find("help:") + 5)), expected(words);
    for (std::string word, wanted; expected >> wanted;) {
        REQUIRE(all >> word);
        CHECK(word == wanted);
    }
}

TEST_CASE("of a witness as long as a harness both ends are shown") {
    const Results results = hand_made::results();
    Finding finding;
    for (int i = 0; i < 1000; ++i) finding.witness.push_back({"W" + std::to_string(i), {}});
    const std::string text = finding_text(finding, results, false);
    CHECK_THAT(text, Catch::Contains("W0 > ") && Catch::Contains("W11 > (976 more) > W988") &&
                         Catch::Contains(" > W999\n") && !Catch::Contains("W500"));
}

TEST_CASE("a remark that has no room beside the caret stands below it") {
    const Results results = hand_made::results();
    Finding finding = hand_made::full_finding(results);
    finding.beside = std::string(60, 'x') + " may carry 16 A here";
    const std::string text = finding_text(finding, results, false);
    // 80 columns of remark, moved left to end in column 100
    CHECK_THAT(text,
               Catch::Contains("      |               ^~\n      |             " + finding.beside + "\n"));
}

TEST_CASE("copies of a repeated assembly are told once, with their number") {
    const Results results = hand_made::results();
    Finding finding = hand_made::full_finding(results);
    finding.copies = 300;
    CHECK_THAT(finding_text(finding, results, false),
               Catch::Contains("      note:   the same in 300 copies; told once\n"));
}

TEST_CASE("each severity has its word") {
    const Results results = hand_made::results();
    Finding finding;
    finding.rule = "r";
    finding.message = "m";
    for (const auto& [severity, word] :
         {std::pair{Severity::error, "error: m [r]\n"}, std::pair{Severity::warning, "warning: m [r]\n"},
          std::pair{Severity::note, "note: m [r]\n"}}) {
        finding.severity = severity;
        CHECK(finding_text(finding, results, false) == word);
    }
}

}  // namespace text_finding_test
