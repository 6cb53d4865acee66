// What the reader says about mistakes, and to what they do damage. An element with a mistake is not read
// further, so that one mistake gives one message.
#include <fmt/format.h>

#include <algorithm>

#include "parser/language/kinds.hpp"
#include "parser/language/route_example.hpp"
#include "parser/syntax/syntax_steps.hpp"

namespace loomward {

Span SyntaxReader::span(const char* from, const char* to) const {
    return {file_, offset(from), offset(std::min(to, end_))};
}

void SyntaxReader::damage() {
    damaged_ = true;
    for (std::size_t i = 0; i <= depth_; ++i)
        if (frames_[i].element != none) nodes_[frames_[i].element].damaged = true;
}

void SyntaxReader::tell(Diagnostic mistake) {
    damage();
    Frame& frame = top();
    if (frame.reported) return;
    frame.reported = true;
    tell_loose(std::move(mistake));
}

void SyntaxReader::tell_loose(Diagnostic mistake) {
    if (quiet_until_ && text_ + mistake.where.begin < quiet_until_) return;
    mistakes_.push_back(std::move(mistake));
}

std::size_t SyntaxReader::line_of(const char* at) {
    if (at < counted_) {
        counted_ = text_;
        counted_lines_ = 1;
    }
    counted_lines_ += static_cast<std::size_t>(std::count(counted_, at, '\n'));
    counted_ = at;
    return counted_lines_;
}

std::string SyntaxReader::description(std::uint32_t element) const {
    std::string text;
    std::uint32_t at = element + 1;
    for (int i = 0; i < 2 && at < nodes_.size(); ++i, ++at) {
        if (nodes_[at].kind != NodeKind::word) break;
        if (!text.empty()) text += ' ';
        text += slice(nodes_[at].begin, nodes_[at].end);
    }
    return text;
}

std::string SyntaxReader::description(const char* at) const {
    const std::string_view first = word_at(at);
    const char* next = at + first.size();
    while (*next == ' ' || *next == '\t') ++next;
    const std::string_view second = is(*next, byte_class::letter) ? word_at(next) : std::string_view();
    return second.empty() ? std::string(first) : fmt::format("{} {}", first, second);
}

void SyntaxReader::tell_stray(const char* from, const char* to) {
    if (*from == '}' || *from == ')') {
        const std::string_view what = *from == '}' ? "block" : "wire";
        tell({"stray-brace",
              span(from, to),
              fmt::format("this '{}' closes nothing", *from),
              "",
              {},
              fmt::format("every {} before it is already closed", what)});
        return;
    }
    Diagnostic mistake{"stray",
                       span(from, to),
                       fmt::format("'{}' has no meaning here", slice(offset(from), offset(to))),
                       "",
                       {},
                       stray_help(from, to)};
    if (top().element == none) {
        tell_loose(std::move(mistake));
    } else {
        tell(std::move(mistake));
    }
}

std::string SyntaxReader::stray_help(const char* from, const char* to) const {
    const FrameKind kind = frames_[depth_].kind;
    const std::string_view sign(from, static_cast<std::size_t>(to - from));
    if (std::string help = joined_help(from, to); !help.empty()) return help;
    if (sign == "{") return "a block stands behind the name that it belongs to";
    if (sign == "," && frames_[depth_].element == none)
        return "the block before it is closed, and each statement begins on a line of its own";
    if (sign == ",") return "statements are separated by line breaks; commas stand in blocks and wires";
    if (sign == ".." || sign == "...") return "a range is written without blanks: 10..16";
    if (sign == ";") {
        if (kind == FrameKind::block) return "attributes are separated by commas or line breaks";
        if (kind == FrameKind::wire) return "what a wire has is separated by commas";
        return "statements are separated by line breaks";
    }
    if (sign == "[" || sign == "]") return "a wire stands in ( ) and a block in { }";
    if (sign == "?") return "what nobody can tell is written unknown";
    if (sign != "=" && sign != ":" && sign != ":=")
        return "a remark begins with '#', and a text stands in quotes";
    if (kind != FrameKind::block && kind != FrameKind::wire)
        return "a name is followed by a blank and what belongs to it";
    std::string example = "breaks 2.5 kA";
    const char* stop = to;
    while (stop != end_ && *stop != ',' && *stop != '}' && *stop != ')' && *stop != '\n' && *stop != '#' &&
           *stop != '\r')
        ++stop;
    std::string value(to, stop);
    value.erase(0, value.find_first_not_of(" \t"));
    value.erase(value.find_last_not_of(" \t") + 1);
    if (nodes_.back().kind == NodeKind::word && !value.empty() && value.size() < 40)
        example = fmt::format("{} {}", slice(nodes_.back().begin, nodes_.back().end), value);
    return "an attribute is its name, a blank and its value: " + example;
}

// Where a sign stands alone between two places, as in "S1.out > L1": what to write for them; empty elsewhere.
std::string SyntaxReader::joined_help(const char* from, const char* to) const {
    const Frame& frame = frames_[depth_];
    const bool of_statements = frame.kind == FrameKind::file || frame.kind == FrameKind::statements;
    if (!of_statements || frame.element == none || frame.values == 0 || frame.last_value != NodeKind::word)
        return {};
    if (!is(from[-1], byte_class::blank) || !is(*to, byte_class::blank)) return {};
    const char* next = to;
    while (is(*next, byte_class::blank)) ++next;
    if (!is(*next, byte_class::letter)) return {};
    const auto text_of = [&](const SyntaxNode& node) { return slice(node.begin, node.end); };
    const std::string_view first = text_of(nodes_[frame.element + 1]), before = text_of(nodes_.back()),
                           sign(from, static_cast<std::size_t>(to - from));
    const std::span<const std::string_view> words = statement_words();
    if (first != "route" && std::find(words.begin(), words.end(), first) != words.end()) return {};
    if (!joins_places(sign) && !(sign == "=" && before.find('.') != std::string_view::npos)) return {};
    return route_help(before, word_at(next), {}, {text_, offset(end_)});
}

void SyntaxReader::tell_decimal_comma(const char* from, const char* to) {
    const std::string written(from, to);
    std::string list = written;
    std::replace(list.begin(), list.end(), ',', ' ');
    std::string help = "the decimal sign is a point, and a list is written with blanks: " + list;
    if (std::count(written.begin(), written.end(), ',') == 1 && written.find('.') == std::string::npos) {
        std::string decimal = written;
        std::replace(decimal.begin(), decimal.end(), ',', '.');
        help =
            fmt::format("the decimal sign is a point: {}; a list is written with blanks: {}", decimal, list);
    }
    tell({"decimal-comma", span(from, to), "a comma stands between digits", "", {}, std::move(help)});
}

void SyntaxReader::tell_open_block(const Frame& frame, const char* at) {
    const std::uint32_t element = frames_[depth_ - 1].element;
    const std::string of = description(element);
    const char* opening = text_ + nodes_[frame.node].begin;
    std::string help = "a '}' is missing before the end of the file";
    if (*at == ')') help = "a '}' is missing before the ')'";
    if (*at == '\n') {
        const char* next = at;
        while (is(*next, byte_class::blank) || *next == '\n' || *next == '#') {
            if (*next == '#')
                while (*next != '\n') ++next;
            ++next;
        }
        help = fmt::format("a '}}' is missing before line {}, where '{}' begins a new statement",
                           line_of(next), description(next));
    }
    damage();
    tell_loose({"open-brace",
                span(opening, opening + 1),
                of.empty() ? "this block is not closed" : fmt::format("the block of {} is not closed", of),
                "",
                {},
                std::move(help)});
}

void SyntaxReader::tell_open_wire() {
    damage();
    const Frame& frame = top();
    if (frame.doubtful) return;
    const char* opening = text_ + nodes_[frame.node].begin;
    const char* last = text_ + top().element_end;
    const std::uint32_t name = frame.node + 2;
    std::string message = "this wire is not closed";
    if (name < nodes_.size() && nodes_[name].kind == NodeKind::word)
        message = fmt::format("wire {} is not closed", slice(nodes_[name].begin, nodes_[name].end));
    tell_loose({"open-wire",
                span(last, last + 1),
                std::move(message),
                "",
                {{span(opening, opening + 1), "it begins here"}},
                "a ')' is missing here; a wire reads (W1 16 mm2, 0.2 m, red)"});
}

// What follows can be read if it is a statement, and is nothing in itself if it is not.
void SyntaxReader::tell_run_on(const char* at) {
    const std::size_t length = std::max<std::size_t>(word_at(at).size(), 1);
    Diagnostic mistake{"run-on",
                       span(at, at + length),
                       "a line break is missing here",
                       "",
                       {},
                       "each statement begins on a line of its own"};
    if (top().kind == FrameKind::block) {
        mistake.message = "a comma or a line break is missing here";
        mistake.help = "attributes are separated by commas or line breaks";
    } else if (top().kind == FrameKind::wire) {
        mistake.message = "a comma is missing here";
        mistake.help = "what a wire has is separated by commas";
    }
    if (top().kind <= FrameKind::statements && begins_statement(at)) {
        tell_loose(std::move(mistake));
    } else {
        tell(std::move(mistake));
    }
}

// A '}' between statements. If it stands at the left edge and the lines above it are indented, one too many
// stood among them, or the '{' before them was forgotten: then they are not what they look like, and are not
// judged.
void SyntaxReader::extra_brace(const char* at) {
    std::string help = "every block before it is already closed";
    const bool at_edge = at == begin_ || at[-1] == '\n';
    if (at_edge && left_most_ != none && nodes_[left_most_].next < nodes_.size()) {
        const SyntaxNode opener = nodes_[left_most_];
        bool has_block = false;
        for (std::uint32_t i = left_most_ + 1; i < opener.next; i = nodes_[i].next)
            has_block = has_block || nodes_[i].kind == NodeKind::block;
        damaged_ = true;
        for (std::uint32_t i = left_most_; i < nodes_.size(); i = nodes_[i].next) nodes_[i].damaged = true;
        if (!has_block) {
            help = fmt::format("a '{{' is missing behind '{}' on line {}", description(left_most_),
                               line_of(text_ + opener.begin));
            while (!mistakes_.empty() && mistakes_.back().id == "stray" &&
                   mistakes_.back().where.file == file_ && mistakes_.back().where.begin > opener.begin)
                mistakes_.pop_back();
        }
        left_most_ = none;
    }
    tell_loose({"stray-brace", span(at, at + 1), "this '}' closes nothing", "", {}, std::move(help)});
}

}  // namespace loomward
