// Two machines in one text that share no more than a minus: each is told as it is alone.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace two_systems_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string head = "loom 1\nharness \"two barrows\" { ambient 0..35 degC, insulation xlpe 90 degC }\n";

// With that letter after each name that stands before an '@'.
std::string lettered(std::string text, const std::string& letter) {
    for (std::size_t at = text.find('@'); at != text.npos; at = text.find('@')) text.replace(at, 1, letter);
    return text;
}

// A pack of 20 to 29 V with 80 A in its plus, a lamp, and a minus lead of that size; its names end with a
// letter.
std::string barrow(const std::string& z, const std::string& minus, const std::string& volts = "20..29 V") {
    std::string text =
        "pack B1@ { voltage " + volts +
        ", resistance 12 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n"
        "fuse F1@ { 80 A, 120 V dc, breaks 15 kA at 120 V dc, curve iso8820-5 }\n"
        "switch S1@ { 120 V dc, carries 150 A, makes 300 A, breaks 120 A at 120 V dc }\n"
        "busbar X1@ { studs 4, carries 150 A }\nbusbar X2@ { studs 4, carries 150 A }\n"
        "fuse F2@ { 5 A, 120 V dc, breaks 15 kA at 120 V dc, curve ul248-14 }\n"
        "connector J2@ { mate P2@, half socket, contacts 2, carries 10 A, 60 V, takes 0.5..4 mm2, rated-at "
        "30 degC, limit 105 degC }\n"
        "load E1@ { 24 V, 2 A, acts-as current }\n"
        "route B1@.+ (W1@ 25 mm2, 0.1 m) F1@ (W2@ 25 mm2, 0.2 m) S1@ (W3@ 25 mm2, 0.2 m) X1@.1\n"
        "route B1@.- (W4@ " +
        minus +
        ", 0.6 m) X2@.1\n"
        "route X1@.2 (W6@ 1.5 mm2, 0.1 m) F2@ (W7@ 1.5 mm2, 1 m) J2@.1\nroute P2@.1 (W8@ 1.5 mm2, 0.2 m) E1@ "
        "(W9@ 1.5 mm2, 0.2 m) P2@.2\n"
        "route J2@.2 (W10@ 1.5 mm2, 1 m) X2@.2\nmode on@ { S1@ closed, others at rest }\n";
    return lettered(text, z);
}
const std::string tie = "route B1.- (W99 70 mm2, 0.3 m) B1z.-\n";

}  // namespace

TEST_CASE(
    "a thin minus lead is judged by the first device of its own pack, whichever pack was written first") {
    for (const std::string& between : {std::string(), tie}) {
        const Results thin = check_text(head + barrow("", "2.5 mm2") + barrow("z", "2.5 mm2") + between);
        for (const char* wire : {"W4", "W4z"})
            CHECK(gravest_of(thin, "oversized-fuse", wire) == Severity::error);
        const Results thick = check_text(head + barrow("", "25 mm2") + barrow("z", "25 mm2") + between);
        for (const char* wire : {"W4", "W4z"}) CHECK_FALSE(finding_of(thick, "oversized-fuse", wire));
    }
}

TEST_CASE("contacts of the lower system are not held against the voltage of the higher one") {
    const Results both = check_text(head + barrow("", "25 mm2") + barrow("z", "25 mm2", "80..115 V") + tie);
    CHECK_FALSE(finding_of(both, "contact-voltage", "J2"));
    CHECK(finding_of(both, "contact-voltage", "J2z"));
}

TEST_CASE("a battery management watches the pack whose current comes home through it") {
    const auto managed = [](std::string text, const std::string& z) {
        return replaced(text, "route B1" + z + ".- (W4" + z + " 25 mm2, 0.6 m) X2" + z + ".1",
                        "bms Q1 { side low, ports common, discharge 90 A, charge 30 A, trips 150 A after 1 "
                        "s, charge-trips 40 A after 2 s, "
                        "resistance 1 mohm }\nroute B1" +
                            z + ".- (W4" + z + " 25 mm2, 0.3 m) Q1 (W5 25 mm2, 0.3 m) X2" + z + ".1");
    };
    const std::string lithium = "20..29.4 V";
    const Results results =
        check_text(head + managed(barrow("", "25 mm2", lithium), "") + barrow("z", "25 mm2", lithium) + tie);
    CHECK_FALSE(finding_of(results, "past-bms"));
    CHECK_FALSE(finding_of(results, "unwatched-cells", "B1"));
    CHECK(finding_of(results, "unwatched-cells", "B1z"));
}

TEST_CASE(
    "a battery management with nothing on its machine's side is taken for that of the pack it hangs on") {
    const Results results = check_text(
        head + barrow("", "25 mm2", "20..29.4 V") +
        "bms Q1 { side low, ports common, discharge 90 A, charge 30 A, trips 150 A after 1 s, charge-trips "
        "40 A after 2 s, "
        "resistance 1 mohm }\nsplice X9\nroute B1.- (W50 25 mm2, 0.3 m) Q1 (W51 25 mm2, 0.3 m) X9\n");
    CHECK_FALSE(finding_of(results, "unwatched-cells"));
    CHECK(finding_of(results, "past-bms", "E1"));
}

TEST_CASE("of two pairs of drives each is told that asks too much together") {
    const auto pair = [](const std::string& z) {
        std::string text =
            "pack B1@ { voltage 20..29 V, resistance 12 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n"
            "fuse F1@ { 150 A, 120 V dc, breaks 15 kA at 120 V dc, curve iso8820-5 }\n"
            "controller U1@ { input 18..32 V, supply-limit 60 A, phase-peak 100 A, regen none }\n"
            "controller U2@ { input 18..32 V, supply-limit 60 A, phase-peak 100 A, regen none }\n"
            "busbar X1@ { studs 4, carries 200 A }\nbusbar X2@ { studs 4, carries 200 A }\n"
            "route B1@.+ (W1@ 50 mm2, 0.1 m) F1@ (W2@ 50 mm2, 0.2 m) X1@.1\n"
            "route X1@.2 (W3@ 50 mm2, 0.1 m) U1@.+\nroute U1@.- (W4@ 50 mm2, 0.1 m) X2@.1\nroute X1@.3 (W5@ "
            "50 mm2, 0.1 m) "
            "U2@.+\nroute U2@.- (W6@ 50 mm2, 0.1 m) X2@.2\n"
            "route X2@.3 (W7@ 50 mm2, 0.1 m) B1@.-\n";
        return lettered(text, z);
    };
    const Results results = check_text(head + pair("") + pair("z") + "mode off { others at rest }\n");
    CHECK(finding_of(results, "settings-together", "U1"));
    CHECK(finding_of(results, "settings-together", "U1z"));
    CHECK_FALSE(finding_of(results, "settings-together", "U2"));
}

}  // namespace two_systems_test
