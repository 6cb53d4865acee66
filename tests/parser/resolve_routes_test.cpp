// What routes mean: every wire, joint and tie with the terminals it joins.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace resolve_routes_test {

using namespace loomward;

namespace {

std::string bench(std::string_view routes) {
    return "loom 1\nharness \"Rig\" { ambient 5..35 degC, insulation xlpe 105 degC }\n"
           "pack B1 { voltage 20..29 V, resistance 12 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n"
           "pack B2 { voltage 20..29 V, resistance 12 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n"
           "bms Q1 { side low, ports separate, discharge 9 A, charge 3 A, trips 20 A after 1 s, resistance 1 "
           "mohm }\n"
           "fuse F1 { 5 A, 32 V dc, breaks 1 kA, curve iso8820-3 }\n"
           "switch S2 { 24 V dc, poles 2, carries 9 A, breaks none }\n"
           "relay K1 { contacts change-over, carries 9 A, breaks none, coil 24 V 20 mA }\n"
           "relay K2 { contacts no change-over, carries 9 A, breaks none, coil 24 V 20 mA }\n"
           "selector S3 { terminals com 1 2, position off, position one 1 com, position two 2 com, carries 9 "
           "A,"
           " breaks none }\n"
           "connector J1 { mate P1, half pin, contacts + -, carries 9 A, 60 V, takes 1..2 mm2, rated-at 20 "
           "degC,"
           " limit 90 degC }\n"
           "load H1 { 24 V, 9 W }\ndiode V1 { 9 A, 60 V, drop 0.5 V }\nstud X1\nbusbar X2 { studs 2, carries "
           "90 A }\n"
           "motor M1 { leads 2, carries 9 A }\n"
           "part lead is wire { 2.5 mm2, insulation silicone 180 degC, note \"tinned\" }\n"
           "bundle L1 { wrap taped, length 0.1 m }\nbundle L2 { wrap open, length 0.1 m }\n" +
           std::string(routes) + "\n";
}

struct Row {
    std::string_view routes, model;
};

}  // namespace

