// Where the only way to switch something off is a plug or a link that is not made to break a current, and
// switches in a minus that the frame can bridge.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/circuit/feeding_diodes.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/circuit/packs_in_series.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/arcs.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/consumers.hpp"
#include "checker/rules/panel_contacts.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::load_break {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"no-load-break",
     "a controller, converter or load that nothing but a plug, link or switch can cut off which breaks less "
     "than it draws: in an emergency somebody pulls it under load and draws an arc; as a note, a panel input "
     "that nothing but plugs and links parts from its panels",
     "on every way between pack and consumer something opens whose breaks >= I of the consumer",
     "IEC 61984 (memory): a connector without breaking capacity; IEC 60204-1 (memory): stopping; contact "
     "theory "
     "(memory): below 0.4 A no arc stands",
     "what nothing at all opens is told by no-disconnect; a contact that does not say what it breaks counts "
     "as able, a latching contactor does not: it opens by a pulse alone, and no stop takes that from it; "
     "consumers under 1 A are left out",
     "(W2 16 mm2, 0.2 m, red) J1.1", "(W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.8 m, red) J1.1"},
    {"switched-minus",
     "a load or a coil switched in its minus though the minus is bonded to the frame: a chafed lead between "
     "it "
     "and its "
     "switch turns it on, or keeps it on whatever the stop does, and no fuse opens",
     "with the switch open the load still has its plus, and the other side of the switch is the frame",
     "IEC 60204-1 9.4.3 (memory): an earth fault must not start a machine",
     "a note, a warning where the contact is what stops: in the minus of a contactor's coil, or resting "
     "closed; "
     "switches that open the plus as well are in order; driver pins by themselves are left out",
     "frame X9 \"chassis\" { serves bond }\nroute Q1.P- (W60 16 mm2, 0.3 m, green-yellow) X9\n"
     "switch S8 { 80 V dc, carries 6 A, makes 10 A, breaks 2 A at 60 V dc }\n"
     "load H9 { 48 V, 20 W, acts-as power, works 30..60 V }\n"
     "route F2.out (W61 1 mm2, 0.3 m, red) H9 (W62 1 mm2, 0.3 m, black) S8 (W63 1 mm2, 0.3 m, black) Q1.P-\n"
     "splice X1",
     "splice X1"},
};

// Less than any current: a latching contactor breaks its load, but not when its supply or its button is gone.
constexpr double opens_by_pulse_A = 0;

// What a contact breaks, A; infinity where it does not say.
double breaks_A(const RuleInput& input, const Edge& edge) {
    constexpr double able = std::numeric_limits<double>::infinity();
    if (edge.role == EdgeRole::breaker) return able;
    if (is_latching(input.harness, edge.part)) return opens_by_pulse_A;
    const auto stated = input.facts.quantity(edge.part, "breaks"_attr);
    // A switch that breaks less than it carries is told of by breaking-current.
    if (stated && (edge.role == EdgeRole::contact || stated->lo <= no_arc_A))
        return std::max(stated->lo, no_arc_A);
    if (stated) return able;
    if (input.facts.is_unknown(edge.part, "breaks"_attr)) return able;
    const bool none = edge.role == EdgeRole::contact || input.facts.word(edge.part, "breaks"_attr) == "none";
    return none ? no_arc_A : able;
}

class LoadBreaks {
  public:
    LoadBreaks(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report), packs_(input.circuit) {}

    void look() {
        // With what breaks at least so much taken out, by the distinct currents there are.
        std::map<double, std::vector<Consumer>> by_current;
        for (const Consumer& each : consumers(input_))
            if (each.draws_A >= consumer_A) by_current[able_class(each.draws_A)].push_back(each);
        for (const auto& [least_A, list] : by_current) judge(least_A, list);
    }

  private:
    // Contacts differ by few breaking currents: consumers between two of them are alike.
    double able_class(double draws_A) {
        if (classes_.empty()) {
            for (const Edge& edge : circuit_.edges)
                if (opens(edge)) classes_.insert(breaks_A(input_, edge));
            classes_.insert(std::numeric_limits<double>::infinity());
        }
        return *classes_.lower_bound(draws_A / 1.0001);
    }
    static bool opens(const Edge& edge) { return opened_by_hand(edge.role); }

    void join_diodes(DisjointSets& nets) const {
        for (const EdgeId id : diodes_that_feed(circuit_, nets))
            nets.join(circuit_.edge(id).from.index(), circuit_.edge(id).to.index());
    }

    void judge(double least_A, const std::vector<Consumer>& list) {
        DisjointSets held(circuit_.node_count()), fixed(circuit_.node_count());
        for (const Edge& edge : circuit_.edges) {
            if (!is_conductor(edge.role)) continue;
            if (!opens(edge)) fixed.join(edge.from.index(), edge.to.index());
            if (!opens(edge) || breaks_A(input_, edge) < least_A)
                held.join(edge.from.index(), edge.to.index());
        }
        join_diodes(held);
        join_diodes(fixed);
        PacksOver over_held = packs_.over(held), over_fixed = packs_.over(fixed);
        for (const Consumer& each : list) {
            const std::vector<EdgeId> packs = over_held.between(each.plus, each.minus);
            if (!packs.empty() && over_fixed.between(each.plus, each.minus).empty())
                tell(each, circuit_.edge(packs.front()), least_A);
        }
    }

