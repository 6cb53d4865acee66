#include "cli/print_help.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace loomward::cli {
namespace {

// As a shell takes it for one word.
std::string for_shell(const std::string& word) {
    constexpr std::string_view plain = "._/+-";
    const auto is_plain = [&](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
               plain.find(c) != std::string_view::npos;
    };
    if (!word.empty() && std::all_of(word.begin(), word.end(), is_plain)) return word;
    std::string quoted = "'";
    for (const char c : word) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return quoted + "'";
}

}  // namespace

std::string no_pdf_of(const std::string& command, const std::vector<std::string>& files,
                      const std::string& output) {
    std::string names;
    for (const std::string& file : files) names += ' ' + for_shell(file);
    const std::string stem = output.ends_with(".pdf") ? output.substr(0, output.size() - 4) : output;
    const std::string page = for_shell(stem + ".html"), pdf = for_shell(stem + ".pdf");
    return fmt::format(
        "{0} writes HTML, which a browser lays out and prints; no PDF was written. One with a bookmark for "
        "each "
        "heading:\n"
        "  loomward {0}{1} -o {2}\n"
        "  chromium --headless --no-pdf-header-footer --generate-pdf-document-outline --print-to-pdf={3} "
        "{2}\n"
        "the drawing alone, with a bookmark for each sheet and strip:\n"
        "  loomward draw{1} -o {3}{4}",
        command, names, page, pdf, command == "hand-over" ? " --for owner" : "");
}

}  // namespace loomward::cli
