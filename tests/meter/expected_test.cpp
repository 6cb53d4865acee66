// The sheet followed step by step on machines that are wired as drawn.
#include "tests/meter/simulated.hpp"

namespace expected_test {

namespace {

using namespace loomward;
using namespace loomward::testing;

// Steps that do not read as expected on a machine of that seed, "step 14 K1.in to K1.out reads 3".
std::vector<std::string> missed(const std::string& example, std::uint32_t seed) {
    const Results& results = checked_example(example);
    const PowerUpSheet sheet = power_up_sheet(results);
    const Facts facts(*results.circuit.harness);
    const ExpectedReadings expected(results.circuit, facts, 15, 25);
    const SimulatedMachine machine(*results.circuit.harness, seed);
    HandMeter meter{std::mt19937(seed + 1), 0.004};
    const double share = std::uniform_real_distribution<double>(0.1, 0.9)(meter.random);
    std::vector<std::string> list;
    for (const BenchStep* step : sheet.steps()) {
        if (step->meter == MeterKind::look) continue;
        const double value = meter.show(step->meter, machine.true_value(sheet, *step, share));
        const ReadingRange range = expected.of(sheet, *step, share - 0.02, share + 0.02);
        if (!as_expected(step->meter, range, value))
            list.push_back("step " + std::to_string(step->number) + " " + step->red + " to " + step->black +
                           " reads " + std::to_string(value) + " of " + std::to_string(range.least) + " to " +
                           std::to_string(range.most));
    }
    return list;
}

}  // namespace

TEST_CASE("every expected reading comes true on machines that are wired as drawn") {
    for (const char* example : {"market-cart", "yard-crane-96v", "ice-sweeper"}) {
        INFO(example);
        CHECK(power_up_sheet(checked_example(example)).steps().size() > 50);
        for (const std::uint32_t seed : {1U, 2U, 3U})
            CHECK(missed(example, seed) == std::vector<std::string>{});
    }
}

TEST_CASE("a harness with errors has no step with a pack, and says what bars which") {
    const PowerUpSheet sheet = power_up_sheet(checked_example("market-cart-mistakes"));
    CHECK(sheet.barred);
    CHECK(sheet.barred_steps.size() >= 3);
    for (const BenchStep* step : sheet.steps()) CHECK_FALSE(step->live);
}

TEST_CASE("steps are numbered through, and a live one never stands before the dead ones") {
    for (const char* example :
         {"market-cart", "greenhouse-line", "vineyard-carrier", "launch-24v", "bench-rig-12v"}) {
        const PowerUpSheet sheet = power_up_sheet(checked_example(example));
        std::size_t number = 0;
        bool live = false;
        for (const BenchStep* step : sheet.steps()) {
            CHECK(step->number == ++number);
            live = live || step->live;
            if (step->meter == MeterKind::ohms) CHECK_FALSE(live);
        }
    }
}

TEST_CASE("each wire is measured through once while nothing is connected") {
    const Results& results = checked_example("market-cart");
    const PowerUpSheet sheet = power_up_sheet(results);
    std::vector<int> times(results.circuit.edges.size(), 0);
    for (const BenchStep* step : sheet.steps())
        if (step->meter == MeterKind::ohms && step->across) ++times[step->across.index()];
    for (const EdgeId wire : results.circuit.edge_of_wire) CHECK(times[wire.index()] == 1);
}

}  // namespace expected_test
