// The text in which a person types readings: what is taken, and what is said of a mistake.
#include <catch2/catch.hpp>

#include <cmath>

#include "parser/readings/readings.hpp"

namespace measured_text_test {

namespace {

using namespace loomward;

std::string mistakes(const std::string& text) {
    const MeasuredText made = read_measured("readings.txt", text);
    std::string said;
    for (const Diagnostic& mistake : made.mistakes) {
        const Position at = made.sources->position(mistake.where);
        said += std::to_string(at.line) + ":" + std::to_string(at.column) + " " + mistake.id + ": " +
                mistake.message + "\n";
    }
    return said;
}

}  // namespace

TEST_CASE("readings are taken as they are typed, and blanks are counted") {
    const MeasuredText made =
        read_measured("readings.txt",
                      "loom 1\n"
                      "measured \"Cart\" { revision \"B\", air 21 degC }  # in the shed\n"
                      "at-rest B1 { 52.3 V }\n"
                      "\n"
                      "step 14 { ohms, red F2.out, black K2.in, reads 98 ohm }\r\n"
                      "step 15 { ohms, red X1, black X2, reads open }\n"
                      "step 60 { millivolts, red B1.+, black F1.in, reads 3.1 mV at 10 A }\n"
                      "step 61 { amps, around W1, reads _ A }\n"
                      "step 62 { volts, red A, black B, reads -12 V }\n"
                      "step 63 { millivolts, red A, black B, reads _ mV at 10 A }");
    CHECK(made.mistakes.empty());
    CHECK(made.title == "Cart");
    CHECK(made.revision == "B");
    CHECK(made.air_degC == 21);
    REQUIRE(made.at_rest_V.size() == 1);
    CHECK(made.at_rest_V[0] == std::pair<std::string, double>("B1", 52.3));
    CHECK(made.blanks == 2);
    REQUIRE(made.steps.size() == 4);
    CHECK(made.steps[0].number == 14);
    CHECK(made.steps[0].meter == "ohms");
    CHECK(made.steps[0].red == "F2.out");
    CHECK(made.steps[0].black == "K2.in");
    CHECK(made.steps[0].value == 98);
    CHECK(std::isinf(made.steps[1].value));
    CHECK(made.steps[2].value == Approx(3.1e-3));
    CHECK(made.steps[2].at_A == 10);
    CHECK(made.steps[3].value == -12);
}

TEST_CASE("a mistake in the readings is told at its place") {
    CHECK(mistakes("loom 2\n") == "1:1 wrong-edition: this program reads edition 1\n");
    CHECK(mistakes("reading 4 { ohms }\n") ==
          "1:1 unknown-statement: there is no statement 'reading' here\n");
    CHECK(mistakes("step four { ohms, reads 1 ohm }\n") ==
          "1:6 no-number: a step has a number, as on the sheet\n");
    CHECK(mistakes("step 4 ohms\n") == "1:8 no-block: a block in braces is missing here\n");
    CHECK(mistakes("step 4 { watts, reads 1 W }\n") ==
          "1:10 unknown-meter: 'watts' is nothing that a meter measures here\n");
    CHECK(mistakes("step 4 { ohms, red A, black B, reads 1 V }\n") ==
          "1:38 bad-quantity: '1 V' is no resistance\n");
    CHECK(mistakes("step 4 { volts, red A, black B, reads twelve V }\n") ==
          "1:39 bad-quantity: 'twelve V' is no voltage\n");
    CHECK(mistakes("step 4 { ohms, reads 1 ohm, by me }\n") ==
          "1:29 unknown-attribute: there is no 'by' here\n");
    CHECK(mistakes("measured \"Cart\" { weather wet }\n") ==
          "1:19 unknown-attribute: there is no 'weather' here\n");
}

TEST_CASE("no text of readings makes the reader fall over") {
    for (const char* text : {"",
                             "\n\n",
                             "step",
                             "step {",
                             "step 4",
                             "step 4 {",
                             "step 4 { ohms",
                             "step 4 { ohms, reads",
                             "step 4 { ohms, reads 1",
                             "step 4 { ohms, reads 1 ohm at",
                             "at-rest",
                             "at-rest B1",
                             "at-rest B1 {",
                             "measured",
                             "measured \"",
                             "measured \"x",
                             "{",
                             "}",
                             ",",
                             "\"",
                             "step 99999999999999999999 { ohms }",
                             "step -1 { ohms, reads 1 ohm }",
                             "loom",
                             "\xff\xfe",
                             "step 4 { ohms, reads 1e400 ohm }"}) {
        INFO(text);
        CHECK(read_measured("x", text).steps.empty());
    }
}

}  // namespace measured_text_test
