// Stops that stop nothing: what somebody strikes, or lets go, when a machine runs away.
#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "checker/circuit/on_poles.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/follow/stops.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/tasks.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::idle_stops {
namespace {

constexpr RuleInfo infos[] = {
    {"idle-stop",
     "a stop that leaves everything as it is, or what it stops in one mode running in another, or another "
     "drive "
     "beside it, or a brake released that holds unfed; that only takes the key or enable from a controller "
     "whose contactor stays closed; that "
     "needs a "
     "driver pin to let go of the coil; that leaves it charged through a precharge relay",
     "opened in a mode, contacts following their coils: the supply of what can run there is gone",
     "IEC 60204-1 9.2.2 (memory): an emergency stop takes the power away",
     "parts that say `stop`, or rest closed and are called a stop, closed in a mode where a drive can run: "
     "controllers, loads with a stall current "
     "that are no fans or water pumps, or a "
     "`task`, or a name for what moves and hurts; where there are none, every load; a warning where no "
     "contactor "
     "is there to open, of what runs on in other modes only, and of a "
     "brake, by its task or its name, where what drives beside it loses its power or is asked to stop; a "
     "note "
     "where "
     "another stop takes the power (a warning of one that stops nothing, stops a drive in one mode alone or "
     "is "
     "called an emergency stop), or "
     "electronics could let the brake fall; whether a contactor is able to "
     "break what flows is told elsewhere",
     "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
     "switch S8 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc, stop yes }\n"
     "load H9 { 48 V, 10 W, acts-as power, works 30..60 V }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) S8 (W31 1 mm2, 0.3 m, red) H9 (W33 1 mm2, 0.3 m, black) Q1.P-\n"
     "mode run { others at rest, after ready 3 s, K1 S1 S8 closed, U1 draws 35 A, U1 phases 60 A }",
     "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }"},
};

// What a stop does to a user, and where.
struct Done {
    StopEffect effect = StopEffect::none;
    ModeId mode;
    std::size_t user = 0;
};

class IdleStops {
  public:
    IdleStops(const RuleInput& input, Report& report)
        : input_(input),
          report_(report),
          follower_(input.circuit, input.facts),
          judge_(input.circuit, input.facts, follower_),
          stops_(stops_of(input.circuit, follower_)) {
        for (const Edge& edge : input.circuit.edges)
            if (is_driver(edge.role)) electronics_stuck_.forced.push_back({id_of(edge), true});
    }

    void look_at_all() {
        for (const PartId stop : stops_) look_at(stop);
    }

  private:
    EdgeId id_of(const Edge& edge) const {
        return EdgeId(static_cast<std::size_t>(&edge - input_.circuit.edges.data()));
    }
    const Mode& mode(ModeId id) const { return input_.harness.modes[id.index()]; }
    std::string in_mode(ModeId id) const { return "mode " + std::string(mode(id).name); }

    // Drives; in a machine without any, all that uses power.
    bool has_drives() const { return !follower_.drives().empty(); }
    std::size_t users() const { return has_drives() ? follower_.drives().size() : follower_.loads().size(); }
    PartId user(std::size_t i) const {
        return has_drives() ? follower_.drives()[i].part : input_.circuit.edge(follower_.loads()[i]).part;
    }
    // Nullopt where it does not run anyway.
    std::optional<StopEffect> effect(ModeId id, std::size_t i, const HandStop& hand,
                                     const CircuitChange& failure = {}) const {
        if (has_drives()) {
            if (!judge_.can_run(id, i, failure)) return std::nullopt;
            return judge_.effect(id, i, hand, failure);
        }
        if (follower_.follow(id, {}, failure).loads[i] == FedState::off) return std::nullopt;
        const bool off = follower_.follow(id, hand.change, failure).loads[i] == FedState::off;
        return off ? StopEffect::cuts : StopEffect::none;
    }

