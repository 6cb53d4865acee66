// Every printed working multiplies out within its printed digits, no finding prints two equal figures as an
// inequality, none prints infinity: on every example, and on every rule's own example.
#include <catch2/catch.hpp>

#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>

#include "checker/rules/rule_example.hpp"
#include "parser/language/units.hpp"
#include "tests/checker/checking.hpp"

namespace figures_law_test {

using namespace loomward;
using testing::check_text;

namespace {

// What a printed figure may have been before it was rounded.
struct Interval {
    double low = 1, high = 1;
    double printed = 1;
};

std::optional<Interval> take_figure(std::string_view& text) {
    std::size_t end = text.find_first_not_of("-0123456789.");
    if (end == 0) return std::nullopt;
    if (end == text.npos) end = text.size();
    const std::string_view digits = text.substr(0, end);
    double value = 0;
    const auto [after, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error != std::errc() || after != digits.data() + digits.size()) return std::nullopt;
    // Half of the last of three digits, zeros at the end are not printed; or of what is printed, where that
    // is more.
    const std::size_t point = digits.find('.');
    const double decimals = point == digits.npos ? 0 : static_cast<double>(digits.size() - point - 1);
    const double size = value == 0 ? 0 : std::floor(std::log10(std::abs(value)));
    const double half = 0.5 * std::min(std::pow(10.0, -decimals), std::pow(10.0, size - 2));
    text.remove_prefix(end);
    double factor = 1;
    if (text.starts_with(' ')) {
        const std::string_view rest = text.substr(1);
        const std::string_view word = rest.substr(0, rest.find_first_of(" ,;:()"));
        if (const UnitInfo* unit = find_unit(word)) {
            factor = word == "%" ? 0.01 : unit->factor;
            if (unit->dimension == Dimension::temperature) return std::nullopt;
            text.remove_prefix(1 + word.size());
        }
    }
    return Interval{(value - half) * factor, (value + half) * factor, value * factor};
}

// "8 A x 80 % / 2": nullopt where there is anything else in it.
std::optional<Interval> value_of(std::string_view side) {
    std::optional<Interval> product = take_figure(side);
    while (product && !side.empty()) {
        const bool times = side.starts_with(" x "), over = side.starts_with(" / ");
        if (!times && !over) return std::nullopt;
        side.remove_prefix(3);
        const std::optional<Interval> next = take_figure(side);
        if (!next || next->low <= 0) return std::nullopt;
        product->low = times ? product->low * next->low : product->low / next->high;
        product->high = times ? product->high * next->high : product->high / next->low;
        product->printed = times ? product->printed * next->printed : product->printed / next->printed;
    }
    return product;
}

struct Counts {
    std::size_t equations = 0, inequalities = 0;
};

// What is wrong with a line; empty where nothing is, or where it is no calculation.
std::string trouble_in(std::string line, Counts& counts) {
    if (line.find("inf ") != line.npos || line.find("nan") != line.npos) return "prints infinity";
    // Remarks are no part of it.
    for (std::size_t at; (at = line.find(" (")) != line.npos;) {
        const std::size_t end = line.find(')', at);
        line.erase(at, end == line.npos ? line.npos : end + 1 - at);
    }
    for (const std::string_view stop : {": ", "; ", ", "})
        if (const std::size_t at = line.find(stop); at != line.npos) line.resize(at);
    for (const std::string_view sign : {" = ", " > ", " < ", " >= ", " <= "}) {
        const std::size_t at = line.find(sign);
        if (at == line.npos || line.find(sign, at + 1) != line.npos) continue;
        const std::optional<Interval> left = value_of(std::string_view(line).substr(0, at)),
                                      right = value_of(std::string_view(line).substr(at + sign.size()));
        if (!left || !right) continue;
        const double slack = 1e-9 * std::max(std::abs(left->high), std::abs(right->high));
        if (sign == " = ") {
            ++counts.equations;
            if (left->low > right->high + slack || right->low > left->high + slack)
                return "does not multiply out";
        } else {
            ++counts.inequalities;
            const double ahead =
                sign[1] == '>' ? left->printed - right->printed : right->printed - left->printed;
            if (ahead < -slack || (ahead <= slack && sign.size() == 3)) return "is no inequality as printed";
        }
    }
    return {};
}

std::string troubles_of(const Results& results, Counts& counts) {
    std::string troubles;
    for (const Finding& finding : results.findings) {
        std::vector<std::string> lines = finding.working;
        lines.push_back(finding.beside);
        for (const std::string& line : lines)
            if (const std::string trouble = trouble_in(line, counts); !trouble.empty())
                troubles += finding.rule + " " + finding.subject + ": '" + line + "' " + trouble + "\n";
    }
    return troubles;
}

std::string text_of(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(in), {});
}

class Folder final : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        const std::string text = text_of(path);
        return text.empty() ? std::nullopt : std::optional(text);
    }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

}  // namespace

TEST_CASE("the arithmetic of this test itself tells right from wrong") {
    Counts counts;
    CHECK(trouble_in("96 A = 300 A x 80 % x 40 % (supply limit)", counts).empty());
    CHECK(!trouble_in("97 A = 300 A x 80 % x 40 % (supply limit)", counts).empty());
    CHECK(trouble_in("40.5 A > 23.2 A (1.45 x 16 A)", counts).empty());
    CHECK(!trouble_in("36 V < 36 V", counts).empty());
    CHECK(!trouble_in("36 V < 35 V", counts).empty());
    CHECK(trouble_in("36 V >= 36 V", counts).empty());
    CHECK(!trouble_in("inf h at 3 A", counts).empty());
    CHECK(trouble_in("68 ms = 68 ohm x 1 mF (time constant)", counts).empty());
    CHECK(!trouble_in("70 ms = 68 ohm x 1 mF (time constant)", counts).empty());
    CHECK(counts.equations == 4);
    CHECK(counts.inequalities == 4);
}

TEST_CASE("every printed working of every example holds within its printed digits") {
    Counts counts;
    std::string troubles;
    for (const auto& entry : std::filesystem::directory_iterator(LOOMWARD_SOURCE_DIR "/examples")) {
        if (entry.path().extension() != ".loom") continue;
        if (text_of(entry.path()).find("\nharness ") == std::string::npos) continue;
        Folder folder;
        ReadOptions options;
        std::vector<std::string_view> names;
        const std::vector<RuleInfo> rules = rule_list();
        for (const RuleInfo& rule : rules) names.push_back(rule.name);
        options.rules = names;
        ReadResult read = read_harness(entry.path().string(), folder, options);
        REQUIRE(read.harness);
        const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
        troubles += troubles_of(results, counts);
    }
    INFO(troubles);
    CHECK(troubles.empty());
    CHECK(counts.equations + counts.inequalities > 20);
}

TEST_CASE("every printed working of every rule's example holds within its printed digits") {
    Counts counts;
    std::string troubles;
    for (const RuleInfo& rule : rule_list()) {
        if (rule.example.empty()) continue;
        std::string text(example_harness);
        text.replace(text.find(rule.instead_of), rule.instead_of.size(), rule.example);
        troubles += troubles_of(check_text(text), counts);
    }
    INFO(troubles);
    CHECK(troubles.empty());
    CHECK(counts.equations > 20);
    CHECK(counts.inequalities > 60);
}

}  // namespace figures_law_test
