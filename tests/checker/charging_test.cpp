// Charging capacitors against closed formulas and against the transient analysis of a general circuit
// simulator's library.
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <string>

#include <fmt/format.h>

#include "checker/solver/charging.hpp"
#include "tests/checker/network_builder.hpp"
#include "tests/checker/random_network.hpp"
#include "tests/checker/reference_simulator.hpp"
#include "tests/checker/textbook.hpp"

namespace charging_test {

using namespace loomward;
using namespace loomward::textbook;
using namespace loomward::test;

TEST_CASE("one capacitor behind one resistor charges as the closed formula says") {
    // Worked example, circuit theory (memory): 84 V, 4.7 mF, 47 ohm: tau 0.2209 s, I0 1.7872 A, E 16.582 J.
    Network network{2, {emf(0, 1, 84, 1e-7), resistor(1, 1, 1)}};
    network.branches.pop_back();
    network.node_count = 3;
    network.branches.push_back(resistor(1, 2, 47));
    const Capacitance capacitor{2, 0, 4.7e-3, 0};
    const ChargeCourse course(network, std::span(&capacitor, 1));
    REQUIRE(course.solved());
    CHECK(course.moment_A(0) == Approx(1.7872).epsilon(1e-4));
    CHECK(course.when(0, 84 * (1 - std::exp(-1.0))) == Approx(0.2209).epsilon(1e-4));
    for (const double time_s : {1e-5, 1e-3, 0.1, 0.2209, 1.0, 5.0})
        CHECK(course.at(time_s)[0] == Approx(84 * precharge_fraction(47, 4.7e-3, time_s)).epsilon(1e-6));
    CHECK(course.when(0, 84 * 0.95) == Approx(precharge_time_s(47, 4.7e-3, 0.95)).epsilon(1e-6));
    CHECK(course.heat_J(1, 100) == Approx(16.582).epsilon(1e-4));
    CHECK(course.resistance_ohm(0) == Approx(47).epsilon(1e-6));
    CHECK(course.when(0, 84.1) == std::numeric_limits<double>::infinity());
}

TEST_CASE("a resistive load across the capacitor keeps it from filling") {
    // V Rl / (R + Rl) and C R Rl / (R + Rl), circuit theory (memory).
    const Network network{3, {emf(0, 1, 84, 1e-7), resistor(1, 2, 47), resistor(2, 0, 470)}};
    const Capacitance capacitor{2, 0, 4.7e-3, 0};
    const ChargeCourse course(network, std::span(&capacitor, 1));
    REQUIRE(course.solved());
    CHECK(course.at(100)[0] == Approx(precharge_end_V(84, 47, 470)).epsilon(1e-6));
    const double tau_s = 4.7e-3 * 47 * 470 / (47 + 470);
    CHECK(course.at(tau_s)[0] == Approx(84 * 470 / 517.0 * (1 - std::exp(-1.0))).epsilon(1e-6));
    CHECK(course.when(0, 0.95 * 84) == std::numeric_limits<double>::infinity());
}

TEST_CASE(
    "a load of constant power holds a precharge where a current could feed it, not where it stands full") {
    // 48 V behind 100 ohm feed 5.76 W at the most; 20 W from 15 V on draw more than ever arrives.
    // Below the knee it is 15^2/20 = 11.25 ohm: 48 x 11.25 / 111.25 = 4.854 V.
    const Network network{3, {emf(0, 1, 48, 1e-3), resistor(1, 2, 100), power_load(2, 0, 20, 15)}};
    const Capacitance capacitor{2, 0, 1e-3, 0};
    const ChargeCourse course(network, std::span(&capacitor, 1));
    REQUIRE(course.solved());
    CHECK(course.at(1000)[0] == Approx(48 * 11.25 / 111.25).epsilon(1e-3));
}

TEST_CASE("two capacitors share their charge, and none is lost") {
    const Network network{3, {resistor(1, 2, 2)}};
    const Capacitance capacitors[] = {{1, 0, 2e-3, 60}, {2, 0, 1e-3, 0}};
    const ChargeCourse course(network, capacitors);
    REQUIRE(course.solved());
    CHECK(course.at(1)[0] == Approx(40).epsilon(1e-6));
    CHECK(course.at(1)[1] == Approx(40).epsilon(1e-6));
    CHECK(course.moment_A(1) == Approx(30).epsilon(1e-5));
    // Half of C1 C2 / (C1 + C2) V^2: 1.2 J stay in the resistor.
    CHECK(course.heat_J(0, 10) == Approx(1.2).epsilon(1e-3));
}

namespace {

struct Made {
    Network network;
    std::vector<Capacitance> capacitors;
    double span_s = 0;
};

// A pack, a bus behind a precharge resistor or a closed contact, branches with capacitors and loads, some
// already charged, a converter's load of constant power, a diode on the way to one.
Made made_of(std::uint64_t seed) {
    Dice dice(seed * 7919 + 3);
    Made made;
    Network& net = made.network;
    net.node_count = 3;
    const double pack_V = dice.between(24, 120);
    net.branches.push_back(emf(0, 1, pack_V, dice.of_order(5e-3, 8e-2)));
    const bool precharge = dice.chance(0.6);
    const double way_ohm = precharge ? dice.of_order(10, 300) : dice.of_order(2e-3, 3e-2);
    net.branches.push_back(resistor(1, 2, way_ohm));
    const std::uint32_t branches = 1 + dice.below(4);
    double total_F = 0;
    for (std::uint32_t i = 0; i < branches; ++i) {
        const std::uint32_t at = net.node_count++;
        net.branches.push_back(resistor(2, at, dice.of_order(2e-3, 2)));
        std::uint32_t plus = at;
        if (dice.chance(0.25)) {
            plus = net.node_count++;
            net.branches.push_back(diode(at, plus, dice.between(0.2, 0.7), dice.of_order(1e-3, 2e-2)));
        }
        const double farad = dice.of_order(5e-5, 8e-3);
        total_F += farad;
        made.capacitors.push_back({plus, 0, farad, dice.chance(0.3) ? dice.between(0, pack_V) : 0});
        const double most_A = 0.15 * pack_V / way_ohm;
        if (dice.chance(0.4))
            net.branches.push_back(resistor(plus, 0, dice.of_order(3, 100) * (1 + way_ohm)));
        if (dice.chance(0.4))
            net.branches.push_back(
                current_load(plus, 0, std::min(most_A, dice.of_order(1e-3, 3)), 0.4 * pack_V));
        if (dice.chance(0.3))
            net.branches.push_back(
                power_load(plus, 0, pack_V * std::min(most_A, dice.of_order(1e-3, 3)), 0.4 * pack_V));
    }
    if (dice.chance(0.3)) net.branches.push_back(power_load(1, 0, dice.between(5, 60), 0.4 * pack_V));
    made.span_s = 4 * way_ohm * total_F;
    return made;
}

std::string node_name(std::uint32_t node) {
    return node == 0 ? "0" : fmt::format("n{}", node);
}

std::vector<std::string> deck_of(const Made& made) {
    std::vector<std::string> lines{"charging"};
    const auto volts = [](std::uint32_t node) {
        return node == 0 ? std::string("0") : "v(" + node_name(node) + ")";
    };
    for (std::size_t i = 0; i < made.network.branches.size(); ++i) {
        const Branch& branch = made.network.branches[i];
        const std::string from = node_name(branch.from), to = node_name(branch.to);
        const std::string drop = "(" + volts(branch.from) + "-" + volts(branch.to) + ")";
        switch (branch.type) {
            case Branch::Type::resistor:
                lines.push_back(fmt::format("r{} {} {} {:.17g}", i, from, to, branch.resistance_ohm));
                break;
            case Branch::Type::emf:
                lines.push_back(fmt::format("v{} e{} {} dc {:.17g}", i, i, from, branch.voltage_V));
                lines.push_back(fmt::format("r{} e{} {} {:.17g}", i, i, to, branch.resistance_ohm));
                break;
            case Branch::Type::current_load:
                lines.push_back(fmt::format("b{} {} {} i=({} >= {:.17g} ? {:.17g} : {:.17g}*{}/{:.17g})", i,
                                            from, to, drop, branch.knee_V, branch.current_A, branch.current_A,
                                            drop, branch.knee_V));
                break;
            case Branch::Type::power_load:
                lines.push_back(fmt::format("b{} {} {} i=({} >= {:.17g} ? {:.17g}/{} : {:.17g}*{}/{:.17g})",
                                            i, from, to, drop, branch.knee_V, branch.power_W, drop,
                                            branch.power_W, drop, branch.knee_V * branch.knee_V));
                break;
            case Branch::Type::diode:
                lines.push_back(fmt::format("b{} {} {} i=max(({}-{:.17g})/{:.17g},0)", i, from, to, drop,
                                            branch.voltage_V, branch.resistance_ohm));
                break;
            default:
                FAIL("no such branch here");
        }
    }
    for (std::size_t i = 0; i < made.capacitors.size(); ++i) {
        const Capacitance& each = made.capacitors[i];
        lines.push_back(fmt::format("c{} {} {} {:.17g} ic={:.17g}", i, node_name(each.plus),
                                    node_name(each.minus), each.capacitance_F, each.start_V));
    }
    lines.push_back(".options reltol=1e-5 abstol=1e-9 vntol=1e-7 method=gear");
    lines.push_back(fmt::format(".tran {0:.9g} {1:.9g} 0 {0:.9g} uic", made.span_s / 2000, made.span_s));
    lines.push_back(".end");
    return lines;
}

}  // namespace

TEST_CASE("60 random networks charge as a general circuit simulator says, within 1 %") {
    std::size_t compared = 0, moved = 0;
    double worst = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        const Made made = made_of(seed);
        CAPTURE(seed, made.capacitors.size(), made.span_s);
        const ChargeCourse course(made.network, made.capacitors);
        REQUIRE(course.solved());
        std::vector<std::string> nodes;
        for (const Capacitance& each : made.capacitors) nodes.push_back(node_name(each.plus));
        const auto waves = ReferenceSimulator::instance().transient(deck_of(made), nodes);
        INFO(ReferenceSimulator::instance().complaint());
        REQUIRE(waves.has_value());
        double scale_V = 1;
        for (const std::vector<double>& wave : waves->volts)
            for (const double now : wave) scale_V = std::max(scale_V, std::abs(now));
        for (std::size_t at = 20; at < waves->time_s.size(); at += waves->time_s.size() / 40) {
            const std::vector<double> ours = course.at(waves->time_s[at]);
            for (std::size_t k = 0; k < ours.size(); ++k) {
                CAPTURE(waves->time_s[at], k, ours[k], waves->volts[k][at]);
                const double off = std::abs(ours[k] - waves->volts[k][at]) / scale_V;
                CHECK(off <= 0.01);
                worst = std::max(worst, off);
                ++compared;
            }
        }
        for (std::size_t k = 0; k < nodes.size(); ++k)
            moved += std::abs(waves->volts[k].back() - made.capacitors[k].start_V) > 0.1 * scale_V;
    }
    CHECK(compared > 4000);
    CHECK(moved > 60);
    WARN(fmt::format("{} voltages, worst deviation {:.2g} of the largest voltage", compared, worst));
}

}  // namespace charging_test
