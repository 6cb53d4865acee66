// A part of a harness alone: around a part, a zone, a way of the current with its drops.
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/currents/measured_way.hpp"
#include "render/sheet.hpp"
#include "render/sheet/model/sheet_model.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_truth.hpp"

namespace sheet_select_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const std::string barrow = R"(loom 1
harness "Water barrow" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 40 A, charge 10 A }
fuse F1 { 40 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }
switch S1 { 72 V dc, carries 50 A, breaks 40 A at 72 V dc, resistance 0.4 mohm }
fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }
load M1 "pump" { 48 V, 1200 W }
load E1 "lamp" { 48 V, 20 W }
policy { joint-resistance 0.1 mohm }
route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.6 m, red, in L1) S1 (W3 4 mm2, 0.8 m, red)
    M1 (W4 4 mm2, 1.2 m, black) B1.-
route S1.out (direct) F2 (W5 1 mm2, 0.6 m, red) E1 (W6 1 mm2, 0.6 m, black) B1.-
bundle L1 { wrap taped, length 0.4 m }
mode off { others at rest }
mode pumping { S1 closed }
)";

const Results& results() {
    static const Results made = files::results_of_text(barrow);
    return made;
}

std::vector<std::string> shown(const SheetOptions& options) {
    std::vector<std::string> names;
    const SheetModel model = make_model(results(), options);
    for (const Strip& strip : model.strips)
        for (const int line : strip.lines)
            if (model.lines[static_cast<std::size_t>(line)].is_wire())
                names.push_back(model.lines[static_cast<std::size_t>(line)].name);
    return names;
}

SheetOptions only(const std::string& name) {
    SheetOptions options;
    options.only = name;
    return options;
}
SheetOptions way(const std::string& from, const std::string& to, double current_A) {
    SheetOptions options;
    options.path_from = from, options.path_to = to, options.path_A = current_A;
    return options;
}
using Names = std::vector<std::string>;

std::optional<MeasuredWay> way_between(TerminalId from, TerminalId to, double current_A) {
    return measured_way(results().circuit, results().wires, from, to, current_A);
}

}  // namespace

TEST_CASE("a way of the current has every wire, contact and device between its ends, with Ohm's drop") {
    const auto from = results().harness->find_terminal("B1.+"),
               to = results().harness->find_terminal("S1.out");
    const auto found = way_between(*from, *to, 10);
    REQUIRE(found);
    REQUIRE(found->pieces.size() == 4);
    // IEC 60228 class 5: 4 mm2 has at most 4.95 ohm/km at 20 degC; copper 0.00393 per kelvin, 90 degC.
    // A joint of 0.1 mohm at each end.
    const double per_m_ohm = 4.95e-3 * (1 + 0.00393 * 70);
    CHECK(found->pieces[0].drop_V == Approx(10 * (0.1 * per_m_ohm + 0.2e-3)).epsilon(1e-3));
    CHECK(found->pieces[2].drop_V == Approx(10 * (0.6 * per_m_ohm + 0.2e-3)).epsilon(1e-3));
    CHECK(found->pieces[3].drop_V == Approx(10 * 0.4e-3));
    double sum = 0;
    for (const WayPiece& piece : found->pieces) sum += piece.drop_V;
    CHECK(found->drop_V == Approx(sum));
    const auto load = results().harness->find_terminal("M1.-");
    CHECK_FALSE(way_between(*from, *load, 10));         // through the pump only
    CHECK(way_between(*from, *to, 0)->current_A > 20);  // what the pump draws
}

TEST_CASE("the sheet of a way shows it alone, each wire and joint with its drop") {
    const SheetOptions options = way("B1.+", "E1.+", 10);
    CHECK(shown(options) == Names{"W1", "W2", "W5"});
    const SheetModel model = make_model(results(), options);
    CHECK(model.lines[0].text == "4 mm² RD 0.10 m, 8.3 mV");
    // The joint is drawn as one, touching or a short link: what drops there stands at a part of it.
    int joints = 0;
    for (const Element& each : model.elements)
        joints += !each.dropped && each.label.find("joint 1 mV") != std::string::npos;
    CHECK(joints == 1);
    CHECK(longest_joint(compose(model, options)) <= 8);
    CHECK(model.part_shown.find(" at 10 A") != std::string::npos);
    CHECK(figures(compose(model, options), options).found.count() == 0);
}

TEST_CASE("the sheet of a way says what is lost at the peak as well, unless a current is given") {
    const Results cart =
        files::results_of_file(std::string(LOOMWARD_SOURCE_DIR) + "/examples/market-cart.loom");
    const auto found = measured_way(cart.circuit, cart.wires, *cart.harness->find_terminal("B1.+"),
                                    *cart.harness->find_terminal("U1.+"), 0);
    REQUIRE(found);
    double peak_A = 0;
    for (const WayPiece& piece : found->pieces)
        if (const WireId wire = cart.circuit.edge(piece.edge).wire; wire)
            peak_A = std::max(peak_A, cart.wires[wire.index()].peak_A);
    REQUIRE(peak_A > found->current_A * 1.2);
    const auto at_peak = static_cast<long>(std::lround(found->drop_V * peak_A / found->current_A * 1000));
    CHECK(make_model(cart, way("B1.+", "U1.+", 0))
              .part_shown.find("(" + std::to_string(at_peak) + " mV at the peak of ") != std::string::npos);
    CHECK(make_model(cart, way("B1.+", "U1.+", 60)).part_shown.find("peak") == std::string::npos);
}

TEST_CASE("only a part, a wire, a bundle or a zone, with what hangs together with it") {
    CHECK(shown(only("S1")) == Names{"W2", "W3"});
    CHECK(shown(only("W4")) == Names{"W4"});
    CHECK(shown(only("L1")) == Names{"W2"});
    CHECK(shown(only("zone:F2")) == Names{"W5", "W6"});
    for (const char* name : {"S1", "W4", "L1", "zone:F2"})
        CHECK(figures(compose(make_model(results(), only(name)), only(name)), only(name)).found.count() == 0);
}

TEST_CASE("what is not there is said, not drawn") {
    CHECK(sheet_trouble(results(), {}).empty());
    CHECK(sheet_trouble(results(), only("S1")).empty());
    CHECK(sheet_trouble(results(), only("S9")) ==
          "there is no part, wire, cable, bundle or location named 'S9'");
    CHECK(sheet_trouble(results(), only("zone:S1")) == "there is no zone that 'S1' guards");
    CHECK(sheet_trouble(results(), way("B1.+", "Q7", 1)) == "there is no terminal 'Q7'");
    CHECK(sheet_trouble(results(), way("B1.+", "M1.-", 1))
              .starts_with("no wires and contacts lead from 'B1.+'"));
}

TEST_CASE("in a mode, what carries no current is pale, and the legend says that it may be live") {
    const Results off = check(results().harness, {"off"});
    SheetOptions options;
    options.mode = "off";
    const SheetModel model = make_model(off, options);
    for (std::size_t i = 0; i < 6; ++i) CHECK(model.lines[i].off);
    options.mode = "pumping";
    const SheetModel busy = make_model(check(results().harness, {"pumping"}), options);
    for (std::size_t i = 0; i < 6; ++i) CHECK_FALSE(busy.lines[i].off);
    const std::string svg = sheet_svg(off, options);
    CHECK(svg.find("may be live") != std::string::npos);
    CHECK(svg.find("opacity=") != std::string::npos);
    CHECK(sheet_svg(off, {}).find("opacity=") == std::string::npos);
}

}  // namespace sheet_select_test
