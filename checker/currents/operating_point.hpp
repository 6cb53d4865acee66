// The operating points of a harness: every mode, at the corners where it runs, in every interval of its
// profiles.
#pragma once
#include <memory>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/intervals.hpp"
#include "checker/parts/corner.hpp"
#include "checker/parts/facts.hpp"
#include "checker/solver/network.hpp"

namespace loomward {

// What makes the numbers of a mode worthless: a part that cannot be in the state the mode gives it, by the
// solved voltages; or a source whose poles the mode joins (found on the graph, before anything is solved).
struct Contradiction {
    PartId part;
    double voltage_V = 0;  // across its coil, or at its supply
    enum class Kind : std::uint8_t {
        coil_dead,
        coil_live,
        no_supply,   // a controller said to draw, a load said to be on or to draw: it draws nothing, and the
                     // rest is as it is
        dead_short,  // of a pack: nothing is solved
        output_short,  // of what limits its own current: the rest is as it is
    } kind{};
    bool accepted = false;  // by the file, of a coil: then the mode is judged as it is stated
    bool voids_the_mode() const { return !accepted && kind != Kind::no_supply && kind != Kind::output_short; }
};

// One moment of a mode at a corner: every profile of the mode at the levels of one interval.
struct OperatingPoint {
    ModeId mode;
    Corner corner{};
    double from_s = 0;      // start of the interval within the mode's profiles
    double duration_s = 0;  // infinity: it stays
    bool repeats = false;   // the mode's profiles start again after its last interval
    bool again =
        false;  // every profile stands at the levels of an earlier point of its course: so do its numbers
    SolveStatus status{};
    std::vector<double> node_V;                 // by NodeId; empty where not solved
    std::vector<double> edge_A;                 // by EdgeId, from -> to; 0 for open ones
    double worst_residual_A = 0;                // largest Kirchhoff sum
    std::vector<EdgeId> collapsed;              // loads the sources cannot feed, what asks for most first
    std::vector<double> held_share;             // of what each of them asks for: what it is held at
    std::vector<EdgeId> unabsorbed;             // what returns current that nothing takes: the bus rises
    std::shared_ptr<const Network> asked;       // where some collapsed: what they ask for, all of it
    std::vector<Contradiction> contradictions;  // by PartId

    // Whether its numbers may be used to judge anything. Where loads cannot be fed, they are held at what
    // they can get: the currents are right, the voltages on their supply are the least at which it holds.
    bool usable() const {
        if (status == SolveStatus::not_converged || node_V.empty()) return false;
        for (const Contradiction& what : contradictions)
            if (what.voids_the_mode()) return false;
        return true;
    }
};

// One state of the harness, in the first interval of its profiles. `as`: the mode that the point is said to
// stand in, and whose weather counts; may be invalid. Coils do not contradict it.
OperatingPoint solve_state(const Circuit& circuit, const Facts& facts, Corner corner, const Mode& state,
                           ModeId as);

// The network that an operating point is the solution of: conductors as warm as their current makes them,
// settings that hold a controller, loads that cannot be fed held at what they get.
struct SolvedNetwork {
    OperatingPoint point;
    Network network;  // empty where nothing could be solved
    std::vector<EdgeId> edge_of_branch;
    NetworkSolution solution;  // of just that network
};
// One interval of a mode at one corner, as solve_modes solves it.
SolvedNetwork solved_network(const Circuit& circuit, const Facts& facts, Corner corner, ModeId mode,
                             const Interval& interval);

// Solves run_hot and run_full of every mode (or of the one named). Sorted by mode, corner, interval.
std::vector<OperatingPoint> solve_modes(const Circuit& circuit, const Facts& facts,
                                        std::string_view only_mode);

}  // namespace loomward
