// Bars of more lines than a page is high: they go on, in pieces.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "tests/render/sheet_builder.hpp"
#include "tests/render/sheet_measure.hpp"
#include "tests/render/sheet_truth.hpp"

namespace sheet_long_bars_test {

using namespace loomward;
using namespace loomward::sheet;
using by_hand::Maker;

namespace {

// Loads side by side between two bars.
Maker star(int loads) {
    Maker make("Star");
    make.part(Kind::pack, "B1", {"+", "-"});
    make.part(Kind::busbar, "X1", {""}).part(Kind::busbar, "X2", {""});
    make.wire("P", "B1.+", "X1", 16, 1, Colour::red)
        .wire("M", "B1.-", "X2", 16, 1, Colour::black, {{}, 0.1, -1});
    for (int i = 0; i < loads; ++i) {
        const std::string n = std::to_string(i);
        make.load("H" + n);
        make.wire("A" + n, "X1", "H" + n + ".+", 1, 1, Colour::red);
        make.wire("B" + n, "H" + n + ".-", "X2", 1, 1, Colour::black);
    }
    return make;
}

int pieces_of(const SheetModel& model, const std::string& bar) {
    return static_cast<int>(
        std::count_if(model.elements.begin(), model.elements.end(), [&](const Element& element) {
            return element.name == bar || element.name.rfind(bar + " (", 0) == 0;
        }));
}

}  // namespace

TEST_CASE("a bar that a page holds stays whole, a longer one goes on in pieces") {
    CHECK(pieces_of(make_model(star(20).results()), "X1") == 1);
    CHECK(pieces_of(make_model(star(60).results()), "X1") == 4);
    CHECK(pieces_of(make_model(star(60).results(), {Paper::a4, Theme::light}), "X1") > 4);
}

TEST_CASE("a star of many loads is drawn in full size, each wire once and few of them cut") {
    const int loads = GENERATE(60, 400);
    const SheetPlan plan = compose(make_model(star(loads).results()), {});
    const SheetFigures measured = figures(plan);
    const SheetTruth truth = truth_of(plan);
    INFO(loads << " loads\n" << measured.found.all());
    CHECK(plan.scale >= 0.91);
    CHECK(measured.smallest_text >= 1.79);
    CHECK(measured.found.count() == 0);
    CHECK(measured.crossings == 0);
    CHECK(truth.wrong.empty());
    std::map<std::string, int> drawn;
    std::set<std::string> cut;
    for (const PlacedStrip& strip : plan.strips)
        for (const Run& run : strip.layout.runs) {
            const Line& line = strip.layout.line(run.line);
            if (line.is_wire()) ++drawn[line.name];
            if (line.stub && !line.bar_goes_on) cut.insert(line.name);
        }
    CHECK(drawn.size() == static_cast<std::size_t>(2 * loads + 2));
    CHECK(std::all_of(drawn.begin(), drawn.end(), [](const auto& each) { return each.second == 1; }));
    CHECK(cut.size() <= 2);  // at most those of the pack: all others lie with their load
}

}  // namespace sheet_long_bars_test
