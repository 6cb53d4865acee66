// A mistake in the input, as a value. Nothing in parser/ prints; render/ turns this into text.
#pragma once
#include <string>
#include <vector>

#include "parser/text/source.hpp"

namespace loomward {

// A second place that took part: "it begins here", "first here".
struct Note {
    Span where;
    std::string text;
};

// One mistake. Wording: lower case, no full stop, says what is wrong; `beside` stands next to the
// caret (a replacement: "write mm2"); `help` says what to do, as a fact and not as a question.
struct Diagnostic {
    std::string id;  // kebab-case: "unknown-unit"
    Span where;      // what the caret underlines; at least one character is marked
    std::string message;
    std::string beside;
    std::vector<Note> notes;
    std::string help;
};

}  // namespace loomward
