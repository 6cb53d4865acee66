#include "render/html/html.hpp"

#include <array>

#include "render/text/characters.hpp"

namespace loomward {
namespace {

void add_escaped(std::string& out, char c) {
    switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\'':
            out += "&#39;";
            break;
        default:
            out += c;
    }
}

bool plain(std::string_view text) {
    for (const char c : text)
        if (static_cast<unsigned char>(c) >= 0x7F || static_cast<unsigned char>(c) < 0x20) return false;
    return true;
}

bool of_a_word(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

struct PaperUnit {
    std::string_view typed, printed;
};
constexpr std::array paper_units = {
    PaperUnit{"mm2", "mm²"},   PaperUnit{"degC", "°C"}, PaperUnit{"ohm", "Ω"},   PaperUnit{"mohm", "mΩ"},
    PaperUnit{"kohm", "kΩ"},   PaperUnit{"Mohm", "MΩ"}, PaperUnit{"uohm", "µΩ"}, PaperUnit{"A2s", "A²s"},
    PaperUnit{"kA2s", "kA²s"}, PaperUnit{"cm2", "cm²"}, PaperUnit{"us", "µs"},   PaperUnit{"uA", "µA"},
    PaperUnit{"uV", "µV"},     PaperUnit{"uF", "µF"}};

}  // namespace

std::string Html::escaped(std::string_view text) {
    std::string out;
    out.reserve(text.size() + text.size() / 16);
    if (plain(text)) {
        for (const char c : text) add_escaped(out, c);
        return out;
    }
    for (const ShownCharacter& character : shown_characters(text))
        for (const char c : character.tab ? std::string(" ") : character.bytes) add_escaped(out, c);
    return out;
}

Html Html::trusted(std::string markup) {
    Html html;
    html.markup_ = std::move(markup);
    return html;
}

Html empty_tag(std::string_view name, HtmlAttributes attributes) {
    std::string out = "<";
    out += name;
    for (const auto& [key, value] : attributes) {
        if (key.empty()) continue;
        out += ' ';
        out += key;
        out += "=\"" + Html(value).markup() + '"';
    }
    out += '>';
    return Html::trusted(std::move(out));
}

Html tag(std::string_view name, HtmlAttributes attributes, const Html& content) {
    std::string out = empty_tag(name, attributes).markup();
    out.reserve(out.size() + content.markup().size() + name.size() + 3);
    out += content.markup();
    out += "</";
    out += name;
    out += '>';
    return Html::trusted(std::move(out));
}

Html tag(std::string_view name, const Html& content) {
    return tag(name, {}, content);
}

std::string on_paper(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && of_a_word(text[end])) ++end;
        if (end == at) {
            // "5..40" of a range.
            const bool digits = at > 0 && is_digit(text[at - 1]) && at + 2 < text.size() &&
                                (is_digit(text[at + 2]) || text[at + 2] == '-');
            if (digits && text.substr(at, 2) == "..") {
                out += " to ";
                at += 2;
            } else {
                out += text[at++];
            }
            continue;
        }
        const std::string_view word = text.substr(at, end - at);
        std::string_view printed = word;
        // A unit follows its number: names of a file stay as they are.
        const bool after_a_number =
            at >= 2 && text[at - 1] == ' ' && text[at - 2] >= '0' && text[at - 2] <= '9';
        for (const PaperUnit& unit : paper_units)
            if (after_a_number && word == unit.typed) {
                printed = unit.printed;
                out.replace(out.size() - 1, 1, "\u00A0");  // a figure keeps its unit on its line
            }
        out += printed;
        at = end;
    }
    return out;
}

std::string html_anchor(char kind, std::string_view name) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string out{kind, '-'};
    for (const char c : name) {
        const auto byte = static_cast<unsigned char>(c);
        if (of_a_word(c) && c != '_') {
            out += c;
        } else {
            out += '_';
            out += digits[byte >> 4];
            out += digits[byte & 15];
        }
    }
    return out;
}

}  // namespace loomward
