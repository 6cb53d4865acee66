#include "checker/switching/transients.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/inrush.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/switching/mode_follower.hpp"
#include "checker/switching/unstated_time.hpp"

namespace loomward {

using namespace literals;

namespace {

// What can weld or spark when it closes.
bool is_contact(EdgeRole role) {
    return role == EdgeRole::switching || role == EdgeRole::contact || role == EdgeRole::breaker ||
           role == EdgeRole::trip || role == EdgeRole::protector;
}

}  // namespace

// In a circle of modes each is followed from the one after it round to itself: what another began with does
// not count.
void ModeFollower::forget_circle(ModeId id) {
    std::vector<ModeId> passed;
    for (ModeId at = mode(id).after; at && at != id; at = mode(at).after) {
        if (std::find(passed.begin(), passed.end(), at) != passed.end()) return;  // a circle further back
        passed.push_back(at);
    }
    if (passed.empty() || mode(passed.back()).after != id) return;
    passed.push_back(id);
    for (const ModeId at : passed) followed_[at.index()].reset();
}

// Earliest mode of the chain first, so that no chain is followed by recursion.
ModeFollower::Followed& ModeFollower::follow(ModeId id) {
    std::vector<ModeId> chain;
    for (ModeId at = id; at && !followed_[at.index()]; at = mode(at).after) {
        if (std::find(chain.begin(), chain.end(), at) != chain.end()) break;  // after itself: begin here
        chain.push_back(at);
    }
    for (; !chain.empty(); chain.pop_back()) {
        const ModeId at = chain.back();
        const Mode& here = mode(at);
        Followed next;
        next.scene = scene_of(quiet(circuit_, here), at);
        NetworkSolution settled = solve(next.scene.network);
        next.settles_V = across(settled);
        next.settled_A = std::move(settled.branch_A);
        const bool stated = here.after && followed_[here.after.index()];
        if (!stated) {
            const auto before_V = charged_unstated(at);
            next.lost = !before_V;
            next.before_V = before_V ? *before_V : next.settles_V;
        } else if (!capacitors_.empty()) {
            enter_from(here, next);
        }
        followed_[at.index()] = std::move(next);
    }
    return *followed_[id.index()];
}

// What capacitors have when a mode closes its own contacts that does not say what it is entered from: from
// what is always connected, and then for a moment from what the mode takes over. nullopt: could not be
// followed.
std::optional<std::vector<double>> ModeFollower::charged_unstated(ModeId id) const {
    const Scene taken_over = scene_of(quiet(circuit_, before_lines(id)), id);
    std::vector<double> settled_V = across(solve(taken_over.network));
    if (capacitors_.empty()) return settled_V;
    const Scene always = scene_of(quiet(circuit_, before_anything(made(id) ? made(id)->open : mode(id))), id);
    std::vector<double> always_V = across(solve(always.network));
    if (any_resistor()) {
        // A bleed or sense lead of a megohm charges nothing before somebody switches on.
        const ChargeCourse slow(always.network, charged(std::vector<double>(capacitors_.size(), 0)),
                                connected_s);
        if (!slow.solved()) return std::nullopt;
        always_V = slow.at(connected_s);
    }
    if (std::equal(always_V.begin(), always_V.end(), settled_V.begin(),
                   [](double a, double b) { return std::abs(a - b) <= 1e-3 * std::abs(b); }))
        return settled_V;
    // All together: what feeds one of several on a bus feeds them all.
    const ChargeCourse course(taken_over.network, charged(always_V), unstated_s);
    if (!course.solved()) return std::nullopt;
    return course.at(unstated_s);
}

void ModeFollower::enter_from(const Mode& here, Followed& next) {
    const ChargeCourse& earlier = course(here.after);
    next.lost = followed_[here.after.index()]->lost || !earlier.solved();
    next.before_V = next.lost ? next.settles_V : earlier.at(here.after_s);
}

ChargeCourse& ModeFollower::course(ModeId id) {
    Followed& now = *followed_[id.index()];
    if (!now.course) now.course.emplace(now.scene.network, charged(now.before_V));
    return *now.course;
}

std::optional<std::vector<double>> ModeFollower::charged_before(ModeId id) {
    forget_circle(id);
    const Followed& now = follow(id);
    return now.lost ? std::nullopt : std::optional(now.before_V);
}

bool ModeFollower::changes_packs(ModeId id) const {
    const Mode& here = mode(id);
    if (!here.after || here.after == id) return false;
    const auto packs = [&](const Mode& state) {
        DisjointSets joined = pieces(circuit_, [&](EdgeId each) {
            return is_conductor(circuit_.edge(each).role) && is_closed(circuit_, state, circuit_.edge(each));
        });
        std::vector<std::set<PartId>> found(capacitors_.size());
        for (const Edge& pack : circuit_.edges)
            for (std::size_t k = 0; pack.role == EdgeRole::emf && k < found.size(); ++k)
                if (joined.same(pack.to.index(), circuit_.edge(capacitors_[k].edge).from.index()))
                    found[k].insert(pack.part);
        return found;
    };
    const auto before = packs(mode(here.after)), now = packs(here);
    for (std::size_t k = 0; k < before.size(); ++k)
        if (!before[k].empty() && !now[k].empty() &&
            std::none_of(now[k].begin(), now[k].end(), [&](PartId part) { return before[k].contains(part); }))
            return true;
    return false;
}

std::optional<ModeEntry> ModeFollower::enter(ModeId id, bool& lost, const std::vector<double>* charged_V) {
    const Mode& here = mode(id);
    ModeEntry entry;
    find_closing(here, earlier_than(id), entry);
    if (entry.closing.empty()) return std::nullopt;
    forget_circle(id);
    const Followed& now = follow(id);
    if (now.lost) {
        lost = true;
        return std::nullopt;
    }
    entry.mode = made(id) ? made(id)->told_as : id;
    entry.corner = corner_;
    entry.from = here.after;
    entry.from_s = here.after_s;
    const std::vector<double>& before_V = charged_V ? *charged_V : now.before_V;
    entry.from_other_pack = charged_V != nullptr;
    solve_moment(id, now, before_V, entry);
    lost = entry.moment.node_V.empty();
    if (lost) return std::nullopt;
    const double share = facts_.policy("precharge-to"_attr).lo / 100;
    for (std::size_t k = 0; k < capacitors_.size(); ++k) {
        CapacitorState state{capacitors_[k].edge,
                             capacitors_[k].capacitance_F,
                             before_V[k],
                             now.settles_V[k],
                             before_V[k],
                             0,
                             never_s};
        if (here.after && followed_[here.after.index()]) {
            const ChargeCourse& earlier = course(here.after);
            if (earlier.solved()) {
                const double wanted_V = share * now.settles_V[k];
                state.reaches_V = earlier.at(1e9)[k];
                state.resistance_ohm = earlier.resistance_ohm(k);
                const double began_V = followed_[here.after.index()]->before_V[k];
                state.needed_s = began_V >= wanted_V ? 0 : earlier.when(k, wanted_V);
            }
        }
        entry.capacitors.push_back(state);
    }
    return entry;
}

// A plug that some mode has unmated is mated when a mode begins that takes over no other: whoever parts it
// there mates it for this one.
Mode ModeFollower::earlier_than(const Mode& here) const {
    if (here.after) return mode(here.after);
    Mode earlier = before_its_lines(here);
    const bool takes_over = std::any_of(here.states.begin(), here.states.end(), [](const State& state) {
        return state.stated_by == StatedBy::inherited;
    });
    if (takes_over) return earlier;
    for (std::size_t i = 0; i < earlier.states.size(); ++i)
        if (parted_[i] && earlier.states[i].posture == Posture::mated)
            earlier.states[i].posture = Posture::unmated;
    return earlier;
}

void ModeFollower::find_closing(const Mode& here, const Mode& earlier, ModeEntry& entry) const {
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (is_contact(edge.role) && is_closed(circuit_, here, edge) && !is_closed(circuit_, earlier, edge))
            entry.closing.push_back({EdgeId(i), 0, 0, 0});
    }
}

