// A text that is changed place by place: what is not touched keeps every byte, its comments with it. Places
// are named, not counted, so that changes can be made one after the other. No physics here.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "parser/language/quantity.hpp"
#include "parser/syntax/syntax.hpp"
#include "parser/text/source.hpp"

namespace loomward {

// Paths of the terminals that a wire leaves and reaches, as the route walks.
struct WireEnds {
    std::string from, to;
};
using EndsOfWire = std::function<std::optional<WireEnds>(std::string_view wire)>;

// Every change gives back whether the text has its place: what an assembly or another file says cannot be
// changed here, and then nothing is.
class EditedText {
  public:
    // `text` has no mistakes.
    explicit EditedText(std::string text);
    const std::string& text() const { return text_; }

    // What a part says in its own block: "carries 25 A"; a nameless value is told by its dimension. nullopt:
    // nothing there (a type may say it).
    std::optional<std::string> attribute(std::string_view part, std::string_view name) const;
    std::optional<std::string> nameless(std::string_view part, Dimension dimension) const;
    // Puts an attribute in place of the one there, or behind the last.
    bool set_attribute(std::string_view part, std::string_view name, std::string_view attribute);
    bool set_nameless(std::string_view part, Dimension dimension, std::string_view value);
    // The type that a part is fitted from.
    bool set_type(std::string_view part, std::string_view type);

    // Size (area) or length of a wire; of a core the size of its cable.
    bool set_wire(std::string_view wire, Dimension dimension, std::string_view value);
    // Takes a wire out; what the route named before and after it goes on as routes of their own.
    bool take_out(std::string_view wire, const EndsOfWire& ends);
    // Puts a part with two terminals between a wire and where it begins, or ends, with no wire between.
    bool put_in(std::string_view wire, bool at_its_beginning, std::string_view part);
    // Lets a wire begin, or end, at another terminal.
    bool land(std::string_view wire, bool its_beginning, std::string_view terminal, const EndsOfWire& ends);
    // Exchanges two terminals wherever routes name them.
    bool exchange(std::string_view one, std::string_view other);

    // A statement on a line of its own, before the first mode.
    void add_statement(std::string_view statement);
    void add_at_end(std::string_view statement);
    // A line in a mode, in place of one that says how much of the same ("U1 draws 38 A"); `first` puts it
    // behind `like`, where `after` stands.
    bool add_to_mode(std::string_view mode, std::string_view line, bool first = false);

  private:
    struct Place {
        std::uint32_t begin = 0, end = 0;
    };
    void read();
    void replace(Place place, std::string_view with);
    std::string_view at(Place place) const;
    std::vector<std::uint32_t> children(std::uint32_t node) const;
    Place extent(std::uint32_t element) const;  // of an element, from its first value to its last
    std::optional<std::uint32_t> statement_of(std::string_view name, bool mode) const;
    std::string_view word_of(std::string_view part) const;  // that its statement begins with; empty: none
    std::optional<std::uint32_t> block_of(std::uint32_t statement) const;
    std::optional<std::uint32_t> element_named(std::uint32_t block, std::string_view name) const;
    std::optional<Place> value_of(std::uint32_t parent, Dimension dimension) const;
    void append(std::uint32_t statement, std::string_view attribute);
    // Of a route: its places and wires, and which of them the wire is.
    struct OnRoute {
        std::uint32_t route = 0;
        std::vector<std::uint32_t> stops;
        std::size_t at = 0;
    };
    std::optional<OnRoute> wire_on(std::string_view wire) const;
    std::string_view wire_name(std::uint32_t node) const;
    std::string stop_text(const OnRoute& on, std::size_t stop, bool leaves, const EndsOfWire& ends) const;

    std::string text_;
    Sources sources_;
    SyntaxTree tree_;
};

}  // namespace loomward
