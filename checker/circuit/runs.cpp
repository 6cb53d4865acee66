#include "checker/circuit/runs.hpp"

#include <algorithm>
#include <limits>
#include <queue>
#include <tuple>

#include "checker/circuit/bars.hpp"
#include "checker/circuit/pole_reach.hpp"
#include "checker/circuit/ways.hpp"

namespace loomward {

namespace {

constexpr double infinite_m = std::numeric_limits<double>::infinity();
constexpr double hands_breadth_m = 0.1;  // wires that run together are not straight; common practice
// A point of a wire is taken at that end of it to which it is so much closer than to the other; no source.
constexpr double close_to_an_end = 0.25;
constexpr double no_length_m = 1e-6;  // so that a way of more parts is the longer one

// A resistor leads on, but not into what conductors alone give to the other side: there it uses a current.
bool leads_out(const PoleReach& poles, const Edge& edge, NodeId into) {
    return is_conductor(edge.role) || edge.role == EdgeRole::diode ||
           (edge.role == EdgeRole::resistor && !poles.only_minus(into));
}
bool leads_home(const PoleReach& poles, const Edge& edge, NodeId into) {
    return is_conductor(edge.role) || edge.role == EdgeRole::diode ||
           (edge.role == EdgeRole::resistor && !poles.only_plus(into));
}

// Packs hold their voltage whatever happens; what limits itself feeds only what no pack feeds.
int rank_of_source(EdgeRole role) {
    switch (role) {
        case EdgeRole::emf:
            return 0;
        case EdgeRole::charger:
            return 1;
        case EdgeRole::converter_output:
        case EdgeRole::output_pin:
            return 2;
        default:
            return -1;
    }
}

}  // namespace

Runs::Runs(const Circuit& circuit, const ContactWays& contacts)
    : circuit_(circuit), name_(circuit.first_terminal), bar_(bars(circuit)) {
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < harness.terminals.size(); ++i) {
        TerminalId& name = name_[circuit.node_of_terminal[i].index()];
        if (harness.terminals[i].path < harness.terminal(name).path) name = TerminalId(i);
    }
    const PoleReach poles(circuit);
    find_out(contacts, poles);
    find_home(contacts, poles);
    find_users(poles);
}

std::string_view Runs::name(NodeId node) const {
    return circuit_.harness->terminal(name_[node.index()]).path;
}

double Runs::length_m(const Edge& edge) const {
    return std::max(edge.wire ? circuit_.harness->wire(edge.wire).length.hi : 0, no_length_m);
}

double Runs::distance_m(NodeId node) const {
    return forward(node) ? out_.distance_m[node.index()] : home_.distance_m[node.index()];
}

bool Runs::Tree::may_go_on(NodeId node, EdgeId contact, const ContactWays& contacts) const {
    if (!contacts.is_chosen(contact)) return true;
    for (NodeId at = chosen[node.index()]; at; at = chosen[parent[at.index()].index()])
        if (!contacts.together(by[at.index()], contact)) return false;
    return true;
}

// The nearest of those that are left, with the way to it.
void Runs::Tree::settle(NodeId node, const ContactWays& contacts) {
    const NodeId above = parent[node.index()];
    const EdgeId edge = by[node.index()];
    depth[node.index()] = above ? depth[above.index()] + 1 : 1;
    if (above) chosen[node.index()] = edge && contacts.is_chosen(edge) ? node : chosen[above.index()];
    // The leap of a node reaches as far as the two below it together, where those are equal.
    leap[node.index()] = above;
    if (above && leap[above.index()]) {
        const NodeId second = leap[above.index()], third = leap[second.index()];
        if (third &&
            depth[above.index()] - depth[second.index()] == depth[second.index()] - depth[third.index()])
            leap[node.index()] = third;
    }
    order.push_back(node);
}

