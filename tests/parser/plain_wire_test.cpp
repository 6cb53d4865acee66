// The plain wires that are read by hand are the same as those that are read by the tables: `parallel 1`, the
// default, takes a wire the long way round.
#include <catch2/catch.hpp>
#include <tuple>

#include "parser/read.hpp"
#include "render/text/text.hpp"
#include "tests/no_files.hpp"

namespace plain_wire_test {

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

ReadResult read_with(const std::string& wire) {
    NoFiles files;
    return read_harness_text(
        "a.loom",
        "loom 1\nharness \"Bench\" { ambient 0..40 degC, insulation silicone }\nstud X1\nstud X2\n"
        "bundle L1 { wrap open, length 0.01 m }\nbundle L2 { wrap open, length 0.01 m }\n"
        "route X1 (W1" +
            wire + ") X2\nroute X1 (W2 1 mm2, 1 m) X2\nmode on { others at rest }\n",
        files, {});
}

std::string described(const ReadResult& result) {
    std::string all;
    for (const Diagnostic& mistake : result.mistakes)
        all += mistake.id + " " + std::to_string(mistake.where.begin) + " " + mistake.message + "\n";
    if (!result.harness) return all;
    const Wire& wire = result.harness->wires.front();
    const auto quantity = [](const Quantity& q) {
        return std::to_string(q.lo) + ".." + std::to_string(q.hi) + "/" + std::to_string(int(q.dimension)) +
               "/" + std::to_string(int(q.known));
    };
    return all + std::string(wire.name) + " " + quantity(wire.area) + " " + quantity(wire.length) + " " +
           std::string(wire.size_text) + (wire.awg ? " awg " : " ") + std::string(colour_word(wire.colour)) +
           "-" + std::string(colour_word(wire.second_colour)) + " " + std::string(wire.insulation) + " " +
           std::to_string(wire.insulation_limit_degC) + "/" + std::to_string(int(wire.insulation_known)) +
           " " + std::to_string(wire.parallel) + " " + std::to_string(wire.bundles[0].value) + " " +
           std::to_string(wire.bundles[1].value) + " " + std::to_string(wire.where.begin);
}

}  // namespace

TEST_CASE("a plain wire read by hand is the wire that the tables give") {
    const std::string wire = GENERATE(values<std::string>(
        {" 16 mm2, 0.2 m, red", " 16 mm2, 0.2 m", " 0.75  mm2, 12 m, green-yellow, in L1", ", 0.2 m, 1 mm2",
         ", in L2 L1, red, 1 mm2, 0.2 m", " 16 mm2,\n 0.2 m # so\n, red", " 2/0 AWG, 1 ft, red",
         " 1mm2, 0.2m", " 16 mm2, red", " red", ", 0.2 m", " 1 mm2, in L1", " about 1 mm2, 0.1..0.2 m",
         " unknown mm2, 0.2 m", " 100 mm2, 20 cm, brown"}));
    const ReadResult plain = read_with(wire);
    const ReadResult by_tables = read_with(wire + ", parallel 1");
    REQUIRE(plain.mistakes.empty());
    REQUIRE(plain.harness);
    CHECK(described(plain) == described(by_tables));
}

TEST_CASE("what is wrong in a plain wire is told as the tables tell it") {
    const std::string wire = GENERATE(values<std::string>(
        {" 16 mm2, 0.2 m, rod", " 16 mm2, 16 mm2, 1 m", " 5000 mm2, 1 m", " 0 mm2, 1 m", " 1 mm2, -1 m",
         " 1 mm2, 1 m, red, blue", " 1 mm2, 1 m, in L3", " 1 mm2, 1 m, in X1", " 1 mm2 1 m",
         " 1 mm2, 1 m, in", " 1 m2, 1 m", " 1 mm2, 1 m, in L1 L2 L1", " 1 mm2, 1 m, in L1 L1",
         " 1 mm2, 1 m, in L1, in L2", " 1, 1 m", " 1 mm2, 1 m, red-red"}));
    const ReadResult plain = read_with(wire);
    const ReadResult by_tables = read_with(wire + ", parallel 1");
    CAPTURE(wire);
    REQUIRE_FALSE(plain.mistakes.empty());
    CHECK(described(plain) == described(by_tables));
}

}  // namespace plain_wire_test
