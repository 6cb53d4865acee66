// Tokens that are more than letters and digits: texts, numbers with a range or a unit, and signs that begin
// nothing.
#include <algorithm>
#include <cstring>
#include <optional>

#include "parser/syntax/syntax_steps.hpp"

namespace loomward {

bool SyntaxReader::take_text(const char*& at) {
    const char* to = at + 1;
    while (*to != '"') {
        if (*to == '\n' || to == end_) {
            to = open_text(at, to);
            add_value(NodeKind::text, at, to);
            at = to;
            return true;
        }
        if (*to == '\\' && to + 1 < end_ && to[1] != '\n') {
            if (to[1] != '"' && to[1] != '\\')
                tell({"escape",
                      span(to, to + 2),
                      "a backslash stands before this character for nothing",
                      "",
                      {},
                      "a text knows two signs with a backslash: \\\" is a quote, \\\\ is a backslash"});
            ++to;
        }
        ++to;
    }
    ++to;
    add_value(NodeKind::text, at, to);
    at = to;
    return true;
}

// The rest of the line is probably text, but its brackets probably are not: reading goes on at the first of
// them, quietly up to the end of the line.
const char* SyntaxReader::open_text(const char* from, const char* line_end) {
    const char* to = line_end;
    while (is(to[-1], byte_class::blank)) --to;
    tell({"open-text",
          span(from, to),
          "this text has no closing quote on its line",
          "",
          {},
          "a text ends on the line where it begins; longer remarks take several note lines"});
    for (std::size_t i = 1; i <= depth_; ++i) frames_[i].doubtful = true;
    quiet_until_ = line_end;
    return std::find_first_of(from + 1, to, "{}()", std::end("{}()") - 1);
}

// The end of a number that is more than digits and a point; tells what is wrong with it.
const char* SyntaxReader::number_end(const char* at) {
    const char* to = at;
    bool digits_only = true;
    while (is(*to, byte_class::number)) {
        digits_only = digits_only && !is(*to, byte_class::letter);
        ++to;
    }
    if (digits_only && *to == ',' && is(to[1], byte_class::digit)) {
        while (*to == ',' && is(to[1], byte_class::digit)) {
            ++to;
            while (is(*to, byte_class::digit) || (*to == '.' && is(to[1], byte_class::digit))) ++to;
        }
        tell_decimal_comma(at, to);
        return to;
    }
    const std::string_view number(at, static_cast<std::size_t>(to - at));
    std::optional<std::string> help = malformed_number_help(number);
    // "10.. 16": taken together
    const char* next = to;
    while (*next == ' ') ++next;
    if (help && number.ends_with("..") && is(*next, byte_class::digit)) {
        help = "a range is written without blanks: " + std::string(number) + std::string(word_at(next));
        to = next + word_at(next).size();
    }
    if (help) {
        const std::string shown(at, static_cast<std::size_t>(to - at));
        tell({"malformed-number", span(at, to), "'" + shown + "' is not a number", "", {}, std::move(*help)});
    }
    return to;
}

bool SyntaxReader::take_stray(const char*& at) {
    const auto is_punctuation = [](char c) {
        return !is(c, byte_class::letter | byte_class::digit | byte_class::blank | byte_class::control |
                          byte_class::above) &&
               !std::strchr("\n,(){}\"#+-%", c);
    };
    const char* to = at;
    if (is(*at, byte_class::control) && at != end_) {
        while (to != end_ && is(*to, byte_class::control)) ++to;
        damage();  // told by check_characters
    } else if (is(*at, byte_class::above)) {
        to = foreign(at);
    } else if (is_punctuation(*at)) {
        while (is_punctuation(*to) && !(to != at && *to == '.' && is(to[1], byte_class::digit))) ++to;
        tell_stray(at, to);
    } else if (((*at == ',' || *at == '}') && top().kind == FrameKind::file) ||
               (*at == ')' && !is_open(FrameKind::wire))) {
        tell_stray(at, ++to);
        for (std::size_t i = 1; i <= depth_; ++i) frames_[i].doubtful = true;
    } else {
        return false;
    }
    top().element_end = offset(to);
    at = to;
    return true;
}

// A character above ASCII and the letters that hang on to it; a text in typographic quotes as a whole.
const char* SyntaxReader::foreign(const char* at) {
    const Character character = decode_character({at, static_cast<std::size_t>(end_ - at)});
    if (character.bytes == 0) {
        damage();  // told by check_characters
        return at + 1;
    }
    Diagnostic mistake = foreign_character(span(at, at + character.bytes), character);
    if (std::string help = joined_help(at, at + character.bytes); !help.empty())
        mistake.help = std::move(help);
    tell(std::move(mistake));
    if (const char* closing = quoted(at, character.bytes)) {
        add_value(NodeKind::text, at, closing);
        return closing;
    }
    const char* to = at + character.bytes;
    while (is(*to, byte_class::above | byte_class::word | byte_class::number)) ++to;
    return to;
}

// The end of a text that begins with a typographic quote at `at`; nullptr if it is none or is not closed.
const char* SyntaxReader::quoted(const char* at, std::uint32_t bytes) const {
    constexpr std::string_view opening[] = {"\u201C", "\u201D", "\u201E", "\u00AB", "\u00BB"};
    constexpr std::string_view closing[] = {"\u201D", "\u201C", "\u00BB", "\u00AB", "\""};
    if (std::find(std::begin(opening), std::end(opening), std::string_view(at, bytes)) == std::end(opening))
        return nullptr;
    const void* line_break = std::memchr(at, '\n', static_cast<std::size_t>(end_ - at));
    const char* line_end = line_break ? static_cast<const char*>(line_break) : end_;
    for (const char* to = at + bytes; to < line_end; ++to)
        for (const std::string_view mark : closing)
            if (std::string_view(to, static_cast<std::size_t>(line_end - to)).starts_with(mark))
                return to + mark.size();
    return nullptr;
}

}  // namespace loomward
