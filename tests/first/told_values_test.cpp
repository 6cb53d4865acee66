// What people type for a value on a command line.
#include <catch2/catch.hpp>

#include "parser/first/first_harness.hpp"

namespace told_values_test {

using namespace loomward;

TEST_CASE("a value is read with or without its blank, and what is none is told") {
    struct Row {
        std::string typed;
        Dimension dimension;
        bool range;
        std::string text, trouble;
    };
    const Row row = GENERATE(values<Row>({
        {"40A", Dimension::current, false, "40 A", ""},
        {" 40  A ", Dimension::current, false, "40 A", ""},
        {"2.5kA", Dimension::current, false, "2.5 kA", ""},
        {"40 amps", Dimension::current, false, "40 A", ""},
        {"40..54.6V", Dimension::voltage, true, "40..54.6 V", ""},
        {"-5..40 degC", Dimension::temperature, true, "-5..40 degC", ""},
        {"0 degC", Dimension::temperature, false, "0 degC", ""},
        {"60", Dimension::current, false, "", "60 has no unit: 60 A"},
        {"sixty", Dimension::current, false, "", "'sixty' is no number with a unit, as 100 A"},
        {"48 V", Dimension::voltage, true, "", "48 V is one number; both ends are wanted, as 40..58 V"},
        {"48 V", Dimension::current, false, "", "48 V is not a current, as 100 A"},
        {"40 A 3", Dimension::current, false, "", "'3' is more than the current"},
        {"40 furlongs", Dimension::current, false, "", "'furlongs' is not a unit"},
        {"0 A", Dimension::current, false, "", "0 A is not between 0 to 50 kA"},
        {"60 kA", Dimension::current, false, "", "60 kA is not between 0 to 50 kA"},
        {"", Dimension::current, false, "", "a value is missing, as 100 A"},
    }));
    CAPTURE(row.typed);
    const ToldValue told = told_value(row.typed, row.dimension, row.range);
    CHECK(told.text == row.text);
    CHECK(told.trouble == row.trouble);
}

TEST_CASE("several values stand in the order of the language, whatever the order of typing") {
    struct Row {
        std::string typed, text, trouble;
    };
    const Row row = GENERATE(values<Row>({
        {"54.6V 5A", "54.6 V 5 A", ""},
        {"5 A, 54.6 V", "54.6 V 5 A", ""},
        {"54.6 V", "", "its current is missing, as 100 A"},
        {"5 A", "", "its voltage is missing, as 48 V"},
        {"5 A 6 A 12 V", "", "5 A and 6 A: one of them only"},
        {"12 V 20 W", "", "20 W is not what belongs here"},
    }));
    CAPTURE(row.typed);
    const ToldValue told = told_values(row.typed, {Dimension::voltage, Dimension::current});
    CHECK(told.text == row.text);
    CHECK(told.trouble == row.trouble);
}

TEST_CASE("a load is words, then what stands on it") {
    struct Row {
        std::string typed, label, values, trouble;
    };
    const Row row = GENERATE(values<Row>({
        {"head lamp 12V 10W", "head lamp", "12 V;10 W;", ""},
        {"horn 3A", "horn", "3 A;", ""},
        {"10 W", "", "10 W;", ""},
        {"pump", "pump", "", ""},
        {"pump 10 W 3 A", "", "",
         "10 W beside 3 A: a load has a voltage, and one of power, current or resistance"},
        {"pump 3 m", "", "", "3 m is not what a load has: a voltage, and a power or a current"},
        {"pump 12", "", "", "12 has no unit"},
        {"", "", "", "what is it? a name and what stands on it, as: horn 12 V 3 A"},
    }));
    CAPTURE(row.typed);
    const ToldLoad told = told_load(row.typed);
    CHECK(told.trouble == row.trouble);
    CHECK(told.load.label == row.label);
    std::string values;
    for (const std::string& value : told.load.values) values += value + ";";
    CHECK(values == row.values);
}

}  // namespace told_values_test
