// Bands of protective devices: at their published gates, between them, beyond them, and by ambient.
#include <catch2/catch.hpp>

#include <cmath>

#include "checker/parts/time_current.hpp"
#include "checker/tables/protection.hpp"
#include "tests/checker/checking.hpp"

namespace time_current_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// The band of one device of this text, at these ambients.
Band band_of_text(const std::string& device, double coldest_degC = 23, double hottest_degC = 23) {
    NoFiles files;
    ReadResult read = read_harness_text(
        "device.loom", "loom 1\nharness \"device\" { ambient 20..30 degC }\n" + device, files, {});
    for (const Diagnostic& mistake : read.mistakes) FAIL(mistake.message);
    const Harness harness = std::move(*read.harness);
    const Facts facts(harness);
    return band_of(facts, PartId(0), coldest_degC, hottest_degC);
}
constexpr double never = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("a strip fuse opens between the gates of ISO 8820-5, straight in log-log between them") {
    // 1.35 x: 120..1800 s, 2 x: 1..15 s, 3.5 x: 0.3..5 s, 6 x: 0.1..1 s (memory)
    const Band band = band_of_text("fuse F1 { 100 A, 80 V dc, breaks 2 kA, curve iso8820-5 }");
    CHECK(band.slow_s(134.9) == never);
    CHECK(band.slow_s(135) == Approx(1800));
    CHECK(band.slow_s(200) == Approx(15));
    CHECK(band.slow_s(350) == Approx(5));
    CHECK(band.slow_s(600) == Approx(1));
    CHECK(*band.fast_s(135) == Approx(120));
    CHECK(*band.fast_s(600) == Approx(0.1));
    CHECK(*band.fast_s(99) == never);
    // Half way between 2 x and 3.5 x in the logarithm: the geometric mean of the times.
    CHECK(band.slow_s(std::sqrt(200.0 * 350)) == Approx(std::sqrt(15.0 * 5)));
    // Beyond the last gate the joule integral stays: 600 A for 1 s are 360 kA2s.
    CHECK(band.slow_s(6000) == Approx(360e3 / (6000.0 * 6000)));
    CHECK(band.carried_on(6000));
    CHECK_FALSE(band.carried_on(600));
}

TEST_CASE("a stated operating integral replaces what is carried on") {
    const Band band = band_of_text(
        "fuse F1 { 100 A, 80 V dc, breaks 2 kA, curve iso8820-5, melts 20 kA2s, clears 60 kA2s }");
    CHECK(band.slow_s(6000) == Approx(60e3 / 36e6));
    CHECK(*band.fast_s(6000) == Approx(20e3 / 36e6));
    CHECK_FALSE(band.carried_on(6000));
    CHECK(band.slow_s(135) == Approx(1800).epsilon(0.999));  // where the gate is quicker, it counts
}

TEST_CASE("a stated operating integral above what is carried on counts, up to the time of the last gate") {
    const std::string device = "fuse F1 { 16 A, 125 V dc, breaks 20 kA, curve iec60269-gg, clears ";
    const Band band = band_of_text(device + "90 kA2s }"), quick = band_of_text(device + "300 A2s }");
    CHECK(band.slow_s(3000) == Approx(90e3 / 9e6));
    CHECK(band.slow_s(500) == Approx(0.1));  // by the gate, however much it would take
    CHECK(quick.slow_s(3000) == Approx(300 / 9e6));
}

TEST_CASE("a breaker that states less let-through is never the slower one") {
    double before_s = std::numeric_limits<double>::infinity();
    for (const char* clears : {"200 kA2s", "60 kA2s", "30 kA2s", "5 kA2s", "1 kA2s"}) {
        const Band band =
            band_of_text(std::string("breaker F1 { 16 A, 80 V dc, breaks 10 kA at 80 V dc, point 23 A "
                                     "60..3600 s, point 48 A 2..60 s, point 160 A 1..20 ms, clears ") +
                         clears + " }");
        const double now_s = band.slow_s(5800);
        CHECK(now_s <= before_s);
        CHECK(now_s >= 1e-3 * 0.999);  // no quicker than its points have it
        CHECK(band.slow_s(160) == Approx(20e-3));
        before_s = now_s;
    }
    CHECK(before_s == Approx(1e-3));
}

TEST_CASE("class gG: the four gates of IEC 60269-1 Table 3") {
    const Band band = band_of_text("fuse F1 { 63 A, 160 V dc, breaks 20 kA, curve iec60269-gg }");
    CHECK(*band.fast_s(160) == Approx(10));
    CHECK(band.slow_s(320) == Approx(5));
    CHECK(*band.fast_s(450) == Approx(0.1));
    CHECK(band.slow_s(820) == Approx(0.1));
    CHECK(band.slow_s(1.59 * 63) == never);
}

