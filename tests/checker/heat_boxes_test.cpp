// Locations that warm up from what is in them: what counts as lost, by mode, and what it does to the ratings
// of all that is in there.
#include "checker/budget/budget.hpp"
#include "checker/heat/boxes.hpp"
#include "tests/checker/boxes.hpp"

namespace heat_boxes_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A converter of 100 W that turns a tenth of its input to heat, in a box of 2 K/W; its lamp is outside. The
// fuse and a plug are in the box with it.
const std::string bench = R"(loom 1
harness "Well winch" { ambient 0..40 degC, insulation pvc 90 degC }
location tray { ambient 0..40 degC, thermal-resistance 2 K/W }
pack B1 { voltage 44..50 V, resistance 5 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }
fuse F1 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3, resistance 0.1 mohm }
converter D1 {
  at tray
  input 30..60 V, output 12 V 10 A, efficiency 90 %, negative common, reverse blocked, capacitance 1 uF
}
load H1 { 12 V, 8 A, acts-as current, works 9..15 V }
route B1.+ (W1 2.5 mm2, 0.2 m, red) F1 (W2 2.5 mm2, 0.5 m, red) D1.in+
route B1.- (W3 2.5 mm2, 0.2 m, black) D1.in-
route D1.out+ (W4 2.5 mm2, 0.2 m, yellow) H1 (W5 2.5 mm2, 0.2 m, black) D1.out-
mode work { others at rest }
mode rest { H1 off, others at rest }
)";

bool assumes(const Results& results, std::string_view what) {
    return std::any_of(results.assumptions.begin(), results.assumptions.end(),
                       [&](const Assumption& one) { return one.what == what; });
}

}  // namespace

TEST_CASE("what a converter loses warms its box in the modes in which it works") {
    const Results results = check_text(bench);
    REQUIRE(results.boxes.size() == 2);
    const WarmBox& work = box_in(results, "work");
    // 8 A at 12 V is 96 W out and 106.7 W in, of which a tenth stays; 2 K a watt.
    REQUIRE(work.sources.size() == 1);
    CHECK(work.sources[0].subject == "D1");
    CHECK(work.losses_W == Approx(10.67).epsilon(0.01));
    CHECK(work.inside_degC == Approx(40 + 2 * work.losses_W).epsilon(1e-9));
    CHECK(work.path == HeatPath::stated);
    CHECK(box_in(results, "rest").inside_degC == Approx(40).margin(0.01));
}

TEST_CASE("a location that says nothing of its heat stays as it is") {
    const Results results = check_text(replaced(bench, ", thermal-resistance 2 K/W", ""));
    CHECK(results.boxes.empty());
}

TEST_CASE("losses are what is stated, else by efficiency, else what is usual, which is told") {
    const auto losses_W = [](const std::string& text) { return box_in(check_text(text), "work").losses_W; };
    const std::string with_losses = replaced(bench, "efficiency 90 %", "efficiency 90 %, losses 7 W");
    CHECK(losses_W(with_losses) == Approx(7).epsilon(1e-6));
    // Twice the current of the point is four times the loss; it takes 106.7 W at 44 V, 2.42 A.
    const double above_W =
        losses_W(replaced(bench, "efficiency 90 %", "efficiency 90 %, losses 2 W at 1.2 A"));
    CHECK(above_W == Approx(2 * 2.02 * 2.02).epsilon(0.02));
    CHECK(losses_W(replaced(bench, "efficiency 90 %", "efficiency 90 %, losses 7 W at 20 A")) ==
          Approx(7).epsilon(1e-6));
    // Nothing loses more than it takes.
    CHECK(losses_W(replaced(bench, "efficiency 90 %", "efficiency 90 %, losses 500 W")) ==
          Approx(106.7).epsilon(0.02));
    const Results in_it = check_text(replaced(bench, "load H1 { 12 V", "load H1 { at tray, 12 V"));
    CHECK(box_in(in_it, "work").losses_W == Approx(106.7).epsilon(0.02));
    CHECK(assumes(in_it, "losses of a load"));
    CHECK(losses_W(replaced(bench, "load H1 { 12 V", "load H1 { losses 4 W, at tray, 12 V")) ==
          Approx(14.67).epsilon(0.01));
}

