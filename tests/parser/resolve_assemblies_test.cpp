// Assemblies: built more than once, changed from outside, repeated and chained.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace resolve_assemblies_test {

using namespace loomward;

namespace {

std::string yard(std::string_view statements) {
    return "loom 1\nharness \"Rig\" { ambient 5..35 degC, insulation pvc 90 degC }\nstud X1\nstud X2\n"
           "part bay is assembly {\n"
           "  port in+\n  port out+\n  port gnd\n"
           "  splice X1\n  load H1 \"lamp\" { 24 V, 9 W }\n"
           "  cable C1 { cores red black, 0.5 mm2, 1 m }\n"
           "  route in+ (direct) X1 (W1 1 mm2, 1 m, red, in L1) out+\n"
           "  route X1 (C1.red) H1 (C1.black) gnd\n"
           "  bundle L1 { wrap taped, length 0.5 m, at niche }\n"
           "  location niche { ambient 0..50 degC }\n"
           "}\n" +
           std::string(statements);
}

}  // namespace

TEST_CASE("an assembly is a closed copy of its body, with its name before every path") {
    CHECK(model_of(yard(
              "assembly T1 \"left\" is bay\nroute X1 (W1 1 mm2, 1 m) T1.in+\nroute T1.gnd (direct) X2\n")) ==
          "part stud X1 {} X1\n"
          "part stud X2 {} X2\n"
          "part assembly T1 \"left\" is bay {}\n"
          "part port T1.in+ {} T1.in+\n"
          "part port T1.out+ {} T1.out+\n"
          "part port T1.gnd {} T1.gnd\n"
          "part splice T1.X1 {} T1.X1\n"
          "part load T1.H1 \"lamp\" {(rated-voltage) 24 V, (power) 9 W} T1.H1.+ T1.H1.-\n"
          "wire T1.W1 T1.X1 T1.out+ 1 mm2 1 m red pvc 90 degC in T1.L1\n"
          "wire T1.C1.red T1.X1 T1.H1.+ 0.5 mm2 1 m red pvc 90 degC\n"
          "wire T1.C1.black T1.H1.- T1.gnd 0.5 mm2 1 m black pvc 90 degC\n"
          "wire W1 X1 T1.in+ 1 mm2 1 m pvc 90 degC\n"
          "joint T1.in+ T1.X1\n"
          "joint T1.gnd X2\n"
          "cable T1.C1 T1.C1.red T1.C1.black\n"
          "bundle T1.L1 at T1.niche {wrap taped, length 0.5 m, at niche} T1.W1\n");
}

TEST_CASE("an override changes one copy and leaves the others") {
    const std::string text = yard(
        "assembly T1 is bay\n"
        "assembly T2 is bay { W1 { 2 m, blue }, H1 { 5 W }, C1 { 3 m }, L1 { length 1.5 m } }\n");
    CHECK(model_of(text, "wire") ==
          "wire T1.W1 T1.X1 T1.out+ 1 mm2 1 m red pvc 90 degC in T1.L1\n"
          "wire T1.C1.red T1.X1 T1.H1.+ 0.5 mm2 1 m red pvc 90 degC\n"
          "wire T1.C1.black T1.H1.- T1.gnd 0.5 mm2 1 m black pvc 90 degC\n"
          "wire T2.W1 T2.X1 T2.out+ 1 mm2 2 m blue pvc 90 degC in T2.L1\n"
          "wire T2.C1.red T2.X1 T2.H1.+ 0.5 mm2 3 m red pvc 90 degC\n"
          "wire T2.C1.black T2.H1.- T2.gnd 0.5 mm2 3 m black pvc 90 degC\n");
    CHECK(model_of(text, "bundle") ==
          "bundle T1.L1 at T1.niche {wrap taped, length 0.5 m, at niche} T1.W1\n"
          "bundle T2.L1 at T2.niche {wrap taped, at niche, length 1.5 m} T2.W1\n");
    const ReadResult result = read_test(text);
    REQUIRE(result.harness);
    const Harness& harness = *result.harness;
    CHECK(harness.value(harness.part(*harness.find_part("T1.H1")).attributes, "(power)"_attr).lo ==
          Approx(9));
    CHECK(harness.value(harness.part(*harness.find_part("T2.H1")).attributes, "(power)"_attr).lo ==
          Approx(5));
}

