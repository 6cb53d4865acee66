// `loomward budget`: text and JSON.
#include <catch2/catch.hpp>

#include <sstream>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace budget_test {

using Catch::Contains;
using json_schema::json;
using program::Ending;
using program::example;
using program::Folder;
using program::run;

namespace {

// No resistance that the arithmetic by hand would have to follow, and one load on a pack of one voltage.
const std::string stall =
    "loom 1\n"
    "harness \"Fruit stall\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
    "pack B1 \"stall battery\" { voltage 24..24 V, resistance 0.01 mohm, capacity 50..60 Ah\n"
    "  discharge 30 A, charge 20 A }\n"
    "fuse F1 { 5 A, 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-3, resistance 0 ohm }\n"
    "switch S1 { 72 V dc, carries 20 A, breaks 16 A at 72 V dc, resistance 0 ohm }\n"
    "load H1 \"lamp\" { 24 V, 2 A, acts-as current }\n"
    "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 1.5 mm2, 0.1 m, red) S1 (W3 1.5 mm2, 0.1 m, red)\n"
    "    H1 (W4 1.5 mm2, 0.1 m, black) B1.-\n"
    "mode closed { others at rest }\n"
    "mode market { S1 closed }\n";

}  // namespace

TEST_CASE("the budget of a stall: what draws, what is lost, how long it lasts") {
    const Folder folder;
    folder.write("stall.loom", stall);
    const Ending ending = run(folder, {"budget", "stall.loom"});
    CHECK(ending.trouble.empty());
    CHECK_THAT(
        ending.out,
        Contains("mode market, pack low                                volts      amps     watts    share\n"
                 "  gives     B1 stall battery                          24 V       2 A      48 W\n"
                 "  takes     H1 lamp                                   24 V       2 A      48 W    100 %\n"
                 "  lost      wires "));
    // 50 / 2 and 60 / 2
    CHECK_THAT(ending.out, Contains("  market  B1  flat after 25 h to 30 h from full (50..60 Ah / 2 A)\n"
                                    "  closed  B1  does not run down\n"));
    CHECK_THAT(ending.out, Contains("self-discharge of the cells is not known here"));
    CHECK_THAT(ending.out, Contains("assumed (because the file does not say):\n"
                                    "  - policy joint-resistance: 0.1 mohm (no source): the harness\n"));
}

TEST_CASE("what is not known is asked for, not guessed") {
    const Folder folder;
    folder.write("stall.loom", harnesses::with(stall, "24 V, 2 A", "24 V, unknown A"));
    const Ending ending = run(folder, {"budget", "stall.loom"});
    CHECK_THAT(ending.out, Contains("  market  B1  not known: needs current of load H1\n"));
    CHECK_THAT(ending.out, Contains("  gives     B1 stall battery                          24 V   not known\n"
                                    "  takes     H1 lamp                                   24 V   not known\n"
                                    "  lost      not known: needs current of load H1\n"));
}

TEST_CASE("a budget of one mode tells of that and of everything at rest") {
    const Folder folder;
    const Ending ending = run(folder, {"budget", example("market-cart"), "--mode", "drive"});
    CHECK(ending.code == 0);
    CHECK_THAT(ending.out, Contains("mode drive, pack low") && Contains("at rest, mode parked"));
    CHECK_THAT(ending.out, !Contains("mode climb"));
    CHECK_THAT(ending.out, Contains("how long the packs last\n"
                                    "  drive   B1  flat after 1.04 h from full (40.8 Ah / 39.2 A)\n"
                                    "  parked  B1  flat after 5670 days from full (40.8 Ah / 300 uA)\n"));
    const Ending wrong = run(folder, {"budget", example("market-cart"), "--mode", "clim"});
    CHECK(wrong.code == 2);
    CHECK_THAT(wrong.trouble, Contains("there is a mode named 'climb'"));
}

TEST_CASE("no line of a budget is wider than a page, but the verdict") {
    const Folder folder;
    for (const char* name : {"market-cart", "launch-24v", "yard-crane-96v", "bench-rig-12v", "ice-sweeper"}) {
        CAPTURE(name);
        std::istringstream lines(run(folder, {"budget", example(name)}).out);
        std::size_t count = 0;
        for (std::string line; std::getline(lines, line); ++count)
            if (line.find("not a licence") == std::string::npos) CHECK(line.size() <= 100);
        CHECK(count > 20);
    }
}

TEST_CASE("budgets as JSON obey their schema, and their figures add up") {
    const Folder folder;
    folder.write("stall.loom", stall);
    folder.write("open.loom", harnesses::with(stall, "capacity 50..60 Ah", "capacity unknown"));
    folder.write("misspelt.loom", harnesses::misspelt_barrow);
    const Ending ending =
        run(folder, {"budget", "--format", "json", "stall.loom", "open.loom", "misspelt.loom", "nowhere.loom",
                     example("market-cart"), example("launch-24v"), example("yard-crane-96v")});
    CHECK(ending.code == 2);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/budget.schema.json"));
    json document = json::parse(ending.out);
    const std::vector<std::string> complaints = validator.complaints(document);
    CAPTURE(complaints);
    CHECK(complaints.empty());
    const json& market = document["files"][0]["budget"]["modes"][1];
    CHECK(market["mode"] == "market");
    CHECK(market["packs"][0]["hours"][0].get<double>() == Approx(25));
    CHECK(market["packs"][0]["hours"][1].get<double>() == Approx(30));
    CHECK(market["packs"][0]["way"] == "runs-down");
    CHECK(document["files"][0]["budget"]["at_rest"][0]["mode"] == "closed");
    const json& open = document["files"][1]["budget"]["modes"][1]["packs"][0];
    CHECK(open["way"] == "not-known");
    CHECK(open["hours"].is_null());
    CHECK(open["needs"] == json({"capacity of pack B1"}));
    CHECK(document["files"][2]["budget"].is_null());
    CHECK(document["files"][3]["budget"].is_null());
    std::size_t added = 0;
    for (std::size_t file = 4; file < 7; ++file)
        for (const json& mode : document["files"][file]["budget"]["modes"]) {
            if (!mode["known"] || mode["given_W"] == 0) continue;
            CAPTURE(mode["mode"]);
            double gone_W = mode["stored_W"].get<double>() + mode["lost"]["wires_W"].get<double>() +
                            mode["lost"]["contacts_W"].get<double>() + mode["lost"]["diodes_W"].get<double>();
            for (const json& row : mode["takes"]) gone_W += row["mean_W"].get<double>();
            for (const json& row : mode["converters"])
                gone_W += row["input"]["mean_W"].get<double>() - row["output"]["mean_W"].get<double>();
            CHECK(gone_W == Approx(mode["given_W"].get<double>()).epsilon(1e-6));
            ++added;
        }
    CHECK(added > 15);
}

}  // namespace budget_test
