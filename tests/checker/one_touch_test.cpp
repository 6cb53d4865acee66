// A contact across a supply is found although every mode keeps it open.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace one_touch_test {

using namespace loomward;
using namespace loomward::testing;

TEST_CASE("a push-button across the supply is an error, one in line with a load is not") {
    const std::string button = "splice X1\nswitch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n";
    const auto errors_with = [&](const std::string& route) {
        return found(check_text(replaced(std::string(example_harness), "splice X1\n", button + route)),
                     Severity::error);
    };
    CHECK(errors_with("route F2.out (W30 1 mm2, 0.5 m, red) S9 (W31 1 mm2, 0.5 m, black) Q1.P-\n") ==
          std::vector<std::string>{"short-when-closed S9"});
    CHECK(errors_with("load H9 { 48 V, 10 W, works 30..60 V }\n"
                      "route F2.out (W30 1 mm2, 0.5 m, red) S9 (W31 1 mm2, 0.5 m, red) H9 (W32 1 mm2, 0.5 m, "
                      "black) Q1.P-\n")
              .empty());
}

namespace {

// A hand winch on a bar: what lies between the rails is the test's.
Results winch(const std::string& parts, const std::string& mode) {
    return check_text(
        "loom 1\nharness \"hand winch\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 21..28.8 V, resistance 8..14 mohm, capacity 70 Ah, discharge 120 A, charge 20 A "
        "}\n"
        "fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
        "busbar X1 { studs 6, carries 150 A }\nbusbar X2 { studs 8, carries 150 A }\n"
        "load M1 { 24 V, 20 A, acts-as current, works 16..30 V }\n"
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) X1.1\n"
        "route B1.- (W3 16 mm2, 0.1 m, black) X2.1\n" +
        parts + "mode off { others at rest }\nmode haul { " + mode + ", others at rest }\n");
}
const Finding* shorted(const Results& results, const char* part) {
    return finding_of(results, "short-when-closed", part);
}

}  // namespace

TEST_CASE("a selector that joins the poles at a position which no mode has is an error") {
    const auto knob = [](const std::string& third) {
        return winch(
            "selector S2 { terminals p m a, position off, position haul p a" + third +
                ", 48 V dc, carries 60 A, makes 100 A, breaks 60 A at 32 V dc }\n"
                "route X1.2 (W4 10 mm2, 0.3 m, red) S2.p\nroute S2.a (W5 10 mm2, 0.3 m, red) M1 (W6 10 mm2, "
                "0.3 m, black) X2.2\nroute S2.m (W7 10 mm2, 0.3 m, black) X2.3\n",
            "S2 at haul");
    };
    const Results test_position = knob(", position test p m");
    const Finding* finding = shorted(test_position, "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "selector S2 at test would short a source");
    CHECK_FALSE(shorted(knob(", position brake a m"), "S2"));
}

TEST_CASE("two selectors that short together while each is sound in its own modes are an error") {
    const auto knobs = [](const std::string& brakes_through) {
        return winch(
            "selector S2 { terminals p a, position off, position haul p a, 48 V dc, carries 60 A, makes 100 "
            "A, "
            "breaks 60 A at 32 V dc }\n"
            "selector S3 { terminals a m, position off, position brake a m, 48 V dc, carries 60 A, makes 100 "
            "A, "
            "breaks 60 A at 32 V dc }\n"
            "route X1.2 (W4 10 mm2, 0.3 m, red) S2.p\n"
            "route S2.a (W5 10 mm2, 0.3 m, red) M1 (W6 10 mm2, 0.3 m, black) X2.2\n"
            "route S2.a (W7 10 mm2, 0.3 m, red) S3.a\n" +
                brakes_through,
            "S2 at haul, S3 at off");
    };
    CHECK(shorted(knobs("route S3.m (W8 10 mm2, 0.3 m, black) X2.3\n"), "S3"));
    CHECK_FALSE(shorted(knobs("resistor R1 { 2 ohm, 400 W, pulse 2000 J }\n"
                              "route S3.m (W8 10 mm2, 0.3 m, black) R1 (W9 10 mm2, 0.3 m, black) X2.3\n"),
                        "S3"));
}

TEST_CASE("a change-over relay that shorts alone is an error, one that parts both ways is not") {
    const auto relays = [](const std::string& rest_contacts) {
        const std::string relay =
            " { contacts change-over, carries 30 A, makes 60 A, breaks 30 A at 32 V dc, coil 24 V 60 mA, "
            "coil-works 17..31 V, suppression diode }\n";
        return winch(
            "relay K1" + relay + "relay K2" + relay +
                "switch S1 { 80 V dc, carries 5 A, makes 5 A, breaks 2 A at 32 V dc }\n"
                "route X1.2 (W4 4 mm2, 0.3 m, red) K1.no\nroute X1.3 (W5 4 mm2, 0.3 m, red) K2.no\n" +
                rest_contacts +
                "route K1.com (W8 4 mm2, 0.3 m) K2.com\nroute K1.com (W9 4 mm2, 0.3 m) M1 (W10 4 "
                "mm2, 0.3 m) X2.4\n"
                "route X1.4 (W11 1 mm2, 0.1 m) S1 (W12 1 mm2, 0.3 m) K1.A1\nroute K1.A1 (W13 1 mm2, "
                "0.3 m) K2.A1\n"
                "route K1.A2 (W14 1 mm2, 0.3 m) X2.5\nroute K2.A2 (W15 1 mm2, 0.3 m) X2.6\n",
            "S1 closed, K1 K2 energised");
    };
    // Either in without the other joins plus and minus through both commons.
    const Results both =
        relays("route X2.2 (W6 4 mm2, 0.3 m, black) K1.nc\nroute X2.3 (W7 4 mm2, 0.3 m, black) K2.nc\n");
    CHECK((shorted(both, "K1") && shorted(both, "K2")));
    // Without their rest contacts on the minus nothing does.
    const Results none = relays("");
    CHECK_FALSE(shorted(none, "K1"));
    CHECK_FALSE(shorted(none, "K2"));
}

}  // namespace one_touch_test
