// Contacts that some mode has closed and that no mode is entered by closing: a main switch that is closed in
// all of them, a breaker, one in a circle of modes. Somebody closes them all the same.
#include <algorithm>
#include <set>
#include <tuple>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/on_poles.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::size_t most_ways = 6;
constexpr std::size_t most_parts = 64;  // those that carry most
constexpr double hurts_J = 1;           // less than that welds nothing (rule no-precharge)

bool closes(const Circuit& circuit, const Mode& mode, PartId part) {
    const auto& edges = circuit.edges_of_part[part.index()];
    return std::any_of(edges.begin(), edges.end(), [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return (edge.role == EdgeRole::switching || edge.role == EdgeRole::breaker) &&
               is_closed(circuit, mode, edge);
    });
}

// The same with the part open: a selector in the first position that joins less.
std::optional<Mode> opened(const Circuit& circuit, const Mode& mode, PartId part) {
    Mode open = mode;
    State& state = open.states[part.index()];
    state.stated_by = StatedBy::language;
    if (circuit.harness->part(part).kind != Kind::selector) {
        state.posture = state.posture == Posture::energised ? Posture::released : Posture::open;
        return closes(circuit, open, part) ? std::nullopt : std::optional(std::move(open));
    }
    state.posture = Posture::at_position;
    for (std::size_t i = 0; i < circuit.harness->positions_of(part).size(); ++i) {
        state.position = static_cast<std::uint16_t>(i);
        if (!closes(circuit, open, part)) return open;
    }
    return std::nullopt;
}

}  // namespace

std::vector<PartId> ModeFollower::closed_by_no_mode() const {
    const std::vector<Mode>& modes = circuit_.harness->modes;
    std::set<PartId> closed;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        ModeEntry entry;
        find_closing(modes[m], earlier_than(modes[m]), entry);
        for (const ClosingContact& contact : entry.closing) closed.insert(circuit_.edge(contact.edge).part);
    }
    std::vector<PartId> found;
    for (std::size_t i = 0; i < circuit_.edges_of_part.size(); ++i)
        if (!closed.contains(PartId(i)) && std::any_of(modes.begin(), modes.end(), [&](const Mode& mode) {
                return closes(circuit_, mode, PartId(i));
            }))
            found.emplace_back(i);
    if (found.size() <= most_parts) return found;
    const auto carries_A = [&](PartId part) {
        const auto rated = facts_.quantity(part, "(rated-current)"_attr);
        const auto carries = rated ? rated : facts_.quantity(part, "carries"_attr);
        return carries ? carries->hi : std::numeric_limits<double>::infinity();
    };
    std::sort(found.begin(), found.end(), [&](PartId a, PartId b) {
        return std::tuple(-carries_A(a), circuit_.harness->part(a).name) <
               std::tuple(-carries_A(b), circuit_.harness->part(b).name);
    });
    found.resize(most_parts);
    return found;
}

// All modes that have it closed; of one that none opens also what is at rest with everything undone that they
// close: it may be the first of all.
std::vector<ModeFollower::Made> ModeFollower::ways_to_close(PartId part) const {
    std::vector<Made> ways;
    bool always = true;
    const std::vector<Mode>& modes = circuit_.harness->modes;
    const auto add = [&](Mode closed, std::size_t m) {
        closed.after = {};
        if (auto open = opened(circuit_, closed, part))
            ways.push_back({std::move(closed), std::move(*open), ModeId(m)});
    };
    std::optional<std::size_t> first;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        if (!closes(circuit_, modes[m], part)) {
            always = false;
            continue;
        }
        if (!first) first = m;
        if (ways.size() < most_ways) add(modes[m], m);
    }
    if (always && first) {
        Mode rest = before_anything(modes[*first]);
        if (closes(circuit_, rest, part)) add(std::move(rest), *first);
    }
    return ways;
}

bool ModeFollower::parts_capacitors(const Made& made) const {
    const auto on_pack = [&](const Mode& mode) {
        DisjointSets joined = pieces(circuit_, [&](EdgeId id) {
            const Edge& edge = circuit_.edge(id);
            return conducts(edge.role) && is_closed(circuit_, mode, edge);
        });
        PackPoles poles(circuit_, joined);
        std::vector<bool> found;
        for (const Stored& each : capacitors_) found.push_back(poles.supply(circuit_.edge(each.edge)));
        return found;
    };
    const std::vector<bool> closed = on_pack(made.closed), open = on_pack(made.open);
    double farad = 0;
    for (std::size_t k = 0; k < closed.size(); ++k)
        if (closed[k] && !open[k]) farad += capacitors_[k].capacitance_F;
    return farad * packs_V() * packs_V() / 2 >= hurts_J;
}

std::vector<ModeEntry> closed_last(std::vector<ModeFollower>& followers, PartId part,
                                   std::vector<ModeId>& not_followed) {
    const std::vector<ModeFollower::Made> ways = followers.front().ways_to_close(part);
    const auto parts_one = [&](const ModeFollower::Made& way) {
        return followers.back().parts_capacitors(way);
    };
    if (ways.empty() || !std::all_of(ways.begin(), ways.end(), parts_one)) return {};
    std::vector<ModeEntry> mildest;
    double least_A = std::numeric_limits<double>::infinity();
    for (const ModeFollower::Made& way : ways) {
        std::vector<ModeEntry> entries;
        double most_A = 0;
        for (ModeFollower& follower : followers) {
            bool lost = false;
            auto entry = follower.enter(follower.make(way), lost);
            if (lost &&
                std::find(not_followed.begin(), not_followed.end(), way.told_as) == not_followed.end())
                not_followed.push_back(way.told_as);
            if (!entry) continue;
            for (const ClosingContact& contact : entry->closing)
                most_A = std::max(most_A, std::abs(contact.current_A));
            entry->closed_last = part;
            entries.push_back(std::move(*entry));
        }
        if (entries.empty()) return {};
        if (most_A < least_A) least_A = most_A, mildest = std::move(entries);
    }
    return mildest;
}

}  // namespace loomward
