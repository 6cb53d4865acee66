#include "checker/circuit/packs_in_series.hpp"

#include <algorithm>
#include <map>

namespace loomward {

PacksInSeries::PacksInSeries(const Circuit& circuit) : circuit_(circuit) {
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (circuit.edges[i].role == EdgeRole::emf) packs_.emplace_back(i);
}

PacksOver::PacksOver(const Circuit& circuit, const std::vector<EdgeId>& packs, DisjointSets& pieces)
    : circuit_(circuit), pieces_(pieces) {
    for (const EdgeId id : packs) above_[pieces_.find(circuit.edge(id).from.index())].push_back(id);
}

// What stands above a piece is found once: a thousand consumers ask from the same minus.
const PacksOver::UpTo& PacksOver::above(std::size_t bottom) {
    const auto [place, fresh] = up_from_.try_emplace(bottom);
    UpTo& up_to = place->second;
    std::vector<std::size_t> lifted;
    if (fresh) lifted.push_back(bottom);
    for (std::size_t i = 0; i < lifted.size(); ++i) {
        const auto here = above_.find(lifted[i]);
        if (here == above_.end()) continue;
        for (const EdgeId id : here->second) {
            const std::size_t above = pieces_.find(circuit_.edge(id).to.index());
            if (above != bottom && up_to.emplace(above, id).second) lifted.push_back(above);
        }
    }
    return up_to;
}

std::vector<EdgeId> PacksOver::between(NodeId plus, NodeId minus) {
    const std::size_t top = pieces_.find(plus.index()), bottom = pieces_.find(minus.index());
    if (top == bottom || !above_.contains(bottom)) return {};
    const UpTo& up_to = above(bottom);
    std::vector<EdgeId> sections;
    for (auto here = up_to.find(top); here != up_to.end();) {
        sections.push_back(here->second);
        const std::size_t below = pieces_.find(circuit_.edge(here->second).from.index());
        here = below == bottom ? up_to.end() : up_to.find(below);
    }
    std::reverse(sections.begin(), sections.end());
    return sections;
}

std::vector<PacksInSeries::String> PacksInSeries::strings(DisjointSets& pieces) const {
    struct Meeting {
        std::vector<EdgeId> ending, beginning;
    };
    std::map<std::size_t, Meeting> meetings;
    for (const EdgeId id : packs_) {
        meetings[pieces.find(circuit_.edge(id).to.index())].ending.push_back(id);
        meetings[pieces.find(circuit_.edge(id).from.index())].beginning.push_back(id);
    }
    const auto one_on_top_of_one = [&](NodeId node) {
        const Meeting& meeting = meetings.at(pieces.find(node.index()));
        return meeting.ending.size() == 1 && meeting.beginning.size() == 1;
    };
    std::vector<String> found;
    for (const EdgeId lowest : packs_) {
        if (one_on_top_of_one(circuit_.edge(lowest).from)) continue;
        String string{circuit_.edge(lowest).to, circuit_.edge(lowest).from, {lowest}};
        while (one_on_top_of_one(string.plus)) {
            string.sections.push_back(meetings.at(pieces.find(string.plus.index())).beginning.front());
            string.plus = circuit_.edge(string.sections.back()).to;
        }
        const PartId part = circuit_.edge(lowest).part;
        if (std::any_of(string.sections.begin(), string.sections.end(),
                        [&](EdgeId id) { return circuit_.edge(id).part != part; }))
            found.push_back(std::move(string));
    }
    return found;
}

}  // namespace loomward
