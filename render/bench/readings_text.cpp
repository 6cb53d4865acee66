#include "render/bench/readings_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/parts/printed_figures.hpp"
#include "render/bench/bench_page.hpp"
#include "render/json/json_values.hpp"
#include "render/text/paint.hpp"

namespace loomward {
namespace {

Dimension dimension_of(MeterKind meter) {
    switch (meter) {
        case MeterKind::ohms:
            return Dimension::resistance;
        case MeterKind::amps:
            return Dimension::current;
        default:
            return Dimension::voltage;
    }
}

std::string_view unit_word(MeterKind meter) {
    switch (meter) {
        case MeterKind::ohms:
            return "ohm";
        case MeterKind::amps:
            return "A";
        case MeterKind::millivolts:
            return "mV";
        default:
            return "V";
    }
}

// Text between quotes in the language: no quotes, no line ends.
std::string in_quotes(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) out += c == '"' || c == '\n' || c == '\r' ? ' ' : c;
    return out + '"';
}

std::string probes_text(const BenchStep& step) {
    return step.meter == MeterKind::amps ? fmt::format("around {}", step.red)
                                         : fmt::format("red {}, black {}", step.red, step.black);
}

std::string_view verdict_word(JudgedReading::Verdict verdict) {
    switch (verdict) {
        case JudgedReading::Verdict::as_expected:
            return "as-expected";
        case JudgedReading::Verdict::low:
            return "low";
        case JudgedReading::Verdict::high:
            return "high";
    }
    return {};
}

}  // namespace

std::string reading_range_text(MeterKind meter, const ReadingRange& range) {
    const Dimension dimension = dimension_of(meter);
    if (!(range.most < (meter == MeterKind::ohms ? open_ohm : HUGE_VAL)))
        return "above " + to_text(std::min(range.least, open_ohm), dimension);
    return fmt::format("{} to {}", to_text(range.least, dimension), to_text(range.most, dimension));
}

std::string either_text(const std::vector<std::string>& places) {
    std::string text;
    for (std::size_t i = 0; i < places.size(); ++i)
        text += (i == 0 ? "" : i + 1 == places.size() ? " or " : ", ") + places[i];
    return text;
}

std::string reading_text(MeterKind meter, double value) {
    return std::isfinite(value) ? to_text(value, dimension_of(meter)) : std::string("open");
}

std::string blank_readings_text(const PowerUpSheet& sheet, const Results& results) {
    const Harness& harness = *results.harness;
    std::string text =
        "loom 1\n# What the meter showed: put the figure in place of _ and leave a blank as it is. "
        "\"reads open\" is beyond the meter's range.\n";
    const std::string revision = revision_of(harness);
    text += fmt::format("measured {} {{ {}air _ degC }}\n", in_quotes(title_of(harness)),
                        revision.empty() ? "" : fmt::format("revision {}, ", in_quotes(revision)));
    for (const PartId pack : sheet.packs)
        text += fmt::format("at-rest {} {{ _ V }}\n", harness.part(pack).name);
    for (const BenchPart& part : sheet.parts) {
        bool headed = false;
        for (const BenchStep& step : part.steps) {
            if (step.meter == MeterKind::look) continue;
            if (!headed) text += fmt::format("\n# {} {}\n", part.letter, part.title);
            headed = true;
            const std::string at = step.meter == MeterKind::millivolts
                                       ? fmt::format(" at {}", to_text(sheet.test_A, Dimension::current))
                                       : std::string();
            std::string about = step.across_text.empty() ? step.title : step.across_text;
            if (!about.empty()) about += ": ";
            text += fmt::format("step {} {{ {}, {}, reads _ {}{} }}  # {}{}\n", step.number,
                                meter_word(step.meter), probes_text(step), unit_word(step.meter), at, about,
                                step.expect);
        }
    }
    return text;
}

std::string readings_text(const ReadingsReport& report, const PowerUpSheet& sheet, const std::string& path,
                          const std::string& measured, std::size_t blanks, bool color) {
    const std::vector<const BenchStep*> steps = sheet.steps();
    const std::size_t wrong = report.not_as_expected();
    std::string text;
    for (const JudgedReading& each : report.judged) {
        if (each.verdict == JudgedReading::Verdict::as_expected) continue;
        const BenchStep& step = *steps[each.step - 1];
        text += fmt::format("step {}: {}{} reads {}, too {}: {} is expected\n", each.step,
                            step.meter == MeterKind::amps ? step.red : step.red + " to " + step.black,
                            step.across_text.empty() ? "" : " (" + step.across_text + ")",
                            reading_text(step.meter, each.value), verdict_word(each.verdict),
                            reading_range_text(step.meter, each.range));
        const bool told =
            std::any_of(report.bad_joints.begin(), report.bad_joints.end(), [&](const BadJoint& joint) {
                return std::find(joint.steps.begin(), joint.steps.end(), each.step) != joint.steps.end();
            });
        if (!told && !step.if_not.empty()) text += fmt::format("  points to: {}\n", step.if_not);
    }
    for (const BadJoint& joint : report.bad_joints) {
        text += paint("bad joint", Ink::error, color) +
                fmt::format(": {}, {} to {} more than it may have\n", either_text(joint.places),
                            to_text(rounded_down(joint.least_ohm, 2), Dimension::resistance),
                            to_text(rounded_up(joint.most_ohm, 2), Dimension::resistance));
        text += fmt::format("  measure next: {}\n", joint.next);
    }
    if (!text.empty()) text += "\n";
    text += fmt::format(
        "{} against {}: {} reading{}, {} not as expected, {} blank. Says what was measured and what the "
        "file expects, nothing else\n",
        measured, path, report.judged.size(), report.judged.size() == 1 ? "" : "s", wrong, blanks);
    return text;
}

std::string readings_json(const ReadingsReport& report, const PowerUpSheet& sheet, const std::string& path,
                          const std::string& measured, std::size_t blanks) {
    const std::vector<const BenchStep*> steps = sheet.steps();
    Json readings = Json::array(), joints = Json::array();
    for (const JudgedReading& each : report.judged) {
        const BenchStep& step = *steps[each.step - 1];
        readings.push_back({{"step", each.step},
                            {"meter", meter_word(step.meter)},
                            {"red", step.red},
                            {"black", step.black},
                            {"reads", json_number(each.value)},
                            {"least", json_number(each.range.least)},
                            {"most", json_number(each.range.most)},
                            {"verdict", verdict_word(each.verdict)}});
    }
    for (const BadJoint& joint : report.bad_joints)
        joints.push_back({{"places", joint.places},
                          {"least_ohm", json_number(joint.least_ohm)},
                          {"most_ohm", json_number(joint.most_ohm)},
                          {"steps", joint.steps},
                          {"next", joint.next}});
    const Json whole = {{"layout", 1},
                        {"caution", json_caution},
                        {"path", path},
                        {"measured", measured},
                        {"blank", blanks},
                        {"readings", std::move(readings)},
                        {"bad_joints", std::move(joints)}};
    return document_text(whole);
}

}  // namespace loomward
