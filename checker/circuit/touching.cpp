#include "checker/circuit/touching.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>
#include <tuple>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/feed_strength.hpp"

namespace loomward {

using namespace literals;

namespace {

// Of a large group: so many of each supply, of the strongest fed, the thickest and the thinnest, meet
// everything in it.
constexpr std::size_t of_each = 4;
constexpr std::size_t most_chosen = 48;
// Pairs of large groups, in all, that are looked at in full.
constexpr std::size_t large_pairs = 4096;

// One that can touch the others of its group, anywhere between its two ends.
struct Member {
    TerminalId far, near;  // by their way to the source; the same for a bare terminal
    WireId wire;
    double area_mm2 = 0;
};

struct TouchGroup {
    std::vector<Member> members;
    Touch::Place place{};
    PartId part;
};

}  // namespace

class TouchFinder {
  public:
    TouchFinder(const Circuit& circuit, const ContactWays& contacts, Touching& result)
        : circuit_(circuit),
          harness_(*circuit.harness),
          result_(result),
          plain_(circuit.node_count()),
          supply_(circuit.node_count()),
          strength_A_(feed_strength_A(circuit)) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            if (!is_conductor(edge.role) || contacts.is_chosen(EdgeId(i))) continue;
            supply_.join(edge.from.index(), edge.to.index());
            if (!opens_on_current(edge.role)) plain_.join(edge.from.index(), edge.to.index());
        }
        for (std::size_t i = 0; i < circuit.edges.size(); ++i)
            if (contacts.is_chosen(EdgeId(i)))
                bridged_.insert(ends(circuit.edges[i].from, circuit.edges[i].to));
    }

    void find() {
        of_parts();
        along_runs();
        against_frames();
        for (const Bundle& bundle : harness_.bundles) of_wires(bundle.wires, Touch::Place::bundle);
        for (const Cable& cable : harness_.cables) of_wires(cable.cores, Touch::Place::cable);
        at_locations();
        large_groups();
        keep_one_each();
        index();
    }

  private:
    // Both pieces, in order.
    std::pair<std::size_t, std::size_t> ends(NodeId a, NodeId b) {
        return std::minmax({plain_.find(a.index()), plain_.find(b.index())});
    }
    std::string_view path(TerminalId terminal) const { return harness_.terminal(terminal).path; }

    void add(Touch::Place place, TerminalId at, TerminalId against, WireId wire = {}, WireId other = {},
             PartId part = {}) {
        Touch touch{place, circuit_.node(at), circuit_.node(against), at, against, wire, other, part, false};
        // Joined without a device, or by one contact: what happens then is a state, no short.
        if (plain_.same(touch.a.index(), touch.b.index()) || bridged_.contains(ends(touch.a, touch.b)))
            return;
        touch.same_supply = supply_.same(touch.a.index(), touch.b.index());
        result_.touches_.push_back(touch);
    }

    // ---- groups ---------------------------------------------------------------------------------------
    void meet(const Member& one, const Member& other, Touch::Place place, PartId part) {
        add(place, one.far, other.far, one.wire, other.wire, part);
        if (one.near != one.far || other.near != other.far)
            add(place, one.near, other.near, one.wire, other.wire, part);
    }
    void pair_up(std::vector<Member>& group, Touch::Place place, PartId part = {}) {
        std::sort(group.begin(), group.end(), [this](const Member& a, const Member& b) {
            return std::tuple(path(a.far), path(a.near)) < std::tuple(path(b.far), path(b.near));
        });
        if (group.size() <= Touching::all_pairs_of)
            all_pairs(group, place, part);
        else
            large_.push_back({std::move(group), place, part});
    }
    void all_pairs(const std::vector<Member>& group, Touch::Place place, PartId part) {
        for (std::size_t i = 0; i < group.size(); ++i)
            for (std::size_t k = i + 1; k < group.size(); ++k) meet(group[i], group[k], place, part);
    }
    // Every pair of them while there are few, the smallest groups first; of the others what can do most harm
    // meets everything: behind the largest fuse of its supply, or with the least metal in it.
    void large_groups() {
        std::stable_sort(large_.begin(), large_.end(), [this](const TouchGroup& a, const TouchGroup& b) {
            const auto key = [this](const TouchGroup& group) {
                return std::tuple(group.members.size(), path(group.members.front().far), group.place);
            };
            return key(a) < key(b);
        });
        std::size_t pairs = 0;
        for (const TouchGroup& group : large_) {
            const std::size_t size = group.members.size();
            pairs += size * (size - 1) / 2;
            if (pairs <= large_pairs) {
                all_pairs(group.members, group.place, group.part);
                continue;
            }
            result_.every_pair_ = false;
            const std::vector<std::size_t> chosen = chosen_of(group.members);
            for (std::size_t i = 0; i < size; ++i) {
                meet(group.members[i], group.members[(i + 1) % size], group.place, group.part);
                for (const std::size_t k : chosen)
                    if (k != i) meet(group.members[i], group.members[k], group.place, group.part);
            }
        }
    }
    double strength_A(const Member& member) const {
        return std::max(strength_A_[circuit_.node(member.far).index()],
                        strength_A_[circuit_.node(member.near).index()]);
    }
    double distance_m(const Member& member) const {
        return result_.runs_.distance_m(circuit_.node(member.far));
    }
    std::vector<std::size_t> chosen_of(const std::vector<Member>& group) {
        // Of each net by itself, and of the way out and of the way back where a net is both.
        std::map<std::pair<std::size_t, bool>, std::vector<std::size_t>> nets;
        for (std::size_t i = 0; i < group.size(); ++i) {
            const NodeId node = circuit_.node(group[i].far);
            nets[{supply_.find(node.index()), result_.runs_.forward(node)}].push_back(i);
        }
        // A place in the order of harm, and whose it is: the worst of every net before the second of any.
        std::vector<std::pair<std::size_t, std::size_t>> ranked;
        const auto rank = [&](std::vector<std::size_t> net, auto key) {
            std::stable_sort(net.begin(), net.end(),
                             [&](std::size_t a, std::size_t b) { return key(group[a]) < key(group[b]); });
            for (std::size_t i = 0; i < std::min(of_each, net.size()); ++i) ranked.emplace_back(i, net[i]);
        };
        for (const auto& [which, net] : nets) {
            rank(net, [this](const Member& m) { return std::pair(-strength_A(m), -distance_m(m)); });
            rank(net, [this](const Member& m) { return std::pair(-strength_A(m), -m.area_mm2); });
            rank(net, [this](const Member& m) { return std::pair(m.area_mm2, -strength_A(m)); });
            rank(net, [](const Member& m) { return -m.area_mm2; });
        }
        std::stable_sort(ranked.begin(), ranked.end());
        std::vector<std::size_t> chosen;
        std::vector<bool> taken(group.size(), false);
        for (const auto& [place, member] : ranked) {
            if (taken[member] || chosen.size() >= most_chosen) continue;
            taken[member] = true;
            chosen.push_back(member);
        }
        return chosen;
    }
    Member bare(TerminalId terminal) const { return {terminal, terminal, {}, 0}; }

    // ---- parts ----------------------------------------------------------------------------------------
    // What lies across one conducting part and no more (the two ends of a fuse) is the part itself bridged,
    // no short; `same_supply` says so.
    void of_parts() {
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            const Part& part = harness_.parts[i];
            std::vector<Member> groups[4];
            for (std::uint32_t k = 0; k < part.terminals.count; ++k) {
                const TerminalId terminal(part.terminals.first + k);
                groups[group_in_part(PartId(i), terminal)].push_back(bare(terminal));
            }
            for (std::vector<Member>& group : groups) {
                drop_same_nodes(group);
                pair_up(group, Touch::Place::part, PartId(i));
            }
        }
    }
    // The posts of a part, its coil, the plug with its pins, and the other half of a connector lie apart.
    std::size_t group_in_part(PartId id, TerminalId terminal) const {
        if (harness_.terminal(terminal).mate_half) return 3;
        if (harness_.pin_at(terminal)) return 2;
        for (const EdgeId edge : circuit_.edges_of_part[id.index()]) {
            const Edge& coil = circuit_.edge(edge);
            if (coil.role == EdgeRole::coil &&
                (coil.from_terminal == terminal || coil.to_terminal == terminal))
                return 1;
        }
        return 0;
    }
    void drop_same_nodes(std::vector<Member>& group) const {
        std::sort(group.begin(), group.end(), [this](const Member& a, const Member& b) {
            return std::tuple(circuit_.node(a.far), path(a.far)) <
                   std::tuple(circuit_.node(b.far), path(b.far));
        });
        group.erase(std::unique(group.begin(), group.end(),
                                [this](const Member& a, const Member& b) {
                                    return circuit_.node(a.far) == circuit_.node(b.far);
                                }),
                    group.end());
    }

    // ---- runs -----------------------------------------------------------------------------------------
    // Every node that something is wired or bolted to: by each wire that ends there, else by its name.
    template <class Visit>
    void each_place(Visit visit) {
        std::vector<bool> wired(circuit_.node_count(), false);
        for (std::size_t i = 0; i < harness_.wires.size(); ++i)
            for (const TerminalId end : {harness_.wires[i].from, harness_.wires[i].to}) {
                wired[circuit_.node(end).index()] = true;
                visit(end, WireId(i));
            }
        for (const Joint& joint : harness_.joints)
            for (const TerminalId end : {joint.a, joint.b})
                if (!wired[circuit_.node(end).index()]) visit(end, WireId());
    }
    void along_runs() {
        const Runs& runs = result_.runs_;
        each_place([&](TerminalId end, WireId wire) {
            const Runs::Beside beside = runs.beside(circuit_.node(end));
            if (!beside.far) return;
            const WireId along = beside.along ? circuit_.edge(beside.along).wire : WireId();
            add(Touch::Place::run, end, runs.terminal(beside.far), wire, along);
            if (beside.near != beside.far) add(Touch::Place::run, end, runs.terminal(beside.near), wire);
        });
    }

    // ---- frames ---------------------------------------------------------------------------------------
    void against_frames() {
        std::vector<TerminalId> frames;
        std::vector<NodeId> nodes;
        for (const Part& part : harness_.parts) {
            if (part.kind != Kind::frame || part.terminals.count == 0) continue;
            const TerminalId frame(part.terminals.first);
            const NodeId node = circuit_.node(frame);
            if (circuit_.at(node).empty() || std::find(nodes.begin(), nodes.end(), node) != nodes.end())
                continue;
            frames.push_back(frame);
            nodes.push_back(node);
        }
        for (const TerminalId frame : frames)
            each_place([&](TerminalId end, WireId wire) { add(Touch::Place::frame, end, frame, wire); });
    }

    // ---- bundles and cables ---------------------------------------------------------------------------
    void of_wires(const std::vector<WireId>& wires, Touch::Place place) {
        std::vector<Member> group;
        for (const WireId id : wires) {
            const Wire& wire = harness_.wire(id);
            const auto key = [&](TerminalId end) {
                return std::tuple(result_.runs_.distance_m(circuit_.node(end)), path(end));
            };
            const bool from_is_far = key(wire.from) > key(wire.to);
            group.push_back({from_is_far ? wire.from : wire.to, from_is_far ? wire.to : wire.from, id,
                             wire.area.hi * wire.parallel});
        }
        pair_up(group, place);
    }

    // ---- posts ----------------------------------------------------------------------------------------
    bool has_bare_posts(const Part& part) const {
        switch (part.kind) {
            case Kind::pack:
            case Kind::busbar:
            case Kind::stud:
            case Kind::frame:
                return true;
            default:
                return harness_.find(part.attributes, "torque"_attr) != nullptr;
        }
    }
    void at_locations() {
        std::vector<std::vector<Member>> groups(harness_.locations.size());
        for (const Part& part : harness_.parts) {
            if (!part.location || !has_bare_posts(part)) continue;
            for (std::uint32_t k = 0; k < part.terminals.count; ++k)
                groups[part.location.index()].push_back(bare(TerminalId(part.terminals.first + k)));
        }
        for (std::vector<Member>& group : groups) {
            drop_same_nodes(group);
            pair_up(group, Touch::Place::location);
        }
    }

    // ---- one of each ----------------------------------------------------------------------------------
    // The place of each node in the order of the names, the same for the same name.
    std::vector<std::uint32_t> ranks_by_name() const {
        const Runs& runs = result_.runs_;
        std::vector<NodeId> nodes;
        for (std::size_t i = 0; i < circuit_.node_count(); ++i) nodes.emplace_back(i);
        std::sort(nodes.begin(), nodes.end(),
                  [&](NodeId a, NodeId b) { return runs.name(a) < runs.name(b); });
        std::vector<std::uint32_t> ranks(nodes.size(), 0);
        for (std::size_t i = 1; i < nodes.size(); ++i)
            ranks[nodes[i].index()] =
                ranks[nodes[i - 1].index()] + (runs.name(nodes[i - 1]) < runs.name(nodes[i]));
        return ranks;
    }
    void keep_one_each() {
        const Runs& runs = result_.runs_;
        const std::vector<std::uint32_t> ranks = ranks_by_name();
        std::vector<Touch>& touches = result_.touches_;
        for (Touch& touch : touches) {
            // The way out first, else by name.
            const bool out = runs.forward(touch.a), other_out = runs.forward(touch.b);
            if (out == other_out ? ranks[touch.b.index()] < ranks[touch.a.index()] : other_out) {
                std::swap(touch.a, touch.b);
                std::swap(touch.at, touch.against);
                std::swap(touch.wire, touch.other_wire);
            }
        }
        const auto wire_name = [this](WireId wire) {
            return wire ? harness_.wire(wire).name : std::string_view();
        };
        std::sort(touches.begin(), touches.end(), [&](const Touch& a, const Touch& b) {
            if (a.a != b.a) return ranks[a.a.index()] < ranks[b.a.index()];
            if (a.b != b.b) return ranks[a.b.index()] < ranks[b.b.index()];
            return std::tuple(a.place, path(a.at), path(a.against), wire_name(a.wire),
                              wire_name(a.other_wire)) < std::tuple(b.place, path(b.at), path(b.against),
                                                                    wire_name(b.wire),
                                                                    wire_name(b.other_wire));
        });
        touches.erase(std::unique(touches.begin(), touches.end(),
                                  [](const Touch& a, const Touch& b) { return a.a == b.a && a.b == b.b; }),
                      touches.end());
    }
    void index() {
        std::vector<std::uint32_t>& start = result_.start_;
        start.assign(circuit_.node_count() + 1, 0);
        for (const Touch& touch : result_.touches_) {
            ++start[touch.a.index() + 1];
            ++start[touch.b.index() + 1];
        }
        std::partial_sum(start.begin(), start.end(), start.begin());
        result_.of_node_.resize(start.back());
        std::vector<std::uint32_t> next(start.begin(), start.end() - 1);
        for (std::uint32_t i = 0; i < result_.touches_.size(); ++i) {
            result_.of_node_[next[result_.touches_[i].a.index()]++] = i;
            result_.of_node_[next[result_.touches_[i].b.index()]++] = i;
        }
    }

    const Circuit& circuit_;
    const Harness& harness_;
    Touching& result_;
    DisjointSets plain_, supply_;     // over all but the contacts of choices
    std::vector<double> strength_A_;  // by NodeId
    std::vector<TouchGroup> large_;
    std::set<std::pair<std::size_t, std::size_t>> bridged_;
};

Touching::Touching(const Circuit& circuit, const ContactWays& contacts) : runs_(circuit, contacts) {
    TouchFinder(circuit, contacts, *this).find();
}

}  // namespace loomward
