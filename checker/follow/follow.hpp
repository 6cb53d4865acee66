// What every contact, driver and consumer of a circuit does in a mode when contacts follow their coils:
// nothing is solved, voltages are those of the sources along the way. From how the mode has everything that a
// hand works, coils, enables and driver pins are settled round by round until nothing changes.
//
// What conducts both ways makes nets; sources give nets a voltage, diodes hand it on one way round. A coil
// counts as fed from 0.6 of its rated voltage on (no source; between the 0.3 and 0.85 that rule
// mode-contradicts asks). Resistors feed nothing but the coil beside them that has five times their
// resistance (no source), and charge or bleed a drive.
#pragma once
#include <cstdint>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// What differs from the circuit as drawn.
struct CircuitChange {
    struct Forced {
        EdgeId edge;
        bool conducts = false;
    };
    std::vector<Forced> forced;                     // whatever its state would be
    std::vector<std::pair<NodeId, NodeId>> joined;  // touch without resistance
    std::vector<PartId> dead;                       // converters and devices that give nothing
    std::vector<PartId> running;                    // controllers that run though nobody asks for it
};
CircuitChange operator+(CircuitChange a, const CircuitChange& b);

// Rising: each is nearer to moving than the one before.
enum class DriveState : std::uint8_t {
    dead,     // no supply
    bled,     // no supply, and a resistor across it
    charged,  // its supply through a resistor alone
    live,     // supply, but no key or enable
    ready,    // would run if asked
    runs,
};

// How one consumer is fed.
enum class FedState : std::uint8_t { off, fed, above };  // above: with more than it stands

struct FollowedState {
    std::vector<DriveState> drives;    // by Follower::drives
    std::vector<FedState> loads;       // by Follower::loads
    std::vector<std::uint8_t> pulled;  // by Follower::coils; 1: its contacts are as if it had pulled in
    std::vector<FedState> feeds;       // coils, converters, supply pins: by Follower::others
    bool settles = true;               // false: it chatters
    std::vector<PartId> shorted;       // packs, once each
    friend bool operator==(const FollowedState&, const FollowedState&) = default;
};

class Follower {
  public:
    // `circuit` and `facts` outlive it.
    Follower(const Circuit& circuit, const Facts& facts);

    // A controller, or a load with a stall current that is no fan (a motor without a controller).
    struct DriveEntry {
        PartId part;
        EdgeId edge;
        bool controller = false;
    };
    const std::vector<DriveEntry>& drives() const { return drives_; }
    const std::vector<EdgeId>& loads() const { return loads_; }  // drives excepted
    const std::vector<PartId>& coils() const { return coils_; }  // parts
    const std::vector<EdgeId>& others() const { return others_; }

    // With nothing different; worked out once.
    const FollowedState& as_drawn(ModeId mode) const { return base_[mode.index()]; }
    // `failure` goes before `hand` where both say something of an edge.
    FollowedState follow(ModeId mode, const CircuitChange& hand, const CircuitChange& failure) const;
    // The same with every coil as it stood before: what opens by the hand itself.
    FollowedState follow_held(ModeId mode, const CircuitChange& hand, const CircuitChange& failure) const;
    // What comes of it when the hand does this and then undoes it, from where it had settled in between.
    // `let_go`: a part of coils() that has let go meanwhile, and pulls in again only if it is fed.
    FollowedState follow_undone(ModeId mode, const CircuitChange& hand, PartId let_go = {}) const;

    // The part stands in the mode as the mode says, whatever its coil does: no coil, none wired, or latching.
    bool stands_as_said(PartId part) const { return said_[part.index()]; }
    // Volts that sources can put on a node of a mode, against the lowest of its island; 0: none.
    double highest_V(ModeId mode, const CircuitChange& failure, NodeId node) const;
    // Volts across a drive; 0: none.
    double fed_V(ModeId mode, const CircuitChange& failure, std::size_t drive) const;
    // Whether a pack holds both ends of a drive.
    bool on_pack(ModeId mode, const CircuitChange& failure, std::size_t drive) const;
    // Static links in a row, by EdgeId; what breaks one breaks all. Edges that are in no row have one of
    // their own.
    std::uint32_t row_of(EdgeId edge) const { return row_[edge.index()]; }
    // Whether everything that a mode says of contacts is the same in both.
    bool same_contacts(ModeId a, ModeId b) const { return closed_[a.index()] == closed_[b.index()]; }
    // Whether the change forces nothing that the mode has otherwise.
    bool forces_nothing_new(ModeId mode, const CircuitChange& change) const;
    std::size_t states_followed() const { return followed_; }

