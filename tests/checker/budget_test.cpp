// The load budget: what is given is taken or lost, a capacity is what its hours draw, and what nobody knows
// makes no number.
#include <cmath>

#include "checker/budget/budget.hpp"
#include "tests/checker/checking.hpp"

namespace budget_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Told by name; the harness outlives the budget.
struct Told {
    explicit Told(const std::string& text) : Told(check_text(text)) {}
    explicit Told(Results of)
        : results(std::move(of)), budget(make_budget(results.circuit, results.points, *results.harness)) {}

    const ModeBudget& mode(std::string_view name) const {
        for (const ModeBudget& each : budget.modes)
            if (results.harness->modes[each.mode.index()].name == name) return each;
        FAIL("no mode " << name);
        return budget.modes.front();
    }
    const PackTime& pack(const ModeBudget& mode, std::string_view name) const {
        for (const PackTime& each : mode.packs)
            if (results.harness->part(each.gives.part).name == name) return each;
        FAIL("no pack " << name);
        return mode.packs.front();
    }
    std::vector<std::string> takers(const ModeBudget& mode) const {
        std::vector<std::string> names;
        for (const BudgetRow& row : mode.takes)
            names.emplace_back(row.terminal ? results.harness->terminal(row.terminal).path
                                            : results.harness->part(row.part).name);
        return names;
    }

    Results results;
    Budget budget;
};

using Way = PackTime::Way;
using Names = std::vector<std::string>;

// A pack of 48 V at either end and no resistance to speak of, a lamp, a battery management that draws 2 mA.
// Contacts without resistance: only W1 to W4 lose anything.
const std::string shed =
    "loom 1\n"
    "harness \"Shed\" { ambient 20..20 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 48..48 V, resistance 0.001 mohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
    "bms Q1 { side low, ports common, discharge 40 A, charge 40 A, trips 80 A after 0.5 s, resistance 0 "
    "ohm,\n"
    "  standby 2 mA }\n"
    "fuse F1 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3, resistance 0 ohm }\n"
    "switch S1 { 72 V dc, carries 20 A, breaks 16 A at 72 V dc, resistance 0 ohm }\n"
    "load E1 { 48 V, 5 A, acts-as current }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red)\n"
    "    E1 (W4 6 mm2, 0.9 m, black) Q1.P- \n"
    "route B1.- (W5 6 mm2, 0.1 m, black) Q1.B-\n"
    "mode off { others at rest }\n"
    "mode lit { S1 closed }\n"
    "mode dusk { S1 closed, E1 draws 5 A for 30 s then 1 A for 90 s repeating }\n"
    "mode late { S1 closed, E1 draws 5 A for 2 h then 0 A }\n"
    "mode long { S1 closed, E1 draws 5 A for 2 h then 1 A }\n";

}  // namespace

TEST_CASE("a budget by hand: a lamp of 5 A on 20 Ah, and what its leads lose") {
    const Told told(shed);
    const ModeBudget& lit = told.mode("lit");
    REQUIRE(lit.known);
    // By hand: 20 Ah / (5 A + 2 mA) = 3.9984 h; the management draws besides (no wire carries it).
    const PackTime& pack = told.pack(lit, "B1");
    CHECK(pack.way == Way::runs_down);
    CHECK(pack.gives.mean_A == Approx(5.002).epsilon(1e-6));
    CHECK(pack.least_h == Approx(20 / 5.002).epsilon(1e-6));
    CHECK(pack.most_h == pack.least_h);
    CHECK_FALSE(lit.at_most());
    CHECK(told.takers(lit) == Names{"E1", "Q1"});
    // Class 5 copper of 6 mm2: 3.30 mohm/m at 20 degC (IEC 60228 table 3). 2.1 m of it, ten wire ends of
    // 0.1 mohm (the default of policy joint-resistance), 5 A: 25 x (6.93 + 1.0) mohm = 198 mW cold. The
    // current warms the copper by less than 10 K (4 %).
    CHECK(lit.wires_W >= 0.198);
    CHECK(lit.wires_W <= 0.198 * 1.04);
    CHECK(lit.takes[0].mean_W == Approx(5 * (48 - lit.wires_W / 5 - lit.contacts_W / 5)).epsilon(1e-4));
}

TEST_CASE("a profile that repeats counts by its mean over the cycle") {
    const Told told(shed);
    const ModeBudget& dusk = told.mode("dusk");
    CHECK(dusk.cycle);
    // (5 A x 30 s + 1 A x 90 s) / 120 s = 2 A
    const PackTime& pack = told.pack(dusk, "B1");
    CHECK(pack.gives.mean_A == Approx(2.002).epsilon(1e-6));
    CHECK(pack.gives.most_A == Approx(5.002).epsilon(1e-6));
    CHECK(pack.least_h == Approx(20 / 2.002).epsilon(1e-6));
}

