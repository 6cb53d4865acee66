#include "checker/parts/opposed_packs.hpp"

#include <limits>
#include <map>
#include <optional>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/positions.hpp"

namespace loomward {

namespace {

// The points of a consumer with poles that have to lie towards plus and minus. A charger pushes its current
// the other way, onto the same poles. A coil works either way round and says nothing.
struct Poles {
    NodeId plus, minus;
};
std::optional<Poles> poles_of(const Edge& edge) {
    switch (edge.role) {
        case EdgeRole::load:
        case EdgeRole::controller:
        case EdgeRole::converter_input:
        case EdgeRole::supply_pin:
            return Poles{edge.from, edge.to};
        case EdgeRole::charger:
            return Poles{edge.to, edge.from};
        default:
            return std::nullopt;
    }
}

bool leads(EdgeRole role) {
    return conducts(role) ? role != EdgeRole::converter_reverse : is_driver(role);
}

// The ways of one position of the switches, each worked out once for all consumers on the same two points.
class PackStrings {
  public:
    PackStrings(const Circuit& circuit, std::vector<bool> open)
        : circuit_(circuit), open_(std::move(open)), joined_(pieces(circuit, [&](EdgeId id) {
              return leads(circuit.edge(id).role) && !open_[id.index()];
          })) {
        for (const Edge& edge : circuit.edges)
            if (edge.role == EdgeRole::emf) {
                poles_.insert(joined_.find(edge.from.index()));
                poles_.insert(joined_.find(edge.to.index()));
            }
    }

    std::pair<std::size_t, std::size_t> key(const Poles& poles) {
        return {joined_.find(poles.plus.index()), joined_.find(poles.minus.index())};
    }

    // From minus to plus: with as few packs passed backwards as there is a way. Empty: no way, or one without
    // packs.
    const OpposedString& between(const Poles& poles) {
        const auto pair = key(poles);
        const auto [place, fresh] = known_.try_emplace(pair);
        if (!fresh || pair.first == pair.second || !poles_.contains(pair.first) ||
            !poles_.contains(pair.second))
            return place->second;
        NodeId at = poles.minus;
        for (const EdgeId id : least_way(circuit_, poles.minus, poles.plus,
                                         [&](EdgeId each, NodeId from) { return cost(each, from); })) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::emf)
                (edge.from == at ? place->second.forwards : place->second.backwards).push_back(id);
            at = other_end(edge, at);
        }
        return place->second;
    }

  private:
    double cost(EdgeId id, NodeId from) const {
        const Edge& edge = circuit_.edge(id);
        if (edge.role == EdgeRole::emf) return edge.from == from ? 0 : 1;
        return leads(edge.role) && !open_[id.index()] ? 0 : std::numeric_limits<double>::infinity();
    }

    const Circuit& circuit_;
    std::vector<bool> open_;
    DisjointSets joined_;
    std::set<std::size_t> poles_;  // pieces that a pole or tap of a pack lies in
    std::map<std::pair<std::size_t, std::size_t>, OpposedString> known_;
};

bool has_several_packs(const Circuit& circuit) {
    PartId first;
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::emf) continue;
        if (first && edge.part != first) return true;
        first = edge.part;
    }
    return false;
}

}  // namespace

std::vector<OpposedString> opposed_strings(const Circuit& circuit) {
    std::vector<OpposedString> found;
    if (!has_several_packs(circuit)) return found;
    const Positions positions(circuit);
    std::vector<std::optional<OpposedString>> opposed(circuit.edges.size());
    std::vector<bool> right(circuit.edges.size(), false);
    for (std::size_t number = 0; number < positions.count(); ++number) {
        PackStrings strings(circuit, positions.open(number));
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const auto poles = poles_of(circuit.edges[i]);
            if (!poles || right[i]) continue;
            const OpposedString& way = strings.between(*poles);
            if (way.backwards.empty() && !way.forwards.empty()) right[i] = true;
            if (way.backwards.empty() || way.forwards.empty() || opposed[i]) continue;
            opposed[i] = way;
            opposed[i]->consumer = EdgeId(i);
        }
    }
    std::set<std::vector<EdgeId>> told;
    for (std::size_t i = 0; i < opposed.size(); ++i)
        if (opposed[i] && !right[i] && told.insert(opposed[i]->backwards).second)
            found.push_back(std::move(*opposed[i]));
    return found;
}

namespace {

// By consumer, the packs that feed it over conductors alone, in any position of the switches.
struct FedBy {
    std::set<PartId> rightly, wrongly;
};

void note_feeds(const Circuit& circuit, const std::vector<bool>& open, std::map<EdgeId, FedBy>& fed) {
    DisjointSets joined =
        pieces(circuit, [&](EdgeId id) { return leads(circuit.edge(id).role) && !open[id.index()]; });
    const auto piece = [&](NodeId node) { return joined.find(node.index()); };
    std::map<std::pair<std::size_t, std::size_t>, std::vector<PartId>> packs;  // by plus and minus
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf && piece(edge.to) != piece(edge.from))
            packs[{piece(edge.to), piece(edge.from)}].push_back(edge.part);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const auto poles = poles_of(circuit.edges[i]);
        if (!poles) continue;
        const std::size_t plus = piece(poles->plus), minus = piece(poles->minus);
        if (const auto found = packs.find({plus, minus}); found != packs.end())
            fed[EdgeId(i)].rightly.insert(found->second.begin(), found->second.end());
        if (const auto found = packs.find({minus, plus}); found != packs.end())
            fed[EdgeId(i)].wrongly.insert(found->second.begin(), found->second.end());
    }
}

}  // namespace

std::vector<OpposedPack> opposed_packs(const Circuit& circuit) {
    if (!has_several_packs(circuit)) return {};
    std::map<EdgeId, FedBy> fed;
    const Positions positions(circuit);
    for (std::size_t number = 0; number < positions.count(); ++number)
        note_feeds(circuit, positions.open(number), fed);
    std::map<PartId, std::size_t> right;  // how many it feeds so
    for (const auto& [consumer, by] : fed)
        for (const PartId pack : by.rightly) ++right[pack];
    std::map<PartId, OpposedPack> found;
    for (const auto& [consumer, by] : fed)
        for (const PartId pack : by.wrongly) {
            if (by.rightly.empty() || by.rightly.contains(pack)) continue;
            const auto [place, fresh] = found.try_emplace(pack);
            if (fresh) place->second = {pack, *by.rightly.begin(), {}};
            place->second.consumers.push_back(consumer);
        }
    std::vector<OpposedPack> list;
    for (auto& [pack, opposed] : found)
        if (opposed.consumers.size() > right[pack]) list.push_back(std::move(opposed));
    return list;
}

}  // namespace loomward
