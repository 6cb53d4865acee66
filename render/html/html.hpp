// Markup as a type of its own: whatever is text becomes markup by being escaped, and there is no other way.
// What a stranger's file holds can so not become an element, an attribute or a script.
#pragma once
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>

namespace loomward {

class Html {
  public:
    Html() = default;
    // Escaped for element text and attribute values alike; control characters, marks that turn the reading
    // direction and bytes that are no UTF-8 show as U+FFFD.
    Html(std::string_view text) : markup_(escaped(text)) {}    // NOLINT: meant to convert
    Html(const std::string& text) : markup_(escaped(text)) {}  // NOLINT
    Html(const char* text) : markup_(escaped(text)) {}         // NOLINT
    // Markup of the program's own: never with anything in it that comes from a file.
    static Html trusted(std::string markup);

    Html& operator+=(const Html& more) {
        markup_ += more.markup_;
        return *this;
    }
    friend Html operator+(Html a, const Html& b) { return std::move(a += b); }
    const std::string& markup() const { return markup_; }
    bool empty() const { return markup_.empty(); }
    void reserve(std::size_t bytes) { markup_.reserve(bytes); }

  private:
    static std::string escaped(std::string_view text);
    std::string markup_;
};

using HtmlAttribute = std::pair<std::string_view, std::string_view>;  // value as text: it is escaped here
using HtmlAttributes = std::initializer_list<HtmlAttribute>;

// <name attributes>content</name>. An attribute with an empty name is left out; so `{on ? "hidden" : "",
// ""}`. Name and attribute names are the program's own.
Html tag(std::string_view name, HtmlAttributes attributes, const Html& content);
Html tag(std::string_view name, const Html& content);
// Of elements that have no content: <br>, <input ...>.
Html empty_tag(std::string_view name, HtmlAttributes attributes = {});

// Text for reading on paper: "5..40" as "5 to 40", "mm2" as mm², "degC" as °C, "ohm" with its sign, "A2s" as
// A²s, each only where it stands alone as a unit; such a unit stays on the line of its number.
std::string on_paper(std::string_view text);

// An id that no two names share: letters, digits and '-' as they are, anything else as "_hh" for each byte.
// `kind` stands before it: 'w' of "w-W3".
std::string html_anchor(char kind, std::string_view name);

}  // namespace loomward
