// Writes the parts of a power-up sheet one after the other. Used by power_up*.cpp alone.
#pragma once
#include <string>
#include <vector>

#include "checker/bench/power_up.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/runs.hpp"
#include "checker/switching/transients.hpp"

namespace loomward {

inline constexpr double seen_A = 1e-4;  // more than what no meter shows
inline constexpr double live_V = 1;     // less counts as dead

class PowerUpWriter {
  public:
    PowerUpWriter(const Results& results, PowerUpSheet& sheet);

    void write_dead_parts();  // everything off; through and open; contacts of plugs
    void write_live_parts();  // pack on; mode by mode; stops
    void write_load_parts();  // first load; warm places; charging

  private:
    // ---- what all parts need
    const Part& part(PartId id) const { return harness_.part(id); }
    bool is(PartId id, Kind kind) const { return id && part(id).kind == kind; }
    std::string name(NodeId node) const { return terminal_name(probe_at_[node.index()]); }
    std::string terminal_name(TerminalId id) const { return std::string(harness_.terminal(id).path); }
    std::string label_of(PartId id) const;  // "F1 main fuse"
    std::string names(const std::vector<PartId>& parts, std::size_t most = 12) const;
    std::vector<PartId> parts_of(std::initializer_list<Kind> kinds) const;
    std::size_t add_state(BenchState state);
    BenchPart& begin(std::string title);
    BenchStep& add(BenchStep step);  // numbers it
    // A step between two points; works out what to expect.
    BenchStep measured(MeterKind meter, std::size_t state, NodeId red, NodeId black) const;
    void expect(BenchStep& step, double least_share = 0, double most_share = 1) const;

    // ---- dead
    BenchState apart() const;
    void write_all_off();
    void write_through(bool of_plugs);
    void write_contacts_across();
    void write_resistances();
    void write_between_nets();
    void write_between_contacts();
    void write_frames();
    std::string torque_text(std::vector<std::string>& without) const;

    // ---- live
    struct Action {
        PartId part;
        double rank_m = 0;
        bool by_coil = false;
    };
    void write_pack_on();
    void write_mode(ModeId mode);
    void write_stops();
    std::vector<Action> actions_towards(const Mode& target, const std::vector<bool>& carries) const;
    void take_action(const Mode& target, const Action& action);
    void write_users(std::size_t state, ModeId mode, bool outputs_only = false);
    void write_clamps(std::size_t state, const std::string& title);
    void add_precharge_text(BenchStep& step, ModeId mode) const;
    NodeId far_end(const Edge& edge) const;
    void rank_from_packs();
    void find_probes();
    bool is_charging(const Mode& mode) const;
    bool is_silent(ModeId mode) const;
    EdgeId lead_of_pack(PartId pack) const;
    std::string clamp_text(const BenchStep& step, const Wire& wire) const;
    std::vector<PartId> dependents_of(const BenchState& state) const;

    // ---- load
    struct LoadWay {
        EdgeId user;
        double current_A = 0;
        std::vector<EdgeId> out, back;  // from the plus, from the user's minus
        NodeId start;
    };
    std::vector<LoadWay> load_ways() const;
    double test_current_A(const std::vector<LoadWay>& ways) const;
    void write_first_load(const std::vector<LoadWay>& ways);
    void write_ride();
    void write_charging();

    const Results& results_;
    const Circuit& circuit_;
    const Harness& harness_;
    Facts facts_;
    Runs runs_;
    ExpectedReadings expected_;
    PowerUpSheet& sheet_;
    Transients transients_;
    std::vector<TerminalId> probe_at_;  // by NodeId: where a probe goes on best
    std::vector<double> rank_m_;  // by NodeId: metres of wire from a pack, a converter counts as a thousand
    BenchState now_;              // of the live steps
    std::vector<std::string> measured_users_;  // by EdgeId: what was expected last; empty: never measured
    Mode liveliest_;                           // of the modes written
    bool any_mode_ = false;
};

// "0.12 ohm", "U0 - 0.2 to U0 V": as the sheet prints what it expects.
std::string expected_text(const BenchStep& step, const ReadingRange& at_empty, const ReadingRange& at_full,
                          double empty_V, double full_V);
std::string resistance_text(double least_ohm, double most_ohm);
// "2.3 to 7.2 mV"; from nothing where the least is below `nothing`.
std::string span_text(double least, double most, Dimension dimension, double nothing = 0);

}  // namespace loomward
