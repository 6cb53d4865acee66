// Contacts and plugs with one branch behind them, held to the device before them as wires are.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace guarded_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string begins =
    "loom 1\nharness \"hop picker\" { ambient 23..23 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 46..54 V, resistance 5..8 mohm, capacity 200 Ah, discharge 200 A, charge 50 A }\n"
    "fuse F1 { 40 A, 80 V dc, breaks 12 kA at 80 V dc, curve iso8820-5 }\n";

// A lamp of 0.4 A behind a switch.
Results lamp_behind(const std::string& switch_carries, const std::string& more = {}) {
    return check_text(
        begins + "switch S1 { 80 V dc, carries " + switch_carries +
        ", breaks 150 A at 60 V dc }\nload E1 { 48 V, 20 W, works 30..60 V }\n"
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) S1 (W3 16 mm2, 0.2 m, red) "
        "E1 (W4 16 mm2, 0.2 m, black) B1.-\nmode lit { S1 closed }\n" +
        more);
}

enum class Told : std::uint8_t { nothing, rated_above, too_large };

// Always a note: a contact is chosen for its load.
Told told(const Results& results, std::string_view subject) {
    const Finding* finding = finding_of(results, "rated-below-guard", subject);
    if (!finding) return Told::nothing;
    CHECK(finding->severity == Severity::note);
    return finding->message.find("too large a device") != std::string::npos ? Told::too_large
                                                                            : Told::rated_above;
}

}  // namespace

TEST_CASE("a switch is held to 1.45 times what it carries, and to the rated current of its fuse") {
    // A bolted fuse of 40 A lets 1.35 x 40 A = 54 A through for long (ISO 8820-5, memory): 54 / 1.45 = 37.24
    // A.
    CHECK(told(lamp_behind("37.2 A"), "S1") == Told::too_large);
    CHECK(told(lamp_behind("37.28 A"), "S1") == Told::rated_above);
    CHECK(told(lamp_behind("39.96 A"), "S1") == Told::rated_above);
    CHECK(told(lamp_behind("40.04 A"), "S1") == Told::nothing);
    const Results results = lamp_behind("20 A");
    const Finding* finding = finding_of(results, "rated-below-guard", "S1");
    REQUIRE(finding);
    CHECK(finding->message == "the contact of switch S1 is guarded by too large a device");
    CHECK(finding->working.front() == "F1 1.35 x 40 A = 54 A > 1.45 x 20 A");
    CHECK(finding->help == "one that carries 40 A or more, or a smaller device before it");
}

TEST_CASE(
    "both contacts of a plug are one finding, on the one that carries least, at the ambient of its place") {
    const auto plug = [](const std::string& carries, const std::string& own) {
        return check_text(
            begins + "connector J1 { mate P1, half socket, contacts + -, carries " + carries + own +
            ", 100 V, takes 10..16 mm2\n  rated-at 23 degC, limit 105 degC }\n"
            "load E1 { 48 V, 20 W, works 30..60 V }\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) J1.+ (W3 16 mm2, 0.2 m, "
            "red) E1.+\nroute E1.- (W4 16 mm2, 0.2 m, black) P1.- (W5 16 mm2, 0.2 m, black) B1.-\n"
            "mode lit { others at rest }\n");
    };
    const Results weak = plug("37.2 A", "");
    CHECK(told(weak, "J1.+") == Told::too_large);
    CHECK(std::count_if(weak.findings.begin(), weak.findings.end(),
                        [](const Finding& each) { return each.rule == "rated-below-guard"; }) == 1);
    CHECK(told(plug("40.04 A", ", contact - 20 A 10..16 mm2"), "J1.-") == Told::too_large);
    CHECK(told(plug("40.04 A", ""), "J1.+") == Told::nothing);
}

TEST_CASE("what a fuse of the branch itself guards is held to that one") {
    const std::string second = "fuse F2 { 3 A, 80 V dc, breaks 12 kA at 80 V dc, curve iso8820-3 }\n";
    const Results results =
        check_text(begins + second +
                   "switch S1 { 80 V dc, carries 6 A, breaks 5 A at 60 V dc }\n"
                   "load E1 { 48 V, 20 W, works 30..60 V }\n"
                   "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) F2 (W5 1 mm2, 0.2 m, red) "
                   "S1 (W3 1 mm2, 0.2 m, red) E1 (W4 1 mm2, 0.2 m, black) B1.-\nmode lit { S1 closed }\n");
    CHECK(told(results, "S1") == Told::nothing);
}

TEST_CASE("a diode and a shunt are held to the fuse before them as a contact is") {
    const auto behind = [](const std::string& part) {
        return check_text(
            begins + part +
            "load E1 { 48 V, 20 W, works 30..60 V }\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) D5 (W3 16 mm2, 0.2 m, "
            "red) E1 (W4 16 mm2, 0.2 m, black) B1.-\nmode lit { others at rest }\n");
    };
    for (const std::string part :
         {"diode D5 { @ A, 100 V, drop 0.6 V }\n", "shunt D5 { @ A, drop 75 mV }\n"}) {
        CHECK(told(behind(replaced(part, "@", "37.2")), "D5") == Told::too_large);
        CHECK(told(behind(replaced(part, "@", "37.28")), "D5") == Told::rated_above);
        CHECK(told(behind(replaced(part, "@", "40.04")), "D5") == Told::nothing);
    }
    CHECK(finding_of(behind("diode D5 { 20 A, 100 V, drop 0.6 V }\n"), "rated-below-guard")->message ==
          "diode D5 is guarded by too large a device");
}

}  // namespace guarded_contacts_test
