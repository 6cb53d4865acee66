// Contactors and relays that can never come in, because their coil waits for their own contact.
//
// Found on the graph: with nothing pulled in, every switch may close and every driver may be on. A contactor
// whose coil some source reaches so may come in, and its contacts may close from then on; this goes on until
// no further one comes in. Of those left, the ones that would hold once they were in are told: those whose
// coil their own contact feeds, or contacts of others that wait for them. What nothing feeds at all, or only
// what waits for such a one, is another rule's.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/budget/rest_state.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"never-pulls-in",
     "a contactor or relay whose coil is fed only from behind its own contact, or over contacts of others "
     "that wait for it: it can never come in",
     "with nothing pulled in, some source reaches the coil over switches that can close and contacts of what "
     "can come in",
     "found on the graph",
     "every switch may close and every driver be on, alone or together: a start push around the contact is "
     "enough, be it closed in no mode; a way through a resistor or a load counts",
     "contactor K2 { carries 20 A, makes 20 A, breaks 20 A at 60 V dc\n"
     "  coil 48 V 200 mA, coil-works 30..60 V, suppression varistor }\n"
     "route F1.out (W60 2.5 mm2, 0.3 m, red) K2 (W61 1 mm2, 0.3 m, red) K2.A1\n"
     "route K2.A2 (W62 1 mm2, 0.3 m, black) Q1.P-\n"
     "mode pulled { others at rest, K2 closed }\nsplice X1",
     "splice X1"},
};

using Parts = std::set<PartId>;