template <class LeadsOn>
void Runs::grow(Tree& tree, const std::vector<NodeId>& roots, const ContactWays& contacts,
                LeadsOn leads_on) const {
    using Entry = std::pair<double, std::uint32_t>;
    const auto later = [this](const Entry& a, const Entry& b) {
        if (a.first != b.first) return a.first > b.first;
        return a.second != b.second && name(NodeId(b.second)) < name(NodeId(a.second));
    };
    std::priority_queue<Entry, std::vector<Entry>, decltype(later)> queue(later);
    for (const NodeId root : roots) {
        if (tree.reached(root)) continue;
        if (!tree.parent[root.index()]) tree.distance_m[root.index()] = 0;
        queue.push({tree.distance_m[root.index()], root.value});
    }
    std::vector<std::pair<NodeId, EdgeId>> blocked;
    const auto offer = [&](NodeId node, EdgeId by, NodeId next) {
        const double there_m = tree.distance_m[node.index()] + length_m(circuit_.edge(by));
        double& known_m = tree.distance_m[next.index()];
        const bool tie =
            there_m == known_m && tree.parent[next.index()] && name(node) < name(tree.parent[next.index()]);
        if (there_m > known_m || (there_m == known_m && !tie)) return;
        known_m = there_m;
        tree.by[next.index()] = by;
        tree.parent[next.index()] = node;
        queue.push({there_m, next.value});
    };
    const auto visit = [&](NodeId node) {
        if (tree.reached(node)) return;
        tree.settle(node, contacts);
        for (const Incidence& step : circuit_.at(node)) {
            if (!leads_on(circuit_.edge(step.edge), step.other) || contacts.never_closed(step.edge) ||
                tree.reached(step.other))
                continue;
            if (tree.may_go_on(node, step.edge, contacts))
                offer(node, step.edge, step.other);
            else
                blocked.emplace_back(node, step.edge);
        }
    };
    for (std::vector<bool> without_choice;; blocked.clear()) {
        while (!queue.empty()) {
            const NodeId node(queue.top().second);
            queue.pop();
            visit(node);
        }
        if (blocked.empty()) return;
        // What a way without any choice reaches as well, its contacts lead on from, whatever closes them.
        if (without_choice.empty())
            without_choice = reached(circuit_, roots, [&](EdgeId id, NodeId from) {
                                 const Edge& edge = circuit_.edge(id);
                                 return leads_on(edge, other_end(edge, from)) && !contacts.is_chosen(id);
                             }).seen;
        for (const auto& [node, contact] : blocked)
            if (const NodeId next = other_end(circuit_.edge(contact), node);
                without_choice[node.index()] && !tree.reached(next))
                offer(node, contact, next);
    }
}

void Runs::find_out(const ContactWays& contacts, const PoleReach& poles) {
    const auto leads_on = [&](const Edge& edge, NodeId into) { return leads_out(poles, edge, into); };
    const std::size_t nodes = circuit_.node_count();
    out_ = {std::vector<double>(nodes, infinite_m),
            std::vector<EdgeId>(nodes),
            std::vector<NodeId>(nodes),
            std::vector<NodeId>(nodes),
            std::vector<NodeId>(nodes),
            std::vector<std::uint32_t>(nodes, 0),
            {}};
    home_ = out_;
    minus_of_.resize(nodes);
    fed_by_pack_.assign(nodes, false);
    for (int rank = 0; rank < 3; ++rank) {
        std::vector<NodeId> roots;
        for (const Edge& edge : circuit_.edges) {
            if (rank_of_source(edge.role) != rank || out_.reached(edge.to)) continue;
            roots.push_back(edge.to);
            NodeId& minus = minus_of_[edge.to.index()];
            if (!minus || name(edge.from) < name(minus)) minus = edge.from;
        }
        const std::size_t first = out_.order.size();
        grow(out_, roots, contacts, leads_on);
        if (rank == 0)
            for (const NodeId node : out_.order) fed_by_pack_[node.index()] = true;
        for (std::size_t i = first; i < out_.order.size(); ++i) {
            const NodeId node = out_.order[i], parent = out_.parent[node.index()];
            if (parent) minus_of_[node.index()] = minus_of_[parent.index()];
        }
    }
}