// Small capacitors that are full empty themselves into large ones before a contact feels it: they give no
// current that counts. Everything else does.
std::vector<std::size_t> ModeFollower::counted_at_once(const Followed& now,
                                                       const std::vector<double>& before_V) const {
    const auto lacks = [&](std::size_t k) {
        return std::abs(now.settles_V[k] - before_V[k]) > 0.02 * std::abs(now.settles_V[k]);
    };
    double largest_F = 0;
    for (std::size_t k = 0; k < capacitors_.size(); ++k)
        if (lacks(k)) largest_F = std::max(largest_F, capacitors_[k].capacitance_F);
    std::vector<std::size_t> counted;
    for (std::size_t k = 0; k < capacitors_.size(); ++k)
        if (lacks(k) || capacitors_[k].capacitance_F >= 0.5 * largest_F) counted.push_back(k);
    return counted;
}

void ModeFollower::solve_moment(ModeId id, const Followed& now, const std::vector<double>& before_V,
                                ModeEntry& entry) {
    OperatingPoint& moment = entry.moment;
    moment.mode = entry.mode;
    moment.corner = corner_;
    const std::vector<std::size_t> counted = counted_at_once(now, before_V);
    const std::vector<Capacitance> all = charged(before_V);
    std::vector<Capacitance> held;
    for (const std::size_t k : counted) held.push_back(all[k]);
    const NetworkSolution first = solve(with_held_capacitors(now.scene.network, held));
    if (first.status == SolveStatus::not_converged) return;
    moment.status = SolveStatus::solved;
    moment.worst_residual_A = first.worst_residual_A;
    moment.node_V = first.node_V;
    moment.edge_A.assign(circuit_.edges.size(), 0);
    const std::size_t branches = now.scene.network.branches.size();
    for (std::size_t i = 0; i < branches; ++i)
        if (const EdgeId edge = now.scene.edge_of_branch[i]) moment.edge_A[edge.index()] += first.branch_A[i];
    for (std::size_t i = 0; i < counted.size(); ++i)
        moment.edge_A[capacitors_[counted[i]].edge.index()] -= first.branch_A[branches + i];
    const Scene open = scene_of(quiet(circuit_, earlier_than(id)), id);
    const NetworkSolution before = solve(with_held_capacitors(open.network, all));
    for (ClosingContact& contact : entry.closing) {
        const Edge& edge = circuit_.edge(contact.edge);
        contact.current_A = moment.edge_A[contact.edge.index()];
        if (!before.node_V.empty())
            contact.before_V = before.node_V[edge.from.index()] - before.node_V[edge.to.index()];
    }
    take_load_currents(now, now.settled_A, entry);
    if (any_surges() && !before.node_V.empty()) surge(now, before, entry);
}

