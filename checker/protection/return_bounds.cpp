#include "checker/protection/return_bounds.hpp"

#include <algorithm>
#include <map>
#include <memory>

#include "checker/protection/home_network.hpp"
#include "checker/protection/main_leads.hpp"
#include "checker/protection/return_sums.hpp"
#include "checker/protection/ring_bounds.hpp"

namespace loomward {
namespace {

// Steps through ties that may be spent on flows; beyond it rows are bounded by sums.
constexpr double affordable_steps = 4e5;

class Circulations {
  public:
    Circulations(const GuardNetwork& network, const GuardView& view, const std::vector<FlowBound>& chafed,
                 std::span<const BarPair> pairs)
        : network_(network),
          circuit_(network.circuit()),
          view_(view),
          home_(network, view, HomeNetwork::Detail::pieces),
          chafed_(chafed),
          pairs_(pairs),
          feeds_(network, view, chafed) {}

    std::unordered_map<std::uint32_t, ReturnBound> bound() {
        plant();
        add_main_leads();
        sums_are_exact_ = sums_are_exact();
        double asked = 0;
        for (std::uint32_t id = 0; id < home_.ties().size(); ++id) {
            if (!is_wire(id) || !rows_.try_emplace(home_.row(id), id).second) continue;
            const ReturnPlace& outer = places_[outer_end(id)];
            asked += sums_are_exact_ && outer.sources.empty() && !outer.strange ? 0 : 1;
        }
        affordable_ = asked * static_cast<double>(home_.ties().size()) <= affordable_steps;
        for (const auto& [row, id] : rows_) bounds_of_row_[row] = of_row(id);
        return by_wire();
    }

  private:
    const HomeNetwork::Tie& tie(std::uint32_t id) const { return home_.ties()[id]; }
    bool is_wire(std::uint32_t id) const {
        return tie(id).kind == HomeNetwork::Tie::Kind::conductor && circuit_.edge(tie(id).edge).wire;
    }
    std::uint32_t other(std::uint32_t id, std::uint32_t vertex) const {
        return tie(id).flow.a == vertex ? tie(id).flow.b : tie(id).flow.a;
    }

    // ---- the forest of returns ------------------------------------------------------------------------

