// `loomward check`: codes, streams, options.
#include <catch2/catch.hpp>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"

namespace check_test {

using Catch::Contains;
using Catch::EndsWith;
using Catch::StartsWith;
using program::Ending;
using program::Folder;
using program::run;

namespace {

// A folder with one harness of each kind.
struct Barrows : Folder {
    Barrows() {
        write("good.loom", harnesses::barrow);
        write("weak.loom", harnesses::weak_barrow);
        write("misspelt.loom", harnesses::misspelt_barrow);
    }
};

constexpr const char* reservation = "checked under the stated assumptions, not a licence: see local codes\n";

}  // namespace

TEST_CASE("a harness without errors ends with 0 and a verdict on standard output") {
    const Barrows folder;
    const Ending ending = run(folder, {"check", "good.loom"});
    CHECK(ending.code == 0);
    CHECK_THAT(ending.out, Contains("good.loom: no errors, ") && EndsWith(reservation));
    CHECK(ending.trouble.empty());
}

TEST_CASE("a harness with errors ends with 1 and shows each with its line") {
    const Barrows folder;
    const Ending ending = run(folder, {"check", "weak.loom"});
    CHECK(ending.code == 1);
    CHECK_THAT(ending.out,
               Contains("weak.loom:") && Contains(": error: ") && Contains("^") && EndsWith(reservation));
    CHECK(ending.trouble.empty());
}

TEST_CASE("a text with a mistake ends with 2, shows the mistake and draws no verdict") {
    const Barrows folder;
    const Ending ending = run(folder, {"check", "misspelt.loom"});
    CHECK(ending.code == 2);
    CHECK_THAT(ending.out, StartsWith("misspelt.loom:6:20: error: 'Watt' is not a unit [unknown-unit]\n"
                                      "    6 | load H1 { 48 V, 50 Watt }\n"
                                      "      |                    ^~~~"));
    CHECK_THAT(ending.out, EndsWith("\nmisspelt.loom: 1 mistake in the text; nothing was checked\n"));
    CHECK_THAT(ending.out, !Contains("licence"));
    CHECK(ending.trouble.empty());
}

TEST_CASE("of several files each is told, in order, and the worst decides the code") {
    const Barrows folder;
    const Ending two = run(folder, {"check", "weak.loom", "good.loom"});
    CHECK(two.code == 1);
    CHECK(two.out.find("weak.loom: ") < two.out.find("good.loom: no errors"));
    CHECK_THAT(two.out, EndsWith(reservation));

    const Ending four = run(folder, {"check", "nowhere.loom", "misspelt.loom", "weak.loom", "good.loom"});
    CHECK(four.code == 2);
    CHECK_THAT(four.out, Contains("misspelt.loom: 1 mistake") && Contains("good.loom: no errors"));
    CHECK(four.trouble == "loomward: there is no file 'nowhere.loom'\n");
}

TEST_CASE("a dash reads standard input") {
    const Folder folder;
    const Ending good = run(folder, {"check", "-"}, {.input = harnesses::barrow});
    CHECK(good.code == 0);
    CHECK_THAT(good.out, Contains("-: no errors, "));
    const Ending bad = run(folder, {"check", "-"}, {.input = harnesses::misspelt_barrow});
    CHECK(bad.code == 2);
    CHECK_THAT(bad.out, StartsWith("-:6:20: error: "));
    const Ending empty = run(folder, {"check", "-"});
    CHECK(empty.code == 2);
    CHECK_THAT(empty.out, StartsWith("-:1:1: error: "));
}

TEST_CASE("files that a harness uses are found beside it, wherever the program runs") {
    const Barrows folder;
    std::filesystem::create_directory(folder.path() / "shed");
    folder.write("shed/parts.loom", "loom 1\npart lamp is load { 48 V, 50 W }\n");
    folder.write("shed/barrow.loom", harnesses::with(harnesses::with(harnesses::barrow, "loom 1\n",
                                                                     "loom 1\nuse \"parts.loom\"\n"),
                                                     "H1 { 48 V, 50 W }", "H1 is lamp"));
    CHECK(run(folder, {"check", "shed/barrow.loom"}).code == 0);
    CHECK(run(folder, {"check", (folder.path() / "shed/barrow.loom").string()}).code == 0);
}

TEST_CASE("--mode looks at one mode, and a wrong one is said with what there is") {
    const Barrows folder;
    const Ending off = run(folder, {"check", "weak.loom", "--mode", "off"});
    CHECK_THAT(off.out, Contains("only 1 of 2 modes solved"));
    CHECK_THAT(off.out, !Contains("mode lit"));
    const Ending near = run(folder, {"check", "good.loom", "--mode", "lot"});
    CHECK(near.code == 2);
    CHECK(near.out.empty());
    CHECK(near.trouble == "loomward: good.loom: there is no mode named 'lot'; there is a mode named 'lit'\n");
    const Ending far = run(folder, {"check", "good.loom", "--mode", "climbing"});
    CHECK(far.trouble == "loomward: good.loom: there is no mode named 'climbing'; its modes are off, lit\n");
}

TEST_CASE("--assumptions lists who uses what was assumed") {
    const Barrows folder;
    const Ending brief = run(folder, {"check", "good.loom"});
    const Ending full = run(folder, {"check", "good.loom", "--assumptions"});
    CHECK(full.code == 0);
    CHECK_THAT(brief.out, Contains("assumed ("));
    CHECK(full.out.size() > brief.out.size());
}

TEST_CASE("colour is for terminals, unless somebody says otherwise") {
    const Barrows folder;
    const std::string escape = "\033[";
    const auto shown = [&](std::vector<std::string> more, program::Streams streams = {}) {
        more.insert(more.begin(), {"check", "misspelt.loom"});
        return run(folder, more, streams).out;
    };
    CHECK_THAT(shown({}), !Contains(escape));
    CHECK_THAT(shown({"--color", "always"}), Contains(escape));
    CHECK_THAT(shown({}, {.terminal = true}), Contains(escape));
    CHECK_THAT(shown({"--color", "never"}, {.terminal = true}), !Contains(escape) && Contains("Watt"));
    CHECK_THAT(shown({}, {.terminal = true, .environment = {{"NO_COLOR", "1"}}}),
               !Contains(escape) && Contains("Watt"));
    CHECK_THAT(shown({}, {.terminal = true, .environment = {{"NO_COLOR", ""}}}), Contains(escape));
    CHECK_THAT(shown({}, {.terminal = true, .environment = {{"TERM", "dumb"}}}),
               !Contains(escape) && Contains("Watt"));
    CHECK_THAT(shown({"--color", "always"}, {.environment = {{"NO_COLOR", "1"}}}), Contains(escape));
}

TEST_CASE("the same file gives the same bytes") {
    const Barrows folder;
    CHECK(run(folder, {"check", "weak.loom", "--assumptions"}).out ==
          run(folder, {"check", "weak.loom", "--assumptions"}).out);
}

}  // namespace check_test
