// Limits of what uses current, and of what lies between.
#include "tests/checker/ratings_plants.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

// A part between the bar and a load of 10 A.
std::string before_a_load(const std::string& statement, const std::string& through) {
    return statement +
           "\nload E1 { 48 V, 10 A, acts-as current, works 20..60 V }\n"
           "route X1.2 (W10 6 mm2, 0.5 m, red) " +
           through +
           " (W11 6 mm2, 0.5 m, red) E1 (W12 6 mm2, 0.5 m, black) X2.2\nmode on { others at rest }\n";
}
// A part from the plus bar to the minus bar.
std::string across(const std::string& statement, const std::string& through,
                   const std::string& mode = "mode on { others at rest }\n") {
    return statement + "\nroute X1.2 (W10 6 mm2, 0.2 m, red) " + through +
           " (W11 6 mm2, 0.2 m, black) X2.2\n" + mode;
}
const std::string motor =
    "motor M1 { leads 3, carries 500 A }\nroute U1.U (W20 6 mm2, 0.5 m) M1.U\n"
    "route U1.V (W21 35 mm2, 0.5 m) M1.V\nroute U1.W (W22 35 mm2, 0.5 m) M1.W\n";

class List {
  public:
    void put(PartKind kind, Attr attribute, const std::string& rule, const std::string& subject,
             const std::string& add, const std::string& inside, const std::string& outside) {
        limits.push_back({kind, attribute, rule, subject, add, "", "", inside, outside});
    }
    std::vector<Limit> limits;
};

void of_passive(List& list) {
    list.put(PartKind::shunt, "(rated-current)"_attr, "overloaded-shunt", "R1",
             before_a_load("shunt R1 { @ A, drop 50 mV }", "R1"), "10.01", "9.99");
    list.put(PartKind::diode, "(rated-current)"_attr, "overloaded-diode", "V1",
             before_a_load("diode V1 { @ A, 80 V, drop 0.7 V }", "V1"), "10.01", "9.99");
    list.put(PartKind::diode, "(rated-current)"_attr, "freewheel-diode", "V1",
             before_a_load("switch S1 { 80 V dc, carries 20 A, breaks 20 A at 60 V dc, rest closed }\n"
                           "diode V1 { @ A, 80 V, drop 0.7 V }\nroute E1.- (W13 6 mm2, 0.1 m) V1 (W14 6 mm2, "
                           "0.1 m) E1.+",
                           "S1"),
             "10.01", "9.99");
    list.put(PartKind::diode, "(rated-voltage)"_attr, "contact-voltage", "V1",
             before_a_load("diode V1 { 20 A, @ V, drop 0.7 V }", "V1"), "50.01", "49.95");
    list.put(PartKind::capacitor, "(rated-voltage)"_attr, "contact-voltage", "C1",
             across("capacitor C1 { 1 mF, @ V }", "C1"), "50.01", "49.95");
    // 50 V over 100 ohm is 25 W.
    list.put(PartKind::resistor, "(power)"_attr, "overloaded-resistor", "R1",
             across("resistor R1 { 100 ohm, @ W }", "R1"), "25.025", "24.95");
    // 1 mF at 50 V holds 1.25 J.
    list.put(
        PartKind::resistor, "pulse"_attr, "precharge-resistor", "R1",
        "resistor R1 { 50 ohm, 10 W, pulse @ J }\ncapacitor C1 { 1 mF, 80 V }\n"
        "switch K1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc }\n"
        "route X1.2 (W10 1 mm2, 0.2 m, red) K1 (direct) R1 (W13 1 mm2, 0.2 m) C1 (W11 1 mm2, 0.2 m) X2.2\n"
        "mode off { others at rest }\nmode on { after off 10 s, K1 closed, others at rest }\n",
        "1.252", "1.248");
    list.put(PartKind::frame, "serves"_attr, "bond-current", "W11",
             "load E1 { 48 V, 1 A, acts-as current, works 20..60 V }\nframe X9 { serves @ }\n"
             "route X1.2 (W10 6 mm2, 0.5 m, red) E1 (W11 6 mm2, 0.5 m, black) X9 (W12 6 mm2, 0.2 m) X2.2\n"
             "mode on { others at rest }\n",
             "return", "bond");
}