// The loads alone, those that were dead before drawing what they draw when switched on.
void ModeFollower::surge(const Followed& now, const NetworkSolution& before, ModeEntry& entry) const {
    if (const std::vector<double> stated_A = surged_A(now, before, entry, true); !stated_A.empty())
        take_load_currents(now, stated_A, entry);
    for (ClosingContact& contact : entry.closing) contact.blocked_A = contact.load_A;
    const std::vector<double> blocked_A = surged_A(now, before, entry, false);
    for (std::size_t i = 0; i < blocked_A.size(); ++i)
        for (ClosingContact& contact : entry.closing)
            if (now.scene.edge_of_branch[i] == contact.edge) contact.blocked_A = blocked_A[i];
}

std::vector<double> ModeFollower::surged_A(const Followed& now, const NetworkSolution& before,
                                           ModeEntry& entry, bool stated) const {
    Network network = now.scene.network;
    bool any = false;
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const EdgeId id = now.scene.edge_of_branch[i];
        // What draws a power keeps its current meanwhile: a converter limits what its loads surge.
        // What draws nothing stays what it is: a current of 0 A would leave its ends loose.
        const double drawn_A = now.settled_A.empty() ? 0 : now.settled_A[i];
        if (drawn_A > 1e-6 && (network.branches[i].type == Branch::Type::power_load ||
                               network.branches[i].type == Branch::Type::converter_input)) {
            network.branches[i].type = Branch::Type::current_load;
            network.branches[i].current_A = drawn_A;
        }
        if (!id) continue;
        const Edge& edge = circuit_.edge(id);
        if ((edge.role != EdgeRole::load && edge.role != EdgeRole::controller) || !surges_[edge.part.index()])
            continue;
        const double before_V = before.node_V[edge.from.index()] - before.node_V[edge.to.index()];
        const double now_V = entry.moment.node_V[edge.from.index()] - entry.moment.node_V[edge.to.index()];
        if (now_V <= 0 || before_V > 0.5 * now_V) continue;
        const auto inrush = inrush_of(facts_, edge.part);
        if (stated && !inrush->stated) continue;
        if (stated) entry.starting.push_back(id);
        Branch& branch = network.branches[i];
        branch.type = Branch::Type::current_load;
        branch.current_A = inrush->current.hi;
        branch.knee_V = std::max(0.25 * now_V, 1e-3);
        any = any || inrush->stated == stated;
    }
    return any ? solve(network).branch_A : std::vector<double>();
}

