#include "checker/bench/taken_readings.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomward {
namespace {

bool fits(const BenchStep& step, const MeasuredStep& read) {
    return meter_word(step.meter) == read.meter && step.red == read.red &&
           (step.meter == MeterKind::amps || step.black == read.black);
}

Diagnostic twice(const MeasuredStep& read) {
    return {"twice", read.where, fmt::format("step {} is read twice", read.number), {}, {}, {}};
}

// `step`: what the sheet has under that number; nullptr: nothing.
Diagnostic another_sheet(const MeasuredStep& read, const BenchStep* step) {
    return {
        "another-sheet",
        read.where,
        fmt::format("step {} of this harness is another reading", read.number),
        step ? fmt::format("{}, {} to {}", meter_word(step->meter), step->red, step->black) : std::string(),
        {},
        "readings belong to the sheet of one revision: loomward power-up --readings writes a new one"};
}

// The steps of this sheet that were measured.
std::vector<TakenReading> taken_of(MeasuredText& text, const PowerUpSheet& sheet) {
    std::vector<TakenReading> taken;
    const std::vector<const BenchStep*> steps = sheet.steps();
    for (const MeasuredStep& each : text.steps) {
        const BenchStep* step =
            each.number >= 1 && each.number <= steps.size() ? steps[each.number - 1] : nullptr;
        const bool again = std::any_of(taken.begin(), taken.end(),
                                       [&](const TakenReading& other) { return other.step == each.number; });
        if (again)
            text.mistakes.push_back(twice(each));
        else if (!step || !fits(*step, each))
            text.mistakes.push_back(another_sheet(each, step));
        else
            taken.push_back({each.number, each.value, each.at_A});
    }
    return taken;
}

}  // namespace

std::string_view meter_word(MeterKind meter) {
    switch (meter) {
        case MeterKind::look:
            return "look";
        case MeterKind::ohms:
            return "ohms";
        case MeterKind::volts:
            return "volts";
        case MeterKind::millivolts:
            return "millivolts";
        case MeterKind::amps:
            return "amps";
    }
    return {};
}

ComparedReadings compare_with_sheet(const Results& results, const PowerUpSheet& sheet, std::string path,
                                    MeasuredText text) {
    const std::vector<TakenReading> taken = taken_of(text, sheet);
    BenchConditions conditions{text.air_degC, {}};
    for (const auto& [pack, volts] : text.at_rest_V) {
        const auto part = results.harness->find_part(pack);
        if (part && !sheet.packs.empty() && *part == sheet.packs.front()) conditions.rest_V = volts;
    }
    ComparedReadings compared{std::move(path), std::move(text), {}};
    if (compared.text.mistakes.empty()) compared.report = judge_readings(results, sheet, taken, conditions);
    return compared;
}

}  // namespace loomward
