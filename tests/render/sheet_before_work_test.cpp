// What to open before work stands on the sheet, in order, with what stays live then, and takes no room from
// the drawing.
#include <algorithm>
#include <catch2/catch.hpp>

#include "checker/bench/hand_over.hpp"
#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/pages/sheet_legend.hpp"
#include "tests/render/harness_files.hpp"

namespace sheet_before_work_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const std::string examples = std::string(LOOMWARD_SOURCE_DIR) + "/examples/";

double strip_height(const SheetPlan& plan) {
    return plan.frame.bottom - plan.field.bottom - 4;
}

// All that a page says, one after the other.
std::string words_on(const SheetPlan& plan, int page) {
    std::string words;
    const std::vector<Canvas> pages = draw_pages(plan, {});
    for (const Mark& mark : pages[static_cast<std::size_t>(page)].texts()) words += mark.text + '\n';
    return words;
}

}  // namespace

TEST_CASE("each page says what to open before work on the controllers, in order and where it stands") {
    const Results results = files::results_of_file(examples + "yard-crane-96v.loom");
    const SheetPlan plan = compose(make_model(results), {});
    REQUIRE(plan.pages == 2);
    for (int page = 0; page < plan.pages; ++page) {
        const std::string words = words_on(plan, page);
        INFO(words);
        CHECK(words.find("BEFORE WORK ON U1, U2\n") != std::string::npos);
        const std::size_t key = words.find("S1 (key) off /"), link = words.find("S9 (service link) off /");
        REQUIRE(key != std::string::npos);
        REQUIRE(link != std::string::npos);
        CHECK(key < link);
        const std::size_t unplug = words.find("Unplug J1 (charge socket) first");
        REQUIRE(unplug != std::string::npos);
        CHECK(unplug < key);
        CHECK(words.find("even then, on one pole: U1, U2, B1, B2") != std::string::npos);
        CHECK(words.find("measure first") != std::string::npos);
    }
    const auto link = std::find_if(plan.model->before_work.begin(), plan.model->before_work.end(),
                                   [](const ListedFinding& each) { return each.text.starts_with("S9"); });
    REQUIRE(link != plan.model->before_work.end());
    CHECK(words_on(plan, 0).find("S9 (service link) off /" + plan.square_of_element(link->element)) !=
          std::string::npos);
}

TEST_CASE("what to open before work leaves the drawing as high as it is without it") {
    for (const char* name : {"yard-crane-96v", "launch-24v", "market-cart", "vineyard-carrier"}) {
        INFO(name);
        const Results results = files::results_of_file(examples + name + ".loom");
        SheetModel told = make_model(results);
        REQUIRE_FALSE(told.before_work.empty());
        SheetModel silent = told;
        silent.before_work.clear();
        CHECK(strip_height(compose(told, {})) == Approx(strip_height(compose(silent, {}))));
    }
}

TEST_CASE("where no page has room for what to open before work the strip below the drawing grows for it") {
    const Results results = files::results_of_file(examples + "market-cart.loom");
    SheetModel model = make_model(results);
    const double before = strip_height(compose(model, {}));
    const auto step = std::find_if(model.before_work.begin(), model.before_work.end(),
                                   [](const ListedFinding& each) { return each.element >= 0; });
    REQUIRE(step != model.before_work.end());
    const ListedFinding one = *step;
    for (int i = 0; i < 30; ++i) model.before_work.push_back(one);
    const SheetPlan plan = compose(model, {});
    CHECK(strip_height(plan) > before + 5);
    CHECK(before_work_on(plan, 0, strip_height(plan)).has_value());
}

TEST_CASE("a page without room for what to open before work names the sheet on which it stands") {
    const SheetOptions a4{.paper = Paper::a4};
    const Results results = files::results_of_file(examples + "market-cart-mistakes.loom");
    const SheetPlan plan = compose(make_model(results, a4), a4);
    REQUIRE(plan.pages > 1);
    REQUIRE_FALSE(before_work_on(plan, 0, strip_height(plan)));
    REQUIRE(before_work_on(plan, 1, strip_height(plan)));
    CHECK(words_on(plan, 0).find("BEFORE WORK: SEE SHEET 2\n") != std::string::npos);
}

TEST_CASE("neither a strike in danger nor a push is a step before work where something else switches off") {
    const Results results = files::results_of_file(examples + "market-cart.loom");
    const MadeDead dead = made_dead(results);
    REQUIRE_FALSE(dead.orders.empty());
    for (const SwitchOffOrder& order : dead.orders) CHECK_FALSE(order.in_danger);
    CHECK(dead.stays_live == std::vector<std::string>{"B1", "F1", "S6", "W1"});
    CHECK(switching_off(results).size() > dead.orders.size());

    const Results mistaken = files::results_of_file(examples + "market-cart-mistakes.loom");
    const auto names = [](const SwitchOffOrder& order) {
        return order.order.find("S4") != std::string::npos;
    };
    const MadeDead of_it = made_dead(mistaken);
    REQUIRE(std::any_of(of_it.orders.begin(), of_it.orders.end(), names));  // the push of the horn
    for (const ListedFinding& each : make_model(mistaken).before_work)
        CHECK(each.text.find("S4") == std::string::npos);
}

TEST_CASE("a part of the sheet and the owner's sheet have no list of what to open before work") {
    const Results results = files::results_of_file(examples + "market-cart.loom");
    REQUIRE_FALSE(make_model(results).before_work.empty());
    for (const SheetOptions& options :
         {SheetOptions{.only = "K1"}, SheetOptions{.reader = Reader::owner}, SheetOptions{.findings = false}})
        CHECK(make_model(results, options).before_work.empty());
}

}  // namespace sheet_before_work_test
