#include "render/bench/power_up_html.hpp"

#include <fmt/format.h>

#include "checker/answers/advice.hpp"
#include "render/bench/bench_page.hpp"
#include "render/html/html_parts.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

std::string_view range_word(const BenchStep& step) {
    switch (step.meter) {
        case MeterKind::ohms:
            return step.least > 1e5 ? "MΩ" : "Ω";
        case MeterKind::volts:
            return "V dc";
        case MeterKind::millivolts:
            return "mV dc";
        case MeterKind::amps:
            return "A dc";
        case MeterKind::look:
            break;
    }
    return {};
}

std::string unit_word(const BenchStep& step) {
    switch (step.meter) {
        case MeterKind::ohms:
            return "Ω";
        case MeterKind::volts:
            return "V";
        case MeterKind::millivolts:
            return "mV";
        case MeterKind::amps:
            return "A";
        case MeterKind::look:
            break;
    }
    return "look";
}

Html red_html(const std::string& name) {
    return tag("span", {{"class", "red"}, {"title", "red probe"}}, {}) + tag("b", name);
}
Html black_html(const std::string& name) {
    return tag("span", {{"class", "blk"}, {"title", "black probe"}}, {}) + tag("b", name);
}

Html probes_html(const BenchStep& step) {
    if (step.meter == MeterKind::look) return {};
    Html inside = tag("i", on_paper(range_word(step)));
    if (step.meter == MeterKind::amps)
        inside += tag("b", step.red) + " in the clamp";
    else
        inside += red_html(step.red) + " " + black_html(step.black);
    return tag("span", {{"class", "pr"}}, inside);
}

Html reading_cell(const BenchStep& step) {
    return tag("td", {{"class", "rd"}}, tag("small", on_paper(unit_word(step))));
}
Html initials_cell() {
    return tag("td", {{"class", "ok"}}, {});
}
Html number_cell(const BenchStep& step) {
    return tag("th", {{"scope", "row"}}, fmt::format("{}", step.number));
}

Html step_row(const BenchStep& step) {
    Html what = tag("b", on_paper(step.title));
    if (!step.how.empty()) what += " " + Html(on_paper(step.how));
    what += probes_html(step);
    if (!step.if_not.empty())
        what += tag("span", {{"class", "if"}}, tag("b", "If not: ") + Html(on_paper(step.if_not)));
    Html expected(on_paper(step.expect));
    if (!step.basis.empty()) expected += tag("small", on_paper(step.basis));
    return tag("tr", number_cell(step) + tag("td", {{"class", "do"}}, what) +
                         tag("td", {{"class", "ex"}}, expected) + reading_cell(step) + initials_cell());
}

Html reading_row(const BenchStep& step) {
    Html across(on_paper(step.across_text));
    if (!step.if_not.empty() && !step.told_by_part)
        across += tag("span", {{"class", "if"}}, on_paper(step.if_not));
    return tag("tr", number_cell(step) + tag("td", {{"class", "do"}}, red_html(step.red)) +
                         tag("td", {{"class", "do"}}, black_html(step.black)) +
                         tag("td", {{"class", "do"}}, across) +
                         tag("td", {{"class", "ex"}}, on_paper(step.expect)) + reading_cell(step));
}

Html heads(std::initializer_list<const char*> names) {
    Html cells;
    for (const char* name : names) cells += tag("th", {{"scope", "col"}}, name);
    return tag("thead", tag("tr", cells));
}

// `first`: the number of its first step, by which screen readers tell the tables apart.
Html steps_table(const Html& rows, bool of_rows, std::size_t first) {
    const Html head = of_rows ? heads({"step", "red on", "black on", "across", "expect", "reading"})
                              : heads({"step", "do, meter, probes", "expect", "reading", "initials"});
    return tag("div",
               {{"class", "tw"},
                {"tabindex", "0"},
                {"role", "region"},
                {"aria-label", fmt::format("steps from {} on", first)}},
               tag("table", {{"class", of_rows ? "steps rows" : "steps"}}, head + tag("tbody", rows)));
}

// Rows of one sort share a table; a caution stands directly above what it is about.
Html steps_html(const BenchPart& part) {
    Html whole, rows;
    bool of_rows = false;
    std::size_t first = 0;
    const auto close = [&] {
        if (!rows.empty()) whole += steps_table(rows, of_rows, first);
        rows = {};
    };
    for (const BenchStep& step : part.steps) {
        const bool titled_row = step.row && !step.title.empty();
        if (step.row != of_rows || !step.caution.empty() || titled_row) close();
        of_rows = step.row;
        if (!step.caution.empty())
            whole += caution_html(tag("p", tag("b", "Caution. ") + Html(on_paper(step.caution))), true);
        if (titled_row) whole += tag("h3", on_paper(step.title));
        if (rows.empty()) first = step.number;
        rows += (step.row ? reading_row(step) : step_row(step)) + Html::trusted("\n");
    }
    close();
    return whole;
}

