// Solar panels against one another: one turned round in a string, which takes away what the others give, and
// panels or a diode in a ring, where each is the short circuit of the other.
//
// On the graph. A panel drives a current round a loop: out of its plus, over conductors, diodes and other
// panels in their own direction, through a panel input or a consumer, and back to its minus. Where there is
// no such loop, but one in which panels or diodes are passed against their direction, those are turned round;
// of several loops that with the fewest of them. A loop without any consumer is a ring.
#include <algorithm>
#include <deque>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::opposed_panels {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"opposed-panels",
     "a panel, or a diode between panels, that lies against the panels it is in line with; panels, or a "
     "panel "
     "and a diode, that short one another",
     "a way from the plus of every panel through a panel input or consumer back to its minus, with panels "
     "and "
     "diodes in their own direction, and none that passes neither",
     "polarity of the parts",
     "every contact counts as closed; which of two panels against each other is the wrong one is told by the "
     "poles of what they feed; all of them turned round at a panel input is told as panel-voltage",
     "splice X1\n"
     "panel V1 { open-circuit-voltage 20 V, short-circuit-current 9 A }\n"
     "panel V2 { open-circuit-voltage 20 V, short-circuit-current 9 A }\n"
     "charger G2 { output 54 V 10 A, reverse blocked, panel-input 15..60 V }\n"
     "route V1.+ (W30 4 mm2, 2 m, red) G2.in+\n"
     "route V1.- (W31 4 mm2, 2 m, black) V2.-\nroute V2.+ (W32 4 mm2, 2 m, black) G2.in-",
     "splice X1"},
};

