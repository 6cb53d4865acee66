// Packs side by side: whether their voltages fit, what flows between them when they are charged unequally,
// and whether a fuse stands between them when one of them fails inside.
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/by_name.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/pack_ways.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/lithium.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/packs_and_strings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::joined_packs {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"joined-packs",
     "two packs that a mode, or the hand on one more contact, puts side by side though one of them is never "
     "as low as the other when full",
     "U_empty of either <= U_full of the other; U_full of either <= 1.02 x U_full of the other",
     "Kirchhoff's laws; common practice, no source",
     "error where the voltages cannot meet, warning where one charges the other beyond full or where, in a "
     "mode after one that used one of them alone, a contact closes on more than it makes, or where one "
     "empties "
     "into the other over a diode, with more than the fuses or the diode on the way are rated for, a note on "
     "what may "
     "flow between packs of one voltage that a contact or a diode joins, or that a selector joins on its way "
     "from one "
     "to the other; strings of several packs are left out",
     "splice X1\n"
     "pack B2 { voltage 20..27 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
     "fuse F9 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
     "switch S9 { 80 V dc, carries 60 A, breaks 40 A at 60 V dc }\n"
     "route B2.+ (W30 10 mm2, 0.1 m, red) F9 (W31 10 mm2, 0.8 m, red) S9 (W33 10 mm2, 0.1 m, red) F1.out\n"
     "route B2.- (W32 10 mm2, 0.8 m, black) Q1.P-",
     "splice X1"},
    {"no-fuse-between-packs", "two packs side by side with no fuse or breaker between them",
     "a way from plus to plus and back from minus to minus passes a fuse or breaker",
     "common practice, no source",
     "every contact counts as closed; what one pack drives into a short inside the other, nothing ends",
     "splice X1\n"
     "pack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
     "route B2.+ (W30 10 mm2, 0.1 m, red) B1.+\nroute B2.- (W32 10 mm2, 0.1 m, black) Q1.P-",
     "splice X1"},
};

using Pack = PackOrString;

constexpr double mild_degC = 20;
constexpr double beyond_full = 1.02;  // two makes of the same battery differ as much

// The loop of two packs side by side: out of the plus of one, into the plus of the other, and back.
struct Loop {
    std::vector<EdgeId> to, back;
    explicit operator bool() const { return !to.empty() || !back.empty(); }
    std::vector<EdgeId> conductors() const {
        std::vector<EdgeId> edges = to;
        edges.insert(edges.end(), back.begin(), back.end());
        return edges;
    }
    std::vector<EdgeId> whole(const Pack& driven) const {
        std::vector<EdgeId> edges = to;
        edges.insert(edges.end(), driven.sections.rbegin(), driven.sections.rend());
        edges.insert(edges.end(), back.begin(), back.end());
        return edges;
    }
};

