// Logs of runs: what is read, what is refused and where, and what a simulated run comes to.
#include <catch2/catch.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <functional>

#include "checker/bench/run_study.hpp"
#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"
#include "tests/meter/simulated.hpp"

namespace run_log_test {

namespace {

using namespace loomward;
using namespace loomward::testing;
using program::Ending;
using program::Folder;

// "id line:column" of the first mistake; empty: it was read.
std::string mistake_in(const std::string& text) {
    const RunLog log = read_run_log("run.csv", text);
    if (log.mistakes.empty()) return {};
    const auto at = log.sources->position(log.mistakes.front().where);
    return fmt::format("{} {}:{}", log.mistakes.front().id, at.line, at.column);
}

// A run of the market cart's main way: the current rises, stays, falls; the drop from F1 to the controller
// is that of its pieces and of `bad_ohm` more.
struct MadeRun {
    double bad_ohm = 0, highest_A = 70, held_A = 1e9, heat_factor = 1;
};

}  // namespace

TEST_CASE("a log is read by RFC 4180: quotes, both line ends, gaps, blanks around figures") {
    const RunLog log = read_run_log(
        "run.csv", "\"time\",amps W1,\"volts B1.+ B1.-\"\r\n0, 1.5 ,+52\r\n\"0.5\",,51.5\n\n1,2e1,51\n");
    REQUIRE(log.mistakes.empty());
    REQUIRE(log.rows() == 3);
    CHECK(log.time_s() == std::vector<double>{0, 0.5, 1});
    CHECK(log.columns[1].values[0] == 1.5);
    CHECK(std::isnan(log.columns[1].values[1]));
    CHECK(log.columns[1].values[2] == 20);
    CHECK(log.columns[2].second == "B1.-");
    // The time may stand anywhere.
    const RunLog last = read_run_log("run.csv", "amps W1,time\n5,0\n6,1\n");
    CHECK(last.time_s() == std::vector<double>{0, 1});
    CHECK(last.columns[1].values == std::vector<double>{5, 6});
    CHECK(read_run_log("run.csv", "time,millivolts F1\n0,5\n1,6\n").columns[1].values[0] == Approx(5e-3));
}

TEST_CASE("what is no log is refused with line and column") {
    CHECK(mistake_in("") == "empty-log 1:1");
    CHECK(mistake_in("\r\n \n") == "empty-log 1:1");
    CHECK(mistake_in("amps W1\n1\n2\n") == "no-time 1:1");
    CHECK(mistake_in("time\n1\n2\n") == "no-values 1:1");
    CHECK(mistake_in("time,amps W1\n") == "short-log 2:1");
    CHECK(mistake_in("time,amps W1\n0,1\n") == "short-log 3:1");
    CHECK(mistake_in("time,speed\n0,1\n1,1\n") == "unknown-column 1:6");
    CHECK(mistake_in("time,\n0,1\n1,1\n") == "unknown-column 1:6");
    CHECK(mistake_in("time;amps W1\n0;1\n") == "unknown-column 1:1");
    CHECK(mistake_in("time,amps W1 W2\n0,1\n1,1\n") == "bad-column 1:6");
    CHECK(mistake_in("time,volts\n0,1\n1,1\n") == "bad-column 1:6");
    CHECK(mistake_in("time,amps W1,amps W1\n0,1,1\n1,1,1\n") == "twice 1:14");
    CHECK(mistake_in("time,amps W1\n0,1\n1,abc\n") == "no-number 3:3");
    for (const char* bad : {"nan", "inf", "-inf", "1e999", "0x10", "1.2.3", "1 2", "--1", "1A", "1e13"})
        CHECK(mistake_in(fmt::format("time,amps W1\n0,{}\n1,1\n", bad)) == "no-number 2:3");
    CHECK(mistake_in("time,amps W1\n0,1,5\n1,1\n") == "wrong-count 2:5");
    CHECK(mistake_in("time,amps W1\n0,1\n1\n") == "wrong-count 3:1");
    CHECK(mistake_in("time,amps W1\n1,1\n1,1\n") == "time-back 3:1");
    CHECK(mistake_in("time,amps W1\n1,1\n0.5,1\n") == "time-back 3:1");
    CHECK(mistake_in("time,amps W1\n,1\n") == "no-number 2:1");
    CHECK(mistake_in("time,amps W1\n0,\"1\n1,1\n") == "open-quote 2:3");
    CHECK(mistake_in("time,amps W1\n0,\"1\"x\n1,1\n").starts_with("after-quote 2:"));
    CHECK_FALSE(mistake_in(std::string("\0\0\0", 3)).empty());
    CHECK_FALSE(mistake_in("\xff\xfe,\x01\n").empty());
    std::string heads = "time";
    for (int i = 0; i < 3000; ++i) heads += ",oops";
    CHECK(read_run_log("run.csv", heads + "\n").mistakes.size() == 20);
}

TEST_CASE("a log of more fields than are read is refused, not followed") {
    std::string text = "time,amps W1\n";
    text.reserve(most_log_fields * 8);
    for (std::size_t i = 0; 2 * i <= most_log_fields; ++i) text += fmt::format("{},1\n", i);
    CHECK(mistake_in(text).starts_with("long-log "));
}

namespace {

// The barrow's run: H1 draws up to what the mode asks; volts along W3 and at the pack and the lamp.
std::string barrow_log(const MadeRun& made) {
    std::string text = "time,volts B1.+ B1.-,volts H1.+ H1.-,amps W1,temperature W3\n";
    const double way_ohm = 0.035 + made.bad_ohm;
    double rise_K = 0;
    for (int i = 0; i <= 120; ++i) {
        const double asked_A = i < 20 ? made.highest_A * i / 20 : made.highest_A;
        const double amps = std::min(asked_A, made.held_A);
        rise_K = made.heat_factor * amps * amps;
        const double pack_V = 52 - 0.03 * amps;
        text += fmt::format("{},{:.4f},{:.4f},{:.3f},{:.2f}\n", i, pack_V, pack_V - way_ohm * amps, amps,
                            20 + rise_K);
    }
    return text;
}

Ending told(const Folder& folder, const std::string& log, std::vector<std::string> more = {}) {
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("run.csv", log);
    std::vector<std::string> words{"readings", "barrow.loom", "--log", "run.csv", "--mode", "lit"};
    words.insert(words.end(), more.begin(), more.end());
    return program::run(folder, words);
}

bool has(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

}  // namespace

TEST_CASE("a run as the file has it is as expected; a bad joint, early heat and a limit are told") {
    const Folder folder;
    const Ending good = told(folder, barrow_log({0, 1.2, 1e9, 0.1}));
    INFO(good.out << good.trouble);
    CHECK(good.code == 0);
    CHECK(has(good.out, "0 not as expected"));
    CHECK(has(good.out, "121 rows"));

    const Ending bad = told(folder, barrow_log({0.5, 1.2, 1e9, 0.1}));
    INFO(bad.out);
    CHECK(bad.code == 1);
    CHECK(has(bad.out, "bad joint: "));
    CHECK(has(bad.out, "more than it may have"));
    CHECK(has(bad.out, "lost at 1.2 A that the file does not explain"));

    const Ending hot = told(folder, barrow_log({0, 1.2, 1e9, 30}));
    INFO(hot.out);
    CHECK(hot.code == 1);
    CHECK(has(hot.out, "its current explains"));
    CHECK(has(hot.out, "W3: "));

    const Ending held = told(folder, barrow_log({0, 1.2, 0.6, 0.1}));
    INFO(held.out);
    CHECK(held.code == 1);
    CHECK(has(held.out, "a limit acted"));
    CHECK(has(held.out, "flat at 600 mA"));

    const Ending above = told(folder, barrow_log({0, 3, 1e9, 0.1}));
    INFO(above.out);
    CHECK(has(above.out, "it was another mode, or the file asks too little"));
}

TEST_CASE("a run is told by its schema, and asks for the mode where there are several") {
    const Folder folder;
    const nlohmann::json document =
        nlohmann::json::parse(told(folder, barrow_log({0.5, 1.2, 1e9, 30}), {"--format", "json"}).out);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/run.schema.json"));
    CHECK(validator.complaints(document) == std::vector<std::string>{});
    CHECK(document["volts"][0]["verdict"] == "high");
    CHECK(document["bad_joints"].size() == 1);
    const Ending which = program::run(folder, {"readings", "barrow.loom", "--log", "run.csv"});
    CHECK(which.code == 2);
    CHECK(has(which.trouble, "say which mode the machine was in: --mode with one of off, lit"));
    CHECK(program::run(folder, {"readings", "barrow.loom", "--log", "run.csv", "--mode", "lot"}).code == 2);
    CHECK(program::run(folder, {"readings", "barrow.loom", "--log", "none.csv", "--mode", "lit"}).code == 2);
    CHECK(program::run(folder, {"readings", "barrow.loom"}).code == 2);
    const Ending unknown = told(folder, "time,amps W9\n0,1\n1,2\n");
    CHECK(unknown.code == 2);
    CHECK(has(unknown.out, "run.csv:1:6: error: there is no wire or part 'W9'"));
    const Ending alone = told(folder, "time,volts B1.+ B1.-\n0,50\n1,51\n");
    CHECK(alone.code == 0);
    CHECK(has(alone.out, "not judged: volts B1.+ to B1.-"));
}

TEST_CASE("readings go into the report: each is compared, and the bad joint is named") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    CHECK(program::run(folder, {"power-up", "barrow.loom", "-o", "x.html", "--readings", "meter.txt"}).code ==
          0);
    std::string text = folder.read("meter.txt");
    const std::size_t at = text.find("reads _ ", text.find("{ millivolts, red B1.+, black F1.in"));
    REQUIRE(at != std::string::npos);
    text.replace(at, text.find_first_of(" }", at + 8) - at, "reads 40 mV");
    folder.write("bad.txt", text);
    const Ending plain = program::run(folder, {"report", "barrow.loom", "-o", "-"});
    CHECK_FALSE(has(plain.out, "id=\"readings\""));
    const Ending report = program::run(folder, {"report", "barrow.loom", "--readings", "bad.txt", "-o", "-"});
    INFO(report.trouble);
    CHECK(report.code == 1);
    CHECK(has(report.out, "id=\"readings\""));
    CHECK(has(report.out, "Bad joint: the end of "));
    CHECK(has(report.out, "too high"));
    const Ending json = program::run(
        folder, {"report", "barrow.loom", "--readings", "bad.txt", "-o", "-", "--format", "json"});
    const nlohmann::json document = nlohmann::json::parse(json.out);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/report.schema.json"));
    CHECK(validator.complaints(document) == std::vector<std::string>{});
    CHECK(document["files"][0]["readings"]["bad_joints"].size() == 1);
    folder.write("other.txt", "loom 1\nstep 3 { ohms, red Q7, black Q8, reads 1 ohm }\n");
    CHECK(program::run(folder, {"report", "barrow.loom", "--readings", "other.txt", "-o", "y.html"}).code ==
          2);
    CHECK(program::run(folder, {"report", "barrow.loom", "barrow.loom", "--readings", "bad.txt", "-o", "r"})
              .trouble == "loomward: readings belong to one harness: name one file\n");
    CHECK(folder.names() ==
          std::vector<std::string>{"bad.txt", "barrow.loom", "meter.txt", "other.txt", "x.html"});
}

TEST_CASE("logs of runs go into the report, each against its mode, as sentences and as a chart") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("good.csv", barrow_log({0, 1.2, 1e9, 0.1}));
    folder.write("bad.csv", barrow_log({0.5, 1.2, 1e9, 30}));
    folder.write("held.csv", barrow_log({0, 1.2, 0.6, 0.1}));
    const auto report = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"report", "barrow.loom", "-o", "-"};
        words.insert(words.end(), more.begin(), more.end());
        return program::run(folder, words);
    };
    CHECK_FALSE(has(report({}).out, "id=\"runs\""));
    const Ending good = report({"--log", "good.csv", "--mode", "lit"});
    INFO(good.trouble);
    CHECK(good.code == 0);
    CHECK(has(good.out, "121 rows in 120 s, 0 not as expected"));
    CHECK_FALSE(has(good.out, "class=\"c-strange\""));
    const Ending bad = report({"--log", "bad.csv", "--mode", "lit"});
    CHECK(bad.code == 1);
    CHECK(has(bad.out, "Bad joint: "));
    CHECK(has(bad.out, "class=\"c-strange\""));
    CHECK(has(bad.out, "at most, explained</text>"));
    CHECK(has(bad.out, "at most, by the file</text>"));
    const Ending held = report({"--log", "held.csv", "--mode", "lit"});
    CHECK(held.code == 1);
    CHECK(has(held.out, "a limit acted"));
    CHECK(has(held.out, "asked: W1</text>"));
    const Ending both = report({"--log", "good.csv", "--mode", "lit", "--log", "bad.csv", "--mode", "off"});
    CHECK(has(both.out, "<h3>good.csv, mode lit</h3>"));
    CHECK(has(both.out, "<h3>bad.csv, mode off</h3>"));
    CHECK(both.out.find("<h3>good.csv") < both.out.find("<h3>bad.csv"));

    const nlohmann::json document =
        nlohmann::json::parse(report({"--log", "good.csv", "--mode", "lit", "--log", "bad.csv", "--mode",
                                      "lit", "--format", "json"})
                                  .out);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/report.schema.json"));
    CHECK(validator.complaints(document) == std::vector<std::string>{});
    const nlohmann::json& runs = document["files"][0]["runs"];
    REQUIRE(runs.size() == 2);
    json_schema::Validator of_runs(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/run.schema.json"));
    for (const nlohmann::json& run : runs) CHECK(of_runs.complaints(run) == std::vector<std::string>{});
    CHECK(runs[0]["bad_joints"].empty());
    CHECK(runs[1]["bad_joints"].size() == 1);
}

