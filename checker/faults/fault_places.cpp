// Where shorts are looked for: ends of wires, parts that fail short, neighbours in a bundle.
#include <algorithm>
#include <queue>
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/faults/fault.hpp"
#include "checker/protection/zones.hpp"

namespace loomward {

namespace {

constexpr double infinite_m = std::numeric_limits<double>::infinity();

bool conducts(const Edge& edge) {
    return is_conductor(edge.role) || edge.role == EdgeRole::diode || edge.role == EdgeRole::resistor;
}

// How far every node lies from the sources, the edge by which it is reached, and for each the user of its
// current that lies nearest beyond it.
class Feeds {
  public:
    explicit Feeds(const Circuit& circuit)
        : circuit_(circuit),
          distance_m_(circuit.node_count(), infinite_m),
          reached_by_(circuit.node_count()),
          source_(circuit.node_count()),
          user_(circuit.node_count()),
          user_m_(circuit.node_count(), infinite_m) {
        for (const Edge& edge : circuit.edges)
            if (is_source(edge.role)) seed(edge.to, edge.from_terminal);
        spread();
        find_returns();
        for (const Edge& edge : circuit.edges) {
            if (!lies_across(edge.role) && edge.role != EdgeRole::charger) continue;
            const bool charger = edge.role == EdgeRole::charger;
            const NodeId feed = charger ? edge.to : edge.from;
            if (user_m_[feed.index()] == 0) continue;
            user_m_[feed.index()] = 0;
            user_[feed.index()] = charger ? edge.from_terminal : return_terminal(edge);
        }
        // From the far ends inwards.
        for (auto node = order_.rbegin(); node != order_.rend(); ++node) {
            const EdgeId by = reached_by_[node->index()];
            if (!by || !user_[node->index()]) continue;
            const Edge& edge = circuit.edge(by);
            const NodeId before = edge.from == *node ? edge.to : edge.from;
            const double there_m =
                user_m_[node->index()] + length_m(edge) + (is_protective(edge.role) ? behind_m : 0);
            if (there_m >= user_m_[before.index()]) continue;
            user_m_[before.index()] = there_m;
            user_[before.index()] = user_[node->index()];
        }
    }
    // The minus of the source that feeds the node; invalid where none does.
    TerminalId source_of(NodeId node) const { return source_[node.index()]; }
    // The return side of what hangs beyond the node. What has a device of its own on the way there has a
    // return of its own as well, thin as it may be: then the bus where returns meet. Where the node's way
    // only joins another one (a precharge path), what that one feeds; invalid where nothing is fed.
    TerminalId return_of(NodeId node) const {
        if (user_[node.index()])
            return user_m_[node.index()] < behind_m ? user_[node.index()] : bus_of(user_[node.index()]);
        std::vector<NodeId> queue{node};
        std::set<NodeId> seen{node};
        for (std::size_t head = 0; head < queue.size() && seen.size() < most_looked_at; ++head)
            for (const Incidence& step : circuit_.at(queue[head])) {
                if (step.edge == reached_by_[node.index()] || !conducts(circuit_.edge(step.edge))) continue;
                if (user_[step.other.index()]) return user_[step.other.index()];
                if (seen.insert(step.other).second) queue.push_back(step.other);
            }
        return {};
    }

  private:
    static constexpr std::size_t most_looked_at = 200;
    static constexpr double behind_m =
        1e6;  // a device on the way counts as this far, so that others come first
    using Entry = std::pair<double, std::uint32_t>;

