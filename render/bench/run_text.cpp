#include "render/bench/run_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "checker/parts/printed_figures.hpp"
#include "render/bench/readings_text.hpp"
#include "render/json/json_values.hpp"
#include "render/text/counts.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

std::string amps_text(double value) {
    return to_text(value, Dimension::current);
}
std::string ohm_text(double value) {
    return to_text(value, Dimension::resistance);
}
std::string seconds_text(double value) {
    return to_text(value, Dimension::time);
}
std::string degrees_text(double value) {
    return fmt::format("{:.1f} degC", value);
}

std::string name_of(const RunLog& log, std::size_t column) {
    return log.columns[column].first;
}

std::string_view verdict_word(LostVolts::Verdict verdict) {
    switch (verdict) {
        case LostVolts::Verdict::as_expected:
            return "as-expected";
        case LostVolts::Verdict::low:
            return "low";
        case LostVolts::Verdict::high:
            return "high";
    }
    return {};
}

// More than a hand counts are told by the way they lie on.
std::string places_text(const RunReport& report, const BadJoint& joint) {
    constexpr std::size_t most = 6;
    if (joint.places.size() <= most) return either_text(joint.places);
    return fmt::format("one of {} places {}", joint.places.size(), report.volts[joint.steps.front() - 1].way);
}

std::string volts_line(const LostVolts& lost) {
    const std::string is = fmt::format(
        "{}: {} to {} by its volts and amps, {} to {} is expected", lost.way,
        ohm_text(rounded_down(lost.least_ohm, 2)), ohm_text(rounded_up(lost.most_ohm, 2)),
        ohm_text(rounded_down(lost.expected_least_ohm, 2)), ohm_text(rounded_up(lost.expected_most_ohm, 2)));
    if (lost.verdict == LostVolts::Verdict::as_expected) return is;
    if (lost.verdict == LostVolts::Verdict::low)
        return is + ", so current goes another way as well, or the file has it longer or thinner";
    return is + fmt::format(
                    ": {} lost at {} that the file does not explain",
                    to_text((lost.least_ohm - lost.expected_most_ohm) * lost.largest_A, Dimension::voltage),
                    amps_text(lost.largest_A));
}

std::string heat_line(const RunLog& log, const RunHeat& heat) {
    const char* by = heat.by_current ? "its current explains" : "the mode explains";
    if (!heat.early)
        return fmt::format("{}: {} at most, {} {} at most", name_of(log, heat.column),
                           degrees_text(heat.highest_degC), by, degrees_text(heat.expected_degC));
    return fmt::format(
        "{}: {} after {}, {} {} at most by then; {} at the end of it: a crimp, a contact, or "
        "what lies beside it",
        name_of(log, heat.column), degrees_text(heat.early_degC), seconds_text(heat.early_at_s), by,
        degrees_text(heat.early_expected_degC), degrees_text(heat.highest_degC));
}

std::string current_line(const RunLog& log, const RunCurrent& current, const std::string& mode) {
    const std::string name = name_of(log, current.column);
    const std::string flat =
        fmt::format("flat at {} for {} from {} on", amps_text(current.plateau_A),
                    seconds_text(current.plateau_s), seconds_text(current.plateau_from_s));
    if (current.held_down)
        return fmt::format("{}: {}, where mode {} asks for up to {}: a limit acted; {}", name, flat, mode,
                           amps_text(current.asked_A),
                           current.limits.empty() ? "none of the file is set to that"
                                                  : "of that size is " + either_text(current.limits));
    if (current.above)
        return fmt::format(
            "{}: {}, where mode {} has {} at most: it was another mode, or the file asks too "
            "little",
            name, flat, mode, amps_text(current.asked_A));
    return fmt::format("{}: {} at most, mode {} asks for up to {}", name, amps_text(current.highest_A), mode,
                       amps_text(current.asked_A));
}

}  // namespace

std::vector<RunLine> run_lines(const ComparedRun& run) {
    const RunReport& report = run.report;
    std::vector<RunLine> lines;
    for (const LostVolts& each : report.volts)
        lines.push_back({each.verdict != LostVolts::Verdict::as_expected, volts_line(each)});
    for (const RunHeat& each : report.heat) lines.push_back({each.early, heat_line(run.log, each)});
    for (const RunCurrent& each : report.currents)
        lines.push_back({each.held_down || each.above, current_line(run.log, each, report.mode)});
    return lines;
}

