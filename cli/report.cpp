#include <fmt/format.h>

#include <filesystem>
#include <optional>

#include "checker/papers/papers.hpp"
#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "cli/try_mending.hpp"
#include "render/json/json_papers.hpp"
#include "render/papers/report.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

// What one file gave, with what only lasts as long as the check.
struct Reported {
    Examined examined;
    std::optional<Papers> papers;
    std::optional<Mended> mended;
};

Reported look_into(const std::string& path, const Options& options) {
    Reported reported;
    ShortFacts shorts;
    CheckOptions check;
    check.with_faults = [&](const Results& results, const FaultStudy& study) {
        shorts = short_facts(results, study);
    };
    reported.examined = examine(path, check);
    if (!reported.examined.results) return reported;
    const Results& results = *reported.examined.results;
    reported.papers = papers_of(results, shorts, options.allowance);
    if (options.tries && results.count(Severity::error) + results.count(Severity::warning) > 0)
        reported.mended = try_mending(reported.examined);
    return reported;
}

std::string html_of(const Reported& reported) {
    const Examined& examined = reported.examined;
    if (!examined.results)
        return mistakes_report_html(examined.path, LOOMWARD_VERSION, examined.read.mistakes,
                                    *examined.read.sources);
    return report_html({examined.path, LOOMWARD_VERSION, &*examined.results, &*reported.papers,
                        reported.mended ? &*reported.mended : nullptr});
}

// Where the report of a file goes: of several files into a folder, by the names of the harnesses.
std::string place_of(const std::string& path, const Options& options) {
    if (options.files.size() == 1) return options.output;
    const std::filesystem::path stem = path == "-" ? "report" : std::filesystem::path(path).stem();
    return (std::filesystem::path(options.output) / stem).string() + (options.json ? ".json" : ".html");
}

// Two harnesses of one name in different folders would write one file; a harness is never written over.
std::string meeting(const Options& options) {
    for (const std::string& path : options.files)
        if (path != "-" && is_same_file(place_of(path, options), path))
            return fmt::format("a report never takes the place of its harness: name another file than '{}'",
                               path);
    for (std::size_t i = 0; i < options.files.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (place_of(options.files[i], options) == place_of(options.files[k], options))
                return fmt::format("'{}' and '{}' would both become '{}'", options.files[k], options.files[i],
                                   place_of(options.files[i], options));
    return {};
}

ExitCode write_one(const std::string& path, const Options& options) {
    const Reported reported = look_into(path, options);
    const Examined& examined = reported.examined;
    if (!examined.trouble.empty()) {
        complain(examined.trouble);
        return ExitCode::wrong;
    }
    const std::string text =
        options.json ? papers_json(outcome_of(examined), reported.papers ? &*reported.papers : nullptr,
                                   LOOMWARD_VERSION)
                     : html_of(reported);
    if (options.output == "-") {
        print(text);
        return code_of(examined);
    }
    if (const std::string trouble = replace_file(place_of(path, options), text); !trouble.empty()) {
        complain(trouble);
        return ExitCode::wrong;
    }
    print(examined.results ? verdict_text(*examined.results, examined.path, colored(options.color))
                           : unchecked_text(examined, colored(options.color)));
    return code_of(examined);
}

}  // namespace

ExitCode write_report(const Options& options) {
    std::string trouble;
    if (options.output != "-")
        trouble = meeting(options);
    else if (options.files.size() > 1)
        trouble = "several reports do not go to standard output: name a folder";
    if (trouble.empty() && options.files.size() > 1) trouble = make_folder(options.output);
    if (!trouble.empty()) {
        complain(trouble);
        return ExitCode::wrong;
    }
    ExitCode code = ExitCode::fine;
    for (const std::string& path : options.files) code = worse(code, write_one(path, options));
    return code;
}

}  // namespace loomward::cli