const std::string drive = "controller U1 { capacitance 1 uF, regen none, ";
void of_controllers(List& list) {
    const auto put = [&](Attr attribute, const std::string& rule, const std::string& attributes,
                         const std::string& mode, const std::string& inside, const std::string& outside) {
        list.put(PartKind::controller, attribute, rule, "U1",
                 across(drive + attributes + " }\n" + motor, "U1.+\nroute U1.-", mode), inside, outside);
    };
    const std::string rests = "mode on { others at rest }\n",
                      draws = "mode on { U1 draws 10 A, others at rest }\n";
    put("input"_attr, "input-voltage", "input 20..@ V, supply-limit 20 A, phase-peak 10 A", draws, "50.05",
        "49.9");
    put("input"_attr, "undervoltage", "input @..60 V, supply-limit 20 A, phase-peak 10 A", draws, "39.9",
        "40.05");
    list.put(PartKind::controller, "supply-limit"_attr, "setting-too-high", "U1",
             across(drive + "input 20..60 V, supply-limit @ A, phase-peak 10 A }\n" + motor +
                        "switch K1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc }",
                    "K1 (direct) U1.+\nroute U1.-", "mode on { K1 closed, U1 draws 10 A, others at rest }\n"),
             "19.98", "20.02");
    // ... and where no mode has it draw anything.
    list.put(PartKind::controller, "supply-limit"_attr, "setting-too-high", "U1",
             across(drive + "input 20..60 V, supply-limit @ A, phase-peak 10 A }\n" + motor +
                        "switch K1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc }",
                    "K1 (direct) U1.+\nroute U1.-", rests),
             "19.98", "20.02");
    // A contact of 20 A on the way of the phase.
    const std::string plug =
        "connector J1 { mate P1, half socket, contacts 1, 80 V, carries 20 A, takes 4..10 mm2, rated-at 30 "
        "degC, "
        "limit 105 degC }\nmotor M1 { leads 3, carries 500 A }\n"
        "route U1.U (W20 10 mm2, 0.5 m) J1.1 (W23 10 mm2, 0.5 m) M1.U\n";
    list.put(PartKind::controller, "phase-peak"_attr, "phase-setting-too-high", "U1",
             across(drive + "input 20..60 V, supply-limit 5 A, phase-peak @ A }\n" + plug, "U1.+\nroute U1.-",
                    rests),
             "19.98", "20.02");
    list.put(
        PartKind::controller, "phase-limit"_attr, "phase-setting-too-high", "U1",
        across(drive +
                   "input 20..60 V, supply-limit 5 A, phase-peak 40 A, phase-limit @ % of phase-peak }\n" +
                   plug,
               "U1.+\nroute U1.-", rests),
        "49.95", "50.05");
    put("supply-at"_attr, "limit-at-temperature",
        "input 20..60 V, supply-limit 20 A, phase-peak 10 A, supply-at 30 degC @ A", draws, "10.01", "9.99");
    list.put(PartKind::motor, "carries"_attr, "overloaded-motor", "M1",
             across(drive + "input 20..60 V, supply-limit 20 A, phase-peak 10 A }\n"
                            "motor M1 { leads 3, carries @ A }\nroute U1.U (W20 6 mm2, 0.5 m) M1.U\n"
                            "route U1.V (W21 6 mm2, 0.5 m) M1.V\nroute U1.W (W22 6 mm2, 0.5 m) M1.W",
                    "U1.+\nroute U1.-", "mode on { U1 draws 5 A, U1 phases 10 A, others at rest }\n"),
             "10.01", "9.99");
    // A lamp that returns by a pin, 1 A beside what its own pins need; and one of 1 A that a driver feeds.
    list.put(PartKind::controller, "pin"_attr, "overloaded-pin", "U1",
             across(drive + "input 20..60 V, supply-limit 20 A, phase-peak 10 A, pin gnd return }\n"
                            "load E1 { 48 V, @ A, acts-as current, works 20..60 V }\n"
                            "route X1.3 (W20 1 mm2, 0.5 m) E1 (W21 1 mm2, 0.5 m) U1.gnd",
                    "U1.+\nroute U1.-"),
             "0.999", "1.001");
    list.put(PartKind::controller, "pin"_attr, "overloaded-contact", "U1.out",
             across(drive + "input 20..60 V, supply-limit 20 A, phase-peak 10 A, pin out low-side @ A }\n"
                            "load E1 { 48 V, 1 A, acts-as current, works 20..60 V }\n"
                            "route X1.3 (W20 1 mm2, 0.5 m) E1 (W21 1 mm2, 0.5 m) U1.out",
                    "U1.+\nroute U1.-", "mode on { U1.out on, others at rest }\n"),
             "1.001", "0.999");
}

