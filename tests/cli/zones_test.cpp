// `loomward zones`: text and JSON.
#include <catch2/catch.hpp>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace zones_test {

using Catch::Contains;
using Catch::EndsWith;
using json_schema::json;
using program::Ending;
using program::example;
using program::Folder;
using program::run;

namespace {

// A pack, its fuse, a lamp; beside it a heater that somebody put straight on the pack.
const std::string shed =
    "loom 1\n"
    "harness \"Shed\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
    "fuse F1 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "fuse F2 { unknown A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "load H1 { 48 V, 50 W }\nload H2 { 48 V, 200 W }\nload H3 { 48 V, 20 W }\n"
    "device A1 { pin a signal }\ndevice A2 { pin a signal }\n"
    "route B1.+ (W1 1.5 mm2, 0.1 m) F1 (W2 1.5 mm2, 0.5 m) H1 (W3 1 mm2, 0.9 m) B1.-\n"
    "route B1.+ (W4 1 mm2, 1.2 m) H2 (W5 1 mm2, 1.5 m) B1.-\n"
    "route B1.+ (W6 1 mm2, 0.15 m) F2 (W7 1 mm2, 1 m) H3 (W8 1 mm2, 1.5 m) B1.-\n"
    "route A1.a (W9 0.5 mm2, 1 m) A2.a\n"
    "mode lit { others at rest }\n";

}  // namespace

TEST_CASE("every kind of zone is told, the unguarded last and with the way from the source") {
    const Folder folder;
    folder.write("shed.loom", shed);
    const Ending ending = run(folder, {"zones", "shed.loom"});
    CHECK(ending.code == 1);
    // ISO 8820-5 opens 1.35 times its rated current within the conventional time (memory).
    CHECK(ending.out.substr(0, ending.out.find("shed.loom: ")) ==
          "guarded by F1 (1.35 x 5 A = 6.75 A)\n"
          "      wires:  W2 W3\n"
          "      limit:  W3 may carry 22 A, the least of them\n"
          "\n"
          "reached by no source\n"
          "      wires:  W9\n"
          "\n"
          "not known, F2 (rated current not known)\n"
          "      wires:  W7 W8\n"
          "\n"
          "not guarded, ends 0.15 m from the source, as the policy allows\n"
          "      wires:  W1 W6\n"
          "      path:   B1.+ > W6 > F2.in\n"
          "\n"
          "not guarded, ends 1.2 m from the source\n"
          "      wires:  W4 W5\n"
          "      path:   B1.+ > W4 > H2.+\n"
          "\n");
}

TEST_CASE("zones end like a check: with its verdict and its code") {
    const Folder folder;
    folder.write("good.loom", harnesses::barrow);
    const Ending good = run(folder, {"zones", "good.loom"});
    CHECK(good.code == 0);
    CHECK_THAT(good.out, EndsWith("not a licence: see local codes\n") && Contains("good.loom: no errors"));
    folder.write("misspelt.loom", harnesses::misspelt_barrow);
    const Ending bad = run(folder, {"zones", "misspelt.loom"});
    CHECK(bad.code == 2);
    CHECK_THAT(bad.out, EndsWith("\nmisspelt.loom: 1 mistake in the text; nothing was checked\n"));
}

TEST_CASE("the zones of the cart: feeds add up, and the lead that nobody guards is named with its way") {
    const Folder folder;
    const Ending sound = run(folder, {"zones", example("market-cart")});
    CHECK(sound.code == 0);
    // 1.35 x 80 A of the main fuse, 12 A that the controller gives back, 54.6 V / 100 ohm of precharge.
    CHECK_THAT(sound.out, Contains("guarded by F1 (1.35 x 80 A = 108 A) + limit of R1 (546 mA) + limit of U1 "
                                   "(12 A), together 121 A\n"
                                   "      wires:  W10\n"
                                   "      limit:  W10 may carry 125 A\n"));
    CHECK_THAT(sound.out, Contains("guarded by F9 (1.35 x 20 A = 27 A)\n      wires:  W57 W58 W59 W60\n"));
    CHECK_THAT(sound.out, Contains("not guarded, ends 0.12 m from the source, as the policy allows\n"
                                   "      wires:  W1\n      path:   B1.+ > W1 > F1.in\n"));
    CHECK_THAT(sound.out, !Contains("from the source\n"));
    const Ending mistaken = run(folder, {"zones", example("market-cart-mistakes")});
    CHECK(mistaken.code == 1);
    CHECK_THAT(mistaken.out, Contains("not guarded, ends 0.6 m from the source\n"
                                      "      wires:  W57\n      path:   B1.+ > W57 > F9.in\n"));
}

TEST_CASE("zones as JSON obey their schema and are those of the check") {
    const Folder folder;
    folder.write("shed.loom", shed);
    folder.write("misspelt.loom", harnesses::misspelt_barrow);
    const Ending zones =
        run(folder, {"zones", "--format", "json", "shed.loom", "misspelt.loom", "nowhere.loom"});
    CHECK(zones.code == 2);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/zones.schema.json"));
    json document = json::parse(zones.out);
    const std::vector<std::string> complaints = validator.complaints(document);
    CAPTURE(complaints);
    CHECK(complaints.empty());
    const json check = json::parse(run(folder, {"check", "--format", "json", "shed.loom"}).out);
    const json& of_shed = document["files"][0]["zones"];
    CHECK(of_shed == check["files"][0]["results"]["zones"]);
    CHECK(document["files"][1]["zones"].is_null());
    std::vector<std::string> guards;
    for (const json& zone : of_shed) guards.push_back(zone["guard"]);
    CHECK(guards == std::vector<std::string>{"devices", "no-source", "not-known", "short-leads", "none"});
    CHECK(of_shed[0]["devices"][0]["name"] == "F1");
    CHECK(of_shed[0]["current_A"] == 6.75);
    CHECK(of_shed[2]["devices"][0]["current_A"].is_null());
    CHECK(of_shed[4]["current_A"].is_null());
    CHECK(of_shed[4]["witness"][0]["name"] == "B1.+");
}

TEST_CASE("every wire of every example stands in exactly one zone") {
    const Folder folder;
    std::vector<std::string> line = {"check", "--format", "json"};
    for (const auto& entry : std::filesystem::directory_iterator(LOOMWARD_SOURCE_DIR "/examples"))
        if (entry.path().extension() == ".loom") line.push_back(entry.path().string());
    const json document = json::parse(run(folder, line).out);
    std::size_t counted = 0;
    for (const json& file : document["files"]) {
        if (file["results"].is_null()) continue;
        std::vector<std::string> of_zones, of_wires;
        for (const json& zone : file["results"]["zones"])
            for (const json& wire : zone["wires"]) of_zones.push_back(wire);
        for (const json& wire : file["results"]["wires"]) of_wires.push_back(wire["name"]);
        std::sort(of_zones.begin(), of_zones.end());
        std::sort(of_wires.begin(), of_wires.end());
        CHECK(of_zones == of_wires);
        counted += of_wires.size();
    }
    CHECK(counted > 300);
}

}  // namespace zones_test
