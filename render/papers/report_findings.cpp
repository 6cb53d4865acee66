// Every finding with its working, the open values, what was accepted, and the sources.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "checker/find_out.hpp"
#include "render/papers/report_parts.hpp"
#include "render/text/counts.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

Html row(std::string_view term, const Html& content) {
    return tag("dt", term) + tag("dd", content);
}

Html way_html(const ReportScope& scope, const std::vector<Step>& witness) {
    Html out;
    for (std::size_t i = 0; i < witness.size(); ++i) {
        if (i > 0) out += " › ";
        out += scope.names.link(witness[i].name);
    }
    return out;
}

Html lines_html(const ReportScope& scope, const std::vector<std::string>& lines) {
    Html out;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (i > 0) out += empty_tag("br");
        out += scope.names.linked(lines[i]);
    }
    return out;
}

std::string line_of(const ReportScope& scope, Span where) {
    if (!where.valid()) return {};
    const Sources& sources = *scope.harness.sources;
    const std::string line = fmt::format("{}", sources.position(where).line);
    return where.file == FileId(0) ? line : sources.file(where.file).path + ":" + line;
}

Html details_html(const ReportScope& scope, const Finding& finding) {
    Html out;
    if (!finding.witness.empty()) out += row("way", way_html(scope, finding.witness));
    if (!finding.working.empty()) out += row("working", lines_html(scope, finding.working));
    if (const std::string at = circumstances(finding, scope.results); !at.empty())
        out += row("at", on_paper(at));
    for (const Related& other : finding.related) {
        const std::string line = line_of(scope, other.where);
        out += row("see", scope.names.linked(other.text) + Html(line.empty() ? "" : " (line " + line + ")"));
    }
    for (const OpenCause& cause : finding.hangs_on)
        out += row("hangs on", scope.names.linked(cause.name + " of " + cause.subject +
                                                  (cause.taken.empty() ? "" : ", taken as " + cause.taken) +
                                                  (cause.turns ? "; told " + turn_text(*cause.turns) : "")));
    if (!finding.source.empty()) out += row("source", on_paper(finding.source));
    const std::string line = line_of(scope, finding.where);
    out += row("line", (line.empty() ? "" : line + ", ") + "rule " + finding.rule);
    return out;
}

std::string headline(const Finding& finding) {
    std::string word(severity_word(finding.severity));
    word[0] = static_cast<char>(word[0] - 'a' + 'A');
    if (finding.accepted) word = "Accepted " + std::string(severity_word(finding.severity));
    if (finding.possible) word = "Possible " + std::string(severity_word(finding.severity));
    return word + ": " + finding.message +
           (finding.copies > 1 ? fmt::format(" ({} copies)", finding.copies) : "");
}

Html finding_html(const ReportScope& scope, std::size_t index) {
    const Finding& finding = scope.results.findings[index];
    const std::size_t number = scope.papers.numbers[index];
    const std::string anchor = flag_anchor(number), heading = "h" + anchor;
    Html text = tag("h3", {{"id", heading}}, scope.names.linked(headline(finding)));
    if (!finding.beside.empty()) text += tag("p", {{"class", "beside"}}, scope.names.linked(finding.beside));
    if (!finding.help.empty()) text += tag("p", scope.names.linked(finding.help));
    if (!finding.requirement.empty())
        text += tag("p", Html("It has to ") + Html(on_paper(finding.requirement)) + ".");
    if (const auto cause = scope.papers.cause_of[index])
        text += tag("p", {{"class", "meta"}},
                    tag("a", {{"href", "#" + cause_anchor(*cause)}}, fmt::format("cause {}", *cause + 1)));
    return tag("article", {{"class", "finding"}, {"id", anchor}, {"aria-labelledby", heading}},
               tag("div", flag_html(number, finding)) +
                   tag("div", {{"class", "fb"}}, tag("div", text) + tag("dl", details_html(scope, finding))));
}

// Of the estimates of an attribute, the findings that one end of each would clear.
Html estimates_html(const ReportScope& scope, const ToFindOut& group) {
    Html out;
    std::size_t followed = 0;
    for (const EstimateEnds& each : scope.papers.estimates) {
        if (each.name != group.first.name || !each.tried) continue;
        followed += each.of.size();
        const auto tell = [&](const std::vector<std::size_t>& findings, double end) {
            if (findings.empty()) return;
            if (!out.empty()) out += empty_tag("br");
            out += flags_html(scope, findings) + Html(" not told at ") +
                   tag("span", {{"class", "nw"}}, on_paper(to_text(end, each.taken.dimension)));
            if (group.of.size() > 1) out += Html(" of ") + scope.names.list(each.of, 3);
        };
        tell(each.not_at_low, each.taken.lo);
        tell(each.not_at_high, each.taken.hi);
    }
    if (followed == 0) return tag("small", "not followed");
    if (out.empty()) out = tag("small", "nothing between its ends, alone");
    if (followed < group.of.size())
        out += empty_tag("br") +
               tag("small", fmt::format("{} of them not followed", group.of.size() - followed));
    return out;
}

// The findings that a value decides, each once or with where it turns; then how much more it could hide.
Html decides_html(const ReportScope& scope, const ToFindOut& group) {
    constexpr std::size_t most = 8;
    Html out;
    std::set<std::size_t> shown, rest;
    for (const Decided& each : group.findings) {
        const std::size_t number = scope.papers.numbers[each.finding];
        if (number == 0 || (!each.turns && shown.contains(number))) continue;
        if (shown.size() >= most) {
            rest.insert(number);
            continue;
        }
        shown.insert(number);
        if (!out.empty()) out += " ";
        out += flag_html(number, scope.results.findings[each.finding]);
        if (!each.turns) continue;
        out += Html("told ") + tag("span", {{"class", "nw"}}, on_paper(turn_text(*each.turns)));
        if (group.of.size() > 1) out += Html(" of ") + scope.names.link(each.subject);
    }
    if (!rest.empty()) out += fmt::format(" and {} more", rest.size());
    if (!group.first.unknown) return out + estimates_html(scope, group);
    if (group.could_hide > 0) {
        if (!out.empty()) out += empty_tag("br");
        out += tag("small", group.could_hide < group.of.size()
                                ? fmt::format("{} of them could hide an error", group.could_hide)
                                : std::string(group.of.size() > 1 ? "each " : "") + "could hide an error");
    }
    return out.empty() ? Html("\u2014") : out;
}