    std::optional<HandStop> hand_at(PartId stop, ModeId id) const {
        return hand_stop(input_.circuit, mode(id), stop);
    }
    bool runs(ModeId id, std::size_t i) const {
        return has_drives() ? follower_.as_drawn(id).drives[i] == DriveState::runs
                            : follower_.as_drawn(id).loads[i] != FedState::off;
    }

    void look_at(PartId stop) {
        std::optional<Done> best;
        std::vector<Done> none, pulled;     // users that run on all the same; those that lose their power
        std::map<std::size_t, Done> asked;  // that never lose it, at their best: it asks them at the most
        for (std::size_t m = 0; m < input_.harness.modes.size(); ++m) {
            const ModeId id(m);
            const std::optional<HandStop> hand = hand_at(stop, id);
            for (std::size_t i = 0; hand && i < users(); ++i) {
                const std::optional<StopEffect> now = effect(id, i, *hand);
                if (!now) continue;
                if (!best || *now > best->effect) best = Done{*now, id, i};
                if (*now == StopEffect::none && runs(id, i)) none.push_back({*now, id, i});
                if (*now >= StopEffect::pulls) pulled.push_back({*now, id, i});
                const auto known = asked.try_emplace(i, Done{*now, id, i}).first;
                if (*now > known->second.effect) known->second = Done{*now, id, i};
            }
        }
        if (!best) return;
        look_at_brakes(stop);
        look_at_precharge(stop, pulled);
        if (best->effect < StopEffect::pulls) return tell(stop, *best);
        // What it stops in one mode it has to stop in all, whatever another one does.
        for (const bool alone : {true, false})
            for (const Done& left : none)
                if (left.user == best->user && alone == !other_stop(stop, left))
                    return tell_left_running(stop, *best, left, alone ? Severity::error : Severity::warning);
        // Of others it has to be said that they run on: gravest where they run beside what it stops.
        for (const bool together : {true, false})
            for (const Done& left : none)
                for (const Done& beside : pulled)
                    if (has_drives() && (!together || left.mode == beside.mode) && !other_stop(stop, left))
                        return tell_left_running(stop, beside, left,
                                                 together ? Severity::error : Severity::warning);
        // It takes the power from one drive and only the key from another.
        for (const auto& [user, done] : asked)
            if (has_drives() && done.effect == StopEffect::asks) return tell(stop, done);
        if (has_drives()) look_at_electronics(stop, *best);
    }
    // A precharge relay that stays in keeps what the stop took the power from at nearly all of it.
    void look_at_precharge(PartId stop, const std::vector<Done>& pulled) {
        for (const Done& each : pulled) {
            const std::optional<HandStop> hand = hand_at(stop, each.mode);
            if (!hand || !has_drives() || !runs(each.mode, each.user)) continue;
            const FollowedState after = follower_.follow(each.mode, hand->change, {});
            if (after.drives[each.user] != DriveState::charged) continue;
            for (std::size_t i = 0; i < follower_.coils().size(); ++i) {
                if (!after.pulled[i]) continue;
                HandStop opened = *hand;
                for (const EdgeId id : input_.circuit.edges_of_part[follower_.coils()[i].index()])
                    if (input_.circuit.edge(id).role == EdgeRole::switching)
                        opened.change.forced.push_back({id, false});
                if (follower_.follow(each.mode, opened.change, {}).drives[each.user] < DriveState::charged)
                    return tell_charged(stop, each, follower_.coils()[i]);
            }
        }
    }
    void tell_charged(PartId stop, const Done& left, PartId relay) {
        Finding finding = begin(stop, left, Severity::warning);
        const std::string name = named(input_.harness, relay);
        finding.message = named(input_.harness, stop) + " takes the power from " + name_of(left.user) +
                          " and leaves it charged";
        finding.beside = name + " stays closed when it opens, and feeds it through a resistor";
        finding.working = {"opened in " + in_mode(left.mode) +
                           ", contacts following their coils: " + name_of(left.user) +
                           " stays live through " + name + ", and the resistor carries what it draws"};
        finding.related.push_back({input_.harness.part(relay).where, name + " is here"});
        finding.help = "the coil of " + name + " behind the stop as well";
        report_.add(std::move(finding));
    }
    // What holds unfed and stays fed in a mode in which the power of what drives goes: nothing drives, and
    // nothing holds.
    void look_at_brakes(PartId stop) {
        for (std::size_t brake = 0; brake < follower_.loads().size(); ++brake) {
            const PartId part = input_.circuit.edge(follower_.loads()[brake]).part;
            if (!holds_unfed(input_.harness, input_.harness.part(part))) continue;
            std::optional<Done> left;
            bool gravest = false;  // no other stop lets it fall, and no electronics
            for (std::size_t m = 0; m < input_.harness.modes.size() && !gravest; ++m)
                if (const std::optional<Done> here = stopped_beside(stop, ModeId(m), brake)) {
                    gravest = !dropped_otherwise(stop, ModeId(m), brake);
                    if (!left || gravest) left = here;
                }
            if (left) tell_released(stop, *left, brake, gravest);
        }
    }
    bool is_released(ModeId id, std::size_t brake, const CircuitChange& hand,
                     const CircuitChange& failure = {}) const {
        return follower_.follow(id, hand, failure).loads[brake] != FedState::off;
    }
    // What runs in the mode and loses its power to the stop while the brake keeps its own.
    std::optional<Done> stopped_beside(PartId stop, ModeId id, std::size_t brake) const {
        const std::optional<HandStop> hand = hand_at(stop, id);
        if (!hand || !is_released(id, brake, {}) || !is_released(id, brake, hand->change))
            return std::nullopt;
        for (std::size_t i = 0; i < users(); ++i) {
            if (!runs(id, i) || holds_unfed(input_.harness, input_.harness.part(user(i)))) continue;
            const std::optional<StopEffect> now = effect(id, i, *hand);
            if (now && *now >= StopEffect::asks) return Done{*now, id, i};
        }
        return std::nullopt;
    }
    // Another stop does it, or the driver pins of the machine when they let go.
    bool dropped_otherwise(PartId stop, ModeId id, std::size_t brake) const {
        CircuitChange let_go;
        for (const CircuitChange::Forced& driver : electronics_stuck_.forced)
            let_go.forced.push_back({driver.edge, false});
        if (!let_go.forced.empty() && !is_released(id, brake, {}, let_go)) return true;
        return std::any_of(stops_.begin(), stops_.end(), [&](PartId other) {
            const std::optional<HandStop> hand = other == stop ? std::nullopt : hand_at(other, id);
            return hand && !is_released(id, brake, hand->change);
        });
    }
    void tell_released(PartId stop, const Done& left, std::size_t brake, bool gravest) {
        const PartId part = input_.circuit.edge(follower_.loads()[brake]).part;
        const bool grave = gravest || called_emergency(input_.harness.part(stop));
        Finding finding = begin(stop, left, grave ? Severity::warning : Severity::note);
        const std::string held = named(input_.harness, part);
        finding.message = named(input_.harness, stop) + " stops " + name_of(left.user) + " and leaves " +
                          held + " released";
        finding.beside = held + " stays fed when it opens, and holds only unfed";
        finding.working = {
            "opened in " + in_mode(left.mode) + ", contacts following their coils: " + name_of(left.user) +
                (left.effect == StopEffect::asks ? " is asked to stop, " : " loses its supply, ") + held +
                " keeps its own",
            "nothing drives, and nothing holds: on a slope it rolls"};
        if (!gravest)
            finding.working.emplace_back("another stop, or electronics that let go, would let it fall");
        finding.related.push_back({input_.harness.part(part).where, held + " is here"});
        finding.help = "the feed of " + held + ", or of the coil that switches it, behind the stop";
        report_.add(std::move(finding));
    }

