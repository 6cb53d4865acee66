// The canonical layout of one file. The tree gives the order of things; what stands between two tokens (line
// breaks, empty lines, comments) is read from the text, so that comments stay with the token before them.
//
//   - one blank between values and before a unit; ", " between what stands on one line
//   - the writer's line breaks in a block are kept, and single empty lines; two blanks a level
//   - a wire is written on one line; a route of more than 100 columns is broken behind a ')'
//   - comments behind neighbouring lines stand below each other
#include <algorithm>
#include <vector>

#include "parser/format/format_lines.hpp"
#include "parser/language/kinds.hpp"
#include "parser/language/units.hpp"
#include "parser/read.hpp"
#include "parser/syntax/syntax.hpp"
#include "parser/text/lexical.hpp"

namespace loomward {
namespace {

// ---- what stands between two tokens --------------------------------------------------------------------

struct Comment {
    std::string_view text;
    bool own_line = false;
    bool empty_line_before = false;
};

struct Between {
    std::vector<Comment> comments;
    bool line_break = false;  // after the last comment too, of course
    bool empty_line = false;  // directly before the next token
};

class Scanner {
  public:
    explicit Scanner(std::string_view text) : text_(text) {
        if (text.starts_with("\xEF\xBB\xBF")) at_ = line_ = 3;
    }

    // Blanks, commas, line breaks and comments up to `end`; goes on behind it.
    Between between(std::size_t end) {
        Between found;
        bool fresh_line = at_ == line_;
        std::size_t breaks = 0;
        for (; at_ < end; ++at_) {
            if (text_[at_] == '\n') {
                line_ = at_ + 1;
                fresh_line = true;
                ++breaks;
            } else if (text_[at_] == '#') {
                const std::size_t stop = std::min(text_.find('\n', at_), end);
                std::string_view comment = text_.substr(at_, stop - at_);
                while (is(comment.back(), byte_class::blank)) comment.remove_suffix(1);
                found.comments.push_back({comment, fresh_line, breaks > 1});
                at_ = stop - 1;
                breaks = 0;
            }
        }
        found.line_break = fresh_line;
        found.empty_line = breaks > 1;
        return found;
    }

    void pass_over(std::size_t end) { at_ = end; }  // a token: holds no line break

  private:
    std::string_view text_;
    std::size_t at_ = 0;
    std::size_t line_ = 0;
};

// ---- numbers with units --------------------------------------------------------------------------------

// How many values behind an attribute's name are names, which may look like a number with a unit ("5A").
std::size_t leading_names(std::string_view attribute) {
    constexpr std::size_t all = 1000;
    for (const AttributeInfo& row : attribute_table) {
        if (row.name != attribute) continue;
        std::string_view shape = row.shape;
        if (shape.find("<names>") != shape.npos || shape.find("<series>") != shape.npos) return all;
        std::size_t count = 0;
        for (; shape.starts_with("<name>"); ++count)
            shape.remove_prefix(std::min<std::size_t>(7, shape.size()));
        return count;
    }
    return 0;
}

// "5A": how many bytes of it are the number, if the rest is a unit; else all of them.
std::size_t number_part(std::string_view value) {
    std::size_t at = value.find_first_not_of("-.0123456789");
    if (at != value.npos && value[at] == '/') at = value.find_first_not_of("0123456789", at + 1);
    return at != value.npos && at > 0 && find_unit(value.substr(at)) ? at : value.size();
}

// ---- the layout ----------------------------------------------------------------------------------------

enum class Inside { statements, block, wire };

class Layout {
  public:
    Layout(const SyntaxTree& tree, std::string_view text) : nodes_(tree.nodes), text_(text), scanner_(text) {}

    std::string write() {
        list(0, static_cast<std::uint32_t>(nodes_.size()), Inside::statements, true, 0);
        for (const Comment& comment : scanner_.between(text_.size()).comments) put_comment(comment, 0);
        lines_.end_line();
        return lines_.take();
    }

  private:
    std::string_view text_of(const SyntaxNode& node) const {
        return text_.substr(node.begin, node.end - node.begin);
    }

    void put_comment(const Comment& comment, std::size_t indent) {
        if (comment.own_line) {
            lines_.new_line(indent, comment.empty_line_before);
            lines_.put(comment.text);
        } else {
            lines_.comment_behind(comment.text);
        }
    }

    // The elements [from, to) of a file, a block or a wire.
    void list(std::uint32_t from, std::uint32_t to, Inside inside, bool lines, std::size_t indent) {
        for (std::uint32_t i = from; i < to; i = nodes_[i].next) {
            const Between before = scanner_.between(nodes_[i].begin);
            const bool first = i == from;
            if (inside == Inside::wire) {
                if (!first) lines_.put(",");
                put_gap(before, indent, !first);
            } else {
                // Such an element would be read as part of what stands before it: the comma keeps it apart.
                const bool leads = may_lead_a_line(i, inside);
                if (!leads && !first) lines_.put(",");
                for (const Comment& comment : before.comments) put_comment(comment, indent);
                if (!leads && before.comments.empty()) {
                    lines_.put(" ");
                } else if ((lines && (first || before.line_break)) || !leads) {
                    lines_.new_line(indent, before.empty_line && (!first || !before.comments.empty()));
                } else {
                    lines_.put(first ? " " : ", ");
                }
            }
            element(i, inside, indent);
        }
    }

