#include <catch2/catch.hpp>
#include <set>

#include "render/sheet/draw/sheet_frame.hpp"
#include "render/sheet/layout/sheet_route.hpp"
#include "tests/render/sheet_builder.hpp"
#include "tests/render/sheet_measure.hpp"

namespace sheet_layout_test {

using namespace loomward;
using namespace loomward::sheet;
using by_hand::Maker;

namespace {

int line_named(const SheetModel& model, std::string_view name) {
    for (std::size_t i = 0; i < model.lines.size(); ++i)
        if (model.lines[i].name == name) return static_cast<int>(i);
    FAIL("no line " << name);
    return -1;
}

const Line& line_of(const SheetModel& model, std::string_view name) {
    return model.lines[static_cast<std::size_t>(line_named(model, name))];
}

const Element& element_of(const SheetModel& model, std::string_view name) {
    for (const Element& element : model.elements)
        if (element.name == name) return element;
    FAIL("no element " << name);
    return model.elements.front();
}

const Element& left_of(const SheetModel& model, std::string_view wire) {
    return model.elements[static_cast<std::size_t>(line_of(model, wire).left().element)];
}

}  // namespace

TEST_CASE("a converter is cut into an input half in the pack's strip and an output half in its own") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    REQUIRE(model.strips.size() == 2);
    CHECK(model.strips[0].caption == "Fed by B1");
    CHECK(model.strips[1].caption == "Fed by D1");
    int halves = 0;
    for (const Element& element : model.elements)
        if (element.name == "D1") halves += element.strip == (element.input_half ? 0 : 1);
    CHECK(halves == 2);
}

TEST_CASE("a converter whose output feeds nothing is drawn whole") {
    Maker make("Hand pump");
    make.part(Kind::pack, "B1", {"+", "-"});
    make.part(Kind::converter, "D1", {"in+", "in-", "out+", "out-"});
    make.wire("W1", "B1.+", "D1.in+", 2.5, 1, Colour::red);
    make.wire("W2", "B1.-", "D1.in-", 2.5, 1, Colour::black, {{}, 0.4, -1});
    const SheetModel model = make_model(make.results());
    CHECK(model.strips.size() == 1);
    CHECK(model.unwired.empty());
    CHECK(element_of(model, "D1").pins.size() == 4);
    CHECK(element_of(model, "D1").other_half == -1);
}

TEST_CASE("every line lies in exactly one strip, and so does every element that has one") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    std::multiset<int> lines;
    for (const Strip& strip : model.strips) lines.insert(strip.lines.begin(), strip.lines.end());
    REQUIRE(lines.size() == model.lines.size());
    for (std::size_t i = 0; i < model.lines.size(); ++i) CHECK(lines.count(static_cast<int>(i)) == 1);
    REQUIRE(model.unwired.size() == 1);
    CHECK(model.elements[static_cast<std::size_t>(model.unwired[0])].name == "A7");
}

TEST_CASE("supply runs with its current from left to right") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    CHECK(left_of(model, "W1").name == "B1");
    CHECK(left_of(model, "W2").name == "F1");
    CHECK(left_of(model, "W12").name == "R1");  // the precharge loop closes from its own side
    CHECK_FALSE(line_of(model, "W12").leftward());
}

TEST_CASE(
    "a return without a collecting bar, and the way from a charger, lie toward the source with an arrow") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    CHECK(left_of(model, "W6").name == "Q1");
    CHECK(line_of(model, "W6").leftward());
    CHECK(left_of(model, "W26").name == "Q1");
    CHECK(left_of(model, "W60").name == "B1");
    CHECK(line_of(model, "W60").leftward());
    CHECK(left_of(model, "W61").name == "F6");
}

TEST_CASE("four plain loads make their return bar collect at the right") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    CHECK(element_of(model, "X4").collects);
    CHECK(left_of(model, "W51").name == "H1");
    CHECK_FALSE(line_of(model, "W51").leftward());
    CHECK(left_of(model, "W31").name == "D1");  // the heavy lane back to the source
    CHECK(line_of(model, "W31").leftward());
}

TEST_CASE("the tag names what guards a wire, each feed of it, and says where nothing does") {
    Maker make = by_hand::orchard_sledge();
    make.wire("W70", "F1.out", "S2.in", 1, 1, Colour::red, {{"F1", "F2"}});
    make.wire("W71", "F1.out", "S2.in", 1, 1, Colour::red, {{"F1", "F2", "F6"}});
    const SheetModel model = make_model(make.results());
    CHECK(line_of(model, "W21").guard == "F2");
    CHECK(line_of(model, "W70").guard == "F1+F2");
    CHECK(line_of(model, "W71").guard == "F1 +2");
    CHECK(line_of(model, "W1").guard.empty());
    CHECK(line_of(model, "W1").unguarded);
}

