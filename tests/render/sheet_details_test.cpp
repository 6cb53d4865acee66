// Details a reader looks for: all guards of a tag, one minus sign, the inside of a relay that changes over.
#include <catch2/catch.hpp>

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "render/sheet/pages/sheet_signs.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_builder.hpp"
#include "tests/render/sheet_measure.hpp"

namespace sheet_details_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const std::string examples = std::string(LOOMWARD_SOURCE_DIR) + "/examples/";

std::vector<std::string> guard_rows(const SheetPlan& plan) {
    std::vector<std::string> rows;
    for (const SignRow& row : signs_on(plan, -1))
        if (row.sign == Sign::all_guards) rows.push_back(row.text);
    return rows;
}

std::vector<std::string> texts_of(const SheetPlan& plan) {
    std::vector<std::string> texts;
    for (const Canvas& page : draw_pages(plan, {}))
        for (const Mark& mark : page.texts()) texts.push_back(mark.text);
    return texts;
}

}  // namespace

TEST_CASE("a tag that names the first of several guards is spelled out in the legend") {
    by_hand::Maker make = by_hand::orchard_sledge();
    CHECK(guard_rows(compose(make_model(make.results()), {})).empty());
    make.wire("W71", "F1.out", "S2.in", 1, 1, Colour::red, {{"F1", "F2", "F6"}});
    const SheetPlan plan = compose(make_model(make.results()), {});
    CHECK(guard_rows(plan) == std::vector<std::string>{"F1 +2: F1, F2, F6"});
    const std::vector<std::string> texts = texts_of(plan);
    CHECK(std::count(texts.begin(), texts.end(), "F1 +2: F1, F2, F6") == 1);
    // The same tag for another set: then the wires say which is which.
    make.wire("W72", "F1.out", "S2.in", 1, 1, Colour::red, {{"F1", "F2", "F4"}});
    const std::vector<std::string> both = guard_rows(compose(make_model(make.results()), {}));
    REQUIRE(both.size() == 2);
    CHECK(both[0] == "F1 +2 at W72: F1, F2, F4");
    CHECK(both[1] == "F1 +2 at W71: F1, F2, F6");
}

TEST_CASE("terminals and figures have one minus sign on the whole sheet, names keep their hyphens") {
    const SheetPlan plan = compose(make_model(files::results_of_file(examples + "yard-crane-96v.loom")), {});
    const std::vector<std::string> texts = texts_of(plan);
    std::size_t minus = 0;
    for (const std::string& text : texts) {
        if (text == plan.model->file) continue;  // a name, figures and all
        INFO(text);
        CHECK((text.empty() || text.back() != '-'));
        CHECK(text.find(".- ") == std::string::npos);
        for (std::size_t at = text.find('-'); at != std::string::npos; at = text.find('-', at + 1))
            CHECK_FALSE((at + 1 < text.size() && text[at + 1] >= '0' && text[at + 1] <= '9'));
        minus += text.find("\u2212") != std::string::npos;
    }
    CHECK(minus > 10);
    const SheetModel cart = make_model(files::results_of_file(examples + "market-cart.loom"));
    CHECK(cart.title.find("hand-guided") != std::string::npos);
}

TEST_CASE("a relay that changes over shows its contact inside, at rest and at work") {
    const SheetPlan plan = compose(make_model(files::results_of_file(examples + "yard-crane-96v.loom")), {});
    const std::vector<std::string> texts = texts_of(plan);
    for (const char* name : {"30", "87", "87a"}) {
        INFO(name);
        CHECK(std::count(texts.begin(), texts.end(), name) == 2);  // at its wire, and at the contact inside
    }
    CHECK(std::count(texts.begin(), texts.end(), "86") == 1);
    Canvas rest(light_palette), work(light_palette);
    draw_change_over(rest, {"30", "87a", "87", false}, 10, 10);
    draw_change_over(work, {"30", "87a", "87", true}, 10, 10);
    CHECK(rest.markup() != work.markup());
}

TEST_CASE("of lines that end on both faces of a bar at one height only the larger circle is drawn") {
    const std::vector<EndCircle> apart =
        circles_apart({{{10, 10}, 0.6}, {{10, 10.3}, 1.5}, {{10, 14}, 0.6}, {{10, 14}, 0.6}});
    REQUIRE(apart.size() == 2);
    CHECK(apart[0].radius == 1.5);
    CHECK(apart[1].at.y == 14);
}

}  // namespace sheet_details_test
