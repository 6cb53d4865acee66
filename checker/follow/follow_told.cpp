// What is told of a state that has settled.
#include <algorithm>

#include "checker/follow/follow_net.hpp"

namespace loomward {

// Nets that resistors alone join to one, itself first; not past a source, nor past `end`.
std::vector<std::uint32_t> Follower::by_resistors(Net& net, std::uint32_t from, std::uint32_t end) const {
    std::vector<std::uint32_t> reached{from};
    for (std::size_t head = 0; head < reached.size(); ++head) {
        const std::uint32_t here = reached[head];
        if (here == end || (head > 0 && (net.give_island[here] || net.take_island[here]))) continue;
        for (const Link& link : resistors_) {
            if (net.forced[link.edge.index()] == 0) continue;
            const std::uint32_t a = net.root(link.a), b = net.root(link.b);
            if (a != here && b != here) continue;
            const std::uint32_t there = a == here ? b : a;
            if (std::find(reached.begin(), reached.end(), there) == reached.end()) reached.push_back(there);
        }
    }
    return reached;
}

// Of a drive without supply: whatever pole the resistors lie in, and however many they are.
DriveState Follower::through_resistors(Net& net, const User& user) const {
    const std::uint32_t plus = net.root(user.plus), minus = net.root(user.minus);
    if (plus == minus) return DriveState::dead;
    const std::vector<std::uint32_t> above = by_resistors(net, plus, minus),
                                     below = by_resistors(net, minus, plus);
    DriveState found = DriveState::dead;
    for (const std::uint32_t up : above)
        for (const std::uint32_t down : below) {
            if (up == minus) found = std::max(found, DriveState::bled);
            if (up == minus || down == plus) continue;
            User moved = user;
            moved.plus = up;
            moved.minus = down;
            if (across_V(net, moved) >= user.least_V) found = DriveState::charged;
        }
    return found;
}

DriveState Follower::drive_state(Net& net, ModeId mode, std::size_t drive) const {
    const DriveEntry& entry = drives_[drive];
    const User& user = users_[static_cast<std::size_t>(user_of_edge_[entry.edge.index()])];
    const Mode& said = circuit_.harness->modes[mode.index()];
    const State& state = said.states[entry.part.index()];
    if (fed(net, user) == FedState::off) return through_resistors(net, user);
    if (!entry.controller) return state.posture == Posture::off ? DriveState::live : DriveState::runs;
    bool any = false;
    if (!pins_fed(net, entry.part, any) || net.is_dead(entry.part)) return DriveState::live;
    const bool asked = state.profile >= 0 ||
                       std::find(net.failure->running.begin(), net.failure->running.end(), entry.part) !=
                           net.failure->running.end();
    return asked ? DriveState::runs : DriveState::ready;
}

FollowedState Follower::told(Net& net, ModeId mode) const {
    FollowedState state;
    state.settles = !net.chatters;
    const Mode& said = circuit_.harness->modes[mode.index()];
    for (std::size_t i = 0; i < drives_.size(); ++i) state.drives.push_back(drive_state(net, mode, i));
    const auto fed_of = [&](EdgeId id) {
        const PartId part = circuit_.edge(id).part;
        // A controller at rest is off in the sense of a mode, and has its key all the same.
        const bool off = (said.states[part.index()].posture == Posture::off &&
                          circuit_.harness->part(part).kind != Kind::controller) ||
                         net.is_dead(part);
        const FedState how = fed(net, users_[static_cast<std::size_t>(user_of_edge_[id.index()])]);
        return off && how == FedState::fed ? FedState::off : how;
    };
    for (const EdgeId id : loads_) state.loads.push_back(fed_of(id));
    for (const EdgeId id : others_) state.feeds.push_back(fed_of(id));
    state.pulled = net.pulled;
    state.shorted = net.shorted;
    return state;
}

FollowedState Follower::follow(ModeId mode, const CircuitChange& hand, const CircuitChange& failure) const {
    Net net(nodes_);
    start(net, mode, hand, failure);
    settle(net, mode, false);
    return told(net, mode);
}

FollowedState Follower::follow_held(ModeId mode, const CircuitChange& hand,
                                    const CircuitChange& failure) const {
    Net before(nodes_);
    const CircuitChange nothing;
    start(before, mode, nothing, failure);
    settle(before, mode, false);
    Net net(nodes_);
    start(net, mode, hand, failure);
    net.pulled = before.pulled;
    settle(net, mode, true);
    return told(net, mode);
}

FollowedState Follower::follow_undone(ModeId mode, const CircuitChange& hand, PartId let_go) const {
    const CircuitChange nothing;
    Net meanwhile(nodes_);
    start(meanwhile, mode, hand, nothing);
    settle(meanwhile, mode, false);
    const std::int32_t coil = let_go ? coil_of_part_[let_go.index()] : -1;
    if (coil >= 0 && !meanwhile.chatters) {
        meanwhile.pulled[static_cast<std::size_t>(coil)] = 0;
        settle(meanwhile, mode, false);
    }
    if (meanwhile.chatters) return told(meanwhile, mode);
    Net net(nodes_);
    start(net, mode, nothing, nothing);
    net.pulled = meanwhile.pulled;
    settle(net, mode, false);
    return told(net, mode);
}

bool Follower::forces_nothing_new(ModeId mode, const CircuitChange& change) const {
    return std::all_of(change.forced.begin(), change.forced.end(), [&](const CircuitChange::Forced& each) {
        return (closed_[mode.index()][each.edge.index()] != 0) == each.conducts;
    });
}

// The reduced node itself, or the two ends of the row that it lies in.
std::pair<std::uint32_t, std::uint32_t> Follower::ends_at(NodeId node) const {
    if (reduced_[node.index()] < nodes_) return {reduced_[node.index()], reduced_[node.index()]};
    const std::uint32_t row = row_[circuit_.at(node).front().edge.index()];
    for (const Link& link : links_)
        if (link.stiff == static_cast<std::int32_t>(row)) return {link.a, link.b};
    return {0, 0};
}

double Follower::highest_V(ModeId mode, const CircuitChange& failure, NodeId node) const {
    Net net(nodes_);
    const CircuitChange nothing;
    start(net, mode, nothing, failure);
    settle(net, mode, false);
    const auto [a, b] = ends_at(node);
    double most_V = 0;
    for (const std::uint32_t root : {net.root(a), net.root(b)})
        if (net.give_island[root]) most_V = std::max(most_V, net.give_V[root]);
    return most_V;
}

double Follower::fed_V(ModeId mode, const CircuitChange& failure, std::size_t drive) const {
    Net net(nodes_);
    const CircuitChange nothing;
    start(net, mode, nothing, failure);
    settle(net, mode, false);
    return across_V(net, users_[static_cast<std::size_t>(user_of_edge_[drives_[drive].edge.index()])]);
}

bool Follower::on_pack(ModeId mode, const CircuitChange& failure, std::size_t drive) const {
    Net net(nodes_);
    const CircuitChange nothing;
    start(net, mode, nothing, failure);
    settle(net, mode, false);
    const User& user = users_[static_cast<std::size_t>(user_of_edge_[drives_[drive].edge.index()])];
    const std::uint32_t plus = net.root(user.plus), minus = net.root(user.minus);
    return net.stiff[plus] && net.stiff[minus] && net.give_island[plus] == net.give_island[minus];
}

}  // namespace loomward