TEST_CASE("a profile that stays is walked level by level") {
    const Told told(shed);
    // 10 Ah in the first two hours, the other 10 at 1 A; both with the 2 mA of the management.
    const PackTime& slow = told.pack(told.mode("long"), "B1");
    CHECK(slow.way == Way::runs_down);
    CHECK(slow.least_h == Approx(2 + (20 - 2 * 5.002) / 1.002).epsilon(1e-6));
    // Then the management alone.
    const PackTime& late = told.pack(told.mode("late"), "B1");
    CHECK(late.least_h == Approx(2 + (20 - 2 * 5.002) / 0.002).epsilon(1e-6));

    CHECK(hours_until_empty(10, {{5, 3600}, {20, 0}}) == Approx(1.25));
    CHECK(hours_until_empty(10, {{5, 3 * 3600}, {0, 0}}) == Approx(2));
    CHECK(std::isinf(hours_until_empty(10, {{5, 3600}, {0, 0}})));
    // A pack that begins full takes nothing in: the first level counts for nothing.
    CHECK(hours_until_empty(10, {{-5, 3600}, {5, 0}}) == Approx(3));
}

TEST_CASE("with everything at rest the takers are named, and the days are capacity / drain") {
    const Told told(shed);
    REQUIRE(told.budget.at_rest.size() == 1);
    const ModeBudget& rest = told.budget.at_rest[0];
    CHECK(told.results.harness->modes[rest.mode.index()].name == "off");
    CHECK(told.takers(rest) == Names{"Q1"});
    CHECK(told.pack(rest, "B1").gives.mean_A == Approx(0.002).epsilon(1e-6));
    CHECK(told.pack(rest, "B1").least_h == Approx(20 / 0.002).epsilon(1e-6));

    // A clock straight on the pack, and no mode with everything at rest: the state is made.
    const Told clock(replaced(replaced(shed, "mode off { others at rest }\n", ""), "load E1",
                              "load E2 { 48 V, 10 mA, acts-as current }\n"
                              "route F1.out (W6 1 mm2, 0.3 m, red) E2 (W7 1 mm2, 0.3 m, black) Q1.P-\n"
                              "load E1"));
    REQUIRE(clock.budget.at_rest.size() == 1);
    CHECK_FALSE(clock.budget.at_rest[0].mode.valid());
    CHECK(clock.takers(clock.budget.at_rest[0]) == Names{"E2", "Q1"});
    CHECK(clock.pack(clock.budget.at_rest[0], "B1").gives.mean_A == Approx(0.012).epsilon(1e-6));
}

TEST_CASE("what nobody knows makes no hours, and is named") {
    struct Open {
        std::string from, to, needs;
    };
    const std::vector<Open> all = {
        {"capacity 20 Ah", "capacity unknown", "capacity of pack B1"},
        {"5 A, acts-as", "unknown A, acts-as", "current of load E1"},
        {"standby 2 mA", "standby unknown", "standby of bms Q1"},
        {"voltage 48..48 V", "voltage unknown", "voltage of pack B1"},
    };
    for (const Open& open : all) {
        CAPTURE(open.needs);
        const Told told(replaced(shed, open.from, open.to));
        const PackTime& pack = told.pack(told.mode("lit"), "B1");
        CHECK(pack.way == Way::not_known);
        CHECK(pack.least_h == 0);
        CHECK(pack.needs == Names{open.needs});
    }
    // A level of a mode is asked for there alone; what is switched off needs nothing.
    const Told level(replaced(shed, "draws 5 A for 30 s", "draws unknown A for 30 s"));
    CHECK(level.pack(level.mode("dusk"), "B1").needs == Names{"what mode dusk has of load E1"});
    CHECK(level.pack(level.mode("lit"), "B1").way == Way::runs_down);
    const Told lamp(replaced(shed, "5 A, acts-as", "unknown A, acts-as"));
    CHECK(lamp.pack(lamp.mode("off"), "B1").way == Way::runs_down);
}

TEST_CASE("a loss that nobody knows is named, and the hours are at most those") {
    const Told told(replaced(shed, "W3 6 mm2, 0.5 m", "W3 6 mm2, unknown m"));
    const ModeBudget& lit = told.mode("lit");
    CHECK(lit.loss_needs == Names{"length of wire W3"});
    CHECK(told.pack(lit, "B1").way == Way::runs_down);
    CHECK(lit.at_most());
    CHECK(told.mode("off").loss_needs.empty());
    // So with own consumption that the file leaves out.
    const Told silent(replaced(shed, ",\n  standby 2 mA", ""));
    CHECK(silent.mode("lit").left_out == Names{"Q1"});
    CHECK(silent.mode("lit").at_most());
    const auto says = [](const Assumption& one) {
        return one.what == "standby of a bms" && one.value == "0 A";
    };
    CHECK(std::any_of(silent.budget.assumptions.begin(), silent.budget.assumptions.end(), says));
}

