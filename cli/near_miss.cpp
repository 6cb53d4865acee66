#include "cli/near_miss.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "cli/print_help.hpp"
#include "parser/text/suggest.hpp"

namespace loomward::cli {
namespace {

// What people call a command elsewhere, or mean by it.
struct OtherWord {
    std::string_view typed, command;
};
constexpr OtherWord other_words[] = {
    {"help", "--help"},       {"version", "--version"}, {"fix", "mend"},         {"repair", "mend"},
    {"lint", "check"},        {"verify", "check"},      {"test", "check"},       {"simulate", "check"},
    {"run", "check"},         {"render", "draw"},       {"plot", "draw"},        {"print", "draw"},
    {"svg", "draw"},          {"pdf", "draw"},          {"short", "fault"},      {"init", "new"},
    {"create", "new"},        {"start", "new"},         {"template", "new"},     {"rules", "explain"},
    {"help-rule", "explain"}, {"tidy", "format"},       {"indent", "format"},    {"fmt", "format"},
    {"energy", "budget"},     {"range", "budget"},      {"power", "budget"},     {"temperature", "endurance"},
    {"heat", "endurance"},    {"fuses", "zones"},       {"protection", "zones"},
};

std::string list(const std::vector<std::string>& words, std::string_view last_joint) {
    std::string all;
    for (std::size_t i = 0; i < words.size(); ++i)
        all += (i == 0 ? "" : i + 1 == words.size() ? std::string(last_joint) : std::string(", ")) + words[i];
    return all;
}

std::vector<std::string> names_of(const std::vector<KnownCommand>& commands) {
    std::vector<std::string> names;
    for (const KnownCommand& command : commands) names.push_back(command.name);
    return names;
}

std::string wrong_command(const std::vector<KnownCommand>& commands, const std::string& word) {
    const std::string trouble = fmt::format("there is no command '{}'; ", word);
    if (word.ends_with(".loom")) return fmt::format("{}write: loomward check {}", trouble, word);
    for (const OtherWord& other : other_words)
        if (other.typed == word)
            return other.command.starts_with('-')
                       ? fmt::format("{}write: loomward {}", trouble, other.command)
                       : fmt::format("{}what comes near it is '{}'", trouble, other.command);
    Suggestion nearest(word);
    for (const KnownCommand& command : commands) nearest.offer(command.name);
    if (!nearest.best().empty()) return fmt::format("{}there is a command '{}'", trouble, nearest.best());
    return trouble + "the commands are " + list(names_of(commands), ", ");
}

// An option that is another command's, the nearest of its own, or all of its own.
std::string wrong_option(const std::vector<KnownCommand>& commands, const KnownCommand& command,
                         const std::string& name) {
    const std::string trouble = fmt::format("{} has no option '{}'; ", command.name, name);
    if (name == "--pdf" && command.name == "draw") return trouble + "the file's ending says it: -o SHEET.pdf";
    if (name == "--pdf")
        for (const char* paper : {"report", "power-up", "hand-over"})
            if (command.name == paper) return trouble + no_pdf_of(command.name, {"FILE"}, "OUT.pdf");
    std::vector<std::string> others;
    for (const KnownCommand& other : commands)
        if (std::any_of(other.options.begin(), other.options.end(),
                        [&](const KnownOption& option) { return option.name == name; }))
            others.push_back(other.name);
    if (!others.empty())
        return fmt::format("{}{} {} it", trouble, list(others, " and "), others.size() > 1 ? "have" : "has");
    // Of one letter nothing comes near, and dashes make no two words alike.
    Suggestion nearest(std::string_view(name).substr(std::min(name.find_first_not_of('-'), name.size())));
    std::vector<std::string> own;
    for (const KnownOption& option : command.options) own.push_back(option.name);
    for (const std::string& option : own)
        if (option.starts_with("--")) nearest.offer(std::string_view(option).substr(2));
    if (!nearest.best().empty()) return fmt::format("{}there is an option '--{}'", trouble, nearest.best());
    return trouble + "its options are " + list(own, ", ");
}

}  // namespace

std::string wrong_words(const std::vector<KnownCommand>& commands, const std::vector<std::string>& typed) {
    if (typed.empty())
        return fmt::format("a command is missing: {} (--help tells more)", list(names_of(commands), " or "));
    const std::string& word = typed.front();
    if (word.empty() || word.front() == '-') return {};
    const auto command = std::find_if(commands.begin(), commands.end(),
                                      [&](const KnownCommand& known) { return known.name == word; });
    if (command == commands.end()) return wrong_command(commands, word);
    for (std::size_t i = 1; i < typed.size(); ++i) {
        if (typed[i] == "--") break;  // files from here on
        if (typed[i].size() < 2 || typed[i].front() != '-') continue;
        const bool is_long = typed[i][1] == '-';
        const std::string name = is_long ? typed[i].substr(0, typed[i].find('=')) : typed[i].substr(0, 2);
        const auto option = std::find_if(command->options.begin(), command->options.end(),
                                         [&](const KnownOption& known) { return known.name == name; });
        if (option == command->options.end()) return wrong_option(commands, *command, name);
        // What follows may look like an option: an ambient of -5 degC.
        if (typed[i].size() == name.size()) i += static_cast<std::size_t>(std::max(option->values, 0));
    }
    return {};
}

}  // namespace loomward::cli
