// What happens when two points of the harness touch: which current flows, which device opens and when, what
// gets too hot on the way, and whether it ends.
//
// Event by event: at a steady current every device advances along its band; the first that gets there opens;
// the currents are solved anew; until nothing flows or nothing more can open. Conductors gather heat on the
// way (first order, from their full load): u' = ((I/Iz)2 - u)/tau, where u = 1 is the limit of their
// insulation in service and u = damage its limit at the end of a short circuit. For large currents this is
// I2t = k2 S2 (IEC 60364-4-43 434.5.2, IEC 60949).
#pragma once
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "checker/circuit/path.hpp"
#include "checker/circuit/touching.hpp"
#include "checker/currents/loading.hpp"
#include "checker/faults/fault_network.hpp"
#include "checker/parts/time_current.hpp"

namespace loomward {

// Two points that touch without resistance.
struct FaultPlace {
    enum class Kind : std::uint8_t {
        to_return,    // a wire's end against what lies beside it on the way back
        to_frame,     // ... against a frame
        across_part,  // a part failed short
        terminals,    // two terminals of a part
        neighbours,   // two wires of one bundle or cable
        posts,        // bare posts in one box
        named,        // as somebody asked
    };
    Kind kind{};
    NodeId a, b;
    TerminalId at, against;  // as they are named
    WireId wire;             // whose end it is; neighbours: the first of the two
    WireId neighbour;        // the wire that lies there, where it is one
    PartId part;             // across_part, terminals
};
// "the end of W7 at H1.+ touches H1.-"
std::string fault_text(const Harness& harness, const FaultPlace& place);

FaultPlace fault_place(const Circuit& circuit, const Touch& touch);
// Every place that is looked at, in the order of their names.
std::vector<FaultPlace> fault_places(const Circuit& circuit, const Touching& touching);

// How a conductor takes heat.
struct WireHeat {
    double ampacity_A = 0;  // 0: unknown, not judged
    double k2S2_A2s = 0;    // what it survives without giving heat away
    double damage = 0;      // rise over ambient at its short-circuit limit, in rises at its ampacity
    double tau_s = 0;
    double ambient_degC = 0;
    double service_degC = 0;  // fully loaded
    double limit_degC = 0;    // at the end of a short circuit
    double k = 0;
    // Seconds at a steady current until it is damaged, from `heat` (1: fully loaded); infinite where never.
    double damage_s(double current_A, double heat = 1) const;
    double after(double current_A, double heat, double seconds) const;
};

struct FaultEvent {
    enum class Kind : std::uint8_t { opens, damaged, empties } kind{};
    double time_s = 0;
    EdgeId edge;
    double current_A = 0;  // through it then
    double fault_A = 0;    // left at the fault afterwards
};

struct FaultStress {
    EdgeId edge;
    double first_A = 0;          // at once, from -> to of the edge
    double last_A = 0;           // what still flows when nothing more opens
    double let_through_A2s = 0;  // infinite where it never ends
    double heat = 0;             // wires: hottest, in rises at the ampacity; 0 where not judged
};

struct FaultStory {
    double prospective_A = 0;
    bool solved = true;
    std::vector<FaultEvent> events;   // in time
    std::vector<FaultStress> stress;  // edges that carry anything, by EdgeId
    double standing_A = 0;            // what still flows when nothing more opens
    double ends_s = 0;                // infinite where it stands
};

// No conductor burns, and it ends.
bool ends_well(const FaultStory& story);

// The same by the pieces between its two points, not edge by edge.
struct FaultCourse {
    static constexpr std::uint32_t none = 0xFFFFFFFF;
    struct Step {                          // of steady currents
        double begins_s = 0, lasts_s = 0;  // the last one may be without end
        double fault_A = 0;
        std::uint32_t opens = none;  // the piece that ends it
    };
    std::vector<FaultPiece> pieces;
    std::vector<Step> steps;
    std::vector<double> amps;  // by step, then by piece: from -> to of the piece
    double left_A = 0;         // at the fault after the last step
    double ends_s = 0;         // infinite where it stands
    bool solved = true;

