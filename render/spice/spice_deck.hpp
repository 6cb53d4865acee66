// The network of an operating point as a deck for a general circuit simulator (SPICE 3 with B sources).
//
// Nodes are n0, n1, ...; a comment says which terminals each one is. Every law is written as the piece of it
// on which the solution lies: a load above its knee as its current or its power over its voltage, a source
// within its limit as a voltage with a resistance, one at its limit as a current, a diode that blocks as
// open. So the deck is for this operating point and those near it. Each island with a source is tied to
// ground at one node by a voltage source that carries nothing; islands without one are left out (0 V, 0 A).
// What is expected stands there as comments; a start from there would cost the simulator digits.
#pragma once
#include <string>
#include <vector>

#include "checker/currents/operating_point.hpp"

namespace loomward {

struct SpiceDeck {
    std::vector<std::string> lines;    // title first, ".end" last
    std::vector<std::uint32_t> nodes;  // those that are in it, rising
};

SpiceDeck spice_deck(const Circuit& circuit, const SolvedNetwork& solved, const std::string& title);
// The deck as one text, its lines ended.
std::string spice_text(const SpiceDeck& deck);
std::string spice_node(std::uint32_t node);  // "n12"

// For comments: one line, printable; the terminals of a node, the first of many; a wire or part by its name.
std::string printable_line(std::string_view text);
std::string spice_terminals(const Circuit& circuit, std::uint32_t node);
std::string spice_name(const Circuit& circuit, const Edge& edge);

}  // namespace loomward
