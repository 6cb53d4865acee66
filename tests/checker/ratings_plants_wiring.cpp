// Limits of wires, cables and policies, and of terminals that are said to be spare.
#include "checker/tables/conductors.hpp"
#include "parser/language/quantity.hpp"
#include "tests/checker/ratings_plants.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

// What 6 mm2 of a material may carry at 30 degC with insulation for 90 degC, times a factor, as text.
std::string ampacity_text(double factor, bool aluminium = false) {
    return std::to_string(factor * ampacity(6, 90, aluminium, {30, Wrap::open, 1}).current_A);
}

std::string load_by(const std::string& wire, const std::string& amperes, const std::string& more = "") {
    return "load E1 { 48 V, " + amperes + " A, acts-as current, works 20..60 V }\n" + "route X1.2 (" + wire +
           ") E1 (W11 70 mm2, 0.2 m, black) X2.2\n" + more + "mode on { others at rest }\n";
}

class WiringLimits {
  public:
    void put(PartKind kind, Attr attribute, const std::string& rule, const std::string& subject,
             const std::string& add, const std::string& inside, const std::string& outside,
             const std::string& from = "", const std::string& to = "") {
        limits.push_back({kind, attribute, rule, subject, add, from, to, inside, outside});
    }
    std::vector<Limit> limits;
};

void of_wires(WiringLimits& list) {
    list.put(PartKind::wire, "(area)"_attr, "overloaded-wire", "W10", load_by("W10 6 mm2, 0.2 m", "@"),
             ampacity_text(0.999), ampacity_text(1.001));
    list.put(PartKind::wire, "material"_attr, "overloaded-wire", "W10",
             load_by("W10 6 mm2, 0.2 m, material aluminium", "@"), ampacity_text(0.999, true),
             ampacity_text(1.001, true));
    list.put(PartKind::wire, "insulation"_attr, "hot-place", "W20",
             "location stove { ambient 0..@ degC }\nbundle L1 { wrap open, length 0.5 m, at stove }\n"
             "device A1 { pin o signal }\ndevice A2 { pin i signal }\n"
             "route A1.o (W20 0.5 mm2, 1 m, white, insulation pvc 105 degC, in L1) A2.i\nmode on { others at "
             "rest }\n",
             "104.9", "105.1");
    // ... and where only one end of it lies there.
    list.put(
        PartKind::wire, "insulation"_attr, "hot-place", "W20",
        "location stove { ambient 0..@ degC }\n"
        "device A1 { pin o signal, at stove }\ndevice A2 { pin i signal }\n"
        "route A1.o (W20 0.5 mm2, 1 m, white, insulation pvc 105 degC) A2.i\nmode on { others at rest }\n",
        "104.9", "105.1");
    list.put(PartKind::wire, "(colour)"_attr, "bond-colour", "W10", load_by("W10 6 mm2, 0.2 m, @", "1"),
             "green", "green-yellow");
    list.put(PartKind::harness, "insulation"_attr, "hot-place", "W1", "mode on { others at rest }\n", "30.03",
             "29.97", "insulation xlpe 90 degC", "insulation xlpe @ degC");
    const std::string cable =
        " }\nroute X1.2 (C1.red) E1 (C1.black) X2.2\n"
        "load E1 { 48 V, ";
    const std::string rest = " A, acts-as current, works 20..60 V }\nmode on { others at rest }\n";
    // Two cores: what each may carry beside the other is worked out by the rule; twice too much is too much.
    list.put(PartKind::cable, "(area)"_attr, "overloaded-wire", "C1.red",
             "cable C1 { cores red black, 6 mm2, 0.2 m" + cable + "@" + rest, ampacity_text(0.5),
             ampacity_text(1.001));
    list.put(PartKind::cable, "core"_attr, "overloaded-wire", "C1.red",
             "cable C1 { cores red black, 70 mm2, 0.2 m, core red 6 mm2" + cable + "@" + rest,
             ampacity_text(0.5), ampacity_text(1.001));
    list.put(PartKind::cable, "insulation"_attr, "hot-place", "C1.red",
             "location stove { ambient 0..@ degC }\nbundle L1 { wrap open, length 0.1 m, at stove }\n"
             "cable C1 { cores red black, 6 mm2, 0.2 m, insulation xlpe 110 degC, in L1" +
                 cable + "1" + rest,
             "109.9", "110.2");
    list.put(PartKind::cable, "material"_attr, "mixed-metals", "X5",
             "splice X5 { method crimp }\nroute X5 (W20 6 mm2, 0.2 m) X1.3\n"
             "cable C1 { cores red black, 6 mm2, 0.2 m, material @ }\n"
             "load E1 { 48 V, 1 A, acts-as current, works 20..60 V }\n"
             "route X5 (C1.red) E1 (C1.black) X2.2\nmode on { others at rest }\n",
             "copper", "aluminium");
}

