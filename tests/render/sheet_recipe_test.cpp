// Three invented harnesses of 20, 60 and 300 wires: how calm their sheets are, and how stable under a change.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_measure.hpp"

namespace sheet_recipe_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const std::string folder = std::string(LOOMWARD_SOURCE_DIR) + "/tests/render/sheets/";

SheetPlan plan_of(const std::string& text) {
    const std::string path = folder + "edited.loom";
    return compose(make_model(files::results_of(path, files::HarnessFiles(path, text))), {});
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

struct LabelAt {
    std::string strip;
    double x = 0, y = 0;
};
std::map<std::string, LabelAt> labels_of(const SheetPlan& plan) {
    std::map<std::string, LabelAt> labels;
    for (const PlacedStrip& strip : plan.strips)
        for (const Node& node : strip.layout.nodes)
            if (node.type == NodeType::label && strip.layout.line(node.line).is_wire())
                labels[strip.layout.line(node.line).name] = {strip.caption, strip.x + node.x,
                                                             strip.y + node.y - strip.layout.top};
    return labels;
}

// Of all pairs of wires in one strip that one stands above the other before and after: how many turned over.
double turned_over(const SheetPlan& before, const SheetPlan& after) {
    const auto a = labels_of(before), b = labels_of(after);
    int pairs = 0, turned = 0;
    for (auto i = a.begin(); i != a.end(); ++i)
        for (auto j = std::next(i); j != a.end(); ++j) {
            if (i->second.strip != j->second.strip || !b.count(i->first) || !b.count(j->first)) continue;
            const double was = i->second.y - j->second.y, is = b.at(i->first).y - b.at(j->first).y;
            if (std::abs(was) < 0.5 || std::abs(is) < 0.5) continue;
            ++pairs;
            turned += (was < 0) != (is < 0);
        }
    REQUIRE(pairs > 500);
    return static_cast<double>(turned) / pairs;
}

}  // namespace

TEST_CASE(
    "20, 60 and 300 wires take 1, 1 and 4 sheets of A3, with few crossings and nothing on anything else") {
    const auto [name, pages, crossings] = GENERATE(
        table<std::string, int, int>({{"garden-20", 1, 3}, {"boat-60", 1, 8}, {"crane-300", 4, 13}}));
    INFO(name);
    Results results = files::results_of_file(folder + name + ".loom");
    // Flags and their list take room. The errors are enough of them: a new rule must not move these bounds.
    std::erase_if(results.findings, [](const Finding& each) { return each.severity != Severity::error; });
    const SheetPlan plan = compose(make_model(results), {});
    const SheetFigures measured = figures(plan);
    INFO(measured.found.all());
    CHECK(measured.found.count() == 0);
    CHECK(measured.pages <= pages);
    CHECK(measured.crossings <= crossings);
    CHECK(measured.smallest_text >= 1.79);
}

TEST_CASE("one lamp more turns over at most 6 % of the vertical orders") {
    const std::string text = files::file_text(folder + "boat-60.loom");
    const SheetPlan before = plan_of(text);
    const std::string more =
        changed(text, "frame X9", "load E6 \"chart lamp\" is lamp { 12 V, 5 W }\nframe X9");
    SECTION("behind a switch that is there") {
        const double share = turned_over(
            before, plan_of(more + "route S5.out (W61 1 mm2, 0.4 m, violet) E6 (W62 1 mm2, 0.5 m, "
                                   "black) X3.6\n"));
        CHECK(share <= 0.06);
    }
    SECTION("at a fuse") {
        const double share = turned_over(
            before,
            plan_of(more + "route F12.out (W61 1 mm2, 0.4 m, green) E6 (W62 1 mm2, 0.5 m, black) X3.6\n"));
        CHECK(share <= 0.06);
    }
}

TEST_CASE("the measure of turned orders sees a sheet turned upside down") {
    const SheetPlan before = plan_of(files::file_text(folder + "boat-60.loom"));
    SheetPlan after = before;
    for (PlacedStrip& strip : after.strips)
        for (Node& node : strip.layout.nodes) node.y = -node.y;
    CHECK(turned_over(before, after) > 0.9);
}

TEST_CASE("another value moves nothing") {
    const std::string text = files::file_text(folder + "boat-60.loom");
    const auto before = labels_of(plan_of(text));
    const std::string edited = changed(changed(changed(text, "0.8 m, red", "0.9 m, red"), "47 ohm", "56 ohm"),
                                       "12 V, 10 W", "12 V, 12 W");
    const auto after = labels_of(plan_of(edited));
    REQUIRE(before.size() == after.size());
    for (const auto& [name, label] : before) {
        INFO(name);
        CHECK(after.at(name).x == label.x);
        CHECK(after.at(name).y == label.y);
    }
}

}  // namespace sheet_recipe_test
