// Bad joints planted on the ways of the first load, one a machine, read with a hand meter.
#include <fmt/format.h>

#include <algorithm>

#include "checker/bench/diagnosis.hpp"
#include "tests/meter/simulated.hpp"
#include "tests/meter/tables_page.hpp"

namespace bad_joints_test {

namespace {

using namespace loomward;
using namespace loomward::testing;

struct Confusion {
    int alone = 0, within_two = 0, within_three = 0, more = 0, not_named = 0;
    int good_accused = 0;  // joints named that carry nothing bad
    std::string row(const char* name) const {
        return fmt::format("{:<34}{:>6}{:>12}{:>14}{:>6}{:>11}{:>14}\n", name, alone, within_two,
                           within_three, more, not_named, good_accused);
    }
};

struct Trial {
    const Results& results;
    const PowerUpSheet& sheet;
    std::vector<EdgeId> pieces;  // of the ways of the first load

    Trial(const Results& checked, const PowerUpSheet& made) : results(checked), sheet(made) {
        for (const BenchStep* step : sheet.steps())
            if (step->meter == MeterKind::millivolts && step->pieces.size() == 1)
                pieces.push_back(step->pieces[0]);
    }

    void run(std::uint32_t seed, double least_ohm, double most_ohm, bool sums_only, Confusion& table) const {
        SimulatedMachine machine(*results.circuit.harness, seed, 21);
        HandMeter meter{std::mt19937(seed * 7 + 1)};
        const EdgeId bad = pieces[seed % pieces.size()];
        const double ohm = std::uniform_real_distribution<double>(least_ohm, most_ohm)(meter.random);
        machine.ohm(bad) += ohm;
        std::vector<TakenReading> taken;
        for (const BenchStep* step : sheet.steps()) {
            if (step->meter != MeterKind::millivolts || (sums_only && step->pieces.size() == 1)) continue;
            // The clamp shows what flows, to its own error; the person holds the current as well as the grip
            // allows.
            const double amps = sheet.test_A * std::uniform_real_distribution<double>(0.9, 1.1)(meter.random);
            const double volts = machine.true_value(sheet, *step, 0.5) * amps;
            taken.push_back({step->number, meter.show(MeterKind::millivolts, volts), amps});
        }
        const ReadingsReport report = judge_readings(results, sheet, taken, {21, std::nullopt});
        bool named = false;
        for (const BadJoint& joint : report.bad_joints) {
            const bool holds = std::find(joint.pieces.begin(), joint.pieces.end(), bad) != joint.pieces.end();
            if (!holds) {
                ++table.good_accused;
                continue;
            }
            named = true;
            const std::size_t places = joint.places.size();
            ++(places == 1   ? table.alone
               : places == 2 ? table.within_two
               : places == 3 ? table.within_three
                             : table.more);
            CHECK(joint.least_ohm <= ohm * 1.001);
            CHECK_FALSE(joint.next.empty());
        }
        if (!named) ++table.not_named;
    }
};

}  // namespace

TEST_CASE("of 200 bad joints at least 95 % are named alone or within two, and no good one is accused") {
    Confusion all, sums;
    std::string text = fmt::format("{:<34}{:>6}{:>12}{:>14}{:>6}{:>11}{:>14}\n", "", "alone", "within two",
                                   "within three", "more", "not named", "good accused");
    std::uint32_t seed = 0;
    for (const char* example : {"market-cart", "yard-crane-96v", "ice-sweeper", "vineyard-carrier"}) {
        const Results& results = checked_example(example);
        const PowerUpSheet sheet = power_up_sheet(results);
        const Trial trial(results, sheet);
        REQUIRE(trial.pieces.size() > 5);
        Confusion one;
        for (int i = 0; i < 50; ++i) trial.run(++seed, 0.5e-3, 10e-3, false, one);
        for (int i = 0; i < 10; ++i) trial.run(++seed, 0.5e-3, 10e-3, true, sums);
        text += one.row(fmt::format("{}, {:.0f} A", example, sheet.test_A).c_str());
        all.alone += one.alone, all.within_two += one.within_two, all.within_three += one.within_three;
        all.more += one.more, all.not_named += one.not_named, all.good_accused += one.good_accused;
    }
    text += all.row("all 200") + sums.row("only the sums of 40 more");
    holds_block(0, text);
    CHECK(all.alone + all.within_two + all.within_three + all.more + all.not_named == 200);
    CHECK(all.alone + all.within_two >= 190);
    CHECK(all.good_accused == 0);
    CHECK(sums.good_accused == 0);
}

TEST_CASE("without a bad joint none is named") {
    const Results& results = checked_example("market-cart");
    const PowerUpSheet sheet = power_up_sheet(results);
    for (std::uint32_t seed = 1; seed <= 20; ++seed) {
        const SimulatedMachine machine(*results.circuit.harness, seed, 21);
        HandMeter meter{std::mt19937(seed)};
        std::vector<TakenReading> taken;
        for (const BenchStep* step : sheet.steps())
            if (step->meter == MeterKind::millivolts)
                taken.push_back(
                    {step->number,
                     meter.show(MeterKind::millivolts, machine.true_value(sheet, *step, 0.5) * sheet.test_A),
                     std::nullopt});
        const ReadingsReport report = judge_readings(results, sheet, taken, {21, std::nullopt});
        CHECK(report.bad_joints.empty());
        CHECK(report.not_as_expected() == 0);
    }
}

TEST_CASE("two bad joints are named both, and what only a sum shows leaves several") {
    const Results& results = checked_example("market-cart");
    const PowerUpSheet sheet = power_up_sheet(results);
    SimulatedMachine machine(*results.circuit.harness, 5, 21);
    machine.ohm(machine.edge_of_wire("W4")) += 4e-3;
    machine.ohm(machine.edge_of_wire("W6")) += 2e-3;
    std::vector<TakenReading> taken, sums;
    for (const BenchStep* step : sheet.steps()) {
        if (step->meter != MeterKind::millivolts) continue;
        taken.push_back({step->number, machine.true_value(sheet, *step, 0.5) * sheet.test_A, std::nullopt});
        if (step->pieces.size() > 1) sums.push_back(taken.back());
    }
    const ReadingsReport report = judge_readings(results, sheet, taken, {21, std::nullopt});
    REQUIRE(report.bad_joints.size() == 2);
    CHECK(report.bad_joints[0].places ==
          std::vector<std::string>{"the end of W4 at K1.out", "the end of W4 at J1.1"});
    CHECK(report.bad_joints[1].places ==
          std::vector<std::string>{"the end of W6 at B1.-", "the end of W6 at Q1.B-"});
    const ReadingsReport rough = judge_readings(results, sheet, sums, {21, std::nullopt});
    for (const BadJoint& joint : rough.bad_joints) CHECK(joint.pieces.size() > 1);
}

}  // namespace bad_joints_test