TEST_CASE("a capacity between two ends gives hours between two ends") {
    const Told told(replaced(shed, "capacity 20 Ah", "capacity 16..20 Ah"));
    const PackTime& pack = told.pack(told.mode("lit"), "B1");
    CHECK(pack.least_h == Approx(16 / 5.002).epsilon(1e-6));
    CHECK(pack.most_h == Approx(20 / 5.002).epsilon(1e-6));
    // Either way by policy estimate-spread, 25 %.
    const Told about(replaced(shed, "capacity 20 Ah", "capacity about 20 Ah"));
    CHECK(about.pack(about.mode("lit"), "B1").least_h == Approx(15 / 5.002).epsilon(1e-6));
    CHECK(about.pack(about.mode("lit"), "B1").most_h == Approx(25 / 5.002).epsilon(1e-6));
}

TEST_CASE("packs side by side have each their own share") {
    // Twice the resistance, half the current: 5 A part as 10/3 and 5/3.
    const std::string two =
        "loom 1\n"
        "harness \"Two\" { ambient 20..20 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 48..48 V, resistance 1 ohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
        "pack B2 { voltage 48..48 V, resistance 2 ohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
        "load E1 { 48 V, 5 A, acts-as current }\n"
        "route B1.+ (W1 35 mm2, 0.1 m, red) E1 (W2 35 mm2, 0.1 m, black) B1.-\n"
        "route B2.+ (W3 35 mm2, 0.1 m, red) E1.+\n"
        "route B2.- (W4 35 mm2, 0.1 m, black) E1.-\n"
        "mode work { others at rest }\n";
    const Told told(two);
    const ModeBudget& work = told.mode("work");
    CHECK(told.pack(work, "B1").gives.mean_A == Approx(10.0 / 3).epsilon(1e-3));
    CHECK(told.pack(work, "B2").gives.mean_A == Approx(5.0 / 3).epsilon(1e-3));
    CHECK(told.pack(work, "B1").least_h == Approx(6).epsilon(1e-3));
    CHECK(told.pack(work, "B2").least_h == Approx(12).epsilon(1e-3));
    // Which share is whose hangs on both resistances.
    const Told open(replaced(two, "resistance 2 ohm", "resistance unknown"));
    CHECK(open.pack(open.mode("work"), "B1").needs == Names{"resistance of pack B2"});
}

TEST_CASE("a mode that charges says hours to full, at the current of an empty pack") {
    const std::string modes = shed.substr(shed.find("mode off"));
    const Told told(replaced(replaced(shed, modes, "mode fill { others at rest, G1 delivers 4 A }\n"),
                             "load E1",
                             "charger G1 { output 54 V 5 A, reverse blocked }\n"
                             "route F1.out (W6 2.5 mm2, 0.3 m, red) G1 (W7 2.5 mm2, 0.3 m, black) Q1.P-\n"
                             "load E1"));
    const PackTime& pack = told.pack(told.mode("fill"), "B1");
    CHECK(told.mode("fill").corner == Corner::run_hot);
    CHECK(pack.way == Way::fills);
    // 4 A less the 2 mA of the management; 20 Ah / 3.998 A
    CHECK(pack.gives.mean_A == Approx(-3.998).epsilon(1e-6));
    CHECK(pack.least_h == Approx(20 / 3.998).epsilon(1e-6));
}