    // A few of the contacts that do cut it off, those nearest to the source first.
    std::set<std::string> plugs_of(const Consumer& consumer, double least_A) {
        constexpr std::size_t enough = 3;
        std::set<std::string> names;
        std::set<PartId> tried;
        for (const EdgeId candidate : candidates(consumer.edge)) {
            const Edge& each = circuit_.edge(candidate);
            if (!opens(each) || breaks_A(input_, each) >= least_A || !tried.insert(each.part).second)
                continue;
            DisjointSets without(circuit_.node_count());
            for (const Edge& edge : circuit_.edges)
                if (is_conductor(edge.role) && edge.part != each.part)
                    without.join(edge.from.index(), edge.to.index());
            join_diodes(without);
            if (packs_.between(consumer.plus, consumer.minus, without).empty())
                names.insert(std::string(input_.harness.part(each.part).name));
            if (names.size() == enough) break;
        }
        return names;
    }
    std::vector<EdgeId> candidates(EdgeId id) const {
        for (const OperatingPoint& point : input_.points)
            if (point.usable() && std::abs(point.edge_A[id.index()]) > 1e-6)
                return trace_current(circuit_, point, id).edges;
        std::vector<EdgeId> all;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (opens(circuit_.edges[i])) all.emplace_back(i);
        return all;
    }

    void tell(const Consumer& consumer, const Edge& pack, double least_A) {
        const EdgeId id = consumer.edge;
        const Edge& edge = circuit_.edge(id);
        const std::set<std::string> plugs = plugs_of(consumer, least_A);
        const auto latching = std::count_if(plugs.begin(), plugs.end(), [&](const std::string& name) {
            const auto part = input_.harness.find_part(name);
            return part && is_latching(input_.harness, *part);
        });
        // Where there are none but latching contactors, stays-latched tells of it.
        if (latching == static_cast<std::ptrdiff_t>(plugs.size())) return;
        const double draws_A = consumer.draws_A;
        std::string names;
        for (const std::string& name : plugs) names += (names.empty() ? "" : ", ") + name;
        Finding finding = finding_about(input_, "no-load-break", Severity::warning, edge.part);
        finding.message = "only " + names + " cuts " + named(input_.harness, edge.part) + " off from " +
                          named(input_.harness, pack.part) +
                          (latching > 0 ? ", and none opens its current without a supply"
                                        : ", and cannot break what it draws");
        finding.beside = "draws up to " + amps(draws_A);
        for (const std::string& name : plugs)
            if (const auto part = input_.harness.find_part(name)) {
                const double may_A = least_breaks_A(*part);
                finding.working.push_back(
                    may_A == opens_by_pulse_A
                        ? name + " latches: without its supply, or the pulse of its coil, it stays closed"
                        : amps(draws_A) + " > " + amps(may_A) + " (" + name +
                              (may_A <= no_arc_A ? " breaks none: below that no arc stands)" : " breaks)"));
                finding.related.push_back(
                    {input_.harness.part(*part).where, named(input_.harness, *part) + " is here"});
            }
        finding.figures = {{"current", draws_A, Dimension::current}};
        finding.source = "IEC 61984 (memory); IEC 60204-1 (memory)";
        for (const OperatingPoint& point : input_.points)
            if (point.usable() && std::abs(point.edge_A[id.index()]) > 1e-6) {
                finding.witness = current_path(circuit_, point, id);
                break;
            }
        finding.help =
            "a switch, contactor or breaker that breaks " + amps(draws_A) + " or more, on the same way";
        report_.add(std::move(finding));
    }
    double least_breaks_A(PartId part) const {
        double least = std::numeric_limits<double>::infinity();
        for (const EdgeId id : circuit_.edges_of_part[part.index()])
            if (opens(circuit_.edge(id))) least = std::min(least, breaks_A(input_, circuit_.edge(id)));
        return least;
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    PacksInSeries packs_;
    std::set<double> classes_;
};

// ---- switches in the minus ----------------------------------------------------------------------------

// What a contact switches in its minus: a load, or the coil of a contactor or relay.
struct SwitchedMinus {
    const Edge& contact;
    const Edge& fed;
    const Terminal& frame;
};

// A contact in the minus of a coil that has to let go when it opens: it rests closed, as a stop does, or what
// it lets go is a contactor, or the mode that opens it has the relay at rest.
bool stops_something(const RuleInput& input, const Edge& contact, const Edge& coil) {
    if (coil.role != EdgeRole::coil || is_latching(input.harness, coil.part)) return false;
    if (input.harness.part(coil.part).kind == Kind::contactor) return true;
    if (input.facts.word(contact.part, "rest"_attr) == "closed") return true;
    return std::any_of(input.harness.modes.begin(), input.harness.modes.end(), [&](const Mode& mode) {
        const auto posture = [&](PartId part) { return mode.states[part.index()].posture; };
        return mode.states[contact.part.index()].stated_by == StatedBy::line &&
               posture(contact.part) == Posture::open && posture(coil.part) == Posture::released;
    });
}

void tell_minus(const RuleInput& input, const SwitchedMinus& found, Report& report) {
    const bool stops = stops_something(input, found.contact, found.fed);
    const bool coil = found.fed.role == EdgeRole::coil;
    Finding finding = finding_about(input, "switched-minus", stops ? Severity::warning : Severity::note,
                                    found.contact.part);
    const std::string switched = named(input.harness, found.contact.part),
                      fed = (coil ? "the coil of " : "") + named(input.harness, found.fed.part);
    finding.message = switched + " switches " + fed + " in its minus, which the frame can bridge";
    finding.beside =
        stops ? "a lead that chafes through between them keeps it pulled in, " + switched + " open or not"
              : std::string("a lead that chafes through between them turns it on");
    finding.working = {"with " + switched + " open " + fed +
                       " still has its plus, and the minus is bonded to " + std::string(found.frame.path)};
    if (stops) finding.working.push_back("what flows then is the current of the coil: no fuse opens on it");
    finding.source = "IEC 60204-1 9.4.3 (memory)";
    finding.related.push_back(
        {input.harness.part(found.fed.part).where, named(input.harness, found.fed.part) + " is here"});
    finding.help = "the switch in the plus of " + fed + ", or one that opens both";
    report.add(std::move(finding));
}

class MinusSwitches {
  public:
    MinusSwitches(const RuleInput& input, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          fixed_(joined_but(false, {})),
          to_driver_(joined_but(true, {})),
          packs_(input.circuit) {
        for (std::size_t i = 0; i < input.harness.terminals.size(); ++i)
            if (input.harness.part(input.harness.terminals[i].part).kind == Kind::frame)
                frames_.emplace_back(i);
        // By the piece that their minus hangs on. A coil may lie either way round.
        for (const Edge& edge : circuit_.edges) {
            if (uses_power(edge.role)) behind_[fixed_.find(edge.to.index())].push_back({&edge, false});
            if (edge.role != EdgeRole::coil) continue;
            behind_[fixed_.find(edge.to.index())].push_back({&edge, false});
            behind_[fixed_.find(edge.from.index())].push_back({&edge, true});
        }
    }

    void look() {
        if (frames_.empty()) return;
        for (const Edge& contact : circuit_.edges)
            if (contact.role == EdgeRole::switching && !told_.contains(contact.part)) judge(contact);
    }

  private:
    struct Behind {
        const Edge* edge;
        bool turned;  // its plus is `to`
        NodeId plus() const { return turned ? edge->to : edge->from; }
        NodeId minus() const { return turned ? edge->from : edge->to; }
    };

    // What hangs together over conductors, with every switch open, or with every one closed but those of
    // `but`; `drivers`: over the drivers of devices too.
    DisjointSets joined_but(bool drivers, PartId but) const {
        return pieces(circuit_, [&](EdgeId id) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::switching) return but.valid() && edge.part != but;
            return is_conductor(edge.role) || (drivers && is_driver(edge.role));
        });
    }