void of_converters(List& list) {
    const std::string start =
        "converter D1 { efficiency 90 %, negative common, reverse blocked, capacitance 1 uF, ";
    const std::string lamp =
        " }\nload E1 { 12 V, 2 A, acts-as current, works 9..15 V }\n"
        "route X1.3 (W20 1 mm2, 0.2 m) D1.in+\nroute D1.in- (W21 1 mm2, 0.2 m) X2.3\n"
        "route D1.out+ (W22 1 mm2, 0.2 m) E1 (W23 1 mm2, 0.2 m) D1.out-\nmode on { others at rest }\n";
    list.put(PartKind::converter, "input"_attr, "input-voltage", "D1",
             start + "input 20..@ V, output 12 V 5 A" + lamp, "50.05", "49.9");
    list.put(PartKind::converter, "input"_attr, "undervoltage", "D1",
             start + "input @..60 V, output 12 V 5 A" + lamp, "39.9", "40.05");
    list.put(PartKind::converter, "output"_attr, "overloaded-converter", "D1",
             start + "input 20..60 V, output 12 V @ A" + lamp, "2.02", "1.98");
    list.put(PartKind::converter, "pin"_attr, "overloaded-pin", "D1",
             start + "input 20..60 V, output 12 V 5 A, pin gnd return" +
                 " }\nload E1 { 48 V, @ A, acts-as current, works 20..60 V }\n"
                 "route X1.3 (W20 1 mm2, 0.2 m) D1.in+\nroute D1.in- (W21 1 mm2, 0.2 m) X2.3\n"
                 "route X1.4 (W22 1 mm2, 0.2 m) E1 (W23 1 mm2, 0.2 m) D1.gnd\nmode on { others at rest }\n",
             "0.999", "1.001");
    list.put(PartKind::charger, "output"_attr, "charge-voltage", "G1",
             across("charger G1 { output @ V 5 A, reverse blocked }", "G1"), "50.2", "50.3");
    list.put(PartKind::charger, "output"_attr, "setting-too-high", "G1",
             "charger G1 { output 50 V @ A, reverse blocked }\n"
             "route X1.2 (W10 120 mm2, 0.2 m, red) G1 (W11 120 mm2, 0.2 m, black) X2.2\nmode on { others at "
             "rest }\n",
             "197.0", "197.4");
}

// Three panels on the panel input of a charger.
void of_panels(List& list) {
    const auto wired = [](const std::string& charger, const std::string& panel) {
        std::string text = "charger G1 { output 50 V 5 A, reverse blocked, " + charger +
                           " }\nbusbar X8 { studs 4, carries 100 A }\nbusbar X9 { studs 4, carries 100 A }\n"
                           "route X8.4 (W10 10 mm2, 0.2 m, red) G1.in+\n"
                           "route X9.4 (W11 10 mm2, 0.2 m, black) G1.in-\n";
        for (const char each : {'1', '2', '3'})
            text += std::string("panel V") + each +
                    " { open-circuit-voltage 40 V, short-circuit-current 8 A" + panel + " }\nroute V" + each +
                    ".+ (W2" + each + " 4 mm2, 0.2 m, red) X8." + each + "\nroute V" + each + ".- (W3" +
                    each + " 4 mm2, 0.2 m, black) X9." + each + "\n";
        return text + "mode on { others at rest }\n";
    };
    const std::string fuse = ", maximum-series-fuse 20 A";
    // At 10 degC 40 V are 42.4 V.
    list.put(PartKind::charger, "panel-input"_attr, "panel-voltage", "G1", wired("panel-input 15..@ V", fuse),
             "42.44", "42.36");
    list.put(PartKind::charger, "panel-current"_attr, "panel-current", "G1",
             wired("panel-input 15..100 V, panel-current @ A", fuse), "30.03", "29.97");
    list.put(PartKind::panel, "maximum-series-fuse"_attr, "string-fuse", "V2",
             wired("panel-input 15..100 V", ", maximum-series-fuse @ A"), "16.02", "15.98");
}