TEST_CASE("contacts, fuses, packs and wires lose what their resistance makes of their current") {
    // 20 mohm of a fuse at 2.42 A: 0.117 W; 5 mohm of the pack: 0.029 W.
    std::string text = replaced(bench, "resistance 0.1 mohm", "resistance 20 mohm, at tray");
    text = replaced(text, "discharge 60 A", "at tray, discharge 60 A");
    text = replaced(text, "(W2 2.5 mm2, 0.5 m, red)", "(W2 2.5 mm2, 0.5 m, red, in L1)");
    text += "bundle L1 { wrap open, length 0.5 m, at tray }\n";
    const Results results = check_text(text);
    const WarmBox& box = box_in(results, "work");
    const auto of = [&](std::string_view subject) {
        for (const HeatSource& source : box.sources)
            if (source.subject == subject) return source.loss_W;
        return 0.0;
    };
    CHECK(of("F1") == Approx(0.117).epsilon(0.03));
    CHECK(of("B1") == Approx(0.029).epsilon(0.03));
    // 0.5 m of 2.5 mm2 near 62 degC: 4.7 mohm with its ends.
    CHECK(of("W2") == Approx(2.42 * 2.42 * 0.0048).epsilon(0.05));
    // Largest first.
    CHECK(box.sources.front().subject == "D1");
}

TEST_CASE("all that is in a warm box is judged at its inside") {
    // 2.4 A on a fuse of 3.8 A: at 104 degC in the box too much, at 40 degC beside it not.
    const std::string rated = replaced(bench, "fuse F1 { 10 A", "fuse F1 { 3.8 A");
    const auto used = [&](const std::string& place) {
        const Results results =
            check_text(replaced(replaced(rated, "resistance 0.1 mohm", "resistance 0.1 mohm" + place),
                                "thermal-resistance 2 K/W", "thermal-resistance 6 K/W"));
        return finding_of(results, "overloaded-fuse", "F1") != nullptr;
    };
    CHECK(used(", at tray"));
    CHECK_FALSE(used(""));
    // Insulation of 90 degC in a place of 104 degC.
    std::string lies = replaced(bench, "thermal-resistance 2 K/W", "thermal-resistance 6 K/W");
    lies = replaced(lies, "(W2 2.5 mm2, 0.5 m, red)", "(W2 2.5 mm2, 0.5 m, red, in L1)");
    lies += "bundle L1 { wrap open, length 0.5 m, at tray }\n";
    CHECK(finding_of(check_text(lies), "overloaded-wire", "W2") != nullptr);
    CHECK(finding_of(check_text(lies), "hot-place", "W2") != nullptr);
    const std::string cool = replaced(lies, "thermal-resistance 6 K/W", "thermal-resistance 0.1 K/W");
    CHECK(finding_of(check_text(cool), "overloaded-wire", "W2") == nullptr);
    CHECK(finding_of(check_text(cool), "hot-place", "W2") == nullptr);
}

TEST_CASE("a box by its size is an estimate that is told, sealed and bare where it does not say") {
    const std::string sized = replaced(bench, "thermal-resistance 2 K/W", "size 200 mm x 100 mm x 150 mm");
    const Results bare = check_text(sized);
    CHECK(box_in(bare, "work").path == HeatPath::estimated);
    CHECK(assumes(bare, "how the heat of a location leaves"));
    CHECK(assumes(bare, "wall of a location"));
    CHECK(assumes(bare, "vents of a location"));
    const auto inside = [&](const std::string& more) {
        return box_in(check_text(replaced(sized, "150 mm", "150 mm, " + more)), "work").inside_degC;
    };
    const double sealed_degC = box_in(bare, "work").inside_degC;
    CHECK(inside("wall bare") == Approx(sealed_degC));
    CHECK(inside("wall unknown") == Approx(sealed_degC));
    CHECK(inside("vents unknown") == Approx(sealed_degC));
    CHECK(inside("wall painted") < sealed_degC - 1);
    CHECK(inside("wall plastic") > inside("wall painted"));
    CHECK(inside("vents 20 cm2 0.1 m") < sealed_degC - 1);
}

