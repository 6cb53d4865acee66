// `loomward report`, `loomward schedules`, and what `explain` says of the command line itself.
#include <catch2/catch.hpp>

#include <filesystem>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace report_test {

using program::Ending;
using program::Folder;
using program::run;

TEST_CASE("a report is written, the verdict printed, and the exit status is that of the check") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("weak.loom", harnesses::weak_barrow);
    const Ending fine = run(folder, {"report", "barrow.loom", "-o", "barrow.html"});
    CHECK(fine.code == 0);
    CHECK(fine.out.find("barrow.loom: ") == 0);
    CHECK(fine.trouble.empty());
    CHECK(folder.read("barrow.html").starts_with("<!doctype html>"));
    CHECK(folder.read("barrow.html").find("No errors found in what was checked") != std::string::npos);
    const Ending weak = run(folder, {"report", "weak.loom", "-o", "-"});
    CHECK(weak.code == 1);
    CHECK(weak.out.find("Do not switch on.") != std::string::npos);
}

TEST_CASE("what was tried stands in the report where it is asked for") {
    const Folder folder;
    folder.write("weak.loom", harnesses::weak_barrow);
    CHECK(run(folder, {"report", "weak.loom", "-o", "-"}).out.find("tried, checked again") ==
          std::string::npos);
    const Ending mended = run(folder, {"report", "weak.loom", "-o", "-", "--mend"});
    CHECK(mended.out.find("tried, checked again") != std::string::npos);
    CHECK(mended.out.find("made together, and checked again:") != std::string::npos);
}

TEST_CASE("several reports go into a folder, one a harness; a harness is never written over") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("weak.loom", harnesses::weak_barrow);
    folder.write("bad.loom", harnesses::misspelt_barrow);
    const Ending all = run(folder, {"report", "barrow.loom", "weak.loom", "bad.loom", "-o", "reports"});
    CHECK(all.code == 2);
    for (const char* name : {"reports/barrow.html", "reports/weak.html", "reports/bad.html"})
        CHECK(std::filesystem::exists(folder.path() / name));
    CHECK(folder.read("reports/bad.html").find("Nothing can be said about this harness.") !=
          std::string::npos);
    CHECK(run(folder, {"report", "barrow.loom", "-o", "barrow.loom"}).code == 2);
    CHECK(folder.read("barrow.loom") == harnesses::barrow);
    CHECK(run(folder, {"report", "barrow.loom", "./barrow.loom", "-o", "reports"}).code == 2);
    CHECK(run(folder, {"report", "barrow.loom", "weak.loom", "-o", "-"}).code == 2);
    CHECK(run(folder, {"report", "barrow.loom", "-o", "no/such/folder/x.html"}).code == 2);
    CHECK(run(folder, {"report", "crat.loom", "-o", "x.html"}).code == 2);
    CHECK_FALSE(std::filesystem::exists(folder.path() / "x.html"));
}

TEST_CASE("a report as JSON is one document by its schema, of a text with mistakes too") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("bad.loom", harnesses::misspelt_barrow);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/report.schema.json"));
    for (const char* name : {"barrow.loom", "bad.loom"}) {
        const Ending ending = run(folder, {"report", name, "--format", "json", "-o", "-"});
        CHECK(validator.complaints(json_schema::json::parse(ending.out)) == std::vector<std::string>{});
    }
}

TEST_CASE("papers asked for as PDF are not written; what to type instead is, and it works") {
    const Folder folder;
    folder.write("my barrow.loom", harnesses::barrow);
    for (const char* paper : {"report", "power-up", "hand-over"}) {
        INFO(paper);
        const Ending refused = run(folder, {paper, "my barrow.loom", "-o", "out.pdf"});
        CHECK(refused.code == 2);
        CHECK(refused.out.empty());
        CHECK(
            refused.trouble.starts_with("loomward: " + std::string(paper) + " writes HTML, which a browser"));
        CHECK(refused.trouble.find("\n  loomward " + std::string(paper) +
                                   " 'my barrow.loom' -o out.html\n") != std::string::npos);
        CHECK(refused.trouble.find("--print-to-pdf=out.pdf out.html\n") != std::string::npos);
        CHECK(refused.trouble.find("\n  loomward draw 'my barrow.loom' -o out.pdf") != std::string::npos);
        CHECK(folder.names() == std::vector<std::string>{"my barrow.loom"});
        CHECK(run(folder, {paper, "my barrow.loom", "--pdf", "out.pdf"}).trouble.find("-o OUT.html\n") !=
              std::string::npos);
    }
    CHECK(run(folder, {"hand-over", "my barrow.loom", "-o", "out.html"}).code == 0);
    CHECK(run(folder, {"draw", "my barrow.loom", "-o", "out.pdf", "--for", "owner"}).code == 0);
    CHECK(folder.read("out.pdf").find("/Title (Sheet 1)") != std::string::npos);
    CHECK(run(folder, {"draw", "my barrow.loom", "--pdf", "x.pdf"}).trouble ==
          "loomward: draw has no option '--pdf'; the file's ending says it: -o SHEET.pdf\n");
    CHECK(run(folder, {"report", "it's.loom", "-o", "x.pdf"}).trouble.find("report 'it'\\''s.loom' -o") !=
          std::string::npos);
}

