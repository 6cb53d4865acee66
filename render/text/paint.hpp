// Colours of the terminal. Meaning never rests on colour alone: the words stay.
#pragma once
#include <string>
#include <string_view>

#include "checker/rules/finding.hpp"

namespace loomward {

enum class Ink { strong, error, warning, note, faint };

inline Ink ink_of(Severity severity) {
    switch (severity) {
        case Severity::error:
            return Ink::error;
        case Severity::warning:
            return Ink::warning;
        case Severity::note:
            return Ink::note;
    }
    return Ink::note;
}

inline std::string paint(std::string_view text, Ink ink, bool color) {
    if (!color || text.empty()) return std::string(text);
    static constexpr std::string_view codes[] = {"\033[1m", "\033[1;31m", "\033[1;35m", "\033[1;36m",
                                                 "\033[2m"};
    return std::string(codes[static_cast<int>(ink)]).append(text).append("\033[0m");
}

}  // namespace loomward
