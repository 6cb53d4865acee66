// What a check says first fits a small terminal, whatever the harness: on random ones, and on examples with
// mistakes.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>

#include "checker/answers/digest.hpp"
#include "parser/disk.hpp"
#include "parser/read.hpp"
#include "render/text/characters.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text_digest.hpp"
#include "tests/laws/random_harness.hpp"
#include "tests/mend/planted_mistakes.hpp"

namespace digest_lines_test {

using namespace loomward;

namespace {

std::optional<Harness> read(const std::string& path, const std::string& text) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    return std::move(read_harness_text(path, text, *disk, {rules}).harness);
}

std::size_t cases(std::size_t usual) {
    const char* asked = std::getenv("LOOMWARD_CASES");
    return asked ? std::strtoul(asked, nullptr, 10) : usual;
}

// How many lines it takes.
std::size_t look_at(const std::string& path, const std::string& text) {
    auto harness = read(path, text);
    REQUIRE(harness);
    const Results results = check(std::make_shared<const Harness>(std::move(*harness)));
    const Digest digest = digest_of(results);
    std::size_t most = 0;
    for (const bool brief : {false, true}) {
        const std::string told = digest_text(results, digest, brief, false);
        INFO(path << "\n" << told);
        std::istringstream lines(told);
        std::size_t count = 0;
        for (std::string line; std::getline(lines, line); ++count) CHECK(display_width(line) <= text_columns);
        CHECK(count <= (brief ? 3U : 12U));
        most = std::max(most, count);
        CHECK(told.find("safe") == std::string::npos);
    }
    return most;
}

}  // namespace

TEST_CASE("on random harnesses what to do first takes at most 12 lines of 100 columns") {
    std::size_t told = 0;
    const std::size_t tries = cases(200);
    for (std::uint64_t seed = 1; seed <= tries; ++seed)
        told += look_at("random.loom", laws::random_harness(seed).text()) > 2;
    CHECK(told > tries / 4);  // else it would show nothing
}

TEST_CASE("on examples with mistakes what to do first takes at most 12 lines of 100 columns") {
    std::size_t most = 0;
    for (unsigned number = 1; number <= cases(8); ++number) {
        const std::string name = number % 2 ? "market-cart.loom" : "bench-rig-12v.loom";
        const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + name;
        std::ifstream file(path);
        const std::string sound{std::istreambuf_iterator<char>(file), {}};
        const auto harness = read(path, sound);
        REQUIRE(harness);
        const planting::BrokenText broken = planting::broken_text(
            sound, *harness, number, [&](const std::string& text) { return read(path, text).has_value(); });
        most = std::max(most, look_at(path, broken.text));
    }
    CHECK(most > 3);
}

}  // namespace digest_lines_test
