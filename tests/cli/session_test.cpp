// One session, asked for everything, gives what the commands print: no answer has a second way.
#include <catch2/catch.hpp>

#include <memory>
#include <stdexcept>

#include "parser/disk.hpp"
#include "render/bench/readings_text.hpp"
#include "render/json/json_failures.hpp"
#include "render/json/json_mend.hpp"
#include "render/session/session.hpp"
#include "render/text/text_failures.hpp"
#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"

namespace session_test {

using namespace loomward;
using program::Folder;
using program::run;

namespace {

Session session_of(const std::string& text, const SessionOptions& options = {}) {
    return Session("barrow.loom", text, disk_reader(), options);
}

}  // namespace

TEST_CASE("one session asked for everything gives the bytes of the commands") {
    const Folder folder;
    for (const std::string& text : {std::string(harnesses::barrow), std::string(harnesses::weak_barrow)}) {
        folder.write("barrow.loom", text);
        const auto printed = [&](std::vector<std::string> words) {
            words.insert(words.begin() + 1, "barrow.loom");
            return run(folder, words).out;
        };
        const Session session = session_of(text);
        REQUIRE(session.results());
        CHECK(session.told(Told::findings, {}) == printed({"check"}));
        CHECK(session.told(Told::zones, {}) == printed({"zones"}));
        CHECK(session.told(Told::budget, {}) == printed({"budget"}));
        CHECK(session.told(Told::endurance, {}) == printed({"endurance"}));
        CHECK(Session::document(Told::findings, {&session}) == printed({"check", "--format", "json"}));
        CHECK(Session::document(Told::zones, {&session}) == printed({"zones", "--format", "json"}));
        CHECK(Session::document(Told::budget, {&session}) == printed({"budget", "--format", "json"}));
        CHECK(Session::document(Told::endurance, {&session}) == printed({"endurance", "--format", "json"}));
        CHECK(Session::sarif({&session}) == printed({"check", "--format", "sarif"}));
        CHECK(session.sheet_svg({}) == printed({"draw", "-o", "-"}));
        CHECK(session.fault({"W1"}, false, false).text == printed({"fault", "W1"}));
        CHECK(session.fault({"W1"}, true, false).text == printed({"fault", "W1", "--format", "json"}));
        CHECK(session.report_page({}) == printed({"report", "-o", "-"}));
        CHECK(session.report_page({0, true}) == printed({"report", "-o", "-", "--mend"}));
        CHECK(session.report_json({0.1}) ==
              printed({"report", "-o", "-", "--format", "json", "--allowance", "10"}));
        CHECK(session.power_up_page() == printed({"power-up", "-o", "-"}));
        CHECK(mended_json(session.mended(), *session.results(), session.path()) ==
              printed({"mend", "--format", "json"}));
        std::string trouble;
        const std::optional<FailureReport> failures = session.failures({}, trouble);
        REQUIRE(failures);
        CHECK(failures_json(*failures, *session.results()->harness, session.path()) ==
              printed({"failures", "--format", "json"}));
        if (session.hand_over().refused.empty())
            CHECK(session.hand_over_page() == printed({"hand-over", "-o", "-"}));
        // Asked once more it says the same.
        CHECK(session.report_page({}) == printed({"report", "-o", "-"}));

        CHECK(run(folder, {"schedules", "barrow.loom", "-o", "lists"}).trouble.empty());
        const std::vector<CsvFile> schedules = session.schedules(0);
        CHECK(schedules.size() == 7);
        for (const CsvFile& file : schedules) CHECK(file.text == folder.read("lists/" + file.name));
        CHECK(run(folder, {"draw", "barrow.loom", "-o", "sheet.pdf"}).trouble.empty());
        CHECK(session.sheet_pdf({}) == folder.read("sheet.pdf"));
        CHECK(run(folder, {"power-up", "barrow.loom", "-o", "x.html", "--readings", "meter.txt"})
                  .trouble.empty());
        CHECK(session.blank_readings() == folder.read("meter.txt"));
        const ComparedReadings readings = session.readings("meter.txt", folder.read("meter.txt"));
        CHECK(readings_text(readings.report, session.power_up(), session.path(), readings.path,
                            readings.text.blanks, false) == printed({"readings", "meter.txt"}));
    }
}

TEST_CASE("a session of one mode is drawn where one of every mode is, and writes that mode's deck") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    const Session lit = session_of(harnesses::barrow, {"lit"});
    CHECK(lit.sheet_svg({}) == run(folder, {"draw", "barrow.loom", "--mode", "lit", "-o", "-"}).out);
    CHECK(lit.spice("lit", false).text == run(folder, {"spice", "barrow.loom", "--mode", "lit"}).out);
    CHECK(lit.fault_spice({"W1"}, true).text ==
          run(folder, {"spice", "barrow.loom", "--fault", "W1", "--full"}).out);
    CHECK(lit.told(Told::budget, {}) == run(folder, {"budget", "barrow.loom", "--mode", "lit"}).out);
}

TEST_CASE("a session of a text with mistakes tells those and refuses the rest") {
    const Session bad = session_of(harnesses::misspelt_barrow);
    CHECK_FALSE(bad.results());
    CHECK(bad.told(Told::findings, {}).find("nothing was checked") != std::string::npos);
    CHECK(bad.report_page({}).find("Nothing can be said about this harness.") != std::string::npos);
    CHECK(Session::document(Told::findings, {&bad}).find("not-checked") != std::string::npos);
    CHECK_THROWS_AS(bad.sheet_svg({}), std::logic_error);
    CHECK_THROWS_AS(bad.power_up(), std::logic_error);
    const Session no_mode = session_of(harnesses::barrow, {"lot"});
    CHECK_FALSE(no_mode.results());
    CHECK(no_mode.trouble() == "barrow.loom: there is no mode named 'lot'; there is a mode named 'lit'");
    const Session fine = session_of(harnesses::barrow);
    CHECK_FALSE(fine.fault({"W99"}, false, false).trouble.empty());
    CHECK(fine.fault({"W1", {}, {"W2"}}, false, false).trouble ==
          "'W2' is no fuse, breaker, protector or bms to be bridged");
    CHECK(fine.spice("lot", false).trouble == "there is no mode named 'lot'; there is a mode named 'lit'");
}

TEST_CASE("terminal and report give the same advice, whatever it is") {
    const std::string unknown_break =
        harnesses::with(harnesses::barrow, "breaks 2.5 kA at 80 V dc", "breaks unknown");
    const std::string wide_fuse = harnesses::with(harnesses::barrow, "5 A, 80 V dc", "40 A, 80 V dc");
    for (const auto& [text, advised] : {std::pair(std::string(harnesses::barrow), false),
                                        std::pair(std::string(harnesses::weak_barrow), true),
                                        std::pair(unknown_break, true), std::pair(wide_fuse, true)}) {
        const Session session = session_of(text);
        REQUIRE(session.results());
        const std::string terminal = session.told(Told::findings, {}), page = session.report_page({});
        INFO(terminal.substr(0, 300));
        CHECK(terminal.starts_with("DO NOT SWITCH ON") == advised);
        CHECK((page.find(">Do not switch on") != std::string::npos) == advised);
        const bool yet = terminal.starts_with("DO NOT SWITCH ON YET");
        CHECK((page.find(">Do not switch on yet") != std::string::npos) == yet);
    }
}

}  // namespace session_test
