// What the reader made of a text, as one line for a test to compare:
//
//     fuse F1 { 100 A, curve x }      e[w:fuse w:F1 b{e[n:100 w:A] e[w:curve w:x]}]
//
// A damaged element begins with e!, one that begins a line with e^ (in blocks; between statements all do).
#pragma once
#include <string>
#include <vector>

#include "parser/syntax/syntax.hpp"
#include "render/text/text.hpp"

namespace loomward {

struct ReadText {
    Sources sources;
    FileId file;
    SyntaxTree tree;
    std::vector<Diagnostic> mistakes;

    explicit ReadText(const std::string& text, const std::string& path = "a.loom") {
        file = sources.add(path, text);
        tree = read_syntax(sources, file, mistakes);
    }

    std::string text(const SyntaxNode& node) const {
        return std::string(sources.text({file, node.begin, node.end}));
    }

    std::string printed() const { return print(0, static_cast<std::uint32_t>(tree.nodes.size()), true); }

    // "open-brace 3:9" for each mistake, in the order told.
    std::string told() const {
        std::string all;
        for (const Diagnostic& mistake : mistakes) {
            const Position at = sources.position(mistake.where);
            if (!all.empty()) all += ", ";
            all += mistake.id + " " + std::to_string(at.line) + ":" + std::to_string(at.column);
        }
        return all;
    }

    std::string messages() const {
        std::string all;
        for (const Diagnostic& mistake : mistakes) all += mistake_text(mistake, sources, false);
        return all;
    }

  private:
    std::string print(std::uint32_t from, std::uint32_t to, bool file_level) const {
        std::string all;
        for (std::uint32_t i = from; i < to; i = tree.nodes[i].next) {
            const SyntaxNode& node = tree.nodes[i];
            if (!all.empty()) all += ' ';
            const std::string inner = print_inside(i);
            switch (node.kind) {
                case NodeKind::element:
                    all += std::string("e") + (node.damaged ? "!" : "") +
                           (node.own_line && !file_level ? "^" : "") + "[" + inner + "]";
                    break;
                case NodeKind::word:
                    all += "w:" + text(node);
                    break;
                case NodeKind::number:
                    all += "n:" + text(node);
                    break;
                case NodeKind::text:
                    all += "t:" + text(node);
                    break;
                case NodeKind::block:
                    all += "b{" + inner + "}";
                    break;
                case NodeKind::wire:
                    all += "(" + inner + ")";
                    break;
            }
        }
        return all;
    }
    std::string print_inside(std::uint32_t i) const { return print(i + 1, tree.nodes[i].next, false); }
};

}  // namespace loomward