TEST_CASE("a fuse lies where its block lies, and moves with it where a copy puts that elsewhere") {
    const ReadResult result = read_test(
        "loom 1\nharness \"Row of stalls\" { ambient 0..35 degC }\n"
        "part stall is assembly {\n"
        "  location shelf { ambient 0..40 degC }\n  location stove { ambient 0..80 degC }\n"
        "  fuse-block X1 { 32 V, ways 3, feed common, carries 30 A, way-carries 10 A, at shelf }\n"
        "  fuse F1 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3, holder X1.1 }\n"
        "  fuse F2 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3, holder X1.2, at stove }\n"
        "  fuse F3 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }\n"
        "  port feed\n  route feed (W1 1 mm2, 1 m) X1.in\n}\n"
        "assembly T1 is stall\nassembly T2 is stall { X1 { at stove } }\n");
    REQUIRE(result.harness);
    const Harness& harness = *result.harness;
    const auto place = [&](std::string_view name) {
        const LocationId at = harness.part(*harness.find_part(name)).location;
        return at ? std::string(harness.locations[at.index()].name) : std::string();
    };
    CHECK(place("T1.F1") == "T1.shelf");
    CHECK(place("T1.F2") == "T1.stove");
    CHECK(place("T1.F3").empty());
    CHECK(place("T2.F1") == "T2.stove");
    CHECK(place("T2.F2") == "T2.stove");
    CHECK(place("T2.F3").empty());
}

TEST_CASE("copies follow each other, chained port to port, and keep their ends") {
    const std::string text = yard(
        "assembly A1 is bay { repeat 3, chain out+ in+ }\n"
        "route X1 (W1 1 mm2, 1 m) A1.in+\nroute A1.out+ (W2 1 mm2, 1 m) X2\n"
        "route A1.2.gnd (W3 1 mm2, 1 m) X2\n");
    CHECK(model_of(text, "tie") == "tie A1.1.out+ A1.2.in+\ntie A1.2.out+ A1.3.in+\n");
    CHECK(model_of(text, "wire") ==
          "wire A1.1.W1 A1.1.X1 A1.1.out+ 1 mm2 1 m red pvc 90 degC in A1.1.L1\n"
          "wire A1.1.C1.red A1.1.X1 A1.1.H1.+ 0.5 mm2 1 m red pvc 90 degC\n"
          "wire A1.1.C1.black A1.1.H1.- A1.1.gnd 0.5 mm2 1 m black pvc 90 degC\n"
          "wire A1.2.W1 A1.2.X1 A1.2.out+ 1 mm2 1 m red pvc 90 degC in A1.2.L1\n"
          "wire A1.2.C1.red A1.2.X1 A1.2.H1.+ 0.5 mm2 1 m red pvc 90 degC\n"
          "wire A1.2.C1.black A1.2.H1.- A1.2.gnd 0.5 mm2 1 m black pvc 90 degC\n"
          "wire A1.3.W1 A1.3.X1 A1.3.out+ 1 mm2 1 m red pvc 90 degC in A1.3.L1\n"
          "wire A1.3.C1.red A1.3.X1 A1.3.H1.+ 0.5 mm2 1 m red pvc 90 degC\n"
          "wire A1.3.C1.black A1.3.H1.- A1.3.gnd 0.5 mm2 1 m black pvc 90 degC\n"
          "wire W1 X1 A1.1.in+ 1 mm2 1 m pvc 90 degC\n"
          "wire W2 A1.3.out+ X2 1 mm2 1 m pvc 90 degC\n"
          "wire W3 A1.2.gnd X2 1 mm2 1 m pvc 90 degC\n");
}

TEST_CASE("a port that no chain joins belongs to one copy each") {
    CHECK(model_of(
              yard("assembly A1 is bay { repeat 3, chain out+ in+ }\nroute A1.gnd (W3 1 mm2, 1 m) X2\n")) ==
          "18:7+6 each copy of A1 has a port 'gnd'; say which copy [no-terminal] | write A1.1.gnd\n");
}

