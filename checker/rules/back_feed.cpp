// Conductors that stay live when the device that a person opens to make them dead has opened.
//
// For each source and each kind of device that opens, whether the source reaches a consumer past no device of
// that kind. If it does, and another pack reaches the same consumer only past such a device, then opening
// that one device does not make the consumer dead. Two packs in parallel with a switch each are left alone:
// each has its own. A charger at its inlet is seen to be plugged in: what it keeps live is a fact worth a
// note, a controller that it wakes round the open contactor is more.
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/packs_in_series.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/consumers.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::back_feed {
namespace {

constexpr RuleInfo infos[] = {
    {"back-feed",
     "a switch, contactor, fuse or breaker behind which things stay live when it has opened, because another "
     "source feeds them past no such device of its own",
     "each source that reaches a consumer passes a device of its own of the kind that cuts the others off",
     "common practice, no source",
     "error for a pack, a warning where nothing hangs there yet, a note where it has a plug of its own, "
     "warning for a converter and for a charger that feeds a controller or that a mode has giving while the "
     "switch is open, else a note; "
     "what a controller gives back while its motor turns is left out, and a relay that couples two packs "
     "with "
     "consumers of their own, and a selector that parts what hangs on it from both",
     "splice X1\npack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 "
     "A }\n"
     "fuse F9 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
     "route B2.+ (W30 10 mm2, 0.1 m, red) F9 (W31 10 mm2, 0.8 m, red) K1.out\n"
     "route B2.- (W32 10 mm2, 0.8 m, black) Q1.P-",
     "splice X1"},
};

// Which devices cut a source off, by the kind of source that is looked at.
enum class Means { opened, blown };

bool cuts(Means means, EdgeRole role) {
    switch (role) {
        case EdgeRole::breaker:
            return true;
        case EdgeRole::fuse:
            return means == Means::blown;
        case EdgeRole::switching:
            return means == Means::opened;
        default:
            return false;
    }
}

struct Supply {
    PartId part;
    EdgeRole role{};
    NodeId plus, minus;
};

// A pack with taps is one source between its outer poles; packs in series are one besides, named by the
// lowest.
std::vector<Supply> supplies_of(const Circuit& circuit, DisjointSets pieces) {
    std::vector<Supply> found;
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::emf && edge.role != EdgeRole::charger &&
            edge.role != EdgeRole::converter_output)
            continue;
        if (!found.empty() && found.back().part == edge.part && found.back().plus == edge.from)
            found.back().plus = edge.to;
        else
            found.push_back({edge.part, edge.role, edge.to, edge.from});
    }
    for (const PacksInSeries::String& string : PacksInSeries(circuit).strings(pieces))
        found.push_back(
            {circuit.edge(string.sections.front()).part, EdgeRole::emf, string.plus, string.minus});
    return found;
}

// What hangs together with devices of some kind taken out.
class CutPieces {
  public:
    template <class Passes>
    CutPieces(const Circuit& circuit, Passes passes) : sets_(circuit.node_count()) {
        for (const Edge& edge : circuit.edges)
            if (is_conductor(edge.role) && passes(edge.role)) sets_.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : circuit.edges)
            if (one_way(edge.role)) onward_[of(edge.from)].push_back(of(edge.to));
    }
    std::size_t of(NodeId node) { return sets_.find(node.index()); }
    const DisjointSets& sets() const { return sets_; }
    std::vector<std::size_t> reached(NodeId from) {
        std::vector<std::size_t> pieces{of(from)};
        for (std::size_t head = 0; head < pieces.size(); ++head)
            if (const auto next = onward_.find(pieces[head]); next != onward_.end())
                for (const std::size_t piece : next->second)
                    if (std::find(pieces.begin(), pieces.end(), piece) == pieces.end())
                        pieces.push_back(piece);
        return pieces;
    }

  private:
    DisjointSets sets_;
    std::map<std::size_t, std::vector<std::size_t>> onward_;
};

