#include "checker/follow/follow.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/follow/follow_net.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

namespace {

constexpr int most_rounds = 24;  // no chain of coils is as long
constexpr double unknown_V = std::numeric_limits<double>::quiet_NaN();
constexpr double hair_V = 1e-6;

}  // namespace

void Follower::start(Net& net, ModeId mode, const CircuitChange& hand, const CircuitChange& failure) const {
    net.open_count = open_count_[mode.index()];
    net.forced.assign(circuit_.edges.size(), -1);
    net.failure = &failure;
    const auto force = [&](const CircuitChange::Forced& each) {
        const std::size_t edge = each.edge.index();
        const bool was = net.forced[edge] < 0 ? closed_[mode.index()][edge] != 0 : net.forced[edge] == 1;
        if (was != each.conducts) {
            std::uint16_t& open = net.open_count[row_[edge]];
            open = static_cast<std::uint16_t>(each.conducts ? open - 1 : open + 1);
        }
        net.forced[edge] = each.conducts ? 1 : 0;
    };
    for (const auto& each : hand.forced) force(each);
    for (const auto& each : failure.forced) force(each);
    for (const auto& [a, b] : failure.joined)
        if (reduced_[a.index()] < nodes_ && reduced_[b.index()] < nodes_)
            net.joined.emplace_back(reduced_[a.index()], reduced_[b.index()]);
    const Start& from = starts_[mode.index()];
    net.pulled = from.pulled;
    net.drivers = from.drivers;
    net.sources = from.sources;
}

void Follower::join_nets(Net& net) const {
    net.sets = DisjointSets(nodes_);
    for (const Link& link : links_) {
        bool closed = false;
        const std::int8_t forced = net.forced[link.edge.index()];
        if (link.stiff >= 0)
            closed = net.open_count[static_cast<std::size_t>(link.stiff)] == 0;
        else if (forced >= 0)
            closed = forced == 1;
        else if (link.coil >= 0)
            closed = (net.pulled[static_cast<std::size_t>(link.coil)] != 0) != link.rests_closed;
        else
            closed = net.drivers[static_cast<std::size_t>(link.driver)] != 0;
        if (closed) net.sets.join(link.a, link.b);
    }
    for (const auto& [a, b] : net.joined) net.sets.join(a, b);
}

bool Follower::gives(const Net& net, ModeId mode, const Arc& arc) const {
    const std::size_t place = static_cast<std::size_t>(&arc - arcs_.data());
    if (net.forced[arc.edge.index()] == 0) return false;
    switch (arc.way) {
        case Arc::Way::pack:
        case Arc::Way::diode:
            return true;
        case Arc::Way::charger: {
            return net.forced[arc.edge.index()] == 1 ||
                   delivers(circuit_.harness->modes[mode.index()], circuit_.edge(arc.edge).part);
        }
        default:
            return net.sources[place] != 0;
    }
}

// Packs hold what they hang on, both ways.
void Follower::over_packs(Net& net) const {
    std::vector<std::vector<std::pair<std::uint32_t, double>>> beside(nodes_);
    std::vector<std::uint32_t> seeds;
    for (const Arc& arc : arcs_) {
        if (arc.way != Arc::Way::pack || net.forced[arc.edge.index()] == 0) continue;
        const std::uint32_t from = net.root(arc.from), to = net.root(arc.to);
        if (from == to) continue;
        beside[from].emplace_back(to, arc.volts);
        beside[to].emplace_back(from, -arc.volts);
        seeds.push_back(from);
    }
    std::int32_t island = 0;
    for (const std::uint32_t seed : seeds) {
        if (net.stiff[seed]) continue;
        std::vector<std::uint32_t> queue{seed};
        net.stiff[seed] = 1;
        net.give_V[seed] = net.take_V[seed] = 0;
        net.give_island[seed] = net.take_island[seed] = ++island;
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const auto& [next, volts] : beside[queue[head]]) {
                if (net.stiff[next]) continue;
                net.stiff[next] = 1;
                net.give_V[next] = net.take_V[next] = net.give_V[queue[head]] + volts;
                net.give_island[next] = net.take_island[next] = island;
                queue.push_back(next);
            }
    }
}

