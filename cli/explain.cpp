#include <fmt/format.h>

#include <algorithm>

#include "checker/results.hpp"
#include "cli/command_tables.hpp"
#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "parser/text/suggest.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {

ExitCode explain_rules(const Options& options) {
    if (options.watched) {
        print(watched_page());
        return ExitCode::fine;
    }
    if (options.manual || !options.completion.empty()) {
        const ProgramTable program = program_table();
        print(options.manual ? manual_page(program) : completion_script(program, options.completion));
        return ExitCode::fine;
    }
    if (options.plausible) {
        print(plausible_page());
        return ExitCode::fine;
    }
    const std::vector<RuleInfo> rules = rule_list();
    const bool color = colored(options.color);
    if (options.rule.empty()) {
        print(rules_text(rules, color));
        return ExitCode::fine;
    }
    Suggestion nearest(options.rule);
    for (const RuleInfo& rule : rules) {
        if (rule.name == options.rule) {
            print(rule_text(rule, color));
            return ExitCode::fine;
        }
        nearest.offer(rule.name);
    }
    complain(fmt::format("there is no rule named '{}'; {}", options.rule,
                         nearest.best().empty() ? std::string("'loomward explain' lists them")
                                                : fmt::format("there is a rule '{}'", nearest.best())));
    return ExitCode::wrong;
}

}  // namespace loomward::cli
