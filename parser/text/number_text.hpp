// Numbers as they are written: "12", "0.5", "-5", "10..16", "2/0", and a unit that is glued on.
#pragma once
#include <optional>
#include <string_view>

namespace loomward {

struct NumberText {
    double lo = 0;
    double hi = 0;  // equal to lo unless it is a range
    bool range = false;
    bool whole = true;      // no decimal point anywhere
    bool gauge_lo = false;  // written 1/0 ... 4/0: the number is 0, -1, -2, -3
    bool gauge_hi = false;
    std::string_view first;  // the text of each end, for messages
    std::string_view second;
    std::string_view unit;  // what follows without a blank; may be empty
};

// nullopt where the text does not begin with a number of the language or goes on with a sign that no unit
// has.
std::optional<NumberText> read_number(std::string_view text);
// "12", and nothing else but digits; at most nine of them.
std::optional<int> read_count(std::string_view text);

}  // namespace loomward
