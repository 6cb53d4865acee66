// Logs of runs, each against the mode that the machine was in.
#include "render/bench/run_text.hpp"
#include "render/papers/report_parts.hpp"
#include "render/papers/run_chart.hpp"

namespace loomward {
namespace {

Html line_html(const ReportScope& scope, const RunLine& line) {
    const Html text = scope.names.linked(line.text);
    return tag("li", line.strange ? tag("b", text) : text);
}

Html run_html(const ReportScope& scope, const ComparedRun& run) {
    const std::vector<RunLine> lines = run_lines(run);
    Html joints, wrong, right;
    for (const BadJoint& joint : run.report.bad_joints)
        joints += tag("li", tag("b", Html("Bad joint: ") + scope.names.linked(bad_joint_line(run, joint))) +
                                tag("p", Html("Measure next: ") + scope.names.linked(joint.next)));
    for (const RunLine& line : lines) (line.strange ? wrong : right) += line_html(scope, line);
    Html body = tag("h3", run.path + ", mode " + run.report.mode) +
                tag("p", {{"class", "lead"}}, on_paper(run_summary(run)));
    const Html chart = run_chart(run);
    if (!joints.empty() || !wrong.empty()) body += tag("ul", {{"class", "joints"}}, joints + wrong);
    if (!chart.empty())
        body += tag("figure", {{"class", "run"}},
                    tag("figcaption",
                        "Red: not as expected. Broken: what the mode asks, or what the file "
                        "explains at most.") +
                        chart);
    if (!right.empty()) body += tag("h4", "As expected") + tag("ul", right);
    if (run.report.not_judged.empty()) return body;
    Html others;
    for (const std::string& each : run.report.not_judged) others += tag("li", scope.names.linked(each));
    return body + tag("h4", "Not judged") + tag("ul", others);
}

}  // namespace

HtmlSection runs_section(const ReportScope& scope) {
    Html body =
        tag("p", {{"class", "lead"}},
            "What was logged while the machine ran, against the mode it was in. It says what was logged "
            "and what the file expects, nothing else.");
    for (const ComparedRun& run : *scope.paper.runs) body += run_html(scope, run);
    return {"runs", "Logs of runs", "Runs", body};
}

}  // namespace loomward
