// docs/language.md says nothing about the language that the program does not do: every ```loom snippet is
// read without a mistake, and every ```mistake piece gives the very message printed in the block after it.
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "parser/language/kinds.hpp"
#include "parser/read.hpp"
#include "render/text/text.hpp"
#include "tests/parser/model_print.hpp"

namespace language_page_test {

namespace {

using namespace loomward;

std::optional<std::string> text_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    if (!in) return std::nullopt;
    return std::string(std::istreambuf_iterator<char>(in), {});
}

// `use "shelf.loom"` finds the shelf of the examples.
class Shelf : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        if (path != "shelf.loom") return std::nullopt;
        return text_of(std::string(LOOMWARD_SOURCE_DIR) + "/examples/shelf.loom");
    }
    std::vector<std::string> beside(const std::string&) override { return {"shelf.loom"}; }
};

struct Block {
    std::string info;  // what follows the three backticks
    std::string text;
    int line = 0;  // of its first line, in the page
};

std::vector<Block> blocks_of(const std::string& page) {
    std::vector<Block> blocks;
    bool inside = false;
    int number = 0;
    for (std::size_t at = 0; at < page.size();) {
        const std::size_t end = std::min(page.find('\n', at), page.size());
        const std::string line = page.substr(at, end - at);
        at = end + 1;
        ++number;
        if (line.rfind("```", 0) == 0) {
            inside = !inside;
            if (inside) blocks.push_back({line.substr(3), "", number + 1});
        } else if (inside) {
            blocks.back().text += line + "\n";
        }
    }
    REQUIRE_FALSE(inside);
    return blocks;
}

const std::string& page() {
    static const std::string text =
        text_of(std::string(LOOMWARD_SOURCE_DIR) + "/docs/language.md").value_or("");
    return text;
}

bool is_whole_file(const Block& block) {
    return block.text.rfind("loom 1", 0) == 0;
}

// The whole file of the page that pieces are read together with.
const std::string& common_lines() {
    static const std::string text = [] {
        std::vector<Block> whole = blocks_of(page());
        std::erase_if(whole, [](const Block& block) {
            return !is_whole_file(block) || block.text.find("harness \"Bench\"") == std::string::npos;
        });
        REQUIRE(whole.size() == 1);
        return whole[0].text.substr(std::string_view("loom 1\n").size());
    }();
    return text;
}

// A piece stands on the second line, so that messages count its lines from 2.
std::string as_file(const Block& block) {
    return is_whole_file(block) ? block.text : "loom 1\n" + block.text + common_lines();
}

constexpr std::string_view some_rules[]{"voltage-drop", "unprotected-wire"};

std::string mistakes_in(const std::string& text) {
    Shelf shelf;
    const ReadResult read = read_harness_text("cart.loom", text, shelf, {some_rules});
    std::string told;
    for (const Diagnostic& mistake : read.mistakes) told += mistake_text(mistake, *read.sources, false);
    return told;
}

}  // namespace

TEST_CASE("every snippet of the language page is read without a mistake", "[page]") {
    int snippets = 0;
    for (const Block& block : blocks_of(page())) {
        if (block.info != "loom") continue;
        ++snippets;
        INFO("docs/language.md:" << block.line);
        CHECK(mistakes_in(as_file(block)) == "");
    }
    CHECK(snippets >= 20);
}

TEST_CASE("every mistake of the language page gives the message printed under it", "[page]") {
    const std::vector<Block> blocks = blocks_of(page());
    int mistakes = 0;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        if (blocks[i].info != "mistake") continue;
        ++mistakes;
        INFO("docs/language.md:" << blocks[i].line);
        REQUIRE(i + 1 < blocks.size());
        CHECK(mistakes_in(as_file(blocks[i])) == blocks[i + 1].text);
    }
    CHECK(mistakes >= 8);
}

TEST_CASE("the harness of the first evening, the first of the page, says little and is read as it stands") {
    const std::string text = blocks_of(page()).front().text;
    Shelf shelf;
    const ReadResult read = read_harness_text("barrow.loom", text, shelf, {some_rules});
    REQUIRE(read.mistakes.empty());
    REQUIRE(read.harness);
    CHECK(print_model(*read.harness, "harness") == "harness {ambient unknown degC}\n");
    CHECK(
        print_model(*read.harness, "part") ==
        "part pack B1 {voltage 20..29 V, discharge unknown A, charge unknown A, resistance unknown ohm, "
        "capacity unknown Ah} B1.+ B1.-\n"
        "part fuse F1 {(rated-current) 10 A, (operational-voltage) unknown V, breaks unknown A, curve "
        "unknown "
        "word} F1.in F1.out\n"
        "part switch S1 {(operational-voltage) unknown V, carries unknown A, breaks unknown A} S1.in S1.out\n"
        "part load E1 \"lamp\" {(rated-voltage) 24 V, (power) 20 W} E1.+ E1.-\n");
    CHECK(print_model(*read.harness, "wire") ==
          "wire W1 B1.+ F1.in unknown mm2 unknown red pvc 70 degC assumed\n"
          "wire W2 F1.out S1.in unknown mm2 unknown red pvc 70 degC assumed\n"
          "wire W3 S1.out E1.+ unknown mm2 unknown red pvc 70 degC assumed\n"
          "wire W4 E1.- B1.- unknown mm2 unknown black pvc 70 degC assumed\n");
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    CHECK(format_text("barrow.loom", text, sources, mistakes) == text);
}

TEST_CASE("a snippet with a slip in it would be noticed", "[page]") {
    for (const Block& block : blocks_of(page())) {
        if (block.info != "loom") continue;
        const std::size_t size = block.text.find(" mm2");
        if (size == std::string::npos) continue;
        Block slipped = block;
        slipped.text.replace(size, 4, " mm3");
        INFO("docs/language.md:" << block.line);
        CHECK_THAT(mistakes_in(as_file(slipped)), Catch::Contains("[unknown-unit]"));
    }
}

TEST_CASE("every part kind of the language is named on the page", "[page]") {
    for (const KindInfo& kind : kind_table()) {
        INFO(kind.word);
        CHECK(page().find("`" + std::string(kind.word) + "`") != std::string::npos);
    }
}

}  // namespace language_page_test
