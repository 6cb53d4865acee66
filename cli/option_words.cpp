#include "cli/option_words.hpp"

namespace loomward::cli {

CLI::Validator one_of(const std::vector<std::string>& words) {
    std::string name;
    for (const std::string& word : words) name += (name.empty() ? "" : " ") + word;
    CLI::Validator validator = CLI::IsMember(words);
    validator.description("");
    return validator.name(name);
}

void add_color(CLI::App& command, Words& words) {
    command.add_option("--color", words.color, "auto (a terminal, and NO_COLOR is not set), always, never")
        ->type_name("WHEN")
        ->check(one_of({"auto", "always", "never"}));
}

void add_mode(CLI::App& command, Words& words, const std::string& meaning) {
    command.add_option("--mode", words.options.mode, meaning)->type_name("NAME");
}

void add_files(CLI::App& command, Words& words, const std::string& meaning) {
    command.add_option("FILE", words.options.files, meaning)->type_name("")->required();
}

void add_output_format(CLI::App& command, Words& words) {
    command.add_option("--format", words.format, "text (default) or json")
        ->type_name("FORMAT")
        ->check(one_of({"text", "json"}));
}

}  // namespace loomward::cli