    double length_m(const Edge& edge) const {
        return std::max(edge.wire ? circuit_.harness->wire(edge.wire).length.hi : 0, 1e-6);
    }
    // Where the return of a user is: beyond the driver that pulls it down, if only that leads back.
    TerminalId return_terminal(const Edge& user) const {
        const EdgeId driver = returns_[user.to.index()].driver;
        return driver ? circuit_.edge(driver).to_terminal : user.to_terminal;
    }
    // From the return of a user towards the source, to where the returns of several meet.
    TerminalId bus_of(TerminalId at) const {
        NodeId node = circuit_.node(at);
        for (std::size_t guard = 0; guard < returns_.size(); ++guard) {
            const Return& here = returns_[node.index()];
            if ((guard > 0 && here.users > 1) || !here.towards) break;
            const Edge& edge = circuit_.edge(here.towards);
            node = edge.from == node ? edge.to : edge.from;
        }
        return circuit_.first_terminal[node.index()];
    }
    // Breadth first from the minus of every source, at last through the drivers that pull to minus; then how
    // many users each node gathers.
    void find_returns() {
        returns_.resize(circuit_.node_count());
        std::vector<NodeId> queue;
        std::vector<bool> seen(circuit_.node_count(), false);
        // Packs and chargers first: the minus of a converter's output is a return of the input side as well.
        for (const bool feeds_itself : {true, false}) {
            const std::size_t first = queue.size();
            for (const Edge& edge : circuit_.edges) {
                const bool own = edge.role == EdgeRole::emf || edge.role == EdgeRole::charger;
                if (!is_source(edge.role) || own != feeds_itself || seen[edge.from.index()]) continue;
                seen[edge.from.index()] = true;
                queue.push_back(edge.from);
            }
            spread_returns(first, queue, seen);
        }
        const std::size_t first = queue.size();
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (edge.role != EdgeRole::low_side || !seen[edge.to.index()] || seen[edge.from.index()])
                continue;
            seen[edge.from.index()] = true;
            returns_[edge.from.index()] = {EdgeId(i), EdgeId(i)};
            queue.push_back(edge.from);
        }
        spread_returns(first, queue, seen);
        for (const Edge& edge : circuit_.edges)
            if (lies_across(edge.role)) ++returns_[edge.to.index()].users;
        for (auto node = queue.rbegin(); node != queue.rend(); ++node) {
            const EdgeId by = returns_[node->index()].towards;
            if (!by) continue;
            const Edge& edge = circuit_.edge(by);
            returns_[(edge.from == *node ? edge.to : edge.from).index()].users +=
                returns_[node->index()].users;
        }
    }
    void spread_returns(std::size_t first, std::vector<NodeId>& queue, std::vector<bool>& seen) {
        for (std::size_t head = first; head < queue.size(); ++head)
            for (const Incidence& step : circuit_.at(queue[head])) {
                if (seen[step.other.index()] || !conducts(circuit_.edge(step.edge))) continue;
                seen[step.other.index()] = true;
                returns_[step.other.index()] = {step.edge, returns_[queue[head].index()].driver};
                queue.push_back(step.other);
            }
    }
    void seed(NodeId node, TerminalId other) {
        if (distance_m_[node.index()] == 0) return;  // the first in source order stays
        distance_m_[node.index()] = 0;
        source_[node.index()] = other;
        queue_.push({0, node.value});
    }
    void spread() {
        while (!queue_.empty()) {
            const auto [distance_m, value] = queue_.top();
            queue_.pop();
            const NodeId node(value);
            if (distance_m > distance_m_[node.index()]) continue;
            order_.push_back(node);
            for (const Incidence& step : circuit_.at(node)) {
                const Edge& edge = circuit_.edge(step.edge);
                if (!conducts(edge)) continue;
                const double there_m = distance_m + length_m(edge);
                if (there_m >= distance_m_[step.other.index()]) continue;
                distance_m_[step.other.index()] = there_m;
                source_[step.other.index()] = source_[node.index()];
                reached_by_[step.other.index()] = step.edge;
                queue_.push({there_m, step.other.value});
            }
        }
    }

