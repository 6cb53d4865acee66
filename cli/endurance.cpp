#include "checker/heat/endurance.hpp"

#include "checker/heat/boxes.hpp"

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "render/json/json_endurance.hpp"
#include "render/text/text_endurance.hpp"

namespace loomward::cli {
namespace {

std::vector<ModeEndurance> endurance_of(const Results& results) {
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    return endurance(results.circuit, facts, results.points);
}

}  // namespace

ExitCode show_endurance(const Options& options) {
    return tell_each(
        options, options.mode,
        [](const Results& results, bool color) {
            return endurance_text(results, endurance_of(results), color);
        },
        [](const std::vector<Outcome>& outcomes) { return endurance_json(outcomes, endurance_of); });
}

}  // namespace loomward::cli
