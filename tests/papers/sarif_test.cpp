// SARIF against what the OASIS standard demands of a log file, section by section (SARIF 2.1.0, 3.13
// to 3.52).
#include "render/sarif/sarif.hpp"

#include <nlohmann/json.hpp>

#include "tests/papers/papers_support.hpp"

namespace sarif_test {

using namespace loomward;
using namespace loomward::testing;
using nlohmann::json;

namespace {

json sarif_of(const Made& made) {
    const std::vector<Diagnostic> none;
    return json::parse(
        sarif_text({{made.path, made.results.harness->sources.get(), &none, &made.results}}, "0.0.0"));
}

class Examiner {
  public:
    std::vector<std::string> wrong;
    void log(const json& log) {
        demand(log.at("version") == "2.1.0", "3.13.2 version");
        demand(log.at("runs").is_array() && !log.at("runs").empty(), "3.13.4 runs");
        for (const json& run : log.at("runs")) this->run(run);
    }

  private:
    void demand(bool holds, const std::string& what) {
        if (!holds) wrong.push_back(what);
    }
    void run(const json& run) {
        const json& driver = run.at("tool").at("driver");
        demand(driver.at("name").is_string(), "3.19.8 name");
        demand(run.at("columnKind") == "unicodeCodePoints", "3.14.17 columnKind");
        std::set<std::string> ids;
        for (const json& rule : driver.at("rules"))
            demand(ids.insert(rule.at("id")).second, "3.19.23 rules are unique");
        for (const json& invocation : run.at("invocations"))
            demand(invocation.at("executionSuccessful").is_boolean(), "3.20.14 executionSuccessful");
        for (const json& result : run.at("results")) this->result(result, driver.at("rules"));
    }
    void result(const json& result, const json& rules) {
        const std::size_t index = result.at("ruleIndex");
        demand(index < rules.size() && rules[index].at("id") == result.at("ruleId"), "3.27.6 ruleIndex");
        const std::string level = result.at("level");
        demand(level == "error" || level == "warning" || level == "note", "3.27.10 level");
        demand(!result.at("message").at("text").get<std::string>().empty(), "3.27.11 message");
        for (const json& place : result.at("locations")) location(place);
        for (const json& place : result.value("relatedLocations", json::array())) location(place);
        for (const json& flow : result.value("codeFlows", json::array())) {
            demand(!flow.at("threadFlows").empty(), "3.36.3 threadFlows");
            for (const json& thread : flow.at("threadFlows")) {
                demand(!thread.at("locations").empty(), "3.37.6 locations");
                for (const json& step : thread.at("locations")) location(step.at("location"));
            }
        }
        demand(result.contains("suppressions"), "3.27.23 suppressions in all results or in none");
        for (const json& suppression : result.at("suppressions"))
            demand(suppression.at("kind") == "inSource" || suppression.at("kind") == "external",
                   "3.35.2 kind");
    }
    void location(const json& location) {
        const json& physical = location.at("physicalLocation");
        const std::string uri = physical.at("artifactLocation").at("uri");
        demand(uri.find_first_of(" <>\"\\") == std::string::npos, "3.4.3 uri");
        if (!physical.contains("region")) return;
        const json& region = physical.at("region");
        const int line = region.at("startLine"), end = region.at("endLine");
        const int column = region.at("startColumn"), end_column = region.at("endColumn");
        demand(line >= 1 && column >= 1 && end >= line, "3.30.5 lines and columns");
        demand(end > line || end_column >= column, "3.30.8 endColumn");
        demand(region.at("byteLength") >= 0, "3.30.12 byteLength");
    }
};

std::vector<std::string> wrong_with(const json& log) {
    Examiner examiner;
    examiner.log(log);
    return examiner.wrong;
}

}  // namespace

TEST_CASE("SARIF of every example is what the standard asks, one result a finding") {
    for (const std::string& name : example_names) {
        INFO(name);
        const Made made = papers_of_example(name);
        const json log = sarif_of(made);
        CHECK(wrong_with(log) == std::vector<std::string>{});
        const json& results = log["runs"][0]["results"];
        REQUIRE(results.size() == made.results.findings.size());
        for (std::size_t i = 0; i < results.size(); ++i) {
            const Finding& finding = made.results.findings[i];
            CHECK(results[i]["ruleId"] == finding.rule);
            CHECK(results[i]["suppressions"].size() == (finding.accepted ? 1 : 0));
            const std::size_t steps = finding.witness.empty()
                                          ? 0
                                          : results[i]["codeFlows"][0]["threadFlows"][0]["locations"].size();
            CHECK(steps == finding.witness.size());
        }
    }
}

TEST_CASE("a log that breaks the standard is told apart") {
    json log = sarif_of(papers_of_example("launch-24v"));
    log["runs"][0]["results"][0]["ruleIndex"] = 99;
    CHECK(wrong_with(log) == std::vector<std::string>{"3.27.6 ruleIndex"});
}

TEST_CASE("an accepted finding is suppressed with the owner's reason; a path is a reference") {
    const Made made = papers_of_text("a folder/c\xC3\xA4rt.loom",
                                     "loom 1\nharness \"x\" { }\n"
                                     "pack B1 { voltage 20..29 V, resistance 10 mohm, capacity 40 Ah }\n"
                                     "load E1 { 24 V, 5 A, acts-as current, works 18..32 V }\n"
                                     "route B1.+ (W1 2.5 mm2, 1 m, red) E1 (W2 2.5 mm2, 1 m, black) B1.-\n"
                                     "mode on { E1 on }\n"
                                     "accept unprotected-wire on W1 because \"on the bench only\"\n");
    const json log = sarif_of(made);
    CHECK(wrong_with(log) == std::vector<std::string>{});
    bool seen = false;
    for (const json& result : log["runs"][0]["results"]) {
        CHECK(result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] ==
              "a%20folder/c%C3%A4rt.loom");
        if (result["ruleId"] != "unprotected-wire" || result["properties"]["subject"] != "W1") continue;
        seen = true;
        REQUIRE(result["suppressions"].size() == 1);
        CHECK(result["suppressions"][0]["justification"] == "on the bench only");
    }
    CHECK(seen);
}

TEST_CASE("mistakes in the text are results, and the run is not successful") {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const ReadResult read = read_harness_text("x.loom", "loom 1\nfuze F1 { 3 A }\n", *disk, {});
    const json log =
        json::parse(sarif_text({{"x.loom", read.sources.get(), &read.mistakes, nullptr}}, "0.0.0"));
    CHECK(wrong_with(log) == std::vector<std::string>{});
    CHECK(log["runs"][0]["invocations"][0]["executionSuccessful"] == false);
    CHECK(log["runs"][0]["results"].size() == read.mistakes.size());
    CHECK(log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startLine"] == 2);
}

}  // namespace sarif_test
