#include <fmt/format.h>

#include <algorithm>

#include "checker/bench/diagnosis.hpp"
#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "parser/readings/readings.hpp"
#include "render/bench/readings_text.hpp"

namespace loomward::cli {
namespace {

// The steps of this sheet that were measured; a line for another sheet is a mistake in `text`.
std::vector<TakenReading> taken_of(MeasuredText& text, const PowerUpSheet& sheet) {
    std::vector<TakenReading> taken;
    const std::vector<const BenchStep*> steps = sheet.steps();
    for (const MeasuredStep& each : text.steps) {
        const BenchStep* step =
            each.number >= 1 && each.number <= steps.size() ? steps[each.number - 1] : nullptr;
        const bool fits = step && meter_word(step->meter) == each.meter && step->red == each.red &&
                          (step->meter == MeterKind::amps || step->black == each.black);
        const bool twice = std::any_of(taken.begin(), taken.end(),
                                       [&](const TakenReading& other) { return other.step == each.number; });
        if (twice) {
            text.mistakes.push_back(
                {"twice", each.where, fmt::format("step {} is read twice", each.number), {}, {}, {}});
        } else if (!fits) {
            text.mistakes.push_back(
                {"another-sheet",
                 each.where,
                 fmt::format("step {} of this harness is another reading", each.number),
                 step ? fmt::format("{}, {} to {}", meter_word(step->meter), step->red, step->black)
                      : std::string(),
                 {},
                 "readings belong to the sheet of one revision: loomward power-up --readings writes a new "
                 "one"});
        } else {
            taken.push_back({each.number, each.value, each.at_A});
        }
    }
    return taken;
}

}  // namespace

ExitCode compare_readings(const Options& options) {
    const std::string& path = options.files.front();
    const Examined examined = examine(path, {});
    if (!examined.trouble.empty()) complain(examined.trouble);
    if (!examined.results) {
        print(unchecked_text(examined, colored(options.color)));
        return ExitCode::wrong;
    }
    LoadedFile file = load_file(options.measured);
    if (!file.trouble.empty()) {
        complain(file.help.empty() ? file.trouble : file.trouble + "; " + file.help);
        return ExitCode::wrong;
    }
    const Results& results = *examined.results;
    const PowerUpSheet sheet = power_up_sheet(results);
    MeasuredText text = read_measured(options.measured, std::move(file.text));
    const std::vector<TakenReading> taken = taken_of(text, sheet);
    BenchConditions conditions{text.air_degC, {}};
    for (const auto& [pack, volts] : text.at_rest_V) {
        const auto part = results.harness->find_part(pack);
        if (part && !sheet.packs.empty() && *part == sheet.packs.front()) conditions.rest_V = volts;
    }
    if (!text.mistakes.empty()) {
        print(mistakes_text(text.mistakes, *text.sources, colored(options.color)));
        return ExitCode::wrong;
    }
    const ReadingsReport report = judge_readings(results, sheet, taken, conditions);
    print(options.json
              ? readings_json(report, sheet, path, options.measured, text.blanks)
              : readings_text(report, sheet, path, options.measured, text.blanks, colored(options.color)));
    return report.not_as_expected() > 0 || !report.bad_joints.empty() ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
