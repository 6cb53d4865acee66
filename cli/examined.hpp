// From a file named on the command line to its harness and results, or to what is wrong with it.
#pragma once
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checker/results.hpp"
#include "cli/exit_code.hpp"
#include "cli/options.hpp"
#include "parser/read.hpp"
#include "render/json/json.hpp"

namespace loomward::cli {

// Exactly one of three: a file that could not be read or does not have the mode asked for (`trouble`), a text
// with mistakes, or results.
struct Examined {
    std::string path;
    std::string trouble;
    ReadResult read;  // `mistakes` holds the trouble too, for machines
    std::optional<Results> results;
};

// Reads and checks.
Examined examine(const std::string& path, const CheckOptions& options);

Outcome outcome_of(const Examined& examined);

// 2 without results, 1 with errors among them.
ExitCode code_of(const Examined& examined);

// Examines each file (`mode`: see examine) and prints one document, or the text of each with its verdict, an
// empty line between two. For commands that tell of results and write nothing.
ExitCode tell_each(const Options& options, const std::string& mode,
                   const std::function<std::string(const Results&, bool color)>& text_of,
                   const std::function<std::string(const std::vector<Outcome>&)>& json_of);

// What is told of a text with mistakes instead of its results; empty where the file could not be read.
std::string unchecked_text(const Examined& examined, bool color);

// Text of all its mistakes, an empty line between two.
std::string mistakes_text(const std::vector<Diagnostic>& mistakes, const Sources& sources, bool color);

}  // namespace loomward::cli