Html warm_html(const BenchPart& part) {
    if (part.warm.empty()) return {};
    HtmlTable table;
    table.label = "places to feel";
    table.columns = {{"feel", false},
                     {"carries, worst mode", false},
                     {"may carry", true},
                     {"warmer than the air by", true},
                     {"felt", false}};
    for (const WarmPlace& place : part.warm)
        table.rows.push_back({{Html(on_paper(place.name)), Html(on_paper(place.carries)),
                               Html(on_paper(place.may_carry)), Html(on_paper(place.warmer)), Html()}});
    return table_html(table);
}

Html part_html(const BenchPart& part) {
    Html body;
    if (!part.caution.empty())
        body +=
            caution_html(tag("p", tag("b", "Caution. ") + Html(on_paper(part.caution))), part.letter > 'C');
    if (!part.lead.empty()) body += tag("p", {{"class", "lead"}}, on_paper(part.lead));
    return body + warm_html(part) + steps_html(part);
}

// "24 errors stand, and 1 open value could hide another."
std::string what_bars(const Results& results) {
    const std::size_t told = told_errors(results), asked = open_counts(results).asked_errors;
    const std::string stand = counted(told, "error") + (told == 1 ? " stands" : " stand");
    const std::string hide = counted(asked, "open value") + " could hide ";
    if (told == 0) return hide + "an error.";
    return asked == 0 ? stand + "." : stand + ", and " + hide + "another.";
}

Html barred_html(const PowerUpSheet& sheet, const Results& results) {
    Html list;
    for (const BarredStep& step : sheet.barred_steps) {
        Html causes;
        for (const std::string& cause : step.causes)
            causes += tag("li", tag("span", {{"class", "tick"}}, {}) + Html(on_paper(cause)));
        list += tag("h2", step.step) + tag("ul", {{"class", "t"}, {"style", "columns:1"}}, causes);
    }
    const Html more = tag("p", what_bars(results) +
                                   " Only the steps that need no pack are printed. Mend, check again, print "
                                   "again.") +
                      list;
    return verdict_html("This harness may not be connected.", more, true);
}

Html needs_html(const PowerUpSheet& sheet) {
    Html items;
    for (const std::string& each : sheet.needs)
        items += tag("li", tag("span", {{"class", "tick"}}, {}) + Html(on_paper(each)));
    return tag("h2", "You need") + tag("ul", {{"class", "t"}}, items);
}

Html intro_html(const PowerUpSheet& sheet, const Results& results) {
    Html top = blanks_html({"date", "done by", "second person", "meter, its number", "air, °C",
                            "pack at rest, V = U0", "file looked at, date", "ended at step"});
    if (sheet.barred) top += barred_html(sheet, results);
    for (const std::string& mode : sheet.left_out)
        top += tag("p", {{"class", "bad"}},
                   fmt::format("Nothing can be said about mode {}: its steps are left out.", mode));
    top += tag(
        "p",
        "Go in order. Write every reading. Stop at the first one outside what is expected, switch back to "
        "the "
        "last step that was right, and look where the sheet points. A printed sheet belongs to this revision "
        "only.");
    const Html range =
        tag("p", {{"class", "meta"}},
            on_paper(fmt::format(
                "What is expected comes from the file, at its smallest and its largest resistances, for "
                "air of {:.0f} to {:.0f} degC; a hand meter may be off by 0.5 % and 2 digits more (usual, no "
                "source). U0 is the pack at rest, read when it is alone.",
                sheet.air_degC_least, sheet.air_degC_most)));
    return top + range + needs_html(sheet);
}

}  // namespace

std::string power_up_html(const PowerUpSheet& sheet, const Results& results, const std::string& path,
                          const std::string& version, const std::string& sha256) {
    HtmlPage page;
    const std::string title = title_of(*results.harness);
    page.title = "First power-up: " + title;
    page.meta = paper_meta(results, path, version, sha256);
    page.top = intro_html(sheet, results);
    page.narrow = true;
    page.style = bench_style();
    const std::string revision = revision_of(*results.harness);
    page.footer = title + (revision.empty() ? "" : ", revision " + revision) + ": first power-up";
    for (const BenchPart& part : sheet.parts)
        page.sections.push_back({fmt::format("part-{}", part.letter),
                                 fmt::format("{}  {}", part.letter, part.title), std::string(1, part.letter),
                                 part_html(part)});
    page.end =
        tag("footer",
            tag("p", {{"class", "sign"}}, "Signed: ______________________  date: ____________") +
                tag("p", {{"class", "meta"}},
                    "This sheet says what to measure and what the model expects. It is not a licence to use "
                    "the machine; local codes, the makers' instructions and licensed practice come first."));
    return html_document(page);
}

}  // namespace loomward