    std::uint32_t outer_end(std::uint32_t id) const {
        return places_[tie(id).flow.a].by == id ? tie(id).flow.a : tie(id).flow.b;
    }
    // Every tree of returns from a pack's minus, or any source's, outwards; then sums back to the root.
    void plant() {
        places_.resize(home_.vertex_count());
        seen_.assign(home_.vertex_count(), false);
        users_here_ = seen_;
        for (const bool packs : {true, false})
            for (std::uint32_t i = 0; i < home_.ties().size(); ++i)
                if (tie(i).kind == HomeNetwork::Tie::Kind::source &&
                    (circuit_.edge(tie(i).edge).role == EdgeRole::emf) == packs)
                    walk(tie(i).flow.a);
        for (std::uint32_t i = 0; i < home_.vertex_count(); ++i) walk(i);
        for (std::uint32_t i = 0; i < home_.vertex_count(); ++i)
            if (home_.is_piece(i)) look_at(i);
        for (std::size_t i = order_.size(); i-- > 0;) gather(order_[i]);
    }
    // Everything beyond is gathered already: pieces between loads are trees of their own and come before.
    void gather(std::uint32_t vertex) {
        ReturnPlace& place = places_[vertex];
        for (const std::uint32_t piece : place.between) {
            const std::vector<std::uint32_t>& fed = places_[places_[piece].root].fed;
            place.fed.insert(place.fed.end(), fed.begin(), fed.end());
        }
        std::sort(place.fed.begin(), place.fed.end());
        place.fed.erase(std::unique(place.fed.begin(), place.fed.end()), place.fed.end());
        const bool one = place.fed.size() == 1;
        FlowBound sum = one ? chafed_[place.fed[0]] : feeds_.sum(place.fed);
        sum.capacity += place.limited_A;
        if (place.by == ReturnPlace::none) {
            of_tree_[vertex] = std::move(sum);
            return;
        }
        of_branch_[place.by] = std::move(sum);
        ReturnPlace& above = places_[other(place.by, vertex)];
        append(above.fed, place.fed);
        append(above.sources, place.sources);
        above.limited_A += place.limited_A;
        above.strange = above.strange || place.strange;
        above.users += place.users;
    }
    static void append(std::vector<std::uint32_t>& all, std::vector<std::uint32_t>& more) {
        const std::vector<std::uint32_t> kept = all.size() < more.size() ? all : more;
        if (all.size() < more.size()) all = more;
        all.insert(all.end(), kept.begin(), kept.end());
    }
    void walk(std::uint32_t root) {
        if (seen_[root] || !home_.is_piece(root)) return;
        seen_[root] = true;
        places_[root].root = root;
        const std::size_t first = order_.size();
        order_.push_back(root);
        for (std::size_t head = first; head < order_.size(); ++head)
            for (const std::uint32_t id : home_.at(order_[head])) {
                const std::uint32_t next = other(id, order_[head]);
                if (tie(id).kind != HomeNetwork::Tie::Kind::conductor || seen_[next]) continue;
                seen_[next] = true;
                places_[next].by = id;
                places_[next].root = root;
                order_.push_back(next);
            }
    }
    void look_at(std::uint32_t vertex) {
        ReturnPlace& place = places_[vertex];
        for (const std::uint32_t id : home_.at(vertex)) {
            const HomeNetwork::Tie& each = tie(id);
            if (each.kind == HomeNetwork::Tie::Kind::source && each.flow.a == vertex)
                place.sources.push_back(id);
            if (each.kind != HomeNetwork::Tie::Kind::load) continue;
            const EdgeRole role = circuit_.edge(each.edge).role;
            const bool limited = each.flow.capacity < unbounded_A;
            place.strange = place.strange || limited || home_.is_piece(each.flow.a);
            if (limited)
                place.limited_A += each.flow.capacity;
            else if (each.flow.a != vertex && home_.is_piece(each.flow.a))
                place.between.push_back(each.flow.a);
            else if (each.flow.a != vertex && role != EdgeRole::emf)
                place.fed.push_back(home_.zone(each.flow.a));
            if (uses_power(role) || role == EdgeRole::resistor || role == EdgeRole::capacitor)
                ++place.users, users_here_[vertex] = true;
        }
    }
    std::uint32_t root_of(std::uint32_t vertex) const { return places_[vertex].root; }
    void add_main_leads() {
        for (const MainLead& lead : main_leads(circuit_, home_, chafed_, places_, users_here_))
            add_touch(lead);
        for (const BarPair& pair : pairs_) {
            if (!network_.forward(pair.plus) || !network_.back(pair.minus) || !home_.is_home(pair.minus))
                continue;
            const std::uint32_t minus = home_.vertex(pair.minus);
            if (chafed_[network_.zone(pair.plus)].capacity == unbounded_A) continue;  // told at the plus
            MainLead lead{home_.vertex(pair.plus), minus, {}};
            for (std::uint32_t here = minus; places_[here].by != ReturnPlace::none;) {
                lead.ties.push_back(places_[here].by);
                here = other(places_[here].by, here);
            }
            add_touch(lead);
        }
    }
    void add_touch(const MainLead& lead) {
        touches_.push_back({lead.zone, lead.end, 0, 0});
        for (const std::uint32_t id : lead.ties)
            touches_of_row_[home_.row(id)].push_back(
                static_cast<std::uint32_t>(home_.ties().size() + touches_.size() - 1));
    }

    // ---- flows ----------------------------------------------------------------------------------------

