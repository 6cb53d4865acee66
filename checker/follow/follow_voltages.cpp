// Voltages of one state: packs hold what they hang on, everything else hands on one way.
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/follow/follow_net.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

namespace {

constexpr double unknown_V = std::numeric_limits<double>::quiet_NaN();
constexpr double hair_V = 1e-6;

}  // namespace

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

// Packs hold what they hang on, both ways. One that is shorted holds nothing.
void Follower::over_packs(Net& net) const {
    struct Next {
        std::uint32_t net = 0;
        double volts = 0;
        PartId pack;
    };
    std::vector<std::vector<Next>> beside(nodes_);
    net.shorted.clear();
    const auto add_shorted = [&](PartId pack) {
        if (std::find(net.shorted.begin(), net.shorted.end(), pack) == net.shorted.end())
            net.shorted.push_back(pack);
    };
    std::vector<std::uint32_t> seeds;
    double strongest_V = 0;  // packs side by side differ by less, a chain that ends in itself by more
    for (const Arc& arc : arcs_) {
        if (arc.way != Arc::Way::pack || net.forced[arc.edge.index()] == 0) continue;
        const std::uint32_t from = net.root(arc.from), to = net.root(arc.to);
        const PartId pack = circuit_.edge(arc.edge).part;
        if (from == to) {
            add_shorted(pack);
            continue;
        }
        beside[from].push_back({to, arc.volts, pack});
        beside[to].push_back({from, -arc.volts, pack});
        seeds.push_back(from);
        strongest_V = std::max(strongest_V, std::abs(arc.volts));
    }
    std::int32_t island = 0;
    for (const std::uint32_t seed : seeds) {
        if (net.stiff[seed]) continue;
        std::vector<std::uint32_t> queue{seed};
        net.stiff[seed] = 1;
        net.give_V[seed] = net.take_V[seed] = 0;
        net.give_island[seed] = net.take_island[seed] = ++island;
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const auto& [next, volts, pack] : beside[queue[head]]) {
                if (net.stiff[next]) {
                    const double off_V = std::abs(net.give_V[queue[head]] + volts - net.give_V[next]);
                    if (off_V > strongest_V + hair_V) add_shorted(pack);
                    continue;
                }
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

}  // namespace loomward
