// What a contact is and does, by the shape it is drawn with: IEC 60617 has the blade of a break contact rest
// on a stop, that of a make contact stand clear of it.
#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <set>

#include "checker/bench/hand_over.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_truth.hpp"

namespace sheet_kinds_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

std::string shape_of(Symbol symbol, const Shape& shape, bool flipped = false) {
    Canvas canvas(light_palette);
    draw_symbol(canvas, symbol, shape, 100, 50, flipped);
    return canvas.markup();
}

Shape contact(bool breaks, bool closed, Actuator actuator = Actuator::hand) {
    Shape shape;
    shape.breaks = breaks;
    shape.closed = closed;
    shape.actuator = actuator;
    return shape;
}

const char* const every_kind = R"(loom 1
harness "Every kind" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 20..30 mohm, cell-capacity 5 Ah, discharge 90 A, charge 20 A }
fuse F1 { 60 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }
switch S1 "isolator" { 60 V dc, carries 80 A, breaks 60 A at 60 V dc }
switch S2 "emergency stop" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc, rest closed }
switch S3 "key" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
switch S4 "horn push" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
switch S5 "lamps, two poles" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc, poles 2 }
load E1 "head lamp" { 48 V, 20 W }
load E2 "heater" { 48 V, 20 W }
busbar X1 { studs 8, carries 100 A }
busbar X2 { studs 8, carries 100 A }
route B1.+ (W1 10 mm2, 0.1 m, red) F1 (direct) S1 (W2 10 mm2, 0.1 m, red) X1.1
route B1.- (W3 10 mm2, 0.1 m, black) X2.1
route X1.2 (W4 1 mm2, 1 m, red) S2 (W5 1 mm2, 1 m, red) S3 (W6 1 mm2, 1 m, red) S4 (W7 1 mm2, 1 m) E2 (W8 1 mm2, 1 m, black) X2.2
route X1.3 (W9 1 mm2, 1 m, green-yellow) S5.1.in
route S5.1.out (W10 1 mm2, 1 m, red) E1.+
route E1.- (W11 1 mm2, 1 m, black) S5.2.in
route S5.2.out (W12 1 mm2, 1 m, black) X2.3
mode parked { others at rest }
mode lit { S1 closed, S3 closed, S5 closed, others at rest }
mode struck { S2 open, others at rest }
)";

std::map<std::string, Shape> shapes(const SheetModel& model) {
    std::map<std::string, Shape> by_name;
    for (const Element& element : model.elements) by_name[element.name] = element.shape;
    return by_name;
}

}  // namespace

TEST_CASE("make and break contacts, at rest and worked, by hand, push, key and blow, all look different") {
    std::set<std::string> seen;
    for (const bool breaks : {false, true})
        for (const bool closed : {false, true})
            for (const Actuator actuator : {Actuator::hand, Actuator::push, Actuator::key, Actuator::struck})
                seen.insert(shape_of(Symbol::switch_, contact(breaks, closed, actuator)));
    CHECK(seen.size() == 16);
    for (const Symbol symbol : {Symbol::contactor, Symbol::relay})
        CHECK(shape_of(symbol, contact(true, true)) != shape_of(symbol, contact(false, false)));
    Shape pin;
    pin.pin_first = true;
    CHECK(shape_of(Symbol::contact, pin) != shape_of(Symbol::contact, {}));
    CHECK(shape_of(Symbol::contact, pin, true) == shape_of(Symbol::contact, {}));
    Shape polarised, itself;
    polarised.plus_first = itself.resets_itself = true;
    CHECK(shape_of(Symbol::capacitor, polarised) != shape_of(Symbol::capacitor, {}));
    CHECK(shape_of(Symbol::breaker, itself) != shape_of(Symbol::breaker, {}));
    CHECK(shape_of(Symbol::load, {}) != shape_of(Symbol::resistor, {}));
}

TEST_CASE("a closed make contact is one straight line, a closed break contact touches its stop") {
    // The blade goes from the right lead, 1.4 modules from the middle.
    const std::string from = number(100 + 1.4 * 1.8);
    const std::string left = number(100 - 1.4 * 1.8);
    const std::string blade = "M" + from + " 50L" + left + " 50";
    CHECK(shape_of(Symbol::relay, contact(false, true)).find(blade) != std::string::npos);
    CHECK(shape_of(Symbol::relay, contact(false, false)).find(blade) == std::string::npos);
    // The stop rises from the left lead to 0.95 modules; the blade crosses it there within 0.1.
    const double slope = 1.0 / (1.4 + 1.75);
    CHECK(std::abs((1.4 + 1.4) * slope - 0.95) < 0.1);
    const std::string rests = shape_of(Symbol::relay, contact(true, true));
    CHECK(rests.find("M" + left + " 50L" + left + " ") != std::string::npos);
}

TEST_CASE("what stops is drawn to be struck, by its attributes and not by the words of its label") {
    std::string text = every_kind;
    const auto change = [&](const std::string& from, const std::string& to) {
        text.replace(text.find(from), from.size(), to);
    };
    change("S2 \"emergency stop\"", "S2 \"red\"");            // closed at rest, and nothing said
    change("S3 \"key\" {", "S3 \"key\" { stop yes,");         // said so
    change("S4 \"horn push\" {", "S4 \"emergency push\" {");  // only its label does
    const std::map<std::string, Shape> drawn = shapes(make_model(files::results_of_text(text)));
    CHECK(drawn.at("S2").actuator == Actuator::struck);
    CHECK(drawn.at("S3").actuator == Actuator::struck);
    CHECK(drawn.at("S4").actuator == Actuator::push);
}

