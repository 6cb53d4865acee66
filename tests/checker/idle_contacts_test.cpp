// Contacts that do nothing, and leads that do not meet in a connector.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace idle_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A kiosk on 24 V: X1 is live, X2 the minus, K1 a relay that S1 works, K2 one that changes over.
Results kiosk(const std::string& wiring) {
    return check_text(
        "loom 1\nharness \"ice kiosk\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 20..29 V, resistance 20..30 mohm, capacity 40 Ah, discharge 60 A, charge 10 A }\n"
        "fuse F1 { 10 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
        "part small is switch { 32 V dc, carries 10 A, makes 20 A, breaks 10 A at 32 V dc }\n"
        "switch S1 is small\n"
        "part coil is relay { carries 10 A, makes 20 A, breaks 10 A at 32 V dc, coil 24 V 40 mA\n"
        "  coil-works 15..30 V, suppression diode }\n"
        "relay K1 is coil { contacts no }\nrelay K2 is coil { contacts change-over }\n"
        "busbar X1 { studs 8, carries 60 A }\nbusbar X2 { studs 8, carries 60 A }\n"
        "load H1 { 24 V, 20 W, works 15..30 V }\nload H2 { 24 V, 20 W, works 15..30 V }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m, red) F1 (W2 2.5 mm2, 0.1 m, red) X1.1\n"
        "route B1.- (W3 2.5 mm2, 0.1 m, black) X2.1\nroute H1.- (W4 1 mm2, 0.1 m, black) X2.2\n"
        "route H2.- (W5 1 mm2, 0.1 m, black) X2.3\n" +
        wiring + "mode off { others at rest }\n");
}

std::string told(const Results& results, std::string_view rule) {
    const Finding* finding = finding_of(results, rule);
    if (!finding) return "";
    CHECK(finding->severity == Severity::warning);
    return finding->subject + ": " + finding->beside;
}

const std::string worked =
    "route X1.2 (W6 1 mm2, 0.1 m) S1 (W7 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W8 1 mm2, 0.1 m) X2.4\n";

}  // namespace

TEST_CASE("leads that go past a switch or a relay, both on one of its terminals") {
    CHECK(told(kiosk("route X1.2 (W6 1 mm2, 0.1 m) S1.in\nroute S1.in (W7 1 mm2, 0.1 m) H1.+\n"),
               "idle-contact") == "S1: 2 leads on S1.in, none on S1.out");
    CHECK(told(kiosk("route X1.2 (W6 1 mm2, 0.1 m) S1 (W7 1 mm2, 0.1 m) H1.+\n"), "idle-contact").empty());
    CHECK(told(kiosk(worked + "route X1.3 (W9 1 mm2, 0.1 m) K1.in\nroute K1.in (W10 1 mm2, 0.1 m) H1.+\n"),
               "idle-contact") == "K1: 2 leads on K1.in, none on K1.out");
    CHECK(told(kiosk(worked + "route X1.3 (W9 1 mm2, 0.1 m) K1 (W10 1 mm2, 0.1 m) H1.+\n"), "idle-contact")
              .empty());
    // One lead, and a coil that somebody wired for it.
    CHECK(told(kiosk(worked + "route X1.3 (W9 1 mm2, 0.1 m) K1.in\n"), "idle-contact") ==
          "K1: 1 lead on K1.in, none on K1.out");
    // In the minus too.
    CHECK(told(kiosk("load H3 { 24 V, 5 W, works 15..30 V }\nroute X1.3 (W7 1 mm2, 0.1 m) H3 (W9 1 mm2, 0.1 "
                     "m) S1.out\n"
                     "route S1.out (W10 1 mm2, 0.1 m) X2.5\n"),
               "idle-contact") == "S1: 2 leads on S1.out, none on S1.in");
}

TEST_CASE("a row of switches fed from one to the next, one left empty for later, is no such thing") {
    const std::string row =
        "switch S2 is small\nroute X1.2 (W6 1 mm2, 0.1 m) S1.in\nroute S1.in (W7 1 mm2, 0.1 m) S2 (W9 1 mm2, "
        "0.1 m) H1.+\n";
    CHECK(told(kiosk(row), "idle-contact").empty());
    CHECK(told(kiosk("switch S3 is small { spare out }\nroute X1.2 (W6 1 mm2, 0.1 m) S3.in\n"
                     "route S3.in (W7 1 mm2, 0.1 m) H1.+\n"),
               "idle-contact")
              .empty());
    // One lead alone is not past it.
    CHECK(told(kiosk("route X1.2 (W6 1 mm2, 0.1 m) S1.in\n"), "idle-contact").empty());
}

TEST_CASE("a change-over contact with both throws on one point switches nothing") {
    const std::string coil =
        "route X1.2 (W6 1 mm2, 0.1 m) S1 (W7 1 mm2, 0.1 m) K2.A1\nroute K2.A2 (W8 1 mm2, 0.1 m) X2.4\n"
        "route X1.3 (W9 1 mm2, 0.1 m) K2.no\nroute K2.com (W10 1 mm2, 0.1 m) H1.+\n";
    CHECK(told(kiosk(coil + "route X1.4 (W11 1 mm2, 0.1 m) K2.nc\n"), "idle-contact") ==
          "K2: K2.no and K2.nc lead to one point");
    CHECK(told(kiosk(coil + "route X2.5 (W11 1 mm2, 0.1 m) K2.nc\n"), "idle-contact").empty());
    CHECK(told(kiosk(coil), "idle-contact").empty());
}

TEST_CASE("leads that change their place in a connector do not meet") {
    const auto plug = [](const std::string& back, const std::string& more = "") {
        return kiosk(
            "connector J1 { mate P1, half socket, contacts 4, carries 10 A, 60 V, takes 0.5..2.5 mm2, "
            "rated-at "
            "30 degC, limit 90 degC" +
            more + " }\nroute X1.2 (W6 1 mm2, 0.1 m) J1.1 (W7 1 mm2, 0.1 m) S1 (W9 1 mm2, 0.1 m) " + back +
            "\nroute J1.2 (W10 1 mm2, 0.1 m) H1.+\n");
    };
    CHECK(told(plug("P1.3"), "unmet-contact") == "J1: J1.2 and P1.3 have nothing opposite");
    CHECK(told(plug("P1.2"), "unmet-contact").empty());
    // Said to be so on purpose.
    CHECK(told(plug("P1.3", ", spare 3"), "unmet-contact").empty());
    // Leads of one half alone wait for something that is not fitted.
    CHECK(
        told(kiosk("connector J1 { mate P1, half socket, contacts 4, carries 10 A, 60 V, takes 0.5..2.5 mm2, "
                   "rated-at 30 degC, limit 90 degC }\nroute X1.2 (W6 1 mm2, 0.1 m) J1.1 (W7 1 mm2, 0.1 m) "
                   "H1.+\n"
                   "route X1.3 (W8 1 mm2, 0.1 m) J1.2\nroute X1.4 (W9 1 mm2, 0.1 m) J1.3\n"),
             "unmet-contact")
            .empty());
}

}  // namespace idle_contacts_test
