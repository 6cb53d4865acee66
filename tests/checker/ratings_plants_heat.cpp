// The air that parts other than electronics stand: in the 30 degC of the bench.
#include "tests/checker/ratings_plants.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

std::vector<Limit> heat_limits() {
    struct Stands {
        PartKind kind;
        std::string statement;  // up to what stands at its end
    };
    const std::string coil = "coil 48 V 100 mA, coil-works 20..60 V, suppression diode, ";
    const std::vector<Stands> all = {
        {PartKind::bms,
         "bms Z1 { side low, ports common, discharge 20 A, charge 20 A, trips 40 A after 1 s, resistance 1 "
         "mohm"},
        {PartKind::protector,
         "protector Z1 { 10 A, 60 V dc, trips 15 A after 100 ms, resistance 6 mohm, breaks 2 kA at 60 V dc"},
        {PartKind::fuse_block, "fuse-block Z1 { ways 2, feed separate, carries 60 A, way-carries 20 A, 80 V"},
        {PartKind::contactor, "contactor Z1 { " + coil + "carries 20 A, breaks 20 A at 80 V dc"},
        {PartKind::relay, "relay Z1 { contacts no, " + coil + "carries 20 A, breaks 20 A at 80 V dc"},
        {PartKind::switch_, "switch Z1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc"},
        {PartKind::selector,
         "selector Z1 { terminals a b, position off, position on a b, carries 20 A, breaks 20 A at 80 V dc"},
        {PartKind::terminal_block, "terminal-block Z1 { 100 V, ways 2, carries 20 A, takes 1..6 mm2"},
        {PartKind::busbar, "busbar Z1 { studs 2, carries 40 A"},
        {PartKind::shunt, "shunt Z1 { 50 A, drop 75 mV"},
        {PartKind::resistor, "resistor Z1 { 10 ohm, 10 W"},
        {PartKind::capacitor, "capacitor Z1 { 1 mF, 100 V"},
        {PartKind::diode, "diode Z1 { 10 A, 100 V, drop 0.7 V"},
    };
    std::vector<Limit> limits;
    for (const Stands& each : all)
        limits.push_back({each.kind, "highest-ambient"_attr, "overheated-box", "Z1",
                          each.statement + ", highest-ambient @ degC }\nmode on { others at rest }\n", "", "",
                          "30.03", "29.97"});
    return limits;
}

}  // namespace planted
