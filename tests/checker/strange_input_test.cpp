// Inputs that once crashed, stalled or chattered, reduced and set in a scenario of our own.
#include <fmt/format.h>

#include <chrono>

#include "tests/checker/checking.hpp"

namespace strange_input_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

bool follows_everything(const Results& results) {
    return std::none_of(results.findings.begin(), results.findings.end(),
                        [](const Finding& finding) { return finding.rule == "not-solved"; });
}

}  // namespace

TEST_CASE("a converter of unknown output is checked like any other") {
    const std::string output = GENERATE("unknown V 4 A", "12 V unknown A", "unknown V unknown A");
    const Results results = check_text(fmt::format(R"(loom 1
harness "Peat barge" {{ ambient 0..35 degC }}
pack B1 {{ voltage 20..29 V, resistance 12 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }}
fuse F1 {{ 20 A, 58 V dc, breaks 5 kA at 58 V dc, curve iso8820-3 }}
switch S1 {{ 48 V dc, carries 30 A, makes 300 A, breaks 30 A at 32 V dc }}
converter D1 {{ input 18..32 V, output {}, efficiency 88 %, negative common, capacitance 10 uF, spare out- }}
load E1 {{ 12 V, 20 W }}
route B1.+ (W1 4 mm2, 0.2 m, red) F1 (W2 4 mm2, 0.4 m, red) S1 (W3 4 mm2, 0.4 m, red) D1.in+
route D1.in- (W4 4 mm2, 0.6 m, black) B1.-
route D1.out+ (W5 1.5 mm2, 1 m, red) E1 (W6 1.5 mm2, 1 m, black) D1.in-
mode off {{ others at rest }}
mode lit {{ S1 closed }}
)",
                                                   output));
    CHECK(!results.points.empty());
}

TEST_CASE(
    "the course of charging a converter's input is followed through its cut-off, whatever its capacitance") {
    const std::string capacitance = GENERATE("1 uF", "2.2 uF", "4.7 uF", "10 uF", "47 uF", "220 uF", "1 mF");
    const auto start = std::chrono::steady_clock::now();
    const Results results = check_text(fmt::format(R"(loom 1
harness "Pole cart" {{ ambient 0..30 degC, insulation pvc 90 degC }}
pack B1 {{ voltage 40..54.6 V, resistance 40 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }}
fuse F1 {{ 10 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-3 }}
switch S1 {{ 80 V dc, carries 20 A, makes 80 A, breaks 20 A at 60 V dc }}
connector J1 {{ mate P1, half socket, contacts + -, carries 20 A, 90 V, takes 1.5..4 mm2, rated-at 30 degC, limit 105 degC }}
converter D1 {{ input 30..60 V, output 12 V 10 A, efficiency about 85 %, negative common, capacitance {} }}
load E1 {{ 12 V, 20 W }}
route B1.+ (W1 2.5 mm2, 0.2 m, red) F1 (W2 2.5 mm2, 0.4 m, red) S1 (W3 2.5 mm2, 0.4 m, red) J1.+
route J1.- (W4 2.5 mm2, 0.4 m, black) B1.-
route P1.+ (W5 2.5 mm2, 0.4 m, red) D1.in+
route D1.in- (W6 2.5 mm2, 0.4 m, black) P1.-
route D1.out+ (W7 1 mm2, 1 m, red) E1 (W8 1 mm2, 1 m, black) D1.out-
mode apart {{ S1 closed, J1 unmated }}
mode together {{ S1 closed, after apart 1 min }}
)",
                                                   capacitance));
    CHECK(follows_everything(results));
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    CHECK(took.count() < 2);
}

TEST_CASE("a converter beside a controller has not charged its capacitors while nothing feeds either") {
    const std::string reverse = GENERATE("", "reverse passes, ", "reverse blocked, ");
    const std::string text = fmt::format(R"(loom 1
harness "Vine tractor" {{ ambient 0..30 degC, insulation pvc 90 degC }}
pack B1 {{ voltage 70..100.8 V, resistance 40 mohm, capacity 20 Ah, discharge 120 A, charge 50 A }}
fuse F1 {{ 80 A, 125 V dc, breaks 10 kA at 125 V dc, curve iso8820-5 }}
switch S1 {{ 125 V dc, carries 120 A, makes 100 A, breaks 80 A at 110 V dc }}
controller U1 {{ phase-peak 60 A, input 50..110 V, capacitance 1.5 mF, regen none, supply-limit 40 A, spare U V W }}
converter D1 {{ input 36..110 V, output 24 V 6 A, efficiency 85 %, negative common, {}capacitance 220 uF }}
load E1 {{ 24 V, 30 W }}
fuse F3 {{ 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 50 A2s }}
route B1.+ (W1 25 mm2, 0.15 m, red) F1 (W2 25 mm2, 0.35 m, red) S1 (W3 25 mm2, 0.4 m, red) U1.+
route U1.- (W5 25 mm2, 0.4 m, black) B1.-
route S1.out (direct) F3 (W28 1 mm2, 0.5 m, red) D1.in+
route U1.- (W29 1.5 mm2, 0.5 m, black) D1.in-
route D1.out+ (W30 1 mm2, 1 m, red) E1 (W31 1 mm2, 1 m, black) D1.out-
mode off {{ others at rest }}
mode on {{ after off 1 min, S1 closed, U1 at rest }}
)",
                                         reverse);
    const std::vector<std::string> errors = found(check_text(text), Severity::error);
    CHECK(std::find(errors.begin(), errors.end(), "no-precharge S1") != errors.end());
}

}  // namespace strange_input_test