    // Whether it does so only by way of electronics that let a coil go.
    void look_at_electronics(PartId stop, const Done& best) {
        const std::optional<HandStop> hand = hand_at(stop, best.mode);
        if (!hand || electronics_stuck_.forced.empty()) return;
        const std::optional<StopEffect> stuck = effect(best.mode, best.user, *hand, electronics_stuck_);
        if (!stuck || *stuck >= StopEffect::pulls) return;
        const Done left{*stuck, best.mode, best.user};
        if (other_stop(stop, left, electronics_stuck_)) return;
        Finding finding = begin(stop, left, Severity::warning);
        finding.message = named(input_.harness, stop) + " takes the power from " + name_of(best.user) +
                          " only if electronics let go of a coil";
        finding.beside = "a driver pin that fails short keeps it closed";
        finding.working = {"opened in " + in_mode(best.mode) +
                           " with every driver pin stuck on: " + name_of(best.user) + " keeps its supply"};
        finding.help = "in line with the coil, so that it opens whatever the driver pin does";
        report_.add(std::move(finding));
    }

    // A contactor that parts the user from its supply and stays in when the stop is struck.
    PartId contactor_left_in(const Done& done, const HandStop& hand) const {
        const FollowedState after = follower_.follow(done.mode, hand.change, {});
        for (std::size_t i = 0; i < follower_.coils().size(); ++i) {
            if (!after.pulled[i]) continue;
            HandStop opened = hand;
            for (const EdgeId id : input_.circuit.edges_of_part[follower_.coils()[i].index()])
                if (input_.circuit.edge(id).role == EdgeRole::switching)
                    opened.change.forced.push_back({id, false});
            const std::optional<StopEffect> now = effect(done.mode, done.user, opened);
            if (now && *now >= StopEffect::pulls) return follower_.coils()[i];
        }
        return {};
    }
    // Another stop that takes the power from the same user there.
    PartId other_stop(PartId stop, const Done& done, const CircuitChange& failure = {}) const {
        for (const PartId other : stops_) {
            if (other == stop) continue;
            const std::optional<HandStop> hand = hand_at(other, done.mode);
            if (!hand) continue;
            const std::optional<StopEffect> now = effect(done.mode, done.user, *hand, failure);
            if (now && *now >= StopEffect::pulls) return other;
        }
        return {};
    }

