#include "parser/language/terminal_roles.hpp"

#include <algorithm>
#include <array>

namespace loomward {
namespace {

// In the order of the roles and of the purposes.
constexpr auto terminal_words = std::to_array<std::string_view>(
    {"",   "+",  "-",  "t", "B-", "P-", "C-", "B+", "P+", "C+", "in",  "out", "com",  "no",
     "nc", "A1", "A2", "A", "K",  "U",  "V",  "W",  "M+", "M-", "in+", "in-", "out+", "out-"});
constexpr auto relay_poles = std::to_array<std::string_view>({"no", "nc", "change-over"});
constexpr auto pin_words =
    std::to_array<std::string_view>({"signal", "return", "supply", "output", "low-side", "high-side"});

static_assert(terminal_words[static_cast<std::size_t>(TerminalRole::out_minus)] == "out-" &&
              terminal_words.size() == static_cast<std::size_t>(TerminalRole::out_minus) + 1);
static_assert(pin_words[static_cast<std::size_t>(PinPurpose::high_side)] == "high-side");

}  // namespace

std::string_view terminal_word(TerminalRole role) {
    return terminal_words[static_cast<std::size_t>(role)];
}

bool is_motor_lead_word(std::string_view word) {
    const auto first = terminal_words.begin() + static_cast<int>(TerminalRole::u);
    const auto last = terminal_words.begin() + static_cast<int>(TerminalRole::motor_minus);
    return std::find(first, last + 1, word) != last + 1;
}

std::optional<RelayPole> find_relay_pole(std::string_view word) {
    for (std::size_t i = 0; i < relay_poles.size(); ++i)
        if (relay_poles[i] == word) return static_cast<RelayPole>(i);
    return std::nullopt;
}

std::string_view pin_word(PinPurpose purpose) {
    return pin_words[static_cast<std::size_t>(purpose)];
}

std::optional<PinPurpose> find_pin_purpose(std::string_view word) {
    for (std::size_t i = 0; i < pin_words.size(); ++i)
        if (pin_words[i] == word) return static_cast<PinPurpose>(i);
    return std::nullopt;
}

}  // namespace loomward
