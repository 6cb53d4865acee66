// The survey of all shorts goes by pieces: what lies in line is one, and long stretches are looked at as a
// whole. The slow way, link by link and wire by wire, must come to the same.
#include <catch2/catch.hpp>

#include <random>

#include "checker/faults/fault_taking.hpp"
#include "tests/checker/fault_harness.hpp"

namespace fault_pieces_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A trunk of connectors, splices, fuses and taps, of wires of a few sizes; now and then closed to a ring or
// fed at both ends.
std::string random_trunk(std::mt19937& random) {
    const auto pick = [&](int count) { return static_cast<int>(random() % static_cast<unsigned>(count)); };
    static constexpr const char* areas[] = {"1.5", "2.5", "6", "16"};
    int wires = 0;
    const auto wire = [&] {
        return fmt::format("(W{} {} mm2, 0.{} m)", ++wires, areas[pick(4)], 1 + pick(9));
    };
    std::string text =
        "loom 1\nharness \"trunk\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
        "part plug is connector { half socket, contact-resistance 0.3 mohm, rated-at 40 degC, limit 105 "
        "degC, contacts 1, carries 60 A, 90 V, takes 1..16 mm2, withstands 200 A for 1 s }\n"
        "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 40 A, charge 10 A }\n"
        "fuse F0 { 40 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 72 V dc, carries 50 A, breaks 40 A at 72 V dc }\n";
    std::string trunk = "route B1.+ " + wire() + " F0 " + wire() + " S1 ", taps;
    const int length = 40 + pick(80);
    std::vector<std::string> members;
    for (int i = 1; i <= length; ++i) {
        const int kind = pick(20);
        const std::string name = (kind == 0 ? "F" : kind < 4 ? "X" : "J") + std::to_string(i);
        if (kind == 0)
            text += "fuse " + name + " { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n";
        else if (kind < 4)
            text += "splice " + name + "\n";
        else
            text += "connector " + name + " is plug { mate P" + std::to_string(i) + " }\n";
        trunk += wire() + " " + name + (kind < 4 ? " " : ".1 ");
        if (kind > 0 && kind < 4) members.push_back(name);
        if (kind == 3) {
            text += fmt::format("load H{} {{ 48 V, 10 W }}\n", i);
            taps += fmt::format("route {} {} H{} {} B1.-\n", name, wire(), i, wire());
        }
    }
    text += "load M1 { 48 V, 100 W }\n" + trunk + wire() + " M1 " + wire() + " B1.-\n" + taps;
    if (members.size() > 3 && pick(2) == 0)
        text += "route " + members[1] + " " + wire() + " " + members.back() + "\n";
    if (members.size() > 3 && pick(3) == 0)
        text +=
            "pack B2 { voltage 41..57 V, resistance 40 mohm, capacity 20 Ah, discharge 40 A, charge 10 A }\n"
            "route B2.+ " +
            wire() + " " + members[2] + "\nroute B2.- " + wire() + " B1.-\n";
    return text + "mode off { others at rest }\nmode run { S1 closed }\n";
}

struct Compared {
    std::size_t outcomes = 0, wires = 0, contacts = 0, longest = 0;
};

void compare(const std::string& text, Compared& compared) {
    INFO(text);
    const FaultBench bench(text);
    const FaultStudy study(bench.circuit, *bench.facts, *bench.touching, bench.wires);
    const FaultSurvey& quick = study.survey();
    std::vector<FaultNetwork> networks;
    for (const std::vector<bool>& open : contact_positions(bench.circuit))
        for (const Corner corner : {Corner::fault_max, Corner::fault_min})
            networks.emplace_back(bench.circuit, *bench.facts, corner, open);
    FaultSurvey slow(bench.circuit);
    slow.places = quick.places;
    FaultTaker taker(bench.circuit, *bench.facts, study.setting(), networks, slow);
    std::vector<FaultTeller> tellers;
    for (const FaultNetwork& network : networks) tellers.emplace_back(network, study.setting());
    for (const FaultOutcome& outcome : quick.outcomes) {
        const std::size_t number = 2 * outcome.position + (outcome.corner == Corner::fault_max ? 0 : 1);
        const FaultCourse* course = tellers[number].follow_apart(quick.places[outcome.place]);
        REQUIRE(course);
        taker.take(number, {outcome.place, outcome.position, outcome.corner, 0, 0, 0, 0, {}, 0}, *course);
        const FaultOutcome& other = slow.outcomes.back();
        CHECK(outcome.prospective_A == Approx(other.prospective_A).epsilon(1e-9));
        CHECK(outcome.standing_A == Approx(other.standing_A).epsilon(1e-9));
        CHECK((outcome.ends_s == other.ends_s || outcome.ends_s == Approx(other.ends_s).epsilon(1e-7)));
        CHECK(outcome.first == other.first);
        CHECK(outcome.devices == other.devices);
        compared.longest = std::max(compared.longest, course->pieces.size());
        ++compared.outcomes;
    }
    const auto same = [](double a, double b) { return a == b || a == Approx(b).epsilon(1e-7); };
    for (std::size_t i = 0; i < quick.wires.size(); ++i) {
        INFO("wire " << bench.harness->wires[i].name);
        CHECK(same(quick.wires[i].heat_over_limit, slow.wires[i].heat_over_limit));
        compared.wires += quick.wires[i].outcome != FaultSurvey::none;
    }
    for (std::size_t i = 0; i < quick.contacts.size(); ++i) {
        INFO("part " << bench.harness->parts[i].name);
        CHECK(same(quick.contacts[i].let_through_A2s, slow.contacts[i].let_through_A2s));
        CHECK(same(quick.unpromised[i].current_A, slow.unpromised[i].current_A));
        compared.contacts += quick.contacts[i].outcome != FaultSurvey::none;
    }
    REQUIRE(quick.races.size() == slow.races.size());
    for (std::size_t i = 0; i < quick.races.size(); ++i) {
        CHECK(quick.races[i].near == slow.races[i].near);
        CHECK(quick.races[i].far == slow.races[i].far);
        CHECK(quick.races[i].lost == slow.races[i].lost);
    }
}

}  // namespace

TEST_CASE("the survey by pieces is that of every link looked at alone, on random trunks") {
    std::mt19937 random(9);
    Compared compared;
    for (int i = 0; i < 60; ++i) compare(random_trunk(random), compared);
    CHECK(compared.outcomes > 5000);
    CHECK(compared.wires > 2000);
    CHECK(compared.contacts > 2000);
    CHECK(compared.longest > 100);
}

TEST_CASE("the survey by pieces is that of every link looked at alone, on random meshes") {
    std::mt19937 random(10);
    Compared compared;
    for (int i = 0; i < 200; ++i) compare(random_fault_harness(random), compared);
    CHECK(compared.outcomes > 2000);
    CHECK(compared.wires > 1000);
}

}  // namespace fault_pieces_test
