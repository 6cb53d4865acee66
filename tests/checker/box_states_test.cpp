// A lid and a fan by modes of one text; altitude and moving air.
#include "checker/heat/boxes.hpp"
#include "checker/heat/enclosure.hpp"
#include "checker/heat/endurance.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "tests/checker/boxes.hpp"

namespace box_states_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// 32 W in a tin whose lid is open, shut, or not spoken of.
const std::string cart = R"(loom 1
harness "Well winch" { ambient 0..30 degC, insulation pvc 90 degC }
location tin {
  ambient 0..30 degC, size 300 mm x 200 mm x 120 mm, wall painted, highest-ambient 60 degC
  state open 40 cm2 100 mm, state shut
}
pack B1 { voltage 44..50 V, resistance 5 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }
fuse F1 { 20 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3, resistance 0.1 mohm }
load H1 { 48 V, 400 W, losses 32 W, at tin }
bundle L1 { wrap open, length 0.3 m, at tin }
route B1.+ (W1 2.5 mm2, 0.2 m, red) F1 (W2 2.5 mm2, 0.5 m, red, in L1) H1 (W3 2.5 mm2, 0.5 m, black) B1.-
mode aired { tin at open }
mode shut-up { like aired, tin at shut }
mode silent { others at rest }
)";

const Assumption* assumed(const Results& results, std::string_view what) {
    for (const Assumption& one : results.assumptions)
        if (one.what == what) return &one;
    return nullptr;
}

bool tells(const WarmBox& box, std::string_view words) {
    return std::any_of(box.working.begin(), box.working.end(),
                       [&](const std::string& line) { return line.find(words) != std::string::npos; });
}

double hottest_degC(const Results& results, std::string_view name) {
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    const auto wire = results.judged->find_wire(name);
    REQUIRE(wire);
    return wire_temperatures(results.circuit, facts, results.points)[wire->index()].hottest_degC;
}

}  // namespace

TEST_CASE("each mode has the lid that it says, and one that says nothing the worst of them") {
    const Results results = check_text(cart);
    const WarmBox& aired = box_in(results, "aired");
    const WarmBox& shut = box_in(results, "shut-up");
    const WarmBox& silent = box_in(results, "silent");
    Enclosure box{0.3, 0.2, 0.12, painted_emissivity};
    CHECK(shut.inside_degC == Approx(*inside_degC(box, shut.losses_W, 30)).epsilon(1e-9));
    box.vent_m2 = 40e-4;
    box.vent_apart_m = 0.1;
    CHECK(aired.inside_degC == Approx(*inside_degC(box, aired.losses_W, 30)).epsilon(1e-9));
    CHECK(shut.inside_degC > aired.inside_degC + 5);
    CHECK(silent.inside_degC == Approx(shut.inside_degC).epsilon(1e-9));
    CHECK(aired.state == "open");
    CHECK(silent.state == "shut");
    CHECK(tells(aired, "state open, as mode aired says"));
    CHECK(tells(silent, "state shut, the hottest"));
    const Assumption* told = assumed(results, "state of a location where a mode does not say");
    REQUIRE(told);
    CHECK(told->value == "shut, with which it gets hottest");
    CHECK(told->used_by == std::vector<std::string>{"tin"});
}

TEST_CASE("where every mode says how the lid is, nothing is assumed of it, and the hot one is told by name") {
    const std::string text = replaced(cart, "mode silent { others at rest }", "");
    const Results results = check_text(replaced(text, "losses 32 W", "losses 40 W"));
    CHECK_FALSE(assumed(results, "state of a location where a mode does not say"));
    const Finding* finding = finding_of(results, "overheated-box", "tin");
    REQUIRE(finding);
    CHECK(results.judged->modes[finding->mode.index()].name == "shut-up");
    CHECK_FALSE(finding_of(check_text(replaced(replaced(text, "losses 32 W", "losses 40 W"),
                                               "like aired, tin at shut", "like aired")),
                           "overheated-box"));
}

TEST_CASE(
    "a fan that stops is a path that grows; in a state that nobody knows nothing is judged, and it is asked "
    "for") {
    const std::string fan =
        replaced(cart, "state open 40 cm2 100 mm, state shut", "state open 0.3 K/W, state shut 1.2 K/W");
    const Results results = check_text(fan);
    CHECK(box_in(results, "aired").inside_degC == Approx(30 + 0.3 * box_in(results, "aired").losses_W));
    CHECK(box_in(results, "shut-up").inside_degC == Approx(30 + 1.2 * box_in(results, "shut-up").losses_W));
    CHECK(box_in(results, "silent").state == "shut");
    const Results open = check_text(replaced(fan, "state shut 1.2 K/W", "state shut unknown"));
    CHECK(box_in(open, "aired").path == HeatPath::stated);
    CHECK(box_in(open, "shut-up").path == HeatPath::unknown);
    CHECK(box_in(open, "silent").path == HeatPath::unknown);
    CHECK(finding_of(open, "missing-data"));
}

TEST_CASE("what runs through the box is judged by the lid of each mode") {
    const std::string only_aired = replaced(replaced(cart, "mode silent { others at rest }", ""),
                                            "like aired, tin at shut", "like aired");
    const double aired_degC = hottest_degC(check_text(only_aired), "W2");
    const double shut_degC = hottest_degC(check_text(cart), "W2");
    const Results results = check_text(cart);
    const double more_K = box_in(results, "shut-up").inside_degC - box_in(results, "aired").inside_degC;
    CHECK(shut_degC == Approx(aired_degC + more_K).margin(2));
}