void Runs::find_home(const ContactWays& contacts, const PoleReach& poles) {
    const auto leads_on = [&](const Edge& edge, NodeId into) { return leads_home(poles, edge, into); };
    for (int rank = 0; rank < 3; ++rank) {
        std::vector<NodeId> roots;
        for (const Edge& edge : circuit_.edges)
            if (rank_of_source(edge.role) == rank && !home_.reached(edge.from)) roots.push_back(edge.from);
        grow(home_, roots, contacts, leads_on);
    }
    // At last what only a driver pulls to minus. A short behind it is one to the minus of the driver.
    std::vector<NodeId> pulled;
    const std::size_t first = home_.order.size();
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role != EdgeRole::low_side || !back(edge.to) || back(edge.from)) continue;
        NodeId& parent = home_.parent[edge.from.index()];
        if (parent && name(parent) <= name(edge.to)) continue;
        parent = edge.to;
        home_.by[edge.from.index()] = EdgeId(i);
        home_.distance_m[edge.from.index()] = home_.distance_m[edge.to.index()] + no_length_m;
        pulled.push_back(edge.from);
    }
    grow(home_, pulled, contacts, leads_on);
    driver_minus_.resize(circuit_.node_count());
    for (std::size_t i = first; i < home_.order.size(); ++i) {
        const NodeId node = home_.order[i], parent = home_.parent[node.index()];
        const NodeId of_parent = driver_minus_[parent.index()];
        driver_minus_[node.index()] = of_parent ? of_parent : parent;
    }
}

void Runs::find_users(const PoleReach& poles) {
    const std::size_t nodes = circuit_.node_count();
    user_minus_.resize(nodes);
    user_m_.assign(nodes, infinite_m);
    device_users_.assign(nodes, 0);
    users_home_.assign(nodes, 0);
    users_out_.assign(nodes, 0);
    const auto offer = [&](NodeId at, NodeId minus, double metres, std::uint32_t device_users) {
        const std::size_t i = at.index();
        // One without a device on the way comes first: the run that this very device guards.
        const auto now = std::tuple(device_users_[i] > 0, user_m_[i]);
        const auto here = std::tuple(device_users > 0, metres);
        if (user_minus_[i] && (now < here || (now == here && name(user_minus_[i]) <= name(minus)))) return;
        user_minus_[i] = minus;
        user_m_[i] = metres;
        device_users_[i] = device_users;
    };
    for (const Edge& edge : circuit_.edges) {
        const bool charger = edge.role == EdgeRole::charger,
                   heater = edge.role == EdgeRole::resistor && poles.lies_across(edge);
        if (!lies_across(edge.role) && !charger && !heater) continue;
        const bool turned = charger || (heater && poles.only_plus(edge.to));
        const NodeId feed = turned ? edge.to : edge.from, minus = turned ? edge.from : edge.to;
        if (!forward(feed) || !back(minus)) continue;
        offer(feed, minus, 0, 0);
        // What a converter feeds comes back by its own minus, and is no user beside it.
        if (fed_by_pack_[feed.index()]) ++users_home_[minus.index()], ++users_out_[feed.index()];
    }
    for (auto node = out_.order.rbegin(); node != out_.order.rend(); ++node) {
        const EdgeId by = out_.by[node->index()];
        if (!by) continue;
        const Edge& edge = circuit_.edge(by);
        const NodeId before = other_end(edge, *node);
        users_out_[before.index()] += users_out_[node->index()];
        if (!user_minus_[node->index()]) continue;
        const std::uint32_t device_users =
            is_protective(edge.role) ? std::max(users_out_[node->index()], 1U) : device_users_[node->index()];
        offer(before, user_minus_[node->index()], user_m_[node->index()] + length_m(edge), device_users);
    }
    for (auto node = home_.order.rbegin(); node != home_.order.rend(); ++node)
        if (const NodeId parent = home_.parent[node->index()])
            users_home_[parent.index()] += users_home_[node->index()];
}

NodeId Runs::climb(NodeId below, double metres) const {
    const double least_m = home_.distance_m[below.index()] - metres;
    NodeId at = below;
    for (;;) {
        const NodeId leap = home_.leap[at.index()], parent = home_.parent[at.index()];
        if (leap && home_.distance_m[leap.index()] >= least_m)
            at = leap;
        else if (parent && home_.distance_m[parent.index()] >= least_m)
            at = parent;
        else
            return at;
    }
}

