// Each kind of mistake is explained, and its examples are what they say they are.
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>

#include "parser/language/mistakes.hpp"
#include "parser/read.hpp"
#include "tests/no_files.hpp"

namespace mistakes_explained_test {

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

std::set<std::string> mistakes_in(std::string_view example) {
    NoFiles files;
    const std::vector<std::string_view> rules = {"voltage-drop"};
    const bool whole = example.starts_with("loom ") || example.starts_with("harness ");
    const std::string text = (whole ? "" : std::string(mistake_frame)) + std::string(example) + "\n";
    std::set<std::string> ids;
    for (const Diagnostic& mistake : read_harness_text("bench.loom", text, files, {rules}).mistakes)
        ids.insert(mistake.id);
    return ids;
}

// Every id that some line of the parser makes a mistake with: the word before a place in the source.
std::set<std::string> ids_in_the_parser() {
    const std::regex made(
        R"re((?:say|bad|fail|tell|say_at|push_back|Diagnostic mistake|return|=)\s*(?:\(|\{)?\s*\{?\s*"([a-z]+(?:-[a-z0-9]+)*)",\s*(?:\{|[a-z_.A-Z]))re");
    std::set<std::string> ids;
    const std::filesystem::path root(LOOMWARD_SOURCE_DIR "/parser");
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root)) {
        if (entry.path().extension() != ".cpp" || entry.path().filename() == "mistakes.cpp") continue;
        std::ifstream file(entry.path());
        const std::string text{std::istreambuf_iterator<char>(file), {}};
        for (std::sregex_iterator at(text.begin(), text.end(), made), end; at != end; ++at)
            ids.insert((*at)[1]);
    }
    return ids;
}

}  // namespace

TEST_CASE("every kind of mistake is explained", "[messages]") {
    const std::set<std::string> made = ids_in_the_parser();
    CHECK(made.size() > 60);
    for (const std::string& id : made) {
        // Words of values, which stand in the source as ids do.
        if (id == "low" || id == "signal" || id == "supply" || id == "volts") continue;
        CAPTURE(id);
        CHECK(find_mistake(id));
    }
}

TEST_CASE("the table of mistakes is in order, and each example is wrong and right in that alone",
          "[messages]") {
    REQUIRE(mistakes_in("") == std::set<std::string>{});
    std::string_view last;
    for (const MistakeInfo& row : mistake_table()) {
        CAPTURE(row.id);
        CHECK(last < row.id);
        last = row.id;
        CHECK(row.means.ends_with('.'));
        CHECK(row.wrong.empty() == row.right.empty());
        if (row.wrong.empty()) continue;
        CHECK(mistakes_in(row.wrong) == std::set<std::string>{std::string(row.id)});
        CHECK(mistakes_in(row.right) == std::set<std::string>{});
    }
}

}  // namespace mistakes_explained_test