TEST_CASE("contacts are drawn at rest, and on the sheet of one mode as they stand in it") {
    const Results results = files::results_of_text(every_kind);
    const std::map<std::string, Shape> rest = shapes(make_model(results));
    CHECK(!rest.at("S1").closed);
    CHECK(rest.at("S2").closed);
    CHECK(rest.at("S2").breaks);
    CHECK(rest.at("S2").actuator == Actuator::struck);
    CHECK(rest.at("S3").actuator == Actuator::key);
    CHECK(rest.at("S4").actuator == Actuator::push);
    REQUIRE(rest.count("S5.1") == 1);
    REQUIRE(rest.count("S5.2") == 1);
    SheetOptions options;
    options.mode = "lit";
    const std::map<std::string, Shape> lit = shapes(make_model(check(results.harness, {"lit"}), options));
    for (const char* name : {"S1", "S2", "S3", "S5.1", "S5.2"}) CHECK(lit.at(name).closed);
    CHECK(!lit.at("S4").closed);
    options.mode = "struck";
    const std::map<std::string, Shape> struck =
        shapes(make_model(check(results.harness, {"struck"}), options));
    CHECK(!struck.at("S2").closed);
    CHECK(figures(compose(make_model(results), {})).found.count() == 0);
    CHECK(truth_of(compose(make_model(results), {})).longest_joint_mm <= 8);
}

TEST_CASE("the owner's sheet lists how to switch off and the fuses, and has neither flags nor gauges") {
    const auto of = [](const char* example) {
        return files::results_of_file(std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + example);
    };
    SheetOptions options;
    options.reader = Reader::owner;
    const Results results = of("market-cart.loom");
    const SheetPlan plan = compose(make_model(results, options), options);
    std::size_t flags = 0;
    std::set<std::string> marks;
    for (const ListedFinding& entry : plan.model->findings) marks.insert(entry.mark);
    for (const char* name : {"F1", "F2", "F9"}) CHECK(marks.count(name) == 1);
    // What switches off is what the checker has tried.
    const std::vector<SwitchOffOrder> orders = switching_off(results);
    CHECK(orders.size() > 2);
    for (std::size_t i = 0; i < orders.size(); ++i) CHECK(plan.model->findings[i].text == orders[i].order);
    for (const Canvas& page : draw_pages(plan, options)) {
        for (const Mark& text : page.texts()) flags += text.flag;
        CHECK(page.markup().find("error") == std::string::npos);
        CHECK(page.markup().find(" safe") == std::string::npos);
        CHECK(page.markup().find("before a cover is opened") != std::string::npos);
    }
    CHECK(flags == 0);
    CHECK(figures(plan, options).found.count() == 0);
    SheetOptions workshop;
    const Results mistaken = of("market-cart-mistakes.loom");
    const SheetPlan other = compose(make_model(mistaken, workshop), workshop);
    for (const Canvas& page : draw_pages(other, workshop))
        for (const Mark& text : page.texts()) flags += text.flag;
    CHECK(flags > 20);
}

TEST_CASE("no machine with errors is handed over: its owner's sheet says so on every page") {
    SheetOptions options;
    options.reader = Reader::owner;
    const Results results =
        files::results_of_file(std::string(LOOMWARD_SOURCE_DIR) + "/examples/market-cart-mistakes.loom");
    const SheetPlan plan = compose(make_model(results, options), options);
    for (const Canvas& page : draw_pages(plan, options)) {
        CHECK(page.markup().find("NOT TO BE HANDED OVER: ") != std::string::npos);
        CHECK(page.markup().find("before a cover is opened") == std::string::npos);
        for (const Mark& text : page.texts()) CHECK_FALSE(text.flag);
    }
}

TEST_CASE("with currents each wire says what flows of what may flow") {
    const Results results = files::results_of_text(every_kind);
    SheetOptions options;
    options.loading = false;
    options.currents = true;
    const SheetModel model = make_model(results, options);
    const auto wire = std::find_if(model.lines.begin(), model.lines.end(),
                                   [](const Line& line) { return line.name == "W10"; });
    REQUIRE(wire != model.lines.end());
    CHECK_THAT(wire->figure, Catch::Contains(" of ") && Catch::EndsWith(" A"));
    CHECK(wire->loading < 0);
}

TEST_CASE("every sign on a page is in its legend, and none that does not stand on it") {
    const Results results = files::results_of_text(every_kind);
    const SheetPlan plan = compose(make_model(results), {});
    const std::vector<Canvas> pages = draw_pages(plan, {});
    REQUIRE(pages.size() == 1);
    const auto legend_says = [&](const std::string& text) {
        return std::any_of(pages[0].texts().begin(), pages[0].texts().end(),
                           [&](const Mark& mark) { return mark.place < 0 && mark.text == text; });
    };
    for (const char* used : {"RD", "BK", "GN", "YE", "colour not stated", "end of a wire"})
        CHECK(legend_says(used));
    for (const char* unused : {"BU", "VT", "cable", "bundle", "electronics alone", "accepted finding",
                               "goes on: sheet/square", "no current, maybe live"})
        CHECK(!legend_says(unused));
}

}  // namespace sheet_kinds_test