void of_policies(WiringLimits& list) {
    const auto policy = [&](Attr attribute, const std::string& rule, const std::string& subject,
                            const std::string& add, const std::string& line, const std::string& inside,
                            const std::string& outside) {
        list.put(PartKind::policy, attribute, rule, subject, add + "policy { " + line + " }\n", inside,
                 outside);
    };
    policy("continuous-fuse-load"_attr, "overloaded-fuse", "F5",
           "fuse F5 { curve ul248-14, 16 A, 80 V dc, breaks 50 kA at 80 V dc, rated-at 30 degC }\n"
           "load E1 { 48 V, 10 A, acts-as current, works 20..60 V }\n"
           "route X1.2 (W10 6 mm2, 0.5 m) F5 (W11 6 mm2, 0.5 m) E1 (W12 6 mm2, 0.5 m) X2.2\n"
           "mode on { others at rest }\n",
           "continuous-fuse-load @ %", "62.6", "62.4");
    policy("hottest-conductor"_attr, "hot-place", "W1", "mode on { others at rest }\n",
           "hottest-conductor @ degC", "30.03", "29.97");
    policy("unprotected-length"_attr, "unprotected-wire", "W1", "mode on { others at rest }\n",
           "unprotected-length @ mm", "100.1", "99.9");
    policy("live-when-unmated-above"_attr, "live-when-unmated", "J1",
           "connector J1 { mate P1, half socket, contacts 2, 80 V, carries 40 A, takes 4..10 mm2, rated-at "
           "30 degC, "
           "limit 105 degC }\nload E1 { 48 V, 1 A, acts-as current, works 20..60 V }\n"
           "route X1.2 (W10 6 mm2, 0.2 m) J1.1 (W11 6 mm2, 0.2 m) E1 (W12 6 mm2, 0.2 m) J1.2\n"
           "route J1.2 (W13 6 mm2, 0.2 m) X2.2\nmode on { others at rest }\n",
           "live-when-unmated-above @ V", "50.05", "49.9");
    policy(
        "signal-current"_attr, "signal-current", "W20",
        "device A1 { pin level signal }\nfuse F5 { 1 A, 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-3 }\n"
        "route X1.2 (direct) F5 (W20 0.5 mm2, 1 m) A1.level\nmode on { others at rest }\n",
        "signal-current @ A", "1.4", "1.3");
    policy("precharge-to"_attr, "slow-precharge", "K2",
           "switch K1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc }\n"
           "switch K2 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc, makes 1 kA }\n"
           "resistor R1 { 100 ohm, 10 W, pulse 50 J }\ncapacitor C1 { 1 mF, 80 V }\n"
           "route X1.2 (W10 6 mm2, 0.2 m) K2 (W11 6 mm2, 0.2 m) C1 (W12 6 mm2, 0.2 m) X2.2\n"
           "route X1.3 (W13 1 mm2, 0.2 m) K1 (direct) R1 (direct) K2.out\n"
           "mode off { others at rest }\nmode fill { after off 60 s, K1 closed, others at rest }\n"
           "mode on { after fill 0.3 s, K2 closed, others at rest }\n",
           "precharge-to @ %", "90", "99");
    policy("voltage-drop"_attr, "voltage-drop", "E1",
           "load E1 { 48 V, 10 A, acts-as current, works 20..60 V }\n"
           "route X1.2 (W10 6 mm2, 20 m) E1 (W11 6 mm2, 20 m) X2.2\nmode on { others at rest }\n",
           "voltage-drop @ %", "9", "2");
}

