// What stays live behind a device that has opened.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace back_feed_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// The example hoist with more in it.
Results with(const std::string& more) {
    return check_text(replaced(std::string(example_harness), "splice X1\n", "splice X1\n" + more));
}

std::vector<const Finding*> back_feeds(const Results& results) {
    std::vector<const Finding*> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == "back-feed") list.push_back(&finding);
    return list;
}

std::string path_of(const Finding& finding) {
    std::string path;
    for (const Step& step : finding.witness) path += (path.empty() ? "" : " > ") + step.name;
    return path;
}

const std::string second_pack =
    "pack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
    "fuse F9 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "route B2.- (W32 10 mm2, 0.8 m, black) Q1.P-\n";
const std::string inlet =
    "connector J9 { mate P9, half socket, contacts 2, carries 25 A, 90 V, takes 2..4 mm2, rated-at 30 degC, "
    "limit "
    "90 degC }\n"
    "charger G1 { output 54.6 V 5 A, reverse blocked }\n"
    "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "route G1.+ (W31 2.5 mm2, 1 m, red) P9.1\nroute G1.- (W32 2.5 mm2, 1 m, black) P9.2\n";

}  // namespace

TEST_CASE("a second pack behind the contactor keeps the controller live, and the way from it is shown") {
    const Results results =
        with(second_pack + "route B2.+ (W30 10 mm2, 0.1 m, red) F9 (W31 10 mm2, 0.8 m) K1.out\n");
    const auto findings = back_feeds(results);
    REQUIRE(findings.size() == 1);
    const Finding& finding = *findings.front();
    CHECK(finding.severity == Severity::error);
    CHECK(finding.subject == "K1");
    CHECK(finding.message == "opening contactor K1 does not make everything behind it dead");
    CHECK(finding.beside == "pack B2 still feeds U1");
    CHECK(path_of(finding) == "B2.+ > W30 > F9 > W31 > W3 > J1.1 > W4 > U1.+");
    CHECK(finding.help == "a switch of its own for pack B2, or one that cuts off both");
}

TEST_CASE("a second pack with a switch of its own is left alone") {
    const Results results =
        with(second_pack +
             "switch S9 { 80 V dc, carries 60 A, breaks 60 A at 60 V dc }\n"
             "route B2.+ (W30 10 mm2, 0.1 m, red) F9 (W33 10 mm2, 0.2 m) S9 (W31 10 mm2, 0.8 m) K1.out\n");
    CHECK(back_feeds(results).empty());
}

TEST_CASE("a second pack past no fuse keeps the far side of the only fuse live") {
    const Results results = with(
        "pack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
        "switch S9 { 80 V dc, carries 60 A, breaks 60 A at 60 V dc }\n"
        "route B2.- (W32 10 mm2, 0.8 m, black) Q1.P-\n"
        "route B2.+ (W30 10 mm2, 0.1 m, red) S9 (W31 10 mm2, 0.8 m) K1.out\n");
    const auto findings = back_feeds(results);
    REQUIRE(findings.size() == 1);
    CHECK(findings.front()->severity == Severity::error);
    CHECK(findings.front()->subject == "F1");
    CHECK(findings.front()->working ==
          std::vector<std::string>{"pack B2 reaches U1 and back past no fuse or breaker"});
}

TEST_CASE(
    "a charger on the pack's side of the contactor is silent; on the controller's side it is a warning") {
    // Behind the main fuse and its own, like any inlet: what the key switch cuts off is not reached.
    const Results before = with(inlet +
                                "route F1.out (W33 2.5 mm2, 0.1 m) F9 (W34 2.5 mm2, 0.5 m) J9.1\n"
                                "route Q1.P- (W35 2.5 mm2, 0.5 m, black) J9.2\n");
    CHECK(back_feeds(before).empty());
    const Results behind = with(inlet +
                                "route K1.out (W33 2.5 mm2, 0.1 m) F9 (W34 2.5 mm2, 0.5 m) J9.1\n"
                                "route Q1.P- (W35 2.5 mm2, 0.5 m, black) J9.2\n");
    const auto findings = back_feeds(behind);
    REQUIRE(findings.size() == 1);
    CHECK(findings.front()->severity == Severity::warning);
    CHECK(findings.front()->subject == "K1");
    CHECK(findings.front()->beside == "charger G1 still feeds U1");
    CHECK(findings.front()->help == "join the charger to the pack's side of K1");
}

