// The command line as tables, for the manual page and for completions: made from what the reader of the
// command line itself uses, so that they cannot disagree.
#pragma once
#include <string>
#include <vector>

namespace loomward::cli {

struct OptionTable {
    std::vector<std::string> names;  // "--output", "-o"; of a place on the line: "FILE"
    std::string value;               // "NAME"; empty: a flag
    std::string meaning;
    std::vector<std::string> choices;  // empty: anything
    bool positional = false;
    bool required = false;
};

struct CommandTable {
    std::string name, meaning;
    std::vector<OptionTable> options;
    std::string footer;  // notes and examples, as the help prints them
};

struct ProgramTable {
    std::string name, version, meaning, footer;
    std::vector<CommandTable> commands;
};
ProgramTable program_table();

// A page for man(1), in roff.
std::string manual_page(const ProgramTable& program);

// A script for bash, zsh or fish; empty for any other name.
std::string completion_script(const ProgramTable& program, const std::string& shell);

}  // namespace loomward::cli