TEST_CASE("a route is walked as it is written, through parts and onto points") {
    constexpr Row rows[] = {
        // through a part with two ends, and onto a point where both wires land
        {"route B1.+ (W1 1 mm2, 1 m, red) F1 (W2 1 mm2, 1 m) X1 (W3 1 mm2, 1 m) H1 (W4 1 mm2, 1 m, "
         "green-yellow) B1.-",
         "wire W1 B1.+ F1.in 1 mm2 1 m red xlpe 105 degC\n"
         "wire W2 F1.out X1 1 mm2 1 m xlpe 105 degC\n"
         "wire W3 X1 H1.+ 1 mm2 1 m xlpe 105 degC\n"
         "wire W4 H1.- B1.- 1 mm2 1 m green-yellow xlpe 105 degC\n"},
        // against the usual way
        {"route B1.+ (W1 1 mm2, 1 m) F1.out>in (W2 1 mm2, 1 m) V1.K>A (W3 1 mm2, 1 m) X1",
         "wire W1 B1.+ F1.out 1 mm2 1 m xlpe 105 degC\n"
         "wire W2 F1.in V1.K 1 mm2 1 m xlpe 105 degC\n"
         "wire W3 V1.A X1 1 mm2 1 m xlpe 105 degC\n"},
        // a connector goes on at its other half, from whichever the wire arrives at
        {"route B1.+ (W1 1 mm2, 1 m) J1.+ (W2 1 mm2, 1 m) H1 (W3 1 mm2, 1 m) P1.- (W4 1 mm2, 1 m) B1.-",
         "wire W1 B1.+ J1.+ 1 mm2 1 m xlpe 105 degC\n"
         "wire W2 P1.+ H1.+ 1 mm2 1 m xlpe 105 degC\n"
         "wire W3 H1.- P1.- 1 mm2 1 m xlpe 105 degC\n"
         "wire W4 J1.- B1.- 1 mm2 1 m xlpe 105 degC\n"},
        // at the end of a route a connector is only landed on
        {"route B1.+ (W1 1 mm2, 1 m) J1.+\nroute P1.+ (W2 1 mm2, 1 m) H1.+",
         "wire W1 B1.+ J1.+ 1 mm2 1 m xlpe 105 degC\nwire W2 P1.+ H1.+ 1 mm2 1 m xlpe 105 degC\n"},
        // change-over contacts and poles
        {"route B1.+ (W1 1 mm2, 1 m) K1.com>no (W2 1 mm2, 1 m) K1.nc>com (W3 1 mm2, 1 m) X1",
         "wire W1 B1.+ K1.com 1 mm2 1 m xlpe 105 degC\n"
         "wire W2 K1.no K1.nc 1 mm2 1 m xlpe 105 degC\n"
         "wire W3 K1.com X1 1 mm2 1 m xlpe 105 degC\n"},
        {"route B1.+ (W1 1 mm2, 1 m) S2.2 (W2 1 mm2, 1 m) K2.1 (W3 1 mm2, 1 m) K2.2.com>nc (W4 1 mm2, 1 m) "
         "S2.1.out",
         "wire W1 B1.+ S2.2.in 1 mm2 1 m xlpe 105 degC\n"
         "wire W2 S2.2.out K2.1.in 1 mm2 1 m xlpe 105 degC\n"
         "wire W3 K2.1.out K2.2.com 1 mm2 1 m xlpe 105 degC\n"
         "wire W4 K2.2.nc S2.1.out 1 mm2 1 m xlpe 105 degC\n"},
        {"route B1.+ (W1 1 mm2, 1 m) S3.1>com (W2 1 mm2, 1 m) X1",
         "wire W1 B1.+ S3.1 1 mm2 1 m xlpe 105 degC\nwire W2 S3.com X1 1 mm2 1 m xlpe 105 degC\n"},
        // packs in series, a bms on its charge port, a coil terminal and a pack post as landings
        {"route X1 (W1 1 mm2, 1 m) B1.->+ (W2 1 mm2, 1 m) B2.- (W3 1 mm2, 1 m) Q1 (W4 1 mm2, 1 m) K1.A1 (W5 "
         "1 mm2, 1 m)"
         " Q1.C->B- (W6 1 mm2, 1 m) M1 (W7 1 mm2, 1 m) X1",
         "wire W1 X1 B1.- 1 mm2 1 m xlpe 105 degC\n"
         "wire W2 B1.+ B2.- 1 mm2 1 m xlpe 105 degC\n"
         "wire W3 B2.- Q1.B- 1 mm2 1 m xlpe 105 degC\n"
         "wire W4 Q1.P- K1.A1 1 mm2 1 m xlpe 105 degC\n"
         "wire W5 K1.A1 Q1.C- 1 mm2 1 m xlpe 105 degC\n"
         "wire W6 Q1.B- M1.M+ 1 mm2 1 m xlpe 105 degC\n"
         "wire W7 M1.M- X1 1 mm2 1 m xlpe 105 degC\n"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.routes);
        CHECK(model_of(bench(row.routes), "wire") == row.model);
    }
}

TEST_CASE("a wire takes what it does not say from its type, then from the harness") {
    CHECK(model_of(bench("route B1.+ (W1 is lead, 1 m, red, in L2 L1, parallel 2) X1 (W2 4 mm2, 1 ft, "
                         "material aluminium,"
                         " insulation ptfe) X2.1 (W3 10 AWG, 1 m, blue, ends \"ring\" \"pin\") X2.2 (W4 is "
                         "lead, 4 mm2, 1 m) X1"),
                   "wire") ==
          "wire W1 B1.+ X1 2.5 mm2 1 m red x2 silicone 180 degC in L2 in L1 {note \"tinned\"}\n"
          "wire W2 X1 X2.1 4 mm2 0.305 m aluminium ptfe 250 degC assumed {(length) 1 ft}\n"
          "wire W3 X2.1 X2.2 10 AWG 1 m blue xlpe 105 degC {ends \"ring\" \"pin\"}\n"
          "wire W4 X2.2 X1 4 mm2 1 m silicone 180 degC {note \"tinned\"}\n");
}

