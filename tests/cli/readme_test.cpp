// The output shown in README.md is what the program prints for the text shown there.
#include <catch2/catch.hpp>

#include "tests/approved.hpp"
#include "tests/cli/program.hpp"

namespace readme_test {

namespace {

// What stands between a line that is `fence` and the next ``` line.
struct Block {
    std::size_t begin = 0;
    std::size_t end = 0;
    std::string text;
};

Block block(const std::string& page, const std::string& fence) {
    const std::size_t found = page.find("\n" + fence + "\n");
    REQUIRE(found != std::string::npos);
    const std::size_t begin = found + fence.size() + 2;
    const std::size_t end = page.find("```\n", begin);
    REQUIRE(end != std::string::npos);
    return {begin, end, page.substr(begin, end - begin)};
}

}  // namespace

TEST_CASE("the output in the README is what the program prints") {
    std::string page = approved::read("README.md");
    const program::Folder folder;
    folder.write("barrow.loom", block(page, "```loom").text);
    const program::Ending ending = program::run(folder, {"check", "barrow.loom"});
    CHECK(ending.code == 1);
    CHECK(program::run(folder, {"format", "--check", "barrow.loom"}).code == 0);
    CHECK(ending.trouble.empty());
    const Block shown = block(page, "```text");
    const std::string expected = page.replace(shown.begin, shown.end - shown.begin, ending.out);
    CHECK(approved::compare_with("README.md", expected) == expected);
}

}  // namespace readme_test
