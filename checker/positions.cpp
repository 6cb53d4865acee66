#include "checker/positions.hpp"

#include <map>

namespace loomward {

namespace {
constexpr std::size_t most_combinations = 64;
}

Positions::Positions(const Circuit& circuit) : edges_(circuit.edges.size()) {
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Kind kind = circuit.harness->parts[i].kind;
        if (kind != Kind::selector && kind != Kind::relay) continue;
        std::map<std::size_t, std::map<std::size_t, std::vector<EdgeId>>> by_pole;
        for (const EdgeId id : circuit.edges_of_part[i]) {
            const Edge& edge = circuit.edge(id);
            if (edge.role != EdgeRole::switching) continue;
            const bool selector = kind == Kind::selector;
            by_pole[selector ? 0 : edge.way][selector ? edge.way : edge.throw_].push_back(id);
        }
        for (const auto& [pole, ways] : by_pole) {
            if (ways.size() < 2) continue;
            Choice& choice = choices_.emplace_back();
            for (const auto& [way, edges] : ways) choice.ways.push_back(edges);
        }
    }
    for (const Choice& choice : choices_)
        if (combinations_ <= most_combinations) combinations_ *= choice.ways.size();
    if (combinations_ <= most_combinations) return;
    combinations_ = 1;
    choices_.clear();
}

std::vector<bool> Positions::open(std::size_t number) const {
    std::vector<bool> open(edges_, false);
    for (const Choice& choice : choices_) {
        const std::size_t chosen = number % choice.ways.size();
        number /= choice.ways.size();
        for (std::size_t way = 0; way < choice.ways.size(); ++way)
            for (const EdgeId edge : choice.ways[way]) open[edge.index()] = way != chosen;
    }
    return open;
}

}  // namespace loomward