    // Conductors without devices, one tree that everything leads back to, feeds without loops: what a branch
    // brings is the sum along its feeds.
    bool sums_are_exact() const {
        if (!feeds_.is_exact()) return false;
        std::uint32_t root = ReturnPlace::none;
        for (const HomeNetwork::Tie& each : home_.ties()) {
            const bool plain = each.flow.capacity == unbounded_A && each.flow.backwards() == unbounded_A;
            if (each.kind == HomeNetwork::Tie::Kind::conductor && !plain) return false;
            if (each.kind == HomeNetwork::Tie::Kind::load && !home_.is_piece(each.flow.b)) return false;
            if (each.kind != HomeNetwork::Tie::Kind::source || !home_.is_piece(each.flow.a)) continue;
            if (root != ReturnPlace::none && root_of(each.flow.a) != root) return false;
            root = root_of(each.flow.a);
        }
        return true;
    }
    FlowNetwork& flows() {
        if (flows_) return *flows_;
        std::vector<FlowEdge> edges;
        for (const HomeNetwork::Tie& each : home_.ties()) edges.push_back(each.flow);
        edges.insert(edges.end(), touches_.begin(), touches_.end());
        flows_ = std::make_unique<FlowNetwork>(home_.vertex_count(), edges);
        return *flows_;
    }
    // Both ways round through one conductor.
    FlowBound through(std::uint32_t id) {
        const FlowEdge own = tie(id).flow;
        flows().set(id, 0, 0);
        FlowBound there = flows().between(own.b, own.a), back = flows().between(own.a, own.b);
        flows().set(id, own.capacity, own.backwards());
        // Of equal ones the way home, from where loads are to where none is.
        const bool outer_is_b = outer_end(id) == own.b;
        const ReturnPlace& outer = places_[outer_end(id)];
        const bool home_is_b = outer.users == 0 ? outer_is_b : !outer_is_b;
        const bool takes_back = back.capacity == there.capacity ? !home_is_b : back.capacity > there.capacity;
        return in_edges(takes_back ? back : there);
    }
    FlowBound in_edges(const FlowBound& bound) const {
        FlowBound named{bound.capacity, {}};
        for (const std::uint32_t id : bound.cut) named.cut.push_back(tie(id).edge.value);
        std::sort(named.cut.begin(), named.cut.end());
        return named;
    }

    // The conductor lets pass what the branch beyond it brings, and home into the sources that lie there.
    ReturnBound of_row(std::uint32_t id) {
        const ReturnPlace& outer = places_[outer_end(id)];
        const bool summed = sums_are_exact_ && outer.sources.empty() && !outer.strange;
        ReturnBound row;
        row.bound = summed || !affordable_ ? by_sums(id, outer) : through(id);
        const auto found = touches_of_row_.find(home_.row(id));
        if (found != touches_of_row_.end())
            for (const std::uint32_t touch : found->second) with_touch(id, touch, summed, row.bound);
        if (row.bound.capacity == unbounded_A) row.load = endless_load(tie(id).edge);
        return row;
    }
    FlowBound by_sums(std::uint32_t id, const ReturnPlace& outer) const {
        const FlowBound& all = of_tree_.at(outer.root);
        if (places_[outer.root].sources.empty()) return all;  // between two loads
        const auto branch = of_branch_.find(id);
        if (branch == of_branch_.end()) return all;  // closes a ring
        FlowBound brought = branch->second, taken;
        for (const std::uint32_t source : outer.sources) {
            // What a source in the branch gives does not come home to it through this conductor.
            const auto limit = std::find(brought.cut.begin(), brought.cut.end(), tie(source).edge.value);
            if (limit != brought.cut.end()) {
                brought.capacity -= tie(source).flow.capacity;
                brought.cut.erase(limit);
            }
            taken.capacity += tie(source).flow.capacity;
            taken.cut.push_back(tie(source).edge.value);
        }
        if (taken.capacity > all.capacity) taken = all;
        return taken.capacity > brought.capacity ? taken : brought;
    }
    void with_touch(std::uint32_t id, std::uint32_t touch, bool summed, FlowBound& bound) {
        const std::uint32_t zone = home_.zone(touches_[touch - home_.ties().size()].a);
        FlowBound touched = chafed_[zone];
        if (summed) {
            std::vector<std::uint32_t> zones = places_[outer_end(id)].fed;
            zones.push_back(zone);
            touched = feeds_.sum(zones);
        } else if (affordable_) {
            flows().set(touch, unbounded_A, 0);
            touched = through(id);
            flows().set(touch, 0, 0);
        } else {
            touched = sum_with(id, zone);
        }
        if (touched.capacity > bound.capacity) bound = touched;
    }
    // What the branch brings and the touch besides, as far as devices before both let it: an upper bound.
    FlowBound sum_with(std::uint32_t id, std::uint32_t zone) const {
        const std::uint32_t outer = outer_end(id);
        const bool branches = of_branch_.contains(id) && !places_[places_[outer].root].sources.empty();
        const ReturnPlace& place = places_[branches ? outer : places_[outer].root];
        std::vector<std::uint32_t> zones = place.fed;
        zones.push_back(zone);
        FlowBound together = feeds_.sum(zones);
        if (chafed_[zone].capacity > together.capacity) together = chafed_[zone];
        together.capacity += place.limited_A;
        return together;
    }
    // A load that lets in a current without end, looked for from the ends of the conductor outwards.
    EdgeId endless_load(EdgeId id) const {
        std::vector<bool> seen(home_.vertex_count(), false);
        const Edge& edge = circuit_.edge(id);
        std::vector<std::uint32_t> queue{home_.vertex(edge.from), home_.vertex(edge.to)};
        EdgeId found;
        for (std::size_t head = 0; head < queue.size(); ++head) {
            if (seen[queue[head]]) continue;
            seen[queue[head]] = true;
            for (const std::uint32_t next : home_.at(queue[head])) {
                const HomeNetwork::Tie& each = tie(next);
                if (each.kind == HomeNetwork::Tie::Kind::conductor) queue.push_back(other(next, queue[head]));
                if (each.kind != HomeNetwork::Tie::Kind::load || each.flow.b != queue[head]) continue;
                if (home_.is_piece(each.flow.a))
                    queue.push_back(each.flow.a);
                else if (chafed_[home_.zone(each.flow.a)].capacity == unbounded_A && !found &&
                         !is_source(circuit_.edge(each.edge).role))
                    found = each.edge;
            }
        }
        return found;
    }

