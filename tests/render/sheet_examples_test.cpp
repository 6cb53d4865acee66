// The examples as sheets: complete, and free of collisions.
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <sstream>

#include "checker/results.hpp"
#include "parser/read.hpp"
#include "render/sheet_frame.hpp"
#include "tests/render/sheet_measure.hpp"

using namespace loomward;
using namespace loomward::sheet;

namespace {

std::string file_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

class ExampleFiles : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        const std::string text = file_text(path);
        return text.empty() ? std::nullopt : std::optional(text);
    }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

Results results_of(const std::string& example) {
    ExampleFiles files;
    std::vector<std::string_view> rules;
    const std::vector<RuleInfo> infos = rule_list();
    for (const RuleInfo& rule : infos) rules.push_back(rule.name);
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + example + ".loom";
    ReadResult read = read_harness(path, files, {rules});
    REQUIRE(read.mistakes.empty());
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}

}  // namespace

TEST_CASE("on the sheets of the examples every wire is drawn once, and nothing lies on anything else") {
    const std::string example = GENERATE("bench-rig-12v", "ice-sweeper", "launch-24v", "yard-crane-96v",
                                         "market-cart", "market-cart-mistakes", "greenhouse-line");
    const Results results = results_of(example);
    const Page page = compose(make_model(results), {});
    std::map<std::string, int> drawn;
    for (const PlacedStrip& placed : page.strips) {
        if (placed.strip < 0) continue;
        for (const Run& run : placed.layout.runs)
            if (placed.layout.line(run.line).is_wire()) ++drawn[placed.layout.line(run.line).name];
        const Collisions found = measure(placed.layout);
        INFO(example << ", " << placed.caption << "\n" << found.all());
        CHECK(found.count() == 0);
    }
    CHECK(drawn.size() == results.harness->wires.size());
    for (const auto& [name, count] : drawn) {
        INFO(name);
        CHECK(count == 1);
    }
}
