#include "checker/budget/budget.hpp"

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

Budget budget_of(const Results& results) {
    return make_budget(results.circuit, results.points, *results.harness);
}

}  // namespace

ExitCode show_budget(const Options& options) {
    return tell_each(
        options, options.mode,
        [](const Results& results, bool color) { return budget_text(results, budget_of(results), color); },
        [](const std::vector<Outcome>& outcomes) { return budget_json(outcomes, budget_of); });
}

}  // namespace loomward::cli