    void judge(const Edge& contact) {
        for (const auto& [near, far] :
             {std::pair(contact.from, contact.to), std::pair(contact.to, contact.from)}) {
            const auto behind = behind_.find(fixed_.find(near.index()));
            if (behind == behind_.end()) continue;
            // Coils before loads: a stop that a chafed lead bypasses is the worse of the two.
            for (const bool coils : {true, false})
                if (const Terminal* frame = frame_at(near, far, coils))
                    for (const Behind& each : behind->second)
                        if ((each.edge->role == EdgeRole::coil) == coils && is_fed(each, contact, far)) {
                            told_.insert(contact.part);
                            return tell_minus(input_, {contact, *each.edge, *frame}, report_);
                        }
        }
    }
    // A frame that the far side is bonded to and the near side is not. What switches a coil may lie before
    // the driver of a controller, which the same lead bypasses.
    const Terminal* frame_at(NodeId near, NodeId far, bool coils) {
        DisjointSets& to_far = coils ? to_driver_ : fixed_;
        for (const TerminalId each : frames_) {
            const std::size_t node = circuit_.node(each).index();
            if (to_far.same(node, far.index()) && !fixed_.same(node, near.index()))
                return &input_.harness.terminal(each);
        }
        return nullptr;
    }
    // Whether it has its plus with this contact open and every other one closed, and no other way to a minus.
    bool is_fed(const Behind& each, const Edge& contact, NodeId far) {
        DisjointSets others = joined_but(each.edge->role == EdgeRole::coil, contact.part);
        return !packs_.between(each.plus(), far, others).empty() &&
               !others.same(each.minus().index(), far.index());
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    DisjointSets fixed_, to_driver_;
    std::vector<TerminalId> frames_;
    std::map<std::size_t, std::vector<Behind>> behind_;
    PacksInSeries packs_;
    std::set<PartId> told_;
};

void run(const RuleInput& input, Report& report) {
    LoadBreaks(input, report).look();
    judge_panel_isolation(input, report);
    MinusSwitches(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::load_break