    struct Return {
        EdgeId towards;  // the source
        EdgeId driver;   // that pulls it to minus, where nothing else leads there
        std::uint32_t users = 0;
    };
    const Circuit& circuit_;
    std::vector<Return> returns_;  // by NodeId
    std::vector<double> distance_m_;
    std::vector<EdgeId> reached_by_;
    std::vector<TerminalId> source_, user_;
    std::vector<double> user_m_;
    std::vector<NodeId> order_;  // by distance
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue_;
};

class Finder {
  public:
    Finder(const Circuit& circuit, const Proof& proof)
        : circuit_(circuit),
          harness_(*circuit.harness),
          proof_(proof),
          feeds_(circuit),
          nets_(circuit.node_count()) {
        for (const Edge& edge : circuit.edges)
            if (is_conductor(edge.role) && !opens_on_current(edge.role))
                nets_.join(edge.from.index(), edge.to.index());
        for (std::size_t i = 0; i < harness_.parts.size(); ++i)
            if (harness_.parts[i].kind == Kind::frame && harness_.parts[i].terminals.count > 0)
                frames_.emplace_back(harness_.parts[i].terminals.first);
    }

    // The place of a terminal against what it feeds or is fed by; invalid `against` where there is none.
    FaultPlace against_return(TerminalId at) const {
        const TerminalId other = feeds_.return_of(circuit_.node(at));
        if (other) return between(FaultPlace::Kind::to_return, at, other);
        FaultPlace place;
        place.at = at;
        return place;
    }
    std::vector<FaultPlace> find() {
        for (std::size_t i = 0; i < harness_.wires.size(); ++i)
            for (const TerminalId end : {harness_.wires[i].from, harness_.wires[i].to})
                at_end(WireId(i), end);
        for (const Edge& edge : circuit_.edges)
            if (edge.part && fails_short(edge.role)) {
                FaultPlace place =
                    between(FaultPlace::Kind::across_part, edge.from_terminal, edge.to_terminal);
                place.part = edge.part;
                add(place);
            }
        for (const Bundle& bundle : harness_.bundles) in_bundle(bundle);
        return std::move(places_);
    }

    FaultPlace between(FaultPlace::Kind kind, TerminalId at, TerminalId against) const {
        FaultPlace place;
        place.kind = kind;
        place.at = at;
        place.against = against;
        place.a = circuit_.node(at);
        place.b = circuit_.node(against);
        return place;
    }

  private:
    void add(const FaultPlace& place) {
        if (place.a == place.b) return;
        const auto key = std::minmax(place.a.value, place.b.value);
        if (known_.emplace(key.first, key.second).second) places_.push_back(place);
    }
    // Returns carry what a short across any load sends back; they need no fault of their own.
    void at_end(WireId wire, TerminalId end) {
        const NodeId node = circuit_.node(end);
        if (proof_.side_of_node[node.index()] != Side::forward) return;
        const auto against = [&](FaultPlace::Kind kind, TerminalId other) {
            if (!other) return;
            FaultPlace place = between(kind, end, other);
            place.wire = wire;
            add(place);
        };
        against(FaultPlace::Kind::to_return, feeds_.return_of(node));
        against(FaultPlace::Kind::to_source, other_pole(node));
        for (const TerminalId frame : frames_) against(FaultPlace::Kind::to_frame, frame);
    }
    // Down a string of sources to its lowest pole.
    TerminalId other_pole(NodeId node) const {
        TerminalId pole = feeds_.source_of(node);
        for (std::size_t guard = 0; pole && guard < harness_.parts.size(); ++guard) {
            const NodeId there = circuit_.node(pole);
            if (proof_.side_of_node[there.index()] != Side::forward) return pole;
            pole = feeds_.source_of(there);
        }
        return {};
    }
    // Each wire against the one before it that lies in another net.
    void in_bundle(const Bundle& bundle) {
        WireId before;
        for (const WireId wire : bundle.wires) {
            const Wire& here = harness_.wire(wire);
            const auto net = [&](const Wire& each) { return nets_.find(circuit_.node(each.to).index()); };
            if (before && net(here) != net(harness_.wire(before))) {
                FaultPlace place = between(FaultPlace::Kind::neighbours, harness_.wire(before).to, here.to);
                place.wire = before;
                place.neighbour = wire;
                if (proof_.side_of_node[place.a.index()] != Side::neither &&
                    proof_.side_of_node[place.b.index()] != Side::neither)
                    add(place);
            }
            before = wire;
        }
    }