Html open_values_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "values not known or estimated";
    table.columns = {{"value", false},
                     {"of", false},
                     {"how it is known", false},
                     {"decides", false},
                     {"not judged without it", false},
                     {"how to find it", false}};
    for (const ToFindOut& group : what_to_find_out(scope.results))
        table.rows.push_back(
            {{group.first.name, scope.names.list(group.of, 14),
              group.first.unknown ? "not known" : "estimated", decides_html(scope, group),
              Html(std::string(group.first.judges)), Html(std::string(group.first.find_out))}});
    if (table.rows.empty()) return tag("p", "Nothing is said to be unknown, and nothing is estimated.");
    return table_html(table);
}

Html requirements_html(const ReportScope& scope) {
    HtmlTable table;
    table.label = "requirements of what is not known";
    table.columns = {{"what", false}, {"has to", false}};
    std::vector<std::pair<std::string, std::string>> seen;
    for (const Finding& finding : scope.results.findings) {
        if (finding.requirement.empty() || finding.accepted) continue;
        const std::pair<std::string, std::string> entry{finding.subject, finding.requirement};
        if (std::find(seen.begin(), seen.end(), entry) != seen.end()) continue;
        seen.push_back(entry);
        table.rows.push_back({{scope.names.link(finding.subject), Html(on_paper(finding.requirement))}});
    }
    if (table.rows.empty()) return {};
    return tag("h3", "What it has to be") +
           tag("p", {{"class", "lead"}}, "By what flows and stands there: hold it against the labels.") +
           table_html(table);
}

Html assumptions_html(const ReportScope& scope) {
    std::vector<const Assumption*> order;
    for (const Assumption& one : scope.results.assumptions) order.push_back(&one);
    std::stable_sort(order.begin(), order.end(),
                     [](const Assumption* a, const Assumption* b) { return users(*a) > users(*b); });
    HtmlTable table;
    table.label = "assumed values";
    table.columns = {{"what", false}, {"taken as", false}, {"source", false}, {"for", false}};
    for (const Assumption* one : order)
        table.rows.push_back(
            {{one->what, Html(on_paper(one->value)), one->source, scope.names.list(one->used_by, 14)}});
    if (table.rows.empty()) return tag("p", "Nothing was assumed.");
    return table_html(table);
}

}  // namespace

HtmlSection findings_section(const ReportScope& scope) {
    Html body = tag("p", {{"class", "lead"}},
                    "In the order of the file. The number is that of the pennant on the sheet.");
    bool any = false;
    for (std::size_t i = 0; i < scope.results.findings.size(); ++i)
        if (scope.papers.numbers[i] > 0 && !scope.results.findings[i].accepted) {
            body += finding_html(scope, i);
            any = true;
        }
    if (!any)
        body += tag("p", Html("None. What was not looked at stands under ") +
                             tag("a", {{"href", "#cautions"}}, "Cautions") + ".");
    return {"findings", "Findings, with working", "Findings", body};
}

HtmlSection unknown_section(const ReportScope& scope) {
    Html body = tag("p", {{"class", "lead"}},
                    "What decides most stands first. Put the measured value in the file and check again.");
    body += tag("h3", "Unknown and estimated") + open_values_html(scope) + requirements_html(scope);
    body += tag("h3", "Assumed, because the file does not say") + assumptions_html(scope);
    return {"unknown", "Unknown and assumed: what to find out next", "Unknown", body};
}

HtmlSection accepted_section(const ReportScope& scope) {
    Html body;
    for (std::size_t i = 0; i < scope.results.findings.size(); ++i) {
        const Finding& finding = scope.results.findings[i];
        if (!finding.accepted) continue;
        const Acceptance& acceptance = scope.harness.acceptances[*finding.accepted];
        body += tag("p", tag("b", "The owner says: ") + Html(std::string(acceptance.reason)) +
                             Html(accepted_amount(acceptance)) +
                             Html(" (line " + line_of(scope, acceptance.where) + ")"));
        body += finding_html(scope, i);
    }
    if (body.empty()) body = tag("p", "None. A finding is accepted in the file, with its reason.");
    return {"accepted", "Accepted findings", "Accepted", body};
}

HtmlSection sources_section(const ReportScope& scope) {
    std::map<std::string, std::vector<std::size_t>> sources;
    for (std::size_t i = 0; i < scope.results.findings.size(); ++i)
        if (const Finding& finding = scope.results.findings[i];
            !finding.source.empty() && scope.papers.numbers[i] > 0)
            sources[finding.source].push_back(i);
    for (const Assumption& one : scope.results.assumptions)
        if (!one.source.empty()) sources.try_emplace(one.source);
    Html items;
    for (const auto& [source, findings] : sources)
        items += tag("li", Html(source + " ") + flags_html(scope, findings, 14));
    Html body = tag("p", {{"class", "lead"}},
                    "Each with the findings that rest on it; without any: of assumed values.");
    body += items.empty() ? tag("p", "None.") : tag("ul", {{"class", "cols"}}, items);
    return {"sources", "Sources", "Sources", body};
}

}  // namespace loomward
