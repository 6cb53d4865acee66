// Values that the file leaves open: said to be unknown, or estimated ("about"). Each with what it keeps from
// being judged and how one finds it out.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// The gravest finding that a value can hide.
enum class Hides : std::uint8_t { error, warning, note };

// How far a value reaches beyond the part or wire that it is of.
struct Reach {
    bool currents = false;  // every current and voltage: what draws pulls on every supply
    bool guards = false;    // the rules of guards that it judges, for every wire that a current can reach
    bool everywhere = false;
    bool any_rule = false;      // nobody said which rules it judges
    bool forbids_only = false;  // unknown, it forbids nothing: what is told without it holds whatever it is
};

struct OpenValue {
    std::string subject;  // path: "F1", "W7", the name of a location or bundle; empty: the harness, a policy
    std::string of;       // "fuse F1", "wire W7", "location hold", "the harness"
    std::string name;     // of the attribute, without brackets: "breaks"
    std::string meaning;  // "breaking capacity; ..."
    std::string written;  // "about 28 mohm"; empty where it is unknown
    bool unknown = false;
    PartId part;  // whichever it is of; all invalid: harness, location, bundle, policy
    WireId wire;
    ModeId mode;
    bool is_time = false;  // of a level of the mode: how long it lasts
    Attr attribute{};
    Span where;
    Hides hides = Hides::error;
    std::string_view judges;  // what cannot be judged without it: names of rules, or words
    std::string_view find_out;
    Reach reach;
    std::vector<std::string> wires;  // of a bundle or stretch: the names of its wires
};

// Where an open value of a wire stands in it; nullptr: in none of its fields.
Quantity* field_of(Wire& wire, Attr attribute);
const Quantity* field_of(const Wire& wire, Attr attribute);

// Whether `judges` names the rule.
bool judges_rule(const OpenValue& value, std::string_view rule);

// Whether it is the ambient of the harness, where no mode has its own.
bool is_ambient_of_all(const OpenValue& value);

// By place in the source. Of a part type that many parts are fitted from: once for each part.
std::vector<OpenValue> open_values(const Harness& harness);

}  // namespace loomward