std::string bad_joint_line(const ComparedRun& run, const BadJoint& joint) {
    return fmt::format("{}, {} to {} more than it may have", places_text(run.report, joint),
                       ohm_text(rounded_down(joint.least_ohm, 2)), ohm_text(rounded_up(joint.most_ohm, 2)));
}

std::string run_summary(const ComparedRun& run) {
    const std::vector<RunLine> lines = run_lines(run);
    const auto strange =
        std::count_if(lines.begin(), lines.end(), [](const RunLine& line) { return line.strange; });
    return fmt::format("{} in {}, {} not as expected", counted(run.log.rows(), "row"),
                       seconds_text(run.report.lasts_s), strange);
}

std::string run_text(const ComparedRun& run, const std::string& path, bool color) {
    const RunReport& report = run.report;
    std::string wrong, right;
    for (const RunLine& line : run_lines(run)) (line.strange ? wrong : right) += line.text + "\n";
    for (const BadJoint& joint : report.bad_joints)
        wrong += fmt::format("{}: {}\n  measure next: {}\n", paint("bad joint", Ink::error, color),
                             bad_joint_line(run, joint), joint.next);
    std::string text = wrong;
    if (!right.empty()) text += (wrong.empty() ? "as expected:\n" : "\nas expected:\n") + right;
    for (const std::string& each : report.not_judged) text += "not judged: " + each + "\n";
    if (!text.empty()) text += "\n";
    return text + fmt::format(
                      "{} against {}, mode {}: {}. Says what was logged and what the file expects, nothing "
                      "else\n",
                      run.path, path, report.mode, run_summary(run));
}

std::string run_json(const ComparedRun& run, const std::string& path) {
    const RunReport& report = run.report;
    const auto head = [&](std::size_t column) {
        const LogColumn& of = run.log.columns[column];
        return of.second.empty() ? of.first : of.first + " " + of.second;
    };
    Json volts = Json::array(), heat = Json::array(), currents = Json::array(), joints = Json::array();
    for (const LostVolts& each : report.volts)
        volts.push_back({{"way", each.way},
                         {"amps", head(each.amps)},
                         {"least_ohm", json_number(each.least_ohm)},
                         {"most_ohm", json_number(each.most_ohm)},
                         {"expected_least_ohm", json_number(each.expected_least_ohm)},
                         {"expected_most_ohm", json_number(each.expected_most_ohm)},
                         {"largest_A", json_number(each.largest_A)},
                         {"verdict", verdict_word(each.verdict)}});
    for (const RunHeat& each : report.heat)
        heat.push_back({{"name", head(each.column)},
                        {"highest_degC", json_number(each.highest_degC)},
                        {"expected_degC", json_number(each.expected_degC)},
                        {"expected_by", each.by_current ? "logged-current" : "mode"},
                        {"early_at_s", each.early ? json_number(each.early_at_s) : Json(nullptr)}});
    for (const RunCurrent& each : report.currents)
        currents.push_back({{"name", head(each.column)},
                            {"highest_A", json_number(each.highest_A)},
                            {"asked_A", json_number(each.asked_A)},
                            {"plateau_A", json_number(each.plateau_A)},
                            {"plateau_from_s", json_number(each.plateau_from_s)},
                            {"plateau_s", json_number(each.plateau_s)},
                            {"held_down", each.held_down},
                            {"above", each.above},
                            {"limits", each.limits}});
    for (const BadJoint& joint : report.bad_joints)
        joints.push_back({{"places", joint.places},
                          {"least_ohm", json_number(joint.least_ohm)},
                          {"most_ohm", json_number(joint.most_ohm)},
                          {"volts", joint.steps},
                          {"next", joint.next}});
    const Json whole = {{"layout", 1},
                        {"caution", json_caution},
                        {"path", path},
                        {"log", run.path},
                        {"mode", report.mode},
                        {"rows", run.log.rows()},
                        {"lasts_s", json_number(report.lasts_s)},
                        {"volts", std::move(volts)},
                        {"bad_joints", std::move(joints)},
                        {"heat", std::move(heat)},
                        {"currents", std::move(currents)},
                        {"not_judged", report.not_judged}};
    return document_text(whole);
}

}  // namespace loomward
