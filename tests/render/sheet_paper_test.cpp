// Which paper a sheet goes on where nobody asks for one, and how full its pages are.
#include <catch2/catch.hpp>

#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_truth.hpp"

namespace sheet_paper_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const std::string examples = std::string(LOOMWARD_SOURCE_DIR) + "/examples/";

}  // namespace

TEST_CASE("where no paper is asked for, what goes on A4 whole, uncut and no smaller goes there") {
    const Results results = files::results_of_file(examples + "yard-crane-96v.loom");
    SheetOptions options{.paper = Paper::a3, .only = "K1"};
    CHECK(plan_sheet(results, options).paper_name == "A3");  // asked for
    options.paper = Paper::fitting;
    const SheetPlan plan = plan_sheet(results, options);
    CHECK(plan.paper_name == "A4");
    CHECK(plan.pages == 1);
    CHECK(plan.scale >= 1);
    CHECK(figures(plan, options).found.count() == 0);
    // What has to be cut for it stays on A3.
    CHECK(plan_sheet(files::results_of_file(examples + "vineyard-carrier.loom"), {}).paper_name == "A3");
}

TEST_CASE("no page of an example stands half empty, on A3 or A4") {
    for (const char* name : {"bench-rig-12v", "vineyard-carrier", "ice-sweeper", "yard-crane-96v"})
        for (const Paper paper : {Paper::a3, Paper::a4}) {
            INFO(name << (paper == Paper::a3 ? " A3" : " A4"));
            const SheetOptions options{.paper = paper};
            const Results results = files::results_of_file(examples + name + ".loom");
            const SheetPlan plan = compose(make_model(results, options), options);
            CHECK(emptiest_page(plan) >= 0.5);
            CHECK(plan.scale <= 1.4);
        }
}

TEST_CASE("the name of a bar at the end of a line stands clear of the line") {
    const Results results = files::results_of_file(examples + "yard-crane-96v.loom");
    for (const char* name : {"K1", "F3", "W8", "W9", "X3"}) {
        const SheetOptions options{.only = name};
        INFO(name);
        CHECK(figures(plan_sheet(results, options), options).found.all() == "");
    }
}

}  // namespace sheet_paper_test