    double first_A(std::uint32_t piece) const { return amps[piece]; }
    double amps_in(std::size_t step, std::uint32_t piece) const { return amps[step * pieces.size() + piece]; }
    double prospective_A() const { return steps.front().fault_A; }
    double standing_A() const { return steps.back().opens == none ? steps.back().fault_A : 0; }
    // Of what is more than `above_A`: what a contact carries indefinitely does it no harm.
    double let_through_A2s(std::uint32_t piece, double above_A = 0) const;
    // Hottest of a conductor in the piece, in rises at its ampacity; 0 where nothing flows or nothing is
    // judged.
    double heat(std::uint32_t piece, const WireHeat& wire) const;
    // Says no only where that is sure to be no more, and quickly. Of a wire that is judged.
    bool may_heat_above(double heat, std::uint32_t piece, const WireHeat& wire) const;
    // Less than this counts as no current, of the first one or of an ampere.
    static constexpr double nothing = 1e-6;
};

// One fault after another at one corner and one combination of positions.
class FaultTeller {
  public:
    struct Setting {                    // what holds for all faults
        std::vector<Band> bands;        // by PartId; empty for parts that are no device
        std::vector<bool> never_opens;  // by PartId: electronics that no short circuit opens
        std::vector<WireHeat> wires;    // by WireId
        std::vector<double> carries_A;  // by EdgeId: what a contact carries without end; 0: not said
    };
    enum class BandEdge : std::uint8_t {
        slow,
        fast,
        unpromised,  // slow, and the last gate carried on where nothing is promised
    };
    FaultTeller(const FaultNetwork& network, const Setting& setting);
    // `bridged`: devices that count as plain conductors. nullopt where nothing flows.
    std::optional<FaultStory> tell(const FaultPlace& place, BandEdge edge = BandEdge::slow,
                                   std::span<const PartId> bridged = {});
    // The same by pieces; nullptr where nothing flows. Holds until the next call.
    const FaultCourse* follow(const FaultPlace& place, BandEdge edge = BandEdge::slow,
                              std::span<const PartId> bridged = {});
    // Through a device at once, of what goes on flowing: capacitors do not count. 0 where nothing does.
    double lasting_A(const FaultPlace& place, EdgeId device);
    // The same once more link by link, as slow as the way is long: what `follow` must agree with.
    const FaultCourse* follow_apart(const FaultPlace& place, BandEdge edge = BandEdge::slow);

  private:
    struct Device {
        std::uint32_t piece;
        double progress = 0;
    };
    double time_of(EdgeId edge, double current_A, BandEdge which) const;
    const FaultCourse* follow_pieces(const FaultPlace& place, BandEdge which,
                                     std::span<const PartId> bridged);
    void list_devices(std::span<const PartId> bridged);
    const Device* next_to_open(BandEdge which, double& step_s) const;
    EdgeId device_at(std::uint32_t piece) const { return network_.lines().edge(course_.pieces[piece], 0); }
    FaultStory story_of(const FaultCourse& course) const;

    const FaultNetwork& network_;
    const Setting& setting_;
    FaultSolver solver_;
    FaultCourse course_;
    std::vector<Device> devices_;  // by their edges
    std::vector<bool> opened_;     // by piece
};
FaultTeller::Setting fault_setting(const Circuit& circuit, const Facts& facts,
                                   const std::vector<WireLoading>& wires);

struct FaultWay;  // fault_way.hpp

// Two devices on the way of a fault, of which the nearer one is not sure to open alone (fault_races.hpp).
struct FaultRace {
    PartId near, far;
    double near_A = 0, far_A = 0;
    double near_slow_s = 0, far_fast_s = 0, far_slow_s = 0;
    bool lost = false;  // the farther one is sure to be first
};

// One fault as it is told to a person.
struct FaultAccount {
    FaultPlace place;
    Corner corner{};
    std::uint32_t position = 0;   // which contacts stand open, see contact_positions
    FaultStory story;             // by the slow edges
    FaultStory quickest;          // by the fast edges, where they are known
    std::vector<Step> out, back;  // the way from the source to the fault, and back from it
    std::vector<PartId>
        still_feeds;               // sources that the conductors at the fault stay joined to: whole accounts
    std::vector<FaultRace> races;  // whole accounts
};

// What all faults came to.
struct FaultOutcome {
    std::uint32_t place = 0;     // into FaultSurvey::places
    std::uint32_t position = 0;  // which contacts stand open, see contact_positions
    Corner corner{};
    double prospective_A = 0;
    double ends_s = 0;
    double standing_A = 0;
    std::uint32_t devices = 0;  // fuses, breakers and BMS that carry some of it
    EdgeId first;               // the device that opens first; invalid where none does
    double first_s = 0;
};
struct FaultSurvey {
    FaultSurvey() = default;
    explicit FaultSurvey(const Circuit& circuit);  // of nothing yet