TEST_CASE("what a battery management draws comes from every pack of its string, and is shared side by side") {
    const std::string head =
        "loom 1\n"
        "harness \"String\" { ambient 20..20 degC, insulation pvc 90 degC }\n"
        "part half is pack { voltage 24..24 V, resistance 5 mohm, discharge 30 A, charge 20 A }\n"
        "bms Q1 { side low, ports common, discharge 40 A, charge 40 A, trips 80 A after 0.5 s, resistance 1 "
        "mohm\n"
        "  standby 6 mA }\n"
        "load E1 { 48 V, 5 A, acts-as current }\n"
        "switch S1 { 72 V dc, carries 20 A, breaks 16 A at 72 V dc }\n"
        "route E1.- (W1 6 mm2, 0.1 m, black) Q1.P-\n"
        "route S1.out (W2 6 mm2, 0.1 m, red) E1.+\n"
        "route Q1.B- (W3 6 mm2, 0.1 m, black) B1.-\n"
        "mode off { others at rest }\n";
    const Told row(head +
                   "pack B1 is half { capacity 20 Ah }\npack B2 is half { capacity 10 Ah }\n"
                   "route B1.+ (W4 6 mm2, 0.1 m, red) B2.-\nroute B2.+ (W5 6 mm2, 0.1 m, red) S1.in\n");
    const ModeBudget& off = row.budget.at_rest.at(0);
    CHECK(row.pack(off, "B1").gives.mean_A == Approx(0.006));
    CHECK(row.pack(off, "B2").gives.mean_A == Approx(0.006));
    REQUIRE(off.takes.size() == 1);
    CHECK(off.takes[0].voltage_V == Approx(48));
    CHECK(off.takes[0].mean_W == Approx(0.288));  // 48 V x 6 mA
    // Side by side they stay at one voltage: 20 Ah gives two thirds of the 6 mA, 10 Ah one third.
    const Told beside(head +
                      "pack B1 is half { capacity 20 Ah }\npack B2 is half { capacity 10 Ah }\n"
                      "route B2.- (W4 6 mm2, 0.1 m, black) B1.-\nroute B2.+ (W5 6 mm2, 0.1 m, red) B1.+\n"
                      "route B1.+ (W6 6 mm2, 0.1 m, red) S1.in\n");
    const ModeBudget& rest = beside.budget.at_rest.at(0);
    CHECK(beside.pack(rest, "B1").gives.mean_A == Approx(0.004));
    CHECK(beside.pack(rest, "B2").gives.mean_A == Approx(0.002));
    CHECK(beside.pack(rest, "B1").least_h == Approx(5000));
    CHECK(beside.pack(rest, "B2").least_h == Approx(5000));
}

TEST_CASE("a mode that contradicts its wiring has no budget") {
    std::string shorted = replaced(shed, "load E1",
                                   "switch S9 { 72 V dc, carries 20 A, breaks 16 A at 72 V dc }\n"
                                   "route F1.out (W8 6 mm2, 0.1 m) S9 (W9 6 mm2, 0.1 m) Q1.P-\n"
                                   "load E1");
    shorted = shorted.substr(0, shorted.find("mode lit")) + "mode bolted { S1 S9 closed }\n";
    const Told told(shorted);
    CHECK_FALSE(told.mode("bolted").known);
    CHECK(told.mode("bolted").packs.empty());
    CHECK(told.mode("off").known);
}

TEST_CASE("what a diode drops and what a converter keeps is lost, and told apart") {
    const Told diode(replaced(
        replaced(shed, "S1 (W3 6 mm2, 0.5 m, red)", "S1 (W3 6 mm2, 0.5 m, red) D1 (W8 6 mm2, 0.1 m)"),
        "load E1", "diode D1 { 20 A, 100 V, drop 0.6 V }\nload E1"));
    const ModeBudget& lit = diode.mode("lit");
    // 0.6 V x 5 A, and the milliohm that the model gives a diode besides: 25 mW
    CHECK(lit.diodes_W == Approx(3.025).epsilon(1e-4));
    CHECK(lit.given_W() == Approx(lit.taken_W() + lit.lost_W()).epsilon(1e-6));

    const Told converter(
        replaced(shed.substr(0, shed.find("mode dusk")), "load E1",
                 "converter D1 { input 30..60 V, output 12 V 10 A, efficiency 80 %, negative common, standby "
                 "0 A, spare out- }\n"
                 "load E2 { 12 V, 2 A, acts-as current }\n"
                 "route F1.out (W6 6 mm2, 0.1 m) D1.in+\nroute D1.in- (W7 6 mm2, 0.1 m) Q1.P-\n"
                 "route D1.out+ (W8 6 mm2, 0.1 m) E2 (W9 6 mm2, 0.1 m) D1.in-\nload E1"));
    const ModeBudget& rest = converter.mode("off");
    REQUIRE(rest.converters.size() == 1);
    // 12 V x 2 A out, a fifth of what goes in is kept: 24 W / 0.8 = 30 W, 6 W lost. The output holds 12 V
    // behind a milliohm.
    CHECK(rest.converters[0].output.mean_W == Approx(24).epsilon(1e-3));
    CHECK(rest.converters[0].input.mean_W == Approx(30).epsilon(1e-3));
    CHECK(rest.converters[0].lost_W() == Approx(6).epsilon(1e-3));
    CHECK(rest.converted_W() == rest.converters[0].lost_W());
    CHECK(converter.takers(rest) == Names{"E2", "Q1"});
}

}  // namespace budget_test
