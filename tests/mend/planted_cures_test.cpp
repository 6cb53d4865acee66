// A cure passes wherever its mistake stands: planted one at a time into the sound examples, every way of
// every finding is made, and its finding is gone and nothing calls for a larger figure of the same thing.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <set>

#include "parser/disk.hpp"
#include "tests/checker/checking.hpp"
#include "tests/mend/made_cures.hpp"
#include "tests/mend/planted_mistakes.hpp"

namespace planted_cures_test {

using namespace loomward;
using namespace loomward::cures_made;

namespace {

std::optional<Harness> read(const std::string& path, const std::string& text) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    return std::move(read_harness_text(path, text, *disk, {rules}).harness);
}

Results checked(const std::string& path, const std::string& text) {
    auto harness = read(path, text);
    REQUIRE(harness);
    return check(std::make_shared<const Harness>(std::move(*harness)));
}

// How many ways of findings were made.
std::size_t try_all_cures(const std::string& path, const std::string& text, const std::string& mistake) {
    const Results broken = checked(path, text);
    std::size_t made = 0;
    for (const Finding& finding : broken.findings) {
        if (finding.severity == Severity::note || finding.accepted) continue;
        for (const auto& [way, plan] : ways_of(finding)) {
            const auto mended = applied(plan, text, *broken.harness);
            // What stands in a type of another file has no place here.
            if (!mended) continue;
            INFO(path << ": " << mistake << "\n"
                      << finding.rule << " " << finding.subject << ", way " << int(way) << ": "
                      << finding.beside << "; " << finding.help);
            const Results after = checked(path, *mended);
            CHECK_FALSE(told(after, finding));
            for (const Finding& left : after.findings)
                for (const Cure& cure : left.cures)
                    if (cure.at_least && plan.contains(change_of(cure).key)) {
                        INFO(left.rule << " " << left.subject << " asks for " << cure.where);
                        CHECK(cure.value <= plan.at(change_of(cure).key).value);
                    }
            ++made;
        }
    }
    return made;
}

}  // namespace

TEST_CASE("every cure of a planted mistake passes, and calls for no more") {
    const char* asked = std::getenv("LOOMWARD_CASES");
    const unsigned cases = asked ? static_cast<unsigned>(std::strtoul(asked, nullptr, 10)) : 12;
    const char* names[] = {"market-cart.loom", "launch-24v.loom", "ice-sweeper.loom", "bench-rig-12v.loom"};
    std::size_t made = 0;
    for (unsigned number = 1; number <= cases; ++number) {
        const std::string path =
            std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + names[number % std::size(names)];
        std::ifstream file(path);
        const std::string sound{std::istreambuf_iterator<char>(file), {}};
        const auto harness = read(path, sound);
        REQUIRE(harness);
        std::mt19937 chance(number);
        EditedText text(sound);
        std::string mistake;
        for (int round = 0; round < 400 && mistake.empty(); ++round) {
            mistake = planting::plant_mistake(text, *harness, chance);
            if (mistake.empty() || read(path, text.text())) continue;
            text = EditedText(sound);
            mistake.clear();
        }
        made += try_all_cures(path, text.text(), mistake);
    }
    CHECK(made > cases / 3);
}

TEST_CASE("a smaller fuse is no cure where a controller behind it is set to take more") {
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/ice-sweeper.loom";
    std::ifstream file(path);
    EditedText text(std::string{std::istreambuf_iterator<char>(file), {}});
    REQUIRE(text.set_wire("W2", Dimension::area, "4 mm2"));
    const auto fuse_would_do = [&] {
        const Results results = checked(path, text.text());
        const Finding* finding = testing::finding_of(results, "oversized-fuse", "W2");
        REQUIRE(finding);
        return std::any_of(finding->cures.begin(), finding->cures.end(),
                           [](const Cure& cure) { return cure.where == "F1" && !cure.at_least; });
    };
    CHECK_FALSE(fuse_would_do());
    REQUIRE(text.set_attribute("U1", "supply-limit", "supply-limit 20 % of phase-limit"));
    CHECK(fuse_would_do());
}

}  // namespace planted_cures_test