    // A line break before "(" and "{" is a mere blank, and a statement word at the beginning of a line closes
    // what is open.
    bool may_lead_a_line(std::uint32_t element, Inside inside) const {
        const SyntaxNode& first = nodes_[element + 1];
        if (first.kind == NodeKind::wire || first.kind == NodeKind::block) return false;
        return inside == Inside::statements || !is_statement_word(text_of(first));
    }

    // Between two values: a blank, or comments and a new line.
    void put_gap(const Between& gap, std::size_t indent, bool blank) {
        for (const Comment& comment : gap.comments) put_comment(comment, indent + continuation_indent);
        if (!gap.comments.empty()) {
            lines_.continue_line(indent);
        } else if (blank) {
            lines_.put(" ");
        }
    }

    void element(std::uint32_t element, Inside inside, std::size_t indent) {
        bool behind_wire = false;
        std::size_t place = 0;
        for (std::uint32_t i = element + 1; i < nodes_[element].next; i = nodes_[i].next, ++place) {
            const SyntaxNode& node = nodes_[i];
            const Between before = scanner_.between(node.begin);
            if (place > 0) {
                if (behind_wire && inside == Inside::statements && !is_statement_word(text_of(node)))
                    lines_.may_break_here();
                put_gap(before, indent, true);
            }
            if (node.kind == NodeKind::block) {
                block(i, element, indent);
            } else if (node.kind == NodeKind::wire) {
                wire(i, indent);
            } else {
                value(node, element, place, inside);
            }
            behind_wire = node.kind == NodeKind::wire;
        }
    }

    void value(const SyntaxNode& node, std::uint32_t element, std::size_t place, Inside inside) {
        const std::string_view written = text_of(node);
        scanner_.pass_over(node.end);
        if (node.kind == NodeKind::number && inside != Inside::statements) {
            const std::size_t number = number_part(written);
            if (number < written.size() && is_quantity(node, element, place)) {
                lines_.put(written.substr(0, number));
                lines_.put(" ");
                lines_.put(written.substr(number));
                return;
            }
        }
        lines_.put(written);
    }

    // "5A" is a quantity unless names are expected there: "pin 5A supply", "S1 at 5A".
    bool is_quantity(const SyntaxNode& node, std::uint32_t element, std::size_t place) const {
        if (place == 0) return true;
        const std::string_view first = text_of(nodes_[element + 1]);
        const bool attribute = std::any_of(attribute_table.begin(), attribute_table.end(),
                                           [&](const AttributeInfo& row) { return row.name == first; });
        if (attribute) return place > leading_names(first);
        return text_of((&node)[-1]) != "at";
    }

    bool has_lines(const SyntaxNode& block) const {
        return text_of(block).find('\n') != std::string_view::npos;
    }

    void block(std::uint32_t index, std::uint32_t element, std::size_t indent) {
        const SyntaxNode& node = nodes_[index];
        const bool lines = has_lines(node);
        lines_.put("{");
        scanner_.pass_over(node.begin + 1);
        const SyntaxNode& first = nodes_[element + 1];
        const bool statements = text_of(first) == "part" && text_of((&node)[-1]) == "assembly";
        list(index + 1, node.next, statements ? Inside::statements : Inside::block, lines,
             indent + level_indent);
        const Between before = scanner_.between(node.end - 1);
        for (const Comment& comment : before.comments) put_comment(comment, indent + level_indent);
        if (lines) {
            lines_.new_line(indent, false);
        } else {
            lines_.put(" ");
        }
        lines_.put("}");
        scanner_.pass_over(node.end);
    }

    void wire(std::uint32_t index, std::size_t indent) {
        const SyntaxNode& node = nodes_[index];
        lines_.put("(");
        scanner_.pass_over(node.begin + 1);
        list(index + 1, node.next, Inside::wire, false, indent);
        put_gap(scanner_.between(node.end - 1), indent, false);
        lines_.put(")");
        scanner_.pass_over(node.end);
    }

    const std::vector<SyntaxNode>& nodes_;
    std::string_view text_;
    Scanner scanner_;
    Lines lines_;
};

}  // namespace

std::optional<std::string> format_text(const std::string& path, const std::string& text,
                                       std::shared_ptr<Sources>& sources, std::vector<Diagnostic>& mistakes) {
    if (!sources) sources = std::make_shared<Sources>();
    const FileId file = sources->add(path, text);
    const std::size_t before = mistakes.size();
    const SyntaxTree tree = read_syntax(*sources, file, mistakes);
    if (mistakes.size() != before) return std::nullopt;
    return Layout(tree, sources->file(file).text).write();
}

}  // namespace loomward
