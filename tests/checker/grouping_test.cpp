// Conductors that heat each other: the cores of a cable, parallel conductors, and which of a bundle count.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "checker/results.hpp"
#include "checker/tables/conductors.hpp"
#include "tests/checker/checking.hpp"

namespace grouping_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Circuits with these currents from one pack, each out and back through what `lies` says of circuit i.
template <class Lies>
Results circuits(const std::vector<double>& current_A, const std::string& declared, Lies lies) {
    std::string text =
        "loom 1\nharness \"Potting line\" { ambient 10..30 degC, insulation pvc 90 degC }\n" + declared +
        "policy { voltage-drop 50 % }\n"
        "pack B1 { voltage 39..54.6 V, resistance 5 mohm, capacity 100 Ah, discharge 200 A, charge 20 A }\n"
        "fuse F0 { 200 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }\n"
        "busbar X1 { studs 20, carries 300 A }\nbusbar X2 { studs 20, carries 300 A }\n"
        "route B1.+ (W1 95 mm2, 0.1 m) F0 (W2 95 mm2, 0.1 m) X1.1\nroute B1.- (W3 95 mm2, 0.1 m) X2.1\n"
        "mode on { others at rest }\n";
    for (std::size_t i = 0; i < current_A.size(); ++i) {
        const auto [out, back] = lies(i);
        text += fmt::format(
            "load H{0} {{ 48 V, {1} A, acts-as current }}\n"
            "route X1.{2} {3} H{0} {4} X2.{2}\n",
            i, current_A[i], i + 2, out, back);
    }
    return check_text(text);
}

const WireLoading& loading(const Results& results, std::string_view wire) {
    for (std::size_t i = 0; i < results.wires.size(); ++i)
        if (results.harness->wires[i].name == wire) return results.wires[i];
    FAIL("no such wire");
    return results.wires.front();
}

std::pair<std::string, std::string> in_bundle(std::size_t i) {
    return {fmt::format("(WA{} 1.5 mm2, 1 m, red, in L1)", i),
            fmt::format("(WB{} 1.5 mm2, 1 m, black, in L1)", i)};
}
const std::string bundle = "bundle L1 { wrap open, length 1 m }\n";

double may_A(double area_mm2, int loaded) {
    return ampacity_A(area_mm2, 90, false, {30, Wrap::open, loaded});
}

}  // namespace

TEST_CASE("the loaded cores of one cable are grouped without a bundle") {
    const std::string cable = "cable C1 { cores a b c d e f, 1.5 mm2, 1 m }\n";
    const auto cores = [](std::size_t i) {
        const char* names[] = {"a", "b", "c", "d", "e", "f"};
        return std::pair(fmt::format("(C1.{})", names[2 * i]), fmt::format("(C1.{})", names[2 * i + 1]));
    };
    const Results all = circuits({5, 5, 5}, cable, cores);
    CHECK(loading(all, "C1.a").surroundings.loaded_conductors == 6);
    CHECK(loading(all, "C1.a").limit_A == Approx(may_A(1.5, 6)));
    const Results two = circuits({5, 5, 0.001}, cable, cores);
    CHECK(loading(two, "C1.a").surroundings.loaded_conductors == 4);
    CHECK(loading(two, "C1.a").limit_A == Approx(may_A(1.5, 4)));
}

TEST_CASE("parallel conductors of one wire are grouped") {
    const Results results = circuits({20}, "", [](std::size_t) {
        return std::pair<std::string, std::string>("(WA0 1.5 mm2, parallel 4, 1 m)", "(WB0 10 mm2, 1 m)");
    });
    CHECK(loading(results, "WA0").limit_A == Approx(4 * may_A(1.5, 4)));
    CHECK(loading(results, "WB0").limit_A == Approx(may_A(10, 1)));
}

TEST_CASE("conductors below 30 % of what they may in their group are left out, those just above are not") {
    // One full circuit and six of this current: 14 conductors if all count, else 2.
    const double small_A = 0.3 * may_A(1.5, 14);
    const auto counted = [&](double amps) {
        const Results results = circuits({10, amps, amps, amps, amps, amps, amps}, bundle, in_bundle);
        return loading(results, "WA0").surroundings.loaded_conductors;
    };
    CHECK(counted(small_A * 1.001) == 14);
    // Not a larger group than counts: below its limit with all, each is below the one with fewer as well.
    CHECK(counted(small_A * 0.999) == 1);
}

TEST_CASE("what falls out of the count makes room for others to fall out, until none does") {
    // Between 30 % of what they may with eight loaded and with four: they hold each other in the count.
    const double middle_A = 0.3 * (may_A(1.5, 8) + may_A(1.5, 4)) / 2;
    const double light_A = 0.3 * may_A(1.5, 8) * 0.5;
    const Results held = circuits({12, 12, middle_A, middle_A}, bundle, in_bundle);
    CHECK(loading(held, "WA0").surroundings.loaded_conductors == 8);
    const Results gone = circuits({12, 12, light_A, light_A}, bundle, in_bundle);
    CHECK(loading(gone, "WA0").surroundings.loaded_conductors == 4);
}

TEST_CASE("a wire that is not counted itself is judged as if it were") {
    const Results results = circuits({12, 12, 0.001}, bundle, in_bundle);
    CHECK(loading(results, "WA2").limit_A == Approx(may_A(1.5, 5)));
    CHECK(loading(results, "WA0").limit_A == Approx(may_A(1.5, 4)));
}

TEST_CASE("a conductor in a group is warmer, and drops more, than the same one alone") {
    const auto drop_V = [](const std::string& declared, const std::string& in) {
        const Results results = circuits({9, 9, 9, 9}, declared, [&](std::size_t i) {
            return std::pair(fmt::format("(WA{} 1.5 mm2, 10 m{})", i, in),
                             fmt::format("(WB{} 1.5 mm2, 10 m{})", i, in));
        });
        const EdgeId edge = results.circuit.edge_of_wire[3];
        for (const OperatingPoint& point : results.points)
            if (point.corner == Corner::run_hot)
                return point.node_V[results.circuit.edge(edge).from.index()] -
                       point.node_V[results.circuit.edge(edge).to.index()];
        return 0.0;
    };
    const double alone_V = drop_V("", ""), grouped_V = drop_V(bundle, ", in L1");
    // R20 of 1.5 mm2 is 13.3 ohm/km; alone at 30 degC + 60 K x (9 / may)^2, and the same with eight together.
    const auto expected_V = [](int loaded) {
        const double load = 9 / may_A(1.5, loaded);
        const double degC = 30 + 60 * std::min(1.0, load * load);
        return 9 * (0.0133 * 10 * (1 + 0.00393 * (degC - 20)) + 2 * 0.1e-3);
    };
    CHECK(alone_V == Approx(expected_V(1)).epsilon(1e-6));
    CHECK(grouped_V == Approx(expected_V(8)).epsilon(1e-6));
    CHECK(grouped_V > alone_V);
}

}  // namespace grouping_test
