// Limits of packs, battery management, fuses, breakers and protectors.
#include "tests/checker/ratings_plants.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

const std::string pack_line =
    "pack B1 { voltage 40..50 V, resistance 2 mohm, capacity 100 Ah, discharge 200 A, charge 200 A }";

// A load of 100 A, or a charger of 100 A, on the bars.
const std::string hundred =
    "load E1 { 48 V, 100 A, acts-as current, works 20..60 V }\n"
    "route X1.2 (W10 70 mm2, 0.2 m, red) E1 (W11 70 mm2, 0.2 m, black) X2.2\nmode on { others at rest }\n";
const std::string pulses =
    "load E1 { 48 V, 1 A, acts-as current, works 20..60 V }\n"
    "route X1.2 (W10 70 mm2, 0.2 m, red) E1 (W11 70 mm2, 0.2 m, black) X2.2\n"
    "mode on { E1 draws 100 A for 8 s then 0 A for 900 s repeating, others at rest }\n";
const std::string charging =
    "charger G1 { output 60 V 100 A, reverse blocked }\n"
    "route X1.2 (W10 70 mm2, 0.2 m, red) G1 (W11 70 mm2, 0.2 m, black) X2.2\n"
    "mode charge { G1 delivers 100 A, others at rest }\n";

void of_packs(std::vector<Limit>& limits) {
    const auto put = [&](Attr attribute, const std::string& rule, const std::string& add,
                         const std::string& attributes, const std::string& inside,
                         const std::string& outside) {
        limits.push_back(
            {PartKind::pack, attribute, rule, "B1", add, pack_line,
             "pack B1 { voltage 40..50 V, resistance 2 mohm, capacity 100 Ah, " + attributes + " }", inside,
             outside});
    };
    put("discharge"_attr, "overdrawn-pack", hundred, "discharge @ A, charge 200 A", "100.1", "99.9");
    put("charge"_attr, "overdrawn-pack", charging, "discharge 200 A, charge @ A", "100.1", "99.9");
    put("peak"_attr, "overdrawn-pack", pulses, "discharge 50 A, charge 200 A, peak @ A for 10 s", "100.1",
        "99.9");
    put("peak"_attr, "overdrawn-pack", pulses, "discharge 50 A, charge 200 A, peak 150 A for @ s", "8.01",
        "7.99");
    put("discharge-at"_attr, "limit-at-temperature", hundred,
        "discharge 200 A, charge 200 A, discharge-at 30 degC @ A", "100.1", "99.9");
    put("charge-at"_attr, "limit-at-temperature", charging,
        "discharge 200 A, charge 200 A, charge-at 30 degC @ A", "100.1", "99.9");
    // 100 A, 2 mohm, 1 K/W: 20 K over the hottest ambient, 30 degC.
    put("cuts-out-at"_attr, "pack-too-hot", hundred,
        "discharge 200 A, charge 200 A, mass 0.1 kg, thermal-resistance 1 K/W, cuts-out-at @ degC", "50.05",
        "49.95");
    limits.push_back(
        {PartKind::pack, "taps"_attr, "uneven-discharge", "B1",
         "fuse F5 { 5 A, 80 V dc, breaks 50 kA at 80 V dc, curve ul248-14 }\n"
         "load E1 { 12 V, @ A, acts-as current, works 9..17 V }\n"
         "route B1.t4 (W10 1 mm2, 0.1 m, red) F5 (W11 1 mm2, 1 m, red) E1 (W12 1 mm2, 1 m, black) X2.2\n"
         "mode on { others at rest }\n",
         pack_line,
         "pack B1 { cells 12s4p, cell-voltage 3.3..4.16 V, cell-resistance 2 mohm, cell-capacity 25 Ah, "
         "discharge "
         "200 A, charge 200 A, taps 4 }",
         "0.0999", "0.1001"});
}

