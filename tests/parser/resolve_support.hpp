// Reading small harnesses in tests, and the mistakes as one line each.
#pragma once
#include <array>
#include <string>
#include <string_view>

#include "parser/read.hpp"
#include "tests/parser/memory_files.hpp"
#include "tests/parser/model_print.hpp"

namespace loomward {

inline constexpr std::array<std::string_view, 3> test_rules{"unprotected-wire", "voltage-drop", "floating"};

inline ReadResult read_test(std::string text, MemoryFiles files = {}) {
    return read_harness_text("rig.loom", std::move(text), files, {test_rules});
}

// "21:36 there is no part named 'F11' [unknown-name] | beside | help | note 12:6 F1 is here", only what is
// there.
inline std::string mistake_line(const Diagnostic& mistake, const Sources& sources) {
    const auto place = [&](Span where) {
        const Position position = sources.position(where);
        const std::string file = where.file.index() == 0 ? "" : sources.file(where.file).path + ":";
        return file + std::to_string(position.line) + ":" + std::to_string(position.column) + "+" +
               std::to_string(where.end - where.begin);
    };
    std::string line = place(mistake.where) + " " + mistake.message + " [" + mistake.id + "]";
    if (!mistake.beside.empty()) line += " | " + mistake.beside;
    if (!mistake.help.empty()) line += " | " + mistake.help;
    for (const Note& note : mistake.notes) line += " | note " + place(note.where) + " " + note.text;
    return line + "\n";
}

inline std::string mistakes_of(const ReadResult& result) {
    std::string text;
    for (const Diagnostic& mistake : result.mistakes) text += mistake_line(mistake, *result.sources);
    return text;
}

// The printed model, or the mistakes where there are any.
inline std::string model_of(std::string text, std::string_view only = {}, MemoryFiles files = {}) {
    const ReadResult result = read_test(std::move(text), std::move(files));
    return result.harness ? print_model(*result.harness, only) : mistakes_of(result);
}

}  // namespace loomward
