// Brakes that hold unfed and are fed the wrong way about: released while nothing drives, shut while something
// does.
#include <algorithm>
#include <optional>

#include "checker/follow/stops.hpp"
#include "checker/parts/tasks.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::brakes {
namespace {

constexpr RuleInfo infos[] = {
    {"driven-against-brake",
     "a brake that holds unfed, is fed in modes in which nothing drives, and in none in which something "
     "does: "
     "it stands open where it has to hold, and what drives drives against it",
     "in some mode with a drive that runs, the brake is fed as well", "common practice, no source",
     "loads whose task is to hold, and those that their name or label calls a brake; contacts follow their "
     "coils; a brake that no mode feeds is let go by hand for all that is known",
     "load Y9 \"holding brake\" { 48 V, 20 W, works 30..60 V, task holds }\n"
     "relay K9 { contacts nc, carries 10 A, makes 10 A, breaks 5 A at 60 V dc, coil 48 V 20 mA, coil-works "
     "30..60 V, suppression diode }\n"
     "route F2.out (W30 1 mm2, 0.3 m) K9 (W31 1 mm2, 0.3 m) Y9 (W32 1 mm2, 0.3 m) Q1.P-\n"
     "route X1 (W33 1 mm2, 0.3 m) K9.A1\nroute K9.A2 (W34 1 mm2, 0.3 m) Q1.P-\n"
     "mode run { others at rest, after ready 3 s, K1 S1 closed, K9 energised, Y9 off, U1 draws 35 A, U1 "
     "phases 60 A }\n"
     "splice X1",
     "splice X1"},
    {"brake-open-at-rest",
     "a brake that holds unfed and is fed in a mode in which nothing drives: nothing holds there",
     "in a mode in which no drive runs the brake has no feed", "common practice, no source",
     "loads whose task is to hold, and those that their name or label calls a brake, that are fed in some "
     "mode "
     "with a drive that runs; contacts follow their coils; not where a switch, plug or selector lets it go "
     "by "
     "hand that "
     "stands otherwise in every mode that drives",
     "load Y9 \"holding brake\" { 48 V, 20 W, works 30..60 V, task holds }\n"
     "route X1 (W30 1 mm2, 0.3 m) Y9 (W32 1 mm2, 0.3 m) Q1.P-\n"
     "mode waits { others at rest, after ready 3 s, K1 S1 closed }\nsplice X1",
     "splice X1"},
};

class Brakes {
  public:
    Brakes(const RuleInput& input, Report& report)
        : input_(input), report_(report), follower_(input.circuit, input.facts) {}

    void look_at_all() {
        for (std::size_t i = 0; i < follower_.loads().size(); ++i) {
            const PartId part = input_.circuit.edge(follower_.loads()[i]).part;
            if (holds_unfed(input_.harness, input_.harness.part(part))) look_at(i, part);
        }
    }

  private:
    const Mode& mode(ModeId id) const { return input_.harness.modes[id.index()]; }
    // The first drive that runs in the mode.
    std::optional<PartId> driving(ModeId id) const {
        const FollowedState& state = follower_.as_drawn(id);
        for (std::size_t i = 0; i < follower_.drives().size(); ++i)
            if (state.drives[i] == DriveState::runs) return follower_.drives()[i].part;
        return std::nullopt;
    }
    bool is_fed(ModeId id, std::size_t brake) const {
        return follower_.as_drawn(id).loads[brake] != FedState::off;
    }
    void look_at(std::size_t brake, PartId part) {
        if (look_at_rest(brake, part)) return;
        std::optional<ModeId> released, driven;
        for (std::size_t m = 0; m < input_.harness.modes.size(); ++m) {
            const ModeId id(m);
            if (mode(id).own) continue;
            const bool fed = is_fed(id, brake);
            const bool drives = driving(id).has_value();
            if (fed && drives) return;
            if (fed && !released) released = id;
            if (drives && !driven) driven = id;
        }
        if (!released || !driven) return;
        const std::string brake_name = named(input_.harness, part);
        const PartId drive = *driving(*driven);
        Finding finding = finding_about(input_, "driven-against-brake", Severity::warning, part);
        finding.message = brake_name + " is fed where nothing drives, and not where " +
                          named(input_.harness, drive) + " does";
        finding.beside = "it holds unfed: open in mode " + std::string(mode(*released).name) +
                         ", shut in mode " + std::string(mode(*driven).name);
        finding.working = {
            "contacts following their coils: fed in mode " + std::string(mode(*released).name) +
                ", where nothing drives",
            "without feed in every mode in which something drives, as in " + std::string(mode(*driven).name)};
        finding.source = "common practice, no source";
        finding.mode = *driven;
        finding.related.push_back(
            {input_.harness.part(drive).where, named(input_.harness, drive) + " is here"});
        finding.help =
            "a contact that is open at rest in its feed, or the other contact of a change-over; a "
            "`task` of its own if it is no brake that holds unfed";
        report_.add(std::move(finding));
    }

