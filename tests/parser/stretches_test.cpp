// Wires whose length is that of the stretches they run along.
#include <catch2/catch.hpp>

#include "parser/typed_lengths.hpp"
#include "tests/parser/resolve_support.hpp"

namespace stretches_test {

using namespace loomward;

namespace {

const std::string begins =
    "loom 1\nharness \"Seed drill\" { ambient 5..35 degC }\n"
    "pack B1 { voltage 10..14 V, resistance 9 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }\n"
    "load E1 { 12 V, 5 W }\n";

// E1 fed over these wires, among these statements.
ReadResult fed_over(const std::string& there, const std::string& back, const std::string& statements) {
    return read_test(begins + statements + "route B1.+ (" + there + ") E1 (" + back + ") B1.-\n");
}

// "2.3 m (0.5 m, along R1)", or the mistakes.
std::string length_of(const ReadResult& read, std::string_view name) {
    if (!read.harness) return mistakes_of(read);
    const Wire& wire = read.harness->wire(*read.harness->find_wire(name));
    return with_typed(to_text(wire.length, 4), typed_in_feet(*read.harness, wire));
}

}  // namespace

TEST_CASE("a wire is as long as what it runs along and its own length together") {
    const ReadResult read =
        fed_over("W1 1 mm2, along R1 R2, red", "W2 1 mm2, 0.3 m, along R2, black",
                 "stretch R1 \"under the floor\" { 1.8 m }\nstretch R2 { 2 m, note \"left pillar\" }\n");
    CHECK(length_of(read, "W1") == "3.8 m (along R1 R2)");
    CHECK(length_of(read, "W2") == "2.3 m (0.3 m, along R2)");
    REQUIRE(read.harness);
    CHECK(read.harness->stretches.at(0).label == "under the floor");
}

TEST_CASE("stretches may stand behind what runs along them, and cables run along them too") {
    const ReadResult read = read_test(begins +
                                      "cable C1 { cores brown blue, 1 mm2, 0.2 m, along R1 }\n"
                                      "route B1.+ (C1.brown) E1 (C1.blue) B1.-\nstretch R1 { 150 cm }\n");
    CHECK(length_of(read, "C1.blue") == "1.7 m (0.2 m, along R1)");
}

TEST_CASE("ends of lengths add to ends, and feet and inches to metres") {
    const std::string stretches = "stretch R1 { 1.5..2 m }\nstretch R2 { 6 ft 3 in }\n";
    // 1.5 + 1.905 + 0.1, 2 + 1.905 + 0.2
    CHECK(length_of(fed_over("W1 1 mm2, 0.1..0.2 m, along R1 R2", "W2 1 mm2, 1 ft, along R2", stretches),
                    "W1") == "3.505..4.105 m (0.1..0.2 m, along R1 R2)");
    CHECK(length_of(fed_over("W1 1 mm2, 0.1 m", "W2 1 mm2, 1 ft, along R2", stretches), "W2") ==
          "2.21 m (1 ft, along R2)");
}

TEST_CASE("only the guessed part of a length is spread") {
    // 10 % of 2 m, either way; the 3 m are measured.
    const ReadResult read = fed_over("W1 1 mm2, 3 m, along R1", "W2 1 mm2, about 1 m, along R2",
                                     "stretch R1 { about 2 m }\nstretch R2 { 1 m }\n");
    REQUIRE(read.harness);
    const Quantity first = read.harness->wire(*read.harness->find_wire("W1")).length;
    CHECK(first.lo == Approx(4.8));
    CHECK(first.hi == Approx(5.2));
    CHECK(first.known == Knowledge::about);
    const Quantity second = read.harness->wire(*read.harness->find_wire("W2")).length;
    CHECK(second.lo == Approx(1.9));
    CHECK(second.hi == Approx(2.1));
}

TEST_CASE(
    "what runs along a stretch of unknown length, or is of unknown length itself, is of unknown length") {
    const std::string stretches = "stretch R1\nstretch R2 { unknown m }\nstretch R3 { 1 m }\n";
    const auto known = [&](const std::string& wire) {
        const ReadResult read = fed_over("W1 1 mm2, " + wire, "W2 1 mm2, 1 m", stretches);
        REQUIRE(mistakes_of(read).empty());
        return read.harness->wire(*read.harness->find_wire("W1")).length.is_known();
    };
    CHECK_FALSE(known("along R1"));
    CHECK_FALSE(known("along R3 R2"));
    CHECK_FALSE(known("unknown m, along R3"));
    CHECK(known("along R3"));
}

TEST_CASE(
    "a stretch of an assembly is the same in every copy, and its wires keep what they have of their own") {
    const ReadResult read = read_test(
        begins +
        "part lamp is assembly {\n  port a\n  port b\n  stretch R1 { 1 m }\n  load E1 { 12 V, 5 W }\n"
        "  route a (W1 1 mm2, 0.2 m, along R1) E1 (W2 1 mm2, along R1) b\n}\n"
        "assembly T1 is lamp\nassembly T2 is lamp { W1 { 0.5 m } }\nstretch R1 { 9 m }\n"
        "route B1.+ (W1 1 mm2, along R1) T1.a\nroute T1.b (W2 1 mm2, 1 m) B1.-\n"
        "route B1.+ (W3 1 mm2, 1 m) T2.a\nroute T2.b (W4 1 mm2, 1 m) B1.-\n"
        "route B1.+ (W5 1 mm2, 1 m) E1 (W6 1 mm2, 1 m) B1.-\n");
    CHECK(length_of(read, "W1") == "9 m (along R1)");
    CHECK(length_of(read, "T1.W1") == "1.2 m (0.2 m, along R1)");
    CHECK(length_of(read, "T2.W1") == "1.5 m (0.5 m, along R1)");
    CHECK(length_of(read, "T2.W2") == "1 m (along R1)");
}

TEST_CASE("what is no stretch, is not there, or is named twice is a mistake at its place") {
    const auto mistake = [](const std::string& along, const std::string& more = {}) {
        return mistakes_of(
            fed_over("W1 1 mm2, along " + along, "W2 1 mm2, 1 m", "stretch R1 { 1 m }\n" + more));
    };
    CHECK(mistake("R2") ==
          "6:29+2 there is no stretch named 'R2' [unknown-name] | there is a stretch named 'R1'\n");
    CHECK(mistake("E1") ==
          "6:29+2 'E1' is a load, and a wire runs along a stretch [wrong-kind] | note 4:6+2 E1 is described "
          "here\n");
    CHECK(mistake("R1 R1") ==
          "6:32+2 wire W1 runs along R1 twice [twice] | a wire names each stretch once; what it runs twice "
          "stands in its own length\n");
    CHECK(mistake("R1", "load R1 { 12 V, 1 W }\n") ==
          "6:6+2 the name R1 is used twice [name-twice] | note 5:9+2 first here\n");
}

TEST_CASE("a bundle is no longer than what the wires in it run along") {
    const auto lies = [](const std::string& length) {
        return mistakes_of(fed_over("W1 1 mm2, 0.2 m, along R1, in L1", "W2 1 mm2, 5 m",
                                    "stretch R1 { 1 m }\nbundle L1 { wrap taped, length " + length + " }\n"));
    };
    CHECK(lies("1.2 m").empty());
    CHECK(lies("1.3 m") ==
          "7:13+2 W1 is 1.2 m long and cannot lie 1.3 m in bundle L1 [longer-than-wire] | note 6:32+5 L1 is "
          "described here\n");
}

TEST_CASE("a file with stretches is laid out like any other") {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    const auto text = format_text(
        "rig.loom", "loom 1\nstretch  R1 \"floor\"{1.8 m}\nroute A.b (W1 1 mm2,0.3 m,  along R1 R2) C\n",
        sources, mistakes);
    REQUIRE(text);
    CHECK(*text == "loom 1\nstretch R1 \"floor\" { 1.8 m }\nroute A.b (W1 1 mm2, 0.3 m, along R1 R2) C\n");
}

}  // namespace stretches_test
