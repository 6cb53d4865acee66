// An inverter is one part: it takes a constant power through an input capacitor, and may charge.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "checker/parts/elements.hpp"
#include "tests/checker/checking.hpp"

namespace inverter_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string wired(const std::string& inverter, const std::string& mode, const std::string& fuse = "150 A") {
    return "loom 1\nharness \"inverter\" { ambient 10..30 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 42..58.8 V, resistance 20 mohm, capacity 80 Ah, discharge 130 A, charge 40 A "
           "}\n"
           "fuse F1 { " +
           fuse +
           ", 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-5 }\n"
           "switch S1 { 80 V dc, carries 200 A, breaks 200 A at 60 V dc }\n"
           "inverter E1 { " +
           inverter +
           " }\n"
           "route B1.+ (W1 50 mm2, 0.15 m, red) F1 (W2 50 mm2, 0.4 m, red) S1 (W3 50 mm2, 0.5 m, red) E1.+\n"
           "route B1.- (W4 50 mm2, 0.5 m, black) E1.-\n" +
           mode;
}

const std::string plain = "2.5 kW, input 40..60 V, efficiency 90 %, capacitance 1 uF, standby 300 mA";

// What flows in the edge of that role, A, at each corner of a mode; with the voltage across it.
struct At {
    double current_A = 0, across_V = 0;
};
std::vector<At> edge_at(const Results& results, EdgeRole role, std::string_view mode) {
    std::vector<At> all;
    for (const OperatingPoint& point : results.points) {
        if (results.harness->modes[point.mode.index()].name != mode || !point.usable()) continue;
        for (std::size_t i = 0; i < results.circuit.edges.size(); ++i) {
            const Edge& edge = results.circuit.edges[i];
            if (edge.role == role)
                all.push_back(
                    {point.edge_A[i], point.node_V[edge.from.index()] - point.node_V[edge.to.index()]});
        }
    }
    return all;
}

}  // namespace

TEST_CASE(
    "an inverter takes the same power at an empty and at a full pack, so more current at the empty one") {
    const Results results = check_text(wired(plain, "mode use { S1 closed, E1 draws 1.5 kW }\n"));
    const std::vector<At> at = edge_at(results, EdgeRole::controller, "use");
    REQUIRE(at.size() == 2);
    for (const At& each : at) CHECK(each.current_A * each.across_V == Approx(1500.0));
    CHECK(at[0].across_V < 42);
    CHECK(at[0].current_A > 1.3 * at[1].current_A);
}

TEST_CASE("the limit of an inverter is its rated power over its efficiency") {
    // 2.5 kW / 90 % = 2.778 kW, by the definition of efficiency.
    const Results results = check_text(wired(plain, "mode use { S1 closed, E1 draws limit }\n"));
    const std::vector<At> at = edge_at(results, EdgeRole::controller, "use");
    REQUIRE(at.size() == 2);
    for (const At& each : at) CHECK(each.current_A * each.across_V == Approx(2500 / 0.9));
    const Facts facts(*results.harness);
    CHECK(*rated_input_W(facts, *results.harness->find_part("E1")) == Approx(2500 / 0.9));
}

TEST_CASE("an inverter that is on draws its standby, one that is off nothing") {
    const Results results =
        check_text(wired(plain, "mode waiting { S1 closed, E1 on }\nmode parked { S1 closed, E1 off }\n"));
    for (const At& each : edge_at(results, EdgeRole::controller, "waiting"))
        CHECK(each.current_A == Approx(0.3));
    for (const At& each : edge_at(results, EdgeRole::controller, "parked")) CHECK(each.current_A == 0);
}

TEST_CASE("an inverter that charges gives back to the pack what the mode says, and takes nothing meanwhile") {
    const Results results = check_text(wired(plain + ", charges 58.8 V 30 A",
                                             "mode shore { S1 closed, E1 delivers 25 A }\n"
                                             "mode use { S1 closed, E1 draws 1 kW }\n"));
    double most_A = 0;
    for (const At& each : edge_at(results, EdgeRole::charger, "shore"))
        most_A = std::max(most_A, each.current_A);
    CHECK(most_A == Approx(25.0));
    for (const At& each : edge_at(results, EdgeRole::emf, "shore")) CHECK(each.current_A <= 1e-6);
    for (const At& each : edge_at(results, EdgeRole::controller, "shore")) CHECK(each.current_A == 0);
    for (const At& each : edge_at(results, EdgeRole::charger, "use")) CHECK(each.current_A == 0);
    CHECK(found(results, Severity::error).empty());
}

