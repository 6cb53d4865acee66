// Sheets tell the truth at a glance: joints touch, references name the square of what they lead to, the main
// current is not cut, a mode only paints. Each measure notices a sheet that was spoiled.
#include <catch2/catch.hpp>

#include "tests/bench/harness_writer.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_hops.hpp"
#include "tests/render/sheet_signs_measure.hpp"
#include "tests/render/sheet_truth.hpp"

namespace sheet_truth_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const std::string examples = std::string(LOOMWARD_SOURCE_DIR) + "/examples/";

Results results_of(const std::string& example) {
    return files::results_of_file(examples + example + ".loom");
}

SheetModel changeable(const SheetPlan& plan) {
    return *plan.model;
}

void give(SheetPlan& plan, SheetModel model) {
    plan.model = std::make_shared<SheetModel>(std::move(model));
    for (PlacedStrip& strip : plan.strips) strip.layout.model = plan.model.get();
}

}  // namespace

TEST_CASE("on every example bolted parts touch, and every reference names the square it leads to") {
    const std::string example = GENERATE("bench-rig-12v", "ice-sweeper", "launch-24v", "yard-crane-96v",
                                         "market-cart", "market-cart-mistakes", "vineyard-carrier");
    INFO(example);
    const Results results = results_of(example);
    for (const Paper paper : {Paper::a3, Paper::a4}) {
        const SheetOptions options{paper, Theme::light};
        const SheetPlan plan = compose(make_model(results), options);
        const SheetTruth truth = truth_of(plan, options);
        CHECK(truth.longest_joint_mm <= 8);
        for (const std::string& each : truth.wrong) CHECK(each.empty());
        for (const std::string& each : truth.kinks) CHECK(each.empty());
        CHECK(truth.emptiest >= 0.35);
    }
}

TEST_CASE("no line of a generated harness steps by less than a millimetre") {
    const std::size_t wires = GENERATE(10u, 30u, 60u, 100u);
    INFO(wires);
    const Results results = files::results_of_text(bench::generate_harness(wires, 1).loom);
    for (const Paper paper : {Paper::a3, Paper::a4}) {
        const SheetOptions options{paper, Theme::light};
        const SheetTruth truth = truth_of(compose(make_model(results, options), options), options);
        for (const std::string& each : truth.kinks) CHECK(each.empty());
        CHECK(truth.emptiest >= 0.35);
    }
}

TEST_CASE("of all examples at most six wires of 10 mm2 or more go on elsewhere, on sheets of A3") {
    std::map<std::string, int> heavy;
    int sum = 0;
    for (const std::string example :
         {"bench-rig-12v", "greenhouse-line", "ice-sweeper", "launch-24v", "yard-crane-96v", "market-cart",
          "market-cart-mistakes", "vineyard-carrier"})
        sum += heavy[example] = truth_of(compose(make_model(results_of(example)), {})).heavy_cuts;
    CHECK(sum <= 6);
    // The main current of the sweeper goes round without a hop, that of the crane out and back with one.
    CHECK(heavy["ice-sweeper"] == 0);
    CHECK(heavy["yard-crane-96v"] <= 2);
}

TEST_CASE("on A3 the main current of every example is followed out, and back, with one hop at most") {
    for (const std::string example : {"bench-rig-12v", "ice-sweeper", "yard-crane-96v", "market-cart",
                                      "market-cart-mistakes", "vineyard-carrier", "launch-24v"}) {
        INFO(example);
        const Results results = results_of(example);
        CHECK(most_hops(results, compose(make_model(results), {})) <= 1);
    }
    // The measure rises where it must be cut more often.
    const Results results = results_of("launch-24v");
    const SheetOptions a4{.paper = Paper::a4};
    CHECK(most_hops(results, compose(make_model(results, a4), a4)) > 1);
}