    const Circuit& circuit_;
    const Harness& harness_;
    const Proof& proof_;
    Feeds feeds_;
    DisjointSets nets_;
    std::vector<TerminalId> frames_;
    std::vector<FaultPlace> places_;
    std::set<std::pair<std::uint32_t, std::uint32_t>> known_;
};

}  // namespace

std::vector<FaultPlace> fault_places(const Circuit& circuit, const Proof& proof) {
    return Finder(circuit, proof).find();
}

std::optional<FaultPlace> find_fault_place(const Circuit& circuit, const Facts& facts, const Proof& proof,
                                           std::string_view name, std::string_view against,
                                           std::string& trouble) {
    const Harness& harness = *circuit.harness;
    const Finder finder(circuit, proof);
    const auto terminal_of = [&](std::string_view path) -> TerminalId {
        return harness.find_terminal(path).value_or(TerminalId());
    };
    if (!against.empty()) {
        const TerminalId one = terminal_of(name), other = terminal_of(against);
        if (!one || !other) {
            trouble = "there is no terminal '" + std::string(one ? against : name) + "'";
            return std::nullopt;
        }
        return finder.between(FaultPlace::Kind::to_return, one, other);
    }
    FaultPlace place;
    if (const auto wire = harness.find_wire(name)) {
        const Zones zones = find_zones(circuit, facts);
        const Wire& here = harness.wire(*wire);
        const auto distance_m = [&](TerminalId end) {
            return zones.source_distance_m[circuit.node(end).index()];
        };
        place = finder.against_return(distance_m(here.from) > distance_m(here.to) ? here.from : here.to);
        place.wire = *wire;
    } else if (const auto part = harness.find_part(name); part && harness.part(*part).terminals.count != 1) {
        for (const EdgeId id : circuit.edges_of_part[part->index()]) {
            const Edge& edge = circuit.edge(id);
            if (!fails_short(edge.role) && !lies_across(edge.role)) continue;
            place = finder.between(FaultPlace::Kind::across_part, edge.from_terminal, edge.to_terminal);
            place.part = *part;
            break;
        }
        if (!place.at) trouble = std::string(name) + " does not fail short; name one of its terminals";
    } else if (const TerminalId terminal = terminal_of(name)) {
        place = finder.against_return(terminal);
    } else {
        trouble = "there is no wire, part or terminal '" + std::string(name) + "'";
    }
    if (!trouble.empty()) return std::nullopt;
    if (!place.against) {
        trouble = "nothing that uses a current hangs on " + std::string(name) +
                  "; name the terminal it touches as well";
        return std::nullopt;
    }
    return place;
}

std::string fault_text(const Harness& harness, const FaultPlace& place) {
    const std::string at(harness.terminal(place.at).path), against(harness.terminal(place.against).path);
    const std::string end =
        place.wire ? "the end of " + std::string(harness.wire(place.wire).name) + " at " + at : at;
    switch (place.kind) {
        case FaultPlace::Kind::to_return:
            return end + " touches " + against;
        case FaultPlace::Kind::to_source:
            return end + " touches " + against + " of its source";
        case FaultPlace::Kind::to_frame:
            return end + " touches the frame " + against;
        case FaultPlace::Kind::across_part:
            return std::string(harness.part(place.part).name) + " fails short, " + at + " to " + against;
        case FaultPlace::Kind::neighbours:
            return std::string(harness.wire(place.wire).name) + " touches its neighbour " +
                   std::string(harness.wire(place.neighbour).name) + ", " + at + " to " + against;
    }
    return at + " touches " + against;
}

}  // namespace loomward
