#include "checker/currents/own_modes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/coil_levels.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double unlit_V = 1;               // where the rated voltage is not known, no source
constexpr std::size_t rounds_together = 2;  // then one coil a round, so that of two that lock each
                                            // other out one stays in
constexpr std::size_t most_moves = 3;       // of one coil: then it breaks its own circuit
constexpr std::size_t most_rounds = 200;    // each is a solution of the circuit

class Settling {
  public:
    Settling(const Circuit& circuit, const Facts& facts)
        : circuit_(circuit), facts_(facts), what_if_(circuit, facts) {
        for (const Edge& edge : circuit.edges)
            if (edge.role == EdgeRole::coil && is_wired(circuit, edge) &&
                !is_latching(*circuit.harness, edge.part))
                coils_.push_back(&edge);
    }

    // Leaves what shorts a source and what no coil holds at rest.
    void settle(Mode& mode, ModeId id) {
        const Mode rest = circuit_.harness->modes.front();
        shorting_.clear();
        moves_.clear();
        open_shorts(mode, rest);
        for (std::size_t round = 0; round < most_rounds; ++round) {
            if (!move_coils(mode, id, round < rounds_together)) return;
            open_shorts(mode, rest);
        }
    }

    std::vector<LeftAtRest> left(const Mode& mode) const {
        std::map<PartId, PartId> all = shorting_;
        for (const Edge* coil : coils_)
            if (!is_pulled(mode, coil->part)) all.try_emplace(coil->part);
        std::vector<LeftAtRest> list;
        for (const auto& [part, source] : all) list.push_back({part, source});
        return list;
    }

  private:
    bool leads(const Mode& mode, const Edge& edge) const {
        return is_conductor(edge.role) && is_closed(circuit_, mode, edge);
    }

    static bool can_be_shorted(EdgeRole role) {
        return role == EdgeRole::emf || role == EdgeRole::charger || role == EdgeRole::converter_output;
    }

    DisjointSets joined(const Mode& mode) const {
        return pieces(circuit_, [&](EdgeId id) { return leads(mode, circuit_.edge(id)); });
    }

    const Edge* shorted(DisjointSets& sets) const {
        for (const Edge& edge : circuit_.edges)
            if (can_be_shorted(edge.role) && sets.same(edge.from.index(), edge.to.index())) return &edge;
        return nullptr;
    }

    void open_shorts(Mode& mode, const Mode& rest) {
        while (true) {
            DisjointSets sets = joined(mode);
            const Edge* source = shorted(sets);
            if (!source) return;
            const std::vector<EdgeId> way =
                shortest_way(circuit_, source->to, source->from,
                             [&](EdgeId id, NodeId) { return leads(mode, circuit_.edge(id)); });
            const PartId part = best_to_open(mode, rest, way);
            if (!part) return;
            mode.states[part.index()] = rest.states[part.index()];
            shorting_[part] = source->part;
        }
    }

