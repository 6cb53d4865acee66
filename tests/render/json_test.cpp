// The JSON of a check, held against its published schema.
#include "render/json/json.hpp"

#include <catch2/catch.hpp>
#include <limits>

#include "tests/json_schema.hpp"
#include "tests/render/hand_made.hpp"

namespace json_test {

using namespace loomward;
using json_schema::json;

namespace {

// Results that fill every key, and one finding with as little as there can be.
Results full_results() {
    Results results = hand_made::results();
    Finding sparse;
    sparse.rule = "no-disconnect";
    sparse.severity = Severity::note;
    sparse.message = "nothing switches the pack off";
    sparse.figures = {{"never", std::numeric_limits<double>::infinity(), Dimension::time}};
    sparse.accepted = 0;
    results.findings = {hand_made::full_finding(results), sparse};
    results.assumptions = {{"resistance of a wire end", "0.1 mohm", "no source", {"W7", "H1"}},
                           {"insulation of wires", "pvc 70 degC", "", {}}};
    results.not_checked = {"short circuits"};
    results.unknown_values = 2;
    results.points[0].duration_s = std::numeric_limits<double>::infinity();
    WireLoading loading;
    loading.current_A = 12.5;
    loading.limit_A = 0;
    loading.mode = ModeId(0);
    results.wires = {loading};
    results.guards = {{{PartId(0)}, false, false}};
    return results;
}

// One checked file, one with a mistake, one that could not be read.
std::string document() {
    static const Results results = full_results();
    static const Sources& sources = hand_made::sources_of(results);
    static const std::vector<Diagnostic> none;
    static const std::vector<Diagnostic> one = {{"name-twice",
                                                 hand_made::span_of(sources, "F3"),
                                                 "used twice",
                                                 "write F4",
                                                 {{{}, "there"}},
                                                 "choose"}};
    static const std::vector<Diagnostic> unread = {{"no-file", {}, "there is no file 'x'", "", {}, ""}};
    return outcomes_json({{"yard.loom", &sources, &none, &results},
                          {"broken.loom", &sources, &one, nullptr},
                          {"x", &sources, &unread, nullptr}});
}

json_schema::Validator validator() {
    return json_schema::Validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/check.schema.json"));
}

}  // namespace

TEST_CASE("what is written obeys the published schema") {
    const std::vector<std::string> complaints = validator().complaints(json::parse(document()));
    CAPTURE(complaints);
    CHECK(complaints.empty());
}

TEST_CASE("the validator notices every way of spoiling a document") {
    struct Row {
        std::string patch, complaint;
    };
    const Row rows[] = {
        {R"([{"op":"remove","path":"/files/0/outcome"}])", "/files/0: lacks outcome"},
        {R"([{"op":"add","path":"/files/0/extra","value":1}])",
         "/files/0: has a key that is not described: extra"},
        {R"([{"op":"replace","path":"/files/0/path","value":7}])", "/files/0/path: is not \"string\""},
        {R"([{"op":"replace","path":"/files/0/results/findings/0/severity","value":"safe"}])",
         "/files/0/results/findings/0/severity: \"safe\" is not in [\"error\",\"warning\",\"note\"]"},
        {R"([{"op":"replace","path":"/files/0/results/findings/0/place/line","value":0}])",
         "/files/0/results/findings/0/place/line: 0 is below 1"},
        {R"([{"op":"replace","path":"/files/0/results/findings/0/copies","value":1.5}])",
         "/files/0/results/findings/0/copies: is not \"integer\""},
        {R"([{"op":"replace","path":"/files/1/mistakes/0/notes","value":{}}])",
         "/files/1/mistakes/0/notes: is not \"array\""},
        {R"([{"op":"replace","path":"/layout","value":2}])", "/layout: 2 is not in [1]"},
    };
    for (const Row& row : rows) {
        const json spoiled = json::parse(document()).patch(json::parse(row.patch));
        CHECK(validator().complaints(spoiled) == std::vector<std::string>{row.complaint});
    }
    json_schema::Validator strange(json::parse(R"({"maxLength": 3})"));
    CHECK(strange.complaints("x") == std::vector<std::string>{": the validator does not know maxLength"});
    json_schema::Validator astray(json::parse(R"({"$ref": "#/$defs/nothing"})"));
    CHECK(astray.complaints("x") == std::vector<std::string>{": no such definition: #/$defs/nothing"});
}

TEST_CASE("a finding keeps its numbers, places and names") {
    const json finding = json::parse(document())["files"][0]["results"]["findings"][0];
    CHECK(finding["rule"] == "oversized-fuse");
    CHECK(finding["severity"] == "error");
    CHECK(finding["place"]["file"] == "yard.loom");
    CHECK(finding["place"]["line"] == 4);
    CHECK(finding["place"]["column"] == 15);
    CHECK(finding["witness"][2]["name"] == "F3");
    CHECK(finding["figures"][0] == json::parse(R"({"name":"fuse","value":40.0,"unit":"A"})"));
    CHECK(finding["corner"] == "run-hot");
    CHECK(finding["mode"] == "lift");
    CHECK(finding["accepted"].is_null());
    CHECK(finding["related"][0]["place"]["line"] == 3);
}

TEST_CASE("what is not given or not finite is null, never a number") {
    const json results = json::parse(document())["files"][0]["results"];
    CHECK(results["findings"][1]["place"].is_null());
    CHECK(results["findings"][1]["mode"].is_null());
    CHECK(results["findings"][1]["figures"][0]["value"].is_null());
    CHECK(results["points"][0]["duration_s"].is_null());
    CHECK(results["wires"][0]["limit_A"].is_null());
    CHECK(results["assumptions"][1]["source"].is_null());
}

TEST_CASE("counts leave accepted findings out and say how many there are") {
    const json counts = json::parse(document())["files"][0]["results"]["counts"];
    CHECK(counts["errors"] == 1);
    CHECK(counts["notes"] == 0);
    CHECK(counts["accepted"] == 1);
    CHECK(counts["assumed_values"] == 3);
    CHECK(counts["modes_solved"] == 1);
}

TEST_CASE("a file that was not checked has no results that could be taken for a clean bill") {
    const json files = json::parse(document())["files"];
    for (const std::size_t i : {1u, 2u}) {
        CHECK(files[i]["outcome"] == "not-checked");
        CHECK(files[i]["results"].is_null());
        CHECK(files[i]["mistakes"].size() == 1);
    }
    CHECK(files[2]["mistakes"][0]["place"].is_null());
}

TEST_CASE("bytes that are no UTF-8 do not break the document") {
    Results results = hand_made::results();
    results.not_checked = {
        "a\xff"
        "b"};
    const std::vector<Diagnostic> none;
    const std::string text = outcomes_json({{"\xfe.loom", &hand_made::sources_of(results), &none, &results}});
    CHECK(json::parse(text)["files"][0]["results"]["not_checked"][0] == "a\uFFFDb");
}

TEST_CASE("the same results give the same bytes, keys in a fixed order, a line break at the end") {
    const std::string text = document();
    CHECK(text == document());
    CHECK(text.substr(0, 21) == "{\n  \"layout\": 1,\n  \"c");
    CHECK(text.back() == '\n');
}

}  // namespace json_test
