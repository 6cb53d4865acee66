// A lead that carries next to nothing, bundled with conductors that get hotter than its insulation stands.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace insulation_mixed_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A dough mixer: a heater by leads with silicone, and a sensor beside them that draws `sensor_A`.
Results mixer(const std::string& sensor_limit, double heater_A = 70, double sensor_A = 0.02,
              const std::string& bundle = ", in L1", const std::string& hot = "silicone 180 degC") {
    return check_text(fmt::format(
        R"(loom 1
harness "Dough mixer" {{ ambient 10..40 degC, insulation pvc 90 degC }}
pack B1 {{ voltage 44..57.6 V, resistance 8..20 mohm, capacity 220 Ah, discharge 150 A, charge 30 A }}
fuse F1 {{ 100 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }}
fuse F2 {{ 1 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, rated-at 25 degC }}
switch S1 {{ 80 V dc, carries 120 A, makes 500 A, breaks 120 A at 60 V dc }}
bundle L1 {{ wrap taped, length 0.7 m }}
load E1 {{ 48 V, {} A, acts-as current }}
load E2 {{ 48 V, {} A, acts-as current }}
busbar X1 {{ studs 4, carries 150 A }}
busbar X2 {{ studs 4, carries 150 A }}
route B1.+ (W1 35 mm2, 0.1 m, red) F1 (W2 35 mm2, 0.2 m, red) S1 (W3 35 mm2, 0.2 m, red) X1.1
route X1.2 (W4 10 mm2, 0.8 m, red, insulation {}, in L1) E1 (W5 10 mm2, 0.8 m, black, insulation {}, in L1) X2.1
route B1.- (W6 35 mm2, 0.2 m, black) X2.2
route X1.3 (direct) F2 (W7 0.5 mm2, 0.8 m, yellow, insulation {}{}) E2 (W8 0.5 mm2, 0.8 m, black) X2.3
mode off {{ others at rest }}
mode on {{ others at rest, S1 closed }}
)",
        heater_A, sensor_A, hot, hot, sensor_limit, bundle));
}

}  // namespace

TEST_CASE("a sensor lead taped to hot leads is held to the temperature that its bundle gives it") {
    const Results results = mixer("pvc 70 degC");
    const Finding* finding = finding_of(results, "insulation-mixed", "W7");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    const double gets_degC = figure(*finding, "temperature");
    CHECK(gets_degC > 75);
    CHECK(gets_degC < 120);
    const auto limit = [](double degC) { return fmt::format("pvc {:.3f} degC", degC); };
    CHECK(gravest_of(mixer(limit(gets_degC * 0.999)), "insulation-mixed", "W7") == Severity::warning);
    // Outermost it is in order; against the hot lead itself it may not be.
    const Results outermost = mixer(limit(gets_degC * 1.001));
    CHECK(gravest_of(outermost, "insulation-mixed", "W7") == Severity::note);
    const double most_degC = figure(*finding_of(outermost, "insulation-mixed", "W7"), "temperature");
    CHECK(most_degC > gets_degC);
    CHECK_FALSE(finding_of(mixer(limit(most_degC * 1.001)), "insulation-mixed"));
}

TEST_CASE("apart from the hot leads, or with those cool, it is in order") {
    CHECK_FALSE(finding_of(mixer("pvc 70 degC", 70, 0.02, ""), "insulation-mixed"));
    CHECK_FALSE(finding_of(mixer("pvc 70 degC", 20), "insulation-mixed"));
}

TEST_CASE("leads of one insulation are held to their ampacity alone") {
    CHECK_FALSE(finding_of(mixer("pvc 70 degC", 70, 0.02, ", in L1", "pvc 70 degC"), "insulation-mixed"));
}

}  // namespace insulation_mixed_test
