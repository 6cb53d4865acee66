#include "cli/command_tables.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomward::cli {
namespace {

std::string replaced(std::string text, std::string_view what, std::string_view with) {
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += with.size())
        text.replace(at, what.size(), with);
    return text;
}

// ---- manual
// ------------------------------------------------------------------------------------------------

// Text of a line: a backslash is written \e, a hyphen so that it can be copied, and no line begins a request.
std::string roff(std::string text) {
    text = replaced(std::move(text), "\\", "\\e");
    text = replaced(std::move(text), "-", "\\-");
    std::string out;
    bool at_start = true;
    for (const char c : text) {
        if (at_start && (c == '.' || c == '\'')) out += "\\&";
        out += c;
        at_start = c == '\n';
    }
    return out;
}

std::string option_heading(const OptionTable& option) {
    std::string text;
    for (const std::string& name : option.names)
        text += (text.empty() ? "" : ", ") + ("\\fB" + roff(name) + "\\fR");
    if (!option.value.empty()) text += " \\fI" + roff(option.value) + "\\fR";
    return text;
}

std::string synopsis(const std::string& program, const CommandTable& command) {
    std::string text = ".B " + roff(program + " " + command.name) + "\n";
    for (const OptionTable& option : command.options)
        if (option.positional)
            text += (option.required ? "\\fI" : "[\\fI") + roff(option.names.front()) +
                    (option.required ? "\\fR" : "\\fR]") + "\n";
    return text + "[\\fIoption\\fR]...\n";
}

std::string command_section(const std::string& program, const CommandTable& command) {
    std::string text =
        ".SS " + roff(command.name) + "\n" + roff(command.meaning) + ".\n.PP\n" + synopsis(program, command);
    for (const OptionTable& option : command.options)
        text += ".TP\n" + option_heading(option) + "\n" + roff(option.meaning) + "\n";
    if (!command.footer.empty()) text += ".PP\n.nf\n" + roff(command.footer) + "\n.fi\n";
    return text;
}

// ---- completions
// -------------------------------------------------------------------------------------------

std::string joined(const std::vector<std::string>& words) {
    return fmt::format("{}", fmt::join(words, " "));
}

std::string command_names(const ProgramTable& program) {
    std::vector<std::string> names;
    for (const CommandTable& command : program.commands) names.push_back(command.name);
    return joined(names);
}

std::vector<std::string> option_names(const CommandTable& command) {
    std::vector<std::string> names;
    for (const OptionTable& option : command.options)
        if (!option.positional) names.insert(names.end(), option.names.begin(), option.names.end());
    return names;
}

std::string bash_script(const ProgramTable& program) {
    std::string cases;
    for (const CommandTable& command : program.commands) {
        std::string values;
        for (const OptionTable& option : command.options)
            if (!option.choices.empty())
                values +=
                    fmt::format("            {}) COMPREPLY=($(compgen -W \"{}\" -- \"$cur\")); return ;;\n",
                                fmt::join(option.names, "|"), joined(option.choices));
        cases += fmt::format("    {})\n        case \"$prev\" in\n{}        esac\n        words=\"{}\" ;;\n",
                             command.name, values, joined(option_names(command)));
    }
    return fmt::format(
        "# Completion of {0} for bash; made by the program.\n"
        "_{0}() {{\n"
        "    local cur=\"${{COMP_WORDS[COMP_CWORD]}}\" prev=\"${{COMP_WORDS[COMP_CWORD-1]}}\" words=\n"
        "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
        "        COMPREPLY=($(compgen -W \"{1} --help --version\" -- \"$cur\"))\n"
        "        return\n"
        "    fi\n"
        "    case \"${{COMP_WORDS[1]}}\" in\n{2}    esac\n"
        "    case \"$cur\" in\n"
        "    -*) COMPREPLY=($(compgen -W \"$words\" -- \"$cur\")) ;;\n"
        "    *) COMPREPLY=($(compgen -f -X '!*.loom' -- \"$cur\") $(compgen -d -- \"$cur\")) ;;\n"
        "    esac\n"
        "}}\n"
        "complete -o filenames -F _{0} {0}\n",
        program.name, command_names(program), cases);
}

