// The canonical layout: what it looks like, and that it changes nothing but the layout.
#include <catch2/catch.hpp>

#include "parser/read.hpp"
#include "tests/parser/syntax_print.hpp"
#include "tests/parser/syntax_samples.hpp"

namespace format_test {

using namespace loomward;

namespace {

struct Row {
    std::string text;
    std::string expected;
};

std::string formatted(const std::string& text) {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    const auto result = format_text("a.loom", text, sources, mistakes);
    REQUIRE(mistakes.empty());
    REQUIRE(result);
    return *result;
}

// Comments in order, without the blanks at their ends.
std::vector<std::string> comments(const std::string& text) {
    std::vector<std::string> all;
    bool in_text = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (in_text && text[i] == '\\') ++i;
        in_text = in_text != (text[i] == '"');
        if (in_text || text[i] != '#') continue;
        const std::size_t end = std::min(text.find('\n', i), text.size());
        std::string comment = text.substr(i, end - i);
        comment.erase(comment.find_last_not_of(" \t\r") + 1);
        all.push_back(comment);
        i = end;
    }
    return all;
}

std::string tree_without_lines(const std::string& text) {
    std::string tree = ReadText(text).printed();
    for (std::size_t at; (at = tree.find("e^[")) != std::string::npos;) tree.erase(at + 1, 1);
    return tree;
}

void check_only_layout_changes(const std::string& text) {
    const std::string once = formatted(text);
    CHECK(formatted(once) == once);
    CHECK(tree_without_lines(once) == tree_without_lines(text));
    CHECK(comments(once) == comments(text));
}

}  // namespace

TEST_CASE("the layout of statements, blocks and wires") {
    const Row row = GENERATE(values<Row>({
        {"", ""},
        {"\n\n\n", ""},
        {"\xEF\xBB\xBFloom   1\r\n\r\n\r\n\r\nstud\tX1", "loom 1\n\nstud X1\n"},
        {"fuse F1{100A,80V dc,curve x}", "fuse F1 { 100 A, 80 V dc, curve x }\n"},
        {"fuse F1 {  }", "fuse F1 { }\n"},
        {"fuse F1\n{ 5 A, }", "fuse F1 { 5 A }\n"},
        {"pack B1 { cells 14s8p,\n\n\n charge 5A, peak 9A for 2s,\n  }",
         "pack B1 {\n  cells 14s8p\n\n  charge 5 A, peak 9 A for 2 s\n}\n"},
        {"  route A(W1 16mm2,0.2m,\n red,in L1)F1\n(W2 2/0AWG) B",
         "route A (W1 16 mm2, 0.2 m, red, in L1) F1 (W2 2/0 AWG) B\n"},
        {"part a is assembly{\nport p\n    load H1 {5W}\nroute p (W1) H1.+\n}",
         "part a is assembly {\n  port p\n  load H1 { 5 W }\n  route p (W1) H1.+\n}\n"},
        {"assembly T is a{W1{1.4m},W2{\n2m}}", "assembly T is a {\n  W1 { 1.4 m }, W2 {\n    2 m\n  }\n}\n"},
        {"harness \"x\"\nfuse F1\nrelay K1{coil 12V,contacts no}\nroute A(W1)F1(W53 black)B",
         "harness \"x\"\nfuse F1\nrelay K1 { coil 12 V, contacts no }\nroute A (W1) F1 (W53 black) B\n"},
        {"x { takes 10..16mm2, limit -5..40degC, y 80%, z about 3mohm }",
         "x { takes 10..16 mm2, limit -5..40 degC, y 80 %, z about 3 mohm }\n"},
    }));
    CHECK(formatted(row.text) == row.expected);
    CHECK(formatted(row.expected) == row.expected);
}

TEST_CASE("a second statement on a line, and what stands behind a line break, keep their place") {
    // A statement word inside a route is no place to break it at, nor may one begin a line of a block.
    const std::string route =
        "route B1.+ (W30 10 mm2, 1 m, red) F6 (W31 10 mm2, 0.3 m, red) K1 (W32 10 mm2, 0.5 m, red) route "
        "U1.- (W33 10 mm2, 0.5 m, black) X2.3\n";
    for (const std::string& text :
         {route, std::string("x \"motor plug\" { capacitor mm2\n degC}\n"),
          std::string("on { closed,\n(direct) }\n"), std::string("on { closed, # why\n(direct) }\n"),
          std::string("on { a\n pack 3\n  }\n"), std::string("x { a, { b\n }\n}\n")}) {
        INFO(text);
        std::shared_ptr<Sources> sources;
        std::vector<Diagnostic> mistakes;
        const auto once = format_text("a.loom", text, sources, mistakes);
        if (!once) continue;  // a text with mistakes stays as it is
        INFO(*once);
        std::vector<Diagnostic> again;
        const auto twice = format_text("b.loom", *once, sources, again);
        REQUIRE(twice);
        CHECK(*twice == *once);
        CHECK(tree_without_lines(*once) == tree_without_lines(text));
    }
}

