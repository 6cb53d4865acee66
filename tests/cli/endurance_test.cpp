// `loomward endurance`: text and JSON.
#include <catch2/catch.hpp>

#include <sstream>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace endurance_test {

using json_schema::json;
using program::Ending;
using program::example;
using program::Folder;
using program::run;

namespace {

// A pack that its own loss stops before it is empty, and wires that stand it.
const std::string hot_barrow = harnesses::with(
    harnesses::with(harnesses::barrow, "charge 20 A }",
                    "charge 20 A, mass 0.1 kg, thermal-resistance 60 K/W, cuts-out-at 50 degC }"),
    "mode lit { S1 closed }",
    "mode lit { S1 closed, H1 draws 4 A for 20 min then 1 A for 10 min repeating }");

}  // namespace

TEST_CASE("endurance tells what gives out first, when, and whether the pack is empty before") {
    const Folder folder;
    folder.write("hot.loom", hot_barrow);
    const Ending ending = run(folder, {"endurance", "hot.loom", "--mode", "lit"});
    INFO(ending.out);
    CHECK(ending.out.find("B1 gives out first, after ") != std::string::npos);
    CHECK(ending.out.find("its cells stop at their temperature") != std::string::npos);
    CHECK(ending.out.find("B1 is empty after ") != std::string::npos);
    CHECK(ending.out.find("that is before the pack is flat") != std::string::npos);
    folder.write("cool.loom", harnesses::barrow);
    const Ending cool = run(folder, {"endurance", "cool.loom"});
    CHECK(cool.code == 0);
    CHECK(cool.out.find("nothing that is followed gives out") != std::string::npos);
    CHECK(cool.out.find("needs thermal-resistance or rise of pack B1") != std::string::npos);
}

TEST_CASE("no line of an endurance is wider than a page, but the verdict") {
    const Folder folder;
    for (const char* name : {"market-cart", "yard-crane-96v", "launch-24v"}) {
        std::istringstream lines(run(folder, {"endurance", example(name)}).out);
        std::size_t count = 0;
        for (std::string line; std::getline(lines, line); ++count)
            if (line.find("not a licence") == std::string::npos) CHECK(line.size() <= 116);
        CHECK(count > 10);
    }
}

TEST_CASE(
    "endurance as JSON obeys its schema, worst first, and no level for good is above the published one") {
    const Folder folder;
    folder.write("hot.loom", hot_barrow);
    folder.write("misspelt.loom", harnesses::misspelt_barrow);
    const Ending ending = run(folder, {"endurance", "--format", "json", "hot.loom", "misspelt.loom",
                                       example("market-cart"), example("yard-crane-96v")});
    CHECK(ending.code == 2);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/endurance.schema.json"));
    json document = json::parse(ending.out);
    const std::vector<std::string> complaints = validator.complaints(document);
    CAPTURE(complaints);
    CHECK(complaints.empty());
    CHECK(document["files"][1]["endurance"].is_null());
    std::size_t wires = 0;
    for (const json& file : document["files"]) {
        if (file["endurance"].is_null()) continue;
        for (const json& mode : file["endurance"]["modes"]) {
            double before_s = 0;
            for (const json& part : mode["parts"]) {
                const double now_s =
                    part["gives_out_after_s"].is_null() ? 1e99 : part["gives_out_after_s"].get<double>();
                CHECK(now_s >= before_s - 1e-6);
                before_s = now_s;
                if (part["published_A"].is_null()) continue;
                ++wires;
                CHECK(part["for_good_A"].get<double>() <= part["published_A"].get<double>());
            }
        }
    }
    CHECK(wires > 50);
}

}  // namespace endurance_test
