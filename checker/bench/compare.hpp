// Two revisions of a harness: what changed in them and what changes by it.
#pragma once
#include <string>
#include <vector>

#include "checker/bench/power_up.hpp"

namespace loomward {

struct ThingChange {
    enum class What : std::uint8_t { added, removed, changed } what{};
    std::string name;                  // "W3", "F1"
    std::string kind;                  // "wire", "fuse"
    std::vector<std::string> details;  // "size 2.5 mm2, was 16 mm2"
};
struct FindingChange {
    enum class What : std::uint8_t { gained, cleared, graver, milder } what{};
    std::string rule, subject, message, mode;
    Severity severity{};  // of the new one; of a cleared one what it was
};
// What a wire carries of what it may carry, where it moved by 5 % or more of what it may.
struct MarginChange {
    std::string wire;
    double old_A = 0, old_limit_A = 0, new_A = 0, new_limit_A = 0;
};
struct ReadingChange {
    std::string red, black, about, was, is;  // `was` or `is` empty: there is no such reading there
};

struct Comparison {
    std::vector<ThingChange> things;      // parts in their order, then wires
    std::vector<FindingChange> findings;  // gained first, gravest first
    std::vector<MarginChange> margins;    // the largest new share first
    std::vector<ReadingChange> readings;  // of the sheet for the first power-up, by step
    bool any() const { return !things.empty() || !findings.empty() || !margins.empty() || !readings.empty(); }
};

Comparison compare(const Results& old_results, const Results& new_results);

}  // namespace loomward