    // In the first mode in which nothing drives and it is fed as in one that does; false: in none.
    bool look_at_rest(std::size_t brake, PartId part) {
        std::vector<ModeId> driven;
        bool worked = false;  // fed where something drives
        for (std::size_t m = 0; m < input_.harness.modes.size(); ++m)
            if (!mode(ModeId(m)).own && driving(ModeId(m))) {
                driven.emplace_back(m);
                worked = worked || is_fed(ModeId(m), brake);
            }
        for (std::size_t m = 0; worked && m < input_.harness.modes.size(); ++m) {
            const ModeId id(m);
            if (mode(id).own || driving(id) || !is_fed(id, brake) || let_go_by_hand(id, brake, driven))
                continue;
            tell_at_rest(part, id, driven.front());
            return true;
        }
        return false;
    }
    // What a hand has closed there and in no mode that drives lets it go.
    bool let_go_by_hand(ModeId id, std::size_t brake, const std::vector<ModeId>& driven) const {
        CircuitChange put_back;
        for (const HandStop& hand : hand_stops(input_.circuit, mode(id))) {
            const State& here = mode(id).states[hand.part.index()];
            const bool also = std::any_of(driven.begin(), driven.end(), [&](ModeId other) {
                const State& there = mode(other).states[hand.part.index()];
                return there.posture == here.posture && there.position == here.position;
            });
            if (!also)
                put_back.forced.insert(put_back.forced.end(), hand.change.forced.begin(),
                                       hand.change.forced.end());
        }
        return !put_back.forced.empty() && follower_.follow(id, put_back, {}).loads[brake] == FedState::off;
    }
    void tell_at_rest(PartId part, ModeId rests, ModeId driven) {
        const std::string brake = named(input_.harness, part);
        const PartId drive = *driving(driven);
        Finding finding = finding_about(input_, "brake-open-at-rest", Severity::warning, part);
        finding.message =
            brake + " is fed in mode " + std::string(mode(rests).name) + ", where nothing drives";
        finding.beside = "it holds unfed: on a slope, or with a load on the hook, nothing holds there";
        finding.working = {"contacts following their coils: fed in mode " + std::string(mode(rests).name) +
                               ", in which no drive runs",
                           "fed as well where " + named(input_.harness, drive) + " drives, as in mode " +
                               std::string(mode(driven).name)};
        finding.source = "common practice, no source";
        finding.mode = rests;
        finding.related.push_back(
            {input_.harness.part(drive).where, named(input_.harness, drive) + " is here"});
        finding.help =
            "its feed, or the coil that switches it, over what asks the drive to run (pedal, lever, a brake "
            "pin of the controller); a `task` of its own if it is no brake that holds unfed";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    Follower follower_;
};

void run(const RuleInput& input, Report& report) {
    const bool any = std::any_of(input.harness.parts.begin(), input.harness.parts.end(),
                                 [&](const Part& part) { return holds_unfed(input.harness, part); });
    if (any) Brakes(input, report).look_at_all();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::brakes
