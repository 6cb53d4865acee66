// The steps of the reader that are seldom taken, and what surrounds the grammar.
#include "parser/syntax/syntax.hpp"

#include <algorithm>
#include <cstring>

#include "parser/language/kinds.hpp"
#include "parser/syntax/syntax_steps.hpp"
#include "parser/text/large_memory.hpp"

namespace loomward {

SyntaxReader::SyntaxReader(const Sources& sources, SyntaxTree& tree, std::vector<Diagnostic>& mistakes)
    : sources_(sources), file_(tree.file), nodes_(tree.nodes), tree_(tree), mistakes_(mistakes) {
    const std::string& text = sources.file(tree.file).text;
    text_ = text.c_str();
    begin_ = text_ + (text.starts_with("\xEF\xBB\xBF") ? 3 : 0);
    end_ = text_ + text.size();
    counted_ = text_;
}

// ---- looking ahead -----------------------------------------------------------------------------------

std::string_view SyntaxReader::word_at(const char* at) const {
    const char* to = at;
    while (is(*to, byte_class::word)) ++to;
    return {at, static_cast<std::size_t>(to - at)};
}

bool SyntaxReader::begins_statement(const char* at) const {
    if (!is(*at, byte_class::letter) || is(*at, byte_class::capital)) return false;
    const std::string_view word = word_at(at);
    const char next = at[word.size()];
    return (next == ' ' || next == '\t') && is_statement_word(word);
}

bool SyntaxReader::goes_on_after_wire(const char* at) const {
    if (at == end_ || *at == '}' || *at == ')' || *at == ',') return false;
    return !is_statement_word(word_at(at));
}

bool SyntaxReader::is_open(FrameKind kind) const {
    for (std::size_t i = depth_; i > 0; --i)
        if (frames_[i].kind == kind) return true;
    return false;
}

std::uint32_t SyntaxReader::indentation(const char* at) const {
    const char* line = at;
    while (line > begin_ && line[-1] != '\n') --line;
    const char* first = line;
    while (is(*first, byte_class::blank)) ++first;
    return static_cast<std::uint32_t>(first - line);
}

// "splice X1 splice X2" on one line: true at the second `splice`. Names of modes may be statement words, and
// so is what a part is.
bool SyntaxReader::hides_statement(const char* at) const {
    const Frame& frame = frames_[depth_];
    if (frame.last_value == NodeKind::wire || !is_statement_word(word_at(at))) return false;
    const auto text = [this](const SyntaxNode& node) { return slice(node.begin, node.end); };
    if (nodes_.back().kind == NodeKind::word && text(nodes_.back()) == "is") return false;
    const std::string_view first = text(nodes_[frame.element + 1]);
    return first != "accept" && first != "mode" && first != "use";
}

// ---- blocks ------------------------------------------------------------------------------------------

// part NAME is assembly {
bool SyntaxReader::opens_statements() const {
    const Frame& frame = frames_[depth_];
    if (frame.kind > FrameKind::statements || frame.values < 4) return false;
    const SyntaxNode& first = nodes_[frame.element + 1];
    const SyntaxNode& last = nodes_.back();
    return first.kind == NodeKind::word && last.kind == NodeKind::word &&
           slice(first.begin, first.end) == "part" && slice(last.begin, last.end) == "assembly";
}

// A statement that stands no further right than the assembly around it: where the file goes on if it turns
// out that the assembly is never closed. The layout decides nothing in a file without mistakes.
void SyntaxReader::note_resume(const char* line_break, const char* at) {
    Frame& frame = top();
    if (frame.resume || !begins_statement(at) || indentation(at) > frame.indentation) return;
    frame.resume = line_break;
    frame.resume_nodes = nodes_.size();
    frame.resume_mistakes = mistakes_.size();
    frame.resume_end = frame.element_end;
}

// At the end of the file with an assembly open: goes back to where its end was probably forgotten. The
// outermost one goes first; a file with many such mistakes is not read again and again.
bool SyntaxReader::resume_behind(const char*& at) {
    constexpr unsigned resume_limit = 8;
    if (at != end_ || resumed_ >= resume_limit) return false;
    std::size_t outermost = 1;
    while (outermost <= depth_ && !frames_[outermost].resume) ++outermost;
    if (outermost > depth_) return false;
    if (outermost == depth_) {
        ++resumed_;
        Frame& frame = top();
        frame.element_end = frame.resume_end;
        nodes_.resize(frame.resume_nodes);
        mistakes_.resize(frame.resume_mistakes);
        quiet_until_ = nullptr;
        left_most_ = none;
        at = frame.resume;
        if (!frame.doubtful) tell_open_block(frame, at);
    }
    pop(top().element_end);
    return true;
}

void SyntaxReader::close_open_block(const char*& at) {
    if (resume_behind(at)) return;
    if (!top().doubtful) tell_open_block(top(), at);
    damage();
    pop(top().element_end);
}

// One message; everything up to the next statement is passed over.
void SyntaxReader::too_deep(const char*& at) {
    if (top().kind == FrameKind::statements) top().kind = FrameKind::block;  // reads on nowhere
    tell({"nesting",
          span(at, at + 1),
          "blocks and wires lie more than 8 deep in each other",
          "",
          {},
          "close some of them first"});
    for (std::size_t i = 1; i <= depth_; ++i) frames_[i].doubtful = true;
    for (;;) {
        const void* line_break = std::memchr(at, '\n', static_cast<std::size_t>(end_ - at));
        if (!line_break) break;
        at = static_cast<const char*>(line_break);
        const char* next = at + 1;
        while (is(*next, byte_class::blank)) ++next;
        if (begins_statement(next)) return;
        ++at;
    }
    at = end_;
}

bool SyntaxReader::misplaced(const char*& at) {
    if (*at == '}') {
        extra_brace(at);
    } else if (*at == ',') {
        tell_stray(at, at + 1);
        const void* line_break = std::memchr(at, '\n', static_cast<std::size_t>(end_ - at));
        quiet_until_ = line_break ? static_cast<const char*>(line_break) : end_;
    } else {
        return false;
    }
    if (*at == '}') top().needs_separator = false;
    at = skip(at + 1);
    return true;
}

// ---- the whole file ----------------------------------------------------------------------------------

// Words of damaged statements, and what they begin with: "F1.in" is about F1 too.
void SyntaxReader::finish() {
    const auto note = [this](std::string_view word) {
        if (!is(word.front(), byte_class::letter)) return;
        tree_.names_in_damage.push_back(word);
        const std::size_t head = word.find_first_of(".>");
        if (head != std::string_view::npos) tree_.names_in_damage.push_back(word.substr(0, head));
    };
    if (!damaged_) return;
    for (const std::uint32_t element : tree_.statements) {
        if (!nodes_[element].damaged) continue;
        for (std::uint32_t i = element + 1; i < nodes_[element].next; ++i)
            if (nodes_[i].kind == NodeKind::word) note(slice(nodes_[i].begin, nodes_[i].end));
    }
}

SyntaxTree read_syntax(const Sources& sources, FileId file, std::vector<Diagnostic>& mistakes) {
    constexpr std::size_t largest_file = std::size_t{1} << 30;
    SyntaxTree tree;
    tree.file = file;
    const std::string& text = sources.file(file).text;
    if (text.size() > largest_file) {
        mistakes.push_back({"file-too-large",
                            {file, 0, 1},
                            "this file is larger than 1 GiB",
                            "",
                            {},
                            "a harness of 100,000 wires takes about 9 MB"});
        return tree;
    }
    check_characters(sources, file, mistakes);
    reserve_large(tree.nodes, text.size() / 2 + 16);
    tree.statements.reserve(text.size() / 64 + 16);
    SyntaxReader reader(sources, tree, mistakes);
    run_grammar(reader);
    return tree;
}

}  // namespace loomward
