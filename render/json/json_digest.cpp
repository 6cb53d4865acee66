#include "render/json/json_digest.hpp"

namespace loomward {

Json steps_json(const Results& results, const Digest& digest) {
    Json steps = Json::array();
    for (const SwitchingStep& step : digest.steps) {
        Json mode = nullptr;
        if (step.mode) mode = std::string(results.harness->modes[step.mode.index()].name);
        steps.push_back({{"mode", std::move(mode)}});
    }
    return steps;
}

Json causes_json(const Digest& digest) {
    Json causes = Json::array();
    for (const Cause& cause : digest.causes) {
        Json step = nullptr;
        if (cause.step) step = *cause.step;
        causes.push_back({{"subject", cause.subject},
                          {"bars_step", std::move(step)},
                          {"findings", cause.findings},
                          {"alike", cause.alike}});
    }
    return causes;
}

}  // namespace loomward
