// What was published of single parts lies inside the plausible ranges.
#include <catch2/catch.hpp>

#include "tests/checker/plausible_parts.hpp"

namespace plausible_anchors_test {

using namespace loomward;
using namespace loomward::testing::plausible;

// Single parts that somebody published. They were read where the table says "seen", and none was the only
// ground of its row.
TEST_CASE("published points lie inside the plausible ranges", "[plausible]") {
    const char* sealed = "data sheet of a sealed contactor of the 400..500 A class: 30 mV per 100 A";
    const char* relays = "data sheets of two vehicle relays: 30 mV (20 A) and 50 mV (25 A) at 10 A";
    const char* lamp_relay = "data sheet of a 30 A vehicle relay for lamps: typical 3 mohm";
    const char* blades = "design note that repeats two data sheets of blade fuses (second hand)";
    const char* tubes = "data sheet of glass tube fuses 6.3 x 25 mm to UL 248-14, cold resistance";
    const char* examples = "table of example cells of an open-source battery management design";
    const char* article = "article on the resistance of LFP cells";
    const char* batteries = "data sheets of complete 12.8 V LFP batteries without a switch";
    const char* coils = "data sheets of vehicle relays, coil power";
    const char* precharge = "page on precharge of light vehicle controllers";
    const char* filaments = "relay tutorial, text on power switching, measurement (stage lighting)";
    const std::string nmc = "cells 13s1p, cell-voltage 3.0..4.2 V, cell-resistance unknown, cell-capacity ";
    const std::string lfp = "cells 4s1p, cell-voltage 2.5..3.65 V, cell-resistance unknown, cell-capacity ";
    const std::string lto = "cells 20s1p, cell-voltage 1.5..2.8 V, cell-resistance unknown, cell-capacity ";
    const std::string lithium = "voltage 10..14.6 V, resistance unknown, capacity ";
    const std::string lead = "voltage 10.5..14.4 V, resistance unknown, capacity ";
    const std::string drive = controller("input 30..60 V, supply-limit 50 A");
    const std::string lamp = "load Z1 { 12 V, 1 A }\n";
    const auto tube = [](const std::string& rated) { return fuse(rated + ", curve ul248-14"); };
    const struct {
        std::string part;
        Attr attribute;
        double value;  // base unit
        const char* source;
        std::size_t place = 0;
    } table[] = {
        {contactor("400 A"), resistance, 0.3e-3, sealed},
        {contactor("500 A"), resistance, 0.3e-3, sealed},
        {contactor("500 A", "12 V unknown"), "coil"_attr, 3.8, "the same, largest current listed", 1},
        {relay("20 A"), resistance, 3e-3, relays},
        {relay("25 A"), resistance, 5e-3, relays},
        {relay("30 A"), resistance, 3e-3, lamp_relay},
        {relay("25 A"), "coil"_attr, 0.48 / 12, coils, 1},
        {relay("25 A"), "coil"_attr, 0.8 / 12, coils, 1},
        {relay("25 A"), "coil"_attr, 1.9 / 12, coils, 1},
        {relay("10 A"), "coil"_attr, 0.36 / 12, "data sheets of industrial relays of 8..10 A", 1},
        {relay("10 A"), "coil"_attr, 1.3 / 12, "data sheets of industrial relays of 8..10 A", 1},
        {fuse("40 A, curve iso8820-3"), resistance, 1.44e-3, blades},
        {fuse("40 A, curve iso8820-3"), resistance, 0.096 / 40, blades},
        {fuse("30 A, curve iso8820-3-e"), resistance, 1.9e-3, blades},
        {fuse("35 A, curve iso8820-3-e"), resistance, 1.7e-3, blades},
        {fuse("40 A, curve iso8820-3-e"), resistance, 1.4e-3, blades},
        {fuse("40 A, curve iso8820-3-e"), resistance, 0.075 / 40, blades},
        {tube("1 A"), resistance, 162.5e-3, tubes},
        {tube("2 A"), resistance, 68.25e-3, tubes},
        {tube("5 A"), resistance, 20.5e-3, tubes},
        {tube("10 A"), resistance, 8.67e-3, tubes},
        {tube("20 A"), resistance, 3.58e-3, tubes},
        {tube("30 A"), resistance, 2.15e-3, tubes},
        {tube("0.5 A"), resistance, 0.478, tubes},
        {tube("0.25 A"), resistance, 2.79, tubes},
        {connector("30 A"), contact, 0.55e-3, "the same design note, contact for 3.3 mm2"},
        {"stud Z1\n", resistance, 0.30e-3, "MIL-DTL-83454A Table VIII, 7.5 mV at 25 A"},
        {"stud Z1\n", resistance, 0.17e-3, "MIL-DTL-83454A Table VIII, 7.5 mV at 43 A"},
        {cells(lfp + "100 Ah"), cell, 0.6e-3, article},
        {cells(lfp + "300 Ah"), cell, 0.4e-3, article},
        {cells(nmc + "60 Ah"), cell, 0.8e-3, examples},
        {cells(nmc + "3 Ah"), cell, 40e-3, examples},
        {cells(nmc + "1.8 Ah"), cell, 30e-3, examples},
        {cells(nmc + "25.9 Ah"), cell, 2e-3, examples},
        {cells(lto + "20 Ah"), cell, 1e-3, examples},
        {cells(lithium + "100 Ah"), resistance, 2e-3, batteries},
        {cells(lithium + "200 Ah"), resistance, 2e-3, batteries},
        {cells(lithium + "300 Ah"), resistance, 1e-3, batteries},
        {cells(lead + "7 Ah"), resistance, 25e-3, "data sheet of 7 Ah as quoted by a laboratory"},
        {cells(lead + "17 Ah"), resistance, 7e-3, "paper of 1999 on a dc breaker for battery packs"},
        {cells(lead + "190 Ah"), resistance, 3.3e-3, "engineering forum on bolted faults"},
        {cells(nmc + "3 Ah"), "aged-resistance"_attr, 200, "battery encyclopaedia, end of life"},
        {bms("40 A"), "standby"_attr, 0.03e-3, "data sheets of protection boards"},
        {bms("40 A"), "standby"_attr, 3.6e-3, "data sheets of protection boards"},
        {drive, "precharges"_attr, 220, precharge, 1},
        {drive, "precharges"_attr, 1000, precharge, 1},
        {lamp, "inrush"_attr, 7.2, filaments},
        {lamp, "inrush"_attr, 18, filaments},
    };
    for (const auto& row : table) {
        INFO(row.part << info(row.attribute).name << ": " << row.source);
        const auto found = range_of(row.part, row.attribute, row.place);
        REQUIRE(found);
        CHECK(found->range.lo <= row.value * (1 + 1e-9));
        CHECK(found->range.hi >= row.value * (1 - 1e-9));
    }
    CHECK(plausible_value(Kind::policy, "joint-resistance"_attr)->range.hi >= 0.1 / 200);  // workshop manual
    CHECK(plausible_value(Kind::location, "ambient"_attr)->range.hi >= 82);  // bulletin for inboard engines
}

}  // namespace plausible_anchors_test
