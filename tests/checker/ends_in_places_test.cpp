// Where wires and fuses lie that say nothing of it themselves.
#include <algorithm>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/told.hpp"

namespace ends_in_places_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

constexpr std::string_view stove = "location stove { ambient 0..75 degC }\n";

// A heater wire of 1.5 mm2 between the switch S9 and the load H9, 14 A of a 15 A fuse.
std::string heater(std::string_view at_switch, std::string_view at_load, std::string_view more = "") {
    return std::string(example_harness) + std::string(stove) + "load H9 { 48 V, 14 A, works 30..60 V" +
           std::string(at_load) +
           " }\nfuse F9 { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n" +
           "switch S9 { 80 V dc, carries 40 A, makes 40 A, breaks 50 A at 60 V dc" + std::string(at_switch) +
           " }\nroute F1.out (W30 4 mm2, 0.15 m, red) F9 (W31 4 mm2, 1 m, red) S9.in\n"
           "route S9.out (W32 1.5 mm2, 1 m, red) H9.+\nroute H9.- (W33 4 mm2, 1 m, black) Q1.P-\n" +
           std::string(more) + "mode heat { others at rest, S9 closed }\n";
}

}  // namespace

TEST_CASE("a wire both of whose ends lie in a hot place lies in it") {
    // IEC 60364-5-52 B.52.14: at 75 degC insulation for 90 degC carries 0.5 of what it does at 30 degC.
    const Told hot = told(heater(", at stove", ", at stove"), "overloaded-wire", "W32");
    REQUIRE(hot);
    CHECK(hot.finding->severity == Severity::error);
    CHECK_FALSE(told(heater("", ""), "overloaded-wire"));
    // Of one that only ends there nobody knows how much of it lies there: it is on the list.
    const Told one = told(heater("", ", at stove"), "overloaded-wire");
    CHECK_FALSE(one);
    const auto listed = [](const Results& results, std::string_view value) {
        return std::any_of(
            results.assumptions.begin(), results.assumptions.end(), [&](const Assumption& each) {
                return each.what == "air around a wire that lies in no place" && each.value == value &&
                       std::find(each.used_by.begin(), each.used_by.end(), "W32") != each.used_by.end();
            });
    };
    CHECK(listed(one.results, "the harness's; one end has its own"));
    CHECK(listed(hot.results, "that of both its ends"));
    CHECK_FALSE(listed(one.results, "that of both its ends"));
}

TEST_CASE("what a bundle says of the way of a wire goes before where it ends") {
    const std::string cool =
        "location duct { ambient 0..40 degC }\nbundle L9 { wrap open, length 1 m, at duct }\n";
    const std::string text = replaced(heater(", at stove", ", at stove", cool), "(W32 1.5 mm2, 1 m, red)",
                                      "(W32 1.5 mm2, 1 m, red, in L9)");
    CHECK_FALSE(told(text, "overloaded-wire"));
}

TEST_CASE("a fuse lies where the block lies that holds it, unless it says where it lies") {
    const auto held = [](std::string_view block, std::string_view fuse) {
        return told(std::string(example_harness) + std::string(stove) +
                        "load H9 { 48 V, 10 A, works 30..60 V }\n"
                        "fuse-block X8 { ways 2, feed common, carries 60 A, way-carries 30 A, 80 V" +
                        std::string(block) +
                        " }\nfuse F8 { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3, "
                        "holder X8.1" +
                        std::string(fuse) +
                        " }\nroute F1.out (W30 6 mm2, 0.15 m, red) X8.in\n"
                        "route F8.out (W31 4 mm2, 1 m, red) H9 (W33 4 mm2, 1 m, black) Q1.P-\n"
                        "mode heat { others at rest }\n",
                    "overloaded-fuse", "F8");
    };
    const Told hot = held(", at stove", "");
    REQUIRE(hot);
    CHECK_FALSE(held("", ""));
    CHECK(held(", at stove", ", at stove").finding->message == hot.finding->message);
}

}  // namespace ends_in_places_test
