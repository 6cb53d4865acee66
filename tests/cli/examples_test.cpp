// Every harness in examples/ is checked, and the errors found are exactly those that its own comments name:
//     fuse F4 is blade { 3 A }   # expect: fuse-voltage
// stands for one or more errors of that rule at that line; a file without such comments has none at all.
#include <sys/wait.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "checker/results.hpp"
#include "parser/read.hpp"
#include "render/text/text.hpp"

namespace examples_test {

namespace {

using namespace loomward;
namespace fs = std::filesystem;

const fs::path examples = fs::path(LOOMWARD_SOURCE_DIR) / "examples";

class Folder : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        std::ifstream in(path, std::ios::binary);
        if (!in) return std::nullopt;
        return std::string(std::istreambuf_iterator<char>(in), {});
    }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

std::string text_of(const fs::path& path) {
    return Folder().read(path.string()).value_or("");
}

// The files that are a harness of their own; a shelf of part types is not.
std::vector<fs::path> harness_files() {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(examples))
        if (entry.path().extension() == ".loom" &&
            text_of(entry.path()).find("\nharness ") != std::string::npos)
            files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
}

// "27: fuse-voltage": a line of the file and a rule.
using Places = std::set<std::string>;

std::string place(std::size_t line, const std::string& rule) {
    const std::string number = std::to_string(line);
    return std::string(number.size() < 4 ? 4 - number.size() : 0, ' ') + number + ": " + rule;
}

Places expected_places(const std::string& text) {
    static const std::string mark = "# expect: ";
    Places places;
    std::istringstream lines(text);
    std::string line;
    for (std::size_t number = 1; std::getline(lines, line); ++number) {
        const std::size_t at = line.find(mark);
        if (at == std::string::npos) continue;
        std::istringstream rules(line.substr(at + mark.size()));
        std::string rule;
        while (std::getline(rules >> std::ws, rule, ',')) places.insert(place(number, rule));
    }
    return places;
}

std::vector<std::string_view> rule_names() {
    std::vector<std::string_view> names;
    for (const RuleInfo& rule : rule_list()) names.push_back(rule.name);
    return names;
}

// Everything wrong with the file at error level; mistakes in its language come as themselves.
Places found_places(const fs::path& path, const std::string& text) {
    Folder folder;
    const std::vector<std::string_view> rules = rule_names();
    const ReadResult read = read_harness_text(path.string(), text, folder, {rules});
    Places places;
    for (const Diagnostic& mistake : read.mistakes)
        places.insert(mistake_text(mistake, *read.sources, false));
    if (!read.harness) return places;
    const Results results = check(std::make_shared<const Harness>(*read.harness));
    for (const Finding& finding : results.findings) {
        if (finding.severity != Severity::error || finding.accepted) continue;
        const bool here =
            finding.where.valid() && read.sources->file(finding.where.file).path == path.string();
        places.insert(here ? place(read.sources->position(finding.where).line, finding.rule)
                           : "elsewhere: " + finding.rule + " on " + finding.subject);
    }
    return places;
}

// What one set has and the other has not, one a line; empty if they agree.
std::string difference(const Places& expected, const Places& found) {
    std::string text;
    for (const std::string& here : expected)
        if (!found.count(here)) text += "expected and not found: " + here + "\n";
    for (const std::string& here : found)
        if (!expected.count(here)) text += "found and not expected: " + here + "\n";
    return text;
}

std::string difference_in(const fs::path& path, const std::string& text) {
    return difference(expected_places(text), found_places(path, text));
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

// Exit status of `loomward check FILE`, output thrown away.
int exit_status_of_check(const fs::path& path) {
    const std::string command =
        std::string("'") + LOOMWARD_PROGRAM + "' check '" + path.string() + "' > /dev/null 2> /dev/null";
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace

TEST_CASE("every example has exactly the errors that its comments name", "[examples]") {
    const std::vector<fs::path> files = harness_files();
    REQUIRE(files.size() >= 7);
    for (const fs::path& path : files) {
        INFO(path.filename().string());
        CHECK(difference_in(path, text_of(path)) == "");
    }
}

TEST_CASE("the program exits with 0 on a sound example and with 1 on one with mistakes", "[examples]") {
    std::size_t sound = 0, mistaken = 0;
    for (const fs::path& path : harness_files()) {
        INFO(path.filename().string());
        const bool has_mistakes = !expected_places(text_of(path)).empty();
        ++(has_mistakes ? mistaken : sound);
        CHECK(exit_status_of_check(path) == (has_mistakes ? 1 : 0));
    }
    CHECK(sound >= 6);
    CHECK(mistaken >= 1);
}

TEST_CASE("the cart with mistakes shows at least twelve of them, of at least twelve rules", "[examples]") {
    const Places expected = expected_places(text_of(examples / "market-cart-mistakes.loom"));
    std::set<std::string> rules;
    for (const std::string& here : expected) rules.insert(here.substr(here.find(": ") + 2));
    CHECK(expected.size() >= 12);
    CHECK(rules.size() >= 12);
    const std::vector<std::string_view> known = rule_names();
    for (const std::string& rule : rules) CHECK(std::find(known.begin(), known.end(), rule) != known.end());
}

TEST_CASE("an error nobody marked and a mark with no error both show up", "[examples]") {
    const fs::path path = examples / "market-cart.loom";
    const std::string sound = text_of(path);
    REQUIRE(difference_in(path, sound) == "");

    SECTION("a fuse of too low a voltage, not marked") {
        const std::string text = replaced(sound, "\"key and coils\" is midget", "\"key and coils\" is blade");
        CHECK_THAT(difference_in(path, text),
                   Catch::StartsWith("found and not expected: ") && Catch::Contains(": fuse-voltage"));
    }
    SECTION("a mark where nothing is wrong") {
        const std::string text =
            replaced(sound, "pack B1 \"traction pack\" {", "pack B1 \"traction pack\" {  # expect: reversed");
        CHECK_THAT(difference_in(path, text),
                   Catch::StartsWith("expected and not found: ") && Catch::Contains(": reversed"));
    }
    SECTION("a mark with the right rule on the wrong line") {
        const std::string text =
            replaced(replaced(sound, "\"key and coils\" is midget", "\"key and coils\" is blade"),
                     "resistor R1", "# expect: fuse-voltage\nresistor R1");
        const std::string told = difference_in(path, text);
        CHECK_THAT(
            told, Catch::Contains("expected and not found: ") && Catch::Contains("found and not expected: "));
    }
    SECTION("a mistake in the language") {
        const std::string text = replaced(sound, "capacitance 2.4 mF", "capacitance 2,4 mF");
        CHECK_THAT(difference_in(path, text), Catch::Contains("[decimal-comma]"));
    }
    SECTION("a mark taken away from the cart with mistakes") {
        const fs::path mistaken = examples / "market-cart-mistakes.loom";
        const std::string text = replaced(text_of(mistaken), "# expect: ", "# once: ");
        CHECK_THAT(difference_in(mistaken, text), Catch::StartsWith("found and not expected: "));
    }
}

}  // namespace examples_test