class OpposedPanels {
  public:
    OpposedPanels(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report) {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (circuit_.edges[i].role == EdgeRole::panel) panels_.emplace_back(i);
        if (panels_.empty()) return;
        const std::vector<bool> apart = Positions(circuit_).apart();
        DisjointSets joined = pieces(
            circuit_, [&](EdgeId id) { return is_conductor(circuit_.edge(id).role) && !apart[id.index()]; });
        for (std::size_t i = 0; i < circuit_.node_count(); ++i) zone_.push_back(joined.find(i));
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) add_steps(EdgeId(i));
    }

    void look() {
        std::set<std::set<EdgeId>> rings;
        for (const EdgeId panel : panels_) {
            const std::optional<Loop> ring = loop_of(panel, false);
            if (!ring || !ring->against.empty()) continue;
            std::set<EdgeId> all(ring->along.begin(), ring->along.end());
            all.insert(panel);
            if (rings.insert(all).second && !crossed_at_an_input(all)) tell_ring(panel, *ring);
        }
        std::set<EdgeId> told;
        for (const EdgeId panel : panels_) {
            const std::optional<Loop> loop = loop_of(panel, true);
            if (!loop) continue;
            for (const EdgeId each : loop->against)
                if (told.insert(each).second) tell_against(each, panel, *loop);
        }
    }

  private:
    struct Step {
        EdgeId edge;
        std::size_t to = 0;
        bool against = false, consumes = false;
    };
    // What a panel drives its current through, itself left out.
    struct Loop {
        std::vector<EdgeId> along, against;
        EdgeId consumer;
    };

    std::size_t zone(NodeId node) const { return zone_[node.index()]; }
    PartId part(EdgeId edge) const { return circuit_.edge(edge).part; }
    std::string name(EdgeId edge) const { return std::string(input_.harness.part(part(edge)).name); }

    void add_steps(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        const std::size_t from = zone(edge.from), to = zone(edge.to);
        if (edge.role == EdgeRole::panel || edge.role == EdgeRole::diode) {
            steps_[from].push_back({id, to});
            steps_[to].push_back({id, from, true});
        } else if (edge.role == EdgeRole::panel_input || uses_power(edge.role)) {
            steps_[from].push_back({id, to, false, true});
        }
    }

    // The loop with the fewest edges passed against their direction, through one consumer or through none.
    std::optional<Loop> loop_of(EdgeId panel, bool over_consumer) const {
        using State = std::pair<std::size_t, bool>;  // zone, consumer passed
        struct Came {
            std::size_t against = std::numeric_limits<std::size_t>::max();
            State from;
            const Step* by = nullptr;
        };
        const State start{zone(circuit_.edge(panel).to), false},
            end{zone(circuit_.edge(panel).from), over_consumer};
        std::map<State, Came> best;
        best[start].against = 0;
        std::deque<State> queue{start};
        while (!queue.empty()) {
            const State here = queue.front();
            queue.pop_front();
            const std::size_t so_far = best[here].against;
            const auto next = steps_.find(here.first);
            if (next == steps_.end()) continue;
            for (const Step& step : next->second) {
                if (step.edge == panel || (step.consumes && (here.second || !over_consumer))) continue;
                const State to{step.to, here.second || step.consumes};
                // A loop comes by no point twice: neither by the plus again, nor by the minus too soon.
                if (to != end && (to.first == start.first || to.first == end.first)) continue;
                Came& there = best[to];
                const std::size_t against = so_far + (step.against ? 1 : 0);
                if (against >= there.against) continue;
                there = {against, here, &step};
                step.against ? queue.push_back(to) : queue.push_front(to);
            }
        }
        const auto last = best.find(end);
        if (last == best.end()) return std::nullopt;
        Loop loop;
        for (State at = end; best.at(at).by; at = best.at(at).from) {
            const Step& step = *best.at(at).by;
            if (step.consumes)
                loop.consumer = step.edge;
            else
                (step.against ? loop.against : loop.along).push_back(step.edge);
        }
        std::sort(loop.along.begin(), loop.along.end());
        std::sort(loop.against.begin(), loop.against.end());
        return loop;
    }

    // Then they lie the wrong way round on it, which panel-voltage tells.
    bool crossed_at_an_input(const std::set<EdgeId>& ring) const {
        std::set<std::size_t> zones;
        for (const EdgeId each : ring) zones.insert(zone(circuit_.edge(each).from));
        return std::any_of(circuit_.edges.begin(), circuit_.edges.end(), [&](const Edge& edge) {
            return edge.role == EdgeRole::panel_input && zones.contains(zone(edge.from)) &&
                   zones.contains(zone(edge.to));
        });
    }

    std::string voltage_of(EdgeId panel) const {
        const auto open = input_.facts.quantity(part(panel), "open-circuit-voltage"_attr);
        return open ? volts(open->lo) : std::string("not known");
    }
    void tell_against(EdgeId turned, EdgeId panel, const Loop& loop) {
        const bool diode = circuit_.edge(turned).role == EdgeRole::diode;
        Finding finding = finding_about(input_, "opposed-panels", Severity::error, part(turned));
        finding.message = named(input_.harness, part(turned)) + " lies against " +
                          named(input_.harness, part(panel)) + " on the way to " +
                          named(input_.harness, part(loop.consumer));
        finding.beside = diode ? "it lets nothing of it pass" : "what the one gives the other takes away";
        const Edge& edge = circuit_.edge(turned);
        finding.working = {"from the plus of " + name(panel) + " through " + name(loop.consumer) +
                           " back to its minus the way enters " +
                           std::string(input_.harness.terminal(edge.to_terminal).path) + " and leaves " +
                           std::string(input_.harness.terminal(edge.from_terminal).path)};
        if (!diode) {
            std::string sum = voltage_of(panel) + " (" + name(panel) + ")";
            for (const EdgeId each : loop.along)
                if (circuit_.edge(each).role == EdgeRole::panel)
                    sum += " + " + voltage_of(each) + " (" + name(each) + ")";
            for (const EdgeId each : loop.against)
                if (circuit_.edge(each).role == EdgeRole::panel)
                    sum += " - " + voltage_of(each) + " (" + name(each) + ")";
            finding.working.push_back("open circuit: " + sum);
        }
        finding.source = "polarity of the parts";
        finding.help = "exchange its two ends";
        for (const EdgeId each : {panel, loop.consumer})
            finding.related.push_back(
                {input_.harness.part(part(each)).where, named(input_.harness, part(each)) + " is here"});
        report_.add(std::move(finding));
    }

    void tell_ring(EdgeId panel, const Loop& ring) {
        Finding finding = finding_about(input_, "opposed-panels", Severity::error, part(panel));
        std::string others;
        for (const EdgeId each : ring.along)
            others += (others.empty() ? "" : " and ") + named(input_.harness, part(each));
        if (others.empty()) others = "conductors alone";
        finding.message = named(input_.harness, part(panel)) + " is shorted by " + others;
        finding.beside = "it gives its short-circuit current, and nothing else any";
        finding.working = {"from its plus over " + others + " to its minus lies nothing that uses a current"};
        finding.source = "polarity of the parts";
        finding.help =
            ring.along.empty() ? "its plus and minus apart" : "exchange the two ends of one of them";
        for (const EdgeId each : ring.along)
            finding.related.push_back(
                {input_.harness.part(part(each)).where, named(input_.harness, part(each)) + " is here"});
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    std::vector<EdgeId> panels_;
    std::vector<std::size_t> zone_;                   // by NodeId
    std::map<std::size_t, std::vector<Step>> steps_;  // by zone
};

void run(const RuleInput& input, Report& report) {
    OpposedPanels(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::opposed_panels
