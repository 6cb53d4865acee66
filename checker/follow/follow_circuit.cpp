// The circuit as Follower walks it: rows of links, sources, users.
#include <algorithm>
#include <limits>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/part_edges.hpp"
#include "checker/follow/follow_net.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/tasks.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::uint32_t inside = std::numeric_limits<std::uint32_t>::max();
constexpr double coil_pulls = 0.6;  // of its rated voltage; no source, see the header
constexpr double works_down = 0.8;  // of the lowest voltage that it takes; no source
constexpr double stands_up = 1.1;   // of the highest; no source
constexpr double rated_down = 0.5;  // of a rated voltage alone; no source
constexpr double rated_up = 1.3;

bool is_static(EdgeRole role) {
    return is_conductor(role) && role != EdgeRole::switching;
}

}  // namespace

CircuitChange operator+(CircuitChange a, const CircuitChange& b) {
    a.forced.insert(a.forced.end(), b.forced.begin(), b.forced.end());
    a.joined.insert(a.joined.end(), b.joined.begin(), b.joined.end());
    a.dead.insert(a.dead.end(), b.dead.begin(), b.dead.end());
    a.running.insert(a.running.end(), b.running.begin(), b.running.end());
    return a;
}

Follower::Follower(const Circuit& circuit, const Facts& facts)
    : circuit_(circuit),
      user_of_edge_(circuit.edges.size(), -1),
      coil_of_part_(circuit.harness->parts.size(), -1),
      said_(circuit.harness->parts.size(), true),
      supply_pins_(circuit.harness->parts.size()) {
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role != EdgeRole::coil || is_latching(harness, edge.part)) continue;
        if (!is_wired(edge.from, EdgeId(i)) || !is_wired(edge.to, EdgeId(i))) continue;
        said_[edge.part.index()] = false;
        coil_of_part_[edge.part.index()] = static_cast<std::int32_t>(coils_.size());
        coils_.push_back(edge.part);
        coil_edge_.push_back(EdgeId(i));
    }
    find_rows();
    add_users(facts);
    add_links();
    add_sources(facts);
    prepare_modes();
}

bool Follower::is_wired(NodeId node, EdgeId but) const {
    for (const Incidence& next : circuit_.at(node))
        if (next.edge != but) return true;
    return false;
}

// Points with nothing but two links that no coil moves lie inside a row.
void Follower::find_rows() {
    const auto fixed = [&](EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        return is_static(edge.role) ||
               (edge.role == EdgeRole::switching && coil_of_part_[edge.part.index()] < 0);
    };
    reduced_.assign(circuit_.node_count(), inside);
    for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
        const auto around = circuit_.at(NodeId(i));
        const bool passes = around.size() == 2 && around[0].edge != around[1].edge && fixed(around[0].edge) &&
                            fixed(around[1].edge);
        if (!passes) reduced_[i] = nodes_++;
    }
    row_.assign(circuit_.edges.size(), inside);
    std::uint32_t rows = 0;
    const auto walk = [&](EdgeId first, NodeId from) {
        Link link;
        link.a = reduced_[from.index()];
        link.stiff = static_cast<std::int32_t>(rows);
        link.edge = first;
        NodeId here = from;
        for (EdgeId at = first;;) {
            row_[at.index()] = rows;
            const Edge& edge = circuit_.edge(at);
            here = edge.from == here ? edge.to : edge.from;
            if (reduced_[here.index()] != inside) break;
            const auto around = circuit_.at(here);
            const EdgeId next = around[0].edge == at ? around[1].edge : around[0].edge;
            if (row_[next.index()] != inside) break;  // a ring that hangs on nothing
            at = next;
        }
        ++rows;
        link.b = reduced_[here.index()] == inside ? link.a : reduced_[here.index()];
        links_.push_back(link);
    };
    for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
        if (reduced_[i] == inside) continue;
        for (const Incidence& next : circuit_.at(NodeId(i)))
            if (fixed(next.edge) && row_[next.edge.index()] == inside) walk(next.edge, NodeId(i));
    }
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (row_[i] == inside) row_[i] = rows++;  // of their own: never counted as links
}

Follower::User Follower::user_of(const Facts& facts, EdgeId id) const {
    const Edge& edge = circuit_.edge(id);
    User user{id, reduced_[edge.from.index()], reduced_[edge.to.index()]};
    user.most_V = std::numeric_limits<double>::infinity();
    const auto range = [&](std::optional<Quantity> works) {
        if (!works) return;
        user.least_V = works_down * works->lo;
        user.most_V = stands_up * works->hi;
    };
    const auto rated = [&](std::optional<Quantity> volts) {
        if (!volts) return;
        user.least_V = rated_down * volts->lo;
        user.most_V = rated_up * volts->hi;
    };
    switch (edge.role) {
        case EdgeRole::load:
            rated(facts.quantity(edge.part, "(rated-voltage)"_attr));
            range(facts.quantity(edge.part, "works"_attr));
            user.either_way = is_driving_load(facts, edge.part);
            break;
        case EdgeRole::coil: {
            const auto volts = facts.quantity(edge.part, "coil"_attr, 0);
            const auto amps = facts.quantity(edge.part, "coil"_attr, 1);
            rated(volts);
            if (volts) user.least_V = coil_pulls * volts->lo;
            if (const auto works = facts.quantity(edge.part, "coil-works"_attr))
                user.most_V = stands_up * works->hi;
            if (volts && amps && amps->hi > 0) user.ohm = volts->lo / amps->hi;
            user.either_way = true;
            break;
        }
        case EdgeRole::supply_pin:
            if (const auto volts = pin_voltage(*circuit_.harness, pin_of(*circuit_.harness, edge)))
                rated(volts);
            break;
        default:
            range(facts.quantity(edge.part, "input"_attr));
            break;
    }
    return user;
}

