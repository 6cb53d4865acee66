#include <catch2/catch.hpp>
#include <random>

#include "render/sheet/draw/sheet_frame.hpp"
#include "render/sheet/layout/sheet_graph.hpp"
#include "tests/render/sheet_builder.hpp"
#include "tests/render/sheet_measure.hpp"

namespace sheet_fold_test {

using namespace loomward;
using namespace loomward::sheet;
using by_hand::Maker;

namespace {

// Lamps along a line, each behind the one before.
Maker lamp_line(int lamps) {
    Maker make("Lamp line");
    make.part(Kind::pack, "B1", {"+", "-"});
    std::string plus = "B1.+", minus = "B1.-";
    for (int i = 0; i < lamps; ++i) {
        const std::string n = std::to_string(i);
        make.part(Kind::splice, "X" + n, {""}).part(Kind::splice, "Y" + n, {""}).load("H" + n);
        make.wire("A" + n, plus, "X" + n, 4, 1, Colour::red);
        make.wire("B" + n, minus, "Y" + n, 4, 1, Colour::black, {{}, 0.1, -1});
        make.wire("C" + n, "X" + n, "H" + n + ".+", 1, 1, Colour::red);
        make.wire("D" + n, "H" + n + ".-", "Y" + n, 1, 1, Colour::black);
        plus = "X" + n, minus = "Y" + n;
    }
    return make;
}

}  // namespace

TEST_CASE(
    "a line cut between two bands is drawn once in full and once as the rest, with a pennant at each cut") {
    SheetModel model = make_model(lamp_line(2).results());
    REQUIRE(model.strips.size() == 1);
    std::vector<int> band_of(model.elements.size(), 0);
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        if (model.elements[i].name == "X1" || model.elements[i].name == "Y1" ||
            model.elements[i].name == "H1")
            band_of[i] = 1;
    const std::size_t elements = model.elements.size(), lines = model.lines.size();
    const Strip strip = model.strips[0];
    const std::vector<Strip> bands = cut_strip(model, strip, band_of);
    REQUIRE(bands.size() == 2);
    CHECK(bands[0].caption == "Fed by B1");
    CHECK(bands[1].caption == "Lamps H1");         // what is there
    CHECK(model.lines.size() == lines + 2);        // A1 and B1 lead on
    CHECK(model.elements.size() == elements + 4);  // two pennants each
    int whole = 0, rests = 0;
    for (const Strip& band : bands)
        for (const int index : band.lines) {
            const Line& line = model.lines[static_cast<std::size_t>(index)];
            whole += line.name == "A1" && line.is_wire();
            rests += line.name == "A1" && line.stub;
        }
    CHECK(whole == 1);
    CHECK(rests == 1);
    CHECK(model.elements[elements].name == "X1");  // where A1 goes on
    CHECK(model.elements[elements + 1].name == "X0");
}

TEST_CASE("a strip longer than the paper is folded, and the lettering keeps its size") {
    const SheetModel model = make_model(lamp_line(20).results());
    const double flat = place(model, model.strips[0]).width;
    const SheetPlan page = compose(model, {});
    REQUIRE(flat > 2 * page.field.width());
    CHECK(page.strips.size() > 1);
    CHECK(page.scale >= 0.91);
    for (const PlacedStrip& strip : page.strips) {
        CHECK(strip.x >= page.field.left - 0.01);
        CHECK(strip.x + strip.width * page.scale <= page.field.right + 0.01);
        CHECK(strip.y + strip.height * page.scale <= page.field.bottom + 0.01);
    }
}

TEST_CASE("a short strip is left in one piece") {
    const SheetPlan page = compose(make_model(lamp_line(2).results()), {});
    CHECK(page.strips.size() == 1);
    CHECK(page.scale >= 1);  // and drawn larger where there is room
}

TEST_CASE("a fuse bolted to a stud stands on it as on a bar, and a wire from behind passes below the bar") {
    Maker make("Post");
    make.part(Kind::pack, "B1", {"+", "-"})
        .part(Kind::stud, "X1", {""})
        .two_ended(Kind::fuse, "F1")
        .load("H1");
    make.wire("W1", "B1.+", "X1", 6, 1, Colour::red);
    make.wire("W2", "F1.out", "H1.+", 1, 1, Colour::red);
    make.wire("W3", "H1.-", "B1.-", 1, 1, Colour::black);
    make.joint("X1", "F1.in");
    const SheetModel seated = make_model(make.results());
    CHECK(seated.lines.size() == 3);
    CHECK(std::count_if(seated.elements.begin(), seated.elements.end(),
                        [](const Element& each) { return each.on_bar >= 0 && each.name == "F1"; }) == 1);
    make.wire("W4", "B1.+", "F1.out", 6, 1, Colour::red);  // a way round the fuse
    const SheetModel free = make_model(make.results());
    CHECK(free.lines.size() == 4);  // the bolt is no line, whatever leads past it
    CHECK(std::count_if(free.elements.begin(), free.elements.end(),
                        [](const Element& each) { return each.on_bar >= 0 && !each.left_of_bar; }) == 1);
    CHECK(figures(compose(free, {})).found.count() == 0);
}

TEST_CASE("Graphviz survives many layouts with bars, freed one after the other") {
    std::mt19937 random(7);  // its sequence is fixed by the standard
    const auto below = [&](unsigned limit) { return static_cast<int>(random() % limit); };
    for (int round = 0; round < 60; ++round) {
        HeightQuestion question;
        const int columns = 3 + below(4), rows = 2 + below(5);
        for (int column = 0; column < columns; ++column)
            for (int row = 0; row < rows; ++row) {
                const bool in_bar = below(3) == 0;
                question.nodes.push_back({4, 6, {3}, column, in_bar ? column : -1});
            }
        for (int column = 0; column + 1 < columns; ++column)
            for (int row = 0; row < rows; ++row)
                question.edges.push_back({column * rows + row,
                                          (column + 1) * rows + below(static_cast<unsigned>(rows)), 3, 3,
                                          1 + below(900)});
        const auto tops = ask_heights(question);
        REQUIRE(tops);
        for (std::size_t i = 0; i < question.nodes.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (question.nodes[i].column == question.nodes[j].column)
                    CHECK(std::abs((*tops)[i] - (*tops)[j]) >= 5.9);
    }
}

TEST_CASE("columns follow the edges, sources at the left and collectors at the right") {
    ColumnQuestion question;
    question.count = 5;
    question.edges = {{1, 2, 1}, {2, 3, 1}, {0, 4, 1}};
    question.leftmost = {0};
    question.rightmost = {4};
    question.same = {};
    const auto columns = ask_columns(question);
    REQUIRE(columns);
    CHECK((*columns)[2] > (*columns)[1]);
    CHECK((*columns)[3] > (*columns)[2]);
    for (const int column : *columns) {
        CHECK(column >= (*columns)[0]);
        CHECK(column <= (*columns)[4]);
    }
}

}  // namespace sheet_fold_test
