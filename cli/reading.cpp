#include "cli/reading.hpp"

#include <fmt/format.h>

#include "cli/files.hpp"
#include "parser/suggest.hpp"
#include "render/text.hpp"

namespace loomward {
namespace {

std::vector<std::string_view> rule_names() {
    std::vector<std::string_view> names;
    for (const RuleInfo& rule : rule_list()) names.push_back(rule.name);
    return names;
}

void add_trouble(Examination& reading, std::string id, const std::string& trouble, const std::string& help) {
    reading.trouble = help.empty() ? trouble : trouble + "; " + help;
    reading.read.mistakes.push_back({std::move(id), {}, trouble, {}, {}, help});
    if (!reading.read.sources) reading.read.sources = std::make_shared<Sources>();
}

// Whether there is such a mode; says so in `reading` if not.
bool has_mode(Examination& reading, const Harness& harness, std::string_view mode) {
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
    add_trouble(reading, "unknown-mode", fmt::format("{}: there is no mode named '{}'", reading.path, mode),
                help);
    return false;
}

}  // namespace

Examination examine(const std::string& path, const std::string& mode) {
    Examination reading;
    reading.path = path;
    LoadedFile file = load_file(path);
    if (!file.trouble.empty()) {
        add_trouble(reading, "no-file", file.trouble, file.help);
        return reading;
    }
    DiskReader disk;
    const std::vector<std::string_view> rules = rule_names();
    reading.read = read_harness_text(path, std::move(file.text), disk, {rules});
    if (!reading.read.harness) return reading;
    const auto harness = std::make_shared<const Harness>(std::move(*reading.read.harness));
    if (has_mode(reading, *harness, mode)) reading.results = check(harness, {mode});
    return reading;
}

Outcome outcome_of(const Examination& reading) {
    return {reading.path, reading.read.sources.get(), &reading.read.mistakes,
            reading.results ? &*reading.results : nullptr};
}

std::string mistakes_text(const std::vector<Diagnostic>& mistakes, const Sources& sources, bool color) {
    std::string text;
    for (const Diagnostic& mistake : mistakes) {
        if (!text.empty()) text += "\n";
        text += mistake_text(mistake, sources, color);
    }
    return text;
}

}  // namespace loomward