TEST_CASE("a circuit breaker: thermal and magnetic points of IEC 60898, by kind of current") {
    // 1.45 x within 3600 s, 2.55 x 1..60 s; direct current: 7 x holds 0.1 s, 15 x is open by then (memory)
    const Band band =
        band_of_text("breaker Q1 { 20 A, 60 V dc, breaks 6 kA, curve iec60898-c, rated-at 23 degC }");
    CHECK(band.slow_s(1.45 * 20) == Approx(3600));
    CHECK(band.slow_s(2.55 * 20) == Approx(60));
    CHECK(band.slow_s(15 * 20) == Approx(0.1));
    // However large: this standard promises no more. What is usual beyond is the joule integral of energy
    // limiting class 3, EN 60898-1 (memory): at 3 kA 22 kA2s for a C 20.
    CHECK_FALSE(band.promised(3000));
    CHECK(band.unpromised_s(3000) == Approx(0.1));
    CHECK(band.slow_s(3000) == Approx(22e3 / (3000.0 * 3000)));
    CHECK(*band.fast_s(7 * 20) == Approx(0.1));
    CHECK(*band.fast_s(7.1 * 20) == Approx(1e-3).epsilon(0.01));
    const Band ac =
        band_of_text("breaker Q1 { 20 A, 230 V ac, breaks 6 kA, curve iec60898-c, rated-at 23 degC }");
    CHECK(ac.slow_s(10 * 20) == Approx(0.1));
}

TEST_CASE("an adjustable release opens by its setting, within a fifth of it") {
    const Band band = band_of_text(
        "breaker Q1 { 50 A, 60 V dc, breaks 6 kA, curve iec60947-2, instantaneous 500 A, rated-at 23 degC }");
    CHECK(band.slow_s(600) == Approx(0.2));
    CHECK(band.slow_s(599) == Approx(3600 * 65.0 * 65 / (599.0 * 599)).epsilon(0.001));  // thermal until then
    CHECK(band.carried_on(300));
    CHECK_FALSE(band.carried_on(600));
    CHECK(*band.fast_s(400) == Approx(0.2));
    const Band thermal =
        band_of_text("breaker Q1 { 50 A, 60 V dc, breaks 6 kA, curve iec60947-2, rated-at 23 degC }");
    CHECK(thermal.slow_s(65) == Approx(3600));
    CHECK(thermal.carried_on(600));
}

TEST_CASE("points of a datasheet are a band, or a line that may be 10 % off in current") {
    const Band band =
        band_of_text("fuse F1 { 50 A, 80 V dc, breaks 2 kA, point 100 A 5..50 s, point 500 A 10..80 ms }");
    CHECK(*band.fast_s(100) == Approx(5));
    CHECK(band.slow_s(500) == Approx(0.08));
    CHECK(band.slow_s(99) == never);
    const Band line =
        band_of_text("fuse F1 { 50 A, 80 V dc, breaks 2 kA, point 100 A 20 s, point 500 A 50 ms }");
    CHECK(line.slow_s(110.001) == Approx(20).epsilon(0.001));
    CHECK(*line.fast_s(90.001) == Approx(20).epsilon(0.001));
}

TEST_CASE("a battery management opens by its thresholds, the quickest that is passed") {
    const Band band = band_of_text(
        "bms Q1 { side low, ports common, discharge 80 A, charge 20 A, trips 150 A after 2 s, trips 600 A "
        "after 1 ms, "
        "resistance 1 mohm }");
    CHECK(band.slow_s(149) == never);
    CHECK(band.slow_s(150) == Approx(2));
    CHECK(band.slow_s(700) == Approx(1e-3));
    CHECK_FALSE(band.carried_on(5000));
}

TEST_CASE("a fuse is slower in the cold and quicker in the heat: 0.2 % a kelvin") {
    const std::string fuse = "fuse F1 { 100 A, 80 V dc, breaks 2 kA, curve iso8820-5, rated-at 20 degC }";
    CHECK(band_of_text(fuse, -30, 20).slow_s(135 * 1.1) == Approx(1800));
    CHECK(*band_of_text(fuse, 20, 70).fast_s(135 * 0.9) == Approx(120));
}

TEST_CASE("a rating that a family does not have leaves the band empty") {
    CHECK(band_of_text("fuse F1 { 5 A, 80 V dc, breaks 2 kA, curve iso8820-5 }").slow.empty());
}

