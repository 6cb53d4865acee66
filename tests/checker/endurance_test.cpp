// How long wires, contacts and devices stand what a mode asks, against the steady heat balance, the bands and
// each other.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cmath>

#include "checker/heat/endurance.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "checker/parts/time_current.hpp"
#include "tests/checker/checking.hpp"

namespace endurance_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Results sledge(const std::string& mode, const std::string& fuse = "150 A") {
    return check_text(
        "loom 1\nharness \"Peat sledge\" { ambient 10..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 40..50 V, resistance 2 mohm, capacity 100 Ah, discharge 400 A, charge 200 A }\n"
        "fuse F1 { " +
        fuse +
        ", 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-5 }\n"
        "connector J1 { mate P1, half socket, contacts 1, carries 60 A, 90 V, takes 6..35 mm2, "
        "rated-at 30 degC, limit 105 degC }\n"
        "load E1 { 48 V, 60 A, acts-as current, works 20..60 V }\n"
        "bundle L1 { wrap taped, length 0.5 m }\n"
        "route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.5 m, red, in L1) J1.1\n"
        "route P1.1 (W3 10 mm2, 0.5 m, red) E1 (W4 10 mm2, 0.5 m, black, in L1) B1.-\n"
        "mode on { " +
        mode + " }\n");
}

ModeEndurance of_mode(const Results& results) {
    const Facts facts(*results.circuit.harness);
    return endurance(results.circuit, facts, results.points).back();
}
HeldPart part_of(const Results& results, std::string_view name) {
    for (const HeldPart& part : of_mode(results).parts)
        if (part.name == name) return part;
    FAIL("no part " << name);
    return {};
}

}  // namespace

TEST_CASE("a wire of a mode of one level gets as hot as its heat balance says, alone and in its bundle") {
    const Results results = sledge("E1 draws 60 A");
    const Facts facts(*results.circuit.harness);
    const auto steady = wire_temperatures(results.circuit, facts, results.points);
    const auto steady_degC = [&](const char* name) {
        return steady[part_of(results, name).wire.index()].hottest_degC;
    };
    const double inner_degC = std::max(steady_degC("W2"), steady_degC("W4"));
    for (const char* name : {"W1", "W2", "W3", "W4"}) {
        const HeldPart wire = part_of(results, name);
        const bool in_bundle = wire.name == "W2" || wire.name == "W4";
        CHECK(wire.peak_degC == Approx(in_bundle ? inner_degC : steady_degC(name)).margin(1e-3));
        CHECK_FALSE(wire.from_warm_s);
        CHECK(wire.published_A > 0);
        CHECK(wire.lasting_A <= wire.published_A);
    }
    CHECK(part_of(results, "W2").peak_degC > part_of(results, "W1").peak_degC + 5);
}

TEST_CASE("what a wire stands for good is held for good, and a thousandth more is not") {
    const double lasting_A = part_of(sledge("E1 draws 60 A"), "W2").lasting_A;
    const HeldPart below = part_of(sledge(fmt::format("E1 draws {:.4f} A", 0.999 * lasting_A)), "W2");
    CHECK(std::isinf(below.from_cold_s));
    CHECK(std::isinf(below.gives_out_s));
    const HeldPart above = part_of(sledge(fmt::format("E1 draws {:.4f} A", 1.001 * lasting_A)), "W2");
    CHECK(std::isfinite(above.from_cold_s));
    CHECK(std::isfinite(above.gives_out_s));
}

TEST_CASE("a contact is held as its derating curve and its own time constant say") {
    // 75 K at 60 A; 120 A: tau ln(4/3), 60 s the quick time constant of contacts.
    const HeldPart contact = part_of(sledge("E1 draws 120 A for 10 s then 20 A for 100 s repeating"), "J1.1");
    CHECK(contact.from_cold_s == Approx(60 * std::log(4.0 / 3)).epsilon(1e-3));
    REQUIRE(contact.from_warm_s);
    CHECK(*contact.from_warm_s < contact.from_cold_s);
    CHECK(contact.lasting_A == Approx(60));
}

TEST_CASE("a fuse that opens first stands on top, with the time of its fast edge") {
    const Results results = sledge("E1 draws 90 A", "30 A");
    const ModeEndurance mode = of_mode(results);
    REQUIRE(!mode.parts.empty());
    const HeldPart& first = mode.parts.front();
    CHECK(first.name == "F1");
    CHECK(first.then == "it opens");
    const Facts facts(*results.circuit.harness);
    const Band band = band_of(facts, first.part, 10, 30);
    CHECK(first.gives_out_s == Approx(*band.fast_s(first.worst_A)).epsilon(1e-6));
    for (const HeldPart& part : mode.parts) CHECK(part.gives_out_s >= first.gives_out_s);
}

TEST_CASE("a pack without a path is asked for it by name, and still tells when it is empty") {
    const ModeEndurance mode = of_mode(sledge("E1 draws 50 A"));
    REQUIRE(mode.needs.size() == 1);
    CHECK(mode.needs.front() == "thermal-resistance or rise of pack B1");
    REQUIRE(mode.packs.size() == 1);
    CHECK(mode.flat_s() == Approx(7200).epsilon(1e-6));
}

TEST_CASE("a wire that its published ampacity alone holds is not said to be hotter than it stands") {
    // Found by hand: 80 A on 10 mm2 at 87 degC of 90 was told as insulation that gets too hot.
    const double published_A = part_of(sledge("E1 draws 60 A"), "W1").published_A;
    REQUIRE(published_A > 0);
    const HeldPart above = part_of(sledge(fmt::format("E1 draws {} A", published_A * 1.02)), "W1");
    REQUIRE(above.peak_degC < above.limit_degC);
    CHECK(std::isfinite(above.gives_out_s));
    CHECK(above.then == "it carries more than its published " + to_text(published_A, Dimension::current) +
                            " for longer than that allows");
    const HeldPart hot = part_of(sledge(fmt::format("E1 draws {} A", published_A * 1.5)), "W1");
    CHECK(hot.peak_degC > hot.limit_degC);
    const HeldPart below = part_of(sledge(fmt::format("E1 draws {} A", published_A * 0.999)), "W1");
    CHECK(std::isinf(below.gives_out_s));
}

}  // namespace endurance_test
