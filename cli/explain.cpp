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
        print(rules_text(rules, color) + "\n" + mistake_kinds_text(color));
        return ExitCode::fine;
    }
    // A word may be both.
    std::string text;
    Suggestion nearest(options.rule);
    for (const RuleInfo& rule : rules) {
        if (rule.name == options.rule) text = rule_text(rule, color);
        nearest.offer(rule.name);
    }
    if (const MistakeInfo* mistake = find_mistake(options.rule))
        text += (text.empty() ? "" : "\n") + mistake_kind_text(*mistake, color);
    if (!text.empty()) {
        print(text);
        return ExitCode::fine;
    }
    const bool rule_is_near = !nearest.best().empty();
    const std::string nearest_rule(nearest.best());
    for (const MistakeInfo& mistake : mistake_table()) nearest.offer(mistake.id);
    complain(fmt::format("there is no rule named '{}'; {}", options.rule,
                         nearest.best().empty() ? std::string("'loomward explain' lists them")
                         : rule_is_near && nearest.best() == nearest_rule
                             ? fmt::format("there is a rule '{}'", nearest_rule)
                             : fmt::format("there is a mistake '{}'", nearest.best())));
    return ExitCode::wrong;
}

}  // namespace loomward::cli