TEST_CASE("no band ever rises with the current, and its fast edge is never the slower one") {
    std::size_t bands = 0;
    for (const ProtectionFamily& family : protection_families())
        for (const double rated_A : {0.5, 1.0, 2.0, 5.0, 10.0, 16.0, 30.0, 63.0, 100.0, 400.0}) {
            const std::string kind = family.is_breaker ? "breaker" : "fuse";
            const Band band =
                band_of_text(kind + " X { " + to_text(rated_A, Dimension::current) +
                             ", 80 V dc, breaks 2 kA at 80 V dc, curve " + std::string(family.word) + " }");
            if (band.slow.empty()) continue;
            ++bands;
            double fast_before = never, slow_before = never;
            for (double current_A = 0.5 * rated_A; current_A < 1000 * rated_A; current_A *= 1.07) {
                INFO(family.word << " " << rated_A << " A at " << current_A << " A");
                const double slow = band.slow_s(current_A);
                CHECK(slow <= slow_before * (1 + 1e-12));
                slow_before = slow;
                if (const auto fast = band.fast_s(current_A)) {
                    CHECK(*fast <= fast_before * (1 + 1e-12));
                    CHECK(*fast <= slow * (1 + 1e-9));
                    fast_before = *fast;
                }
            }
        }
    CHECK(bands > 40);
}

TEST_CASE("a breaker opens earlier when hot and later when cold, and its magnetic release does neither") {
    const std::string breaker = "breaker F1 { 20 A, 80 V dc, breaks 6 kA, curve iec60898-c, reset hand";
    const Band at_30 = band_of_text(breaker + ", rated-at 30 degC }", 30, 30);
    const Band hot = band_of_text(breaker + ", rated-at 30 degC }", 30, 60),
               cold = band_of_text(breaker + ", rated-at 30 degC }", -10, 30);
    // 1 % a kelvin: what it opens at 40 A for, it opens at 28 A for 30 K above, and at 56 A 40 K below.
    CHECK(*hot.fast_s(40 * 0.7) == Approx(*at_30.fast_s(40)));
    CHECK(cold.slow_s(40 * 1.4) == Approx(at_30.slow_s(40)));
    CHECK(*hot.fast_s(40) < *at_30.fast_s(40));
    CHECK(cold.slow_s(40) > at_30.slow_s(40));
    CHECK(hot.slow_s(40) == Approx(at_30.slow_s(40)));
    CHECK(hot.holds_A == Approx(0.7 * at_30.holds_A));
    // 15 x In of direct current (memory): the magnetic release must act.
    CHECK(at_30.slow_s(301) <= 0.1);
    CHECK(cold.slow_s(301) <= 0.1);
    // Where nothing says what it is rated at: 30 degC, and when cold 40 degC where it is not to IEC 60898.
    const Band unsaid = band_of_text(breaker + " }", 30, 30);
    CHECK(unsaid.slow_s(40) == Approx(at_30.slow_s(40)));
    const std::string industrial = "breaker F1 { 50 A, 80 V dc, breaks 6 kA, curve iec60947-2, reset hand";
    const Band stated = band_of_text(industrial + ", rated-at 30 degC }", 30, 30),
               open = band_of_text(industrial + " }", 30, 30);
    CHECK(open.slow_s(200) > stated.slow_s(200));
    // Nothing tells when it opens at the earliest, said or not.
    CHECK_FALSE(open.fast_s(200));
    CHECK_FALSE(stated.fast_s(200));
}

TEST_CASE("a fuse of a box goes by its inside, a blade fuse steeper above 65 degC") {
    const auto carries_A = [](const std::string& device, double degC) {
        NoFiles files;
        ReadResult read = read_harness_text(
            "device.loom", "loom 1\nharness \"device\" { ambient 20..30 degC }\n" + device, files, {});
        const Harness harness = std::move(*read.harness);
        const Facts facts(harness);
        const auto rated = rated_at(facts, PartId(0), degC);
        CHECK(rated->lowered());
        CHECK(rated->working().find(" = 40 A x (1 - ") != std::string::npos);
        return rated->current_A;
    };
    const std::string
        blade = "fuse F1 { 40 A, 80 V dc, breaks 2 kA, curve iso8820-3, rated-at 25 degC }",
        strip = "fuse F1 { 40 A, 80 V dc, breaks 2 kA, curve iso8820-5, rated-at 25 degC }",
        breaker = "breaker F1 { 40 A, 80 V dc, breaks 2 kA, curve iec60947-2, reset hand, rated-at 40 degC }";
    CHECK(carries_A(blade, 65) == Approx(40 * (1 - 0.002 * 40)));
    CHECK(carries_A(blade, 85) == Approx(40 * (1 - 0.002 * 60 - 0.003 * 20)));
    CHECK(carries_A(strip, 85) == Approx(40 * (1 - 0.002 * 60)));
    // Thermal-magnetic at 60 degC, calibrated at 40 degC: 0.85 and 0.88 of two application guides
    // (secondary).
    CHECK(carries_A(breaker, 60) == Approx(40 * 0.88));
    // The slope of one family of blade fuses above 65 degC (secondary): 34 A at 65 degC, 30 at 85, 25 at 110.
    CHECK(carries_A(blade, 65) - carries_A(blade, 85) == Approx(4));
    CHECK(carries_A(blade, 85) - carries_A(blade, 110) == Approx(5));
}

}  // namespace time_current_test
