#include "render/papers/report.hpp"

#include <fmt/format.h>

#include "render/papers/report_parts.hpp"
#include "render/text/checksum.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"
#include "render/text/title_fields.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string title_of(const Harness& harness, const std::string& path) {
    return harness.title.empty() ? paper_file_name(path) : std::string(harness.title);
}

std::vector<Html> meta_lines(const ReportScope& scope) {
    const Harness& harness = scope.harness;
    const TitleFields fields = title_fields(harness);
    std::string first = title_line(fields);
    if (!first.empty()) first += " · ";
    first += fmt::format("{} · {}, {}, {}", paper_file_name(scope.paper.path),
                         counted(harness.wires.size(), "wire"), counted(harness.parts.size(), "part"),
                         counted(harness.modes.size(), "mode"));
    const Value ambient = harness.value(harness.attributes, "ambient"_attr);
    Html line = first;
    if (ambient.present() && ambient.quantity().is_known())
        line +=
            Html(" · ") + tag("span", {{"class", "nw"}}, "ambient " + on_paper(to_text(ambient.quantity())));
    std::vector<Html> lines;
    if (!fields.subtitle.empty()) lines.emplace_back(fields.subtitle);
    lines.push_back(std::move(line));
    for (const std::string& note : texts_of(harness, harness.attributes, "note"_attr))
        lines.emplace_back(note);
    return lines;
}

// So that paper and file can be told to belong together.
Html origin(const ReportScope& scope) {
    const std::string& text = scope.harness.sources->files.front().text;
    return tag("footer",
               tag("p", {{"class", "meta"}},
                   Html("made by loomward " + scope.paper.version + " from the file with SHA-256 ") +
                       tag("code", sha256_text(text))));
}

Html tools() {
    return tag("p", {{"class", "tools only-screen"}, {"hidden", ""}},
               tag("button", {{"class", "b"}, {"type", "button"}, {"id", "print"}}, "print"));
}

Html slip() {
    return tag("aside", {{"class", "slip"}, {"id", "slip"}, {"aria-label", "selected"}, {"hidden", ""}},
               Html());
}

HtmlPage page_frame(const std::string& title) {
    HtmlPage page;
    page.title = title;
    page.style = report_style();
    page.footer = title;
    return page;
}

}  // namespace

HtmlNames report_names(const Harness& harness) {
    HtmlNames names;
    for (const Wire& wire : harness.wires) names.add(wire.name, wire_anchor(wire.name));
    for (const Part& part : harness.parts) {
        names.add(part.name, part_anchor(part.name));
        if (part.kind != Kind::connector || part.mate.empty()) continue;
        // The other half stands where the terminals of the part say: "T1.P1".
        for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
            const Terminal& terminal = harness.terminals[part.terminals.first + i];
            if (!terminal.mate_half) continue;
            names.add(terminal.path.substr(0, terminal.path.size() - terminal.name.size() - 1),
                      part_anchor(part.name));
            break;
        }
    }
    return names;
}

std::string wire_anchor(std::string_view name) {
    return html_anchor('w', name);
}

std::string part_anchor(std::string_view name) {
    return html_anchor('p', name);
}

std::string cause_anchor(std::size_t cause) {
    return fmt::format("c-{}", cause + 1);
}

std::string report_html(const ReportPaper& paper) {
    const Harness& harness = *paper.results->harness;
    const ReportScope scope{paper, *paper.results, *paper.papers, harness, report_names(harness)};
    HtmlPage page = page_frame(title_of(harness, paper.path) + ": report");
    page.meta = meta_lines(scope);
    page.top = tools();
    page.sections = {first_section(scope),      cautions_section(scope), sheet_section(scope),
                     findings_section(scope),   modes_section(scope),    guards_section(scope),
                     curves_section(scope),     shorts_section(scope),   wires_section(scope),
                     connectors_section(scope), parts_section(scope),    unknown_section(scope),
                     accepted_section(scope),   sources_section(scope)};
    if (paper.runs && !paper.runs->empty())
        page.sections.insert(page.sections.begin() + 1, runs_section(scope));
    if (paper.readings) page.sections.insert(page.sections.begin() + 1, readings_section(scope));
    page.script = report_script();
    page.end = origin(scope) + slip() +
               tag("p", {{"class", "said"}, {"id", "said"}, {"aria-live", "polite"}}, Html());
    return html_document(page);
}

std::string mistakes_report_html(const std::string& path, const std::string& version,
                                 const std::vector<Diagnostic>& mistakes, const Sources& sources) {
    HtmlPage page = page_frame(paper_file_name(path) + ": report");
    page.meta = {Html("made by loomward " + version)};
    Html body = verdict_html(
        "Nothing can be said about this harness.",
        tag("p", fmt::format("{} in the text; nothing was checked.", counted(mistakes.size(), "mistake"))),
        true);
    for (const Diagnostic& mistake : mistakes) body += tag("pre", mistake_text(mistake, sources, false));
    page.sections = {{"first", "What to do first", "First", body},
                     {"cautions", "Cautions", "Cautions", caution_html(cautions_html())}};
    return html_document(page);
}

// ---- small pieces
// ------------------------------------------------------------------------------------------

Html flags_html(const ReportScope& scope, const std::vector<std::size_t>& findings, std::size_t most) {
    Html out;
    std::size_t shown = 0, rest = 0;
    for (const std::size_t i : findings) {
        const std::size_t number = scope.papers.numbers[i];
        if (number == 0) continue;
        if (shown == most) {
            ++rest;
            continue;
        }
        if (shown++ > 0) out += " ";
        out += flag_html(number, scope.results.findings[i]);
    }
    if (rest > 0) out += fmt::format(" and {} more", rest);
    return out;
}

Html meter_html(double share) {
    const double width = std::min(1.0, share) * 100;
    return Html::trusted(fmt::format(
        "<svg class=\"meter{}\" viewBox=\"0 0 100 12\" preserveAspectRatio=\"none\" aria-hidden=\"true\">"
        "<rect class=\"full\" width=\"100\" height=\"12\"/><rect class=\"part\" width=\"{:.1f}\" "
        "height=\"12\"/></svg>",
        share > 1 ? " over" : "", width));
}

Html percent_html(double share) {
    return tag("data", {{"value", fmt::format("{}", share)}}, to_text(share * 100, Dimension::percentage));
}

}  // namespace loomward