void of_bms(std::vector<Limit>& limits) {
    const auto put = [&](Attr attribute, const std::string& rule, const std::string& add,
                         const std::string& attributes, const std::string& inside,
                         const std::string& outside) {
        for (const bool low : {true, false})
            limits.push_back(
                {PartKind::bms, attribute, rule, "Q1",
                 "bms Q1 { side " + std::string(low ? "low" : "high") +
                     ", ports common, resistance 0.1 mohm, " + attributes + " }\n" + add,
                 low ? "route B1.- (W3 70 mm2, 0.1 m, black) X2.1" : "route B1.+ (W1 70 mm2, 0.1 m, red) F1",
                 low ? "route B1.- (W3 70 mm2, 0.1 m, black) Q1 (W4 70 mm2, 0.1 m) X2.1"
                     : "route B1.+ (W4 70 mm2, 0.1 m, red) Q1.B+\nroute Q1.P+ (W1 70 mm2, 0.1 m, red) F1",
                 inside, outside});
    };
    put("discharge"_attr, "overdrawn-bms", hundred, "discharge @ A, charge 20 A, trips 300 A after 1 s",
        "100.1", "99.9");
    put("charge"_attr, "overdrawn-bms", charging, "discharge 20 A, charge @ A, trips 300 A after 1 s",
        "100.1", "99.9");
    put("trips"_attr, "overdrawn-bms", pulses, "discharge 200 A, charge 200 A, trips @ A after 7 s", "100.1",
        "99.9");
    put("trips"_attr, "overdrawn-bms", pulses, "discharge 200 A, charge 200 A, trips 90 A after @ s", "8.01",
        "7.99");
    put("charge-trips"_attr, "overdrawn-bms", charging,
        "discharge 200 A, charge 200 A, trips 300 A after 1 s, charge-trips @ A after 2 s", "100.1", "99.9");
    put("discharge-at"_attr, "limit-at-temperature", hundred,
        "discharge 200 A, charge 200 A, trips 300 A after 1 s, discharge-at 30 degC @ A", "100.1", "99.9");
    put("charge-at"_attr, "limit-at-temperature", charging,
        "discharge 200 A, charge 200 A, trips 300 A after 1 s, charge-at 30 degC @ A", "100.1", "99.9");
    limits.push_back(
        {PartKind::bms, "cuts-out-at"_attr, "pack-too-hot", "B1",
         "bms Q1 { side low, ports common, resistance 0.1 mohm, discharge 200 A, charge 200 A, "
         "trips 300 A after 1 s, cuts-out-at @ degC }\n"
         "route B1.- (W4 70 mm2, 0.1 m) Q1.B-\n" +
             hundred,
         pack_line,
         "pack B1 { voltage 40..50 V, resistance 2 mohm, capacity 100 Ah, discharge 200 A, charge "
         "200 A, mass 0.1 kg, thermal-resistance 1 K/W }",
         "50.05", "49.95"});
    // In a string of two packs of 50 V it stands both when it opens.
    limits.push_back({PartKind::bms, "(rated-voltage)"_attr, "contact-voltage", "Q1",
                      "bms Q1 { @ V, side low, ports common, resistance 0.1 mohm, discharge 200 A, charge "
                      "200 A, trips 300 A after "
                      "1 s }\nbms Q2 { 500 V, side low, ports common, resistance 0.1 mohm, discharge 200 A, "
                      "charge 200 A, trips 300 "
                      "A after 1 s }\npack B2 { voltage 40..50 V, resistance 2 mohm, capacity 100 Ah, "
                      "discharge 200 A, charge 200 A "
                      "}\n",
                      "route B1.- (W3 70 mm2, 0.1 m, black) X2.1",
                      "route B1.- (W3 70 mm2, 0.1 m) Q1.B-\nroute Q1.P- (W4 70 mm2, 0.1 m) B2.+\n"
                      "route B2.- (W5 70 mm2, 0.1 m) Q2.B-\nroute Q2.P- (W6 70 mm2, 0.1 m) X2.1",
                      "100", "99.9"});
}

// A device between the bar and a load of 10 A.
std::string guarded(const std::string& device) {
    return device +
           "\nload E1 { 48 V, 10 A, acts-as current, works 20..60 V }\n"
           "route X1.2 (W10 6 mm2, 0.5 m, red) F5 (W11 6 mm2, 0.5 m, red) E1 (W12 6 mm2, 0.5 m, black) "
           "X2.2\nmode on { others at rest }\npolicy { continuous-fuse-load 100 % }\n";
}

