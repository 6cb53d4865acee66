// What a meter showed, reading by reading, and the joints that it makes bad.
#include <fmt/format.h>

#include "checker/parts/printed_figures.hpp"
#include "render/bench/readings_text.hpp"
#include "render/papers/report_parts.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

Html joint_html(const ReportScope& scope, const BadJoint& joint) {
    std::string steps;
    for (const std::size_t step : joint.steps) steps += fmt::format("{}{}", steps.empty() ? "" : ", ", step);
    return tag(
        "li",
        tag("b", Html("Bad joint: ") + scope.names.linked(either_text(joint.places))) +
            tag("p",
                fmt::format("{} to {} more than it may have (step {}).",
                            on_paper(to_text(rounded_down(joint.least_ohm, 2), Dimension::resistance)),
                            on_paper(to_text(rounded_up(joint.most_ohm, 2), Dimension::resistance)), steps)) +
            tag("p", Html("Measure next: ") + scope.names.linked(joint.next)));
}

HtmlRow reading_row(const ReportScope& scope, const JudgedReading& judged, const BenchStep& step) {
    const bool expected = judged.verdict == JudgedReading::Verdict::as_expected;
    HtmlRow row;
    if (!expected) row.css_class = "over";
    const std::string probes =
        step.meter == MeterKind::amps ? "around " + step.red : step.red + " to " + step.black;
    const std::string& about = step.across_text.empty() ? step.title : step.across_text;
    row.cells = {fmt::format("{}", judged.step),
                 scope.names.linked(probes),
                 scope.names.linked(about),
                 on_paper(reading_text(step.meter, judged.value)),
                 on_paper(reading_range_text(step.meter, judged.range)),
                 expected ? Html("as expected")
                          : tag("b", judged.verdict == JudgedReading::Verdict::low ? "too low" : "too high")};
    return row;
}

}  // namespace

HtmlSection readings_section(const ReportScope& scope) {
    const ComparedReadings& compared = *scope.paper.readings;
    const ReadingsReport& report = compared.report;
    const std::vector<const BenchStep*> steps = scope.paper.sheet->steps();
    const std::size_t wrong = report.not_as_expected();
    Html body = tag(
        "p", {{"class", "lead"}},
        fmt::format("{} from {}: {} not as expected, {} blank. It says what was measured and what "
                    "the file expects, nothing else.",
                    counted(report.judged.size(), "reading"), compared.path, wrong, compared.text.blanks));
    Html joints;
    for (const BadJoint& joint : report.bad_joints) joints += joint_html(scope, joint);
    if (!joints.empty()) body += tag("ul", {{"class", "joints"}}, joints);
    HtmlTable table{"", "", "readings of the first power-up", {}, {}};
    table.columns = {{"step", true}, {"probes"}, {"across"}, {"reads", true}, {"expected", true}, {""}};
    for (const bool first : {true, false})  // what is not as expected first
        for (const JudgedReading& each : report.judged)
            if ((each.verdict != JudgedReading::Verdict::as_expected) == first)
                table.rows.push_back(reading_row(scope, each, *steps[each.step - 1]));
    if (!table.rows.empty()) body += table_html(table);
    return {"readings", "Readings", "Readings", body};
}

}  // namespace loomward
