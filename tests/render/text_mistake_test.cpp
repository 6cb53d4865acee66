// Mistakes as text: the whole output is compared, caret line included.
#include <catch2/catch.hpp>
#include <string>

#include "render/text/text.hpp"

namespace text_mistake_test {

using namespace loomward;

namespace {

// A one-file world in which [[ and ]] stand round what a mistake points at.
struct Marked {
    Sources sources;
    Span where;
};

Marked marked(std::string text) {
    const std::size_t begin = text.find("[[");
    text.erase(begin, 2);
    const std::size_t end = text.find("]]");
    text.erase(end, 2);
    Marked result;
    const FileId file = result.sources.add("yard.loom", text);
    result.where = {file, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
    return result;
}

std::string shown(const std::string& text, const std::string& beside = "") {
    const Marked m = marked(text);
    return mistake_text({"some-id", m.where, "something is wrong", beside, {}, ""}, m.sources, false);
}

}  // namespace

TEST_CASE("a mistake shows its place, its line, a caret, what stands beside it, notes and help") {
    const Marked m = marked("loom 1\nfuse F1 { 10 A }\nfuse [[F1]] { 5 A }\n");
    const Diagnostic mistake{"name-twice",
                             m.where,
                             "the name F1 is used twice",
                             "write F2",
                             {{Span{m.where.file, 12, 14}, "first here"}},
                             "each name is used once"};
    CHECK(mistake_text(mistake, m.sources, false) ==
          "yard.loom:3:6: error: the name F1 is used twice [name-twice]\n"
          "    3 | fuse F1 { 5 A }\n"
          "      |      ^~ write F2\n"
          "      note: yard.loom:2:6: first here\n"
          "      help: each name is used once\n");
}

TEST_CASE("the caret stands under the character as a terminal shows it") {
    struct Row {
        std::string text, line_and_caret;
    };
    const Row rows[] = {
        {"a [[b]] c", "    1 | a b c\n      |   ^\n"},
        {"[[abc]]", "    1 | abc\n      | ^~~\n"},
        // one column, two bytes
        {"load \"Hütte\" [[x]]", "    1 | load \"Hütte\" x\n      |              ^\n"},
        {"47 [[Ω]], 25 W", "    1 | 47 Ω, 25 W\n      |    ^\n"},
        // two columns each
        {"\"田中\" [[x]]", "    1 | \"田中\" x\n      |        ^\n"},
        {"[[田中]] x", "    1 | 田中 x\n      | ^~~~\n"},
        // e and a combining acute: one column
        {"\"cafe\u0301\" [[x]]", "    1 | \"cafe\u0301\" x\n      |        ^\n"},
        // tabs stand on both lines
        {"\tfuse\t[[F1]]", "    1 | \tfuse\tF1\n      | \t    \t^~\n"},
        // a tab inside the mark runs to its stop: gutter 8, 'a' in column 8, tab to 16
        {"[[a\t]]b", "    1 | a\tb\n      | ^~~~~~~~\n"},
    };
    for (const Row& row : rows) {
        const std::string text = shown(row.text);
        CHECK(text.substr(text.find('\n') + 1) == row.line_and_caret);
    }
}

TEST_CASE("the column counts characters, not bytes") {
    CHECK(shown("\"Ärger\" [[x]]").substr(0, 15) == "yard.loom:1:9: ");
}

TEST_CASE("a mark is cut at the line end, and an empty one still shows a caret") {
    struct Row {
        std::string text, rest;
    };
    const Row rows[] = {
        {"fuse [[{ 10 A\n  80 V\n]]", "    1 | fuse { 10 A\n      |      ^~~~~~\n"},
        {"route B1.+[[]]\n", "    1 | route B1.+\n      |           ^\n"},
        {"[[]]", "    1 | \n      | ^\n"},
        {"loom 1\n[[]]", "    2 | \n      | ^\n"},
        {"loom 1\r\nfu[[se]]\r\n", "    2 | fuse\n      |   ^~\n"},
        {"loom 1[[\r\n]]", "    1 | loom 1\n      |       ^\n"},
    };
    for (const Row& row : rows) {
        const std::string text = shown(row.text);
        CHECK(text.substr(text.find('\n') + 1) == row.rest);
    }
}

TEST_CASE("what a file contains cannot steer the terminal") {
    const std::string text = shown("note \"\033[31m\u202e\" \xff[[x]]");
    CHECK(text.find('\033') == std::string::npos);
    CHECK(text.find("\u202e") == std::string::npos);
    CHECK(text.substr(text.find('\n') + 1) ==
          "    1 | note \"\uFFFD[31m\uFFFD\" \uFFFDx\n      |                ^\n");
}

TEST_CASE("of a very long line only the neighbourhood of the caret is shown") {
    const std::string text = shown(std::string(5000, 'a') + "[[b]]" + std::string(5000, 'c'));
    const std::string line = "    1 | ..." + std::string(80, 'a') + "b" + std::string(80, 'c') + "...\n";
    CHECK(text.substr(text.find('\n') + 1) == line + "      | " + std::string(83, ' ') + "^\n");
}

TEST_CASE("line numbers beyond five digits push the line, not the sense") {
    CHECK(shown(std::string(123455, '\n') + "a [[x]]") ==
          "yard.loom:123456:3: error: something is wrong [some-id]\n"
          "123456 | a x\n"
          "       |   ^\n");
}

TEST_CASE("a mistake without a place is told without one") {
    const Sources sources;
    CHECK(mistake_text({"no-file", {}, "there is no file 'x.loom'", "", {}, ""}, sources, false) ==
          "error: there is no file 'x.loom' [no-file]\n");
}

TEST_CASE("colour adds nothing but colour") {
    const Marked m = marked("fuse [[F1]] { 5 A }");
    const Diagnostic mistake{"name-twice", m.where, "used twice", "write F2", {{m.where, "here"}}, "help"};
    std::string colored = mistake_text(mistake, m.sources, true);
    CHECK(colored.find("\033[") != std::string::npos);
    for (std::size_t at; (at = colored.find('\033')) != std::string::npos;)
        colored.erase(at, colored.find('m', at) - at + 1);
    CHECK(colored == mistake_text(mistake, m.sources, false));
}

}  // namespace text_mistake_test