void of_devices(std::vector<Limit>& limits) {
    for (const bool fuse : {true, false}) {
        const PartKind kind = fuse ? PartKind::fuse : PartKind::breaker;
        const std::string begin =
            fuse ? "fuse F5 { curve ul248-14, " : "breaker F5 { curve iec60898-b, reset hand, ";
        const auto put = [&](Attr attribute, const std::string& rule, const std::string& attributes,
                             const std::string& inside, const std::string& outside) {
            limits.push_back(
                {kind, attribute, rule, "F5", guarded(begin + attributes + " }"), "", "", inside, outside});
        };
        put("(rated-current)"_attr, "overloaded-fuse",
            "@ A, 80 V dc, breaks 50 kA at 80 V dc" + std::string(fuse ? ", rated-at 30 degC" : ""), "10.01",
            "9.99");
        put("(operational-voltage)"_attr, "fuse-voltage", "16 A, @ V dc, breaks 50 kA at 80 V dc", "50.01",
            "49.95");
        put("breaks"_attr, "fuse-voltage", "16 A, 80 V dc, breaks 50 kA at @ V dc", "50.01", "49.95");
        put("breaks"_attr, "fuse-breaking-capacity", "16 A, 80 V dc, breaks @ A at 80 V dc", "50000", "100");
    }
    // 10.2 A x (1 - 0.002 x (30 - T)) is 10 A at T = 20.196 degC.
    limits.push_back(
        {PartKind::fuse, "rated-at"_attr, "overloaded-fuse", "F5",
         guarded("fuse F5 { curve ul248-14, 10.2 A, 80 V dc, breaks 50 kA at 80 V dc, rated-at @ degC }"), "",
         "", "20.3", "20.1"});
    // 10.3 A x (1 - 0.006 x (30 - T)) is 10 A at T = 25.146 degC.
    limits.push_back(
        {PartKind::breaker, "rated-at"_attr, "overloaded-fuse", "F5",
         guarded("breaker F5 { curve iec60898-b, reset hand, 10.3 A, 80 V dc, breaks 50 kA at 80 V "
                 "dc, rated-at @ degC }"),
         "", "", "25.3", "25.0"});
    limits.push_back(
        {PartKind::breaker, "reset"_attr, "self-closing-breaker", "F5",
         guarded("breaker F5 { curve iec60898-b, 16 A, 80 V dc, breaks 50 kA at 80 V dc, reset @ }"), "", "",
         "power-off", "itself"});
}

void of_protectors(std::vector<Limit>& limits) {
    const auto put = [&](Attr attribute, const std::string& rule, const std::string& attributes,
                         const std::string& inside, const std::string& outside) {
        limits.push_back({PartKind::protector, attribute, rule, "F5",
                          guarded("protector F5 { resistance 0.1 mohm, " + attributes + " }"), "", "", inside,
                          outside});
    };
    const std::string rest = ", trips 300 A after 1 s, breaks 50 kA at 80 V dc, reset hand";
    put("(rated-current)"_attr, "overloaded-protector", "@ A, 80 V dc" + rest, "10.01", "9.99");
    put("(operational-voltage)"_attr, "contact-voltage", "16 A, @ V dc" + rest, "50.01", "49.95");
    put("trips"_attr, "overloaded-protector",
        "16 A, 80 V dc, trips @ A after 1 s, breaks 50 kA at 80 V dc, reset hand", "10.01", "9.99");
    put("breaks"_attr, "fuse-breaking-capacity",
        "16 A, 80 V dc, trips 300 A after 1 s, breaks @ A at 80 V dc, reset hand", "50000", "100");
    put("breaks"_attr, "contact-voltage",
        "16 A, 80 V dc, trips 300 A after 1 s, breaks 50 kA at @ V dc, reset hand", "50.01", "49.95");
    put("reset"_attr, "self-closing-breaker",
        "16 A, 80 V dc, trips 300 A after 1 s, breaks 50 kA at 80 V dc, reset @", "hand", "itself");
}

}  // namespace

std::string limit_bench() {
    return "loom 1\nharness \"limits\" { ambient 10..30 degC, insulation xlpe 90 degC }\n" + pack_line +
           "\nfuse F1 { 200 A, 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-5 }\n"
           "busbar X1 { studs 9, carries 400 A }\nbusbar X2 { studs 9, carries 400 A }\n"
           "route B1.+ (W1 70 mm2, 0.1 m, red) F1 (W2 70 mm2, 0.1 m, red) X1.1\n"
           "route B1.- (W3 70 mm2, 0.1 m, black) X2.1\n";
}

std::string with_figure(const Limit& limit, const std::string& figure) {
    std::string text = limit_bench() + limit.add;
    if (!limit.from.empty()) text.replace(text.find(limit.from), limit.from.size(), limit.to);
    for (std::size_t at = text.find('@'); at != std::string::npos; at = text.find('@', at))
        text.replace(at, 1, figure);
    return text;
}

std::vector<Limit> source_limits() {
    std::vector<Limit> limits;
    of_packs(limits);
    of_bms(limits);
    of_devices(limits);
    of_protectors(limits);
    return limits;
}

}  // namespace planted
