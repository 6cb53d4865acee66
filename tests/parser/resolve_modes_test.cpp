// Modes come out complete: every part with a state has one, and it is known who said so.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace resolve_modes_test {

using namespace loomward;

namespace {

std::string plant(std::string_view modes) {
    return "loom 1\nharness \"Rig\" { ambient 5..35 degC }\n"
           "switch S1 { 24 V dc, carries 9 A, breaks none }\n"
           "switch S2 { 24 V dc, carries 9 A, breaks none, rest closed }\n"
           "selector S3 { terminals com 1 2, position off, position one 1 com, position 2 2 com, carries 9 A,"
           " breaks none }\n"
           "connector J1 { mate P1, half pin, contacts 2, carries 9 A, 60 V, takes 1..2 mm2, rated-at 20 "
           "degC,"
           " limit 90 degC }\n"
           "controller U1 { input 20..30 V, capacitance 1 mF, supply-limit 9 A, regen 2 A, pin m low-side 1 "
           "A }\n"
           "charger G1 { output 29 V 9 A }\nload H1 { 24 V, 9 W }\n" +
           std::string(modes);
}

struct Row {
    std::string_view modes, model;
};

}  // namespace

TEST_CASE("states, profiles, rest and inheritance are expanded in every mode") {
    constexpr Row rows[] = {
        {"mode still { others at rest }\n",
         "mode still: S1 open (rest); S2 closed (rest); S3 at 0 (rest); J1 mated (language); U1 off (rest); "
         "G1 off (rest); "
         "H1 on (language); U1.m off (rest);\n"},
        // the base may stand further down, and what it has at rest may be said anew
        {"mode go { like still, S1 closed, U1 draws limit for 30 s then 4 A for 1 min repeating\n U1 phases "
         "8 A, U1.m on\n"
         " after still 3 s, ambient 20..30 degC }\nmode still { others at rest }\n",
         "mode go: S1 closed (line); S2 closed (rest); S3 at 0 (rest); J1 mated (language); U1 on draws "
         "limit for 30 s then "
         "4 A for 60 s repeating phases 8 A (line); G1 off (rest); H1 on (language); U1.m on (line); after "
         "still 3 s; "
         "ambient 20..30 degC;\n"
         "mode still: S1 open (rest); S2 closed (rest); S3 at 0 (rest); J1 mated (language); U1 off (rest); "
         "G1 off (rest); "
         "H1 on (language); U1.m off (rest);\n"},
        // all in one mode, no rest needed; numbers as positions; the other half's name; loads told what to
        // draw
        {"mode all { S1 S2 open, S3 at 2, P1 unmated, U1 returns 2 A, U1.m off, G1 delivers 3 A, H1 draws 5 "
         "W }\n",
         "mode all: S1 open (line); S2 open (line); S3 at 2 (line); J1 unmated (line); U1 on returns 2 A "
         "(line); G1 on "
         "delivers 3 A (line); H1 on draws 5 W (line); U1.m off (line);\n"},
        // at rest again, and off, after being inherited
        {"mode a { others at rest, U1 draws 3 A, U1 phases 5 A, H1 draws 5 W, S2 open }\n"
         "mode b { like a, U1 S2 at rest, H1 off }\n",
         "mode a: S1 open (rest); S2 open (line); S3 at 0 (rest); J1 mated (language); U1 on draws 3 A "
         "phases 5 A (line); "
         "G1 off (rest); H1 on draws 5 W (line); U1.m off (rest);\n"
         "mode b: S1 open (rest); S2 closed (line); S3 at 0 (rest); J1 mated (language); U1 off (line); G1 "
         "off (rest); H1 "
         "off (line); U1.m off (rest);\n"},
        // the line that speaks of a part by name beats none of the inherited ones in silence
        {"mode a { others at rest, S1 closed }\nmode b { like a }\n",
         "mode a: S1 closed (line); S2 closed (rest); S3 at 0 (rest); J1 mated (language); U1 off (rest); G1 "
         "off (rest); H1 "
         "on (language); U1.m off (rest);\n"
         "mode b: S1 closed (like); S2 closed (rest); S3 at 0 (rest); J1 mated (language); U1 off (rest); G1 "
         "off (rest); H1 "
         "on (language); U1.m off (rest);\n"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.modes);
        CHECK(model_of(plant(row.modes), "mode") == row.model);
    }
}

TEST_CASE("an accepted finding knows what it is on") {
    CHECK(model_of(plant("mode still { others at rest }\n"
                         "stud X1\nbundle L1 { wrap open, length 0.1 m }\ncable C1 { cores 2, 1 mm2, 1 m }\n"
                         "route X1 (W1 1 mm2, 1 m, in L1) H1.+\nroute X1 (C1.2) H1.-\n"
                         "accept floating on H1 in still because \"one\"\n"
                         "accept floating on W1 because \"two \\\"quoted\\\"\"\n"
                         "accept floating on P1.2 because \"three\"\n"
                         "accept floating on C1.2 because \"four\"\n"
                         "accept floating on L1 because \"five\"\n"
                         "accept floating on harness because \"six\"\n"),
                   "accept") ==
          "accept floating on H1 part H1 in still because one\n"
          "accept floating on W1 wire W1 because two \"quoted\"\n"
          "accept floating on P1.2 part J1 terminal P1.2 because three\n"
          "accept floating on C1.2 wire C1.2 because four\n"
          "accept floating on L1 bundle L1 because five\n"
          "accept floating on harness because six\n");
}

}  // namespace resolve_modes_test