TEST_CASE("what somebody has accepted stays on the sheet as a note, and all are numbered in order") {
    Maker make = by_hand::orchard_sledge();
    Results results = make.results();
    const std::shared_ptr<const Harness> before = results.harness;  // the circuit refers to it
    const auto harness = std::make_shared<Harness>(*before);
    harness->acceptances.emplace_back();
    results.harness = harness;
    results.findings[1].accepted = 0;
    const SheetModel model = make_model(results);
    REQUIRE(model.findings.size() == 5);
    CHECK(model.findings[0].text == "unprotected wire W1");
    CHECK_THAT(model.findings[1].text, Catch::EndsWith("W13, accepted"));
    CHECK(model.findings[1].severity == Severity::note);
    CHECK(model.findings[1].accepted);
    CHECK(model.findings[2].text == "oversized fuse W10");
    CHECK(model.findings[2].number == 3);
    REQUIRE(line_of(model, "W13").flags.size() == 1);
    CHECK(line_of(model, "W13").flags[0].severity == Severity::note);
    CHECK(model.accepted == 1);
    CHECK(model.errors == 1);
}

TEST_CASE("neighbouring nodes of a column never overlap") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    for (const Strip& strip : model.strips) {
        const Layout layout = place(model, strip);
        std::map<int, std::vector<const Node*>> columns;
        for (const Node& node : layout.nodes) columns[node.column].push_back(&node);
        for (auto& [column, nodes] : columns) {
            std::sort(nodes.begin(), nodes.end(), [](const Node* a, const Node* b) { return a->y < b->y; });
            for (std::size_t i = 1; i < nodes.size(); ++i)
                CHECK(nodes[i]->y >= nodes[i - 1]->y + nodes[i - 1]->height - 0.05);
        }
    }
}

TEST_CASE("in the hand-made harness nothing lies on anything else") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    for (const Strip& strip : model.strips) {
        const Collisions found = measure(place(model, strip));
        INFO(found.all());
        CHECK(found.count() == 0);
    }
}

TEST_CASE("the measure of collisions notices a spoiled layout") {
    const SheetModel model = make_model(by_hand::orchard_sledge().results());
    Layout layout = place(model, model.strips[0]);
    REQUIRE(measure(layout).count() == 0);
    SECTION("a label moved onto its neighbour") {
        const auto run = std::find_if(layout.runs.begin(), layout.runs.end(),
                                      [&](const Run& r) { return r.line == line_named(model, "W14"); });
        layout.node(run->label).y += 3;
        const Collisions found = measure(layout);
        CHECK(found.text_line.size() >= 1);
        CHECK(found.text_text.size() >= 1);
    }
    SECTION("a box moved onto a line") {
        const auto foreign = std::find_if(layout.runs.begin(), layout.runs.end(),
                                          [&](const Run& r) { return r.line == line_named(model, "W2"); });
        const std::vector<Point>& path =
            layout.paths[static_cast<std::size_t>(foreign - layout.runs.begin())];
        for (Node& node : layout.nodes)
            if (node.type == NodeType::element && layout.element(node).name == "Q1") {
                node.x = (path.front().x + path.back().x) / 2;
                node.y = path.back().y - 4;
            }
        CHECK(measure(layout).line_symbol.size() >= 1);
    }
    SECTION("a line put on another") {
        layout.paths[0] = layout.paths[1];
        CHECK(measure(layout).line_line.size() >= 1);
    }
    SECTION("all heights flattened") {
        for (Node& node : layout.nodes) node.y = 0;
        route(layout);
        CHECK(measure(layout).count() > 50);
    }
}

TEST_CASE("pieces in a channel keep their distance and cross no more than they must") {
    // Two that can be nested, one that must be passed by both.
    const std::vector<Piece> pieces = {{0, 20, 3, -1}, {10, 30, 3, -1}, {40, 5, 3, -1}};
    const Channel channel = pack_channel(pieces);
    REQUIRE(channel.x.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(channel.x[i] >= 0.9 + 1.5 - 1e-9);
        CHECK(channel.x[i] <= channel.width - 0.9 - 1.5 + 1e-9);
        for (std::size_t j = 0; j < i; ++j) CHECK(std::abs(channel.x[i] - channel.x[j]) >= 3.0);
    }
    CHECK(channel.x[0] > channel.x[1]);  // the lower one turns first, else they would cross twice
}

TEST_CASE("of two pieces that change places one steps aside, and they cross once") {
    const std::vector<Piece> pieces = {{0, 20, 2, -1}, {20, 0, 2, -1}};
    const Channel channel = pack_channel(pieces);
    REQUIRE(channel.jog_x[1] >= 0);
    CHECK(channel.jog_x[0] < 0);
    // The first piece stands between the two parts of the second: no two run along each other.
    CHECK(channel.x[1] < channel.x[0]);
    CHECK(channel.x[0] < channel.jog_x[1]);
    CHECK(channel.jog_y[1] > 1);
    CHECK(channel.jog_y[1] < 19);
}

}  // namespace sheet_layout_test