TEST_CASE("assemblies nest, and overrides, modes and acceptances reach through them") {
    const std::string text =
        "loom 1\nharness \"Rig\" { ambient 5..35 degC, insulation pvc 90 degC }\n"
        "part cell is assembly {\n  port a\n  switch S1 { 24 V dc, carries 9 A, breaks none }\n"
        "  controller U1 { input 20..30 V, capacitance 1 mF, supply-limit 9 A, regen none, pin p low-side 1 "
        "A }\n"
        "  route a (W1 1 mm2, 1 m) S1.in\n}\n"
        "part row is assembly { port a\n assembly A1 is cell { repeat 2 }\n route a (W1 1 mm2, 1 m) "
        "A1.1.a\n}\n"
        "assembly T1 is row { A1.2.W1 { 4 m } }\n"
        "mode still { others at rest }\n"
        "mode busy { like still, T1.A1.1.S1 closed, T1.A1.2.U1.p on, T1.A1.2.U1 draws 3 A }\n"
        "mode all { like still, T1.A1.1..2.S1 closed }\n"
        "mode most { like still, T1.A1 closed, T1.A1.2.S1 open }\n"
        "accept floating on T1.A1.2.W1 in busy because \"spare\"\n"
        "accept floating on T1.A1.1.U1.p because \"spare\"\n";
    CHECK(model_of(text, "wire") ==
          "wire T1.A1.1.W1 T1.A1.1.a T1.A1.1.S1.in 1 mm2 1 m pvc 90 degC\n"
          "wire T1.A1.2.W1 T1.A1.2.a T1.A1.2.S1.in 1 mm2 4 m pvc 90 degC\n"
          "wire T1.W1 T1.a T1.A1.1.a 1 mm2 1 m pvc 90 degC\n");
    CHECK(model_of(text, "mode") ==
          "mode still: T1.A1.1.S1 open (rest); T1.A1.1.U1 off (rest); T1.A1.2.S1 open (rest); T1.A1.2.U1 off "
          "(rest); "
          "T1.A1.1.U1.p off (rest); T1.A1.2.U1.p off (rest);\n"
          "mode busy: T1.A1.1.S1 closed (line); T1.A1.1.U1 off (rest); T1.A1.2.S1 open (rest); T1.A1.2.U1 on "
          "draws 3 A "
          "(line); T1.A1.1.U1.p off (rest); T1.A1.2.U1.p on (line);\n"
          "mode all: T1.A1.1.S1 closed (line); T1.A1.1.U1 off (rest); T1.A1.2.S1 closed (line); T1.A1.2.U1 "
          "off (rest); "
          "T1.A1.1.U1.p off (rest); T1.A1.2.U1.p off (rest);\n"
          "mode most: T1.A1.1.S1 closed (line); T1.A1.1.U1 off (rest); T1.A1.2.S1 open (line); T1.A1.2.U1 "
          "off (rest); "
          "T1.A1.1.U1.p off (rest); T1.A1.2.U1.p off (rest);\n");
    CHECK(model_of(text, "accept") ==
          "accept floating on T1.A1.2.W1 wire T1.A1.2.W1 in busy because spare\n"
          "accept floating on T1.A1.1.U1.p part T1.A1.1.U1 terminal T1.A1.1.U1.p because "
          "spare\n");
}

TEST_CASE("a line about a whole assembly is about what is switched in it, not about what protects it") {
    CHECK(model_of("loom 1\nharness \"Rig\" { ambient 5..35 degC }\n"
                   "part bay is assembly {\n  fuse F1 { 5 A, 32 V dc, breaks 1 kA, curve iso8820-3 }\n"
                   "  switch S1 { 24 V dc, carries 9 A, breaks none, rest closed }\n}\n"
                   "assembly A1 is bay { repeat 2 }\n"
                   "mode a { A1 open }\nmode b { A1 open, A1.2.F1 open }\n",
                   "mode") ==
          "mode a: A1.1.F1 closed (language); A1.1.S1 open (line); A1.2.F1 closed (language); A1.2.S1 open "
          "(line);\n"
          "mode b: A1.1.F1 closed (language); A1.1.S1 open (line); A1.2.F1 open (line); A1.2.S1 open "
          "(line);\n");
}

TEST_CASE("more copies than a harness can have are refused before they are made") {
    const ReadResult result = read_test(
        "loom 1\nharness \"Rig\" { ambient 5..35 degC }\npart a is assembly { splice X1\n splice X2 }\n"
        "part b is assembly { assembly A1 is a { repeat 1000 } }\nassembly T1 is b { repeat 100000 }\n");
    CHECK(mistakes_of(result) ==
          "6:10+2 with T1 the harness has more parts than this program takes [too-large] | fewer copies; up "
          "to 100,000 "
          "wires are usual\n");
}

}  // namespace resolve_assemblies_test
