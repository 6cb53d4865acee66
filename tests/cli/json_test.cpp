// `check --format json`, as the program writes it, held against the published schema.
#include <catch2/catch.hpp>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace json_test {

using json_schema::json;
using program::Ending;
using program::Folder;
using program::run;

namespace {

json valid(const std::string& text) {
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/check.schema.json"));
    json document = json::parse(text);
    const std::vector<std::string> complaints = validator.complaints(document);
    CAPTURE(complaints);
    CHECK(complaints.empty());
    return document;
}

}  // namespace

TEST_CASE("one document tells of every file given, read or not") {
    const Folder folder;
    folder.write("good.loom", harnesses::barrow);
    folder.write("weak.loom", harnesses::weak_barrow);
    folder.write("misspelt.loom", harnesses::misspelt_barrow);
    const Ending ending =
        run(folder, {"check", "--format", "json", "good.loom", "weak.loom", "misspelt.loom", "nowhere.loom"});
    CHECK(ending.code == 2);
    CHECK(ending.trouble == "loomward: there is no file 'nowhere.loom'\n");
    const json files = valid(ending.out)["files"];
    REQUIRE(files.size() == 4);
    CHECK(files[0]["path"] == "good.loom");
    CHECK(files[0]["results"]["counts"]["errors"] == 0);
    CHECK(files[0]["results"]["counts"]["wires"] == 4);
    CHECK(files[0]["results"]["counts"]["modes_solved"] == 2);
    CHECK(files[1]["results"]["counts"]["errors"] > 0);
    CHECK(files[2]["mistakes"][0]["id"] == "unknown-unit");
    CHECK(files[2]["mistakes"][0]["place"]["column"] == 20);
    CHECK(files[2]["results"].is_null());
    CHECK(files[3]["mistakes"][0]["id"] == "no-file");
}

TEST_CASE("the code is the same in JSON as in text") {
    const Folder folder;
    folder.write("good.loom", harnesses::barrow);
    folder.write("weak.loom", harnesses::weak_barrow);
    CHECK(run(folder, {"check", "--format", "json", "good.loom"}).code == 0);
    CHECK(run(folder, {"check", "--format", "json", "weak.loom"}).code == 1);
}

TEST_CASE("every example of the project obeys the schema") {
    const Folder folder;
    std::vector<std::string> line = {"check", "--format", "json"};
    for (const auto& entry : std::filesystem::directory_iterator(LOOMWARD_SOURCE_DIR "/examples"))
        if (entry.path().extension() == ".loom") line.push_back(entry.path().string());
    REQUIRE(line.size() > 5);
    CHECK(valid(run(folder, line).out)["files"].size() == line.size() - 3);
}

}  // namespace json_test
