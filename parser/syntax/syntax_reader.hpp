// The steps that the grammar (grammar.cpp) is made of: each looks at the text at `at`, and either takes
// something and writes it down, or leaves `at` alone and says no. Between steps `at` never stands on a blank
// or a comment. The text ends in a NUL byte, so that looking at the next byte is always allowed.
//
// What is open at a place is a stack of frames: the file, blocks, wires. Each has one element being read.
#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "parser/syntax/syntax.hpp"
#include "parser/text/lexical.hpp"

namespace loomward {

inline constexpr std::size_t nesting_limit = 8;

enum class FrameKind : std::uint8_t {
    file,
    statements,  // the block of an assembly: lines in it may begin with a statement word
    block,
    wire
};

class SyntaxReader {
  public:
    SyntaxReader(const Sources& sources, SyntaxTree& tree, std::vector<Diagnostic>& mistakes);

    const char* begin() const { return begin_; }  // behind a byte-order mark
    const char* end() const { return end_; }
    void finish();  // after the last step

    // -- steps ------------------------------------------------------------------------------------------
    bool start(const char*& at);          // to the first element
    bool separator(const char*& at);      // what parts two elements of a list
    bool misplaced(const char*& at);      // a comma or '}' between statements: said and passed over
    bool open_element(const char*& at);   // true exactly if a value or a block follows
    bool close_element(const char*& at);  // always true
    bool more(const char*& at);           // another value of the element begins here; takes nothing
    bool word(const char*& at);
    bool number(const char*& at);
    bool text(const char*& at);
    bool stray(const char*& at);  // a character that begins nothing
    bool gap(const char*& at);    // always true; after it a value of the same element may follow
    bool open_block(const char*& at);
    bool close_block(const char*& at);  // always true; says so where the '}' is missing
    bool open_wire(const char*& at);
    bool close_wire(const char*& at);  // the same for ')'

  private:
    struct Frame {
        FrameKind kind = FrameKind::file;
        bool needs_separator = false;  // an element has ended and nothing parted the next one from it
        bool own_line = false;         // a line break was passed since the last element
        bool reported = false;         // a mistake in the current element was told
        bool doubtful = false;         // its end may have been swallowed by another mistake
        NodeKind last_value{};
        std::uint32_t values = 0;      // of the current element
        std::uint32_t element = none;  // the node of the current element
        std::uint32_t node = none;     // the block or wire itself
        std::uint32_t element_end = 0;
        // For statements: where the file goes on if the closing '}' never comes.
        const char* resume = nullptr;
        std::size_t resume_nodes = 0;
        std::size_t resume_mistakes = 0;
        std::uint32_t resume_end = 0;
        std::uint32_t indentation = 0;
    };
    static constexpr std::uint32_t none = 0xFFFFFFFF;

    Frame& top() { return *top_; }
    std::uint32_t offset(const char* at) const { return static_cast<std::uint32_t>(at - text_); }
    std::string_view slice(std::uint32_t from, std::uint32_t to) const { return {text_ + from, to - from}; }
    std::uint32_t add(NodeKind kind, const char* from, const char* to);
    void add_value(NodeKind kind, const char* from, const char* to);

    // -- looking ahead
    const char* skip_blanks(const char* at) const;  // blanks and a comment
    const char* skip_lines(const char* at) const;   // line breaks too
    const char* skip(const char* at);               // what is blank in the innermost frame
    bool begins_statement(const char* at) const;    // a statement word and a blank
    bool goes_on_after_wire(const char* at) const;
    bool is_open(FrameKind kind) const;
    bool is_open_block() const { return is_open(FrameKind::block) || is_open(FrameKind::statements); }
    std::string_view word_at(const char* at) const;
    std::uint32_t indentation(const char* at) const;

    // -- frames
    void push(FrameKind kind, const char*& at);
    void pop(std::uint32_t end);
    bool opens_statements() const;
    void close_open_block(const char*& at);
    bool resume_behind(const char*& at);
    void note_resume(const char* line_break, const char* at);

    // -- mistakes
    Span span(const char* from, const char* to) const;
    void damage();
    void tell(Diagnostic mistake);        // once an element, and damages it
    void tell_loose(Diagnostic mistake);  // outside an element
    void tell_stray(const char* from, const char* to);
    void tell_decimal_comma(const char* from, const char* to);
    void tell_open_block(const Frame& frame, const char* at);
    void tell_open_wire();
    void tell_run_on(const char* at);
    bool take_text(const char*& at);
    bool take_stray(const char*& at);
    const char* open_text(const char* from, const char* line_end);
    const char* foreign(const char* at);
    const char* quoted(const char* at, std::uint32_t bytes) const;
    std::size_t line_of(const char* at);
    const char* number_end(const char* at);
    bool hides_statement(const char* at) const;
    void too_deep(const char*& at);
    void extra_brace(const char* at);
    std::string description(std::uint32_t element) const;  // "fuse F1"
    std::string description(const char* at) const;
    std::string stray_help(const char* from, const char* to) const;
    std::string joined_help(const char* from, const char* to) const;
    void collect_names();

    const Sources& sources_;
    FileId file_;
    std::vector<SyntaxNode>& nodes_;
    SyntaxTree& tree_;
    std::vector<Diagnostic>& mistakes_;
    const char* text_;
    const char* begin_;
    const char* end_;
    // Where lines were counted up to, for messages that name a line.
    const char* counted_ = nullptr;
    std::size_t counted_lines_ = 1;
    const char* quiet_until_ = nullptr;  // the rest of a line whose text was not closed
    std::array<Frame, nesting_limit + 2> frames_{};
    Frame* top_ = frames_.data();  // frames_[depth_]
    std::size_t depth_ = 0;
    std::uint32_t left_most_ = none;  // the last element of the file at the left edge
    unsigned resumed_ = 0;
    bool damaged_ = false;  // any element
};

// Runs the grammar over the whole text of the reader.
void run_grammar(SyntaxReader& reader);

}  // namespace loomward