TEST_CASE("a way of the heat that nobody knows is asked for, and nothing is concluded from it") {
    const Results results =
        check_text(replaced(bench, "thermal-resistance 2 K/W", "thermal-resistance unknown"));
    CHECK(box_in(results, "work").path == HeatPath::unknown);
    CHECK(gravest_of(results, "missing-data", "tray") == Severity::error);
}

TEST_CASE("a course counts by how long it lasts, without a cliff") {
    const auto losses_W = [](const std::string& course) {
        const std::string text = replaced(bench, "mode work { others at rest }",
                                          "mode work { H1 draws " + course + ", others at rest }");
        return box_in(check_text(text), "work").losses_W;
    };
    const double always_W = losses_W("8 A");
    CHECK(losses_W("8 A for 10 h then 0 A") == Approx(always_W).epsilon(1e-3));
    // After one time constant 63 percent of it.
    CHECK(losses_W("8 A for 10 min then 0 A") == Approx(0.632 * always_W).epsilon(0.01));
    // A short cycle counts with its mean.
    CHECK(losses_W("8 A for 5 s then 0 A for 5 s repeating") == Approx(0.5 * always_W).epsilon(0.02));
}

TEST_CASE("a breaker in a warm box carries less, just inside and just outside") {
    // 40 degC and 2 K/W x 20 W: 80 degC, 50 K above 30 degC: 10 A x (1 - 0.6 %/K x 50 K) = 7 A.
    const auto told = [](const std::string& rated) {
        return gravest_of(
            check_text(
                "loom 1\nharness \"Well winch\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
                "policy { continuous-fuse-load 100 % }\n"
                "location tray { ambient 0..40 degC, thermal-resistance 2 K/W }\n"
                "pack B1 { voltage 50..50.001 V, resistance 0.001 mohm, capacity 40 Ah, discharge 60 A, "
                "charge 20 A }\n"
                "breaker F1 { " +
                rated +
                ", 80 V dc, breaks 20 kA at 80 V dc, curve iec60898-c, reset hand, resistance 0.001 "
                "mohm, at tray }\n"
                "load E1 { 50 V, 7 A, acts-as current, losses 20 W, at tray }\n"
                "route B1.+ (W1 95 mm2, 0.1 m, red) F1 (W2 95 mm2, 0.1 m, red) E1 (W3 95 mm2, 0.1 m, "
                "black) B1.-\nmode work { others at rest }\n"),
            "overloaded-fuse", "F1");
    };
    CHECK_FALSE(told("10.03 A"));
    CHECK(told("9.97 A") == Severity::error);
}

TEST_CASE("the budget of a mode goes by the air in the box: hotter wires lose more") {
    // Ten metres of wire in a box of 80 degC and more instead of 40.
    const auto wires_W = [](const std::string& path) {
        const Results results = check_text(
            "loom 1\nharness \"Well winch\" { ambient 0..40 degC, insulation xlpe 125 degC }\n"
            "location tray { ambient 0..40 degC" +
            path +
            " }\npack B1 { voltage 50..50.001 V, resistance 0.001 mohm, capacity 40 Ah, discharge 60 A, "
            "charge "
            "20 A }\nfuse F1 { 20 A, 80 V dc, breaks 20 kA at 80 V dc, curve ul248-14 }\n"
            "bundle L1 { wrap open, length 10 m, at tray }\n"
            "load E1 { 50 V, 10 A, acts-as current, losses 20 W, at tray }\n"
            "route B1.+ (W1 2.5 mm2, 0.1 m, red) F1 (W2 2.5 mm2, 10 m, red, in L1) E1 (W3 2.5 mm2, 10 m, "
            "black, in L1) B1.-\nmode work { others at rest }\n");
        return make_budget(results.circuit, results.points, *results.harness).modes.front().wires_W;
    };
    CHECK(wires_W(", thermal-resistance 1 K/W") > 1.05 * wires_W(""));
}

}  // namespace heat_boxes_test