TEST_CASE("the legend of each page explains the signs that stand on it, and no others") {
    for (const std::string example : {"greenhouse-line", "yard-crane-96v", "market-cart", "launch-24v"})
        for (const Paper paper : {Paper::a3, Paper::a4}) {
            INFO(example);
            const SheetOptions options{.paper = paper};
            const Results results = results_of(example);
            SheetPlan plan = compose(make_model(results, options), options);
            const std::vector<Canvas> pages = draw_pages(plan, options);
            CHECK(unexplained_signs(plan, pages) == std::vector<std::string>{});
            if (example == "greenhouse-line") continue;  // its pages are alike
            REQUIRE(plan.pages > 1);
            for (PlacedStrip& strip : plan.strips) strip.page = (strip.page + 1) % plan.pages;
            CHECK(unexplained_signs(plan, pages).size() > 1);  // the legends of other pages
        }
}

TEST_CASE(
    "small steps that would tangle a strip all at once go one after the other, as far as none is tangled") {
    // Three rows of lamps alike, each with a step in its plus and its minus: the last one has no room.
    const SheetPlan plan =
        compose(make_model(files::results_of_text(bench::generate_harness(148, 1).loom)), {});
    const std::vector<std::string> kinks = kinks_of(plan);
    CHECK(kinks.size() <= 2);
    for (const std::string& each : kinks) CHECK(each.find("H1t4_1") != std::string::npos);
}

TEST_CASE("the measures of truth rise on a spoiled sheet") {
    SheetPlan plan = compose(make_model(results_of("market-cart-mistakes")), {});
    const SheetTruth before = truth_of(plan);
    REQUIRE(before.references > 10);
    REQUIRE(before.flags_listed > 10);
    REQUIRE(before.wrong.empty());
    SECTION("pennants that name the terminal of another wire") {
        SheetModel model = changeable(plan);
        int last = -1;
        for (Element& element : model.elements)
            if (element.form == Form::pennant) std::swap(last, element.goes_on_as);
        give(plan, std::move(model));
        CHECK(truth_of(plan).wrong.size() > 5);
    }
    SECTION("a flag that has slipped to another square after the list was written") {
        std::vector<Canvas> pages = draw_pages(plan, {});
        SheetPlan wider = plan;
        wider.columns *= 3;
        SheetTruth truth;
        check_flags(wider, pages, truth);
        CHECK(truth.wrong.size() > 5);
    }
    SECTION("a joint drawn long") {
        for (PlacedStrip& strip : plan.strips)
            for (Node& node : strip.layout.nodes)
                for (Box& link : node.links) link.bottom += 40;
        CHECK(truth_of(plan).longest_joint_mm > before.longest_joint_mm + 20);
    }
    SECTION("labels that slipped by half a millimetre") {
        REQUIRE(before.kinks.empty());
        for (PlacedStrip& strip : plan.strips) {
            for (Node& node : strip.layout.nodes)
                if (node.type == NodeType::label) node.y += 0.5;
            route(strip.layout);
        }
        CHECK(truth_of(plan).kinks.size() > 10);
    }
    SECTION("a page with nearly nothing on it") {
        plan.pages += 1;
        CHECK(truth_of(plan).emptiest < 0.01);
    }
}

TEST_CASE("the sheets of two modes lie on each other, label for label") {
    const Results whole = results_of("market-cart");
    const auto plan_of = [&](const std::string& mode, bool together, const Results& results) {
        SheetOptions options;
        options.mode = mode;
        if (together) options.laid_out_for = &whole;
        return plan_sheet(results, options);
    };
    const Results parked = check(whole.harness, {"parked"}), climb = check(whole.harness, {"climb"});
    CHECK(moved_labels(plan_of("parked", true, parked), plan_of("climb", true, climb)) == 0);
    // The measure sees that they move where each mode is laid out alone.
    CHECK(moved_labels(plan_of("parked", false, parked), plan_of("climb", false, climb)) > 0);
}

}  // namespace sheet_truth_test
