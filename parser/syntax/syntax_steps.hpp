// The steps of the reader that every token passes through, inline so that the grammar compiles into one loop.
// Included by the files of the reader only.
#pragma once
#include <cstring>

#include "parser/syntax/syntax_reader.hpp"

namespace loomward {

inline const char* SyntaxReader::skip_blanks(const char* at) const {
    while (is(*at, byte_class::blank)) ++at;
    if (*at != '#') return at;
    const void* line_break = std::memchr(at, '\n', static_cast<std::size_t>(end_ - at));
    return line_break ? static_cast<const char*>(line_break) : end_;
}

inline const char* SyntaxReader::skip_lines(const char* at) const {
    at = skip_blanks(at);
    while (*at == '\n') at = skip_blanks(at + 1);
    return at;
}

inline const char* SyntaxReader::skip(const char* at) {
    at = skip_blanks(at);
    if (*at != '\n' || top().kind != FrameKind::wire) return at;
    const char* next = skip_lines(at);
    return begins_statement(next) ? at : next;
}

inline std::uint32_t SyntaxReader::add(NodeKind kind, const char* from, const char* to) {
    const auto index = static_cast<std::uint32_t>(nodes_.size());
    nodes_.push_back({kind, false, false, offset(from), offset(to), index + 1});
    return index;
}

inline void SyntaxReader::add_value(NodeKind kind, const char* from, const char* to) {
    add(kind, from, to);
    Frame& frame = top();
    ++frame.values;
    frame.last_value = kind;
    frame.element_end = offset(to);
}

inline bool SyntaxReader::start(const char*& at) {
    at = skip_lines(at);
    top().own_line = true;
    return true;
}

inline bool SyntaxReader::separator(const char*& at) {
    Frame& frame = top();
    if (*at == ',' && frame.kind != FrameKind::file) {
        at = skip(at + 1);
    } else if (*at == '\n' && frame.kind != FrameKind::wire) {
        const char* next = skip_lines(at);
        if (frame.kind == FrameKind::block && begins_statement(next)) return false;
        if (frame.kind == FrameKind::statements) note_resume(at, next);
        frame.own_line = true;
        at = next;
    } else {
        return false;
    }
    frame.needs_separator = false;
    return true;
}

inline bool SyntaxReader::open_element(const char*& at) {
    Frame& frame = top();
    if (!is(*at, byte_class::letter | byte_class::digit)) {
        if (at == end_ || *at == '\n' || *at == ',' || *at == '}') return false;
        if (*at == ')' && is_open(FrameKind::wire)) return false;
        if (*at == '(' && frame.kind == FrameKind::wire) return false;
    }
    frame.element = add(NodeKind::element, at, at);
    nodes_.back().own_line = frame.own_line;
    if (depth_ == 0) {
        tree_.statements.push_back(frame.element);
        if (at == begin_ || at[-1] == '\n') left_most_ = frame.element;
    } else if (frame.kind == FrameKind::block) {
        ++tree_.attributes;
    }
    const bool run_on = frame.needs_separator;
    frame.needs_separator = true;
    frame.own_line = frame.reported = false;
    frame.values = 0;
    frame.element_end = offset(at);
    if (*at == '{') {
        tell_stray(at, at + 1);
    } else if (run_on && (is(*at, byte_class::letter | byte_class::digit) || std::strchr("+-%\"(.", *at))) {
        tell_run_on(at);  // anything else is stray, which says more
    }
    return true;
}

inline bool SyntaxReader::close_element(const char*&) {
    Frame& frame = top();
    nodes_[frame.element].end = frame.element_end;
    nodes_[frame.element].next = static_cast<std::uint32_t>(nodes_.size());
    frame.element = none;
    return true;
}

inline bool SyntaxReader::more(const char*& at) {
    if (is(*at, byte_class::letter | byte_class::digit)) return true;
    switch (*at) {
        case '\n':
        case '{':
            return false;
        case '\0':
            return at != end_;
        case '(':
            return top().kind != FrameKind::wire;
        case ',':
        case '}':
            return top().kind == FrameKind::file;
        case ')':
            return top().kind != FrameKind::wire && !is_open(FrameKind::wire);
        default:
            return true;
    }
}

inline bool SyntaxReader::word(const char*& at) {
    const char* to = at;
    if (is(*at, byte_class::letter)) {
        const Frame& frame = top();
        if (frame.values >= 2 && frame.kind <= FrameKind::statements && !is(*at, byte_class::capital) &&
            hides_statement(at))
            return false;
        while (is(*++to, byte_class::word)) {
        }
        // The two units with a stroke, K/W and m/s.
        const bool stroke =
            to - at == 1 && to[0] == '/' && ((*at == 'K' && to[1] == 'W') || (*at == 'm' && to[1] == 's'));
        if (stroke && !is(to[2], byte_class::word)) to += 2;
    } else if (*at == '+' || *at == '-') {
        if (is(at[1], byte_class::digit) || (at[1] == '.' && is(at[2], byte_class::digit))) return false;
        while (is(*++to, byte_class::word)) {
        }
    } else if (*at == '%') {
        ++to;
    } else {
        return false;
    }
    add_value(NodeKind::word, at, to);
    at = to;
    return true;
}

inline bool SyntaxReader::number(const char*& at) {
    const char* to = at;
    if (*to == '+' || *to == '-') ++to;
    if (*to == '.') ++to;
    if (!is(*to, byte_class::digit)) return false;
    while (is(*to, byte_class::digit)) ++to;
    if (is(*at, byte_class::digit) && *to == '.' && is(to[1], byte_class::digit)) {
        to += 2;
        while (is(*to, byte_class::digit)) ++to;
    }
    if (!is(*at, byte_class::digit) || is(*to, byte_class::number) ||
        (*to == ',' && is(to[1], byte_class::digit)))
        to = number_end(at);
    add_value(NodeKind::number, at, to);
    at = to;
    return true;
}

inline bool SyntaxReader::text(const char*& at) {
    return *at == '"' && take_text(at);
}

inline bool SyntaxReader::stray(const char*& at) {
    // A letter begins nothing only where it hides a statement.
    return !is(*at, byte_class::letter) && take_stray(at);
}

inline bool SyntaxReader::gap(const char*& at) {
    at = skip(at);
    if (*at != '\n' || top().kind == FrameKind::wire) return true;
    const char* next = skip_lines(at);
    if (*next == '(' || *next == '{' || (top().last_value == NodeKind::wire && goes_on_after_wire(next)))
        at = next;
    return true;
}

inline bool SyntaxReader::open_block(const char*& at) {
    if (*at != '{') return false;
    const bool statements = opens_statements();
    const std::uint32_t left = statements ? indentation(text_ + nodes_[top().element].begin) : 0;
    push(statements ? FrameKind::statements : FrameKind::block, at);
    top().indentation = left;
    return true;
}

inline bool SyntaxReader::open_wire(const char*& at) {
    if (*at != '(' || top().kind == FrameKind::wire) return false;
    push(FrameKind::wire, at);
    ++tree_.wires;
    return true;
}

inline void SyntaxReader::push(FrameKind kind, const char*& at) {
    const std::uint32_t node = add(kind == FrameKind::wire ? NodeKind::wire : NodeKind::block, at, at + 1);
    top_ = &frames_[++depth_];
    Frame& frame = *top_;
    frame.kind = kind;
    frame.needs_separator = frame.own_line = frame.reported = frame.doubtful = false;
    frame.element = none;
    frame.resume = nullptr;  // and what belongs to it means nothing
    frame.node = node;
    frame.element_end = offset(at) + 1;
    if (depth_ > nesting_limit) {
        too_deep(at);
    } else {
        at = skip(at + 1);
    }
}

inline void SyntaxReader::pop(std::uint32_t end) {
    SyntaxNode& node = nodes_[top().node];
    node.end = end;
    node.next = static_cast<std::uint32_t>(nodes_.size());
    top_ = &frames_[--depth_];
    Frame& frame = *top_;
    ++frame.values;
    frame.last_value = node.kind;
    frame.element_end = end;
}

inline bool SyntaxReader::close_block(const char*& at) {
    if (*at == '}') {
        ++at;
        pop(offset(at));
    } else {
        close_open_block(at);
    }
    at = skip(at);
    return true;
}

inline bool SyntaxReader::close_wire(const char*& at) {
    std::uint32_t end = top().element_end;
    if (*at == ')' || (*at == '}' && !is_open_block())) {
        if (*at == '}') tell_open_wire();
        end = offset(++at);
    } else {
        tell_open_wire();
    }
    pop(end);
    return true;
}

}  // namespace loomward
