// The run on docs/mend.md is what the program prints.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "checker/quick_check.hpp"
#include "parser/disk.hpp"
#include "render/text/line_diff.hpp"
#include "render/text/text_mend.hpp"
#include "tests/checker/checking.hpp"

namespace page_test {

using namespace loomward;

namespace {

const std::string root = LOOMWARD_SOURCE_DIR;
const std::string cart = "examples/market-cart-mistakes.loom";

std::string content_of(const std::string& path) {
    std::ifstream file(path);
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

std::optional<Results> examined_by(const std::string& text, bool quickly) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    ReadResult read = read_harness_text(root + "/" + cart, text, *disk, {rules});
    if (!read.harness) return std::nullopt;
    auto harness = std::make_shared<const Harness>(std::move(*read.harness));
    return quickly ? check_quickly(std::move(harness)) : check(std::move(harness));
}
std::optional<Results> examined(const std::string& text) {
    return examined_by(text, false);
}

}  // namespace

TEST_CASE("the page of mend shows a real run") {
    const std::string text = content_of(root + "/" + cart);
    const auto found = examined(text);
    REQUIRE(found);
    MendOptions how;
    how.tried_with = [](const std::string& changed) { return examined_by(changed, true); };
    const std::string run = mended_text(mend(text, *found, examined, how), *found, cart, true);
    const std::string path = root + "/docs/mend.md";
    const std::string page = content_of(path);
    const std::size_t begin = page.find("\n```\n") + 5, end = page.rfind("```");
    REQUIRE(begin <= end);
    if (std::getenv("LOOMWARD_APPROVE"))
        std::ofstream(path) << page.substr(0, begin) << run << page.substr(end);
    else
        CHECK(page.substr(begin, end - begin) == run);
}

TEST_CASE("a difference names the line, what goes and what comes") {
    CHECK(line_diff("a\nb\nc\n", "a\nB\nc\nd\n") == "line 2\n- b\n+ B\nline 4\n+ d\n");
    CHECK(line_diff("a\n", "a\n").empty());
}

}  // namespace page_test
