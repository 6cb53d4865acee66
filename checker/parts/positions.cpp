#include "checker/parts/positions.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "checker/circuit/feed_strength.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

namespace {
constexpr std::size_t most_combinations = 64;
constexpr std::size_t most_shared = 16;

// A contact that only opens and closes: no change-over, no selector.
bool is_plain(const Circuit& circuit, const Edge& edge) {
    return edge.role == EdgeRole::switching && edge.throw_ == 0 &&
           circuit.harness->part(edge.part).kind != Kind::selector;
}

// One that a hand parts: a plain contact, or a plug.
bool is_parted(const Circuit& circuit, const Edge& edge) {
    return edge.role == EdgeRole::contact || is_plain(circuit, edge);
}

// What hangs together without a load, with the contacts that `open` names left open.
template <class Open>
DisjointSets without_loads(const Circuit& circuit, Open open) {
    DisjointSets sets(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (const Edge& edge = circuit.edges[i]; is_conductor(edge.role) && !open(EdgeId(i)))
            sets.join(edge.from.index(), edge.to.index());
    return sets;
}

// The pole has two throws: of a change-over contact one is closed at a time.
bool has_other_throw(const Circuit& circuit, EdgeId contact) {
    const Edge& edge = circuit.edge(contact);
    return std::any_of(circuit.edges_of_part[edge.part.index()].begin(),
                       circuit.edges_of_part[edge.part.index()].end(), [&](EdgeId other) {
                           const Edge& beside = circuit.edge(other);
                           return other != contact && beside.role == EdgeRole::switching &&
                                  beside.way == edge.way && beside.throw_ != edge.throw_;
                       });
}

// A pack, or a string of packs or sections: who follows them upwards comes back to where they began.
bool shorts_a_pack(const Circuit& circuit, DisjointSets& sets) {
    std::map<std::size_t, std::vector<std::size_t>> above;
    std::map<std::size_t, std::size_t> below;  // by piece: how many sections end there
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::emf) continue;
        const std::size_t lower = sets.find(edge.from.index()), upper = sets.find(edge.to.index());
        above[lower].push_back(upper);
        below.try_emplace(lower, 0);
        ++below[upper];
    }
    std::vector<std::size_t> lowest;
    for (const auto& [piece, sections] : below)
        if (sections == 0) lowest.push_back(piece);
    for (std::size_t head = 0; head < lowest.size(); ++head)
        for (const std::size_t upper : above[lowest[head]])
            if (--below[upper] == 0) lowest.push_back(upper);
    return lowest.size() < below.size();
}

// The pieces that the two ends of a pack, or of packs on top of one another, lie in; the smaller first.
std::set<std::pair<std::size_t, std::size_t>> poles_of_strings(const Circuit& circuit, DisjointSets& sets) {
    std::map<std::size_t, std::vector<std::size_t>> above;
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf)
            above[sets.find(edge.from.index())].push_back(sets.find(edge.to.index()));
    std::set<std::pair<std::size_t, std::size_t>> poles;
    for (const auto& each : above) {
        std::vector<std::size_t> lifted{each.first};
        std::set<std::size_t> seen;
        for (std::size_t head = 0; head < lifted.size(); ++head) {
            const auto here = above.find(lifted[head]);
            if (here == above.end()) continue;
            for (const std::size_t upper : here->second)
                if (seen.insert(upper).second) lifted.push_back(upper);
        }
        for (const std::size_t upper : seen) poles.insert(std::minmax(each.first, upper));
    }
    return poles;
}

// Plain contacts and plugs that would short a pack or a string of packs in a mode that opens them.
struct AcrossPacks {
    std::set<EdgeId> in_use;  // closed by another mode: sides of a bridge, links of packs
    std::set<EdgeId> unused;  // closed by none
};
AcrossPacks across_packs(const Circuit& circuit) {
    std::set<EdgeId> across, closed;
    for (const Mode& mode : circuit.harness->modes) {
        DisjointSets sets =
            without_loads(circuit, [&](EdgeId id) { return !is_closed(circuit, mode, circuit.edge(id)); });
        const std::set<std::pair<std::size_t, std::size_t>> poles = poles_of_strings(circuit, sets);
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            if (!is_parted(circuit, edge)) continue;
            if (is_closed(circuit, mode, edge))
                closed.insert(EdgeId(i));
            else if (poles.contains(std::minmax(sets.find(edge.from.index()), sets.find(edge.to.index()))))
                across.insert(EdgeId(i));
        }
    }
    AcrossPacks result;
    for (const EdgeId id : across) (closed.contains(id) ? result.in_use : result.unused).insert(id);
    return result;
}
}  // namespace

