// A level that lasts longer than a part stands is told by the rule that holds the part to its level: no time
// lies between what endurance says gives out and what the check tells. So there is no rule of its own for it.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <set>
#include <string>

#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "tests/checker/checking.hpp"

namespace too_long_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Planted {
    std::string what;              // "a contact"
    std::string name;              // of the part or wire
    std::set<std::string> rules;   // that speak of its level
    std::string level;             // "70 A", of the controller
    std::string in_place_of, put;  // of the text below
};

// A drive that asks a level for a time, then rests for half an hour, again and again.
Results peat_barge(const Planted& planted, double level_s) {
    std::string text =
        "loom 1\nharness \"Peat barge\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 44..54 V, resistance 30 mohm, capacity 400 Ah, discharge 900 A, charge 90 A }\n"
        "bms Q1 { side high, ports common, discharge 900 A, charge 90 A, trips 900 A after 2 s, "
        "resistance 0.1 mohm }\n"
        "fuse F1 { 200 A, 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 900 A, makes 900 A, breaks 900 A at 60 V dc }\n"
        "connector J1 { mate P1, half socket, contacts 1, carries 900 A, 90 V, takes 6..240 mm2, "
        "rated-at 30 degC, limit 105 degC }\n"
        "controller U1 { input 30..60 V, capacitance 1 mF, supply-limit 300 A, phase-peak 900 A, regen none, "
        "phases 2, at hold, efficiency 95 % }\n"
        "motor M1 { leads 2, carries 900 A }\n"
        "location hold { ambient 0..30 degC, thermal-resistance 0.02 K/W, time-constant 12 min }\n"
        "route B1.+ (W1 185 mm2, 0.2 m, red) Q1 (W2 185 mm2, 0.2 m, red) F1 (W3 185 mm2, 0.2 m, red) "
        "S1 (W4 185 mm2, 1 m, red) J1.1\n"
        "route P1.1 (W5 185 mm2, 0.3 m, red) U1.+\nroute U1.- (W6 185 mm2, 1 m, black) B1.-\n"
        "route U1.M+ (W7 185 mm2, 0.3 m, red) M1.M+\nroute M1.M- (W8 185 mm2, 0.3 m, black) U1.M-\n"
        "mode idle { S1 closed, U1 draws 0 A }\n";
    const std::size_t at = text.find(planted.in_place_of);
    REQUIRE(at != std::string::npos);
    text.replace(at, planted.in_place_of.size(), planted.put);
    text += fmt::format(
        "mode haul {{ S1 closed, U1 draws {0} for {1:.6f} s then 1 A for 30 min repeating, "
        "U1 phases {0} for {1:.6f} s then 1 A for 30 min repeating }}\n",
        planted.level, level_s);
    return check_text(text);
}

bool is_told(const Planted& planted, double level_s) {
    for (const Finding& finding : peat_barge(planted, level_s).findings)
        if (planted.rules.contains(finding.rule) &&
            finding.subject.substr(0, finding.subject.find('.')) == planted.name)
            return true;
    return false;
}

bool gives_out(const Planted& planted, double level_s) {
    const Results results = peat_barge(planted, level_s);
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    for (const ModeEndurance& mode : endurance(results.circuit, facts, results.points))
        for (const HeldPart& part : mode.parts)
            if (part.name.substr(0, part.name.find('.')) == planted.name && std::isfinite(part.gives_out_s))
                return true;
    return false;
}

// The shortest time at which it is so, to 1e-4 of itself; infinite: not even after two hours.
double shortest_s(const std::function<bool(double)>& is_so) {
    double no_s = 0.01, yes_s = 7200;
    if (is_so(no_s)) return 0;
    if (!is_so(yes_s)) return INFINITY;
    while (yes_s > no_s * 1.0001) {
        const double middle_s = std::sqrt(no_s * yes_s);
        (is_so(middle_s) ? yes_s : no_s) = middle_s;
    }
    return yes_s;
}

}  // namespace

TEST_CASE("a level is told a thousandth above the time a part stands it, and not a thousandth below") {
    const Planted planted = GENERATE(
        Planted{"a wire by its table", "W5", {"overloaded-wire"}, "70 A", "W5 185 mm2", "W5 6 mm2"},
        Planted{"a wire by its heat balance",
                "W5",
                {"overloaded-wire", "overheated-wire"},
                "35 A",
                "W5 185 mm2",
                "W5 1 mm2"},
        Planted{"a contact",
                "J1",
                {"overloaded-contact"},
                "70 A",
                "contacts 1, carries 900 A",
                "contacts 1, carries 40 A"},
        Planted{"a fuse",
                "F1",
                {"nuisance-trip", "overloaded-fuse"},
                "90 A",
                "fuse F1 { 200 A",
                "fuse F1 { 40 A"},
        Planted{"a battery management",
                "Q1",
                {"overdrawn-bms"},
                "70 A",
                "trips 900 A after 2 s",
                "trips 60 A after 2 s"},
        Planted{"a pack",
                "B1",
                {"pack-too-hot"},
                "120 A",
                "charge 90 A }",
                "charge 90 A, mass 30 kg, thermal-resistance 0.5 K/W, cuts-out-at 50 degC }"},
        Planted{"a controller that gives less",
                "U1",
                {"controller-gives-less"},
                "70 A",
                "efficiency 95 %",
                "efficiency 95 %, thermal-resistance 0.6 K/W, time-constant 9 min, gives-less-from 70 degC"},
        Planted{"a controller that cuts out",
                "U1",
                {"cuts-out"},
                "70 A",
                "efficiency 95 %",
                "efficiency 95 %, rise 30 K at 40 A after 1 h, time-constant 9 min, cuts-out-at 80 degC"},
        Planted{
            "a motor",
            "M1",
            {"overheated-motor"},
            "90 A",
            "leads 2, carries 900 A",
            "leads 2, carries 900 A, resistance 40 mohm, thermal-resistance 0.6 K/W, time-constant 8 min, "
            "limit 130 degC"},
        Planted{"the air in a box",
                "hold",
                {"overheated-box"},
                "70 A",
                "thermal-resistance 0.02 K/W",
                "thermal-resistance 0.3 K/W, highest-ambient 60 degC"});
    INFO(planted.what);
    const double told_s = shortest_s([&](double level_s) { return is_told(planted, level_s); });
    const double gives_out_s = shortest_s([&](double level_s) { return gives_out(planted, level_s); });
    CAPTURE(told_s, gives_out_s);
    CHECK(std::isfinite(told_s));
    CHECK(told_s > 0);
    CHECK(told_s == Approx(gives_out_s).epsilon(1e-3));
}

}  // namespace too_long_test
