// Parts as text, for the tests of plausible ranges: what a part of each kind has to say besides, so that a
// row of a test shows what matters. The part is Z1.
#pragma once
#include "checker/tables/plausible.hpp"
#include "tests/checker/checking.hpp"

namespace loomward::testing::plausible {

inline constexpr auto resistance = "resistance"_attr;
inline constexpr auto contact = "contact-resistance"_attr;
inline constexpr auto cell = "cell-resistance"_attr;
inline constexpr auto capacitance = "capacitance"_attr;

inline Harness harness_of(const std::string& statements) {
    NoFiles files;
    ReadResult read = read_harness_text(
        "test.loom", "loom 1\nharness \"T\" { ambient 10..40 degC }\n" + statements, files, {});
    for (const Diagnostic& mistake : read.mistakes) FAIL(statements << ": " << mistake.message);
    return std::move(*read.harness);
}

inline std::optional<PlausibleRange> range_of(const std::string& statements, Attr attribute,
                                              std::size_t place = 0) {
    const Harness harness = harness_of(statements);
    return plausible_value(harness, harness.find_part("Z1").value(), attribute, place);
}

inline std::string contactor(const std::string& says, const std::string& coil = "48 V unknown") {
    return "contactor Z1 { carries " + says + ", breaks unknown, coil " + coil + " }\n";
}
inline std::string relay(const std::string& says, const std::string& coil = "12 V unknown") {
    return "relay Z1 { contacts no, carries " + says + ", breaks unknown, coil " + coil + " }\n";
}
inline std::string hand_switch(const std::string& carries) {
    return "switch Z1 { 60 V dc, carries " + carries + ", breaks unknown }\n";
}
inline std::string selector(const std::string& carries) {
    return "selector Z1 { terminals com 1 2, position off com, position one com 1, carries " + carries +
           ", breaks unknown }\n";
}
inline std::string fuse(const std::string& says) {
    return "fuse Z1 { 58 V dc, breaks unknown, " + says + " }\n";
}
inline std::string connector(const std::string& carries) {
    return "connector Z1 { mate Y1, half socket, contacts 2, 60 V, carries " + carries +
           ", takes 1..6 mm2, rated-at 30 degC, limit 105 degC }\n";
}
inline std::string cells(const std::string& says) {
    return "pack Z1 { discharge 40 A, charge 10 A, " + says + " }\n";
}
inline std::string controller(const std::string& says) {
    return "controller Z1 { capacitance unknown, regen none, " + says + " }\n";
}
inline std::string converter(const std::string& says) {
    return "converter Z1 { efficiency unknown, " + says + " }\n";
}
inline std::string bms(const std::string& discharge) {
    return "bms Z1 { side low, ports common, discharge " + discharge +
           ", charge unknown, trips unknown, resistance unknown }\n";
}
inline std::string spliced(const std::string& method, const std::string& area) {
    return "splice Z1 { " + method + " }\nstud Y1\nstud Y2\nroute Y1 (W1 " + area + ", 1 m) Z1 (W2 " + area +
           ", 1 m) Y2\n";
}

}  // namespace loomward::testing::plausible