class JoinedPacks {
  public:
    JoinedPacks(const RuleInput& input, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          packs_(packs_and_strings(input)),
          parts_(parts_by_name(input.harness)),
          modes_(modes_by_name(input.harness)),
          positions_(input.circuit) {}

    // Only packs whose poles can come together at all are looked at in pairs: a train of many separate
    // circuits has many packs and no such pair.
    void look() {
        DisjointSets pieces(circuit_.node_count());
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role) || edge.role == EdgeRole::diode)
                pieces.join(edge.from.index(), edge.to.index());
        std::map<std::pair<std::size_t, std::size_t>, std::vector<const Pack*>> together;
        for (const Pack& pack : packs_)
            together[{pieces.find(pack.plus.index()), pieces.find(pack.minus.index())}].push_back(&pack);
        for (const Pack& driver : packs_)
            for (const Pack* driven :
                 together[{pieces.find(driver.plus.index()), pieces.find(driver.minus.index())}]) {
                if (driver.part == driven->part) continue;
                look_for_fuse(driver, *driven);
                // The one whose voltage goes higher drives; of two equals the first by name. Over a diode
                // only one of them can.
                if (driver.full_V > driven->full_V ||
                    (driver.full_V == driven->full_V && driver.place < driven->place))
                    look_at_voltage(driver, *driven);
                else
                    look_one_way(driver, *driven);
            }
    }

  private:
    // No other pack is passed on the way.
    Loop loop(const Pack& driver, const Pack& driven, std::vector<bool> taken_out) const {
        for (std::size_t i = 0; i < taken_out.size(); ++i)
            if (circuit_.edges[i].role == EdgeRole::emf) taken_out[i] = true;
        const PackWays ways(circuit_, std::move(taken_out), PackFlow::charging);
        const auto count = [](EdgeId) { return 1.0; };
        Loop found{ways.way(driver.plus, driven.plus, count), ways.way(driven.minus, driver.minus, count)};
        const bool joined = (driver.plus == driven.plus || !found.to.empty()) &&
                            (driver.minus == driven.minus || !found.back.empty());
        if (!joined) return {};
        return found;
    }

    void look_for_fuse(const Pack& driver, const Pack& driven) {
        if (driven.place < driver.place) return;
        for (std::size_t number = 0; number < positions_.count(); ++number) {
            std::vector<bool> taken_out = positions_.open(number);
            for (std::size_t i = 0; i < taken_out.size(); ++i)
                if (is_protective(circuit_.edges[i].role)) taken_out[i] = true;
            const Loop found = loop(driver, driven, std::move(taken_out));
            if (!found) continue;
            Finding finding = finding_about(input_, "no-fuse-between-packs", Severity::warning, driven.part);
            finding.message = "no fuse stands between " + driver.name + " and " + driven.name;
            const double loop_A = driver.full_V / (driver.resistance_ohm + along_ohm(found));
            finding.beside = "a short inside one is fed by the other: up to " + amps(loop_A);
            finding.working = {amps(loop_A) + " = " + volts(driver.full_V) + " / " +
                               to_text(driver.resistance_ohm + along_ohm(found), Dimension::resistance) +
                               " (" + driver.label + " full, and the way)"};
            finding.figures = {{"current", loop_A, Dimension::current}};
            finding.witness = steps_along(circuit_, driver.plus, found.whole(driven));
            finding.source = "common practice, no source";
            finding.related.push_back(
                {input_.harness.part(driver.part).where, named(input_.harness, driver.part) + " is here"});
            finding.help = "a fuse of its own at the plus of each pack";
            report_.add(std::move(finding));
            return;
        }
    }

    // Lithium cells that another pack lifts above full are overcharged as by a charger; lead gasses.
    bool overcharges(const Pack& driven) const { return says_lithium(input_.facts, driven.part); }

    void look_at_voltage(const Pack& driver, const Pack& driven) {
        const bool apart = driver.empty_V > driven.full_V;
        const bool beyond = driver.full_V > beyond_full * driven.full_V;
        const Severity most = apart || (beyond && overcharges(driven)) ? Severity::error : Severity::warning;
        std::optional<Finding> worst;
        // The first of the worst; false: nothing can be worse.
        const auto take = [&](std::optional<Finding> finding) {
            if (finding && (!worst || finding->severity < worst->severity)) worst = std::move(finding);
            return !worst || most < worst->severity;
        };
        std::vector<ModeId> apart_in;
        for (const ModeId mode : modes_) {
            const Loop found = loop(driver, driven, open_in(circuit_, input_.harness.modes[mode.index()]));
            if (!found) apart_in.push_back(mode);
            if (found && !take(judged(driver, driven, found, mode, {}))) break;
        }
        if (worst) return report_.add(std::move(*worst));
        // Every part of which one move is an error: who takes care of one has not taken care of another.
        for (const PartId part : parts_) {
            look_at_touches(driver, driven, apart || beyond, apart_in, part, take);
            if (!worst || worst->severity != Severity::error) continue;
            report_.add(std::move(*worst));
            worst.reset();
        }
        if (worst) report_.add(std::move(*worst));
    }
    // What the pack of the lower voltage, or the second of two equals, drives over diodes that bar the other
    // way.
    void look_one_way(const Pack& driver, const Pack& driven) {
        for (const ModeId mode : modes_) {
            const std::vector<bool> open = open_in(circuit_, input_.harness.modes[mode.index()]);
            const Loop found = loop(driver, driven, open);
            if (!found || !through_diode(found) || loop(driven, driver, open)) continue;
            if (std::optional<Finding> finding = judged(driver, driven, found, mode, {}))
                return report_.add(std::move(*finding));
        }
    }
    template <class Take>
    void look_at_touches(const Pack& driver, const Pack& driven, bool unlike,
                         const std::vector<ModeId>& modes, PartId part, Take take) const {
        // Packs of one voltage: a selector on its way from one to the other may pass where it joins them.
        if (!unlike && input_.harness.part(part).kind != Kind::selector) return;
        for (const ModeId mode : modes)
            for (const std::vector<bool>& open : one_touch(input_.harness.modes[mode.index()], part))
                if (const Loop found = loop(driver, driven, open))
                    if (!take(judged(driver, driven, found, mode, part))) return;
    }
    // What is open when one part takes another state than the mode gives it.
    std::vector<std::vector<bool>> one_touch(const Mode& mode, PartId part) const {
        std::set<std::pair<std::uint16_t, std::uint16_t>> states;
        const Kind kind = input_.harness.part(part).kind;
        const bool selector = kind == Kind::selector;
        for (const EdgeId id : circuit_.edges_of_part[part.index()])
            if (const Edge& edge = circuit_.edge(id);
                edge.role == EdgeRole::switching && !is_closed(circuit_, mode, edge))
                states.insert({selector ? edge.way : std::uint16_t{0},
                               kind == Kind::relay ? edge.throw_ : std::uint16_t{0}});
        std::vector<std::vector<bool>> list;
        for (const auto& [way, throw_] : states) {
            std::vector<bool> open = open_in(circuit_, mode);
            for (const EdgeId id : circuit_.edges_of_part[part.index()])
                if (const Edge& edge = circuit_.edge(id); edge.role == EdgeRole::switching)
                    open[id.index()] =
                        (selector && edge.way != way) || (kind == Kind::relay && edge.throw_ != throw_);
            list.push_back(std::move(open));
        }
        return list;
    }

    double along_ohm(const Loop& found) const {
        double ohm = 0;
        for (const EdgeId id : found.conductors())
            if (is_conductor(circuit_.edge(id).role))
                ohm +=
                    resistance_ohm(circuit_, input_.facts, circuit_.edge(id), Corner::fault_max, mild_degC);
        return ohm;
    }
    template <class Holds>
    bool any_on(const Loop& found, Holds holds) const {
        const std::vector<EdgeId> way = found.conductors();
        return std::any_of(way.begin(), way.end(), [&](EdgeId id) { return holds(circuit_.edge(id)); });
    }
    // Packs that are screwed together once are charged alike before; a contact joins them again and again.
    bool through_contact(const Loop& found) const {
        return any_on(found, [](const Edge& edge) {
            return edge.role == EdgeRole::switching || edge.role == EdgeRole::contact;
        });
    }
    bool through_diode(const Loop& found) const {
        return any_on(found, [](const Edge& edge) { return edge.role == EdgeRole::diode; });
    }
    // The mode comes after one in which some of the contacts on the way are closed already and others not:
    // one pack has been used before the other joins it.
    bool joins_later(const Loop& found, ModeId mode) const {
        const ModeId from = input_.harness.modes[mode.index()].after;
        const auto switching = [&](bool closed) {
            return any_on(found, [&](const Edge& edge) {
                return edge.role == EdgeRole::switching &&
                       is_closed(circuit_, input_.harness.modes[from.index()], edge) == closed;
            });
        };
        return from && switching(true) && switching(false);
    }
    // What on the way stands the least of a current, if that is less than this.
    struct Weakest {
        PartId part;
        double limit_A = 0;
        std::string_view what;
    };
    void weaken(std::optional<Weakest>& weakest, PartId part, Attr attribute, std::string_view what,
                double current_A) const {
        const auto stated = input_.facts.quantity(part, attribute);
        if (stated && above(current_A, stated->lo) && (!weakest || stated->lo < weakest->limit_A))
            weakest = {part, stated->lo, what};
    }
    // Of the contacts that the mode closes after the one before it.
    std::optional<Weakest> makes_less(const Loop& found, ModeId mode, double current_A) const {
        std::optional<Weakest> weakest;
        const Mode& before = input_.harness.modes[input_.harness.modes[mode.index()].after.index()];
        for (const EdgeId id : found.conductors())
            if (const Edge& edge = circuit_.edge(id);
                edge.role == EdgeRole::switching && !is_closed(circuit_, before, edge))
                weaken(weakest, edge.part, "makes"_attr, "makes", current_A);
        return weakest;
    }
    // Of the fuses and diodes: nothing evens two packs out over a diode, one empties into the other whenever
    // that is lower.
    std::optional<Weakest> carries_less(const Loop& found, double current_A) const {
        std::optional<Weakest> weakest;
        for (const EdgeId id : found.conductors())
            if (const Edge& edge = circuit_.edge(id);
                is_protective(edge.role) || edge.role == EdgeRole::diode)
                weaken(weakest, edge.part, "(rated-current)"_attr, "rated", current_A);
        return weakest;
    }

    std::optional<Finding> judged(const Pack& driver, const Pack& driven, const Loop& found, ModeId mode,
                                  PartId touched) const {
        const bool apart = driver.empty_V > driven.full_V,
                   beyond = driver.full_V > beyond_full * driven.full_V;
        const bool one_way = through_diode(found);
        if (!apart && !beyond && !one_way && !through_contact(found)) return std::nullopt;
        // Of packs of one voltage either may be the full one.
        const double difference_V = std::max(driver.full_V - driven.empty_V,
                                             apart || beyond || one_way ? 0 : driven.full_V - driver.empty_V);
        const double ohm = driver.resistance_ohm + driven.resistance_ohm + along_ohm(found);
        const double between_A = difference_V / ohm;
        if (!apart && !beyond && between_A <= std::min(driver.charge_A, driven.charge_A)) return std::nullopt;
        const Harness& harness = input_.harness;
        std::optional<Weakest> weld;
        if (!apart && !beyond && one_way)
            weld = carries_less(found, between_A);
        else if (!apart && !beyond && joins_later(found, mode))
            weld = makes_less(found, mode, between_A);
        Finding finding = finding_about(input_, "joined-packs",
                                        apart || (beyond && overcharges(driven)) ? Severity::error
                                        : beyond || weld                         ? Severity::warning
                                                                                 : Severity::note,
                                        touched ? touched : driven.part);
        const std::string two = driver.name + " and " + driven.name;
        finding.message = touched   ? "one move of " + named(harness, touched) + " joins " + two
                          : one_way ? driver.name + " empties into " + driven.name + " over a diode"
                                    : two + " are joined";
        const auto range = [&](const Pack& pack) {
            return pack.label + " has " + volts(pack.empty_V) + " to " + volts(pack.full_V);
        };
        finding.beside = apart || beyond ? range(driver) + ", " + range(driven)
                                         : "up to " + amps(between_A) + " if one is full and the other empty";
        finding.working = {amps(between_A) + " = " + volts(difference_V) + " / " +
                           to_text(ohm, Dimension::resistance) +
                           " (one full, one empty; both packs and the way, at their lowest)"};
        if (apart || beyond)
            finding.working.push_back(driver.label + " charges " + driven.label + " beyond the " +
                                      volts(driven.full_V) + " at which it is full");
        finding.figures = {{"current", between_A, Dimension::current}};
        if (weld) {
            finding.working.push_back(amps(between_A) + " > " + amps(weld->limit_A) + " (" +
                                      std::string(weld->what) + ")");
            finding.related.push_back(
                {harness.part(weld->part).where,
                 named(harness, weld->part) + (one_way ? " lies on the way" : " joins them")});
        }
        finding.witness = steps_along(circuit_, driver.plus, found.whole(driven));
        finding.source = "Kirchhoff's laws";
        finding.mode = mode;
        for (const PartId part : {driver.part, driven.part})
            if (part != finding.part)
                finding.related.push_back({harness.part(part).where, named(harness, part) + " is here"});
        finding.help = apart || beyond ? "a selector or change-over contact that cannot join them"
                       : one_way       ? "a diode on each of their ways to what they share, or a contact"
                                       : "join them only when their voltages are nearly equal";
        return finding;
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    std::vector<Pack> packs_;
    std::vector<PartId> parts_;  // by name, like the packs
    std::vector<ModeId> modes_;
    Positions positions_;
};

void run(const RuleInput& input, Report& report) {
    JoinedPacks(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::joined_packs
