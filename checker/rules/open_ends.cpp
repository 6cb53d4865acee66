// Parts without a way back, and terminals that nothing lands on.
#include <algorithm>

#include "checker/circuit/fed_loops.hpp"
#include "checker/circuit/lost_returns.hpp"
#include "checker/circuit/pole_reach.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::open_ends {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"floating",
     "a load, controller, converter, coil, supply pin or resistor that lies in no loop with a source, "
     "whatever is "
     "closed; two "
     "loads on a dead bar make a ring, but have no source in it; one whose minus leads home through other "
     "loads alone, and that no mode gives a fifth of its supply",
     "it lies on a loop with a source that passes no point twice, and its two ends are not one point; "
     "U across it >= 0.2 x U of its supply in some mode in which that is live",
     "Kirchhoff's laws",
     "every switch and connector counts as closed, or one of them as open, or all that join its two ends; "
     "change-over contacts and selectors in each of their positions",
     "H2.+", "H2 (W14 1 mm2, 1 m, black) Q1.P-"},
    {"open-ended",
     "a wire that leads to a point where nothing else is, and a terminal on which nothing lands and that is "
     "not "
     "said to be spare",
     "every wire ends where something goes on", "common practice, no source",
     "a warning where a motor lead is missing beside others that are there, or one pole of a pack of which "
     "the other is wired; other free terminals are noted only",
     "splice X1\nsplice X2\nroute X1 (W30 1 mm2, 0.2 m, red) X2", "splice X1"},
};

constexpr double share_of_supply = 0.2;   // less is none; no source
constexpr std::size_t most_opened = 200;  // contacts that are tried open, one at a time