void ModeFollower::take_load_currents(const Followed& now, const std::vector<double>& branch_A,
                                      ModeEntry& entry) const {
    if (branch_A.empty()) return;
    OperatingPoint& loads = entry.loads;
    loads.mode = entry.mode;
    loads.corner = corner_;
    loads.edge_A.assign(circuit_.edges.size(), 0);
    for (std::size_t i = 0; i < branch_A.size(); ++i)
        if (const EdgeId edge = now.scene.edge_of_branch[i]) loads.edge_A[edge.index()] = branch_A[i];
    for (ClosingContact& contact : entry.closing) contact.load_A = loads.edge_A[contact.edge.index()];
}

namespace {

// Of two packs one may be full and the other empty. False: it could not be followed.
bool add_changed_over(ModeFollower& empty, ModeFollower& full, ModeId mode, Transients& all) {
    if (!empty.changes_packs(mode)) return true;
    const auto charged_V = full.charged_before(mode);
    bool lost = !charged_V;
    if (lost) return false;
    if (auto entry = empty.enter(mode, lost, &*charged_V)) all.changed_over.push_back(std::move(*entry));
    return !lost;
}

}  // namespace

Transients follow_transients(const Circuit& circuit, const Facts& facts, std::string_view only_mode) {
    Transients all;
    std::vector<ModeFollower> followers;
    followers.reserve(2);
    for (const Corner corner : {Corner::run_hot, Corner::run_full})
        followers.emplace_back(circuit, facts, corner);
    if (followers.front().nothing_to_follow()) return all;
    for (std::size_t i = 0; i < circuit.harness->modes.size(); ++i) {
        if (!only_mode.empty() && circuit.harness->modes[i].name != only_mode) continue;
        for (ModeFollower& follower : followers) {
            const bool full = &follower == &followers.back();
            bool lost = false;
            std::optional<ModeEntry> entry = follower.enter(ModeId(i), lost);
            if (entry) {
                if (full) lost = !follower.add_pulses(*entry, all.pulses) || lost;
                all.entries.push_back(std::move(*entry));
            }
            if (full) lost = !add_changed_over(followers.front(), follower, ModeId(i), all) || lost;
            if (full) lost = !follower.add_discharges(ModeId(i), all.discharges, all.pulses) || lost;
            if (lost && (all.not_followed.empty() || all.not_followed.back() != ModeId(i)))
                all.not_followed.emplace_back(i);
        }
    }
    if (only_mode.empty())
        for (const PartId part : followers.front().closed_by_no_mode())
            for (ModeEntry& entry : closed_last(followers, part, all.not_followed))
                all.closed_last.push_back(std::move(entry));
    std::sort(all.not_followed.begin(), all.not_followed.end());
    return all;
}

}  // namespace loomward
