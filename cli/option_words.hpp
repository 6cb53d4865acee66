// What the files that know the command-line library share; nothing else includes it.
#pragma once
#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "cli/new_options.hpp"
#include "cli/options.hpp"

namespace loomward::cli {

// What the library fills in; words become values afterwards.
struct Words {
    Options options;
    std::string color = "auto";
    std::string format = "text";
    std::string order = "step";
    std::string paper;  // empty: A3, or smaller where that is as good
    std::string theme = "light";
    std::string fault_file;
    std::string show = "loading", reader = "workshop";
    double allowance_percent = 0;
    std::vector<std::string> path;
    NewWords first;
};

// The choices stand in the help text already; the library would print them once more. They are kept as the
// name of the validator, for completions.
CLI::Validator one_of(const std::vector<std::string>& words);

void add_color(CLI::App& command, Words& words);
void add_mode(CLI::App& command, Words& words, const std::string& meaning = "look at this mode only");
void add_files(CLI::App& command, Words& words, const std::string& meaning);
void add_output_format(CLI::App& command, Words& words);

void add_new(CLI::App& app, Words& words);  // options_new.cpp

// Commands that write papers (paper_options.cpp).
void add_report(CLI::App& app, Words& words);
void add_schedules(CLI::App& app, Words& words);

}  // namespace loomward::cli