Positions::Positions(const Circuit& circuit) : circuit_(circuit) {
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Kind kind = circuit.harness->parts[i].kind;
        if (kind != Kind::selector && kind != Kind::relay) continue;
        // The poles of a relay move together; what has one throw only counts as closed.
        const bool selector = kind == Kind::selector;
        std::map<std::size_t, std::vector<EdgeId>> by_way;
        for (const EdgeId id : circuit.edges_of_part[i]) {
            const Edge& edge = circuit.edge(id);
            if (edge.role == EdgeRole::switching && (selector || has_other_throw(circuit, id)))
                by_way[selector ? edge.way : edge.throw_].push_back(id);
        }
        if (by_way.size() < 2) continue;
        Choice& choice = choices_.emplace_back();
        for (const auto& [way, edges] : by_way) choice.ways.push_back(edges);
    }
    add_bridges(circuit);
    group(circuit);
}

// Choices that hang on the same load, or on one another, are one group where there are too many for all
// combinations: what they share with the others is the supply.
void Positions::group(const Circuit& circuit) {
    groups_.assign(1, {});
    for (std::size_t i = 0; i < choices_.size(); ++i) {
        groups_[0].choices.push_back(i);
        if (groups_[0].combinations <= most_combinations) groups_[0].combinations *= choices_[i].ways.size();
    }
    combinations_ = groups_[0].combinations;
    if (combinations_ <= most_combinations) return;
    all_ = false;
    std::vector<bool> chosen(circuit.edges.size(), false);
    for (const Choice& choice : choices_)
        for (const auto& way : choice.ways)
            for (const EdgeId id : way) chosen[id.index()] = true;
    DisjointSets fixed = without_loads(circuit, [&](EdgeId id) { return chosen[id.index()]; });
    std::set<std::size_t> poles;
    for (const Edge& edge : circuit.edges)
        if (is_source(edge.role)) poles.insert({fixed.find(edge.from.index()), fixed.find(edge.to.index())});
    const auto is_pole = [&](NodeId node) { return poles.contains(fixed.find(node.index())); };
    DisjointSets together(circuit.node_count() + choices_.size());
    for (const Edge& edge : circuit.edges)
        if ((is_conductor(edge.role) || edge.role == EdgeRole::load) && !is_pole(edge.from) &&
            !is_pole(edge.to))
            together.join(edge.from.index(), edge.to.index());
    for (std::size_t i = 0; i < choices_.size(); ++i)
        for (const auto& way : choices_[i].ways)
            for (const EdgeId id : way)
                for (const NodeId node : {circuit.edge(id).from, circuit.edge(id).to})
                    if (!is_pole(node)) together.join(circuit.node_count() + i, node.index());
    std::map<std::size_t, Group> by_set;
    for (std::size_t i = 0; i < choices_.size(); ++i) {
        Group& here = by_set[together.find(circuit.node_count() + i)];
        here.choices.push_back(i);
        if (here.combinations <= most_combinations) here.combinations *= choices_[i].ways.size();
    }
    groups_.clear();
    std::size_t most = 1;
    for (auto& [set, here] : by_set) {
        if (here.combinations > most_combinations) continue;  // everything closed
        most = std::max(most, here.combinations);
        groups_.push_back(std::move(here));
    }
    // In step, and each one position on from the group before it.
    combinations_ = 2 * most;
    add_mixed(fixed);
    combinations_ += mixed_.size();
}