// Converters, chargers, pins that supply and diodes, until nothing rises.
void Follower::one_way(Net& net, ModeId mode) const {
    std::vector<const Arc*> active;
    for (const Arc& arc : arcs_)
        if (arc.way != Arc::Way::pack && gives(net, mode, arc) && net.root(arc.from) != net.root(arc.to))
            active.push_back(&arc);
    const auto spread = [&] {
        bool any = true;
        for (std::size_t round = 0; any && round <= active.size() + 1; ++round) {
            any = false;
            for (const Arc* arc : active) {
                const std::uint32_t from = net.root(arc->from), to = net.root(arc->to);
                const double up_V = net.give_V[from] + arc->volts;
                if (net.give_island[from] && !net.stiff[to] &&
                    (!net.give_island[to] ||
                     (net.give_island[to] == net.give_island[from] && up_V > net.give_V[to] + hair_V))) {
                    net.give_V[to] = up_V;
                    net.give_island[to] = net.give_island[from];
                    any = true;
                }
                if (arc->way != Arc::Way::diode || !net.take_island[to] || net.stiff[from]) continue;
                if (!net.take_island[from] || (net.take_island[from] == net.take_island[to] &&
                                               net.take_V[to] < net.take_V[from] - hair_V)) {
                    net.take_V[from] = net.take_V[to];
                    net.take_island[from] = net.take_island[to];
                    any = true;
                }
            }
        }
    };
    spread();
    // What hangs on no pack stands by itself.
    std::int32_t island = 1000000;
    for (const Arc* arc : active) {
        const std::uint32_t from = net.root(arc->from);
        if (arc->way == Arc::Way::diode || net.take_island[from]) continue;
        if (!net.give_island[from]) {
            net.give_V[from] = 0;
            net.give_island[from] = ++island;
        }
        net.take_V[from] = net.give_V[from];
        net.take_island[from] = net.give_island[from];
        spread();
    }
}

void Follower::set_voltages(Net& net, ModeId mode) const {
    net.give_V.assign(nodes_, unknown_V);
    net.take_V.assign(nodes_, unknown_V);
    net.give_island.assign(nodes_, 0);
    net.take_island.assign(nodes_, 0);
    net.stiff.assign(nodes_, 0);
    over_packs(net);
    one_way(net, mode);
}

double Follower::across_V(Net& net, const User& user) const {
    const std::uint32_t plus = net.root(user.plus), minus = net.root(user.minus);
    const auto along = [&](std::uint32_t from, std::uint32_t to) {
        const bool one = net.give_island[from] && net.give_island[from] == net.take_island[to];
        return one ? net.give_V[from] - net.take_V[to] : 0;
    };
    return std::max(along(plus, minus), user.either_way ? along(minus, plus) : 0);
}

// Of a coil that gets nothing directly: through one resistor that is small beside it.
double Follower::through_resistor_V(Net& net, const User& user) const {
    if (user.ohm <= 0) return 0;
    double most_V = 0;
    for (std::size_t i = 0; i < resistors_.size(); ++i) {
        const Link& link = resistors_[i];
        if (net.forced[link.edge.index()] == 0 || resistor_ohm_[i] > 0.2 * user.ohm) continue;
        for (const bool turned : {false, true}) {
            const std::uint32_t here = net.root(turned ? link.b : link.a);
            const std::uint32_t there = turned ? link.a : link.b;
            User moved = user;
            if (here == net.root(user.plus))
                moved.plus = there;
            else if (here == net.root(user.minus))
                moved.minus = there;
            else
                continue;
            most_V = std::max(most_V, across_V(net, moved));
        }
    }
    return most_V;
}

FedState Follower::fed(Net& net, const User& user) const {
    double volts = across_V(net, user);
    if (volts < user.least_V && user.ohm > 0) volts = through_resistor_V(net, user);
    return volts < user.least_V ? FedState::off : volts > user.most_V ? FedState::above : FedState::fed;
}

bool Follower::pins_fed(Net& net, PartId part, bool& any) const {
    bool all = true;
    any = false;
    for (const EdgeId pin : supply_pins_[part.index()]) {
        any = true;
        const User& user = users_[static_cast<std::size_t>(user_of_edge_[pin.index()])];
        all = all && fed(net, user) != FedState::off;
    }
    return all;
}

