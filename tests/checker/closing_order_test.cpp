// Of contacts in line that one mode closes, the hand-operated one nearest to what it feeds closes onto it.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

// An isolator and a fan switch behind it; both are closed by the one mode.
Results fan(double isolator_makes_A, double switch_makes_A, const std::string& load) {
    return check_text(fmt::format(
        "loom 1\nharness \"grain fan\" {{ ambient 0..35 degC, insulation xlpe 90 degC }}\n"
        "pack B1 {{ voltage 22..28.8 V, resistance 8..14 mohm, capacity 70 Ah, discharge 120 A, charge 20 A "
        "}}\n"
        "fuse F1 {{ 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }}\n"
        "switch S1 \"isolator\" {{ 48 V dc, carries 120 A, makes {} A, breaks 100 A at 32 V dc }}\n"
        "switch S2 \"fan\" {{ 48 V dc, carries 60 A, makes {} A, breaks 60 A at 32 V dc }}\n"
        "{}\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.2 m) S1 (W3 16 mm2, 0.3 m) S2 (W4 16 mm2, 0.3 m) "
        "M1.+\n"
        "route M1.- (W5 16 mm2, 0.3 m) B1.-\n"
        "mode off {{ others at rest }}\nmode blow {{ S1 S2 closed, others at rest }}\n",
        isolator_makes_A, switch_makes_A, load));
}
const std::string motor = "load M1 { 24 V, 10 A, acts-as current, works 16..30 V, inrush 50 A for 100 ms }";

}  // namespace

TEST_CASE("an isolator that could close on the starting current does not excuse the switch behind it") {
    CHECK(finding_of(fan(2000, 49.9, motor), "making-current", "S2"));
    CHECK_FALSE(finding_of(fan(2000, 50.1, motor), "making-current", "S2"));
    // The isolator is closed before: what it may close on does not matter.
    CHECK_FALSE(finding_of(fan(20, 50.1, motor), "making-current", "S1"));
}

TEST_CASE("nor does it from empty capacitors") {
    const std::string controller =
        "controller M1 { input 18..32 V, capacitance 8 mF, supply-limit 20 A, "
        "phase-peak 40 A, regen none, spare U V W }";
    const Results results = fan(5000, 80, controller);
    CHECK(finding_of(results, "no-precharge", "S2"));
    CHECK_FALSE(finding_of(fan(5000, 5000, controller), "no-precharge", "S2"));
}