// What lies on what several groups share is the sum of what each of them gives: of every choice the way
// behind the largest device, behind the smallest, and the one to each place that not every way leads to.
// `fixed`: what hangs together without any choice.
void Positions::add_mixed(DisjointSets& fixed) {
    std::vector<bool> chosen(circuit_.edges.size(), false);
    for (const Choice& choice : choices_)
        for (const auto& way : choice.ways)
            for (const EdgeId id : way) chosen[id.index()] = true;
    const std::vector<double> strength_A = feed_strength_A(circuit_, chosen);
    const auto ends = [&](EdgeId id) {
        return std::array{circuit_.edge(id).from.index(), circuit_.edge(id).to.index()};
    };
    std::vector<std::vector<double>> strengths(choices_.size());
    std::map<std::size_t, std::size_t> leads_to;  // by piece: of how many choices some ways, not all
    std::vector<std::vector<std::set<std::size_t>>> pieces(choices_.size());
    for (std::size_t i = 0; i < choices_.size(); ++i) {
        std::map<std::size_t, std::size_t> ways_to;
        for (const auto& way : choices_[i].ways) {
            double most_A = 0;
            std::set<std::size_t>& here = pieces[i].emplace_back();
            for (const EdgeId id : way)
                for (const std::size_t end : ends(id)) {
                    most_A = std::max(most_A, strength_A[end]);
                    here.insert(fixed.find(end));
                }
            strengths[i].push_back(most_A);
            for (const std::size_t piece : here) ++ways_to[piece];
        }
        for (const auto& [piece, ways] : ways_to)
            if (ways < choices_[i].ways.size()) ++leads_to[piece];
    }
    const auto add = [&](auto better) {
        std::vector<std::size_t> ways(choices_.size(), 0);
        for (std::size_t i = 0; i < choices_.size(); ++i)
            for (std::size_t way = 1; way < choices_[i].ways.size(); ++way)
                if (better(i, way, ways[i])) ways[i] = way;
        if (std::find(mixed_.begin(), mixed_.end(), ways) == mixed_.end()) mixed_.push_back(std::move(ways));
    };
    add([&](std::size_t i, std::size_t way, std::size_t than) {
        return strengths[i][way] > strengths[i][than];
    });
    add([&](std::size_t i, std::size_t way, std::size_t than) {
        return strengths[i][way] < strengths[i][than];
    });
    std::vector<std::pair<std::size_t, std::size_t>> shared;  // by how many fewer lead there
    for (const auto& [piece, choices] : leads_to)
        if (choices > 1) shared.emplace_back(choices_.size() - choices, piece);
    std::sort(shared.begin(), shared.end());
    if (shared.size() > most_shared) shared.resize(most_shared);
    for (const auto& each : shared)
        add([&](std::size_t i, std::size_t way, std::size_t than) {
            return std::pair(pieces[i][way].contains(each.second), strengths[i][way]) >
                   std::pair(pieces[i][than].contains(each.second), strengths[i][than]);
        });
}

// One choice for each bridge: contacts that hang on the same motor, or links that put the same packs in line
// or side by side. Its ways are the largest sets of them that a mode closes together.
void Positions::add_bridges(const Circuit& circuit) {
    DisjointSets all = without_loads(circuit, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return edge.role == EdgeRole::switching && !is_plain(circuit, edge);
    });
    if (!shorts_a_pack(circuit, all)) return;
    const AcrossPacks across = across_packs(circuit);
    left_open_.assign(across.unused.begin(), across.unused.end());
    const std::set<EdgeId>& contacts = across.in_use;
    if (contacts.empty()) return;
    DisjointSets sets = without_loads(circuit, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return contacts.contains(id) || across.unused.contains(id) ||
               (edge.role == EdgeRole::switching && !is_plain(circuit, edge));
    });
    std::set<std::size_t> poles;
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf)
            poles.insert({sets.find(edge.from.index()), sets.find(edge.to.index())});
    const auto is_pole = [&](NodeId node) { return poles.contains(sets.find(node.index())); };
    DisjointSets motors(circuit.node_count());
    for (std::size_t i = 0; i < circuit.node_count(); ++i) motors.join(i, sets.find(i));
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::load && !is_pole(edge.from) && !is_pole(edge.to))
            motors.join(edge.from.index(), edge.to.index());
    DisjointSets packs(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf) packs.join(sets.find(edge.from.index()), sets.find(edge.to.index()));
    for (const EdgeId id : contacts)
        if (const Edge& edge = circuit.edge(id); is_pole(edge.from) && is_pole(edge.to))
            packs.join(sets.find(edge.from.index()), sets.find(edge.to.index()));
    std::map<std::pair<bool, std::size_t>, std::set<EdgeId>> bridges;  // links of packs, then motors
    for (const EdgeId id : contacts) {
        const Edge& edge = circuit.edge(id);
        if (is_pole(edge.from) && is_pole(edge.to))
            bridges[{false, packs.find(sets.find(edge.from.index()))}].insert(id);
        else if (is_pole(edge.from) != is_pole(edge.to))
            bridges[{true, motors.find((is_pole(edge.from) ? edge.to : edge.from).index())}].insert(id);
    }
    for (const auto& [of, bridge] : bridges) {
        std::set<std::set<EdgeId>> sides;
        for (const Mode& mode : circuit.harness->modes) {
            std::set<EdgeId> side;
            for (const EdgeId id : bridge)
                if (is_closed(circuit, mode, circuit.edge(id))) side.insert(id);
            sides.insert(std::move(side));
        }
        Choice choice;
        for (const std::set<EdgeId>& side : sides)
            if (std::none_of(sides.begin(), sides.end(), [&](const std::set<EdgeId>& other) {
                    return other != side &&
                           std::includes(other.begin(), other.end(), side.begin(), side.end());
                }))
                choice.ways.emplace_back(side.begin(), side.end());
        if (choice.ways.size() >= 2) choices_.push_back(std::move(choice));
    }
}