// The shortest way between two nodes over what `passes`, as edges from `from` on; empty if there is none.
template <class Passes>
std::vector<EdgeId> shortest_way(const Circuit& circuit, NodeId from, NodeId to, Passes passes) {
    std::vector<EdgeId> back(circuit.node_count());
    std::vector<bool> seen(circuit.node_count(), false);
    std::vector<NodeId> queue{from};
    seen[from.index()] = true;
    for (std::size_t head = 0; head < queue.size() && !seen[to.index()]; ++head)
        for (const Incidence& next : circuit.at(queue[head])) {
            const Edge& edge = circuit.edge(next.edge);
            const bool along = one_way(edge.role) && edge.from == queue[head];
            if (seen[next.other.index()] || !(along || (is_conductor(edge.role) && passes(edge.role))))
                continue;
            seen[next.other.index()] = true;
            back[next.other.index()] = next.edge;
            queue.push_back(next.other);
        }
    std::vector<EdgeId> way;
    if (!seen[to.index()]) return way;
    for (NodeId here = to; here != from;) {
        way.push_back(back[here.index()]);
        const Edge& edge = circuit.edge(way.back());
        here = edge.from == here ? edge.to : edge.from;
    }
    std::reverse(way.begin(), way.end());
    return way;
}

class BackFeeds {
  public:
    BackFeeds(const RuleInput& input, Means means)
        : input_(input),
          circuit_(input.circuit),
          means_(means),
          direct_(circuit_, [&](EdgeRole role) { return !cuts(means, role); }),
          whole_(circuit_, [](EdgeRole) { return true; }),
          supplies_(supplies_of(circuit_, direct_.sets())) {
        for (const Consumer& each : consumers(input))
            consumers_[{direct_.of(each.plus), direct_.of(each.minus)}].push_back(each.edge);
    }

    void look(Report& report) {
        for (const Supply& source : supplies_) {
            if (!concerns(source)) continue;
            for (const std::size_t plus : direct_.reached(source.plus)) {
                const auto fed = consumers_.find({plus, direct_.of(source.minus)});
                if (fed == consumers_.end()) continue;
                const std::vector<EdgeId> others = but_itself(fed->second, source.part);
                if (others.empty()) continue;
                const CutOff cut = cut_off(source, circuit_.edge(others.front()));
                if (cut.device) tell(source, cut, others, report);
            }
            look_at_bus(source, report);
        }
    }

  private:
    // An inverter that charges does not feed itself.
    std::vector<EdgeId> but_itself(std::vector<EdgeId> consumers, PartId source) const {
        std::erase_if(consumers, [&](EdgeId id) { return circuit_.edge(id).part == source; });
        return consumers;
    }

    bool concerns(const Supply& source) {
        if (source.role == EdgeRole::emf) return true;
        if (means_ == Means::blown) return false;
        if (source.role == EdgeRole::charger) return true;
        // A converter is live as long as some pack feeds it past nothing that opens.
        for (const EdgeId id : circuit_.edges_of_part[source.part.index()])
            if (const Edge& edge = circuit_.edge(id); edge.role == EdgeRole::converter_input)
                for (const Supply& pack : supplies_)
                    if (pack.role == EdgeRole::emf && direct_.of(pack.plus) == direct_.of(edge.from) &&
                        direct_.of(pack.minus) == direct_.of(edge.to))
                        return true;
        return false;
    }

    // The device next to another pack that cuts that pack off from a consumer, with the way to the consumer
    // over it; empty if there is none.
    struct CutOff {
        EdgeId device;
        std::vector<EdgeId> way;
    };