TEST_CASE("schedules are seven files in a folder, written anew each time") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    for (int i = 0; i < 2; ++i) CHECK(run(folder, {"schedules", "barrow.loom", "-o", "lists/new"}).code == 0);
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path() / "lists/new")) {
        CHECK(entry.path().extension() == ".csv");
        ++files;
    }
    CHECK(files == 7);
    const std::string labels = folder.read("lists/new/labels.csv");
    CHECK(labels.find("wire,this_end,other_end,size,colour\r\nW1,B1.+,F1.in,1.5 mm2,red\r\n") == 0);
    const Ending longer = run(folder, {"schedules", "barrow.loom", "-o", "lists", "--allowance", "10"});
    CHECK(longer.code == 0);
    CHECK(folder.read("lists/reels.csv").find("\r\ntotal,,,,,4,2.2,") != std::string::npos);
    CHECK(run(folder, {"schedules", "barrow.loom", "-o", "barrow.loom"}).code == 2);
    CHECK(folder.read("barrow.loom") == harnesses::barrow);
}

TEST_CASE("SARIF comes from the command line with the exit status of a check") {
    const Folder folder;
    folder.write("weak.loom", harnesses::weak_barrow);
    const Ending ending = run(folder, {"check", "weak.loom", "--format", "sarif"});
    CHECK(ending.code == 1);
    const json_schema::json log = json_schema::json::parse(ending.out);
    CHECK(log["version"] == "2.1.0");
    CHECK(log["runs"][0]["results"].size() > 1);
}

TEST_CASE("the manual page and the completions know every command and every option of the help") {
    const Folder folder;
    const std::string manual = run(folder, {"explain", "--manual"}).out;
    CHECK(manual.starts_with(".TH LOOMWARD 1"));
    const std::string bash = run(folder, {"explain", "--completion", "bash"}).out;
    const std::string zsh = run(folder, {"explain", "--completion", "zsh"}).out;
    const std::string fish = run(folder, {"explain", "--completion", "fish"}).out;
    for (const char* command : {"check", "draw", "zones", "fault", "budget", "endurance", "mend", "failures",
                                "report", "schedules", "format", "explain"}) {
        INFO(command);
        CHECK(manual.find(std::string(".SS ") + command + "\n") != std::string::npos);
        CHECK(zsh.find(std::string("    ") + command + ") _arguments") != std::string::npos);
        CHECK(fish.find(std::string("-f -a ") + command + " -d") != std::string::npos);
        // Every option that its help names.
        const std::string help = run(folder, {command, "--help"}).out;
        const std::size_t own = bash.find(std::string("\n    ") + command + ")\n");
        REQUIRE(own != std::string::npos);
        const std::string case_of = bash.substr(own, bash.find(";;\n", bash.find("words=\"", own)) - own);
        std::size_t seen = 0;
        for (std::size_t at = 0; (at = help.find("  --", at)) != std::string::npos; ++at, ++seen) {
            const std::string option = help.substr(at + 2, help.find_first_of(" ,\n", at + 2) - at - 2);
            INFO(option);
            CHECK(case_of.find(option) != std::string::npos);
        }
        CHECK((seen > 0 || help.find("-o,--output") != std::string::npos));
    }
    CHECK(bash.find("\"text json sarif\"") != std::string::npos);
    CHECK(run(folder, {"explain", "--completion", "dos"}).code == 2);
}

}  // namespace report_test