TEST_CASE("a report with a log that cannot be used is not written") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("run.csv", barrow_log({0, 1.2, 1e9, 0.1}));
    folder.write("typed.csv", "time,amps W9\n0,1\n1,2\n");
    const auto trouble = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"report", "barrow.loom", "-o", "x.html"};
        words.insert(words.end(), more.begin(), more.end());
        const Ending ending = program::run(folder, words);
        CHECK(ending.code == 2);
        return ending.trouble + ending.out;
    };
    CHECK(
        has(trouble({"--log", "run.csv"}), "say which mode the machine was in: --mode with one of off, lit"));
    CHECK(has(trouble({"--log", "run.csv", "--mode", "lot"}), "there is no mode named 'lot'"));
    CHECK(has(trouble({"--log", "none.csv", "--mode", "lit"}), "there is no file 'none.csv'"));
    CHECK(has(trouble({"--log", "typed.csv", "--mode", "lit"}), "typed.csv:1:6: error: there is no wire"));
    CHECK(has(trouble({"--log", "run.csv", "--log", "run.csv", "--mode", "lit"}),
              "each --log has a --mode of its own"));
    CHECK(has(trouble({"--mode", "lit"}), "--log"));
    CHECK(has(trouble({"barrow.loom", "--log", "run.csv", "--mode", "lit"}),
              "logs belong to one harness: name one file"));
    CHECK(folder.names() == std::vector<std::string>{"barrow.loom", "run.csv", "typed.csv"});
}

}  // namespace run_log_test