    // Nothing hangs there yet: what is joined to the source past one device of another pack is a bus that
    // this device was to make dead.
    void look_at_bus(const Supply& source, Report& report) {
        if (source.role != EdgeRole::emf || means_ != Means::opened) return;
        const auto feeds_nothing = [&](const Supply& each) {
            return !consumers_.contains({direct_.of(each.plus), direct_.of(each.minus)});
        };
        Edge bus;
        bus.from = source.plus;
        bus.to = source.minus;
        const CutOff cut = cut_off(source, bus);
        if (!cut.device || !feeds_nothing(source)) return;
        std::size_t devices = 0;
        for (const EdgeId id : cut.way)
            if (cuts(means_, circuit_.edge(id).role)) ++devices;
        for (const Supply& other : supplies_)
            if (other.role == EdgeRole::emf && other.part != source.part && share_a_pole(other, source) &&
                devices == 1 && feeds_nothing(other) &&
                !couples(circuit_.edge(cut.device).part, source, other))
                return tell_bus(source, cut, report);
    }
    // Whether a device is not there to cut `one` off: consumers hang with the other pack alone; or with each
    // of the two, and a coil joins them, as where a relay couples two banks; or with neither, as with a
    // selector of batteries, which parts them from both.
    bool couples(PartId device, const Supply& one, const Supply& other) {
        const bool in_minus = direct_.of(one.plus) == direct_.of(other.plus);
        DisjointSets sides(circuit_.node_count());
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role) && edge.part != device)
                sides.join(edge.from.index(), edge.to.index());
        const std::size_t of_one = sides.find((in_minus ? one.minus : one.plus).index()),
                          of_other = sides.find((in_minus ? other.minus : other.plus).index());
        std::set<std::size_t> beyond;
        for (const EdgeId id : circuit_.edges_of_part[device.index()])
            for (const NodeId end : {circuit_.edge(id).from, circuit_.edge(id).to})
                if (is_conductor(circuit_.edge(id).role)) beyond.insert(sides.find(end.index()));
        bool at_one = false, at_other = false, at_neither = false;
        for (const Edge& edge : circuit_.edges) {
            if (!uses(edge.role)) continue;
            const std::size_t side = sides.find((in_minus ? edge.to : edge.from).index());
            at_one |= side == of_one;
            at_other |= side == of_other;
            at_neither |= side != of_one && side != of_other && beyond.contains(side);
        }
        const Kind kind = input_.harness.part(device).kind;
        const bool by_coil = kind == Kind::relay || kind == Kind::contactor;
        return at_neither || (at_other && (by_coil || !at_one));
    }
    // An isolator may stand in the plus or in the minus of what it cuts off.
    bool share_a_pole(const Supply& one, const Supply& other) {
        return direct_.of(one.minus) == direct_.of(other.minus) ||
               direct_.of(one.plus) == direct_.of(other.plus);
    }
    void tell_bus(const Supply& source, const CutOff& cut, Report& report) {
        const Harness& harness = input_.harness;
        const PartId opened = circuit_.edge(cut.device).part;
        if (!told_.insert({opened, source.part}).second) return;
        Finding finding = finding_about(input_, "back-feed", Severity::warning, opened);
        const std::string feeder = named(harness, source.part);
        finding.message = "opening " + named(harness, opened) + " does not make everything behind it dead";
        finding.beside = feeder + " still feeds what it is joined to there";
        finding.witness = steps_along(circuit_, cut_start(cut), cut.way);
        finding.working = {feeder + " is joined to the other side of " +
                           std::string(harness.part(opened).name) + " past " + lacks()};
        finding.source = "common practice, no source";
        finding.related.push_back({harness.part(source.part).where, feeder + " is here"});
        finding.help = "a switch of its own for " + feeder + ", or one that cuts off both";
        report.add(std::move(finding));
    }
    // The node at which the way begins: the pole of the other pack.
    NodeId cut_start(const CutOff& cut) const {
        const Edge& first = circuit_.edge(cut.way.front());
        for (const Supply& pack : supplies_)
            for (const NodeId pole : {pack.plus, pack.minus})
                if (pole == first.from || pole == first.to) return pole;
        return first.from;
    }

    CutOff cut_off(const Supply& source, const Edge& consumer) {
        // Of packs in series the plus of one and the minus of another are the poles of the string.
        const Supply* on_plus = nullptr;
        const Supply* on_minus = nullptr;
        for (const Supply& pack : supplies_) {
            if (pack.role != EdgeRole::emf || pack.part == source.part) continue;
            const bool plus = whole_.of(pack.plus) == whole_.of(consumer.from);
            const bool minus = whole_.of(pack.minus) == whole_.of(consumer.to);
            // One that is cut off is what is looked for.
            if (plus && (!on_plus || direct_.of(on_plus->plus) == direct_.of(consumer.from))) on_plus = &pack;
            if (minus && (!on_minus || direct_.of(on_minus->minus) == direct_.of(consumer.to)))
                on_minus = &pack;
        }
        if (!on_plus || !on_minus) return {};
        if (direct_.of(on_plus->plus) != direct_.of(consumer.from))
            return first_cut(on_plus->plus, consumer.from);
        if (direct_.of(on_minus->minus) != direct_.of(consumer.to))
            return first_cut(on_minus->minus, consumer.to);
        return {};
    }
    CutOff first_cut(NodeId from, NodeId to) const {
        CutOff found{{}, shortest_way(circuit_, from, to, [](EdgeRole) { return true; })};
        for (const EdgeId id : found.way)
            if (!found.device && cuts(means_, circuit_.edge(id).role)) found.device = id;
        return found;
    }

    // Whether a mode says that the charger gives while the device is open: what hangs behind it is live then
    // as a rule, not because somebody has plugged something in.
    bool gives_while_open(const Supply& source, EdgeId device, const std::vector<EdgeId>& way) const {
        const auto& modes = input_.harness.modes;
        return std::any_of(modes.begin(), modes.end(), [&](const Mode& mode) {
            return delivers(mode, source.part) && !is_closed(circuit_, mode, circuit_.edge(device)) &&
                   std::all_of(way.begin(), way.end(),
                               [&](EdgeId id) { return is_closed(circuit_, mode, circuit_.edge(id)); });
        });
    }
    Severity severity_of(const Supply& source, bool awake, bool plug) const {
        if (source.role == EdgeRole::emf) return plug ? Severity::note : Severity::error;
        if (source.role == EdgeRole::converter_output || awake) return Severity::warning;
        return Severity::note;
    }

    void tell(const Supply& source, const CutOff& cut, const std::vector<EdgeId>& fed, Report& report) {
        const Harness& harness = input_.harness;
        const PartId opened = circuit_.edge(cut.device).part;
        if (!told_.insert({opened, source.part}).second) return;
        std::set<PartId> parts;
        EdgeId shown = fed.front();
        for (const EdgeId id : fed) {
            parts.insert(circuit_.edge(id).part);
            if (circuit_.edge(shown).role != EdgeRole::controller &&
                circuit_.edge(id).role == EdgeRole::controller)
                shown = id;
        }
        const Edge& consumer = circuit_.edge(shown);
        const std::vector<EdgeId> way = shortest_way(circuit_, source.plus, consumer.from,
                                                     [&](EdgeRole role) { return !cuts(means_, role); });
        const Severity severity = severity_of(
            source, consumer.role == EdgeRole::controller || gives_while_open(source, cut.device, way),
            has_plug(way, source.plus, cut.way));
        Finding finding = finding_about(input_, "back-feed", severity, opened);
        const std::string names = names_of(parts);
        const std::string feeder = named(harness, source.part);
        finding.message = "opening " + named(harness, opened) + " does not make everything behind it dead";
        finding.beside = feeder + " still feeds " + names;
        finding.witness = steps_along(circuit_, source.plus, way);
        finding.working = {feeder + " reaches " + std::string(harness.part(consumer.part).name) +
                           " and back past " + lacks()};
        finding.source = "common practice, no source";
        finding.related.push_back({harness.part(source.part).where, feeder + " is here"});
        finding.help =
            means_ == Means::blown ? "a fuse of its own at " + feeder
            : source.role == EdgeRole::charger
                ? "join the charger to the pack's side of " + std::string(harness.part(opened).name)
                : "a switch of its own for " + feeder + ", or one that cuts off both";
        report.add(std::move(finding));
    }
    std::string names_of(const std::set<PartId>& parts) const {
        std::string names;
        std::size_t count = 0;
        for (const PartId part : parts) {
            if (++count > 4) return names + " and " + std::to_string(parts.size() - 4) + " more";
            names += (names.empty() ? "" : ", ") + std::string(input_.harness.part(part).name);
        }
        return names;
    }
    std::string lacks() const {
        return means_ == Means::blown ? "no fuse or breaker" : "no switch, contactor or breaker";
    }
    // A plug on the way from the source, before its way meets that of the other pack.
    bool has_plug(const std::vector<EdgeId>& way, NodeId from, const std::vector<EdgeId>& other_way) const {
        std::set<NodeId> shared;
        for (const EdgeId id : other_way)
            for (const NodeId end : {circuit_.edge(id).from, circuit_.edge(id).to}) shared.insert(end);
        NodeId here = from;
        for (const EdgeId id : way) {
            const Edge& edge = circuit_.edge(id);
            if (shared.count(here) > 0) return false;
            if (edge.role == EdgeRole::contact) return true;
            here = edge.from == here ? edge.to : edge.from;
        }
        return false;
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Means means_;
    CutPieces direct_;  // what a source reaches past no device of the kind looked at
    CutPieces whole_;   // with every device closed
    std::vector<Supply> supplies_;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<EdgeId>> consumers_;  // by their pieces
    std::set<std::pair<PartId, PartId>> told_;
};

void run(const RuleInput& input, Report& report) {
    for (const Means means : {Means::opened, Means::blown}) BackFeeds(input, means).look(report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::back_feed