void Follower::add_users(const Facts& facts) {
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (!uses(edge.role)) continue;
        user_of_edge_[i] = static_cast<std::int32_t>(users_.size());
        users_.push_back(user_of(facts, EdgeId(i)));
        const Kind kind = circuit_.harness->part(edge.part).kind;
        if (edge.role == EdgeRole::supply_pin) supply_pins_[edge.part.index()].push_back(EdgeId(i));
        if (edge.role == EdgeRole::controller && kind == Kind::controller)
            drives_.push_back({edge.part, EdgeId(i), true});
        else if (edge.role == EdgeRole::load && is_driving_load(facts, edge.part))
            drives_.push_back({edge.part, EdgeId(i), false});
        else if (edge.role == EdgeRole::load || edge.role == EdgeRole::controller)
            loads_.push_back(EdgeId(i));
        else
            others_.push_back(EdgeId(i));
    }
}

// Contacts that coils move, and drivers.
void Follower::add_links() {
    const auto& pins = circuit_.harness->driver_pins;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        Link link;
        link.edge = EdgeId(i);
        link.a = reduced_[edge.from.index()];
        link.b = reduced_[edge.to.index()];
        if (edge.role == EdgeRole::switching && coil_of_part_[edge.part.index()] >= 0) {
            link.coil = coil_of_part_[edge.part.index()];
            link.rests_closed = edge.throw_ != 0;
        } else if (is_driver(edge.role)) {
            const TerminalId pin = driver_pin(edge);
            const auto found = std::lower_bound(pins.begin(), pins.end(), pin);
            if (found == pins.end() || *found != pin) continue;
            link.driver = static_cast<std::int32_t>(drivers_.size());
            drivers_.push_back({edge.part, static_cast<std::size_t>(found - pins.begin())});
        } else {
            continue;
        }
        links_.push_back(link);
    }
}

void Follower::add_sources(const Facts& facts) {
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        Arc arc{reduced_[edge.from.index()], reduced_[edge.to.index()], EdgeId(i)};
        switch (edge.role) {
            case EdgeRole::emf: {
                const auto section = pack_section(circuit_, facts, edge, Corner::run_full);
                arc.volts = section ? section->voltage_V : 1;
                arc.way = Arc::Way::pack;
                break;
            }
            case EdgeRole::charger:
            case EdgeRole::converter_output: {
                const auto volts =
                    facts.quantity(edge.part, output_attribute(*circuit_.harness, edge.part), 0);
                arc.volts = volts ? volts->hi : 1;
                arc.way = edge.role == EdgeRole::charger ? Arc::Way::charger : Arc::Way::converter;
                break;
            }
            case EdgeRole::output_pin: {
                const auto volts = pin_voltage(*circuit_.harness, pin_of(*circuit_.harness, edge));
                arc.volts = volts ? volts->hi : 1;
                arc.way = Arc::Way::pin;
                break;
            }
            case EdgeRole::diode:
            case EdgeRole::converter_reverse:
                arc.way = Arc::Way::diode;
                break;
            case EdgeRole::resistor: {
                Link link;
                link.a = arc.from;
                link.b = arc.to;
                link.edge = EdgeId(i);
                resistors_.push_back(link);
                resistor_ohm_.push_back(resistance_ohm(circuit_, facts, edge, Corner::run_full, 20));
                continue;
            }
            default:
                continue;
        }
        arcs_.push_back(arc);
    }
}

bool Follower::closed_in(const Mode& mode, const Edge& edge) const {
    return is_closed(circuit_, mode, edge);
}

void Follower::prepare_modes() {
    const std::vector<Mode>& modes = circuit_.harness->modes;
    const std::uint32_t rows = row_.empty() ? 0 : *std::max_element(row_.begin(), row_.end()) + 1;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        const Mode& mode = modes[m];
        open_count_.emplace_back(rows, 0);
        closed_.emplace_back(circuit_.edges.size(), 1);
        std::vector<std::uint8_t> pulled;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            closed_[m][i] = closed_in(mode, circuit_.edges[i]);
            if (!closed_[m][i]) ++open_count_[m][row_[i]];
        }
        for (const PartId part : coils_) {
            const Posture posture = mode.states[part.index()].posture;
            pulled.push_back(posture == Posture::closed || posture == Posture::energised);
        }
        pulled_at_first_.push_back(std::move(pulled));
        Net net(nodes_);
        const CircuitChange nothing;
        start(net, ModeId(m), nothing, nothing);
        settle(net, ModeId(m), false);
        base_.push_back(told(net, ModeId(m)));
        pulled_at_first_[m] = net.pulled;
    }
}

}  // namespace loomward