class Pulling {
  public:
    Pulling(const RuleInput& input, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          rest_(rest_state(input.harness)),
          leads_(input.circuit.node_count()),
          leaving_(input.circuit.node_count()) {
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role) && edge.role != EdgeRole::switching)
                leads_.join(edge.from.index(), edge.to.index());
        std::set<std::pair<std::size_t, std::size_t>> poles;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (edge.role == EdgeRole::coil) coils_.emplace_back(i), with_coil_.insert(edge.part);
            const std::size_t from = leads_.find(edge.from.index()), to = leads_.find(edge.to.index());
            if (from == to) continue;
            leaving_[from].emplace_back(i);
            leaving_[to].emplace_back(i);
            if (is_source(edge.role) && poles.insert({to, from}).second)
                sources_.push_back({to, from, edge.part});
        }
    }

    void look() {
        Parts can;
        come_in(can);
        Parts waiting;
        for (const EdgeId coil : coils_)
            if (!can.contains(part(coil))) waiting.insert(part(coil));
        for (const PartId each : waiting) {
            const Parts with = after(can, each);
            if (!fed(with).contains(each)) continue;
            Parts together;
            if (Parts alone = can; alone.insert(each), fed(alone).contains(each)) {
                together = {each};
            } else {
                for (const PartId other : waiting)
                    if (with.contains(other) && after(can, other).contains(each)) together.insert(other);
            }
            tell(each, together);
        }
    }

  private:
    struct Source {
        std::size_t plus, minus;  // pieces of leads_
        PartId part;
    };

    PartId part(EdgeId coil) const { return circuit_.edge(coil).part; }

    // Adds what can come in with these in, one after the other.
    void come_in(Parts& can) {
        for (bool more = true; more;) {
            more = false;
            for (const PartId each : fed(can)) more = can.insert(each).second || more;
        }
    }

    // What is in once these and that one are.
    Parts after(Parts can, PartId in) {
        can.insert(in);
        come_in(can);
        return can;
    }

    // Parts with a coil that a source reaches, where contacts of these may close.
    Parts fed(const Parts& can) {
        Parts found;
        for (const Source& source : sources_) {
            const std::vector<bool> plus = reached(source.plus, source.minus, true, can);
            const std::vector<bool> minus = reached(source.minus, source.plus, false, can);
            for (const EdgeId coil : coils_) {
                const Edge& edge = circuit_.edge(coil);
                const std::size_t from = leads_.find(edge.from.index()), to = leads_.find(edge.to.index());
                const bool own = source.part == edge.part;
                if (!own && ((plus[from] && minus[to]) || (plus[to] && minus[from]))) found.insert(edge.part);
            }
        }
        return found;
    }

    // Pieces that a current from the pole `start` gets to, or (not `forward`) comes from, past the other
    // pole.
    std::vector<bool> reached(std::size_t start, std::size_t barred, bool forward, const Parts& can) {
        std::vector<bool> seen(circuit_.node_count(), false);
        std::vector<std::size_t> queue{start};
        seen[start] = seen[barred] = true;
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const EdgeId id : leaving_[queue[head]]) {
                const Edge& edge = circuit_.edge(id);
                const std::size_t from = leads_.find(edge.from.index());
                const bool leaves = from == queue[head];
                const std::size_t other = leaves ? leads_.find(edge.to.index()) : from;
                if (seen[other] || !passes(edge, leaves == forward, can)) continue;
                seen[other] = true;
                queue.push_back(other);
            }
        seen[barred] = false;
        return seen;
    }

    bool passes(const Edge& edge, bool along, const Parts& can) const {
        if (edge.role == EdgeRole::switching)
            return !with_coil_.contains(edge.part) || can.contains(edge.part) ||
                   is_closed(circuit_, rest_, edge);
        if (edge.role == EdgeRole::coil || edge.role == EdgeRole::resistor || edge.role == EdgeRole::emf)
            return true;
        return along && (one_way(edge.role) || is_driver(edge.role) || uses(edge.role));
    }

    void tell(PartId id, const Parts& together) {
        Finding finding = finding_about(input_, "never-pulls-in", Severity::error, id);
        finding.message = named(input_.harness, id) + " never pulls in: only ";
        if (together.size() == 1) {
            finding.message += "its own contact feeds its coil";
            finding.beside = "dead as long as it is open";
            finding.working = {
                "with its contact closed a source reaches its coil; with it open none does, "
                "whatever switch is closed"};
            finding.help = "feed the coil from before the contact, or a start push around the contact";
        } else {
            std::vector<std::string> names;
            for (const PartId each : together) names.emplace_back(input_.harness.part(each).name);
            std::sort(names.begin(), names.end());
            std::string list;
            for (std::size_t i = 0; i < names.size(); ++i)
                list += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
            finding.message += "contacts of " + list + " feed its coil";
            finding.beside = "they wait for each other";
            finding.working = {"with " + list +
                               " in, a source reaches its coil; with all of them open none "
                               "reaches the coil of any of them, whatever switch is closed"};
            finding.help = "feed the coil of one of them from before the contacts";
        }
        finding.source = "found on the graph";
        if (const auto [point, coil] = pulled(id); point)
            finding.witness = current_path(circuit_, *point, coil);
        report_.add(std::move(finding));
    }

    // Where a mode has it in and its coil carries a current: by the name of the mode.
    std::pair<const OperatingPoint*, EdgeId> pulled(PartId id) const {
        std::pair<const OperatingPoint*, EdgeId> first{nullptr, {}};
        const auto name = [&](const OperatingPoint* point) {
            return input_.harness.modes[point->mode.index()].name;
        };
        for (const OperatingPoint& point : input_.points) {
            if (!point.usable() || point.corner != Corner::run_full) continue;
            for (const EdgeId coil : coils_)
                if (part(coil) == id && std::abs(point.edge_A[coil.index()]) > 1e-4 &&
                    (!first.first || name(&point) < name(first.first)))
                    first = {&point, coil};
        }
        return first;
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    const Mode rest_;
    DisjointSets leads_;                        // conductors that nobody opens
    std::vector<std::vector<EdgeId>> leaving_;  // by piece of them
    std::vector<EdgeId> coils_;
    Parts with_coil_;
    std::vector<Source> sources_;
};

void run(const RuleInput& input, Report& report) {
    const auto& edges = input.circuit.edges;
    if (std::any_of(edges.begin(), edges.end(), [](const Edge& each) { return each.role == EdgeRole::coil; }))
        Pulling(input, report).look();
}

}  // namespace

extern const RuleFamily pulling;
const RuleFamily pulling{infos, run};

}  // namespace loomward::rules