TEST_CASE("an inverter that charges does not feed itself past an open switch, but feeds a load beside it") {
    const std::string alone = wired(plain + ", charges 58.8 V 30 A", "mode off { others at rest }\n");
    CHECK_FALSE(finding_of(check_text(alone), "back-feed"));
    const Results beside =
        check_text(alone +
                   "load E2 { 48 V, 20 W, acts-as power, works 40..60 V }\n"
                   "route E1.+ (W5 50 mm2, 0.2 m, red) E2 (W6 50 mm2, 0.2 m, black) E1.-\n");
    CHECK(finding_of(beside, "back-feed", "S1"));
}

TEST_CASE("a charger inside an inverter is judged as one beside it") {
    // The pack takes 40 A; it is full at 58.8 V.
    const auto with = [](const std::string& charges) {
        return check_text(wired(plain + ", charges " + charges, "mode off { others at rest }\n"));
    };
    CHECK(finding_of(with("58.8 V 45 A"), "setting-too-high", "E1"));
    CHECK_FALSE(finding_of(with("58.8 V 35 A"), "setting-too-high", "E1"));
    CHECK(finding_of(with("60 V 35 A"), "charge-voltage", "E1"));
    CHECK_FALSE(finding_of(with("58.8 V 35 A"), "charge-voltage", "E1"));
    // Without a word of charging there is no source in it.
    const Results results = check_text(wired(plain, "mode off { others at rest }\n"));
    for (const Edge& edge : results.circuit.edges) CHECK(edge.role != EdgeRole::charger);
}

TEST_CASE("rated power at the lowest voltage is held against the supply, and said so") {
    // 4.95 kW / 90 % / 40 V = 137.5 A; the pack gives 130 A.
    const Results results = check_text(wired("4.95 kW, input 40..60 V, efficiency 90 %, capacitance 1 uF",
                                             "mode use { S1 closed, E1 draws 1 kW }\n"));
    const Finding* finding = finding_of(results, "setting-too-high", "E1");
    REQUIRE(finding);
    CHECK(finding->message == "inverter E1 may take more than its supply may give");
    CHECK(finding->working.front() == "138 A = 4.95 kW / 90 % / 40 V at its rated power");
    CHECK(figure(*finding, "setting") == Approx(137.5));
    CHECK(finding->help == "one whose rated power takes 130 A or less would pass");
    CHECK_FALSE(
        finding_of(check_text(wired(plain, "mode use { S1 closed, E1 draws 1 kW }\n")), "setting-too-high"));
}

TEST_CASE("a mode that says more than the rated power takes is told, in powers as in currents") {
    const auto told = [](const std::string& draws) {
        return finding_of(check_text(wired(plain, "mode use { S1 closed, E1 draws " + draws + " }\n")),
                          "mode-above-setting", "E1") != nullptr;
    };
    CHECK(told("2.79 kW"));
    CHECK_FALSE(told("2.77 kW"));
    CHECK(told("70 A"));
    CHECK_FALSE(told("69 A"));
    const Results charging =
        check_text(wired(plain + ", charges 58.8 V 30 A", "mode shore { S1 closed, E1 delivers 35 A }\n"));
    const Finding* finding = finding_of(charging, "mode-above-setting", "E1");
    REQUIRE(finding);
    CHECK(finding->working.front() == "35 A > 30 A (charges 30 A)");
}

TEST_CASE("the input capacitor of an inverter is a surge for the contact that closes on it") {
    const auto closing = [](const std::string& capacitance) {
        return check_text(wired("2.5 kW, input 40..60 V, efficiency 90 %, capacitance " + capacitance,
                                "mode off { others at rest }\n"
                                "mode use { after off 100 s, S1 closed, E1 draws 1 kW }\n"));
    };
    CHECK(finding_of(closing("12 mF"), "no-precharge", "S1"));
    CHECK_FALSE(finding_of(closing("0.1 uF"), "no-precharge", "S1"));
    // What nobody knows is asked for.
    CHECK(finding_of(closing("unknown"), "missing-data", "E1"));
}

