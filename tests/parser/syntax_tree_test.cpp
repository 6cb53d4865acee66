// Texts without mistakes, and the tree that they are read as.
#include <catch2/catch.hpp>

#include "tests/parser/syntax_print.hpp"

namespace syntax_tree_test {

using namespace loomward;

namespace {
struct Row {
    std::string text;
    std::string tree;
};
}  // namespace

TEST_CASE("values, blocks and wires become the tree that they look like") {
    const Row row = GENERATE(values<Row>({
        {"", ""},
        {"\n\n # nothing but a remark\n", ""},
        {"loom 1", "e[w:loom n:1]"},
        {"\xEF\xBB\xBFloom 1\r\nfuse F1\r\n", "e[w:loom n:1] e[w:fuse w:F1]"},
        {"fuse F1 { 100 A, 80 V }", "e[w:fuse w:F1 b{e[n:100 w:A] e[n:80 w:V]}]"},
        {"fuse F1{100A}", "e[w:fuse w:F1 b{e[n:100A]}]"},
        {"fuse F1 {}", "e[w:fuse w:F1 b{}]"},
        {"pack B1 {\n  cells 14s8p, charge 5 A,\n\n  discharge 9 A # mind\n}",
         "e[w:pack w:B1 b{e^[w:cells n:14s8p] e[w:charge n:5 w:A] e^[w:discharge n:9 w:A]}]"},
        {"x { a, , b,\n,c }", "e[w:x b{e[w:a] e[w:b] e^[w:c]}]"},
        {"route B1.+ (W1 16 mm2, red) F1>x", "e[w:route w:B1.+ (e[w:W1 n:16 w:mm2] e[w:red]) w:F1>x]"},
        {"x \"a # b\" # c \"", "e[w:x t:\"a # b\"]"},
        {R"(x "say \"so\" \\" y)", R"(e[w:x t:"say \"so\" \\" w:y])"},
        {"x \"\" \"größer Ω\"", "e[w:x t:\"\" t:\"größer Ω\"]"},
        {"x 1 -5 0.5 10..16 -5..-1 1.5..2.5mm2 3/0 2/0AWG 80% 5v",
         "e[w:x n:1 n:-5 n:0.5 n:10..16 n:-5..-1 n:1.5..2.5mm2 n:3/0 n:2/0AWG n:80% n:5v]"},
        {"x + - % -a in+ mm^2 A1.151..300 t-5", "e[w:x w:+ w:- w:% w:-a w:in+ w:mm^2 w:A1.151..300 w:t-5]"},
        {"x { 5 %, 16mm2,0.2 m }", "e[w:x b{e[n:5 w:%] e[n:16mm2] e[n:0.2 w:m]}]"},
    }));
    const ReadText read(row.text);
    CAPTURE(row.text);
    CHECK(read.told() == "");
    CHECK(read.printed() == row.tree);
}

TEST_CASE("a line break is a blank inside a wire, before a bracket, and behind a wire") {
    const Row row = GENERATE(values<Row>({
        {"route A\n(W1\n 1 mm2,\n\n red) # why\n\n B", "e[w:route w:A (e[w:W1 n:1 w:mm2] e[w:red]) w:B]"},
        {"route A (W1)\nB\n(W2)\nC\nfuse F1", "e[w:route w:A (e[w:W1]) w:B (e[w:W2]) w:C] e[w:fuse w:F1]"},
        {"route A (W1)\nfuse F1", "e[w:route w:A (e[w:W1])] e[w:fuse w:F1]"},
        {"fuse F1 # main\n\n{ 5 A }", "e[w:fuse w:F1 b{e[n:5 w:A]}]"},
        {"fuse F1\nfuse F2", "e[w:fuse w:F1] e[w:fuse w:F2]"},
        {"part a is assembly {\n  port p\n  route p (W1)\n}",
         "e[w:part w:a w:is w:assembly b{e^[w:port w:p] e^[w:route w:p (e[w:W1])]}]"},
        {"part a is assembly {\n  route p (W1)\n  x\n  load H1 { 5 A }\n}",
         "e[w:part w:a w:is w:assembly b{e^[w:route w:p (e[w:W1]) w:x] e^[w:load w:H1 b{e[n:5 w:A]}]}]"},
    }));
    const ReadText read(row.text);
    CAPTURE(row.text);
    CHECK(read.told() == "");
    CHECK(read.printed() == row.tree);
}

TEST_CASE("every node knows its bytes and where the next one begins") {
    const std::string text = "\n fuse F1 { 100 A } # end\nroute A (W1 1 mm2) B";
    const ReadText read(text);
    REQUIRE(read.mistakes.empty());
    const auto& nodes = read.tree.nodes;
    REQUIRE(nodes.size() == 16);
    CHECK(read.text(nodes[0]) == "fuse F1 { 100 A }");
    CHECK(nodes[0].next == 7);
    CHECK(read.text(nodes[3]) == "{ 100 A }");
    CHECK(nodes[3].next == 7);
    CHECK(read.text(nodes[7]) == "route A (W1 1 mm2) B");
    CHECK(read.text(nodes[10]) == "(W1 1 mm2)");
    CHECK(nodes[10].next == 15);
    CHECK(nodes[15].next == 16);
}

TEST_CASE("blocks may lie eight deep in each other") {
    const ReadText eight("a{a{a{a{a{a{a{a{ }}}}}}}}");
    CHECK(eight.told() == "");
    const ReadText nine("a{a{a{a{a{a{a{a{a{ }}}}}}}}}\nfuse F1 { 5 A }");
    CHECK(nine.told() == "nesting 1:18");
    CHECK(nine.tree.nodes[0].damaged);
    CHECK(nine.printed().ends_with(" e[w:fuse w:F1 b{e[n:5 w:A]}]"));
}

}  // namespace syntax_tree_test