    std::vector<FaultPlace> places;
    std::vector<FaultOutcome> outcomes;  // those in which something flows, by place, position, corner
    static constexpr std::uint32_t none = 0xFFFFFFFF;
    // The worst of each, as indexes into outcomes.
    struct DeviceWorst {
        double prospective_A = 0;  // through it, of what goes on flowing
        FaultPlace place;
        Corner corner{};
        std::uint32_t position = 0;
    };
    struct WireWorst {
        double heat_over_limit = 0;  // hottest over its short-circuit limit, both as rises
        std::uint32_t outcome = none;
    };
    struct ContactWorst {
        double let_through_A2s = 0;
        std::uint32_t outcome = none;
    };
    // A device of which nothing is promised at a current that it has to break, and a wire that would not live
    // if its last gate were all that holds.
    struct Unpromised {
        double current_A = 0;
        WireId wire;  // the one that survives least
        std::uint32_t outcome = none;
    };
    // The worst race of each two devices (fault_races.hpp), by these.
    struct Race : FaultRace {
        std::uint32_t outcome = none;
    };
    std::vector<Race> races;
    std::vector<Unpromised> unpromised;  // by PartId
    std::vector<DeviceWorst> devices;    // by PartId: fuses, breakers, BMS
    std::vector<ContactWorst> contacts;  // by PartId: switching contacts and connectors
    std::vector<WireWorst> wires;        // by WireId; faults that some device could act on
    std::size_t unsolved = 0;
};

// The contacts that stand open while faults are looked at, by EdgeId: selectors and change-over contacts in
// one combination of positions after the other, connectors as the modes have them mated, the most of them
// first; everything else closed. Where closing everything would short a source (contactors that reverse a
// motor), as each mode has them instead.
std::vector<std::vector<bool>> contact_positions(const Circuit& circuit);

class FaultTaker;

// Tells every fault at both corners and in every combination of positions that matters to it, at once.
class FaultStudy {
  public:
    FaultStudy(const Circuit& circuit, const Facts& facts, const Touching& touching,
               const std::vector<WireLoading>& wires);
    FaultStudy(const FaultStudy&) = delete;
    FaultStudy& operator=(const FaultStudy&) = delete;

    const FaultSurvey& survey() const { return survey_; }
    // One again, with its events.
    std::optional<FaultStory> tell(const FaultPlace& place, Corner corner, std::uint32_t position,
                                   FaultTeller::BandEdge edge = FaultTeller::BandEdge::slow,
                                   std::span<const PartId> bridged = {}) const;
    // ... with its way and its end; in the combination of positions in which most flows.
    std::optional<FaultAccount> account(const FaultPlace& place, Corner corner,
                                        std::span<const PartId> bridged = {}) const;
    // ... of an outcome of the survey, where something flows: the story by the slow edges and its way.
    FaultAccount account(const FaultPlace& place, Corner corner, std::uint32_t position) const;
    // What opens first in an outcome of the survey if everything is as quick as it may be, and the fuses and
    // breakers that its current has passed by then on its way out.
    struct Quickest {
        EdgeId first;
        std::vector<PartId> passed;
    };
    Quickest quickest(const FaultOutcome& outcome) const;
    const FaultTeller::Setting& setting() const { return setting_; }
    const Touching& touching() const { return touching_; }

    // What conducts in a combination of positions at a corner, nothing opened yet.
    const FaultNetwork& network(std::uint32_t position, Corner corner) const {
        return networks_[place_of(position, corner)];
    }

  private:
    static std::size_t place_of(std::uint32_t position, Corner corner) {
        return 2 * position + (corner == Corner::fault_max ? 0 : 1);
    }
    void find_nested();
    void tell_all();
    void tell_place(std::uint32_t place, FaultTaker& taker);
    void tell_at_devices();
    void tell_at_device(EdgeId device, NodeId at, TerminalId terminal);

    const Circuit& circuit_;
    const Facts& facts_;
    const Touching& touching_;
    std::vector<std::vector<bool>> positions_;
    // By position: others that close more of its contacts, and less.
    std::vector<std::vector<std::uint32_t>> closes_more_, closes_less_;
    FaultTeller::Setting setting_;
    FaultSurvey survey_;
    std::vector<FaultNetwork> networks_;        // by position, then corner
    mutable std::vector<FaultTeller> tellers_;  // the same; they keep their memory from fault to fault
};

}  // namespace loomward
