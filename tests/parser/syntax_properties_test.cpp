// What must hold of any text at all: reading ends, the tree is sound, one mistake gives one message.
#include <catch2/catch.hpp>
#include <random>

#include "tests/parser/syntax_print.hpp"
#include "tests/parser/syntax_samples.hpp"

namespace syntax_properties_test {

using namespace loomward;

namespace {

// Children lie inside their parents and in order; every node ends where it says.
void check_tree(const ReadText& read, std::uint32_t from, std::uint32_t to, std::uint32_t begin,
                std::uint32_t end, std::size_t depth) {
    if (depth > 64) FAIL("deeper than any text may be");
    for (std::uint32_t i = from; i < to; i = read.tree.nodes[i].next) {
        const SyntaxNode& node = read.tree.nodes[i];
        const bool sound = node.begin >= begin && node.end >= node.begin && node.end <= end &&
                           node.next > i && node.next <= to;
        if (!sound)
            FAIL("node " << i << ", " << node.begin << " to " << node.end << " and on at " << node.next
                         << ", inside " << begin << " to " << end
                         << ", of: " << read.sources.file(read.file).text);
        check_tree(read, i + 1, node.next, node.begin, node.end, depth + 1);
        begin = node.end;
    }
}

void check_sound(const std::string& text) {
    const ReadText read(text);
    const auto size = static_cast<std::uint32_t>(text.size());
    check_tree(read, 0, static_cast<std::uint32_t>(read.tree.nodes.size()), 0, size, 0);
    bool damaged = false;
    for (std::uint32_t i = 0; i < read.tree.nodes.size(); i = read.tree.nodes[i].next) {
        if (read.tree.nodes[i].kind != NodeKind::element) FAIL("not an element at top level: " << text);
        damaged = damaged || read.tree.nodes[i].damaged;
    }
    if (damaged && read.mistakes.empty()) FAIL("damaged without a word: " << text);
    for (const Diagnostic& mistake : read.mistakes)
        if (mistake.where.begin > size || mistake.where.end > size || mistake.message.empty())
            FAIL("a mistake without a place: " << text);
}

}  // namespace

TEST_CASE("texts without mistakes are read without a word") {
    for (const std::string& text : sample_texts()) {
        const ReadText read(text);
        CHECK(read.messages() == "");
        check_sound(text);
    }
}

TEST_CASE("each closing bracket that is taken away gives one message") {
    for (const std::string& text : sample_texts()) {
        std::size_t removed = 0;
        bool in_text = false;
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (text[i] == '#' && !in_text) i = std::min(text.find('\n', i), text.size() - 1);
            if (text[i] == '\\') ++i;
            in_text = in_text != (text[i] == '"');
            if (in_text || (text[i] != '}' && text[i] != ')')) continue;
            std::string broken = text;
            broken.erase(i, 1);
            const ReadText read(broken);
            const std::string expected = text[i] == '}' ? "open-brace" : "open-wire";
            if (read.mistakes.size() != 1 || read.mistakes.front().id != expected)
                FAIL("without the bracket at byte " << i << ":\n" << read.messages());
            ++removed;
        }
        CHECK(removed >= 5);
    }
}

TEST_CASE("each closing bracket that stands twice gives one message") {
    for (const std::string& text : {orchard_platform, one_line_each}) {
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (text[i] != '}' && text[i] != ')') continue;
            std::string broken = text;
            broken.insert(i, 1, text[i]);
            const ReadText read(broken);
            // "}}, W2": what comes after it looks like a comma between statements
            if (read.mistakes.size() != 1 || !read.mistakes.front().id.starts_with("stray"))
                FAIL("with a second bracket at byte " << i << ":\n" << read.messages());
        }
        CHECK(text.find('}') != std::string::npos);
    }
}

TEST_CASE("each closing quote that is taken away gives one message") {
    for (const std::string& text : {orchard_platform, one_line_each}) {
        std::size_t removed = 0;
        bool in_text = false;
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (text[i] == '\\') {
                ++i;
                continue;
            }
            if (text[i] != '"') continue;
            in_text = !in_text;
            if (in_text) continue;
            std::string broken = text;
            broken.erase(i, 1);
            const ReadText read(broken);
            if (read.mistakes.size() != 1 || read.mistakes.front().id != "open-text")
                FAIL("without the quote at byte " << i << ":\n" << read.messages());
            ++removed;
        }
        CHECK(removed > 0);
    }
}

TEST_CASE("any bytes give a sound tree") {
    std::mt19937 random(7);
    const std::vector<std::string> samples = sample_texts();
    const std::string signs = "{}(){}()\"\"\\#,,.+-=;%/\n\n\r\t 0159aZ_>^[]\x01\xC3\xA9\xE2\x80\x9C\xFF";
    const auto below = [&random](std::size_t limit) { return random() % std::max<std::size_t>(limit, 1); };
    std::size_t read = 0;
    for (int round = 0; round < 3000; ++round) {
        std::string text = samples[below(samples.size())];
        const std::size_t slips = 1 + below(6);
        for (std::size_t slip = 0; slip < slips && !text.empty(); ++slip) {
            const std::size_t at = below(text.size());
            const std::size_t count = 1 + below(40);
            switch (below(5)) {
                case 0:
                    text[at] = signs[below(signs.size())];
                    break;
                case 1:
                    text.insert(at, 1 + below(12), signs[below(signs.size())]);
                    break;
                case 2:
                    text.erase(at, count);
                    break;
                case 3:
                    text.insert(below(text.size()), text.substr(at, count));
                    break;
                default:
                    text.resize(at);
                    break;
            }
        }
        check_sound(text);
        ++read;
    }
    for (int round = 0; round < 3000; ++round) {
        std::string text;
        for (std::size_t i = below(60); i > 0; --i) text += signs[below(signs.size())];
        check_sound(text);
        ++read;
    }
    CHECK(read == 6000);
}

TEST_CASE("much of the same sign is read in one go") {
    for (const std::string piece :
         {"{", "}", "(", ")", "\"", "\n", ",", "x{", "(x", "x\n}\n", ";", "\xE2\x80\x93", "1,1",
          "part a is assembly {\n", "a is b assembly{\nload x\n", "x \"{\n", "# ", "\\"}) {
        std::string text;
        while (text.size() < 200'000) text += piece;
        check_sound(text);
    }
    SUCCEED("it ended");
}

}  // namespace syntax_properties_test
