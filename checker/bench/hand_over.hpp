// What the customer keeps with the machine: how to switch it off, what stays live then, which fuse goes
// where.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

struct SwitchOffOrder {
    PartId part;
    std::string order;  // "Strike S2 (emergency stop)."
    std::string then;   // "U1, K1 lose their supply. D1, E4 keep theirs."
    bool in_danger = false;
};

struct LidFuse {
    std::string way;  // of its block; empty elsewhere
    std::string name, label, type;
    std::string amps, volts, breaks;  // "not known" where the file does not say; all empty: an empty way
};
struct LidTable {
    std::string title;  // "X3 48 V branches"; "Elsewhere"
    bool block = false;
    std::vector<LidFuse> rows;
};

struct HandOver {
    std::vector<std::string> refused;  // errors that stand and are not accepted; empty: it may be handed over
    std::vector<std::string> accepted;   // "overloaded-wire on W3: the reason"
    std::vector<SwitchOffOrder> orders;  // in this order, one after the other
    std::vector<std::string>
        stays_live;                     // with all of that done: parts and wires that a source still reaches
    std::vector<std::string> cautions;  // "while G1 is plugged in, S6 does not make D1 dead"
    std::vector<LidTable> lids;
    std::vector<std::pair<std::string, std::string>> about;  // "Supply", "B1 traction pack: 39 to 54.6 V"
};

HandOver hand_over(const Results& results);

// How the machine is switched off, from the mode in which most runs; the same whether errors stand or not.
std::vector<SwitchOffOrder> switching_off(const Results& results);

// What to open, in this order, before somebody works on what the packs feed, and what a pole of a pack then
// still reaches. Strikes in danger are no part of it, unless nothing else switches off. Whether errors stand
// or not. Empty without a pack or without modes.
struct MadeDead {
    std::vector<SwitchOffOrder> orders;
    std::vector<std::string> stays_live;  // names of parts, then of wires
    std::vector<std::string> cautions;
};
MadeDead made_dead(const Results& results);

// What uses power on the wires that a fuse or breaker guards, in the order of its zones.
std::vector<PartId> users_behind(const Results& results, PartId device);

}  // namespace loomward