TEST_CASE("a unit may follow its number without a blank, and means the same") {
    CHECK(model_of(bench("route B1.+ (W1 16mm2, 0.2m, red) X1 (W2 0.5m, 2.5mm2) X2.1 (W3 2/0AWG, 3ft) X2.2"),
                   "wire") ==
          "wire W1 B1.+ X1 16mm2 0.2 m red xlpe 105 degC\n"
          "wire W2 X1 X2.1 2.5mm2 0.5 m xlpe 105 degC\n"
          "wire W3 X2.1 X2.2 2/0AWG 0.914 m xlpe 105 degC {(length) 3ft}\n");
    const ReadResult result =
        read_test(bench("route B1.+ (W1 16mm2, 0.2m) X1\nconnector J2 { mate P2, half pin,"
                        " contacts 2, carries 9A, 60V, takes 1..2.5mm2, rated-at 20degC,"
                        " limit 90degC }"));
    REQUIRE(result.harness);
    CHECK(result.harness->wires[0].area.hi == Approx(16));
    const Part& plug = result.harness->part(*result.harness->find_part("J2"));
    CHECK(result.harness->value(plug.attributes, "takes"_attr).hi == Approx(2.5));
}

TEST_CASE("a wire is its name; its size and its length are not known where they are left out") {
    constexpr std::pair<std::string_view, std::string_view> rows[] = {
        {"(W1 0.2m)", "unknown mm2 0.2 m xlpe 105 degC"},
        {"(W1 16mm2)", "16mm2 unknown xlpe 105 degC"},
        {"(W1)", "unknown mm2 unknown xlpe 105 degC"},
        {"(W1 red)", "unknown mm2 unknown red xlpe 105 degC"},
        {"(W1, 2 m, black)", "unknown mm2 2 m black xlpe 105 degC"},
        {"(W1 is lead)", "2.5 mm2 unknown silicone 180 degC {note \"tinned\"}"},
    };
    for (const auto& [link, expected] : rows)
        CHECK(model_of(bench("route B1.+ " + std::string(link) + " X1"), "wire") ==
              "wire W1 B1.+ X1 " + std::string(expected) + "\n");
}

TEST_CASE("a size or a length that is written badly is not taken as left out") {
    for (const std::string_view link : {"(W1 16mm2 0.2m)", "(W1 16mm2, 16mm2)", "(W1 16kA, 0.2m)",
                                        "(W1 16, 0.2 m)", "(W1 0.2m, 16xx)", "(W1 0.2m, mm2)"}) {
        CAPTURE(link);
        const ReadResult result = read_test(bench("route B1.+ " + std::string(link) + " X1"));
        CHECK_FALSE(result.harness);
        CHECK_FALSE(result.mistakes.empty());
        for (const Diagnostic& mistake : result.mistakes) CHECK(mistake.id != "unreadable");
    }
}

TEST_CASE("without a word about insulation it is taken as the poorest, and says so") {
    CHECK(
        model_of(
            "loom 1\nharness \"Rig\" { ambient 5..35 degC }\nstud X1\nstud X2\nroute X1 (W1 1 mm2, 1 m) X2\n",
            "wire") == "wire W1 X1 X2 1 mm2 1 m pvc 70 degC assumed\n");
}

TEST_CASE("a direct joint joins two terminals without a wire") {
    CHECK(model_of(bench("route B1.+ (direct) F1 (direct) X2.1"), "joint") ==
          "joint B1.+ F1.in\njoint F1.out X2.1\n");
}

TEST_CASE("the cores of a cable are wires that share its size, length and bundle") {
    const std::string text = bench(
        "cable C1 { cores red white-blue 3, 0.5 mm2, 2 m, core 3 1 mm2, in L1 }\n"
        "route B1.+ (C1.red) X1 (C1.3) H1.+\nroute X1 (W1 1 mm2, 1 m, in L1) B1.-");
    CHECK(model_of(text, "wire") ==
          "wire C1.red B1.+ X1 0.5 mm2 2 m red xlpe 105 degC in L1\n"
          "wire C1.3 X1 H1.+ 1 mm2 2 m xlpe 105 degC in L1\n"
          "wire W1 X1 B1.- 1 mm2 1 m xlpe 105 degC in L1\n");
    CHECK(model_of(text, "cable") == "cable C1 C1.red C1.3 unrouted white-blue\n");
    CHECK(model_of(text, "bundle") ==
          "bundle L1 {wrap taped, length 0.1 m} C1.red C1.3 W1\n"
          "bundle L2 {wrap open, length 0.1 m}\n");
}

}  // namespace resolve_routes_test
