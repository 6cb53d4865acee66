#include "checker/follow/follow.hpp"

#include <algorithm>

#include "checker/follow/follow_net.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

namespace {

constexpr int most_rounds = 24;  // no chain of coils is as long

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
    net.pulled = pulled_at_first_[mode.index()];
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

// Drivers and sources that what is fed turns on; whether any is new. None goes off here.
bool Follower::rise(Net& net, ModeId mode) const {
    bool changed = false;
    const auto put = [&](std::uint8_t& place, bool now) {
        changed = changed || (now && place == 0);
        if (now) place = 1;
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
    return changed;
}

// From the packs on, with every contact as it stands: nothing gives that nothing else feeds, a converter
// whose input its own output reaches no more than another one.
void Follower::feed(Net& net, ModeId mode) const {
    net.drivers.assign(drivers_.size(), 0);
    net.sources.assign(arcs_.size(), 0);
    do {
        join_nets(net);
        set_voltages(net, mode);
    } while (rise(net, mode));
}

// `hold`: coils stay as they are.
void Follower::settle(Net& net, ModeId mode, bool hold) const {
    ++followed_;
    for (int round = 0; round < most_rounds; ++round) {
        feed(net, mode);
        if (hold) return;
        std::vector<std::uint8_t> pulled(coils_.size(), 0);
        for (std::size_t i = 0; i < coils_.size(); ++i)
            pulled[i] = fed(net, users_[static_cast<std::size_t>(user_of_edge_[coil_edge_[i].index()])]) !=
                        FedState::off;
        if (pulled == net.pulled) return;
        net.pulled = std::move(pulled);
    }
    net.chatters = true;
}

}  // namespace loomward
