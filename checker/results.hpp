// Everything a check found out, as values for the renderers.
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/protection/protection_zones.hpp"
#include "checker/rules/finding.hpp"
#include "checker/solver/network.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

// What makes the numbers of a mode worthless: a part that cannot be in the state the mode gives it, by the
// solved voltages; or a source whose poles the mode joins (found on the graph, before anything is solved).
struct Contradiction {
    PartId part;
    double voltage_V = 0;  // across its coil, or at its supply
    enum class Kind : std::uint8_t {
        coil_dead,
        coil_live,
        no_supply,     // a controller said to draw: it draws nothing, and the rest is as it is
        dead_short,    // of a pack: nothing is solved
        output_short,  // of what limits its own current: the rest is as it is
    } kind{};
    bool voids_the_mode() const { return kind != Kind::no_supply && kind != Kind::output_short; }
};

// One moment of a mode at a corner: every profile of the mode at the levels of one interval.
struct OperatingPoint {
    ModeId mode;
    Corner corner{};
    double from_s = 0;      // start of the interval within the mode's profiles
    double duration_s = 0;  // infinity: it stays
    bool repeats = false;   // the mode's profiles start again after its last interval
    SolveStatus status{};
    std::vector<double> node_V;                 // by NodeId; empty where not solved
    std::vector<double> edge_A;                 // by EdgeId, from -> to; 0 for open ones
    double worst_residual_A = 0;                // largest Kirchhoff sum
    std::vector<EdgeId> collapsed;              // loads the sources cannot feed, what asks for most first
    std::vector<double> held_share;             // of what each of them asks for: what it is held at
    std::vector<EdgeId> unabsorbed;             // what returns current that nothing takes: the bus rises
    double feedable_fraction = 1;               // of all loads, where some collapsed
    std::vector<Contradiction> contradictions;  // by PartId

    // Whether its numbers may be used to judge anything. Where loads cannot be fed, they are held at what they
    // can get: the currents are right, the voltages on their supply are the least at which it holds.
    bool usable() const {
        if (status == SolveStatus::not_converged || node_V.empty()) return false;
        for (const Contradiction& what : contradictions)
            if (what.voids_the_mode()) return false;
        return true;
    }
};

// What a wire carries against what it may carry, at its worst.
struct WireLoading {
    double current_A =
        0;  // equivalent continuous current of the worst mode (heat-equivalent over its profile)
    double peak_A = 0;
    double limit_A = 0;  // 0: not known
    ModeId mode;
    Corner corner = Corner::run_hot;
    Surroundings surroundings;  // that the limit was worked out for
    Surroundings standing;      // in which it may carry least in any mode, its own current aside
    std::vector<PartId>
        guards;  // protective devices on every way from a source (plain reachability); source order
    bool unguarded = false;  // some source reaches it with no device on the way
    bool electronic_only = false;
    // Direction of the worst current: +1 as the route walks, -1 against it, 0 none flows in any mode.
    int direction = 0;
};

// A default or estimate that was used, with all who used it.
struct Assumption {
    std::string what;                  // "resistance of a switch contact"
    std::string value;                 // "1 mohm"
    std::string source;                // "no source"
    std::vector<std::string> used_by;  // paths, source order
};

struct RuleInfo {
    std::string_view name;       // "overloaded-wire"
    std::string_view looks_for;  // one sentence
    std::string_view formula;
    std::string_view source;
    std::string_view limits;   // where it does not hold, what it leaves out
    std::string_view example;  // a change to the example harness (rule_example.hpp) that triggers it ...
    std::string_view
        instead_of;  // ... and what stands in the harness that passes; both empty: cannot be shown
};

struct Results {
    std::shared_ptr<const Harness> harness;
    Circuit circuit;
    std::vector<OperatingPoint> points;    // by mode, corner, interval
    std::vector<WireLoading> wires;        // by WireId
    std::vector<ProtectionZone> zones;     // of all wires, by kind of guard
    std::vector<Finding> findings;         // by place in the source, then rule
    std::vector<Assumption> assumptions;   // by what, then value
    std::size_t unknown_values = 0;        // values said to be unknown
    std::vector<std::string> not_checked;  // what this program does not look at yet, for the verdict

    std::size_t count(Severity severity) const;  // not accepted, copies counted once
};

class FaultStudy;

struct CheckOptions {
    std::string_view only_mode;  // empty: every mode
    // Called with all that was found and the study of short circuits behind it, which ends with the check.
    std::function<void(const Results&, const FaultStudy&)> with_faults = {};
};

// Builds the circuit, solves every mode, runs every rule.
Results check(std::shared_ptr<const Harness> harness, const CheckOptions& options = {});

// Every rule there is, by name.
std::vector<RuleInfo> rule_list();

}  // namespace loomward
