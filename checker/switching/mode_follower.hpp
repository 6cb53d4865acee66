// Follows the modes of a harness from one to the next at one corner: networks with capacitors, what is
// charged when, what closes onto what. Used by transients*.cpp alone.
#pragma once
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "checker/currents/mode_network.hpp"
#include "checker/solver/charging.hpp"
#include "checker/switching/transients.hpp"

namespace loomward {

// A mode with every controller at rest.
Mode quiet(const Circuit& circuit, const Mode& mode);
// What a mode without `after` is entered from: the same with what its own lines close still open.
Mode before_its_lines(const Mode& mode);
// The same with what it takes over from the mode it is like still open too.
Mode before_anything(const Mode& mode);

// One mode at one corner as a network with capacitors.
struct Scene {
    Network network;
    std::vector<EdgeId> edge_of_branch;  // invalid: the way a controller precharges itself
};

class ModeFollower {
  public:
    ModeFollower(const Circuit& circuit, const Facts& facts, Corner corner);

    bool any_surges() const { return std::find(surges_.begin(), surges_.end(), true) != surges_.end(); }
    bool nothing_to_follow() const;
    bool any_resistor() const {
        return std::any_of(circuit_.edges.begin(), circuit_.edges.end(),
                           [](const Edge& edge) { return edge.role == EdgeRole::resistor; });
    }

    // Nothing where no contact closes, or where it is lost on the way.
    // `charged_V`: what the capacitors have then, in place of what they have by this corner.
    std::optional<ModeEntry> enter(ModeId id, bool& lost, const std::vector<double>* charged_V = nullptr);
    // What the capacitors have as a mode begins, by capacitor; nullopt: lost on the way.
    std::optional<std::vector<double>> charged_before(ModeId id);
    // Parts that no mode is entered by closing, though some has them closed: nobody says how they come to be.
    std::vector<PartId> closed_by_no_mode() const;
    // What such a part does as it closes last, all else as in some mode, where that is mildest; by corner of
    // the followers. Empty: there is a mode in which it parts no capacitor that hurts, or nothing was
    // solved.
    // `not_followed`: the modes, where it could not be followed.
    friend std::vector<ModeEntry> closed_last(std::vector<ModeFollower>& followers, PartId part,
                                              std::vector<ModeId>& not_followed);
    // Whether a mode puts a capacitor on other packs than the one it is entered from had it on.
    bool changes_packs(ModeId id) const;
    // False: the capacitors could not be followed.
    bool add_pulses(const ModeEntry& entry, std::vector<ResistorPulse>& pulses);
    bool add_discharges(ModeId id, std::vector<Discharge>& discharges, std::vector<ResistorPulse>& pulses);

  private:
    struct Stored {
        EdgeId edge;
        double capacitance_F;
    };
    struct Followed {
        Scene scene;
        std::vector<double> before_V;   // by capacitor
        std::vector<double> settles_V;  // by capacitor
        std::vector<double> settled_A;  // by branch; empty where not solved
        std::optional<ChargeCourse> course;
        bool lost = false;  // where it comes from could not be followed
    };

    // A mode of nobody's, and the same with one part open; told as one that is there.
    struct Made {
        Mode closed, open;
        ModeId told_as;
    };
    ModeId make(Made made) {
        made_.push_back(std::move(made));
        followed_.emplace_back();
        return ModeId(circuit_.harness->modes.size() + made_.size() - 1);
    }
    const Made* made(ModeId id) const {
        const std::size_t stated = circuit_.harness->modes.size();
        return id.index() < stated ? nullptr : &made_[id.index() - stated];
    }
    const Mode& mode(ModeId id) const {
        const Made* own = made(id);
        return own ? own->closed : circuit_.harness->modes[id.index()];
    }
    Mode before_lines(ModeId id) const { return made(id) ? made(id)->open : before_its_lines(mode(id)); }
    Mode earlier_than(ModeId id) const { return made(id) ? made(id)->open : earlier_than(mode(id)); }
    // Ways to have it closed that may be the mildest.
    std::vector<Made> ways_to_close(PartId part) const;
    // Whether it parts enough of them from their packs to hurt as it closes.
    bool parts_capacitors(const Made& made) const;
    Scene scene_of(const Mode& mode, ModeId id) const;
    void add_self_precharge(Scene& scene) const;
    std::vector<Capacitance> charged(const std::vector<double>& volts) const;
    std::vector<double> across(const NetworkSolution& solution) const;
    Followed& follow(ModeId id);
    void forget_circle(ModeId id);
    void enter_from(const Mode& here, Followed& next);
    std::optional<std::vector<double>> charged_unstated(ModeId id) const;
    ChargeCourse& course(ModeId id);
    double packs_V() const;
    std::vector<std::size_t> counted_at_once(const Followed& now, const std::vector<double>& before_V) const;
    Mode earlier_than(const Mode& here) const;
    void find_closing(const Mode& here, const Mode& earlier, ModeEntry& entry) const;
    void solve_moment(ModeId id, const Followed& now, const std::vector<double>& before_V, ModeEntry& entry);
    void take_load_currents(const Followed& now, const std::vector<double>& branch_A, ModeEntry& entry) const;
    void surge(const Followed& now, const NetworkSolution& before, ModeEntry& entry) const;
    // By branch, of `stated` inrushes alone or of all; empty where none starts or it could not be solved.
    std::vector<double> surged_A(const Followed& now, const NetworkSolution& before, ModeEntry& entry,
                                 bool stated) const;
    bool add_pulses(const Scene& scene, const ChargeCourse& course, ModeId id, bool discharging,
                    const std::vector<double>& settled_A, std::vector<ResistorPulse>& pulses) const;

    const Circuit& circuit_;
    const Facts& facts_;
    Corner corner_;
    CornerValues values_;
    std::vector<Stored> capacitors_;
    std::vector<bool> surges_;  // by PartId: has an inrush
    std::vector<bool> parted_;  // by PartId: unmated in some mode
    std::vector<Made> made_;
    std::vector<std::optional<Followed>> followed_;  // by ModeId
    std::vector<double> highest_V_;                  // by capacitor, over all modes
};

}  // namespace loomward
