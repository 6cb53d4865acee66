#include "checker/bench/run_study.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "checker/bench/run_places.hpp"

namespace loomward {
namespace {

// The mode that is meant; `trouble`: why it is none.
ModeId mode_named(const Harness& harness, const std::string& name, std::string& trouble) {
    std::string names;
    for (std::size_t i = 0; i < harness.modes.size(); ++i) {
        if (harness.modes[i].name == name || (name.empty() && harness.modes.size() == 1)) return ModeId(i);
        names += (names.empty() ? "" : ", ") + std::string(harness.modes[i].name);
    }
    trouble = harness.modes.empty() ? std::string("it has no modes to compare a run with")
              : name.empty() ? fmt::format("say which mode the machine was in: --mode with one of {}", names)
                             : fmt::format("there is no mode named '{}'; its modes are {}", name, names);
    return {};
}

}  // namespace

bool RunReport::as_expected() const {
    return bad_joints.empty() &&
           std::all_of(
               volts.begin(), volts.end(),
               [](const LostVolts& each) { return each.verdict == LostVolts::Verdict::as_expected; }) &&
           std::none_of(heat.begin(), heat.end(), [](const RunHeat& each) { return each.early; }) &&
           std::none_of(currents.begin(), currents.end(),
                        [](const RunCurrent& each) { return each.held_down || each.above; });
}

ComparedRun compare_with_mode(const Results& results, std::string path, RunLog log, const std::string& mode) {
    ComparedRun compared{std::move(path), std::move(log), {}, {}};
    if (!compared.log.mistakes.empty()) return compared;
    RunPlaces places(results, compared.log);
    const ModeId id = mode_named(*results.circuit.harness, mode, compared.trouble);
    if (!compared.log.mistakes.empty() || !compared.trouble.empty()) return compared;
    RunReport& report = compared.report;
    report.mode = results.circuit.harness->modes[id.index()].name;
    report.lasts_s = compared.log.time_s().back() - compared.log.time_s().front();
    if (!places.take_mode(id)) {
        report.not_judged.push_back("anything: mode " + report.mode + " has no numbers");
        return compared;
    }
    study_volts(places, report);
    study_heat(places, report);
    study_currents(places, report);
    return compared;
}

}  // namespace loomward
