// States of locations, and modes that put them at one.
#include <catch2/catch.hpp>

#include "tests/parser/model_print.hpp"
#include "tests/parser/resolve_support.hpp"

namespace location_states_test {

using namespace loomward;

namespace {

std::string text_with(const std::string& location, const std::string& modes) {
    return "loom 1\nharness \"Hand winch\" { ambient 5..35 degC }\nlocation tin { ambient 0..40 degC, " +
           location + " }\n" + modes + "\n";
}

const std::string box =
    "size 300 mm x 200 mm x 100 mm, state open 20 cm2 80 mm, state shut, state fan 0.4 K/W";

std::string mistakes_in(const std::string& location, const std::string& modes = "") {
    return mistakes_of(read_test(text_with(location, modes)));
}

bool says(const std::string& mistakes, const std::string& words) {
    INFO(mistakes);
    return mistakes.find(words) != std::string::npos;
}

const State& state_in(const Harness& harness, std::size_t mode) {
    return harness.modes[mode].location_states.front();
}

}  // namespace

TEST_CASE("a mode puts a location at one of its states, is like another, or says nothing of it") {
    const ReadResult read = read_test(text_with(box,
                                                "mode a { tin at shut }\nmode b { like a }\nmode c { like a, "
                                                "tin at fan }\nmode d { others at rest }"));
    REQUIRE(mistakes_of(read).empty());
    const Harness& harness = *read.harness;
    CHECK(state_in(harness, 0).posture == Posture::at_position);
    CHECK(state_in(harness, 0).position == 1);
    CHECK(state_in(harness, 0).stated_by == StatedBy::line);
    CHECK(state_in(harness, 1).position == 1);
    CHECK(state_in(harness, 1).stated_by == StatedBy::inherited);
    CHECK(state_in(harness, 2).position == 2);
    CHECK(state_in(harness, 3).posture == Posture::none);
}

TEST_CASE("a location inside an assembly has its own state in each copy") {
    const ReadResult read = read_test(
        "loom 1\nharness \"Hand winch\" { ambient 5..35 degC }\n"
        "part nook is assembly { location tin { ambient 0..40 degC, state open 0.5 K/W, state shut 2 K/W }\n"
        "  stud X1 { carries 20 A } }\nassembly A1 is nook { repeat 2 }\n"
        "mode a { A1.2.tin at shut }\n");
    REQUIRE(mistakes_of(read).empty());
    REQUIRE(read.harness->locations.size() == 2);
    CHECK(read.harness->modes[0].location_states[0].posture == Posture::none);
    CHECK(read.harness->modes[0].location_states[1].position == 1);
}

TEST_CASE("what no state of a location is, is a mistake") {
    CHECK(says(mistakes_in(box, "mode a { tin at ajar }"), "location tin has no state 'ajar'"));
    CHECK(says(mistakes_in(box, "mode a { tin at ajar }"), "it has open, shut, fan"));
    CHECK(says(mistakes_in(box, "mode a { tin open }"), "write at open"));
    CHECK(says(mistakes_in(box, "mode a { tin at rest }"), "a location cannot be at rest"));
    CHECK(says(mistakes_in(box, "mode a { tin at open, tin at shut }"), "says twice what tin does"));
    CHECK(says(mistakes_in("thermal-resistance 1 K/W", "mode a { tin at open }"),
               "location tin has no states"));
    CHECK(says(mistakes_in(box + ", state open"), "location tin has state 'open' twice"));
    CHECK(says(mistakes_in("state rest 1 K/W"), "a state cannot be called 'rest'"));
    CHECK(says(mistakes_in("state open 20 cm2 80 mm"), "does not say how its heat leaves"));
    CHECK(says(mistakes_in("state open 1 K/W, state shut"), "does not say how its heat leaves"));
    CHECK(mistakes_in("state open 1 K/W, state shut unknown").empty());
    CHECK(mistakes_in("size unknown, state open 20 cm2 80 mm, state shut").empty());
}

TEST_CASE("the altitude of a harness ends where air does, the speed of air is in m/s") {
    const auto mistakes = [](const std::string& said, const std::string& air) {
        return mistakes_of(read_test("loom 1\nharness \"Hand winch\" { ambient 5..35 degC" + said +
                                     " }\nlocation tin { ambient 0..40 degC, air " + air + " }\n"));
    };
    CHECK(mistakes(", altitude 2500 m", "moving 3 m/s").empty());
    CHECK(mistakes(", altitude 8000 ft", "moving").empty());
    CHECK(mistakes(", altitude unknown", "still").empty());
    CHECK(says(mistakes(", altitude 9500 m", "still"), "9500 m is no altitude a harness can have"));
    CHECK(says(mistakes(", altitude 20 degC", "still"), "altitude"));
    CHECK_FALSE(mistakes("", "moving 3 m").empty());
    CHECK_FALSE(mistakes("", "moving 80 m/s").empty());
}

}  // namespace location_states_test