  private:
    struct Net;  // the working memory of one state
    struct Link {
        std::uint32_t a = 0, b = 0;  // reduced nodes
        EdgeId edge;                 // of one that is switched: itself
        std::int32_t coil = -1;      // into coils_; its contact
        bool rests_closed = false;
        std::int32_t driver = -1;  // into drivers_
        std::int32_t stiff = -1;   // into rows: open count
    };
    struct Arc {
        std::uint32_t from = 0, to = 0;
        EdgeId edge;
        double volts = 0;
        enum class Way : std::uint8_t { pack, charger, converter, pin, diode } way{};
    };
    struct User {
        EdgeId edge;
        std::uint32_t plus = 0, minus = 0;
        double least_V = 1, most_V = 0;
        double ohm = 0;  // of a coil
        bool either_way = false;
    };
    struct DriverEntry {
        PartId part;
        std::size_t pin_state = 0;  // into Mode::pin_states
    };

    std::pair<std::uint32_t, std::uint32_t> ends_at(NodeId node) const;
    void find_rows();
    void add_users(const Facts& facts);
    User user_of(const Facts& facts, EdgeId id) const;
    void add_links();
    void add_sources(const Facts& facts);
    bool is_wired(NodeId node, EdgeId but) const;
    bool closed_in(const Mode& mode, const Edge& edge) const;
    void prepare_modes();
    void start(Net& net, ModeId mode, const CircuitChange& hand, const CircuitChange& failure) const;
    void settle(Net& net, ModeId mode, bool hold) const;
    void join_nets(Net& net) const;
    void set_voltages(Net& net, ModeId mode) const;
    void over_packs(Net& net) const;
    void one_way(Net& net, ModeId mode) const;
    bool gives(const Net& net, ModeId mode, const Arc& arc) const;
    double across_V(Net& net, const User& user) const;
    double through_resistor_V(Net& net, const User& user) const;
    FedState fed(Net& net, const User& user) const;
    bool rise(Net& net, ModeId mode) const;
    void feed(Net& net, ModeId mode) const;
    bool pins_fed(Net& net, PartId part, bool& any) const;
    std::vector<std::uint32_t> by_resistors(Net& net, std::uint32_t from, std::uint32_t end) const;
    DriveState through_resistors(Net& net, const User& user) const;
    DriveState drive_state(Net& net, ModeId mode, std::size_t drive) const;
    FollowedState told(Net& net, ModeId mode) const;

    const Circuit& circuit_;
    std::vector<std::uint32_t> row_;      // by EdgeId
    std::vector<std::uint32_t> reduced_;  // by NodeId; none: inside a row
    std::uint32_t nodes_ = 0;
    std::vector<Link> links_;
    std::vector<Arc> arcs_;
    std::vector<Link> resistors_;
    std::vector<double> resistor_ohm_;
    std::vector<User> users_;  // every one
    std::vector<std::int32_t> user_of_edge_;
    std::vector<DriveEntry> drives_;
    std::vector<EdgeId> loads_, others_;
    std::vector<PartId> coils_;
    std::vector<EdgeId> coil_edge_;
    std::vector<DriverEntry> drivers_;
    std::vector<std::int32_t> coil_of_part_;
    std::vector<bool> said_;
    std::vector<std::vector<EdgeId>> supply_pins_;        // by PartId
    std::vector<std::vector<std::uint16_t>> open_count_;  // by mode, then row
    std::vector<std::vector<std::uint8_t>> closed_;       // by mode, then EdgeId
    std::vector<FollowedState> base_;
    std::vector<std::vector<std::uint8_t>> pulled_at_first_;  // by mode: as it settled
    mutable std::size_t followed_ = 0;
};

}  // namespace loomward