void Positions::close(std::vector<bool>& open, const Choice& choice, std::size_t chosen) const {
    for (const auto& way : choice.ways)
        for (const EdgeId edge : way) open[edge.index()] = true;
    for (const EdgeId edge : choice.ways[chosen]) open[edge.index()] = false;
}

std::vector<bool> Positions::apart() const {
    std::vector<bool> apart(circuit_.edges.size(), false);
    DisjointSets all = without_loads(circuit_, [](EdgeId) { return false; });
    if (!shorts_a_pack(circuit_, all)) return apart;
    for (const Choice& choice : choices_)
        for (const auto& way : choice.ways)
            for (const EdgeId id : way) apart[id.index()] = true;
    DisjointSets sets = without_loads(circuit_, [&](EdgeId id) { return apart[id.index()]; });
    for (const Choice& choice : choices_) {
        DisjointSets with = sets;
        for (const auto& way : choice.ways)
            for (const EdgeId id : way)
                with.join(circuit_.edge(id).from.index(), circuit_.edge(id).to.index());
        if (shorts_a_pack(circuit_, with)) continue;
        sets = std::move(with);
        for (const auto& way : choice.ways)
            for (const EdgeId id : way) apart[id.index()] = false;
    }
    return apart;
}

ContactWays Positions::ways() const {
    constexpr std::size_t last_bit = 63;
    ContactWays all{std::vector<std::uint32_t>(circuit_.edges.size(), 0),
                    std::vector<std::uint64_t>(circuit_.edges.size(), 0)};
    for (std::size_t i = 0; i < choices_.size(); ++i)
        for (std::size_t way = 0; way < choices_[i].ways.size(); ++way)
            for (const EdgeId edge : choices_[i].ways[way]) {
                all.choice[edge.index()] = static_cast<std::uint32_t>(i + 1);
                all.ways[edge.index()] |= std::uint64_t{1} << std::min(way, last_bit);
            }
    for (std::size_t i = 0; i < left_open_.size(); ++i)
        all.choice[left_open_[i].index()] = static_cast<std::uint32_t>(choices_.size() + i + 1);
    return all;
}

std::vector<bool> Positions::open(std::size_t number) const {
    std::vector<bool> open(circuit_.edges.size(), false);
    for (const EdgeId id : left_open_) open[id.index()] = true;
    if (const std::size_t in_step = combinations_ - mixed_.size(); number >= in_step) {
        for (std::size_t i = 0; i < choices_.size(); ++i)
            close(open, choices_[i], mixed_[number - in_step][i]);
        return open;
    }
    const std::size_t round = all_ ? number : number / 2;
    for (std::size_t i = 0; i < groups_.size(); ++i) {
        std::size_t here = (round + (!all_ && number % 2 == 1 ? i : 0)) % groups_[i].combinations;
        for (const std::size_t choice : groups_[i].choices) {
            close(open, choices_[choice], here % choices_[choice].ways.size());
            here /= choices_[choice].ways.size();
        }
    }
    return open;
}

}  // namespace loomward