    std::unordered_map<std::uint32_t, ReturnBound> by_wire() {
        std::unordered_map<std::uint32_t, ReturnBound> bounds;
        for (std::uint32_t id = 0; id < home_.ties().size(); ++id)
            if (is_wire(id)) bounds[tie(id).edge.value] = bounds_of_row_[home_.row(id)];
        std::vector<EdgeId> on_rings;
        for (const EdgeId id : circuit_.edge_of_wire) {
            const Edge& edge = circuit_.edge(id);
            if (home_.is_home(edge.from) && home_.on_ring(id)) on_rings.push_back(id);
        }
        if (on_rings.empty()) return bounds;
        // Each of them takes four flows, in a network somewhat larger than this one.
        const double steps =
            4.0 * static_cast<double>(on_rings.size()) * static_cast<double>(circuit_.edges.size());
        std::unique_ptr<RingBounds> rings;
        if (steps <= affordable_steps) rings = std::make_unique<RingBounds>(network_, view_);
        for (const EdgeId id : on_rings)
            bounds[id.value].bound =
                rings ? rings->of(id) : of_tree_.at(root_of(home_.vertex(circuit_.edge(id).from)));
        for (auto& [id, bound] : bounds)
            if (bound.bound.capacity == unbounded_A && !bound.load) bound.load = endless_load(EdgeId(id));
        return bounds;
    }

    const GuardNetwork& network_;
    const Circuit& circuit_;
    GuardView view_;
    HomeNetwork home_;
    const std::vector<FlowBound>& chafed_;
    std::span<const BarPair> pairs_;
    ReturnSums feeds_;
    std::vector<ReturnPlace> places_;  // by vertex
    std::vector<bool> seen_, users_here_;
    std::vector<std::uint32_t> order_;
    std::map<std::uint32_t, FlowBound> of_branch_;  // by tie
    std::map<std::uint32_t, FlowBound> of_tree_;    // by its root
    std::vector<FlowEdge> touches_;
    std::map<std::uint32_t, std::vector<std::uint32_t>> touches_of_row_;
    std::map<std::uint32_t, std::uint32_t> rows_;  // to one of its ties
    std::map<std::uint32_t, ReturnBound> bounds_of_row_;
    bool affordable_ = false, sums_are_exact_ = false;
    std::unique_ptr<FlowNetwork> flows_;
};

}  // namespace

std::unordered_map<std::uint32_t, ReturnBound> bound_returns(const GuardNetwork& network,
                                                             const GuardView& view,
                                                             const std::vector<FlowBound>& chafed,
                                                             std::span<const BarPair> pairs) {
    return Circulations(network, view, chafed, pairs).bound();
}

}  // namespace loomward
