// What to do first: the verdict, the steps of switching on, and the causes on each of them.
#include <fmt/format.h>

#include <algorithm>

#include "checker/bench/power_up.hpp"
#include "render/papers/report_parts.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text_mend.hpp"

namespace loomward {
namespace {

std::vector<std::size_t> causes_at(const Digest& digest, std::optional<std::size_t> step) {
    std::vector<std::size_t> causes;
    for (std::size_t i = 0; i < digest.causes.size(); ++i)
        if (digest.causes[i].step == step) causes.push_back(i);
    return causes;
}

// An error of the cause bars the step; warnings alone do not.
bool bars(const Results& results, const Cause& cause) {
    return std::any_of(cause.findings.begin(), cause.findings.end(), [&](std::size_t finding) {
        return results.findings[finding].severity == Severity::error;
    });
}

std::size_t barring(const Results& results, const Digest& digest, const std::vector<std::size_t>& causes) {
    return static_cast<std::size_t>(std::count_if(causes.begin(), causes.end(), [&](std::size_t cause) {
        return bars(results, digest.causes[cause]);
    }));
}

std::string silent_words(const Results& results, const Digest& digest) {
    std::string names;
    for (const ModeId mode : digest.silent)
        names += (names.empty() ? "" : ", ") + std::string(results.harness->modes[mode.index()].name);
    return "Nothing can be said about mode " + names + ": mend that first.";
}

// Changes that were tried and take away a finding of the cause.
std::vector<const MadeChange*> tried_for(const ReportScope& scope, const Cause& cause) {
    std::vector<const MadeChange*> made;
    if (!scope.paper.mended) return made;
    for (const MadeChange& change : scope.paper.mended->changes) {
        const auto clears = [&](std::size_t index) {
            const Finding& finding = scope.results.findings[index];
            const std::string key = finding.rule + " " + finding.subject;
            return std::find(change.clears.begin(), change.clears.end(), key) != change.clears.end();
        };
        if (std::any_of(cause.findings.begin(), cause.findings.end(), clears)) made.push_back(&change);
    }
    return made;
}

Html todo_html(const ReportScope& scope, const Cause& cause) {
    Html out;
    const std::vector<const MadeChange*> tried = tried_for(scope, cause);
    if (!tried.empty()) {
        out += tag("span", {{"class", "t"}}, "tried, checked again");
        for (const MadeChange* made : tried)
            out += tag("p", scope.names.linked(change_text(made->change, scope.harness)));
        return out;
    }
    std::vector<std::string> said;
    for (const std::size_t index : cause.findings) {
        const std::string& help = scope.results.findings[index].help;
        if (help.empty() || std::find(said.begin(), said.end(), help) != said.end()) continue;
        said.push_back(help);
        if (said.size() == 3) break;
    }
    out += tag("span", {{"class", "t"}}, said.empty() ? "to do: see the finding" : "would pass, one by one");
    for (const std::string& help : said) out += tag("p", scope.names.linked(help));
    return out;
}

// The first letter large, as a sentence begins.
std::string sentence(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

Html cause_html(const ReportScope& scope, std::size_t index) {
    const Cause& cause = scope.papers.digest.causes[index];
    const Finding& worst = scope.results.findings[cause.findings.front()];
    const bool mild = !bars(scope.results, cause);
    Html text = tag("h4", scope.names.linked(sentence(worst.message)));
    if (!worst.beside.empty())
        text += tag("p", {{"class", "why"}}, scope.names.linked(sentence(worst.beside)));
    Html foot = tag("button",
                    {{"class", "lk only-screen"},
                     {"type", "button"},
                     {"data-cause", fmt::format("{}", index + 1)},
                     {"hidden", ""}},
                    "show on the sheet");
    foot += tag("span", Html("findings ") + flags_html(scope, cause.findings));
    if (!cause.alike.empty())
        foot += tag("span", Html(fmt::format("{} more alike: ", cause.alike.size())) +
                                scope.names.list(cause.alike, 14));
    text += tag("p", {{"class", "foot"}}, foot);
    return tag("li", {{"class", "cause"}, {"id", cause_anchor(index)}},
               tag("span", {{"class", mild ? "n mild" : "n"}}, fmt::format("{}", index + 1)) +
                   tag("div", text) + tag("div", {{"class", "do"}}, todo_html(scope, cause)));
}

// `before`: a step above is barred.
std::string say_of_step(const Results& results, const Digest& digest, const std::vector<std::size_t>& causes,
                        bool before) {
    const std::size_t bad = barring(results, digest, causes);
    if (bad > 0) return "do not: " + counted(bad, "cause");
    if (before) return "barred by a step before it";
    if (!causes.empty()) return "measure first; " + counted(causes.size(), "warning cause");
    return "measure first";
}

Html strip_html(const ReportScope& scope) {
    Html items;
    bool before = false;
    for (std::size_t i = 0; i < scope.papers.digest.steps.size(); ++i) {
        const std::vector<std::size_t> causes = causes_at(scope.papers.digest, i);
        const bool bad = barring(scope.results, scope.papers.digest, causes) > 0;
        const std::string title = step_title(scope.harness, scope.papers.digest.steps[i].mode);
        items += tag("li", {{bad ? "class" : "", "bad"}},
                     tag("b", (bad ? "\u2715 " : "") + title) +
                         Html(say_of_step(scope.results, scope.papers.digest, causes, before)));
        before = before || bad;
    }
    return tag("ol", {{"class", "stops"}, {"aria-label", "steps of switching on"}}, items);
}

Html ladder_html(const ReportScope& scope) {
    Html rungs;
    const Digest& digest = scope.papers.digest;
    bool before = false;
    for (std::size_t i = 0; i < digest.steps.size(); ++i) {
        const std::vector<std::size_t> causes = causes_at(digest, i);
        const bool bad = barring(scope.results, digest, causes) > 0;
        Html head = tag("span", {{"class", "knob"}, {"aria-hidden", "true"}}, fmt::format("{}", i + 1));
        head += tag("h3", step_title(scope.harness, digest.steps[i].mode));
        head += tag("span", {{"class", bad ? "say" : "say no"}},
                    say_of_step(scope.results, digest, causes, before));
        before = before || bad;
        Html body;
        for (const std::size_t cause : causes) body += cause_html(scope, cause);
        rungs += tag("li", {{bad ? "class" : "", "barred"}},
                     tag("div", {{"class", "rung"}}, head) +
                         (body.empty() ? Html() : tag("ol", {{"class", "causes"}}, body)));
    }
    return tag("ol", {{"class", "ladder"}}, rungs);
}

std::string counts_words(const ReportScope& scope) {
    const Results& results = scope.results;
    const Advised advised = advise(results, scope.papers.digest);
    const OpenCounts& open = advised.open;
    std::string text =
        fmt::format("{}, {}, {}", counted(advised.errors, "error"), counted(advised.warnings, "warning"),
                    counted(results.count(Severity::note) - open.notes, "note"));
    if (!scope.papers.digest.causes.empty())
        text += ", from " + counted(scope.papers.digest.causes.size(), "cause");
    text += ".";
    if (open.told_errors + open.told_warnings > 0)
        text += fmt::format(" Possible besides: {}, {}.", counted(open.told_errors, "error"),
                            counted(open.told_warnings, "warning"));
    if (open.asked > 0) text += fmt::format(" {} could hide one.", counted(open.asked, "open value"));
    return text;
}

std::string looked_at_words(const ReportScope& scope) {
    const std::size_t modes = scope.harness.modes.size(), solved = solved_modes(scope.results);
    std::string text = modes == 0 ? "The file has no modes, so no currents were looked at."
                                  : fmt::format("{} of {} gave numbers.", solved, counted(modes, "mode"));
    if (modes > 0 && scope.harness.modes.front().own) text += " The modes were made by the program.";
    text += fmt::format(" {}, {} assumed.",
                        scope.results.unknown_values
                            ? counted(scope.results.unknown_values, "value") + " not known"
                            : "No value unknown",
                        assumed_values(scope.results));
    if (const std::size_t accepted = accepted_findings(scope.results))
        text += fmt::format(" {} accepted by the owner.", counted(accepted, "finding"));
    return text;
}

Html plan_html(const ReportScope& scope) {
    const Mended* mended = scope.paper.mended;
    if (!mended || mended->changes.empty()) return {};
    const std::size_t changes = count_of_changes(*mended);
    std::string text = fmt::format(
        "With {}, and checked again: {} left; {} of {} solved.",
        changes == 1 ? "the one change made" : "all " + counted(changes, "change") + " made together",
        counts_left(*mended), mended->modes_solved, counted(mended->modes, "mode"));
    if (mended->slower) text += " Settings were lowered for what could be bought: the machine gets slower.";
    if (mended->ended_early) text += " Not everything was tried: the number of checks was used up.";
    return tag("p", {{"class", "lead"}}, text);
}

std::string advice_words(const Advised& advised) {
    switch (advised.advice) {
        case Advice::do_not:
            return "Do not switch on.";
        case Advice::not_looked_at:
            return "Do not switch on: not everything could be looked at.";
        case Advice::find_out_first:
            return "Do not switch on yet: find out first.";
        case Advice::only_warnings:
            return "No errors found in what was checked, " + counted(advised.warnings, "warning") + ".";
        case Advice::none_found:
            break;
    }
    return "No errors found in what was checked.";
}

}  // namespace

HtmlSection first_section(const ReportScope& scope) {
    const Advised advised = advise(scope.results, scope.papers.digest);
    Html more;
    if (!scope.papers.digest.silent.empty())
        more += tag("p", {{"class", "bad"}}, silent_words(scope.results, scope.papers.digest));
    more += tag("p", tag("b", counts_words(scope)) + Html(" " + looked_at_words(scope)));
    more += strip_html(scope);
    Html body = verdict_html(advice_words(advised), more, advised.stop());
    body += tag("p", {{"class", "lead"}},
                "Mend from the top. A step is barred as long as one of its causes stands; what bars a step "
                "bars every "
                "later one too. \"Measure first\" is no permission: follow a first power-up, with the "
                "instrument in hand.");
    body += plan_html(scope);
    body += ladder_html(scope);
    const std::vector<std::size_t> badly = causes_at(scope.papers.digest, std::nullopt);
    if (!badly.empty()) {
        Html causes;
        for (const std::size_t cause : badly) causes += cause_html(scope, cause);
        body +=
            tag("h3", "Works badly or not at all, bars no step") + tag("ol", {{"class", "causes"}}, causes);
    }
    return {"first", "What to do first", "First", body};
}

HtmlSection cautions_section(const ReportScope& scope) {
    Html body = cautions_html();
    if (!scope.results.not_checked.empty()) {
        Html items;
        for (const std::string& line : scope.results.not_checked) items += tag("li", line);
        body += tag("h3", "Not looked at") + tag("ul", items);
    }
    return {"cautions", "Cautions", "Cautions", caution_html(body)};
}

}  // namespace loomward