TEST_CASE("an inverter's inrush is held against the fuse before it") {
    const auto with = [](const std::string& inrush) {
        return check_text(wired(plain + ", inrush " + inrush, "mode use { S1 closed, E1 draws 1 kW }\n"));
    };
    CHECK(finding_of(with("900 A for 2 s"), "nuisance-trip", "F1"));
    CHECK_FALSE(finding_of(with("100 A for 50 ms"), "nuisance-trip", "F1"));
}

TEST_CASE("without modes an inverter is judged at its limit, and charging where it charges") {
    const auto names = [](const Results& results) {
        std::string all;
        for (const Mode& mode : results.harness->modes) all += std::string(mode.name) + ";";
        return all;
    };
    CHECK(names(check_text(wired(plain, ""))) == "at rest;everything on;");
    const Results results = check_text(wired(plain + ", charges 58.8 V 30 A", ""));
    CHECK(names(results) == "at rest;everything on;charging;");
    for (const At& each : edge_at(results, EdgeRole::controller, "everything on"))
        CHECK(each.current_A * each.across_V == Approx(2500 / 0.9));
}

TEST_CASE("an efficiency that nobody knows is judged over what is usual, 80 % at the worst") {
    const Results results = check_text(wired("4.6 kW, input 40..60 V, efficiency unknown, capacitance 1 uF",
                                             "mode use { S1 closed, E1 draws 1 kW }\n"));
    // 4.6 kW / 80 % / 40 V = 144 A against 130 A; at 95 % it would be 121 A, so it is possible only.
    const Finding* finding = finding_of(results, "setting-too-high", "E1");
    REQUIRE(finding);
    CHECK(finding->possible);
}

TEST_CASE("what else an inverter leaves open is told as an error") {
    for (const char* open : {"unknown W, input 40..60 V, efficiency 90 %, capacitance 1 uF",
                             "2.5 kW, input unknown V, efficiency 90 %, capacitance 1 uF",
                             "2.5 kW, input 40..60 V, efficiency 90 %, capacitance 1 uF, charges unknown"}) {
        INFO(open);
        const Results results = check_text(wired(open, "mode use { S1 closed, E1 draws limit }\n"));
        CHECK(gravest_of(results, "missing-data", "E1") == Severity::error);
    }
}

TEST_CASE("an inverter takes its rated power at the lowest of its pack, no matter how low it would work") {
    // 2.5 kW / 90 % = 2778 W: at 37.8 V, a tenth below the lowest of the pack, 73.5 A; at 20 V 139 A.
    const std::string wide = "2.5 kW, input 20..60 V, efficiency 90 %, capacitance 1 uF";
    const Results results = check_text(wired(wide, "mode use { S1 closed, E1 draws 1 kW }\n", "80 A"));
    const auto limit = asked_of_supply(Facts(*results.harness), *results.harness->find_part("E1"));
    REQUIRE(limit);
    CHECK(limit->current_A == Approx(2500 / 0.9 / (0.9 * 42)));
    CHECK(limit->working == "73.5 A = 2.5 kW / 90 % / 37.8 V (10 % below the lowest of the pack)");
    CHECK_FALSE(finding_of(results, "setting-too-high"));
    CHECK(supply_limit(Facts(*results.harness), *results.harness->find_part("E1"))->current_A ==
          Approx(2500 / 0.9 / 20));  // what it may take itself
    // A pack that does not fit its input does not feed it: a converter does, and it works down to its own
    // end.
    const std::string low = "2.5 kW, input 20..32 V, efficiency 90 %, capacitance 1 uF";
    const Results other = check_text(wired(low, "mode use { S1 closed, E1 draws 1 kW }\n"));
    CHECK(asked_of_supply(Facts(*other.harness), *other.harness->find_part("E1"))->current_A ==
          Approx(2500 / 0.9 / 20));
}

}  // namespace inverter_test
