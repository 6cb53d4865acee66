#include "cli/examined.hpp"

#include <fmt/format.h>

#include <deque>

#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "parser/disk.hpp"
#include "parser/text/suggest.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

std::vector<std::string_view> rule_names() {
    std::vector<std::string_view> names;
    for (const RuleInfo& rule : rule_list()) names.push_back(rule.name);
    return names;
}

void add_trouble(Examined& examined, std::string id, const std::string& trouble, const std::string& help) {
    examined.trouble = help.empty() ? trouble : trouble + "; " + help;
    examined.read.mistakes.push_back({std::move(id), {}, trouble, {}, {}, help});
    if (!examined.read.sources) examined.read.sources = std::make_shared<Sources>();
}

// Whether there is such a mode; says so in `examined` if not.
bool has_mode(Examined& examined, const Harness& harness, std::string_view mode) {
    if (mode.empty()) return true;
    Suggestion nearest(mode);
    std::vector<std::string_view> names;
    for (const Mode& one : harness.modes) {
        if (one.name == mode) return true;
        nearest.offer(one.name);
        names.push_back(one.name);
    }
    const std::string help = !nearest.best().empty()
                                 ? fmt::format("there is a mode named '{}'", nearest.best())
                             : names.empty() ? std::string("it has no modes")
                                             : fmt::format("its modes are {}", fmt::join(names, ", "));
    add_trouble(examined, "unknown-mode", fmt::format("{}: there is no mode named '{}'", examined.path, mode),
                help);
    return false;
}

}  // namespace

Examined examine(const std::string& path, const CheckOptions& options) {
    Examined examined;
    examined.path = path;
    LoadedFile file = load_file(path);
    if (!file.trouble.empty()) {
        add_trouble(examined, "no-file", file.trouble, file.help);
        return examined;
    }
    const std::unique_ptr<FileReader> disk = disk_reader();
    const std::vector<std::string_view> rules = rule_names();
    examined.read = read_harness_text(path, std::move(file.text), *disk, {rules});
    if (!examined.read.harness) return examined;
    const auto harness = std::make_shared<const Harness>(std::move(*examined.read.harness));
    if (has_mode(examined, *harness, std::string(options.only_mode)))
        examined.results = check(harness, options);
    return examined;
}

Outcome outcome_of(const Examined& examined) {
    return {examined.path, examined.read.sources.get(), &examined.read.mistakes,
            examined.results ? &*examined.results : nullptr};
}

ExitCode tell_each(const Options& options, const std::string& mode,
                   const std::function<std::string(const Results&, bool color)>& text_of,
                   const std::function<std::string(const std::vector<Outcome>&)>& json_of) {
    ExitCode code = ExitCode::fine;
    const bool color = colored(options.color);
    std::deque<Examined> all;
    std::vector<Outcome> outcomes;
    std::string text;
    for (const std::string& path : options.files) {
        const Examined& examined = all.emplace_back(examine(path, {mode}));
        if (!examined.trouble.empty()) complain(examined.trouble);
        outcomes.push_back(outcome_of(examined));
        code = worse(code, code_of(examined));
        if (options.json) continue;
        if (!text.empty()) text += "\n";
        text += examined.results ? text_of(*examined.results, color) +
                                       verdict_text(*examined.results, examined.path, color)
                                 : unchecked_text(examined, color);
    }
    print(options.json ? json_of(outcomes) : text);
    return code;
}

std::string mistakes_text(const std::vector<Diagnostic>& mistakes, const Sources& sources, bool color) {
    std::string text;
    for (const Diagnostic& mistake : mistakes) {
        if (!text.empty()) text += "\n";
        text += mistake_text(mistake, sources, color);
    }
    return text;
}

ExitCode code_of(const Examined& examined) {
    if (!examined.results) return ExitCode::wrong;
    return examined.results->count(Severity::error) > 0 ? ExitCode::errors : ExitCode::fine;
}

std::string unchecked_text(const Examined& examined, bool color) {
    if (!examined.trouble.empty()) return {};
    return mistakes_text(examined.read.mistakes, *examined.read.sources, color) +
           fmt::format("\n{}: {} in the text; nothing was checked\n", examined.path,
                       examined.read.mistakes.size() == 1
                           ? std::string("1 mistake")
                           : fmt::format("{} mistakes", examined.read.mistakes.size()));
}

}  // namespace loomward::cli
