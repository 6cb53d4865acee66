#include <catch2/catch.hpp>

#include <set>

#include "parser/language/quantity.hpp"
#include "parser/language/units.hpp"
#include "parser/text/number_text.hpp"

namespace quantity_test {

using namespace loomward;

TEST_CASE("a quantity is printed in the unit whose number reads best, without exponents") {
    struct Row {
        double value;
        Dimension dimension;
        int digits;
        std::string text;
    };
    const Row row = GENERATE(values<Row>({
        {48, Dimension::voltage, 3, "48 V"},
        {0.85, Dimension::voltage, 3, "850 mV"},
        {0.0012, Dimension::resistance, 3, "1.2 mohm"},
        {0.00004, Dimension::resistance, 3, "40 uohm"},
        {47, Dimension::resistance, 3, "47 ohm"},
        {100e6, Dimension::resistance, 3, "100 Mohm"},
        {2500, Dimension::current, 3, "2.5 kA"},
        {999.6, Dimension::current, 3, "1 kA"},
        {999.4, Dimension::current, 3, "999 A"},
        {123.456, Dimension::current, 3, "123 A"},
        {123.456, Dimension::current, 5, "123.46 A"},
        {0, Dimension::current, 3, "0 A"},
        {-5, Dimension::temperature, 3, "-5 degC"},
        {-0.0, Dimension::temperature, 3, "0 degC"},
        {16, Dimension::area, 3, "16 mm2"},
        {0.75, Dimension::area, 3, "0.75 mm2"},
        {0.15, Dimension::length, 3, "0.15 m"},
        {0.05, Dimension::length, 3, "50 mm"},
        {0.003, Dimension::capacitance, 3, "3 mF"},
        {0.4e-3, Dimension::time, 3, "400 us"},
        {90, Dimension::time, 3, "90 s"},
        {1800, Dimension::time, 3, "30 min"},
        {36000, Dimension::time, 3, "10 h"},
        {80, Dimension::percentage, 3, "80 %"},
        {5, Dimension::charge, 3, "5 Ah"},
        {9, Dimension::torque, 3, "9 Nm"},
        {1500, Dimension::joule_integral, 3, "1.5 kA2s"},
        {3, Dimension::none, 3, "3"},
        {0.1 + 0.2, Dimension::voltage, 3, "300 mV"},
    }));
    CHECK(to_text(row.value, row.dimension, row.digits) == row.text);
}

TEST_CASE("a range, an estimate and an unknown print as they are written") {
    CHECK(to_text(Quantity{40, 58, Dimension::voltage, Knowledge::stated}) == "40..58 V");
    CHECK(to_text(Quantity{0.0015, 0.003, Dimension::resistance, Knowledge::stated}) == "1.5..3 mohm");
    CHECK(to_text(Quantity{50e-6, 20, Dimension::time, Knowledge::stated}) == "50 us to 20 s");
    CHECK(to_text(Quantity{-5, 40, Dimension::temperature, Knowledge::stated}) == "-5..40 degC");
    CHECK(to_text(Quantity{0.018, 0.018, Dimension::resistance, Knowledge::about}) == "about 18 mohm");
    CHECK(to_text(Quantity{0, 0, Dimension::voltage, Knowledge::unknown}) == "unknown");
    // Ends that print alike are one value.
    CHECK(to_text(Quantity{12.0001, 12.0002, Dimension::voltage, Knowledge::stated}) == "12 V");
}

TEST_CASE("every unit is spelt once, belongs to a dimension and is found") {
    std::set<std::string_view> seen;
    for (const UnitInfo& unit : unit_table()) {
        CAPTURE(unit.name);
        CHECK(seen.insert(unit.name).second);
        CHECK(find_unit(unit.name) == &unit);
        CHECK(info(unit.dimension).dimension == unit.dimension);
        CHECK(units_of(unit.dimension).find(unit.name) != std::string::npos);
    }
    for (const DimensionInfo& row : dimension_table()) {
        CAPTURE(row.word);
        CHECK(&info(row.dimension) == &row);
        CHECK(row.lowest < row.highest);
        if (row.dimension == Dimension::none) continue;
        REQUIRE(find_unit(row.unit) != nullptr);
        CHECK(find_unit(row.unit)->factor == 1);
    }
    for (const auto* other : {"", "mm^2", "v", "kOhm", "degc", "furlong"}) CHECK(find_unit(other) == nullptr);
}

TEST_CASE("a unit that is spelt another way is understood for the message") {
    struct Row {
        std::string written;
        Dimension wanted;
        std::string meant;
    };
    const Row row = GENERATE(values<Row>({
        {"mm^2", Dimension::area, "mm2"},
        {"sqmm", Dimension::area, "mm2"},
        {"MM2", Dimension::area, "mm2"},
        {"awg", Dimension::area, "AWG"},
        {"ohms", Dimension::resistance, "ohm"},
        {"Ohm", Dimension::resistance, "ohm"},
        {"kOhm", Dimension::resistance, "kohm"},
        {"MOHM", Dimension::resistance, "mohm"},
        {"ma", Dimension::current, "mA"},
        {"a", Dimension::current, "A"},
        {"amps", Dimension::current, "A"},
        {"v", Dimension::voltage, "V"},
        {"volts", Dimension::voltage, "V"},
        {"VDC", Dimension::voltage, "V"},
        {"degc", Dimension::temperature, "degC"},
        {"C", Dimension::temperature, "degC"},
        {"°C", Dimension::temperature, "degC"},
        {"Ω", Dimension::resistance, "ohm"},
        {"µF", Dimension::capacitance, "uF"},
        {"sec", Dimension::time, "s"},
        {"hrs", Dimension::time, "h"},
        {"feet", Dimension::length, "ft"},
        {"meters", Dimension::length, "m"},
        {"A^2s", Dimension::joule_integral, "A2s"},
        {"nm", Dimension::torque, "Nm"},
        {"bananas", Dimension::length, ""},
    }));
    CAPTURE(row.written);
    CHECK(unit_meant_by(row.written, row.wanted) == row.meant);
}

TEST_CASE("wire gauges have the cross-section that ASTM B258 gives them") {
    // The standard's diameters by its formula and the sections printed in a published wire table
    // (American wire gauge table, mm2 to three figures).
    struct Row {
        std::string text;
        double printed_mm2;
    };
    const Row row = GENERATE(values<Row>({
        {"4/0", 107},
        {"3/0", 85.0},
        {"2/0", 67.4},
        {"1/0", 53.5},
        {"1", 42.4},
        {"2", 33.6},
        {"4", 21.2},
        {"6", 13.3},
        {"8", 8.37},
        {"10", 5.26},
        {"12", 3.31},
        {"14", 2.08},
        {"16", 1.31},
        {"18", 0.823},
        {"20", 0.518},
        {"22", 0.326},
        {"24", 0.205},
    }));
    const auto number = read_number(row.text);
    REQUIRE(number);
    CHECK(awg_to_mm2(static_cast<int>(number->lo)) == Approx(row.printed_mm2).epsilon(0.004));
}

TEST_CASE("ASTM B258 fixes two diameters, 4/0 at 0.46 inch and 36 at 0.005 inch") {
    const auto circle_mm2 = [](double inches) {
        return 3.14159265358979 / 4 * inches * inches * 25.4 * 25.4;
    };
    CHECK(awg_to_mm2(-3) == Approx(circle_mm2(0.46)).epsilon(1e-9));
    CHECK(awg_to_mm2(36) == Approx(circle_mm2(0.005)).epsilon(1e-9));
}

TEST_CASE("numbers are read exactly as from_chars would, and with what is glued on") {
    struct Row {
        std::string text;
        double lo, hi;
        bool range;
        std::string unit;
    };
    const Row row = GENERATE(values<Row>({
        {"12", 12, 12, false, ""},
        {"0.1", 0.1, 0.1, false, ""},
        {"-5", -5, -5, false, ""},
        {"-5..40", -5, 40, true, ""},
        {"3.0..4.2", 3.0, 4.2, true, ""},
        {"16mm2", 16, 16, false, "mm2"},
        {"80%", 80, 80, false, "%"},
        {"1/0", 0, 0, false, ""},
        {"4/0AWG", -3, -3, false, "AWG"},
        {"123456789012345678", 123456789012345678.0, 123456789012345678.0, false, ""},
        {"0.30000000000000004", 0.30000000000000004, 0.30000000000000004, false, ""},
    }));
    CAPTURE(row.text);
    const auto number = read_number(row.text);
    REQUIRE(number);
    CHECK(number->lo == row.lo);
    CHECK(number->hi == row.hi);
    CHECK(number->range == row.range);
    CHECK(number->unit == row.unit);
}

TEST_CASE("what is no number is not read as one") {
    for (const auto* text : {"", "x", "-", ".5", "10-16", "1/2", "5..", "1..x"}) {
        CAPTURE(text);
        CHECK_FALSE(read_number(text));
    }
    for (const auto* text : {"", "-1", "2.5", "1234567890", "3a"}) {
        CAPTURE(text);
        CHECK_FALSE(read_count(text));
    }
    CHECK(read_count("300") == 300);
}

}  // namespace quantity_test