    // Whether something that uses power and does not drive loses its packs by a contactor.
    bool cuts_off(ModeId id, PartId contactor) const {
        const auto fed = [&](bool closed) {
            DisjointSets joined = pieces(input_.circuit, [&](EdgeId each) {
                const Edge& edge = input_.circuit.edge(each);
                return is_conductor(edge.role) && (closed || edge.part != contactor) &&
                       is_closed(input_.circuit, mode(id), edge);
            });
            std::set<PartId> parts = on_both_poles(input_.circuit, joined);
            for (const Follower::DriveEntry& drive : follower_.drives()) parts.erase(drive.part);
            return parts.size();
        };
        return fed(false) < fed(true);
    }
    // A contactor that lets go when the stop is struck and cuts something off, though no drive hangs on it;
    // invalid: none does.
    PartId lets_go(PartId stop) const {
        for (std::size_t m = 0; m < input_.harness.modes.size(); ++m) {
            const std::optional<HandStop> hand = hand_at(stop, ModeId(m));
            if (!hand) continue;
            const FollowedState after = follower_.follow(ModeId(m), hand->change, {});
            for (std::size_t i = 0; i < follower_.coils().size(); ++i)
                if (follower_.as_drawn(ModeId(m)).pulled[i] && !after.pulled[i] &&
                    input_.harness.part(follower_.coils()[i]).kind == Kind::contactor &&
                    cuts_off(ModeId(m), follower_.coils()[i]))
                    return follower_.coils()[i];
        }
        return {};
    }
    std::string name_of(std::size_t i) const { return named(input_.harness, user(i)); }
    Finding begin(PartId stop, const Done& done, Severity severity) const {
        Finding finding = finding_about(input_, "idle-stop", severity, stop);
        finding.source = "IEC 60204-1 9.2.2 (memory)";
        if (called_stop(input_.harness, input_.harness.part(stop)))
            finding.source +=
                "; taken for a stop: it rests closed and is called one (`stop no` if it is none)";
        finding.mode = done.mode;
        finding.related.push_back(
            {input_.harness.part(user(done.user)).where, name_of(done.user) + " is here"});
        return finding;
    }
    void tell_left_running(PartId stop, const Done& best, const Done& left, Severity severity) {
        Finding finding = begin(stop, left, severity);
        const std::string name = named(input_.harness, stop);
        finding.message =
            left.user == best.user
                ? name + " stops " + name_of(best.user) + " in " + in_mode(best.mode) + " and not in " +
                      in_mode(left.mode)
                : name + " stops " + name_of(best.user) + " and lets " + name_of(left.user) + " run on";
        finding.beside = name_of(left.user) + " keeps its supply when it opens";
        finding.working = {"opened in " + in_mode(left.mode) +
                           ", contacts following their coils: " + name_of(left.user) + " runs as before"};
        const PartId other = other_stop(stop, left);
        finding.working.push_back(other ? named(input_.harness, other) + " takes the power from it"
                                        : "no other stop takes the power from it");
        finding.help =
            "every way of its supply, or the coil of what switches it, behind the stop; or a stop of its "
            "own";
        report_.add(std::move(finding));
    }
    void tell(PartId stop, const Done& best) {
        const std::optional<HandStop> hand = hand_at(stop, best.mode);
        if (!hand) return;
        const PartId left_in = contactor_left_in(best, *hand), other = other_stop(stop, best);
        const bool asks = best.effect == StopEffect::asks;
        // What opens a contactor that is none of the drive's is the stop of what hangs there.
        const PartId of_another = asks ? PartId() : lets_go(stop);
        Finding finding =
            begin(stop, best,
                  of_another && !called_emergency(input_.harness.part(stop)) ? Severity::warning
                  : called_emergency(input_.harness.part(stop)) && !asks     ? Severity::error
                  : other ? !asks || called_emergency(input_.harness.part(stop)) ? Severity::warning
                                                                                 : Severity::note
                  : asks && !left_in ? Severity::warning
                                     : Severity::error);
        const std::string name = named(input_.harness, stop), driven = name_of(best.user);
        finding.message = asks         ? name + " only asks " + driven + " to stop, and leaves it its supply"
                          : of_another ? name + " opens " + named(input_.harness, of_another) +
                                             " and stops nothing that drives"
                                       : name + " stops nothing";
        finding.beside = left_in ? named(input_.harness, left_in) + " stays closed when it opens"
                                 : driven + " keeps its supply when it opens";
        finding.working = {"opened in " + in_mode(best.mode) + ", contacts following their coils: " + driven +
                               (asks ? " has its supply, and no key or enable" : " runs as before"),
                           asks ? "electronics that fail do not obey"
                                : "the same in every mode, and of all that runs there"};
        if (left_in)
            finding.related.push_back(
                {input_.harness.part(left_in).where, named(input_.harness, left_in) + " is here"});
        if (other) finding.working.push_back(named(input_.harness, other) + " takes the power from it");
        finding.help = left_in ? "in line with the coil of " + named(input_.harness, left_in) +
                                     ", behind everything else that feeds it"
                               : "a contactor on the way of the power, its coil through the stop";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    Follower follower_;
    StopJudge judge_;
    std::vector<PartId> stops_;
    CircuitChange electronics_stuck_;
};

void run(const RuleInput& input, Report& report) {
    if (has_stop(input.harness)) IdleStops(input, report).look_at_all();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::idle_stops
