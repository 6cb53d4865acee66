// `loomward format`: to standard output, in place, or only asked.
#include <catch2/catch.hpp>
#include <filesystem>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"

namespace format_test {

using Catch::Contains;
using program::Ending;
using program::Folder;
using program::run;

namespace {

const std::string untidy =
    harnesses::with(harnesses::barrow, "load H1 { 48 V, 50 W }", "load H1   { 48V,50 W }");
// A sign that no text may hold: the formatter cannot know what was meant.
const std::string broken = harnesses::with(harnesses::barrow, "50 W }", "50 W ; }");

}  // namespace

TEST_CASE("the tidy text goes to standard output and the file stays") {
    const Folder folder;
    folder.write("cart.loom", untidy);
    const Ending ending = run(folder, {"format", "cart.loom"});
    CHECK(ending.code == 0);
    CHECK(ending.out == harnesses::barrow);
    CHECK(ending.trouble.empty());
    CHECK(folder.read("cart.loom") == untidy);
    CHECK(run(folder, {"format", "-"}, {.input = untidy}).out == harnesses::barrow);
}

TEST_CASE("--write replaces the file, keeps its permissions, and leaves a tidy one untouched") {
    const Folder folder;
    folder.write("cart.loom", untidy);
    std::filesystem::permissions(folder.path() / "cart.loom", std::filesystem::perms(0600));
    const Ending ending = run(folder, {"format", "--write", "cart.loom"});
    CHECK(ending.code == 0);
    CHECK(ending.out.empty());
    CHECK(folder.read("cart.loom") == harnesses::barrow);
    CHECK(std::filesystem::status(folder.path() / "cart.loom").permissions() == std::filesystem::perms(0600));
    CHECK(folder.names() == std::vector<std::string>{"cart.loom"});

    const auto before = std::filesystem::last_write_time(folder.path() / "cart.loom");
    CHECK(run(folder, {"format", "--write", "cart.loom"}).code == 0);
    CHECK(std::filesystem::last_write_time(folder.path() / "cart.loom") == before);
}

TEST_CASE("--check names the files that would change and changes none") {
    const Folder folder;
    folder.write("tidy.loom", harnesses::barrow);
    folder.write("untidy.loom", untidy);
    const Ending ending = run(folder, {"format", "--check", "tidy.loom", "untidy.loom"});
    CHECK(ending.code == 1);
    CHECK(ending.out == "untidy.loom\n");
    CHECK(folder.read("untidy.loom") == untidy);
    CHECK(run(folder, {"format", "--check", "tidy.loom"}).code == 0);
}

TEST_CASE("a text with mistakes stays as it is; the others are still laid out") {
    const Folder folder;
    folder.write("broken.loom", broken);
    folder.write("untidy.loom", untidy);
    const Ending ending = run(folder, {"format", "--write", "broken.loom", "untidy.loom"});
    CHECK(ending.code == 2);
    CHECK(ending.out.empty());
    CHECK_THAT(ending.trouble,
               Contains("broken.loom has mistakes and stays as it is") && Contains("broken.loom:6:"));
    CHECK(folder.read("broken.loom") == broken);
    CHECK(folder.read("untidy.loom") == harnesses::barrow);
}

}  // namespace format_test
