// The lines that somebody reads who is about to connect something:
//
//     DO NOT SWITCH ON: 27 errors, 2 warnings, from 20 causes
//     before the pack is connected, mend
//       W57  has no fuse or breaker between it and a source: a fuse or breaker within 0.178 m of the source
//       ...
//     before mode drive: K1 closes onto the empty capacitors of controller U1 | U1 is set to take more ...
//     works badly: E1, E2, E3
#include "render/text/text_digest.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "checker/rules/cure_text.hpp"
#include "render/text/characters.hpp"
#include "render/text/counts.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

constexpr std::size_t most_lines = 12;
constexpr std::size_t most_later = 2;     // steps after the first that is barred, a line each
constexpr std::size_t most_to_start = 5;  // named by where to start
constexpr std::size_t name_columns = 5;

std::string before(const Results& results, const Digest& digest, std::size_t step) {
    const ModeId mode = digest.steps[step].mode;
    return mode ? "before mode " + std::string(results.harness->modes[mode.index()].name)
                : std::string("before the pack is connected");
}

// "carries more than it may": the message without the name that stands before it.
std::string said_of(const Finding& finding) {
    const std::size_t place = finding.message.find(finding.subject + " ");
    const bool at_start = place != std::string::npos && finding.message.find(' ') + 1 == place;
    return at_start ? finding.message.substr(place + finding.subject.size() + 1) : finding.message;
}

// Whether a finding speaks of what the cause is named after, or of one of its contacts.
bool speaks_of(const Finding& finding, const Cause& cause) {
    return finding.subject == cause.subject || finding.subject.starts_with(cause.subject + ".");
}

// Up to where a help line names another way.
std::string first_way(const std::string& help) {
    return help.substr(0, std::min({help.find("; "), help.find(", or "), help.find(", if ")}));
}

// What would pass, of all that is told of the cause: the figures of its findings that are needed together,
// the strictest of each; empty: no figure is known that would.
std::string passing_of(const Results& results, const Cause& cause, std::size_t most) {
    std::vector<Cure> needed;
    for (const std::size_t index : cause.findings)
        for (const Cure& cure : results.findings[index].cures) {
            if (cure.way != results.findings[index].cures.front().way) continue;
            const auto same = std::find_if(needed.begin(), needed.end(), [&](const Cure& other) {
                return other.what == cure.what && other.where == cure.where &&
                       other.dimension == cure.dimension && other.at_least == cure.at_least;
            });
            if (same == needed.end() && needed.size() < most)
                needed.push_back(cure);
            else if (same != needed.end() &&
                     (cure.at_least ? cure.value > same->value : cure.value < same->value))
                same->value = cure.value;
        }
    std::string text;
    for (std::size_t i = 0; i < needed.size(); ++i)
        text += (i ? ", " : "") + cure_text(needed[i], cause.subject);
    return text;
}

std::string cut(const std::string& text, std::size_t columns) {
    if (display_width(text) <= columns) return text;
    return wrapped(text, columns - 3).front() + " ..";
}

std::string cause_line(const Results& results, const Cause& cause) {
    const Finding& worst = results.findings[cause.findings.front()];
    const std::string name = printable(cause.subject);
    std::string line = "  " + name;
    line += std::string(name_columns - std::min(name_columns, display_width(name)), ' ') + " ";
    std::string more;
    if (!cause.alike.empty())
        more = fmt::format("; {} more alike", cause.alike.size());
    else if (cause.findings.size() > 1)
        more = "; " + counted(cause.findings.size() - 1, "more finding");
    // Of the worst finding, unless no figure of it would pass: what helps another then helps nothing. Lengths
    // are said better by the help: from the source on, where the cure is what is left for the wire.
    const bool figures = !worst.cures.empty() && worst.cures.front().dimension != Dimension::length;
    const std::string what = line + printable(speaks_of(worst, cause) ? said_of(worst) : worst.message),
                      because = ": " + printable(worst.beside);
    // As many figures as there is room for.
    std::vector<std::string> thens;
    for (std::size_t most = 3; figures && most > 0; --most) thens.push_back(passing_of(results, cause, most));
    if (!figures) thens.push_back(first_way(worst.help));
    for (std::string& then : thens) then = then.empty() ? "" : ": " + printable(then);
    std::vector<std::string> fulls = {what + because + thens.front()};
    for (const std::string& then : thens) fulls.push_back(what + then);
    fulls.push_back(what + because);
    for (const std::string& full : fulls)
        if (display_width(full + more) <= text_columns) return full + more;
    return cut(what, text_columns - display_width(more)) + more;
}

// "E4 is connected the wrong way round | E5 is fed a higher voltage than it takes | and 2 more"
std::string in_a_row(const Results& results, std::string line, const std::vector<const Cause*>& causes) {
    constexpr std::size_t for_rest = 14;  // " | and 123 more"
    std::size_t told = 0;
    for (const Cause* cause : causes) {
        const Finding& worst = results.findings[cause->findings.front()];
        std::string next = (told ? " | " : "") + (speaks_of(worst, *cause) ? printable(cause->subject) + " " +
                                                                                 printable(said_of(worst))
                                                                           : printable(worst.message));
        if (!cause->alike.empty()) next += fmt::format(" ({} more)", cause->alike.size());
        const bool last = told + 1 == causes.size();
        if (display_width(line + next) + (last ? 0 : for_rest) > text_columns) break;
        line += next;
        ++told;
    }
    if (told == causes.size()) return line;
    if (told) return line + fmt::format(" | and {} more", causes.size() - told);
    return cut(line + printable(causes.front()->subject) + " " +
                   printable(said_of(results.findings[causes.front()->findings.front()])),
               text_columns - for_rest) +
           (causes.size() > 1 ? fmt::format(" | and {} more", causes.size() - 1) : "");
}

