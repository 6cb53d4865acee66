// Files that cannot be a harness, streams that cannot be written, command lines that mean nothing.
#include <catch2/catch.hpp>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"

namespace bad_input_test {

using Catch::Contains;
using Catch::StartsWith;
using program::Ending;
using program::Folder;
using program::run;

TEST_CASE("input that cannot be read ends with 2 and says why") {
    const Folder folder;
    folder.write("cart.loom", harnesses::barrow);
    std::filesystem::create_directory(folder.path() / "shed");
    folder.write("huge.loom", "loom 1\n");
    std::filesystem::resize_file(folder.path() / "huge.loom", (64u << 20) + 1);
    struct Row {
        std::string name, trouble;
    };
    const Row rows[] = {
        {"crat.loom", "loomward: there is no file 'crat.loom'; there is a file 'cart.loom'\n"},
        {"nothing", "loomward: there is no file 'nothing'\n"},
        {"cart.loom/x", "loomward: there is no file 'cart.loom/x'\n"},
        {"shed", "loomward: 'shed' is a folder, not a file\n"},
        {"huge.loom", "loomward: 'huge.loom' is larger than 64 MiB\n"},
        {"a\033[31m", "loomward: there is no file 'a\uFFFD[31m'\n"},
    };
    for (const Row& row : rows) {
        for (const std::string command : {"check", "zones", "format"}) {
            const Ending ending = run(folder, {command, row.name});
            CHECK(ending.code == 2);
            CHECK(ending.out.empty());
            CHECK(ending.trouble == row.trouble);
        }
        const Ending draw = run(folder, {"draw", row.name, "-o", "sheet.svg"});
        CHECK(draw.code == 2);
        CHECK(draw.trouble == row.trouble);
        CHECK(!std::filesystem::exists(folder.path() / "sheet.svg"));
    }
}

TEST_CASE("a file that is no harness text ends with 2 and a message with a position") {
    const Folder folder;
    const std::string texts[] = {"",
                                 "\n\n",
                                 "not a harness",
                                 std::string("\x7f\x45LF\0\0\0\x02", 8),
                                 "\x89PNG\r\n\x1a\n",
                                 std::string(1000, '\0'),
                                 "loom 1\n" + std::string(3, '\0'),
                                 "loom 1\nharness \"x\" { ambient \xff degC }\n"};
    for (const std::string& text : texts) {
        folder.write("odd.loom", text);
        const Ending ending = run(folder, {"check", "odd.loom"});
        CAPTURE(text, ending.out);
        CHECK(ending.code == 2);
        CHECK_THAT(ending.out, StartsWith("odd.loom:"));
        CHECK_THAT(ending.out, Contains(": error: "));
        CHECK_THAT(ending.out, Contains("nothing was checked\n"));
        CHECK(ending.out.find('\0') == std::string::npos);
    }
}

TEST_CASE("a file of exactly the largest size is read") {
    const Folder folder;
    folder.write("large.loom", harnesses::barrow + "#");
    std::string text = harnesses::barrow + "#";
    text.resize((64u << 20) - 1, '-');
    folder.write("large.loom", text + "\n");
    CHECK(run(folder, {"check", "large.loom"}).code == 0);
}

TEST_CASE("a command line that means nothing ends with 2, its reason on standard error") {
    const Folder folder;
    folder.write("cart.loom", harnesses::barrow);
    struct Row {
        std::vector<std::string> arguments;
        std::string trouble;
    };
    const std::string more = "Run with --help for more information.\n";
    const Row rows[] = {
        {{},
         "loomward: a command is missing: check, draw, zones, fault, budget, endurance, mend, failures, new, "
         "report, schedules, power-up, readings, hand-over, compare, spice, "
         "format or explain (--help tells more)\n"},
        {{"chekc", "cart.loom"}, "loomward: there is no command 'chekc'; there is a command 'check'\n"},
        {{"cart.loom"}, "loomward: there is no command 'cart.loom'; write: loomward check cart.loom\n"},
        {{"frobnicate"},
         "loomward: there is no command 'frobnicate'; the commands are check, draw, zones, fault, budget, "
         "endurance, mend, failures, new, report, schedules, power-up, readings, hand-over, compare, spice, "
         "format, explain\n"},
        {{"check"}, "loomward: FILE is required\n" + more},
        {{"check", "-", "-"}, "loomward: standard input (-) can be read only once\n"},
        {{"check", "cart.loom", "--format", "xml"},
         "loomward: --format: xml not in {text,json,sarif}\n" + more},
        {{"check", "cart.loom", "--color", "blue"},
         "loomward: --color: blue not in {auto,always,never}\n" + more},
        {{"check", "cart.loom", "--mode"}, "loomward: --mode: 1 required NAME missing\n" + more},
        {{"check", "cart.loom", "--wrong"},
         "loomward: check has no option '--wrong'; its options are --help, -h, --format, --mode, "
         "--assumptions, "
         "--unknowns, --brief, --by, --color\n"},
        {{"draw", "cart.loom"}, "loomward: --output is required\n" + more},
        {{"draw", "cart.loom", "cart.loom", "-o", "x.svg"},
         "loomward: FILE: At Most 1 required but received 2\n" + more},
        {{"draw", "cart.loom", "-o", "x.gif"},
         "loomward: 'x.gif' ends neither with .svg nor .png nor .pdf nor .dot\n"},
        {{"draw", "cart.loom", "-o", "x.png", "--dpi", "9"},
         "loomward: --dpi: Value 9 not in range 30.000000 to 1200.000000\n" + more},
        {{"draw", "cart.loom", "-o", "x.png", "--paper", "a9"},
         "loomward: --paper: a9 not in {a4,a3,letter,tabloid}\n" + more},
        {{"format", "cart.loom", "--write", "--check"}, "loomward: --write excludes --check\n" + more},
        {{"format", "--write", "-"}, "loomward: standard input cannot be replaced: leave out --write or -\n"},
        {{"explain", "no-such-rule-at-all"},
         "loomward: there is no rule named 'no-such-rule-at-all'; 'loomward explain' lists them\n"},
    };
    for (const Row& row : rows) {
        const Ending ending = run(folder, row.arguments);
        CHECK(ending.code == 2);
        CHECK(ending.out.empty());
        CHECK(ending.trouble == row.trouble);
    }
    CHECK(folder.names() == std::vector<std::string>{"cart.loom"});
}

TEST_CASE("a result that cannot be written out is not reported as one") {
    const Folder folder;
    folder.write("cart.loom", harnesses::barrow);
    const std::vector<std::vector<std::string>> lines = {{"check", "cart.loom"},
                                                         {"check", "cart.loom", "--format", "json"},
                                                         {"format", "cart.loom"},
                                                         {"explain"},
                                                         {"--help"},
                                                         {"draw", "cart.loom", "-o", "-"}};
    for (const std::vector<std::string>& line : lines) {
        const Ending full = run(folder, line, {.output_to = "/dev/full"});
        CHECK(full.code == 2);
        CHECK(full.trouble == "loomward: cannot write to standard output: No space left on device\n");
        const Ending closed = run(folder, line, {.output_closed = true});
        CHECK(closed.code == 2);
        CHECK(closed.trouble == "loomward: cannot write to standard output: Bad file descriptor\n");
    }
}

#if !defined(__SANITIZE_ADDRESS__)  // the sanitizer itself needs terabytes of address space
TEST_CASE("running out of memory ends with 3 and a plain message") {
    const Folder folder;
    std::string text = harnesses::barrow;
    for (int i = 0; text.size() < (48u << 20); ++i)
        text += "resistor R" + std::to_string(i) + " { 47 ohm, 25 W, note \"one of very many\" }\n";
    folder.write("endless.loom", text);
    const Ending ending = run(folder, {"check", "endless.loom"}, {.memory_bytes = std::size_t{320} << 20});
    CHECK(ending.code == 3);
    CHECK(ending.out.empty());
    CHECK_THAT(ending.trouble, StartsWith("loomward: internal failure, nothing above is to be relied on: "));
}
#endif

}  // namespace bad_input_test
