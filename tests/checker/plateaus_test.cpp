// Plateaus of minutes: what contacts, plugs, fuses and breakers are held to is the heat at the end of the
// plateau, with their own time constants, and not the effective value of the whole cycle.
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/checker/checking.hpp"

namespace plateaus_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// 100 A for 5 min, then 20 A for 10 min: 60 A effective, sqrt((100^2 5 + 20^2 10) / 15).
constexpr double high_A = 100, low_A = 20, high_s = 300, low_s = 600;

// The steady current that warms as much as the end of the high level of the settled cycle, by two first-order
// equations: x1 = h + (x0 - h) e^(-th/tau), x0 = l + (x1 - l) e^(-tl/tau), x in A2.
double warm_A(double tau_s) {
    const double h = high_A * high_A, l = low_A * low_A;
    const double a = std::exp(-high_s / tau_s), b = std::exp(-low_s / tau_s);
    return std::sqrt((h * (1 - a) + l * a * (1 - b)) / (1 - a * b));
}

Results wagon(const std::string& contact, const std::string& device) {
    return check_text(
        "loom 1\nharness \"stone wagon\" { ambient 23..23 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 46..54 V, resistance 5..8 mohm, capacity 200 Ah, discharge 200 A, charge "
        "50 A }\n" +
        device + contact +
        "load M1 { 48 V, 100 A, acts-as current, works 30..60 V }\n"
        "route B1.+ (W1 70 mm2, 0.2 m, red) F1 (W2 70 mm2, 0.2 m, red) S1 (W3 70 mm2, 0.2 m, red) "
        "M1 (W4 70 mm2, 0.2 m, black) B1.-\n"
        "mode haul { S1 closed, M1 draws 100 A for 5 min then 20 A for 10 min repeating }\n");
}
std::string amperes(double value) {
    return to_text(value, Dimension::current, 8);
}
std::string switch_of(double carries_A, const std::string& more = {}) {
    return "switch S1 { 80 V dc, carries " + amperes(carries_A) + ", breaks 150 A at 60 V dc" + more + " }\n";
}
const std::string large_fuse = "fuse F1 { 150 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n";

std::optional<Severity> of_contact(double carries_A, const std::string& more = {}) {
    return gravest_of(wagon(switch_of(carries_A, more), large_fuse), "overloaded-contact", "S1");
}
std::optional<Severity> of_device(const std::string& kind, double rated_A, const std::string& policy = {}) {
    return gravest_of(
        wagon(switch_of(200), kind + " F1 { " + amperes(rated_A) +
                                  ", 80 V dc, breaks 6 kA at 80 V dc, curve unknown }\n" + policy),
        "overloaded-fuse", "F1");
}

}  // namespace

TEST_CASE("the effective value of the cycle is far below what its plateau warms a part to") {
    CHECK(warm_A(1e7) == Approx(60).epsilon(1e-3));
    CHECK(warm_A(60) == Approx(99.68).epsilon(1e-4));
    CHECK(warm_A(300) == Approx(82.38).epsilon(1e-4));
}

TEST_CASE("a contact is held to the end of a plateau, at both ends of what is usual for contacts") {
    CHECK(of_contact(warm_A(60) * 1.001) == std::nullopt);
    CHECK(of_contact(warm_A(60) * 0.999) == Severity::warning);
    CHECK(of_contact(warm_A(300) * 1.001) == Severity::warning);
    CHECK(of_contact(warm_A(300) * 0.999) == Severity::error);
}

TEST_CASE("a contact that says what it withstands has its own time constant") {
    // 1 kA for 1 s from cold as warm as 90 A for long: (1000 / 90)^2 (1 - exp(-1 s / tau)) = 1.
    const double rated_A = 90, tau_s = -1 / std::log1p(-std::pow(rated_A / 1000, 2));
    CHECK(warm_A(tau_s) > rated_A);  // 123 s: 95.3 A
    CHECK(of_contact(rated_A, ", withstands 1 kA for 1 s") == Severity::error);
    // With twice that the time constant is 4 times as long, and the plateau 75 A.
    CHECK(of_contact(rated_A, ", withstands 2 kA for 1 s") == std::nullopt);
}

TEST_CASE("fuses and breakers are held to the end of a plateau, not to its share of the cycle") {
    const std::string all = "policy { continuous-fuse-load 100 % }\n";
    for (const char* kind : {"fuse", "breaker"}) {
        CAPTURE(kind);
        CHECK(of_device(kind, warm_A(300) * 1.001, all) == std::nullopt);
        CHECK(of_device(kind, warm_A(300) * 0.999, all).has_value());
    }
}

}  // namespace plateaus_test
