// Drives that start again by themselves when the stop that ended them is put back, because a contact that
// holds its own coil has held on meanwhile.
#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "checker/follow/stops.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::restarts {
namespace {

constexpr RuleInfo infos[] = {
    {"starts-again",
     "a drive that a stop ends and that runs again as soon as the stop is put back: a relay or contactor "
     "that "
     "holds itself has held on while it was open",
     "opened and closed again in a mode, contacts following their coils: what held itself has let go, and "
     "waits for its start push",
     "IEC 60204-1 9.2.3.4.2 (memory): putting an emergency stop back must not start anything",
     "parts that say `stop`, or rest closed and are called a stop; only where a coil that lets go in between "
     "would not pull in again by itself: a switch that stays where it is put holds nothing",
     "switch S8 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc, stop yes }\n"
     "switch S9 \"start\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
     "relay K8 { contacts no no, carries 8 A, makes 8 A, breaks 2 A at 60 V dc, coil 48 V 20 mA, coil-works "
     "30..60 V, suppression diode }\n"
     "load M9 { 48 V, 2 A, acts-as current, works 30..60 V, task drives }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) S9 (W31 1 mm2, 0.3 m, red) K8.A1\n"
     "route X1 (W32 1 mm2, 0.3 m, red) K8.1.in\nroute K8.1.out (W33 1 mm2, 0.3 m, red) K8.A1\n"
     "route K8.A2 (W34 1 mm2, 0.3 m, black) Q1.P-\n"
     "route X1 (W35 1 mm2, 0.3 m, red) S8 (W36 1 mm2, 0.3 m, red) K8.2.in\n"
     "route K8.2.out (W37 1 mm2, 0.3 m, red) M9 (W38 1 mm2, 0.3 m, black) Q1.P-\n"
     "mode run { others at rest, after ready 3 s, K1 S1 S8 closed, K8 energised }\nsplice X1",
     "splice X1"},
};

class Restarts {
  public:
    Restarts(const RuleInput& input, Report& report)
        : input_(input), report_(report), follower_(input.circuit, input.facts) {}

    void look() {
        for (const PartId stop : stops_of(input_.circuit, follower_)) look_at(stop);
    }

  private:
    // Once for each stop, in the first mode in which it is so.
    void look_at(PartId stop) {
        for (std::size_t m = 0; m < input_.harness.modes.size(); ++m) {
            const ModeId mode(m);
            const std::optional<HandStop> hand = hand_stop(input_.circuit, input_.harness.modes[m], stop);
            if (!hand) continue;
            for (std::size_t drive = 0; drive < follower_.drives().size(); ++drive)
                if (const PartId holds = held_on(mode, drive, *hand))
                    return tell(stop, mode, follower_.drives()[drive].part, holds);
        }
    }
    // The part without whose hold the drive would wait; invalid: it waits, or nothing stopped it.
    PartId held_on(ModeId mode, std::size_t drive, const HandStop& hand) const {
        const auto runs = [&](const FollowedState& state) {
            return state.settles && state.drives[drive] == DriveState::runs;
        };
        if (!runs(follower_.as_drawn(mode))) return {};
        const FollowedState struck = follower_.follow(mode, hand.change, {});
        if (!struck.settles || runs(struck) || !runs(follower_.follow_undone(mode, hand.change))) return {};
        for (std::size_t i = 0; i < follower_.coils().size(); ++i) {
            const PartId part = follower_.coils()[i];
            if (!struck.pulled[i] || !follower_.as_drawn(mode).pulled[i]) continue;
            const FollowedState after = follower_.follow_undone(mode, hand.change, part);
            if (after.settles && !runs(after)) return part;
        }
        return {};
    }
    void tell(PartId stop, ModeId mode, PartId drive, PartId holds) {
        const std::string name = named(input_.harness, stop), holder = named(input_.harness, holds);
        Finding finding = finding_about(input_, "starts-again", Severity::warning, stop);
        finding.message =
            named(input_.harness, drive) + " starts again by itself when " + name + " is put back";
        finding.beside = holder + " holds on while it is open";
        finding.working = {"opened in mode " + std::string(input_.harness.modes[mode.index()].name) +
                               ", contacts following their coils: " + named(input_.harness, drive) +
                               " stops, and " + holder + " stays in by its own contact",
                           "closed again: it runs as before, with no push of anybody; with " + holder +
                               " let go in between it would not"};
        finding.source = "IEC 60204-1 9.2.3.4.2 (memory)";
        finding.mode = mode;
        for (const PartId part : {holds, drive})
            finding.related.push_back(
                {input_.harness.part(part).where, named(input_.harness, part) + " is here"});
        finding.help =
            "the contact that holds " + holder + " fed from behind " + name + ", so that it lets go as well";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    Follower follower_;
};

void run(const RuleInput& input, Report& report) {
    if (has_stop(input.harness)) Restarts(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::restarts