// Each kind that takes `spare`: one of its terminals is wired.
void of_spares(WiringLimits& list) {
    struct Spare {
        PartKind kind;
        std::string statement;  // '@' is the terminal
        std::string wired, empty;
    };
    const std::string coil =
        "coil 48 V 100 mA, coil-works 20..60 V, suppression diode, carries 20 A, breaks 20 A at 80 V "
        "dc, spare @ }";
    const std::string device = "80 V dc, breaks 50 kA at 80 V dc, spare @ }";
    const std::vector<Spare> all = {
        {PartKind::pack,
         "pack Z1 { voltage 40..50 V, resistance 2 mohm, capacity 1 Ah, discharge 9 A, charge 9 A, "
         "spare @ }",
         "+", "-"},
        {PartKind::bms,
         "bms Z1 { side low, ports common, discharge 9 A, charge 9 A, trips 20 A after 1 s, resistance 1 "
         "mohm, spare @ }",
         "B-", "P-"},
        {PartKind::fuse, "fuse Z1 { 5 A, curve iso8820-3, " + device, "in", "out"},
        {PartKind::breaker, "breaker Z1 { 5 A, curve iec60898-b, reset hand, " + device, "in", "out"},
        {PartKind::protector,
         "protector Z1 { 5 A, 80 V dc, trips 9 A after 1 s, breaks none, resistance 5 mohm, reset hand, "
         "spare @ "
         "}",
         "in", "out"},
        {PartKind::contactor, "contactor Z1 { " + coil, "in", "out"},
        {PartKind::relay, "relay Z1 { contacts no, " + coil, "in", "out"},
        {PartKind::switch_, "switch Z1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc, spare @ }", "in",
         "out"},
        {PartKind::selector,
         "selector Z1 { terminals a b, position off, position on a b, 80 V dc, carries 20 A, breaks "
         "20 A at 80 V dc, spare @ }",
         "a", "b"},
        {PartKind::connector,
         "connector Z1 { mate P1, half socket, contacts 2, 80 V, carries 40 A, takes 0.5..10 mm2, "
         "rated-at 30 degC, limit 105 degC, spare @ }",
         "1", "2"},
        {PartKind::terminal_block,
         "terminal-block Z1 { 80 V, ways 2, carries 20 A, takes 0.5..10 mm2, spare @ }", "1", "2"},
        {PartKind::busbar, "busbar Z1 { studs 2, carries 20 A, spare @ }", "1", "2"},
        {PartKind::shunt, "shunt Z1 { 20 A, drop 50 mV, spare @ }", "in", "out"},
        {PartKind::resistor, "resistor Z1 { 9 kohm, 5 W, spare @ }", "in", "out"},
        {PartKind::capacitor, "capacitor Z1 { 1 uF, 80 V, spare @ }", "+", "-"},
        {PartKind::diode, "diode Z1 { 5 A, 80 V, drop 0.7 V, spare @ }", "A", "K"},
        {PartKind::controller,
         "controller Z1 { capacitance 1 uF, regen none, input 20..60 V, supply-limit 9 A, phase-peak "
         "9 A, spare @ }",
         "+", "U"},
        {PartKind::motor, "motor Z1 { leads 3, carries 9 A, spare @ }", "U", "V"},
        {PartKind::converter,
         "converter Z1 { efficiency 90 %, negative common, reverse blocked, capacitance 1 uF, input "
         "20..60 V, output 12 V 5 A, spare @ }",
         "in+", "out+"},
        {PartKind::charger, "charger Z1 { output 50 V 5 A, reverse blocked, spare @ }", "+", "-"},
        {PartKind::panel, "panel Z1 { open-circuit-voltage 24 V, short-circuit-current 9 A, spare @ }", "+",
         "-"},
        {PartKind::inverter,
         "inverter Z1 { 100 W, input 20..60 V, efficiency 90 %, capacitance 1 uF, spare @ }", "+", "-"},
        {PartKind::load, "load Z1 { 48 V, 1 A, spare @ }", "+", "-"},
        {PartKind::device, "device Z1 { pin a signal, pin b signal, spare @ }", "a", "b"},
    };
    for (const Spare& each : all)
        list.put(each.kind, "spare"_attr, "spare-wired", "Z1." + each.wired,
                 each.statement + "\nroute X1.2 (W10 1 mm2, 0.2 m) Z1." + each.wired +
                     "\nmode on { others at rest }\n",
                 each.empty, each.wired);
    list.put(PartKind::fuse_block, "spare"_attr, "spare-wired", "Z1.in",
             "fuse-block Z1 { ways 2, feed common, carries 60 A, way-carries 15 A, spare in }\n@\n"
             "mode on { others at rest }\n",
             "", "route X1.2 (W10 1 mm2, 0.2 m) Z1.in");
}

}  // namespace

std::vector<Limit> wiring_limits() {
    WiringLimits list;
    of_wires(list);
    of_policies(list);
    of_spares(list);
    return list.limits;
}

}  // namespace planted