void of_inverters(List& list) {
    const std::string start = "inverter E1 { capacitance 1 uF, efficiency 100 %, ";
    const auto put = [&](Attr attribute, const std::string& rule, const std::string& attributes,
                         const std::string& mode, const std::string& inside, const std::string& outside) {
        list.put(PartKind::inverter, attribute, rule, "E1", across(start + attributes + " }", "E1", mode),
                 inside, outside);
    };
    const std::string rests = "mode on { others at rest }\n", draws = "mode on { E1 draws 100 W }\n";
    put("(power)"_attr, "mode-above-setting", "@ W, input 20..60 V", draws, "100.2", "99.8");
    // 20 A x 38 V is 760 W: less than a tenth below the lowest of the pack.
    list.put(
        PartKind::inverter, "(power)"_attr, "setting-too-high", "E1",
        across(start + "@ W, input 38..60 V }\nswitch K1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc }",
               "K1 (direct) E1", rests),
        "759.3", "760.7");
    put("input"_attr, "input-voltage", "500 W, input 20..@ V", draws, "50.05", "49.9");
    put("input"_attr, "undervoltage", "500 W, input @..60 V", draws, "39.9", "40.05");
    put("charges"_attr, "charge-voltage", "10 W, input 20..60 V, charges @ V 5 A", rests, "50.2", "50.3");
    list.put(PartKind::inverter, "charges"_attr, "setting-too-high", "E1",
             start +
                 "10 W, input 20..60 V, charges 50 V @ A }\n"
                 "route X1.2 (W10 120 mm2, 0.2 m, red) E1 (W11 120 mm2, 0.2 m, black) X2.2\n" +
                 rests,
             "197.0", "197.4");
}

void of_loads(List& list) {
    list.put(PartKind::load, "works"_attr, "input-voltage", "E1",
             across("load E1 { 48 V, 1 A, acts-as current, works 20..@ V }", "E1"), "50.05", "49.9");
    list.put(PartKind::load, "works"_attr, "undervoltage", "E1",
             across("load E1 { 48 V, 1 A, acts-as current, works @..60 V }", "E1"), "39.9", "40.05");
    // 50 V is 1.35 times 37.04 V, and 0.7 times 71.43 V.
    list.put(PartKind::load, "(rated-voltage)"_attr, "wrong-rail", "E1",
             across("load E1 { @ V, 1 A, acts-as current }", "E1"), "37.1", "37.0");
    list.put(PartKind::load, "(rated-voltage)"_attr, "wrong-rail", "E1",
             across("load E1 { @ V, 1 A, acts-as current }", "E1"), "71.3", "71.5");
    // A display that draws 2 A, and a lamp that returns over its pin.
    list.put(
        PartKind::bms, "pin"_attr, "overloaded-pin", "U2",
        across("bms U2 { side high, drives K2, discharge 200 A, charge 200 A, trips 300 A after 1 s\n"
               "pin v supply 2 A, pin gnd return }\n"
               "contactor K2 { carries 20 A, breaks 900 A at 80 V dc, coil 48 V 100 mA, coil-works 20..60 "
               "V, suppression diode }\n"
               "load E1 { 48 V, @ A, acts-as current, works 20..60 V }\n"
               "route X1.3 (W20 1 mm2, 0.5 m) E1 (W21 1 mm2, 0.5 m) U2.gnd",
               "U2.v\nroute U2.gnd"),
        "0.999", "1.001");
    list.put(PartKind::device, "pin"_attr, "overloaded-pin", "A1",
             across("device A1 { pin v supply 2 A, pin gnd return }\n"
                    "load E1 { 48 V, @ A, acts-as current, works 20..60 V }\n"
                    "route X1.3 (W20 1 mm2, 0.5 m) E1 (W21 1 mm2, 0.5 m) A1.gnd",
                    "A1.v\nroute A1.gnd"),
             "0.999", "1.001");
}

