// Contacts that follow their coils.
#include <set>

#include "checker/follow/follow.hpp"
#include "tests/failures/trying.hpp"
#include "tests/laws/random_harness.hpp"

namespace follow_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// "mode: coils that do otherwise" of each mode that differs.
std::vector<std::string> differences(const Harness& harness) {
    const Circuit circuit = build_circuit(harness);
    const Facts facts(harness);
    const Follower follower(circuit, facts);
    std::vector<std::string> found;
    for (std::size_t m = 0; m < harness.modes.size(); ++m) {
        std::string line;
        for (const PartId part : follow_differs(circuit, follower, ModeId(m)))
            line += " " + std::string(harness.part(part).name);
        if (!follower.as_drawn(ModeId(m)).settles) line += " chatters";
        if (!line.empty()) found.push_back(std::string(harness.modes[m].name) + ":" + line);
    }
    return found;
}

const std::string buzzer =
    "loom 1\n"
    "harness \"Buzzer\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
    "fuse F1 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
    "switch S1 { 72 V dc, carries 20 A, breaks 16 A at 72 V dc }\n"
    "relay K1 { contacts nc, carries 8 A, breaks 1 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 1.5 mm2, 0.5 m, red) S1 (W3 1.5 mm2, 0.5 m, red) K1\n"
    "    (W4 1.5 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W5 1.5 mm2, 0.9 m, black) B1.-\n"
    "mode off { others at rest }\n"
    "mode on { S1 closed, K1 energised }\n";

}  // namespace

TEST_CASE("followed without a failure every example has the states that its modes declare") {
    for (const std::string name :
         {"market-cart", "yard-crane-96v", "ice-sweeper", "launch-24v", "bench-rig-12v", "greenhouse-line"}) {
        INFO(name);
        CHECK(differences(*example_harness(name, example(name))) == std::vector<std::string>{});
    }
}

TEST_CASE("followed without a failure random harnesses have the states that their modes declare") {
    std::size_t coils = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        INFO(seed);
        const auto harness = harness_of("random.loom", laws::random_harness(seed).text());
        CHECK(differences(*harness) == std::vector<std::string>{});
        const Circuit circuit = build_circuit(*harness);
        coils += Follower(circuit, Facts(*harness)).coils().size();
    }
    CHECK(coils > 20);  // else it would show nothing
}

TEST_CASE("a mode that says otherwise than its coil is named and left out") {
    const std::string text = replaced(example("market-cart"), "K1 closed, U1.main on", "K1 open, U1.main on");
    const auto harness = example_harness("market-cart", text);
    CHECK(differences(*harness) == std::vector<std::string>{"drive: K1", "climb: K1"});
    CHECK(tried(harness).report.left_out == std::vector<std::string>{"drive", "climb"});
}

TEST_CASE("a relay that breaks the feed of its own coil chatters, and says so") {
    CHECK(differences(*harness_of("buzzer.loom", buzzer)).size() == 1);
}

TEST_CASE("a coil lets go when the stop in its loop opens, and the drive behind it is dead") {
    const auto harness = example_harness("market-cart", example("market-cart"));
    const Circuit circuit = build_circuit(*harness);
    const Facts facts(*harness);
    const Follower follower(circuit, facts);
    const ModeId drive(3);
    REQUIRE(harness->modes[3].name == "drive");
    REQUIRE(follower.drives().size() == 1);
    CHECK(follower.as_drawn(drive).drives[0] == DriveState::runs);
    CircuitChange struck;
    const PartId stop = *harness->find_part("S2");
    struck.forced.push_back({circuit.edges_of_part[stop.index()].front(), false});
    CHECK(follower.follow(drive, struck, {}).drives[0] < DriveState::live);
    CHECK(follower.follow_held(drive, struck, {}).drives[0] == DriveState::live);
    CHECK(follower.as_drawn(ModeId(2)).drives[0] == DriveState::charged);  // precharge
}

namespace {

// Of one mode: coils that a check says contradict it, by the solved voltages.
std::vector<std::string> contradicted(const Results& results, ModeId mode) {
    std::set<std::string> names;
    for (const Finding& finding : results.findings)
        if (finding.rule == "mode-contradicts" && finding.mode == mode &&
            finding.beside.find("its coil has") != std::string::npos)
            names.insert(std::string(results.harness->part(finding.part).name));
    return {names.begin(), names.end()};
}

Posture flipped(Posture posture) {
    return posture == Posture::closed      ? Posture::open
           : posture == Posture::open      ? Posture::closed
           : posture == Posture::energised ? Posture::released
                                           : Posture::energised;
}

// Each coil in each mode said the other way round: both have to say so of it, and neither as it was. How
// many.
std::size_t compare_with_check(const Harness& sound) {
    std::size_t compared = 0;
    const Circuit circuit = build_circuit(sound);
    const Facts facts(sound);
    const Follower follower(circuit, facts);
    if (follower.coils().empty()) return 0;
    const Results as_said = check(std::make_shared<const Harness>(sound));
    for (std::size_t m = 0; m < sound.modes.size() && m < 3; ++m) {
        CHECK(contradicted(as_said, ModeId(m)) == std::vector<std::string>{});
        for (const PartId coil : follower.coils()) {
            Harness other = sound;
            State& state = other.modes[m].states[coil.index()];
            state.posture = flipped(state.posture);
            const std::string name(sound.part(coil).name);
            INFO(sound.modes[m].name << ": " << name);
            const Circuit changed = build_circuit(other);
            const Facts of_other(other);
            const Follower follows(changed, of_other);
            const auto differ = follow_differs(changed, follows, ModeId(m));
            const bool by_following = std::find(differ.begin(), differ.end(), coil) != differ.end();
            const auto names = contradicted(check(std::make_shared<const Harness>(other)), ModeId(m));
            CHECK(by_following == (std::find(names.begin(), names.end(), name) != names.end()));
            compared += by_following;
        }
    }
    return compared;
}

}  // namespace

TEST_CASE("a check that says a mode contradicts its coils and contacts that follow them say the same") {
    std::size_t compared = compare_with_check(*example_harness("ice-sweeper", example("ice-sweeper")));
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        INFO(seed);
        compared += compare_with_check(*harness_of("random.loom", laws::random_harness(seed).text()));
    }
    CHECK(compared > 20);
}

}  // namespace follow_test
