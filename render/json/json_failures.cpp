#include "render/json/json_failures.hpp"

#include <array>

#include "render/json/json_values.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

std::string_view consequence_word(FailureHeading heading) {
    static constexpr std::array<std::string_view, 12> words = {
        "cannot-be-stopped", "only-asks",     "starts-by-itself", "shorts-a-pack",
        "breaks-behind",     "useless-guard", "not-seen",         "stops-under-way",
        "forgotten",         "question",      "lost-at-rest",     "nothing"};
    return words[static_cast<std::size_t>(heading)];
}

Json mode_list(const Harness& harness, const std::vector<ModeId>& modes) {
    Json list = Json::array();
    for (const ModeId mode : modes) list.push_back(harness.modes[mode.index()].name);
    return list;
}

Json failure_json(const TriedFailure& tried, const Harness& harness) {
    Json effects = Json::object();
    for (const TriedFailure::Effect& effect : tried.effects)
        effects[std::string(harness.modes[effect.mode.index()].name)] = effect.text;
    return {{"failure", row(tried.failure.kind).name},
            {"who", tried.failure.who},
            {"text", failure_text(tried.failure)},
            {"consequence", consequence_word(tried.heading)},
            {"level", severity_word(tried.level)},
            {"then", tried.then},
            {"can_do", tried.can_do},
            {"test", tried.test},
            {"seen", !tried.hidden},
            {"in_modes", mode_list(harness, tried.in_modes)},
            {"effects", std::move(effects)}};
}

}  // namespace

std::string failures_json(const FailureReport& report, const Harness& harness, const std::string& path) {
    Json failures = Json::array(), lines = Json::array();
    for (const TriedFailure& tried : report.tried) failures.push_back(failure_json(tried, harness));
    for (const FailureLine& line : report.lines)
        lines.push_back({{"consequence", consequence_word(line.heading)},
                         {"level", severity_word(line.level)},
                         {"who", line.who},
                         {"then", line.then},
                         {"can_do", line.can_do},
                         {"test", line.test},
                         {"failures", line.tried}});
    const Json whole = {{"layout", 1},
                        {"caution", json_caution},
                        {"path", path},
                        {"modes", report.modes},
                        {"outcomes", report.outcomes},
                        {"pairs", report.pairs},
                        {"as_drawn", report.as_drawn},
                        {"taken", report.taken},
                        {"left_out", report.left_out},
                        {"lines", std::move(lines)},
                        {"failures", std::move(failures)}};
    return document_text(whole);
}

}  // namespace loomward