// What coils, drivers and converters do now; whether any of it is new.
bool Follower::step(Net& net, ModeId mode, bool hold) const {
    bool changed = false;
    const auto put = [&](std::uint8_t& place, bool now) {
        changed = changed || (place != 0) != now;
        place = now ? 1 : 0;
    };
    const Mode& said = circuit_.harness->modes[mode.index()];
    const auto supply_fed = [&](PartId part) {
        for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
            const EdgeRole role = circuit_.edge(id).role;
            if (role == EdgeRole::controller || role == EdgeRole::converter_input)
                return fed(net, users_[static_cast<std::size_t>(user_of_edge_[id.index()])]) != FedState::off;
        }
        return true;
    };
    std::vector<std::uint8_t> pulled = net.pulled;
    if (!hold)
        for (std::size_t i = 0; i < coils_.size(); ++i)
            put(pulled[i], fed(net, users_[static_cast<std::size_t>(user_of_edge_[coil_edge_[i].index()])]) !=
                               FedState::off);
    for (std::size_t i = 0; i < drivers_.size(); ++i) {
        bool any = false;
        const bool pins = pins_fed(net, drivers_[i].part, any);
        const bool powered = any ? pins : supply_fed(drivers_[i].part);
        put(net.drivers[i], powered && !net.is_dead(drivers_[i].part) &&
                                said.pin_states[drivers_[i].pin_state].posture == Posture::on);
    }
    for (std::size_t i = 0; i < arcs_.size(); ++i) {
        const Arc& arc = arcs_[i];
        if (arc.way != Arc::Way::converter && arc.way != Arc::Way::pin) continue;
        const PartId part = circuit_.edge(arc.edge).part;
        bool any = false;
        const bool pins = pins_fed(net, part, any);
        const bool off = arc.way == Arc::Way::converter && said.states[part.index()].posture == Posture::off;
        const bool power = arc.way == Arc::Way::pin && any ? true : supply_fed(part);
        put(net.sources[i], !off && !net.is_dead(part) && pins && power);
    }
    net.pulled = std::move(pulled);
    return changed;
}

void Follower::settle(Net& net, ModeId mode, bool hold) const {
    ++followed_;
    for (int round = 0; round < most_rounds; ++round) {
        join_nets(net);
        set_voltages(net, mode);
        if (!step(net, mode, hold)) return;
    }
    net.sources.clear();  // it chatters
}

bool Follower::settles(const Net& net) const {
    return arcs_.empty() || !net.sources.empty();
}

DriveState Follower::drive_state(Net& net, ModeId mode, std::size_t drive) const {
    const DriveEntry& entry = drives_[drive];
    const User& user = users_[static_cast<std::size_t>(user_of_edge_[entry.edge.index()])];
    const Mode& said = circuit_.harness->modes[mode.index()];
    const State& state = said.states[entry.part.index()];
    if (fed(net, user) == FedState::off) {
        DriveState found = DriveState::dead;
        for (const Link& link : resistors_) {
            if (net.forced[link.edge.index()] == 0) continue;
            for (const bool turned : {false, true}) {
                const std::uint32_t here = net.root(turned ? link.b : link.a);
                const std::uint32_t there = net.root(turned ? link.a : link.b);
                if (here != net.root(user.plus)) continue;
                User moved = user;
                moved.plus = there;
                if (there == net.root(user.minus))
                    found = std::max(found, DriveState::bled);
                else if (across_V(net, moved) >= user.least_V)
                    found = DriveState::charged;
            }
        }
        return found;
    }
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
    state.settles = settles(net);
    if (!state.settles) net.sources.assign(arcs_.size(), 1);
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
    if (coil >= 0 && settles(meanwhile)) {
        meanwhile.pulled[static_cast<std::size_t>(coil)] = 0;
        settle(meanwhile, mode, false);
    }
    if (!settles(meanwhile)) return told(meanwhile, mode);
    Net net(nodes_);
    start(net, mode, nothing, nothing);
    net.pulled = meanwhile.pulled;
    net.drivers = meanwhile.drivers;
    net.sources = meanwhile.sources;
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

bool Follower::on_pack(ModeId mode, const CircuitChange& failure, NodeId node) const {
    Net net(nodes_);
    const CircuitChange nothing;
    start(net, mode, nothing, failure);
    settle(net, mode, false);
    const auto [a, b] = ends_at(node);
    return net.stiff[net.root(a)] || net.stiff[net.root(b)];
}

}  // namespace loomward
