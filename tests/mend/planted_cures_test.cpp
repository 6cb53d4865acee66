// A cure passes wherever its mistake stands: planted one at a time into the sound examples, every way of
// every finding is made, and its finding is gone and nothing calls for a larger figure of the same thing.
#include <catch2/catch.hpp>

#include <cmath>
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
using namespace loomward::literals;

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
    const unsigned cases = asked ? static_cast<unsigned>(std::strtoul(asked, nullptr, 10)) : 60;
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

TEST_CASE(
    "a contact asks for what it carries as what hangs on it starts, and for what a raised fuse lets "
    "through") {
    const auto asked = [](const std::string& file, std::string_view rule, std::string_view subject,
                          const std::string& was, const std::string& is, std::string_view where) {
        const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + file;
        std::ifstream stream(path);
        std::string text{std::istreambuf_iterator<char>(stream), {}};
        REQUIRE(text.find(was) != std::string::npos);
        text.replace(text.find(was), was.size(), is);
        const Results results = checked(path, text);
        const Finding* finding = testing::finding_of(results, rule, subject);
        REQUIRE(finding);
        for (const Cure& cure : finding->cures)
            if (cure.where == where && cure.what == "carries"_attr) return cure.value;
        return 0.0;
    };
    // A pump of 5 A that starts with 20 A for 0.2 s: sqrt(20^2 - (20^2 - 5^2) exp(-0.2/60)) A.
    CHECK(asked("launch-24v.loom", "overloaded-contact", "S5", "32 V dc, carries 15 A, makes 25 A",
                "32 V dc, carries 3 A, makes 25 A",
                "S5") == Approx(std::sqrt(400 - 375 * std::exp(-0.2 / 60))).epsilon(1e-3));
    // 220 A x 80 % x 80 % = 140.8 A of the controller and the 3 A fuse of its control leads, past the plug
    // that may carry 111.7 A where it says 120.
    CHECK(asked("market-cart.loom", "setting-too-high", "U1", "supply-limit 40 % of phase-limit",
                "supply-limit 80 % of phase-limit", "J1") > 140.8 * 120 / 111.72);
}

TEST_CASE("no shorter wire is a cure than its bundle lets it be") {
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/launch-24v.loom";
    std::ifstream file(path);
    EditedText text(std::string{std::istreambuf_iterator<char>(file), {}});
    REQUIRE(text.set_wire("W5", Dimension::length, "1.2 m"));
    const auto shorter = [&] {
        const Results results = checked(path, text.text());
        const Finding* finding = testing::finding_of(results, "unprotected-wire", "W5");
        REQUIRE(finding);
        return finding->cures.size();
    };
    CHECK(shorter() == 1);
    text = EditedText([&] {
        std::string now(text.text());
        const std::size_t at = now.find("(W5 2/0 AWG, 1.2 m, red");
        REQUIRE(at != std::string::npos);
        now.insert(at + std::string("(W5 2/0 AWG, 1.2 m, red").size(), ", in L99");
        return now + "bundle L99 { length 1 m }\n";
    }());
    CHECK(shorter() == 0);
}

TEST_CASE("a smaller fuse is no cure where a controller behind it is set to take more") {
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/market-cart.loom";
    std::ifstream file(path);
    EditedText text(std::string{std::istreambuf_iterator<char>(file), {}});
    REQUIRE(text.set_wire("W2", Dimension::area, "6 mm2"));
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

TEST_CASE("a smaller fuse is no cure of a wire that another one feeds from its other end") {
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/ice-sweeper.loom";
    std::ifstream file(path);
    EditedText edited(std::string{std::istreambuf_iterator<char>(file), {}});
    REQUIRE(edited.set_attribute("U1", "supply-limit", "supply-limit 20 % of phase-limit"));
    REQUIRE(edited.set_wire("W7", Dimension::area, "4 mm2"));
    std::string text = edited.text();
    const auto told_of_it = [&] {
        const Results results = checked(path, text);
        const Finding* finding = testing::finding_of(results, "oversized-fuse", "W7");
        return finding ? std::optional(*finding) : std::nullopt;
    };
    const auto smaller = [&](const std::string& fuse) {
        const std::size_t at = text.find("60 A", text.find("fuse " + fuse + " "));
        text.replace(at, 4, "40 A");
    };
    const auto first = told_of_it();
    REQUIRE(first);
    CHECK(first->help == "a thicker wire, or smaller devices on both of its ways");
    CHECK(std::none_of(first->cures.begin(), first->cures.end(),
                       [](const Cure& cure) { return !cure.at_least; }));
    smaller("F2");  // that of the other pack still feeds it
    CHECK(told_of_it());
    smaller("F1");
    CHECK_FALSE(told_of_it());
}

}  // namespace planted_cures_test
