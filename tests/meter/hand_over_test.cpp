// What the customer keeps: how to switch off, what each fuse is for, what is tightened.
#include <algorithm>
#include <memory>

#include "checker/bench/hand_over.hpp"
#include "checker/papers/schedules.hpp"
#include "checker/parts/bolted.hpp"
#include "checker/rules/rule_example.hpp"
#include "tests/meter/simulated.hpp"

namespace hand_over_test {

namespace {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::literals;

// The hoist of the rules' examples, with one thing in its text otherwise.
Results hoist(std::string_view from = {}, std::string_view to = {}) {
    std::string text(loomward::example_harness);
    if (!from.empty()) {
        const std::size_t at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    }
    const std::unique_ptr<FileReader> disk = disk_reader();
    ReadResult read = read_harness_text("hoist.loom", text, *disk, {});
    REQUIRE(read.harness);
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}

const SwitchOffOrder* order_of(const std::vector<SwitchOffOrder>& orders, const Results& results,
                               std::string_view name) {
    const auto found = std::find_if(orders.begin(), orders.end(), [&](const SwitchOffOrder& each) {
        return results.harness->part(each.part).name == name;
    });
    return found == orders.end() ? nullptr : &*found;
}

std::vector<std::string> names_of(const Results& results, const std::vector<PartId>& parts) {
    std::vector<std::string> names;
    for (const PartId part : parts) names.emplace_back(results.harness->part(part).name);
    return names;
}

PartId named_part(const Results& results, std::string_view name) {
    for (std::size_t i = 0; i < results.harness->parts.size(); ++i)
        if (results.harness->parts[i].name == name) return PartId(i);
    FAIL("no part " << name);
    return {};
}

}  // namespace

TEST_CASE(
    "a contactor lets go when its key is turned off; a latching one does not, and what it feeds stays live") {
    const Results plain = hoist();
    const std::vector<SwitchOffOrder> orders = switching_off(plain);
    const SwitchOffOrder* key = order_of(orders, plain, "S1");
    REQUIRE(key);
    CHECK(key->then.find("K1 (lets go)") != std::string::npos);
    CHECK(key->then.find("Still live") == std::string::npos);

    const Results latching = hoist("suppression diode\n}", "suppression diode, latching\n}");
    const std::vector<SwitchOffOrder> stays = switching_off(latching);
    for (const SwitchOffOrder& order : stays) CHECK(order.then.find("lets go") == std::string::npos);
    key = order_of(stays, latching, "S1");
    REQUIRE(key);
    CHECK(key->then.find("Still live: U1") != std::string::npos);
}

TEST_CASE("a stop is what says so, else a switch that is closed until it is struck; its name means nothing") {
    const auto in_danger = [](const std::string& attributes) {
        const Results results =
            hoist("switch S1 { 80 V dc,", "switch S1 \"emergency stop\" { 80 V dc," + attributes);
        const std::vector<SwitchOffOrder> orders = switching_off(results);
        const SwitchOffOrder* order = order_of(orders, results, "S1");
        REQUIRE(order);
        return order->in_danger;
    };
    CHECK_FALSE(in_danger(""));
    CHECK(in_danger(" stop yes,"));
    CHECK(in_danger(" rest closed,"));
    CHECK_FALSE(in_danger(" rest closed, stop no,"));
}

TEST_CASE("what a fuse is for is what uses power on the wires that it guards") {
    const Results results = hoist();
    const std::vector<std::string> coils =
        names_of(results, users_behind(results, named_part(results, "F2")));
    CHECK(coils == std::vector<std::string>{"H2", "D1"});
    CHECK(users_behind(results, named_part(results, "R7")).empty());
}

TEST_CASE("the list of torques and the power-up sheet tighten the same parts") {
    for (const char* name : {"market-cart", "yard-crane-96v", "ice-sweeper", "launch-24v"}) {
        INFO(name);
        const Results& results = checked_example(name);
        const PowerUpSheet sheet = power_up_sheet(results);
        std::string torque;
        for (const BenchStep* step : sheet.steps())
            if (step->title == "Torque.") torque = step->how + " ";
        REQUIRE_FALSE(torque.empty());
        const Schedules schedules = schedules_of(results, 0, {});
        std::size_t listed = 0;
        for (const TorqueEntry& entry : schedules.torques) {
            INFO(entry.name);
            ++listed;
            const std::size_t at = torque.find(entry.name);
            CHECK(at != std::string::npos);
        }
        std::size_t tightened = 0;
        for (std::size_t i = 0; i < results.harness->parts.size(); ++i)
            tightened += is_bolted(*results.harness, PartId(i)) ||
                         Facts(*results.circuit.harness).quantity(PartId(i), "torque"_attr).has_value();
        CHECK(listed == tightened);
    }
}

TEST_CASE("a pack with a tap that nothing hangs on is measured from its lowest to its highest end") {
    const Results tapped = hoist("discharge 60 A, charge 15 A\n}", "discharge 60 A, charge 15 A, taps 6\n}");
    const Results plain = hoist();
    const PowerUpSheet sheet = power_up_sheet(tapped), untapped = power_up_sheet(plain);
    const auto probes = [](const PowerUpSheet& of) {
        std::vector<std::string> places;
        for (const BenchStep* step : of.steps()) places.push_back(step->red + " " + step->black);
        return places;
    };
    CHECK(probes(sheet) == probes(untapped));
}

}  // namespace hand_over_test
