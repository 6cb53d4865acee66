// Walking the values of one element of the syntax tree.
#pragma once
#include <cstdint>
#include <string_view>

#include "parser/syntax/syntax.hpp"
#include "parser/text/source.hpp"

namespace loomward {

// One value of an element, with its text. A default-made token is "nothing there".
struct Token {
    NodeKind kind = NodeKind::element;
    std::uint32_t node = 0;
    std::string_view text;
    Span where;

    explicit operator bool() const { return where.valid(); }
    bool is_word() const { return where.valid() && kind == NodeKind::word; }
    bool is_word(std::string_view word) const { return is_word() && text == word; }
    bool is(NodeKind wanted) const { return where.valid() && kind == wanted; }
};

// The file a tree was made from, beside the tree.
struct FileText {
    const SyntaxTree* tree = nullptr;
    std::string_view text;

    Token token(std::uint32_t node) const {
        const SyntaxNode& n = tree->nodes[node];
        return {n.kind, node, text.substr(n.begin, n.end - n.begin), {tree->file, n.begin, n.end}};
    }
    const SyntaxNode& node(std::uint32_t index) const { return tree->nodes[index]; }
};

// The values (and block) of an element, one after the other.
class Tokens {
  public:
    Tokens(const FileText& file, std::uint32_t element)
        : file_(&file), at_(element + 1), end_(file.node(element).next) {}
    bool done() const { return at_ >= end_; }
    Token peek() const { return done() ? Token{} : file_->token(at_); }
    Token next() {
        const Token token = peek();
        if (!done()) at_ = file_->node(at_).next;
        return token;
    }
    std::uint32_t position() const { return at_; }
    void skip_to(std::uint32_t node) { at_ = node; }
    std::uint32_t end() const { return end_; }

  private:
    const FileText* file_;
    std::uint32_t at_;
    std::uint32_t end_;
};

// Calls `visit(element index)` for each statement of a file.
template <class Visit>
void for_each_statement(const FileText& file, Visit visit) {
    const std::vector<std::uint32_t>& statements = file.tree->statements;
    for (std::size_t i = 0; i < statements.size(); ++i) {
#ifdef __GNUC__
        // Only the first nodes of each are looked at: too far apart for the processor to guess.
        constexpr std::size_t ahead = 16;
        if (i + ahead < statements.size()) __builtin_prefetch(&file.tree->nodes[statements[i + ahead]]);
#endif
        visit(statements[i]);
    }
}
// The same for each element inside a block or a wire.
template <class Visit>
void for_each_element(const FileText& file, std::uint32_t first, std::uint32_t end, Visit visit) {
    for (std::uint32_t at = first; at < end; at = file.node(at).next)
        if (file.node(at).kind == NodeKind::element) visit(at);
}

}  // namespace loomward