// Heat: 1 K/W on 20 W lost is 20 K above the 30 degC of the bench.
void of_heat(List& list) {
    const std::string at_1 = ", losses 20 W, thermal-resistance 1 K/W, ";
    const auto put = [&](PartKind kind, const std::string& begin, const std::string& name,
                         const std::string& rest, const std::string& through, const std::string& mode) {
        const auto with = [&](const std::string& more) {
            return across(begin + more + " }" + rest, through, mode);
        };
        list.put(kind, "gives-less-from"_attr, "controller-gives-less", name,
                 with(at_1 + "gives-less-from @ degC"), "50.05", "49.95");
        list.put(kind, "cuts-out-at"_attr, "cuts-out", name, with(at_1 + "cuts-out-at @ degC"), "50.05",
                 "49.95");
        list.put(kind, "highest-ambient"_attr, "overheated-box", name, with(", highest-ambient @ degC"),
                 "30.03", "29.97");
    };
    const std::string rests = "mode on { others at rest }\n";
    put(PartKind::controller, drive + "input 20..60 V, supply-limit 20 A, phase-peak 10 A", "U1",
        "\n" + motor, "U1.+\nroute U1.-", "mode on { U1 draws 10 A, others at rest }\n");
    put(PartKind::inverter, "inverter E1 { capacitance 1 uF, efficiency 100 %, 500 W, input 20..60 V", "E1",
        "", "E1", "mode on { E1 draws 100 W }\n");
    put(PartKind::charger, "charger G1 { output 50 V 5 A, reverse blocked", "G1", "", "G1",
        "mode on { G1 delivers 4 A, others at rest }\n");
    put(PartKind::converter,
        "load E1 { 12 V, 4 A, acts-as current, works 9..15 V }\nconverter D1 { efficiency 90 %, negative "
        "common, "
        "reverse blocked, capacitance 1 uF, input 20..60 V, output 12 V 5 A",
        "D1", "\nroute D1.out+ (W22 1 mm2, 0.2 m) E1 (W23 1 mm2, 0.2 m) D1.out-", "D1.in+\nroute D1.in-",
        rests);
    const auto hot_motor = [](const std::string& more) {
        return across(drive +
                          "input 20..60 V, supply-limit 20 A, phase-peak 10 A }\n"
                          "motor M1 { leads 3, carries 20 A" +
                          more +
                          " }\nroute U1.U (W20 6 mm2, 0.5 m) M1.U\nroute U1.V (W21 6 mm2, 0.5 m) M1.V\n"
                          "route U1.W (W22 6 mm2, 0.5 m) M1.W",
                      "U1.+\nroute U1.-", "mode on { U1 draws 5 A, U1 phases 10 A, others at rest }\n");
    };
    list.put(PartKind::motor, "limit"_attr, "overheated-motor", "M1", hot_motor(at_1 + "limit @ degC"),
             "50.05", "49.95");
    list.put(PartKind::motor, "highest-ambient"_attr, "overheated-box", "M1",
             hot_motor(", highest-ambient @ degC"), "30.03", "29.97");
    list.put(PartKind::load, "highest-ambient"_attr, "overheated-box", "E1",
             across("load E1 { 48 V, 1 A, acts-as current, highest-ambient @ degC }", "E1"), "30.03",
             "29.97");
    list.put(PartKind::location, "highest-ambient"_attr, "overheated-box", "tray",
             across("location tray { ambient 0..30 degC, thermal-resistance 1 K/W, highest-ambient @ degC }\n"
                    "load E1 { 48 V, 1 A, acts-as current, at tray, losses 20 W }",
                    "E1"),
             "50.05", "49.95");
}

}  // namespace

std::vector<Limit> load_limits() {
    List list;
    of_passive(list);
    of_controllers(list);
    of_converters(list);
    of_panels(list);
    of_inverters(list);
    of_loads(list);
    of_heat(list);
    return list.limits;
}

}  // namespace planted