std::string names_in_a_row(const std::string& head, const std::vector<std::string>& names) {
    std::string line = head;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string next = (i ? ", " : "") + names[i];
        if (display_width(line + next) > text_columns - 14)
            return line + fmt::format(" and {} more", names.size() - i);
        line += next;
    }
    return line;
}

std::vector<const Cause*> barring(const Digest& digest, std::optional<std::size_t> step) {
    std::vector<const Cause*> causes;
    for (const Cause& cause : digest.causes)
        if (cause.step == step) causes.push_back(&cause);
    return causes;
}

// What is said of all of it, and its ink; nothing where nothing was found.
std::pair<std::string, Ink> headline(const Advised& advised, std::size_t causes) {
    const OpenCounts& open = advised.open;
    const std::string from = " from " + counted(causes, "cause");
    switch (advised.advice) {
        case Advice::do_not:
            return {"DO NOT SWITCH ON: " + counted(advised.errors, "error") + ", " +
                        counted(advised.warnings, "warning") + "," + from,
                    Ink::error};
        case Advice::not_looked_at:
            return {"DO NOT SWITCH ON: not everything could be looked at", Ink::error};
        case Advice::find_out_first: {
            const bool possible = open.told_errors > 0;
            const std::size_t count = possible ? open.told_errors : open.asked_errors;
            return {fmt::format("DO NOT SWITCH ON YET: no error is certain, {} {}; find {} out first",
                                counted(count, possible ? "error" : "open value"),
                                !possible    ? "could hide one"
                                : count == 1 ? "is possible"
                                             : "are possible",
                                count == 1 && !possible ? "it" : "what is open"),
                    Ink::error};
        }
        case Advice::only_warnings:
            return {"no errors found in what was checked; " + counted(advised.warnings, "warning") + from,
                    Ink::warning};
        case Advice::none_found:
            break;
    }
    return {};
}

std::string silent_lines(const Results& results, const Digest& digest, bool color) {
    if (digest.silent.empty()) return {};
    std::vector<std::string> names;
    for (const ModeId mode : digest.silent)
        names.push_back(printable(std::string(results.harness->modes[mode.index()].name)));
    return paint(names_in_a_row(names.size() == 1 ? "NOTHING CAN BE SAID about mode "
                                                  : "NOTHING CAN BE SAID about modes ",
                                names) +
                     ": mend that first",
                 Ink::error, color) +
           "\n";
}

}  // namespace

std::string start_text(const Results& results, const Digest& digest) {
    if (digest.causes.empty()) return {};
    const std::optional<std::size_t> step = digest.causes.front().step;
    const std::vector<const Cause*> first = barring(digest, step);
    std::string text = "start with ";
    for (std::size_t i = 0; i < first.size() && i < most_to_start; ++i)
        text += (i ? ", " : "") + printable(first[i]->subject);
    if (first.size() > most_to_start) text += fmt::format(" and {} more", first.size() - most_to_start);
    return text + (step ? ", " + before(results, digest, *step) : "");
}

std::string digest_text(const Results& results, const Digest& digest, bool brief, bool color) {
    std::string text = silent_lines(results, digest, color);
    const auto [head, ink] = headline(advise(results, digest), digest.causes.size());
    if (!head.empty()) text += paint(head, ink, color) + "\n";
    if (digest.causes.empty()) return text;
    if (brief) return text + start_text(results, digest) + "\n";

    std::optional<std::size_t> first;
    std::vector<std::string> later;
    std::size_t unshown = 0;
    for (std::size_t step = 0; step < digest.steps.size(); ++step) {
        const std::vector<const Cause*> causes = barring(digest, step);
        if (causes.empty()) continue;
        if (!first)
            first = step;
        else if (later.size() < most_later)
            later.push_back(in_a_row(results, before(results, digest, step) + ": ", causes));
        else
            unshown += causes.size();
    }
    if (unshown) later.push_back("before later modes: " + counted(unshown, "more cause"));
    std::vector<std::string> badly;
    for (const Cause* cause : barring(digest, std::nullopt)) badly.push_back(printable(cause->subject));
    if (!badly.empty()) later.push_back(names_in_a_row("works badly: ", badly));

    if (first) {
        const std::vector<const Cause*> causes = barring(digest, first);
        text += paint(before(results, digest, *first), Ink::strong, color) + ", mend\n";
        const std::size_t heads = digest.silent.empty() ? 2 : 3;
        const std::size_t room = most_lines - heads - later.size();
        const std::size_t told = causes.size() > room ? room - 1 : causes.size();
        for (std::size_t i = 0; i < told; ++i) text += cause_line(results, *causes[i]) + "\n";
        if (told < causes.size()) text += fmt::format("  and {} more\n", causes.size() - told);
    }
    for (const std::string& line : later) text += line + "\n";
    return text;
}

}  // namespace loomward
