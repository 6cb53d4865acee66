#include "checker/rules/other_ways.hpp"

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

bool only_closes(const RuleInput& input, PartId part) {
    if (input.harness.part(part).kind == Kind::selector) return false;
    for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role == EdgeRole::switching && edge.throw_ != 0) return false;
    }
    return true;
}

DisjointSets closed_in(const RuleInput& input, const Mode& mode) {
    return pieces(input.circuit, [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        return is_conductor(edge.role) && is_closed(input.circuit, mode, edge);
    });
}

std::vector<PartId> parts_with_other_ways(const RuleInput& input) {
    std::vector<PartId> parts;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Kind kind = input.harness.parts[i].kind;
        if (kind == Kind::selector || kind == Kind::relay) parts.emplace_back(i);
    }
    return parts;
}

std::vector<State> other_ways(const RuleInput& input, PartId part, const State& now) {
    std::vector<State> others;
    State other = now;
    if (input.harness.part(part).kind == Kind::selector) {
        for (std::size_t i = 0; i < input.harness.positions_of(part).size(); ++i) {
            if (now.posture == Posture::at_position && now.position == i) continue;
            other.posture = Posture::at_position;
            other.position = static_cast<std::uint16_t>(i);
            others.push_back(other);
        }
    } else if (!only_closes(input, part)) {
        other.posture = now.posture == Posture::energised ? Posture::released : Posture::energised;
        others.push_back(other);
    }
    return others;
}

std::string other_way_text(const RuleInput& input, PartId part, const State& other) {
    return named(input.harness, part) +
           (other.posture == Posture::at_position
                ? " at " + std::string(input.harness.positions_of(part)[other.position].name)
                : std::string(other.posture == Posture::energised ? " energised" : " released"));
}

}  // namespace loomward::rules