TEST_CASE("what only looks like a number with a unit is left together") {
    const Row row = GENERATE(values<Row>({
        {"d { pin 5A supply 8mA }", "d { pin 5A supply 8 mA }\n"},
        {"d { pin 5v signal }", "d { pin 5v signal }\n"},
        {"s { terminals 1A 2A, position 1A 2A }", "s { terminals 1A 2A, position 1A 2A }\n"},
        {"c { contact 5A 5A 1..2mm2 }", "c { contact 5A 5 A 1..2 mm2 }\n"},
        {"b { cells 14s8p, cells 14s }", "b { cells 14s8p, cells 14s }\n"},
        {"mode m { S1 at 5A, U1 draws 5A for 3s }", "mode m { S1 at 5A, U1 draws 5 A for 3 s }\n"},
        {"x { 5mm^2, 5ma }", "x { 5mm^2, 5ma }\n"},  // no units: left for the reader to tell
    }));
    CHECK(formatted(row.text) == row.expected);
}

TEST_CASE("a long route is broken behind wires") {
    const std::string wire = " (W10 16 mm2, 0.25 m, red) F10";
    std::string text = "route B1.+";
    for (int i = 0; i < 7; ++i) text += wire;
    const std::string once = formatted("part a is assembly {\n" + text + "\n}");
    CHECK(
        once ==
        "part a is assembly {\n"
        "  route B1.+ (W10 16 mm2, 0.25 m, red) F10 (W10 16 mm2, 0.25 m, red) F10 (W10 16 mm2, 0.25 m, red)\n"
        "      F10 (W10 16 mm2, 0.25 m, red) F10 (W10 16 mm2, 0.25 m, red) F10 (W10 16 mm2, 0.25 m, red)\n"
        "      F10 (W10 16 mm2, 0.25 m, red) F10\n"
        "}\n");
    CHECK(formatted(once) == once);
}

TEST_CASE("comments stay behind what they stand behind, and on lines of their own") {
    const Row row = GENERATE(values<Row>({
        {"#a\n\n\n#b\nx # c", "#a\n\n#b\nx  # c\n"},
        {"x  1          # far\nyyy  1        # far", "x 1    # far\nyyy 1  # far\n"},
        {"x { # one\n a, # two\n  # three\n\n # four\n}",
         "x {  # one\n  a  # two\n  # three\n\n  # four\n}\n"},
        {"route A (W1 1 mm2, # thick\n0.2 m) # over\n # there\nB",
         "route A (W1 1 mm2,  # thick\n    0.2 m)          # over\n    # there\n    B\n"},
        {"fuse F1 # main\n{ 5 A }", "fuse F1  # main\n    { 5 A }\n"},
        {"x \"# none\"   # ü   \n", "x \"# none\"  # ü\n"},
        {"# only", "# only\n"},
    }));
    CHECK(formatted(row.text) == row.expected);
    CHECK(formatted(row.expected) == row.expected);
    check_only_layout_changes(row.text);
}

TEST_CASE("layout changes neither the tree nor the comments, and happens once") {
    for (const std::string& text : sample_texts()) check_only_layout_changes(text);
}

TEST_CASE("texts whose blanks and line breaks were shuffled come out the same") {
    // Only where it means nothing: after commas in wires, around brackets.
    for (const std::string& text : {orchard_platform, one_line_each}) {
        std::string shuffled;
        bool in_text = false;
        bool in_comment = false;
        for (std::size_t i = 0; i < text.size(); ++i) {
            const char c = text[i];
            if (c == '"' && !in_comment && text[i - 1] != '\\') in_text = !in_text;
            if (c == '#' && !in_text) in_comment = true;
            if (c == '\n') in_comment = false;
            const bool plain = !in_text && !in_comment;
            if (plain && c == ' ' && text[i + 1] != '#') shuffled += "\t ";
            shuffled += c;
            if (plain && c == '(') shuffled += "\n\t";
            if (plain && c == ',') shuffled += "  ";
        }
        CHECK(formatted(shuffled) == formatted(text));
    }
}

TEST_CASE("a text with a mistake is not laid out") {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    CHECK_FALSE(format_text("a.loom", "fuse F1 { 5 A", sources, mistakes));
    REQUIRE(mistakes.size() == 1);
    CHECK(mistakes[0].id == "open-brace");
}

}  // namespace format_test
