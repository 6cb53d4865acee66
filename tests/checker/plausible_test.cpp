// Plausible ranges: the table is sound, and parts get the rows that are theirs.
#include "checker/tables/plausible.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <set>

#include "parser/language/shapes.hpp"
#include "parser/language/units.hpp"
#include "tests/checker/plausible_parts.hpp"

namespace plausible_test {

using namespace loomward;
using namespace loomward::testing::plausible;

namespace {

struct Worked {
    std::string part;
    Attr attribute;
    double low, high;  // by hand, base unit; the working beside it
    std::size_t place = 0;
};

void check_worked(const std::vector<Worked>& table) {
    for (const Worked& row : table) {
        INFO(row.part << info(row.attribute).name);
        const auto found = range_of(row.part, row.attribute, row.place);
        REQUIRE(found);
        CHECK(found->range.lo == Approx(row.low).epsilon(1e-4));
        CHECK(found->range.hi == Approx(row.high).epsilon(1e-4));
        CHECK_FALSE(found->source.empty());
        CHECK_FALSE(found->applies.empty());
    }
}

}  // namespace

TEST_CASE("a contact has the millivolts of its row over its own rated current", "[plausible]") {
    check_worked({
        {contactor("100 A"), resistance, 0.2e-3, 1.5e-3},       // 20..150 mV of both rows / 100 A
        {contactor("50..80 A"), resistance, 0.375e-3, 3e-3},    // 30 mV / 80 A, 150 mV / 50 A
        {contactor("unknown"), resistance, 0.04e-3, 7.5e-3},    // 20 mV / 500 A, 150 mV / 20 A
        {contactor("1000 A"), resistance, 0.02e-3, 0.15e-3},    // beyond the last class: the last class
        {relay("10 A"), resistance, 3e-3, 100e-3},              // no scaling
        {relay("40 A"), resistance, 1e-3, 20e-3},               // 40 mV new, 2 x 400 mV aged, / 40 A
        {relay("70 A"), resistance, 1e-3, 800e-3 / 70},         // 40 mV / 70 A is below 1 mohm
        {hand_switch("10 A"), resistance, 2e-3, 30e-3},         // 20..300 mV / 10 A
        {hand_switch("0.5 A"), resistance, 10e-3, 100e-3},      //
        {hand_switch("30 A"), resistance, 0.5e-3, 10e-3},       // between: 15 mV / 30 A, 300 mV / 30 A
        {hand_switch("300 A"), resistance, 0.05e-3, 1e-3 / 3},  // 15..100 mV / 300 A
        {selector("100 A"), resistance, 0.1e-3, 2.4e-3},        // 20..120 mV, low confidence: 10..240 mV
    });
}

TEST_CASE("a fuse has the millivolts of its family", "[plausible]") {
    check_worked({
        {fuse("20 A, curve iso8820-3"), resistance, 2.5e-3, 7.5e-3},     // 50..150 mV / 20 A
        {fuse("3 A, curve iso8820-3"), resistance, 40e-3 / 3, 0.4 / 3},  // 80..200 mV, low: 40..400 mV
        {fuse("80 A, curve iso8820-3-e"), resistance, 0.5e-3, 1.625e-3},
        {fuse("100 A, curve iso8820-5"), resistance, 0.2e-3, 2.6e-3},    // 40..130 mV, low: 20..260 mV
        {fuse("500 A, curve iso8820-5"), resistance, 0.08e-3, 0.52e-3},  // not below 0.08 mohm
        {fuse("0.5 A, curve iec60127-t"), resistance, 0.3, 5},           // 150..2500 mV / 0.5 A
        {fuse("10 A, curve iec60269-gg"), resistance, 6e-3, 35e-3},      // 60..350 mV / 10 A
        // Nobody knows the family: link 35..120 mV, low: 17.5..240 mV; class T and NH lie inside.
        {fuse("600 A, point 3 kA 1..10 s"), resistance, 0.0175 / 600, 0.240 / 600},
        {"breaker Z1 { 25 A, 60 V dc, breaks unknown, curve iec60898-c }\n", resistance, 2.4e-3, 12e-3},
    });
}

TEST_CASE("joints span new and aged", "[plausible]") {
    check_worked({
        {connector("30 A"), contact, 0.3e-3, 12e-3},   // new 0.3 mohm; aged 6 mohm, low: 12 mohm
        {connector("35 A"), contact, 0.15e-3, 12e-3},  // between 20..30 A and 40..75 A
        {connector("2 A"), contact, 2e-3, 120e-3},
        {spliced("method clamp", "2.5 mm2"), resistance, 0.3e-3, 2e-3},
        {spliced("method crimp", "2.5 mm2"), resistance, 0.05e-3, 0.6e-3},
        // 10 mm x 1/58 ohm mm2/m / 16 mm2; 60 mm x 1.21 ohm/km (IEC 60228 class 5)
        {spliced("method crimp", "16 mm2"), resistance, 0.010 / 58 / 16, 0.060 * 1.21e-3},
        {spliced("", "2.5 mm2"), resistance, 0.05e-3, 2e-3},  // nobody says how it is made
        {"stud Z1\n", resistance, 0.01e-3, 2e-3},             // new 0.01 mohm; aged 1 mohm, low: 2 mohm
        {"busbar Z1 { studs 3, carries 200 A }\n", resistance, 0.01e-3, 0.1e-3},
    });
}

TEST_CASE("cells and packs go by charge, and packs by cells in line", "[plausible]") {
    const auto nmc = [](const std::string& charge) {
        return cells("cells 13s1p, cell-voltage 3.0..4.2 V, cell-resistance unknown, cell-capacity " +
                     charge);
    };
    check_worked({
        {nmc("50 Ah"), cell, 0.5e-3, 2e-3},   // pouch 25, prismatic 100 mohm Ah / 50 Ah
        {nmc("10 Ah"), cell, 0.3e-3, 19e-3},  // high-rate pouch 6, low: 3; 21700 190 mohm Ah up to 15 Ah
        {cells("cells 16s1p, cell-voltage 2.5..3.65 V, cell-resistance unknown, cell-capacity 280 Ah"), cell,
         0.040 / 280, 0.200 / 280},
        {cells("cells 13s12p, cell-voltage 3.0..4.2 V, cell-resistance 30 mohm, cell-capacity 3 Ah"),
         "link-resistance"_attr, 0.025 * 0.0325, 0.8 * 0.0325},  // 13 x 30 / 12 = 32.5 mohm; 5..40 %, low
        // 13 cells of 50 Ah: 2.5 % of 13 x 0.5 mohm, 80 % of 13 x 2 mohm
        {nmc("50 Ah"), "link-resistance"_attr, 0.025 * 13 * 0.5e-3, 0.8 * 13 * 2e-3},
        {nmc("50 Ah"), "aged-resistance"_attr, 100, 200},
        // 58.4 V, 200 Ah: 20.86 LTO cells x 8 mohm Ah; 4 LFP blocks with their switch x 1500, low: 3000
        {cells("voltage 44..58.4 V, resistance unknown, capacity 200 Ah"), resistance,
         8e-3 * 58.4 / 2.8 / 200, 3.0 * 4 / 200},
        // 54.6 V, 20 Ah: 13 high-rate pouches x 6 mohm Ah, low: 3; 14.96 LFP cells x 280
        {cells("voltage 39..54.6 V, resistance unknown, capacity 20 Ah"), resistance, 3e-3 * 13 / 20,
         0.28 * 54.6 / 3.65 / 20},
        {bms("40 A"), resistance, 1.25e-3, 11.25e-3},  // 50..450 mV / 40 A
        {bms("100 A"), resistance, 0.15e-3, 5e-3},     // 30..250 mV, low: 15..500 mV; it closes no gap
        {bms("100 A"), "standby"_attr, 0.01e-3, 0.12},
    });
}

TEST_CASE("drives, converters, coils and loads go by their current, power and voltage", "[plausible]") {
    const std::string lamp = "load Z1 { 12 V, 60 W }\n";
    check_worked({
        {controller("input 30..60 V, supply-limit 25 A"), capacitance, 0.1875e-3, 6e-3},  // 7.5..240 uF/A
        // 220 A x 80 % x 40 % = 70.4 A
        {controller("input 30..60 V, phase-peak 220 A, phase-limit 80 % of phase-peak, supply-limit 40 % of "
                    "phase-limit"),
         capacitance, 70.4 * 7.5e-6, 70.4 * 240e-6},
        // 60 to 80 % of it: from 52.8 A on
        {controller(
             "input 30..60 V, phase-peak 220 A, phase-limit 60..80 % of phase-peak, supply-limit 40 % of "
             "phase-limit"),
         capacitance, 52.8 * 7.5e-6, 70.4 * 240e-6},
        {controller("input 10..16 V, supply-limit 50 A"), capacitance, 0.5e-3, 25e-3},  // 20..250 uF/A, low
        {controller("input 200..400 V, supply-limit 100 A"), capacitance, 50e-6, 3.2e-3},  // 20..40 kW
        {controller("input 30..60 V, supply-limit 25 A"), "standby"_attr, 0, 0.4},
        // 120 W: 0.5 uF x 120 x (48/60)2 = 38 uF, not below 47 uF; 30 uF x 120 x (48/40)2
        {converter("input 40..60 V, output 12 V 10 A, negative common"), capacitance, 47e-6, 5184e-6},
        {converter("input 40..60 V, output 12 V 10 A, negative common"), "efficiency"_attr, 88, 97},
        {converter("input 40..60 V, output 12 V 10 A, negative isolated"), "efficiency"_attr, 80, 93},
        {converter("input 40..60 V, output 12 V 10 A, negative common"), "short-circuit"_attr, 0.25, 16},
        {"charger Z1 { output 54 V 20 A }\n", "short-circuit"_attr, 10, 120},
        {lamp, "inrush"_attr, 5, 500},  // 5 A running: 1 times, 50 times of low confidence
        {lamp, "inrush"_attr, 50e-6, 20, 1},
        {"load Z1 { 12 V, 60 W, acts-as resistor }\n", "inrush"_attr, 5, 90},  // heater 1, filament 18 times
        {lamp, "stall"_attr, 20, 60},
        {contactor("100 A", "48 V unknown"), "coil"_attr, 4.0 / 48, 20.0 / 48, 1},
        {contactor("300 A", "48 V unknown"), "coil"_attr, 0.025, 1.25, 1},  // holding 1.2 W, pulling in 60 W
        {relay("40 A", "12 V unknown"), "coil"_attr, 0.45 / 12, 2.2 / 12, 1},
        {"shunt Z1 { 200 A, drop unknown }\n", "drop"_attr, 0.05, 0.1},
        {"diode Z1 { 20 A, 60 V, drop unknown }\n", "drop"_attr, 0.02, 1.2},
    });
}

TEST_CASE("wires, places and policies have ranges without a part", "[plausible]") {
    const Harness harness = harness_of(spliced("", "2.5 mm2"));
    const auto length = plausible_value(harness, WireId(0), "(length)"_attr);
    REQUIRE(length);
    CHECK(length->range.lo == Approx(0.025));
    CHECK(length->range.hi == Approx(50));
    CHECK(length->source == "no source");
    CHECK(length->how == "memory");
    CHECK(length->confidence == "low");
    const auto place = plausible_value(Kind::location, "ambient"_attr);
    REQUIRE(place);
    CHECK(place->range.lo == Approx(-40));
    CHECK(place->range.hi == Approx(90));
    CHECK(plausible_value(Kind::bundle, "ambient"_attr)->range.hi == Approx(90));
    CHECK(plausible_value(Kind::harness, "ambient"_attr)->range.hi == Approx(45));
    const auto joint = plausible_value(Kind::policy, "joint-resistance"_attr);
    REQUIRE(joint);
    CHECK(joint->range.lo == Approx(0.01e-3));
    CHECK(joint->range.hi == Approx(2.1e-3));
    CHECK_FALSE(plausible_value(Kind::fuse, "resistance"_attr));
}

TEST_CASE("nothing is plausible of ratings, nor where nothing bounds it", "[plausible]") {
    CHECK_FALSE(range_of(contactor("100 A"), "carries"_attr));
    CHECK_FALSE(range_of(fuse("20 A, curve iso8820-3"), "breaks"_attr));
    CHECK_FALSE(range_of("charger Z1 { output 54 V unknown }\n", "short-circuit"_attr));
    CHECK_FALSE(range_of("load Z1 { 12 V, unknown A }\n", "stall"_attr));
    CHECK_FALSE(
        range_of(cells("voltage 44..58 V, resistance 20 mohm, capacity 20 Ah"), "link-resistance"_attr));
}

TEST_CASE("what a part leaves open never makes its range narrower", "[plausible]") {
    const struct {
        std::string open, stated;
        Attr attribute;
    } table[] = {
        {contactor("unknown"), contactor("60 A"), resistance},
        {relay("unknown"), relay("30 A"), resistance},
        {hand_switch("unknown"), hand_switch("100 A"), resistance},
        {connector("unknown"), connector("10 A"), contact},
        {connector("8..90 A"), connector("85 A"), contact},
        {fuse("60 A, point 120 A 1..9 s"), fuse("60 A, curve iso8820-3-e"), resistance},
        {fuse("unknown A, curve iec60269-gg"), fuse("63 A, curve iec60269-gg"), resistance},
        {cells("cells 16s1p, cell-voltage unknown, cell-resistance unknown, cell-capacity unknown"),
         cells("cells 16s1p, cell-voltage 2.5..3.65 V, cell-resistance unknown, cell-capacity 100 Ah"), cell},
        {cells("voltage unknown, resistance unknown, capacity unknown"),
         cells("voltage 44..58 V, resistance unknown, capacity 60 Ah"), resistance},
        {controller("input unknown, supply-limit unknown"), controller("input 30..60 V, supply-limit 60 A"),
         capacitance},
        {converter("input unknown, output unknown V unknown A, negative isolated"),
         converter("input 30..60 V, output 12 V 20 A, negative isolated"), capacitance},
        {spliced("method unknown", "unknown mm2"), spliced("method crimp", "4 mm2"), resistance},
    };
    for (const auto& row : table) {
        INFO(row.open);
        const auto open = range_of(row.open, row.attribute), stated = range_of(row.stated, row.attribute);
        REQUIRE(open);
        REQUIRE(stated);
        CHECK(open->range.lo <= stated->range.lo * (1 + 1e-9));
        CHECK(open->range.hi >= stated->range.hi * (1 - 1e-9));
    }
}

TEST_CASE("a range of sizes is given what each size in it is given", "[plausible]") {
    const double sizes[] = {0.2, 1, 3, 4, 12, 17, 25, 35, 60, 80, 90, 150, 220, 300, 700};
    const auto check_sizes = [&](auto&& part, Attr attribute) {
        for (const double from : sizes)
            for (const double to : sizes) {
                if (to < from) continue;
                const auto wide = range_of(part(fmt::format("{}..{} A", from, to)), attribute);
                REQUIRE(wide);
                for (const double one : {from, to}) {
                    INFO(info(attribute).name << " " << from << ".." << to << ", " << one);
                    const auto narrow = range_of(part(fmt::format("{} A", one)), attribute);
                    REQUIRE(narrow);
                    CHECK(wide->range.lo <= narrow->range.lo * (1 + 1e-9));
                    CHECK(wide->range.hi >= narrow->range.hi * (1 - 1e-9));
                }
            }
    };
    check_sizes(connector, contact);
    check_sizes(hand_switch, resistance);
    check_sizes([](const std::string& carries) { return relay(carries); }, resistance);
    check_sizes([](const std::string& rated) { return fuse(rated + ", point 2 kA 1..9 s"); }, resistance);
    check_sizes(bms, resistance);
}

TEST_CASE("every row of the plausible ranges is sound", "[plausible]") {
    std::set<std::string> different;
    for (std::size_t i = 0; i < kind_count; ++i)
        for (const PlausibleRow& row : plausible_rows(static_cast<Kind>(i))) {
            INFO(info(row.kind).word << " " << info(row.attribute).name << ": " << applies_text(row));
            CHECK(different
                      .insert(std::string(info(row.kind).word) + std::string(info(row.attribute).name) +
                              std::to_string(row.place) + applies_text(row))
                      .second);
            CHECK(find_attribute(row.kind, row.attribute) != nullptr);
            CHECK(row.low < row.high);
            CHECK_FALSE(row.what.empty());
            CHECK_FALSE(row.source.empty());
            CHECK((row.source != "no source" || row.known == RangeKnown::memory));
            CHECK(taken_as(row).from <= row.low);
            CHECK(taken_as(row).to >= row.high);
            CHECK((row.size.to <= 0 || !sizes_of(row.kind, row.attribute).word.empty()));
            for (const std::string_view text : {row.what, row.source, row.note})
                CHECK(text.find('|') == std::string_view::npos);

            // The unit is the one that the scaling takes, and what comes out is what the attribute holds.
            const UnitInfo* unit = find_unit(row.unit);
            const Dimension of_unit = unit ? unit->dimension : Dimension::none;
            CHECK((unit != nullptr) == (row.scaling != Scaling::times_rated));
            if (row.scaling != Scaling::plain) CHECK(of_unit == info(row.scaling).takes);
            const Dimension gives = row.scaling == Scaling::plain ? of_unit : info(row.scaling).gives;
            bool fits = false;
            for (const Form& form : shape_of(row.attribute).forms) {
                std::size_t place = 0;
                for (const Slot& slot : form.slots) {
                    if (slot.type == SlotType::literal) continue;
                    if (place++ == row.place) fits = fits || slot.dimension == gives;
                }
            }
            CHECK(fits);
        }
    CHECK(different.size() > 90);
}

TEST_CASE("packs at their terminals span the cells that they may have", "[plausible]") {
    // The rows of packs by their terminals repeat those of cells: the hull of the rows of NMC cells but the
    // high-rate pouches, with 40 % for links at the high end.
    double low = 1e9, high = 0;
    for (const PlausibleRow& row : plausible_rows(Kind::pack))
        if (row.attribute == cell && row.volts.from >= 3.8 && row.confidence != Confidence::low) {
            low = std::min(low, row.low);
            high = std::max(high, row.high);
        }
    for (const PlausibleRow& row : plausible_rows(Kind::pack))
        if (row.attribute == resistance && row.each_V == 4.2 && row.confidence != Confidence::low) {
            CHECK(row.low == Approx(low));
            CHECK(row.high == Approx(high * 1.4));
        }
    // A cell of a lead battery is a sixth of its block.
    for (const PlausibleRow& one : plausible_rows(Kind::pack))
        for (const PlausibleRow& block : plausible_rows(Kind::pack))
            if (one.attribute == cell && one.volts.to < 2.5 && block.attribute == resistance &&
                block.each_V == 14.4 && block.size.from == one.size.from) {
                CHECK(one.low == Approx(block.low / 6).epsilon(0.01));
                CHECK(one.high == Approx(block.high / 6).epsilon(0.01));
            }
}

TEST_CASE("a pack is made up of a whole number of its cells, and of those that its label names",
          "[plausible]") {
    const auto pack = [](const std::string& label, const std::string& volts, const std::string& charge) {
        return "pack Z1" + (label.empty() ? std::string() : " \"" + label + "\"") + " { voltage " + volts +
               ", capacity " + charge + " }\n";
    };
    check_worked({
        // Blocks of 14.4 V: 350..900 mohm x Ah of 130 to 250 Ah.
        {pack("house bank, AGM", "11..14.4 V", "240 Ah"), resistance, 0.35 / 240, 0.9 / 240},
        {pack("traction battery, lead", "21..28.8 V", "240 Ah"), resistance, 2 * 0.35 / 240, 2 * 0.9 / 240},
        // Four of 3.65 V: 25..280, blocks with their management, of low confidence: 150..3000.
        {pack("iron phosphate", "11..14.4 V", "100 Ah"), resistance, 14.4 / 3.65 * 0.025 / 100,
         14.4 / 14.6 * 3.0 / 100},
        // Nobody says of what: lead or four of iron phosphate; five of titanate would be full at 14 V.
        {pack("", "11..14.4 V", "240 Ah"), resistance, 14.4 / 3.65 * 0.025 / 240, 14.4 / 14.6 * 3.0 / 240},
        // Three of 4.2 V and nothing else is full at 12.6 V.
        {pack("", "9..12.6 V", "50 Ah"), resistance, 3 * 0.025 / 50, 3 * 0.28 / 50},
        // No lead battery is full at 12.6 V, whatever its label says.
        {pack("lead", "9..12.6 V", "50 Ah"), resistance, 3 * 0.025 / 50, 3 * 0.28 / 50},
    });
    // Titanate is left only where it fits.
    CHECK(range_of(pack("", "8..14 V", "40 Ah"), resistance)->range.lo == Approx(5 * 0.008 / 40));
}

}  // namespace plausible_test
