#include "checker/currents/own_modes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

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
constexpr std::size_t most_behind_resistors = 16;
constexpr std::size_t most_rounds = 200;  // each is a solution of the circuit

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

    // What a resistor feeds is being charged: drives and inverters are not asked for anything meanwhile, and
    // what has a switch of its own behind it is left off.
    void let_charge(Mode& mode) const {
        const Mode& rest = circuit_.harness->modes.front();
        DisjointSets sets = joined(mode);
        std::set<std::size_t> live, at_resistor;
        for (const Edge& edge : circuit_.edges) {
            if (can_be_shorted(edge.role))
                live.insert({sets.find(edge.from.index()), sets.find(edge.to.index())});
            if (edge.role == EdgeRole::resistor)
                at_resistor.insert({sets.find(edge.from.index()), sets.find(edge.to.index())});
        }
        std::size_t looked_at = 0;
        for (const Edge& edge : circuit_.edges) {
            const std::size_t plus = sets.find(edge.from.index());
            const bool uses_it = uses_power(edge.role) || edge.role == EdgeRole::supply_pin;
            if (!uses_it || (live.contains(plus) && live.contains(sets.find(edge.to.index())))) continue;
            const Kind kind = circuit_.harness->part(edge.part).kind;
            if (kind == Kind::controller || kind == Kind::inverter) {
                mode.states[edge.part.index()] = rest.states[edge.part.index()];
            } else if (at_resistor.contains(plus) && ++looked_at <= most_behind_resistors) {
                if (const PartId own = switch_behind_resistor(mode, rest, edge))
                    mode.states[own.index()] = rest.states[own.index()];
            }
        }
    }

    // The packs that lie straight on a charger.
    std::set<PartId> charged_in(const Mode& mode) const {
        DisjointSets sets = joined(mode);
        std::set<std::pair<std::size_t, std::size_t>> outputs;
        for (const Edge& edge : circuit_.edges)
            if (edge.role == EdgeRole::charger)
                outputs.emplace(sets.find(edge.from.index()), sets.find(edge.to.index()));
        std::set<PartId> packs;
        for (const Edge& edge : circuit_.edges)
            if (edge.role == EdgeRole::emf &&
                outputs.contains({sets.find(edge.from.index()), sets.find(edge.to.index())}))
                packs.insert(edge.part);
        return packs;
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

    // The contact without which nothing but the user itself is on its side of every resistor.
    PartId switch_behind_resistor(const Mode& mode, const Mode& rest, const Edge& user) const {
        for (const Edge& contact : circuit_.edges) {
            if (contact.role != EdgeRole::switching || !differs(mode, rest, contact.part)) continue;
            Mode opened = mode;
            opened.states[contact.part.index()] = rest.states[contact.part.index()];
            DisjointSets before = joined(mode), after = joined(opened);
            const auto resistors = [&](DisjointSets& sets) {
                return std::count_if(circuit_.edges.begin(), circuit_.edges.end(), [&](const Edge& each) {
                    return each.role == EdgeRole::resistor &&
                           (sets.same(each.from.index(), user.from.index()) ||
                            sets.same(each.to.index(), user.from.index()));
                });
            };
            if (resistors(before) > 0 && resistors(after) == 0) return contact.part;
        }
        return {};
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
        Worth most;
        for (const PartId part : parts) {
            Mode without = mode;
            without.states[part.index()] = rest.states[part.index()];
            const Worth worth = worth_of(without);
            if (!best || worth >= most) best = part, most = worth;
        }
        return best;
    }

    static bool differs(const Mode& mode, const Mode& rest, PartId part) {
        const State &now = mode.states[part.index()], &then = rest.states[part.index()];
        return now.posture != then.posture || now.position != then.position;
    }

    // Anything that is fed, then less of what is shorted, then more of what is fed: one isolator opens every
    // short there is, and says nothing of any.
    using Worth = std::tuple<bool, int, int>;
    Worth worth_of(const Mode& mode) const {
        DisjointSets sets = joined(mode);
        int shorts = 0, fed = 0;
        const std::set<std::size_t> live = live_in(sets);
        for (const Edge& edge : circuit_.edges)
            if (can_be_shorted(edge.role) && sets.same(edge.from.index(), edge.to.index())) ++shorts;
        for (const Edge& edge : circuit_.edges) {
            const std::size_t from = sets.find(edge.from.index()), to = sets.find(edge.to.index());
            if (uses_power(edge.role) && from != to && live.contains(from) && live.contains(to)) ++fed;
        }
        return {fed > 0, -shorts, fed};
    }

    // The pieces with a pole of a source.
    std::set<std::size_t> live_in(DisjointSets& sets) const {
        std::set<std::size_t> live;
        for (const Edge& edge : circuit_.edges)
            if (is_source(edge.role)) live.insert({sets.find(edge.from.index()), sets.find(edge.to.index())});
        return live;
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

// The most that flows and stands in the modes so far, in one moment of each: a mode between them brings
// something new where more does.
class SoFar {
  public:
    SoFar(const Circuit& circuit, const Facts& facts)
        : circuit_(circuit),
          what_if_(circuit, facts),
          forth_A_(circuit.edges.size()),
          back_A_(circuit.edges.size()),
          across_V_(circuit.edges.size()) {}

    // Whether it had more of anything than all before it.
    bool take(const Mode& mode, ModeId like) {
        const OperatingPoint point = what_if_.solve(mode, like);
        if (point.node_V.empty()) return false;
        bool more = false;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const double across_V = point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
            more |= raise(forth_A_[i], point.edge_A[i], least_A);
            more |= raise(back_A_[i], -point.edge_A[i], least_A);
            if (uses_power(edge.role) || edge.role == EdgeRole::coil)
                more |= raise(across_V_[i], std::abs(across_V), unlit_V);
        }
        return more;
    }

  private:
    static constexpr double least_A = 0.05, clearly = 1.05;  // no source
    static bool raise(double& most, double now, double least) {
        if (now <= most * clearly + least) return false;
        most = now;
        return true;
    }

    const Circuit& circuit_;
    const WhatIf what_if_;
    std::vector<double> forth_A_, back_A_, across_V_;  // by EdgeId
};

bool delivers(const Mode& mode) {
    return std::any_of(mode.profiles.begin(), mode.profiles.end(),
                       [](const Profile& profile) { return profile.flow == Flow::delivers; });
}

bool stand_alike(const Mode& a, const Mode& b) {
    return std::equal(a.states.begin(), a.states.end(), b.states.begin(), b.states.end(),
                      [](const State& x, const State& y) {
                          return x.posture == y.posture && x.position == y.position && x.profile == y.profile;
                      });
}

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
    if (settled->modes.size() < 2) return settled;
    SoFar so_far(circuit, facts);
    for (std::size_t i = 0; i < settled->modes.size(); ++i) so_far.take(settled->modes[i], ModeId(i));
    const ModeId full(std::size_t{1});
    // Full packs take nothing: which of them a charger has for itself is told by what joins them.
    std::set<std::set<PartId>> charged{{}};
    for (const Mode& mode : settled->modes)
        if (delivers(mode)) charged.insert(settling.charged_in(mode));
    for (Mode mode : harness->modes_between) {
        settling.settle(mode, full);
        settling.let_charge(mode);
        const bool known = std::any_of(settled->modes.begin(), settled->modes.end(),
                                       [&](const Mode& other) { return stand_alike(mode, other); });
        if (known) continue;
        const bool is_new =
            delivers(mode) ? charged.insert(settling.charged_in(mode)).second : so_far.take(mode, full);
        if (is_new) settled->modes.push_back(std::move(mode));
    }
    return settled;
}

}  // namespace loomward
