// What every rule tells of its own example, whole: level, place, words, working, figures, way, what would
// pass, and what it takes for granted. `LOOMWARD_APPROVE=1` writes it anew.
#include <algorithm>
#include <sstream>

#include "checker/rules/rule_example.hpp"
#include "parser/language/attribute_table.hpp"
#include "tests/approved.hpp"
#include "tests/checker/checking.hpp"

namespace rule_findings_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string level(const Finding& finding) {
    const std::string name = finding.severity == Severity::error     ? "error"
                             : finding.severity == Severity::warning ? "warning"
                                                                     : "note";
    return (finding.possible ? "possible " : "") + name;
}
// The first word of the source at that place, and its line.
std::string at(const std::string& text, Span where) {
    if (!where.valid()) return "nowhere";
    const auto line = 1 + std::count(text.begin(), text.begin() + where.begin, '\n');
    const std::string there = text.substr(where.begin, std::min<std::size_t>(where.end - where.begin, 24));
    return "line " + std::to_string(line) + " '" + there.substr(0, there.find('\n')) + "'";
}
std::string written(const Cure& cure) {
    return std::string(info(cure.what).name) + " of " + cure.where + (cure.at_least ? " >= " : " <= ") +
           to_text(cure.value, cure.dimension, 4) + (cure.way > 0 ? ", way " + std::to_string(cure.way) : "");
}
void write(std::ostream& out, const std::string& text, const Results& results, const Finding& finding) {
    const auto line = [&](const char* name, const std::string& value) {
        if (!value.empty()) out << "    " << name << ": " << value << '\n';
    };
    out << "  " << level(finding) << ' ' << finding.subject << ": " << finding.message << '\n';
    line("beside", finding.beside);
    line("at", at(text, finding.where));
    for (const std::string& each : finding.working) line("why", each);
    for (const Figure& each : finding.figures)
        line(each.name.c_str(), to_text(each.value, each.dimension, 4));
    std::string way;
    for (const Step& step : finding.witness) way += (way.empty() ? "" : " > ") + step.name;
    line("way", way);
    if (finding.mode) line("mode", std::string(results.harness->modes[finding.mode.index()].name));
    if (finding.corner) line("corner", std::string(corner_name(*finding.corner)));
    for (const Related& each : finding.related) line("see", at(text, each.where) + ": " + each.text);
    for (const OpenCause& each : finding.hangs_on)
        line("open",
             each.name + " of " + each.subject + (each.taken.empty() ? "" : ", taken as " + each.taken));
    line("needs", finding.requirement);
    line("source", finding.source);
    line("help", finding.help);
    for (const Cure& each : finding.cures) line("passes", written(each));
    if (finding.copies != 1) line("copies", std::to_string(finding.copies));
}
std::string written(const Assumption& each) {
    return each.what + ": " + each.value + " (" + each.source + ")";
}

// The text with the statement that this place lies in as its third line, behind the edition and the harness.
std::string with_first(const std::string& text, Span where) {
    std::size_t begin = text.rfind('\n', where.begin) + 1, end = begin;
    const auto from = [&](std::size_t at) {
        int depth = 0;
        do {
            depth += text[at] == '{' ? 1 : text[at] == '}' ? -1 : 0;
        } while (++at < text.size() && (text[at - 1] != '\n' || depth > 0));
        return at;
    };
    // A line that stands inside a block belongs to the statement above it.
    while (begin > 0 && text[begin] == ' ') begin = text.rfind('\n', begin - 2) + 1;
    end = from(begin);
    std::string rest = text.substr(0, begin) + text.substr(end);
    const std::size_t third = rest.find('\n', rest.find('\n') + 1) + 1;
    if (begin < third) return text;
    std::string moved = text.substr(begin, end - begin);
    if (!moved.ends_with('\n')) moved += '\n';
    return rest.insert(third, moved);
}
std::vector<std::string> in_short(const Results& results, std::string_view rule) {
    std::vector<std::string> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule)
            list.push_back(level(finding) + " " + finding.subject + ": " + finding.message);
    std::sort(list.begin(), list.end());
    return list;
}

}  // namespace

TEST_CASE("what a finding is about, and its mode, may stand first in the text") {
    for (const RuleInfo& rule : rule_list()) {
        if (rule.example.empty()) continue;
        INFO(rule.name);
        const std::string text = replaced(std::string(example_harness), rule.instead_of, rule.example);
        const Results results = check_text(text);
        const Finding* finding = finding_of(results, rule.name);
        REQUIRE(finding);
        const std::vector<std::string> told = in_short(results, rule.name);
        if (finding->part)
            CHECK(in_short(check_text(with_first(text, results.harness->part(finding->part).where)),
                           rule.name) == told);
        if (finding->wire)
            CHECK(in_short(check_text(with_first(text, results.harness->wire(finding->wire).where)),
                           rule.name) == told);
        if (finding->mode)
            CHECK(in_short(check_text(with_first(text, results.harness->modes[finding->mode.index()].where)),
                           rule.name) == told);
    }
}

TEST_CASE("every rule tells of its example what was agreed on, to the last line") {
    std::vector<std::string> taken;
    for (const Assumption& each : check_text(std::string(example_harness)).assumptions)
        taken.push_back(written(each));
    std::ostringstream out;
    for (const RuleInfo& rule : rule_list()) {
        if (rule.example.empty()) continue;
        const std::string text = replaced(std::string(example_harness), rule.instead_of, rule.example);
        const Results results = check_text(text);
        out << rule.name << '\n';
        for (const Finding& finding : results.findings)
            if (finding.rule == rule.name) write(out, text, results, finding);
        for (const Assumption& each : results.assumptions)
            if (const std::string line = written(each);
                std::find(taken.begin(), taken.end(), line) == taken.end())
                out << "  taken: " << line << ", of " << each.used_by.front() << '\n';
    }
    const std::string now = out.str();
    const std::string agreed = approved::compare_with("tests/checker/rule_findings.txt", now);
    std::istringstream is(now), was(agreed);
    std::string is_line, was_line, rule;
    while (std::getline(is, is_line) && std::getline(was, was_line) && is_line == was_line)
        if (!is_line.starts_with(' ')) rule = is_line;
    INFO("of " << rule << ":\n" << was_line << "\nnow:\n" << is_line);
    CHECK(now == agreed);
}

}  // namespace rule_findings_test
