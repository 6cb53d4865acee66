// Level 1 of the language: elements, blocks and wires, as a flat tree. The grammar accepts every byte
// string; what does not fit is a node of a mistake kind, so that nothing is lost and reading goes on.
//
//     file    = { element }
//     element = value { value } [ block ]
//     value   = word | number | text | wire
//     block   = "{" { element } "}"        wire = "(" { element } ")"
#pragma once
#include <cstdint>
#include <string_view>
#include <vector>

#include "parser/text/diagnostic.hpp"
#include "parser/text/source.hpp"

namespace loomward {

enum class NodeKind : std::uint8_t { element, word, number, text, block, wire };

// One node of the tree, children following their parent directly ("pre-order").
struct SyntaxNode {
    NodeKind kind{};
    bool damaged = false;     // an element: holds a lexical mistake and must not be judged further
    bool own_line = true;     // an element: begins a line (false after a comma)
    std::uint32_t begin = 0;  // bytes of the file; a text includes its quotes, a block its braces
    std::uint32_t end = 0;
    std::uint32_t next = 0;  // index of the next node that is not inside this one
};

// The tree of one file. Walk: for (i = first; i < last; i = nodes[i].next).
struct SyntaxTree {
    FileId file;
    std::vector<SyntaxNode> nodes;          // top level elements and what is in them
    std::vector<std::uint32_t> statements;  // indexes of the top level elements
    std::uint32_t wires = 0;                // how many there are
    std::uint32_t attributes = 0;           // elements in blocks
    // Words inside damaged elements, so that a name in them is never called unknown.
    std::vector<std::string_view> names_in_damage;
};

// Reads one file. Lexical and structural mistakes (docs/language.md, "Mistakes") go to `mistakes`.
// A statement word at the start of a line and before a blank closes an open block or wire.
// Time and memory grow linearly with the text; nesting deeper than 8 is one mistake.
SyntaxTree read_syntax(const Sources& sources, FileId file, std::vector<Diagnostic>& mistakes);

}  // namespace loomward
