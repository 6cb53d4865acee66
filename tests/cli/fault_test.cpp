// `loomward fault`: the story of one short circuit.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace fault_test {

using Catch::Contains;
using program::Ending;
using program::Folder;
using program::run;

namespace {

// 50 V behind 50 mohm, everything bolted together up to the switch.
const std::string kiln =
    "loom 1\n"
    "harness \"Kiln cart\" { ambient -5..40 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..50 V, resistance 50 mohm, capacity 20 Ah, discharge 60 A, charge 9 A }\n"
    "fuse F1 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "switch S1 { 80 V dc, carries 40 A, breaks 40 A at 60 V dc, makes 60 A }\n"
    "load H1 { 48 V, 300 W, acts-as power, works 30..60 V }\n"
    "route B1.+ (direct) F1 (direct) S1 (W1 4 mm2, 1 m, red) H1 (W2 4 mm2, 1 m, black) B1.-\n"
    "mode off { others at rest }\n"
    "mode on { others at rest, S1 closed }\n";

}  // namespace

TEST_CASE("a short is told with its times, its way and its end") {
    const Folder folder;
    folder.write("kiln.loom", kiln);
    const Ending ending = run(folder, {"fault", "kiln.loom", "S1.out", "B1.-"});
    CHECK(ending.code == 0);
    CHECK(ending.trouble.empty());
    // Slow edge: (6 x 30 A x 1.056)2 x 1 s, at -5 degC; fast edge: (6 x 30 A x 0.966)2 x 0.1 s, at 40 degC.
    CHECK(ending.out ==
          "kiln.loom: S1.out touches B1.-\n"
          "\n"
          "at most (pack full, conductors cold, contacts without resistance)\n"
          "       0 s   1 kA flow: B1.+ > F1 > S1 > S1.out | B1.-\n"
          "   36.1 ms   F1 opens 1 kA at the latest, 3.02 ms at the earliest; 36.1 kA2s let through\n"
          "      then   nothing flows any more, and no source reaches the place\n"
          "\n"
          "at least (pack empty and aged, conductors hot, every joint counted)\n"
          "       0 s   503 A flow: B1.+ > F1 > S1 > S1.out | B1.-\n"
          "    143 ms   F1 opens 503 A at the latest, 12 ms at the earliest; 36.1 kA2s let through\n"
          "      then   nothing flows any more, and no source reaches the place\n");
}

TEST_CASE("with its fuse bridged the short stands and the wires burn") {
    const Folder folder;
    folder.write("kiln.loom", kiln);
    const Ending ending = run(folder, {"fault", "kiln.loom", "H1", "--bridge", "F1"});
    CHECK(ending.code == 1);
    CHECK_THAT(ending.out, Contains("W1 W2 are damaged: ") && Contains("nothing more opens"));
    CHECK(run(folder, {"fault", "kiln.loom", "H1"}).code == 0);
}

TEST_CASE("a fuse of which nothing tells when it opens is named, and not said to stay whole") {
    const Folder folder;
    std::string text = kiln;
    text.replace(text.find(", curve iso8820-5"), std::string(", curve iso8820-5").size(), "");
    folder.write("kiln.loom", text);
    const Ending ending = run(folder, {"fault", "kiln.loom", "H1"});
    CHECK(ending.code == 1);
    CHECK_THAT(
        ending.out,
        Contains("nothing is sure to open\n") &&
            Contains("nothing tells how quickly F1 opens ('curve', or points): counted as never here") &&
            !Contains("nothing more opens"));
    // Bridged, it is none of those that might.
    const Ending bridged = run(folder, {"fault", "kiln.loom", "H1", "--bridge", "F1"});
    CHECK_THAT(bridged.out, Contains("nothing more opens") && !Contains("nothing tells how quickly"));
}

TEST_CASE("a place that cannot short is refused with the reason") {
    const Folder folder;
    folder.write("kiln.loom", kiln);
    struct Row {
        std::vector<std::string> arguments;
        std::string trouble;
    };
    const Row rows[] = {
        {{"fault", "kiln.loom", "W9"}, "loomward: kiln.loom: there is no wire, part or terminal 'W9'\n"},
        {{"fault", "kiln.loom", "H1.+", "X1"},
         "loomward: kiln.loom: there is no wire, part or terminal 'X1'\n"},
        {{"fault", "kiln.loom", "H1", "--bridge", "S1"},
         "loomward: kiln.loom: 'S1' is no fuse, breaker, protector or bms to be bridged\n"},
    };
    for (const Row& row : rows) {
        const Ending ending = run(folder, row.arguments);
        CHECK(ending.code == 2);
        CHECK(ending.trouble == row.trouble);
        CHECK(ending.out.empty());
    }
}

TEST_CASE("a wire, a return and a part are places, alone and against each other") {
    const Folder folder;
    folder.write("kiln.loom", kiln);
    for (const char* name : {"W1", "W2", "S1", "F1", "B1", "H1", "H1.-", "S1.in"}) {
        INFO(name);
        const Ending ending = run(folder, {"fault", "kiln.loom", name});
        CHECK(ending.code != 2);
        CHECK(ending.trouble.empty());
        CHECK_THAT(ending.out, Contains("1 kA flow") || Contains(" kA flow") || Contains(" A flow"));
    }
    CHECK_THAT(run(folder, {"fault", "kiln.loom", "W1", "W2"}).out, Contains(" flow: B1.+ > F1 > S1"));
    CHECK_THAT(run(folder, {"fault", "kiln.loom", "S1", "B1.-"}).out, Contains(" flow: B1.+ > F1 > S1"));
}

TEST_CASE("a fault as JSON obeys its schema and tells the same") {
    const Folder folder;
    folder.write("kiln.loom", kiln);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/fault.schema.json"));
    for (const std::vector<std::string>& extra : {std::vector<std::string>{}, {"--bridge", "F1"}}) {
        std::vector<std::string> line{"fault", "kiln.loom", "H1", "--format", "json"};
        line.insert(line.end(), extra.begin(), extra.end());
        const nlohmann::json document = nlohmann::json::parse(run(folder, line).out);
        const std::vector<std::string> complaints = validator.complaints(document);
        CAPTURE(complaints);
        CHECK(complaints.empty());
        REQUIRE(document["corners"].size() == 2);
        const nlohmann::json& most = document["corners"][0];
        CHECK(most["corner"] == "fault-max");
        CHECK(most["events"][0]["event"] == (extra.empty() ? "opens" : "damaged"));
        CHECK(most["ends_s"].is_null() == !extra.empty());
    }
}

}  // namespace fault_test