TEST_CASE("thin air takes less along: box and wire are hotter at 3000 m, and it is told where it matters") {
    const std::string high =
        replaced(cart, "ambient 0..30 degC, insulation", "altitude 3000 m, ambient 0..30 degC, insulation");
    const Results low = check_text(cart), up = check_text(high);
    for (const char* mode : {"aired", "shut-up"}) {
        INFO(mode);
        CHECK(box_in(up, mode).inside_degC > box_in(low, mode).inside_degC + 0.5);
        CHECK(box_in(up, mode).inside_degC < box_in(low, mode).inside_degC + 6);
    }
    CHECK(hottest_degC(up, "W1") > hottest_degC(low, "W1") + 0.3);
    CHECK(assumed(low, "altitude"));
    CHECK_FALSE(assumed(up, "altitude"));
    CHECK(assumed(up, "what is printed on devices above 2000 m, and ampacities"));
    const Results unknown = check_text(replaced(high, "altitude 3000 m", "altitude unknown"));
    CHECK(assumed(unknown, "altitude that nobody knows"));
    CHECK(hottest_degC(unknown, "W1") > hottest_degC(low, "W1"));
    CHECK(hottest_degC(unknown, "W1") < hottest_degC(up, "W1"));
}

TEST_CASE("air of a stated speed cools the wires of its bundles; moving air without one counts as still") {
    const std::string plain =
        replaced(cart, "location tin {", "location deck { ambient 0..30 degC }\nlocation tin {");
    const std::string outside =
        replaced(plain, "wrap open, length 0.3 m, at tin", "wrap open, length 0.3 m, at deck");
    const auto at = [&](const std::string& air) {
        return check_text(replaced(outside, "location deck { ambient 0..30 degC",
                                   "location deck { ambient 0..30 degC" + air));
    };
    const double still_degC = hottest_degC(at(""), "W2");
    CHECK(hottest_degC(at(", air moving"), "W2") == Approx(still_degC).epsilon(1e-9));
    CHECK(assumed(at(", air moving"), "speed of air that moves"));
    CHECK(hottest_degC(at(", air moving 3 m/s"), "W2") < still_degC - 1);
    // A wire in no bundle, or of the other place, has nothing of it.
    CHECK(hottest_degC(at(", air moving 3 m/s"), "W1") == Approx(hottest_degC(at(""), "W1")).epsilon(1e-9));
}

TEST_CASE("a wire, a contact and a pack in a box last longer from cold than in air as hot as the box gets") {
    const std::string text = R"(loom 1
harness "Well winch" { ambient 0..30 degC, insulation pvc 70 degC }
location tin { ambient 0..30 degC, thermal-resistance 0.5 K/W, time-constant 15 min }
pack B1 {
  cells 13s4p, cell-voltage 3.0..4.2 V, cell-resistance 30 mohm, cell-capacity 30 Ah, discharge 60 A, charge 20 A
  mass 3 kg, thermal-resistance 0.7 K/W, cuts-out-at 60 degC, at tin
}
fuse F1 { 40 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5, resistance 0.1 mohm }
connector J1 {
  mate P1, half socket, contacts + -, carries 24 A, 100 V, takes 1..6 mm2, rated-at 30 degC, limit 90 degC, at tin
}
load H1 { 48 V, 18 A, acts-as current, works 30..60 V }
load H2 { 48 V, 35 W, at tin }
bundle L1 { wrap taped, length 0.3 m, at tin }
route B1.+ (W1 2.5 mm2, 0.5 m, red, in L1) F1 (W2 6 mm2, 0.5 m, red) J1.+
route P1.+ (W3 6 mm2, 0.5 m, red) H1 (W4 6 mm2, 0.5 m, black) P1.-
route J1.- (W5 2.5 mm2, 0.5 m, black, in L1) B1.-
route P1.+ (W6 1 mm2, 0.5 m, red) H2 (W7 1 mm2, 0.5 m, black) P1.-
mode run { others at rest }
)";
    const Results results = check_text(text);
    Facts warmed(*results.circuit.harness);
    warm(warmed, results.boxes);
    const double inside_degC = box_in(results, "run").inside_degC;
    REQUIRE(inside_degC > 55);
    const auto held = [](const std::vector<ModeEndurance>& modes, std::string_view name) {
        for (const HeldPart& part : modes.front().parts)
            if (part.name == name) return part;
        FAIL(name << " is not followed");
        return HeldPart{};
    };
    const auto in_box = endurance(results.circuit, warmed, results.points);
    // The same place as hot from the beginning.
    const Results steady = check_text(replaced(
        text, "location tin { ambient 0..30 degC, thermal-resistance 0.5 K/W, time-constant 15 min }",
        "location tin { ambient 0.." + std::to_string(inside_degC) + " degC }"));
    Facts plain(*steady.circuit.harness);
    const auto in_heat = endurance(steady.circuit, plain, steady.points);
    for (const char* name : {"J1.+", "B1"}) {
        const HeldPart there = held(in_box, name), here = held(in_heat, name);
        INFO(name << " " << here.gives_out_s << " s in the heat, " << there.gives_out_s << " s from cold");
        CHECK(std::isfinite(here.gives_out_s));
        CHECK(there.gives_out_s > here.gives_out_s + 30);
        CHECK(there.from_cold_s > here.from_cold_s + 30);
        CHECK(there.peak_degC == Approx(here.peak_degC).margin(1));
    }
    const Finding* pack = finding_of(results, "pack-too-hot", "B1");
    REQUIRE(pack);
    CHECK(figure(*pack, "time") == Approx(held(in_box, "B1").gives_out_s).epsilon(1e-6));
}

}  // namespace box_states_test