class Ends {
  public:
    Ends(const RuleInput& input, Report& report) : input_(input), report_(report), poles_(input.circuit) {
        const Circuit& circuit = input.circuit;
        landings_.assign(input.harness.terminals.size(), 0);
        for (const Wire& wire : input.harness.wires)
            ++landings_[wire.from.index()], ++landings_[wire.to.index()];
        for (const Joint& joint : input.harness.joints)
            ++landings_[joint.a.index()], ++landings_[joint.b.index()];
        for (const Tie& tie : input.harness.ties) ++landings_[tie.a.index()], ++landings_[tie.b.index()];
        supplied_.assign(circuit.node_count(), false);
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            // A controller gives back only what something else has fed it.
            if (!is_source(edge.role) || edge.role == EdgeRole::regeneration) continue;
            supplied_[circuit.island_of_node[edge.from.index()]] = true;
            sources_.emplace_back(i);
        }
    }

    void find_floating() {
        const std::vector<Feeding> feeding = best_feeding();
        std::vector<bool> said(input_.harness.parts.size(), false);
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            // A resistor may lie in line with a dead pin, or across a contact.
            const bool resistor = edge.role == EdgeRole::resistor;
            if ((!uses(edge.role) && !resistor) || said[edge.part.index()]) continue;
            const bool no_source = !supplied_[input_.circuit.island_of_node[edge.from.index()]];
            if (feeding[i] == Feeding::fed && !no_source && edge.from != edge.to) continue;
            const bool bypassed = !no_source && feeding[i] == Feeding::bypassed,
                       joined = !no_source && (feeding[i] == Feeding::joined || edge.from == edge.to);
            if (coil_unused(edge) || left_empty(edge)) continue;
            if (resistor && (no_source || bypassed || joined || !ends_open(edge))) continue;
            said[edge.part.index()] = true;
            Finding finding = finding_about(input_, "floating", Severity::error, edge.part);
            finding.message = named(input_.harness, edge.part) + " has no way back to a source";
            finding.beside =
                no_source ? "no source feeds it, whatever is closed"
                          : path(edge.from_terminal) + " and " + path(edge.to_terminal) +
                                (bypassed ? " lead to one pole when the contacts between them are closed, "
                                            "and nowhere when not"
                                 : joined ? " are joined: no voltage can stand between them"
                                          : " lie in no loop with a source");
            for (const TerminalId terminal : {edge.from_terminal, edge.to_terminal})
                if (landings_[terminal.index()] == 0)
                    finding.working.push_back("nothing lands on " + path(terminal));
            if (finding.working.empty()) finding.working.push_back(finding.beside);
            finding.source = "every loop of current closes (Kirchhoff)";
            finding.help = "wire both of its poles to one supply";
            report_.add(std::move(finding));
        }
        find_lost_returns(said);
    }

    void find_open_wires() {
        for (std::size_t i = 0; i < input_.harness.wires.size(); ++i) {
            const Edge& edge = input_.circuit.edge(input_.circuit.edge_of_wire[i]);
            for (const auto& [node, terminal] :
                 {std::pair(edge.from, edge.from_terminal), std::pair(edge.to, edge.to_terminal)}) {
                const Part& part = input_.harness.part(input_.harness.terminal(terminal).part);
                const bool joint_part = part.kind == Kind::splice || part.kind == Kind::stud ||
                                        part.kind == Kind::terminal_block || part.kind == Kind::busbar;
                if (!joint_part || input_.circuit.at(node).size() > 1) continue;
                Finding finding = finding_about(input_, "open-ended", Severity::warning, WireId(i));
                finding.message = named(input_.harness, WireId(i)) + " leads nowhere";
                finding.beside = "nothing else lands on " + path(terminal);
                finding.source = "common practice, no source";
                finding.help = "take it out, or wire on from " + path(terminal);
                report_.add(std::move(finding));
                break;
            }
        }
    }

    // One note a part, naming all of its free terminals.
    void note_free_terminals() {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            const Part& part = input_.harness.parts[i];
            if (part.kind == Kind::port || part.kind == Kind::fuse_block || part.kind == Kind::busbar ||
                part.kind == Kind::terminal_block)
                continue;  // free studs and ways are what such a part is bought with
            std::string free;
            std::size_t count = 0;
            for (std::size_t k = 0; k < part.terminals.count; ++k) {
                const TerminalId terminal(part.terminals.first + k);
                if (landings_[terminal.index()] > 0 || is_spare(part, terminal)) continue;
                if (++count <= 6) free += (free.empty() ? "" : ", ") + path(terminal);
            }
            if (count == 0) continue;
            if (count > 6) free += " and " + std::to_string(count - 6) + " more";
            const bool phase = lacks_a_phase(part), pole = lacks_a_pole(PartId(i));
            Finding finding = finding_about(input_, "open-ended",
                                            phase || pole ? Severity::warning : Severity::note, PartId(i));
            finding.message = named(input_.harness, PartId(i)) + " has " +
                              (count == 1 ? "a terminal" : "terminals") + " on which nothing lands";
            if (phase) finding.working = {"a motor lead is missing beside others that are there"};
            if (pole) finding.working = {"its other pole is wired: it can feed nothing"};
            finding.beside = free;
            finding.source = "common practice, no source";
            finding.help = "say 'spare' for what is left empty on purpose";
            report_.add(std::move(finding));
        }
    }

  private:
    // Several whose common return is missing: current could come home through the others alone, and in no
    // mode does enough of it.
    void find_lost_returns(std::vector<bool>& said) {
        const std::vector<bool> lost = lost_returns(input_.circuit);
        for (std::size_t i = 0; i < lost.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            if (!lost[i] || edge.role == EdgeRole::coil || said[edge.part.index()]) continue;
            const OperatingPoint* best = nullptr;
            double best_share = 0;
            for (const OperatingPoint& point : input_.points) {
                const double supply_V = point.usable() ? supply_of(edge, point) : 0;
                if (supply_V <= 0) continue;
                const double share =
                    (point.node_V[edge.from.index()] - point.node_V[edge.to.index()]) / supply_V;
                if (!best || share > best_share) best = &point, best_share = share;
            }
            if (!best || best_share >= share_of_supply) continue;
            said[edge.part.index()] = true;
            Finding finding = finding_about(input_, "floating", Severity::error, edge.part);
            finding.message = named(input_.harness, edge.part) + " has no way back to a source of its own";
            finding.beside = path(edge.to_terminal) + " leads home through other loads alone: " +
                             volts(std::max(0.0, best_share) * supply_of(edge, *best)) + " is left for it";
            finding.working = {"at the most " +
                               to_text(100 * std::max(0.0, best_share), Dimension::percentage) + " of " +
                               volts(supply_of(edge, *best)) + " stand across it in any mode (< " +
                               to_text(100 * share_of_supply, Dimension::percentage) + ", no source)"};
            finding.mode = best->mode;
            finding.corner = best->corner;
            finding.source = "every loop of current closes (Kirchhoff)";
            finding.help = "a lead from " + path(edge.to_terminal) + " to the minus of its supply";
            report_.add(std::move(finding));
        }
    }
    // What its plus stands above the minus of the source that feeds it, where that is most of what the source
    // has, V; 0: it is not fed then.
    double supply_of(const Edge& user, const OperatingPoint& point) const {
        double most_V = 0;
        for (const EdgeId source : sources_) {
            const Edge& edge = input_.circuit.edge(source);
            if (input_.circuit.island_of_node[edge.from.index()] !=
                input_.circuit.island_of_node[user.from.index()])
                continue;
            const double has_V = point.node_V[edge.to.index()] - point.node_V[edge.from.index()];
            const double here_V = point.node_V[user.from.index()] - point.node_V[edge.from.index()];
            if (has_V > 1 && here_V > has_V / 2 && here_V < 1.1 * has_V) most_V = std::max(most_V, here_V);
        }
        return most_V;
    }

    // What a closed contact joins, and what is fed only while that one is open: a buzzer across a switch, a
    // pilot lamp across a fuse.
    void open_one_by_one(const std::vector<bool>& open, std::vector<Feeding>& best) const {
        const auto unfed = [&](std::size_t i) {
            return uses(input_.circuit.edges[i].role) && best[i] != Feeding::fed;
        };
        std::size_t tried = 0;
        for (const std::vector<EdgeId>& edges : input_.circuit.edges_of_part) {
            std::vector<bool> one_more = open;
            bool opens = false;
            for (const EdgeId id : edges)
                if (opened_by_hand(input_.circuit.edge(id).role) ||
                    is_protective(input_.circuit.edge(id).role))
                    one_more[id.index()] = opens = true;
            if (!opens) continue;
            bool any = false;
            for (std::size_t i = 0; i < best.size() && !any; ++i) any = unfed(i);
            if (!any || ++tried > most_opened) return;
            const std::vector<Feeding> now = find_feeding(input_.circuit, one_more);
            for (std::size_t i = 0; i < best.size(); ++i)
                if (now[i] == Feeding::fed) best[i] = Feeding::fed;
        }
    }
    // Several contacts side by side, as door switches across a buzzer.
    void open_bypassing(const std::vector<bool>& open, std::vector<Feeding>& best) const {
        std::size_t tried = 0;
        for (std::size_t i = 0; i < best.size(); ++i) {
            if (best[i] != Feeding::bypassed || !uses(input_.circuit.edges[i].role)) continue;
            if (++tried > most_opened) return;
            for (const bool from_first : {true, false}) {
                std::vector<bool> apart = open;
                for (const EdgeId id : bypassing(input_.circuit, open, EdgeId(i), from_first))
                    apart[id.index()] = true;
                if (find_feeding(input_.circuit, apart)[i] == Feeding::fed) best[i] = Feeding::fed;
                if (best[i] == Feeding::fed) break;
            }
        }
    }
    // Of all positions of selectors and change-over contacts the one that feeds it.
    std::vector<Feeding> best_feeding() const {
        const Positions positions(input_.circuit);
        std::vector<Feeding> best = find_feeding(input_.circuit, positions.open(0));
        for (std::size_t number = 1; number < positions.count(); ++number) {
            const std::vector<Feeding> now = find_feeding(input_.circuit, positions.open(number));
            for (std::size_t i = 0; i < best.size(); ++i)
                if (now[i] == Feeding::fed) best[i] = Feeding::fed;
        }
        open_bypassing(positions.open(0), best);
        open_one_by_one(positions.open(0), best);
        return best;
    }
    std::string path(TerminalId terminal) const {
        return std::string(input_.harness.terminal(terminal).path);
    }
    // A contactor whose coil nobody wired is noted by its free terminals, once.
    bool coil_unused(const Edge& edge) const {
        return edge.role == EdgeRole::coil && landings_[edge.from_terminal.index()] == 0 &&
               landings_[edge.to_terminal.index()] == 0;
    }
    // Of a resistor: one end lies on a pole of a supply, and nothing lands on the other.
    bool ends_open(const Edge& edge) const {
        const auto alone = [this](TerminalId terminal) { return landings_[terminal.index()] == 0; };
        return (poles_.reaches(edge.from) && alone(edge.to_terminal)) ||
               (poles_.reaches(edge.to) && alone(edge.from_terminal));
    }
    // A supply pin that is said to be spare, and is; a part with both poles so: it lies on the shelf.
    bool left_empty(const Edge& edge) const {
        const auto empty = [&](TerminalId terminal) {
            return landings_[terminal.index()] == 0 && is_spare(input_.harness.part(edge.part), terminal);
        };
        return empty(edge.from_terminal) && (edge.role == EdgeRole::supply_pin || empty(edge.to_terminal));
    }
    // Of all terminals of a pack one is wired, a pole.
    bool lacks_a_pole(PartId id) const {
        const Part& part = input_.harness.part(id);
        if (part.kind != Kind::pack) return false;
        std::size_t landed = 0, empty = 0;
        for (std::size_t k = 0; k < part.terminals.count; ++k) {
            const TerminalId terminal(part.terminals.first + k);
            if (landings_[terminal.index()] > 0)
                ++landed;
            else if (!is_spare(part, terminal))
                ++empty;
        }
        return landed == 1 && empty > 0;
    }
    // Some of its motor leads are there, and another is neither there nor spare.
    bool lacks_a_phase(const Part& part) const {
        bool some = false, lacks = false;
        for (std::size_t k = 0; k < part.terminals.count; ++k) {
            const TerminalId terminal(part.terminals.first + k);
            if (!is_motor_lead(input_.harness.terminal(terminal).role)) continue;
            const bool there = landings_[terminal.index()] > 0;
            some = some || there;
            lacks = lacks || (!there && !is_spare(part, terminal));
        }
        return some && lacks;
    }
    bool is_spare(const Part& part, TerminalId terminal) const {
        const auto spares = input_.harness.joined(part.spares);
        return std::find(spares.begin(), spares.end(), terminal) != spares.end();
    }

    const RuleInput& input_;
    Report& report_;
    PoleReach poles_;
    std::vector<std::uint32_t> landings_;  // by TerminalId
    std::vector<bool> supplied_;           // by island
    std::vector<EdgeId> sources_;          // that give by themselves
};

void run(const RuleInput& input, Report& report) {
    Ends ends(input, report);
    ends.find_floating();
    ends.find_open_wires();
    ends.note_free_terminals();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::open_ends