    // Of the contacts on a way that shorts a source: the one without which fewest sources are shorted and
    // most is fed.
    PartId best_to_open(const Mode& mode, const Mode& rest, const std::vector<EdgeId>& way) const {
        std::set<PartId> parts;
        for (const EdgeId id : way) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::switching && differs(mode, rest, edge.part)) parts.insert(edge.part);
        }
        PartId best;
        std::pair<int, int> most;
        for (const PartId part : parts) {
            Mode without = mode;
            without.states[part.index()] = rest.states[part.index()];
            const std::pair<int, int> worth = worth_of(without);
            if (!best || worth >= most) best = part, most = worth;
        }
        return best;
    }

    static bool differs(const Mode& mode, const Mode& rest, PartId part) {
        const State &now = mode.states[part.index()], &then = rest.states[part.index()];
        return now.posture != then.posture || now.position != then.position;
    }

    // Less of what is shorted, then more of what is fed.
    std::pair<int, int> worth_of(const Mode& mode) const {
        DisjointSets sets = joined(mode);
        int shorts = 0, fed = 0;
        std::set<std::size_t> live;  // pieces with a pole of a source
        for (const Edge& edge : circuit_.edges) {
            if (!is_source(edge.role)) continue;
            live.insert({sets.find(edge.from.index()), sets.find(edge.to.index())});
            if (can_be_shorted(edge.role) && sets.same(edge.from.index(), edge.to.index())) ++shorts;
        }
        for (const Edge& edge : circuit_.edges) {
            const std::size_t from = sets.find(edge.from.index()), to = sets.find(edge.to.index());
            if (uses_power(edge.role) && from != to && live.contains(from) && live.contains(to)) ++fed;
        }
        return {-shorts, fed};
    }

    // True if one moved. One that has moved too often is released for good.
    bool move_coils(Mode& mode, ModeId id, bool all) {
        if (coils_.empty()) return false;
        const Mode idle = without_drives(mode);
        const OperatingPoint point = what_if_.solve(idle, id);
        bool moved = false;
        for (const Edge* coil : coils_) {
            if (shorting_.contains(coil->part) || moves_[coil->part] > most_moves) continue;
            const bool pulled = is_pulled(mode, coil->part);
            const bool holds = has_voltage(*coil, point, idle, pulled);
            if (holds == pulled) continue;
            const bool too_often = ++moves_[coil->part] > most_moves;
            set_pulled(circuit_, mode, coil->part, holds && !too_often);
            moved = true;
            if (!all) break;
        }
        return moved;
    }

    bool has_voltage(const Edge& coil, const OperatingPoint& point, const Mode& mode, bool pulled) const {
        if (point.node_V.empty())
            return can_be_driven(circuit_, mode,
                                 EdgeId(static_cast<std::size_t>(&coil - circuit_.edges.data())));
        const double volts = std::abs(point.node_V[coil.from.index()] - point.node_V[coil.to.index()]);
        const auto rated = facts_.quantity(coil.part, "coil"_attr, 0);
        if (!rated) return volts > unlit_V;
        return pulled ? volts >= coil_lets_go * rated->lo : volts > coil_pulls_in * rated->lo;
    }

    // A drive that asks for more than it can have would take the coils down with it.
    Mode without_drives(const Mode& mode) const {
        Mode idle = mode;
        for (std::size_t i = 0; i < idle.states.size(); ++i)
            if (const State& state = idle.states[i];
                state.profile >= 0 &&
                idle.profiles[static_cast<std::size_t>(state.profile)].flow == Flow::draws)
                idle.states[i].profile = -1;
        return idle;
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const WhatIf what_if_;
    std::vector<const Edge*> coils_;
    std::map<PartId, std::size_t> moves_;
    std::map<PartId, PartId> shorting_;  // left at rest in the mode at hand, and the source it would short
};

}  // namespace

bool is_wired(const Circuit& circuit, const Edge& coil) {
    const auto lands = [&](NodeId node) {
        return circuit.at(node).size() > 1 ||
               std::count(circuit.node_of_terminal.begin(), circuit.node_of_terminal.end(), node) > 1;
    };
    return lands(coil.from) && lands(coil.to);
}

std::shared_ptr<const Harness> settle_own_modes(std::shared_ptr<const Harness> harness,
                                                std::vector<LeftAtRest>& left) {
    if (harness->modes.empty() || !harness->modes.front().own) return harness;
    auto settled = std::make_shared<Harness>(*harness);
    const Circuit circuit = build_circuit(*harness);
    const Facts facts(*harness);
    Settling settling(circuit, facts);
    for (std::size_t i = 0; i < settled->modes.size(); ++i) {
        settling.settle(settled->modes[i], ModeId(i));
        // The second is everything on, where that is not the same as at rest.
        if (i == 1) left = settling.left(settled->modes[i]);
    }
    return settled;
}

}  // namespace loomward