NodeId Runs::meeting(NodeId a, NodeId b) const {
    while (a != b) {
        NodeId& deeper = home_.depth[a.index()] >= home_.depth[b.index()] ? a : b;
        const NodeId& other = home_.depth[a.index()] >= home_.depth[b.index()] ? b : a;
        const NodeId leap = home_.leap[deeper.index()];
        const bool far = leap && home_.depth[leap.index()] >= home_.depth[other.index()] && leap != other &&
                         home_.depth[deeper.index()] > home_.depth[other.index()];
        deeper = far ? leap : home_.parent[deeper.index()];
        if (!deeper) return {};
    }
    return a;
}

Runs::Beside Runs::beside(NodeId node) const {
    const NodeId minus = user_minus_[node.index()];
    if (!minus) return {};
    // Down a string of sources to the pole that the return leads to.
    NodeId pole = minus_of_[node.index()];
    NodeId meets;
    for (std::size_t guard = 0; pole && guard < 64; ++guard) {
        meets = meeting(minus, pole);
        if (meets || !forward(pole) || minus_of_[pole.index()] == pole) break;
        pole = minus_of_[pole.index()];
    }
    const double start_m = home_.distance_m[minus.index()];
    const double meets_m = meets ? home_.distance_m[meets.index()] : 0;
    const double pole_m = pole && meets ? home_.distance_m[pole.index()] - meets_m : 0;
    const double home_m = start_m - meets_m + pole_m;
    const double out_m = out_.distance_m[node.index()], left_m = user_m_[node.index()];
    const double apart_m = std::min(out_m + left_m, home_m);
    // Along the way back from the user: not nearer than `least`, not farther than `most`.
    const double least_m = apart_m - out_m - hands_breadth_m;
    const double most_m = std::min(home_m - apart_m + left_m + hands_breadth_m, start_m - meets_m);
    Beside found;
    NodeId at = minus;
    if (least_m > 0) {
        at = climb(minus, least_m);
        if (start_m - home_.distance_m[at.index()] < least_m) {
            // Somewhere along the wire to the next: it is taken at that end where it lies close to it, else
            // at the far one, from which the longer piece carries the short.
            const NodeId next = home_.parent[at.index()];
            const double short_of_m = least_m - (start_m - home_.distance_m[at.index()]);
            const double beyond_m = next ? start_m - home_.distance_m[next.index()] - most_m : infinite_m;
            if (beyond_m <= close_to_an_end * short_of_m)
                at = next;
            else
                found.along = home_.by[at.index()];
        }
    }
    // Behind a device of its own a return may be as thin as that allows: what lies before the device runs
    // beside the conductor in which several returns meet, a bar beside the bar to which they come.
    if (const std::uint32_t behind = device_users_[node.index()])
        while (users_home_[at.index()] <= behind && home_.parent[at.index()] &&
               !(bar_[node.index()] && bar_[at.index()])) {
            at = home_.parent[at.index()];
            found.along = {};
        }
    if (driver_minus_[at.index()]) {
        at = driver_minus_[at.index()];
        found.along = {};
    }
    found.far = at;
    found.near = at;
    const double used_m = start_m - home_.distance_m[at.index()];
    if (!found.along && most_m > used_m) found.near = climb(at, most_m - used_m);
    return found;
}

NodeId Runs::across(NodeId node) const {
    if (forward(node)) {
        for (NodeId at = node; at; at = out_.parent[at.index()])
            if (const Beside found = beside(at); found.near) return found.near;
        NodeId pole = minus_of_[node.index()];
        // Down a string of sources.
        for (std::size_t guard = 0; forward(pole) && guard < 64; ++guard) pole = minus_of_[pole.index()];
        return pole;
    }
    if (!back(node)) return {};
    NodeId pole = climb(node, infinite_m);
    bool any = false;
    for (bool up = true; up;) {
        up = false;
        for (const Incidence& step : circuit_.at(pole)) {
            const Edge& edge = circuit_.edge(step.edge);
            if (rank_of_source(edge.role) < 0 || edge.from != pole || edge.to == node) continue;
            pole = edge.to;
            up = any = true;
            break;
        }
    }
    return any ? pole : NodeId();
}

}  // namespace loomward
