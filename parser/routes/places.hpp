// Places of a route: "B1.+", "F1", "K2.com>no", "J1.3", "T1.tail". Internal to parser/.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "parser/names/reading.hpp"

namespace loomward {

// Where a route stops: it arrives at one terminal and goes on from another (the same one where it lands).
struct Stop {
    TerminalId enter;
    TerminalId leave;
    std::string_view text;
    Span where;
    bool ok = false;  // false: something was said, or is not known because of an earlier mistake
};

enum class StopAt : std::uint8_t { end, middle };

Stop resolve_stop(Reading& reading, const Scope& scope, const Token& word, StopAt where);

// A way through a part, from terminal to terminal.
struct Way {
    TerminalId from;
    TerminalId to;
    bool usual = false;  // written with the part's name alone
};
// Every way that a route may take through a part; `backward` too where asked.
std::vector<Way> ways_through(const Reading& reading, const Scope& scope, PartId part, bool backward);

// The terminal that an attribute of the part means (of a connector: in its first half): by what is printed on
// it, as everywhere else, or by the table's own name, which a part type may have used before it was printed
// on.
TerminalId terminal_meant(const Scope& scope, const Part& part, std::string_view name);

// The terminal of that name of a part (of its mate half, where `mate`), or an invalid id.
TerminalId terminal_named(const Scope& scope, PartId part, std::string_view name, bool mate);

// "B1.+, B1.-": the terminals of a part (of one half of a connector), shortened if there are many.
std::string terminal_list(const Scope& scope, PartId part, bool mate);

// The port of an assembly statement: "in+", or "17.in+" of one copy. Invalid if there is none such.
TerminalId port_named(const Scope& scope, const Instance& instance, std::string_view name);
std::string port_list(const Scope& scope, const Instance& instance);

}  // namespace loomward
