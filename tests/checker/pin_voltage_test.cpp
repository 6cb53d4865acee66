// Supply pins that say their voltage are held against what arrives there, as loads are.
#include <catch2/catch.hpp>

#include <string>

#include "tests/checker/checking.hpp"

namespace pin_voltage_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A sensor on a 24 V pack of 20..28 V.
Results sensor_of(const std::string& voltage) {
    return check_text(R"(loom 1
harness "Pump skid" { ambient 5..35 degC }
pack B1 { voltage 20..28 V, resistance 20 mohm, discharge 60 A, charge 20 A, capacity 40 Ah }
fuse F1 { 5 A, 58 V dc, breaks 2 kA at 58 V dc, curve iso8820-3 }
device A1 "level sensor" { pin in supply )" +
                      voltage + R"( 30 mA, pin gnd return }
route B1.+ (W1 1 mm2, 0.1 m, red) F1 (W2 1 mm2, 1 m, red) A1.in
route B1.- (W3 1 mm2, 1 m, black) A1.gnd
mode on { others at rest }
)");
}

}  // namespace

TEST_CASE("a sensor is held against the range its supply pin says") {
    CHECK(gravest_of(sensor_of("18..27.97 V"), "input-voltage", "A1") == Severity::error);
    CHECK_FALSE(gravest_of(sensor_of("18..28.03 V"), "input-voltage", "A1"));
    CHECK(gravest_of(sensor_of("20.02..30 V"), "undervoltage", "A1") == Severity::warning);
    CHECK_FALSE(gravest_of(sensor_of("19.97..30 V"), "undervoltage", "A1"));
    CHECK(gravest_of(sensor_of("29..30 V"), "undervoltage", "A1") == Severity::error);
}

TEST_CASE("a sensor with one voltage printed on it is on the right rail, or is told") {
    CHECK(gravest_of(sensor_of("5 V"), "wrong-rail", "A1") == Severity::error);
    // 1.35 x 20.75 V = 28.01 V, 0.7 x 39.95 V = 27.97 V
    CHECK(gravest_of(sensor_of("20.7 V"), "wrong-rail", "A1") == Severity::error);
    CHECK_FALSE(gravest_of(sensor_of("20.75 V"), "wrong-rail", "A1"));
    CHECK_FALSE(gravest_of(sensor_of("39.95 V"), "wrong-rail", "A1"));
    CHECK(gravest_of(sensor_of("40.05 V"), "wrong-rail", "A1") == Severity::error);
    CHECK_FALSE(gravest_of(sensor_of(""), "wrong-rail", "A1"));
}

}  // namespace pin_voltage_test
