// Mistakes in assemblies, routes and bundles: a sound harness with one line replaced, and exactly what is
// said of it.
#include <catch2/catch.hpp>

#include "tests/parser/winch.hpp"

namespace resolve_routes_mistakes_test {

using namespace loomward;

TEST_CASE("each mistake in assemblies, routes and bundles is said once, at its place") {
    constexpr Replacement rows[] = {
        {20, "corner T1",
         R"(20:1+6 no statement begins with 'corner' [unknown-statement] | 'corner' is a part; write assembly T1 is corner)"
         "\n"},
        {20, "assembly T1",
         R"(20:1+8 assembly T1 does not say what it is [missing-name] | assembly T1 is rear-corner)"
         "\n"},
        {20, "assembly T1 is bolt-fuse",
         R"(20:16+9 T1 is an assembly, and bolt-fuse is a fuse [wrong-kind] | write fuse T1 is bolt-fuse | note shelf.loom:2:6+9 bolt-fuse is described here)"
         "\n"},
        {20, "assembly T1 is corner { repeat 0 }",
         R"(20:32+1 '0' is not a whole number from 1 to 100000 [malformed-count] | for instance repeat 2)"
         "\n"},
        {20, "assembly T1 is corner { chain plus minus }",
         R"(20:31+4 'chain' joins the copies of a repeated assembly [left-over] | say how many copies there are: repeat 4, chain plus minus)"
         "\n"},
        {20, "assembly T1 is corner { repeat 2, chain plus mines }",
         R"(20:46+5 assembly T1 has no port 'mines' [no-terminal] | its ports are plus, minus)"
         "\n"},
        {20, "assembly T1 is corner { W1 { 1.4 m }, W3 { 1 m } }",
         R"(20:39+2 there is no thing in T1 named 'W3' [unknown-name] | there is a wire named 'W1')"
         "\n"},
        {20, "assembly T1 is corner { E1 { marks + 5 } }",
         R"(20:30+5 'marks' of E1 is the same in every copy [fixed] | what decides terminals and wiring stands in the part itself)"
         "\n"},
        {20, "assembly T1 is corner { plus { 1 m } }",
         R"(20:32+3 a port has no nameless length [wrong-dimension] | every value of a port has a name)"
         "\n"},
        {21,
         "route B1.+ (W1 16 mm2, 0.2 m, red) F11 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.8 m, red, in L1) "
         "J1.1 (W4 16 mm2, 0.2 m, red) U1.+",
         R"(21:36+3 there is no part named 'F11' [unknown-name] | there is a fuse named 'F1')"
         "\n"},
        {21,
         "route B1.+ (W1 16 mm2, 0.2 m, red) F1.in (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.8 m, red, in L1) "
         "J1.1 (W4 16 mm2, 0.2 m, red) U1.+",
         R"(21:36+5 in the middle of a route F1.in would be a landing, not a way through F1 [lands-midway] | to pass through it write F1; to land on it end the route at F1.in and begin another there)"
         "\n"},
        {21,
         "route B1.+ (W1 16 mm2, 0.2 m, red) W1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.8 m, red, in L1) "
         "J1.1 (W4 16 mm2, 0.2 m, red) U1.+",
         R"(21:36+2 'W1' is a wire, and a route stops at parts [wrong-kind] | note 21:13+2 W1 is described here)"
         "\n"},
        {21,
         "route B1.+ (W1 16 mm2, 0.2 m, red) L1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.8 m, red, in L1) "
         "J1.1 (W4 16 mm2, 0.2 m, red) U1.+",
         R"(21:36+2 'L1' is a bundle, and a route stops at parts [wrong-kind] | note 24:8+2 L1 is described here)"
         "\n"},
        {21,
         "route B1.+ (W1 16 mm2, 0.2 m, red) F1.inn (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.8 m, red, in "
         "L1) J1.1 (W4 16 mm2, 0.2 m, red) U1.+",
         R"(21:36+6 fuse F1 has no terminal 'inn' [no-terminal] | it has F1.in, F1.out | note 12:6+2 F1 is described here)"
         "\n"},
        {21, "route B1.+ (W1 16 mm2, 0.2 m, red) U1.M+",
         R"(21:36+5 controller U1 has no terminal 'M+' [no-terminal] | it has U1.+, U1.-, U1.U, U1.V, U1.W, U1.main; phases 2 makes M+ and M-, 3 makes U, V and W | note 17:12+2 U1 is described here)"
         "\n"},
        {21,
         "route B1.+ (W1 16 mm2, 0.2 m, red) F1 S1 (W3 16 mm2, 0.8 m, red, in L1) J1.1 (W4 16 mm2, 0.2 m, "
         "red) U1.+",
         R"(21:38+1 no wire leads from F1 to S1 [no-wire] | write the wire between them, or (direct) if they are bolted together)"
         "\n"},
        {21, "route B1.+ (W1 16 mm2, 0.2 m, red) (W2 16 mm2, 0.3 m, red) S1.in",
         R"(21:36+1 two wires follow each other [no-stop] | between them comes the part or terminal where they meet)"
         "\n"},
        {21, "route (W1 16 mm2, 0.2 m, red) S1.in",
         R"(21:7+23 the route begins with a wire [open-ended] | before it comes the terminal where it begins: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in)"
         "\n"},
        {21, "route B1.+",
         R"(21:7+4 the route ends where it begins, without a wire [open-ended] | a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in)"
         "\n"},
        {21, "route",
         R"(21:1+5 this route is empty [open-ended] | a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in)"
         "\n"},
        {21, "route B1.+ (W1 16 mm2, 0.2 m, red) S1.in { }",
         R"(21:42+1 a route takes no block [left-over] | a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in)"
         "\n"},
        {21, "route B1.+ (W1 16 mm2, 0.2 m, red) 12",
         R"(21:36+2 '12' is no place a route can stop at [left-over] | a route reads: route B1.+ (W1 16 mm2, 0.2 m, red) F1.in)"
         "\n"},
        {21, "route B1.+ (W1 16 mm2, 0.2 m, red, in L2) S1.in",
         R"(21:39+2 there is no bundle named 'L2' [unknown-name] | there is a bundle named 'L1')"
         "\n"},
        {21, "route B1.+ (W1 16 mm2, 0.2 m, red, in H1) S1.in",
         R"(21:39+2 'H1' is a load, and a wire lies in a bundle [wrong-kind] | note 18:6+2 H1 is described here)"
         "\n"},
        {21, R"(route B1.+ (W1 16 mm2, 0.2 m, red, in L1 L2 L3) S1.in
bundle L2 { wrap taped, length 0.1 m }
bundle L3 { wrap taped, length 0.1 m })",
         R"(21:13+2 W1 is 0.2 m long and cannot lie 0.6 m in bundle L1 [longer-than-wire] | note 26:32+5 L1 is described here)"
         "\n"
         R"(21:45+2 wire W1 lies in more than two bundles [too-many] | a wire names one bundle, or two where it runs through both)"
         "\n"},
        {21, "route B1.+ (W1 is lead1, 0.2 m) S1.in",
         R"(21:19+5 there is no part named 'lead1' [unknown-name] | there is a wire named 'lead10')"
         "\n"},
        {21, "route B1.+ (W1 is bolt-fuse, 0.2 m) S1.in",
         R"(21:19+9 W1 is a wire, and bolt-fuse is a fuse [wrong-kind] | note shelf.loom:2:6+9 bolt-fuse is described here)"
         "\n"},
        {21, "route B1.+ (W1 is lead10 0.2 m) S1.in",
         R"(21:26+3 '0.2' is more than 'is' of wire W1 takes [left-over] | a comma is missing before '0.2')"
         "\n"},
        {21, "route B1.+ () S1.in",
         R"(21:12+2 this wire has no name [nameless-wire] | its name comes first: (W1 16 mm2, 0.2 m, red))"
         "\n"},
        {21, "route B1.+ (direct, 0.2 m) S1.in",
         R"(21:13+6 a direct joint takes no attributes [left-over] | it stands alone: (direct); a wire has a name: (W1 16 mm2, 0.2 m, red))"
         "\n"},
        {22, "route B1.- (W5 16 mm2, 0.9 m, black) J1.3 (W6 16 mm2, 0.2 m, black) U1.-",
         R"(22:38+4 connector J1 has no terminal '3' [no-terminal] | it has J1.1, J1.2 | note 14:11+2 J1 is described here)"
         "\n"},
        {22, "route B1.- (W5 16 mm2, 0.9 m, black) J1 (W6 16 mm2, 0.2 m, black) U1.-",
         R"(22:38+2 J1 has several terminals; say which [which-terminal] | they are J1.1, J1.2)"
         "\n"},
        {22, "route B1.- (W5 16 mm2, 0.9 m, black) P1.7 (W6 16 mm2, 0.2 m, black) U1.-",
         R"(22:38+4 connector P1 has no terminal '7' [no-terminal] | it has P1.1, P1.2 | note 14:11+2 J1 is described here)"
         "\n"},
        {22, "route B1.- (W5 16 mm2, 0.9 m, black) J1.2 (W6 16 mm2, 0.2 m, black)",
         R"(22:67+1 the route ends with wire W6 [open-ended] | after it comes the terminal where it arrives)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) H1 (W7 1 mm2, 0.3 m, black) B1.-",
         R"(23:41+2 the name W7 is used twice [name-twice] | note 23:15+2 first here)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) H1 (W8 1 mm2, 0.3 m, black) B1.minus",
         R"(23:65+8 pack B1 has no terminal 'minus' [no-terminal] | it has B1.+, B1.- | note 11:6+2 B1 is described here)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) H1",
         R"(23:37+2 H1 has two ends, and a route must end at one [which-end] | write H1.+ or H1.-)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) H1.+>-",
         R"(23:37+6 H1.+>- is a way through, and a route must end at one terminal [which-end] | write H1.+)"
         "\n"},
        {23,
         "route F1.out (W7 1 mm2, 0.3 m, red) K2.no>nc (W9 1 mm2, 0.3 m) H1 (W8 1 mm2, 0.3 m, black) B1.-",
         R"(23:37+8 nothing in K2 leads from no to nc [no-way] | ways through it: K2.com>no, K2.com>nc, K2.no>com, K2.nc>com)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) K2 (W9 1 mm2, 0.3 m) H1 (W8 1 mm2, 0.3 m, black) B1.-",
         R"(23:37+2 K2 has several terminals; say which [which-terminal] | they are K2.com, K2.no, K2.nc, K2.A1, K2.A2; ways through it: K2.com>no, K2.com>nc)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) K2.com (W9 1 mm2, 0.3 m) H1 (W8 1 mm2, 0.3 m, black) B1.-",
         R"(23:37+6 in the middle of a route K2.com would be a landing, not a way through K2 [lands-midway] | to pass through it write K2.com>no; to land on it end the route at K2.com and begin another there)"
         "\n"},
        {23, "route F1.out (W7 1 mm2, 0.3 m, red) B1 (W9 1 mm2, 0.3 m) H1 (W8 1 mm2, 0.3 m, black) B1.-",
         R"(23:37+2 B1 has several terminals; say which [which-terminal] | they are B1.+, B1.-; ways through it: B1.->+, B1.+>-)"
         "\n"},
        {23, "route F1.out (1 mm2, 0.3 m, red) H1 (W8 1 mm2, 0.3 m, black) B1.-",
         R"(23:15+1 this wire has no name [nameless-wire] | its name comes first: (W1 1 mm2, 0.3 m, red))"
         "\n"},
        {23, "route F1.out (W20 1 mm2, 1 m) T1.E1.+",
         R"(23:31+7 E1 lies inside T1 and is not reached from outside [inside] | its ports are plus, minus | note 8:8+2 E1 is described here)"
         "\n"},
        {23, "route F1.out (W20 1 mm2, 1 m) T1",
         R"(23:31+2 T1 has several terminals; say which [which-terminal] | they are T1.plus, T1.minus)"
         "\n"},
        {23, "route F1.out (W20 1 mm2, 1 m) T1.gnd",
         R"(23:31+6 assembly T1 has no terminal 'gnd' [no-terminal] | it has T1.plus, T1.minus | note 20:10+2 T1 is described here)"
         "\n"},
        {23, R"(route F1.out (C1.red) K2.A1
route F1.out (C1.red) K2.A1)",
         R"(24:15+6 core red of cable C1 is routed twice [core-twice] | note 23:15+6 first here)"
         "\n"},
        {23, "route F1.out (C1.blue) K2.A1",
         R"(23:15+7 cable C1 has no core 'blue' [no-terminal] | its cores are red, black | note 19:7+2 C1 is described here)"
         "\n"},
        {23, "route F1.out (C2.red) K2.A1",
         R"(23:15+6 there is no cable named 'C2' [unknown-name] | there is a cable named 'C1')"
         "\n"},
        {23, "route F1.out (W1.red) K2.A1",
         R"(23:15+6 'W1' is a wire, and only cables have cores [wrong-kind] | note 21:13+2 W1 is described here)"
         "\n"},
        {23, "route F1.out (C1.red, 0.2 m) K2.A1",
         R"(23:15+6 a core takes no attributes [left-over] | its size and length stand with the cable, and are written once)"
         "\n"},
        {24, "bundle L1 { wrap taped, length 0.85 m }",
         R"(21:67+2 W3 is 0.8 m long and cannot lie 0.85 m in bundle L1 [longer-than-wire] | note 24:32+6 L1 is described here)"
         "\n"},
        {24, "bundle L1 { wrap taped, length 0.6 m, at shed }",
         R"(24:42+4 there is no location named 'shed' [unknown-name])"
         "\n"},
        {24, "bundle L1 { wrap taped, length 0.6 m, at H1 }",
         R"(24:42+2 'H1' is a load, and 'at' names a location [wrong-kind] | note 18:6+2 H1 is described here)"
         "\n"},
    };
    for (const Replacement& row : rows) {
        CAPTURE(row.text);
        CHECK(mistakes_with(row) == row.mistakes);
    }
}

}  // namespace resolve_routes_mistakes_test
