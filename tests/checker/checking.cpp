#include "tests/checker/checking.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace loomward::testing {

namespace {

// What every finding has, whatever it is about.
void check_form(const Finding& finding, const Results& results) {
    INFO(finding.rule << " " << finding.subject << ": " << finding.message);
    CHECK_FALSE(finding.message.empty());
    CHECK_FALSE(finding.source.empty());
    CHECK(finding.where.valid());
    CHECK((finding.rule == "no-mode" || finding.asks() || !finding.subject.empty()));
    CHECK((finding.asks() || finding.possible == !finding.hangs_on.empty()));
    CHECK((!finding.mode || finding.mode.index() < results.harness->modes.size()));
    for (const std::string& line : finding.working) CHECK_FALSE(line.empty());
    for (const Figure& each : finding.figures) CHECK((!each.name.empty() && !std::isnan(each.value)));
    for (const Step& step : finding.witness) CHECK_FALSE(step.name.empty());
    for (const Related& each : finding.related) CHECK((!each.text.empty() && each.where.valid()));
    for (const Cure& cure : finding.cures) CHECK((!cure.where.empty() && std::isfinite(cure.value)));
}

}  // namespace

Results check_text(const std::string& text) {
    NoFiles files;
    std::vector<std::string_view> names;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    ReadOptions options;
    options.rules = names;
    ReadResult read = read_harness_text("test.loom", text, files, options);
    for (const Diagnostic& mistake : read.mistakes) {
        const Position at = read.sources->position(mistake.where);
        FAIL("line " << at.line << ":" << at.column << " " << mistake.message);
    }
    Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
    for (const Finding& finding : results.findings) check_form(finding, results);
    return results;
}

std::vector<std::string> found(const Results& results, Severity severity) {
    std::vector<std::string> list;
    for (const Finding& finding : results.findings)
        if (finding.severity == severity && !finding.accepted)
            list.push_back(finding.rule + " " + finding.subject);
    std::sort(list.begin(), list.end());
    return list;
}

const Finding* finding_of(const Results& results, std::string_view rule, std::string_view subject) {
    for (const Finding& finding : results.findings)
        if (finding.rule == rule && (subject.empty() || finding.subject == subject)) return &finding;
    return nullptr;
}

std::optional<Severity> gravest_of(const Results& results, std::string_view rule, std::string_view subject) {
    std::optional<Severity> worst;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule && finding.subject == subject && (!worst || finding.severity < *worst))
            worst = finding.severity;
    return worst;
}

double figure(const Finding& finding, std::string_view name) {
    for (const Figure& each : finding.figures)
        if (each.name == name) return each.value;
    FAIL("no figure " << name);
    return 0;
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    const std::size_t place = text.find(from);
    REQUIRE(place != std::string::npos);
    return text.replace(place, from.size(), to);
}

}  // namespace loomward::testing