TEST_CASE("a service battery behind a converter that lets current back keeps the other rail live") {
    const std::string battery =
        "pack B2 { voltage 10..14.6 V, resistance 20 mohm, capacity 20 Ah, discharge 30 A, charge 10 A }\n"
        "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
        "route B2.+ (W30 2.5 mm2, 0.1 m, red) F9 (W31 2.5 mm2, 0.5 m) F3.in\n"
        "route B2.- (W32 2.5 mm2, 0.5 m, black) D1.out-\n";
    const auto subjects = [](const Results& results) {
        std::vector<std::string> list;
        for (const Finding* finding : back_feeds(results))
            list.push_back(finding->subject + " " + finding->beside);
        return list;
    };
    CHECK(subjects(with(battery)).empty());
    const Results passes =
        check_text(replaced(replaced(std::string(example_harness), "splice X1\n", "splice X1\n" + battery),
                            "reverse blocked", "reverse passes"));
    CHECK(subjects(passes) == std::vector<std::string>{"S1 pack B2 still feeds D1, H2"});
}

namespace {

// Two batteries with a fused lead each to what joins them, and what hangs where.
std::string two_banks(const std::string& joined, const std::string& users) {
    return R"(loom 1
harness "Day boat" { ambient 5..35 degC, insulation xlpe 90 degC }
part bank is pack { voltage 11.8..14.4 V, resistance 5..7 mohm, capacity 90 Ah, discharge 100 A, charge 40 A }
pack B1 is bank
pack B2 is bank
part bolt is fuse { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F1 is bolt
fuse F2 is bolt
part stick is fuse { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-3 }
fuse F3 is stick
fuse F4 is stick
part tumbler is switch { 32 V dc, carries 16 A, makes 40 A, breaks 12 A at 32 V dc }
switch S3 is tumbler
switch S4 is tumbler
part lamp is load { 12 V, 6 A, acts-as current, works 9..16 V }
busbar X2 { studs 8, carries 100 A }
route B1.- (W1 16 mm2, 0.5 m, black) X2.1
route B2.- (W2 16 mm2, 0.5 m, black) X2.2
)" + joined +
           users;
}
// From a place to a load of its own behind a fuse and a switch.
std::string user(const std::string& number, const std::string& from) {
    return "load E" + number + " is lamp\nroute " + from + " (W2" + number + " 2.5 mm2, 0.1 m, red) F" +
           number + " (W3" + number + " 2.5 mm2, 1 m, red) S" + number + " (W4" + number +
           " 2.5 mm2, 1 m, red) E" + number + " (W5" + number + " 2.5 mm2, 1 m, black) X2." + number + "\n";
}
const std::string joined_by_switch =
    "switch S1 { 32 V dc, carries 100 A, makes 400 A, breaks 100 A at 32 V dc }\n"
    "route B1.+ (W3 16 mm2, 0.1 m, red) F1 (W4 16 mm2, 1 m, red) S1 (W5 16 mm2, 1 m, red) X1\n"
    "stud X1\nroute X1 (W6 16 mm2, 1 m, red) F2 (W7 16 mm2, 0.1 m, red) B2.+\n";

}  // namespace

TEST_CASE("a second pack on the bus of an isolator keeps it live; a relay that couples two banks is none") {
    CHECK(back_feeds(check_text(two_banks(joined_by_switch, ""))).size() == 2);  // nothing hangs there yet
    CHECK(back_feeds(check_text(two_banks(joined_by_switch, user("4", "X1")))).size() == 1);
    const std::string each = user("4", "X1") + user("3", "B1.+");
    CHECK(back_feeds(check_text(two_banks(joined_by_switch, each))).size() == 2);
    const std::string relay = replaced(joined_by_switch, "switch S1 { 32 V dc, carries 100 A",
                                       "relay S1 { contacts no, coil 12 V 100 mA, coil-works 8..16 V, "
                                       "suppression diode, spare A1 A2, 32 V dc, carries 100 A");
    CHECK(back_feeds(check_text(two_banks(relay, user("4", "X1")))).size() == 1);
    CHECK(back_feeds(check_text(two_banks(relay, each))).empty());
}

TEST_CASE("a selector of batteries parts what hangs on it from both") {
    const std::string selector =
        "selector S9 { terminals 1 2 com, position off, position one 1 com, position both 1 2 com, position "
        "two 2 com\n  32 V dc, carries 100 A, makes 400 "
        "A, breaks 100 A at 32 V dc }\n"
        "route B1.+ (W3 16 mm2, 0.1 m, red) F1 (W4 16 mm2, 1 m, red) S9.1\n"
        "route B2.+ (W6 16 mm2, 0.1 m, red) F2 (W7 16 mm2, 1 m, red) S9.2\n";
    CHECK(back_feeds(check_text(two_banks(selector, user("4", "S9.com")))).empty());
}

}  // namespace back_feed_test