// Within single quotes; brackets and colons mean something to zsh.
std::string zsh_text(std::string text) {
    text = replaced(std::move(text), "'", "'\\''");
    for (const char* sign : {"[", "]", ":"}) text = replaced(std::move(text), sign, std::string("\\") + sign);
    return text;
}

std::string zsh_option(const OptionTable& option, const std::string& name) {
    std::string text = fmt::format("'{}[{}]", name, zsh_text(option.meaning));
    if (!option.value.empty())
        text += fmt::format(":{}:{}", zsh_text(option.value),
                            option.choices.empty() ? "_files" : "(" + joined(option.choices) + ")");
    return text + "'";
}

std::string zsh_script(const ProgramTable& program) {
    std::string commands, cases;
    for (const CommandTable& command : program.commands) {
        commands += fmt::format("        '{}:{}'\n", command.name, zsh_text(command.meaning));
        cases += fmt::format("    {}) _arguments", command.name);
        for (const OptionTable& option : command.options)
            if (!option.positional)
                for (const std::string& name : option.names)
                    cases += " \\\n            " + zsh_option(option, name);
        cases += " \\\n            '*:harness:_files -g \"*.loom\"' ;;\n";
    }
    return fmt::format(
        "#compdef {0}\n"
        "# Completion of {0} for zsh; made by the program.\n"
        "_{0}() {{\n"
        "    local -a commands=(\n{1}    )\n"
        "    if (( CURRENT == 2 )); then\n"
        "        _describe command commands\n"
        "        return\n"
        "    fi\n"
        "    local command=$words[2]\n"
        "    shift words\n"
        "    (( CURRENT-- ))\n"
        "    case $command in\n{2}    esac\n"
        "}}\n"
        "_{0} \"$@\"\n",
        program.name, commands, cases);
}

std::string fish_text(std::string text) {
    return "'" + replaced(replaced(std::move(text), "\\", "\\\\"), "'", "\\'") + "'";
}

std::string fish_script(const ProgramTable& program) {
    std::string text = fmt::format("# Completion of {} for fish; made by the program.\n", program.name);
    for (const CommandTable& command : program.commands) {
        text += fmt::format("complete -c {} -n __fish_use_subcommand -f -a {} -d {}\n", program.name,
                            command.name, fish_text(command.meaning));
        for (const OptionTable& option : command.options) {
            if (option.positional) continue;
            text +=
                fmt::format("complete -c {} -n '__fish_seen_subcommand_from {}'", program.name, command.name);
            for (const std::string& name : option.names)
                text += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
            if (!option.choices.empty())
                text += " -x -a " + fish_text(joined(option.choices));
            else if (!option.value.empty())
                text += " -r";
            text += " -d " + fish_text(option.meaning) + "\n";
        }
    }
    return text;
}

}  // namespace

std::string manual_page(const ProgramTable& program) {
    std::string text = fmt::format(".TH {} 1 \"\" \"{} {}\"\n.SH NAME\n{} \\- {}\n.SH SYNOPSIS\n", "LOOMWARD",
                                   program.name, program.version, program.name, roff(program.meaning));
    text += ".B " + program.name + "\n\\fIcommand\\fR [\\fIoption\\fR]... \\fIFILE\\fR...\n.SH COMMANDS\n";
    for (const CommandTable& command : program.commands) text += command_section(program.name, command);
    return text + ".SH EXAMPLES AND EXIT STATUS\n.nf\n" + roff(program.footer) + "\n.fi\n";
}

std::string completion_script(const ProgramTable& program, const std::string& shell) {
    if (shell == "bash") return bash_script(program);
    if (shell == "zsh") return zsh_script(program);
    if (shell == "fish") return fish_script(program);
    return {};
}

}  // namespace loomward::cli
