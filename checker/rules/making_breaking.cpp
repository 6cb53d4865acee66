// What contacts close on and what they open, against what they may.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/part_edges.hpp"
#include "checker/currents/braking.hpp"
#include "checker/parts/arcs.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/closing_order.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/driven_breaking.hpp"
#include "checker/rules/panel_contacts.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/rules/side_by_side.hpp"
#include "checker/rules/stalled_contacts.hpp"

namespace loomward::rules::making_breaking {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"making-current",
     "a switch, contactor, relay or selector that closes onto loads which draw more than it may close on, "
     "with the surge of those that were dead before; a plug that is mated onto more than it carries or "
     "breaks",
     "I_loads (inrush where stated) <= makes; 1.25 x short-circuit current of the panels behind it <= makes",
     "rating of the part; IEC 60947-4-1: to make is a rating of its own",
     "capacitors are another rule (no-precharge); controllers wait for their supply; where makes is not "
     "stated, a surge above what the contact carries is warned of; a note where only motors that say "
     "nothing of their start draw so much blocked",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V, inrush 50 A for 20 ms }",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
    {"breaking-current",
     "a contact that opens more than it can break: where one mode follows another, or where anybody may open "
     "it; one that has to break what a blocked motor draws, what panels drive, or what its battery "
     "management "
     "opens it at; contacts side by side of which the last to part breaks all of it; and a polarised "
     "contactor that would have to break current the wrong way",
     "I <= breaks; I_trip and the currents of the short circuits that the battery management is first to "
     "open "
     "<= breaks; I_stall <= breaks where no device is sure to open, 3 x breaks where none may within 1 s; "
     "1.25 x short-circuit current of the panels behind it <= breaks; below 0.4 A no arc stands (memory)",
     "rating of the part; NFPA 70 690.8(A)(1) (memory); contact theory (memory); IEC 60947-4-1",
     "an error where a mode says that it follows the other, else a warning; each controller counts with its "
     "setting where no mode has it draw three quarters of that; a polarised contactor is warned of what the "
     "settings of regeneration alone let come; of the contacts before a blocked "
     "motor those nearer to it than one that can; a switch that says it breaks "
     "none is held to the modes that open it, and to two modes between which it opens and nothing else on "
     "the way of a load's current; one that a coil opens to all, but where another coil opens a contact on "
     "the way that can break it; "
     "voltages are looked at by contact-voltage",
     "carries 100 A, makes 60 A, breaks 20 A at 60 V dc",
     "carries 100 A, makes 60 A, breaks 100 A at 60 V dc"},
};

std::string name_of(const RuleInput& input, const Edge& edge) {
    return edge.role == EdgeRole::contact
               ? "contact " + std::string(input.harness.terminal(edge.from_terminal).path)
               : named(input.harness, edge.part);
}

// Another contact on the same way that closes at the same time and can take it: then that one is meant to.
bool left_to_another(const RuleInput& input, ClosingOrder& order, const ModeEntry& entry,
                     const ClosingContact& contact) {
    const CurrentPath path = trace_current(input.circuit, entry.loads, contact.edge);
    return std::any_of(entry.closing.begin(), entry.closing.end(), [&](const ClosingContact& other) {
        if (other.edge == contact.edge ||
            std::find(path.edges.begin(), path.edges.end(), other.edge) == path.edges.end() ||
            !order.closes_last(entry.mode, path, contact.edge, other.edge))
            return false;
        if (input.circuit.edge(contact.edge).role == EdgeRole::contact) return true;  // plugs are mated first
        const auto makes = input.facts.quantity(input.circuit.edge(other.edge).part, "makes"_attr);
        return makes && !above(std::abs(other.load_A), makes->lo);
    });
}

// Another pole of it closes onto more than it may for certain.
bool any_certain(const RuleInput& input, const ModeEntry& entry, PartId part) {
    const auto makes = input.facts.quantity(part, "makes"_attr);
    return makes && std::any_of(entry.closing.begin(), entry.closing.end(), [&](const ClosingContact& each) {
               const Edge& edge = input.circuit.edge(each.edge);
               return edge.part == part && edge.role == EdgeRole::switching &&
                      above(std::abs(each.load_A), makes->lo);
           });
}

void judge_making(const RuleInput& input, Report& report) {
    std::set<std::pair<PartId, ModeId>> said;
    ClosingOrder order(input);
    for (const ModeEntry& entry : input.transients.entries) {
        if (contradicts(input, entry.mode)) continue;
        for (const ClosingContact& contact : entry.closing) {
            const Edge& edge = input.circuit.edge(contact.edge);
            const bool plug = edge.role == EdgeRole::contact;
            if (edge.role != EdgeRole::switching && !plug) continue;
            const double stated_A = std::abs(contact.load_A), blocked_A = std::abs(contact.blocked_A);
            const auto makes = input.facts.quantity(edge.part, "makes"_attr);
            auto carries = input.facts.quantity(edge.part, "carries"_attr);
            if (const OwnContact* own = plug ? input.harness.own_contact_at(edge.from_terminal) : nullptr)
                if (const Value& value = input.harness.current_of(*own); value.known != Knowledge::unknown)
                    carries = value.quantity();
            // What a plug may be parted under it may be mated under.
            const auto breaks = plug ? input.facts.quantity(edge.part, "breaks"_attr) : std::nullopt;
            const double may_A =
                makes ? makes->lo : std::max(carries ? carries->lo : 0, breaks ? breaks->lo : 0);
            // What a motor that says nothing of its start draws is known blocked alone.
            const bool certain = above(stated_A, may_A);
            const double load_A = certain ? stated_A : blocked_A;
            if (may_A <= 0 || !above(load_A, may_A) || left_to_another(input, order, entry, contact))
                continue;
            if ((!certain && !plug && any_certain(input, entry, edge.part)) ||
                !said.emplace(edge.part, entry.mode).second)
                continue;
            Finding finding = finding_about(input, "making-current",
                                            !certain ? Severity::note
                                            : plug   ? Severity::warning
                                                     : Severity::error,
                                            edge.part);
            finding.possible = certain && !makes && !plug;
            if (finding.possible) finding.hangs_on.push_back(made_below(input, edge.part, load_A));
            finding.message = name_of(input, edge) +
                              (plug ? " is mated onto more than it may" : " closes onto more than it may");
            if (plug) finding.subject = input.harness.terminal(edge.from_terminal).path;
            finding.beside = amps(load_A) + "; " +
                             (makes  ? "makes " + amps(may_A)
                              : plug ? "carries or breaks " + amps(may_A)
                                     : "carries " + amps(may_A) + ", nobody says what it makes");
            finding.working = {amps(load_A) + " > " + amps(may_A) + (makes ? " (makes)" : " (carries)"),
                               certain ? "loads that were dead before count with their inrush"
                                       : "motors that were dead before and say nothing of their start count "
                                         "as blocked"};
            finding.figures = {{"current", load_A, Dimension::current}, {"may", may_A, Dimension::current}};
            finding.source = "rating of the part";
            finding.mode = entry.mode;
            finding.corner = entry.corner;
            finding.witness = current_path(input.circuit, entry.loads, contact.edge);
            finding.help = makes  ? "one that makes " + amps(load_A) + " or more"
                           : plug ? "a switch for the load, so that the plug is mated without current"
                                  : "state what it makes, from the datasheet";
            if (!plug)
                finding.cures = {
                    at_least(input.harness, edge.part, "makes"_attr, load_A, Dimension::current)};
            report.add(std::move(finding));
        }
    }
}

struct Breaking {
    double may_A = 0;
    bool none = false;
};
std::optional<Breaking> breaking(const RuleInput& input, PartId part) {
    if (input.facts.word(part, "breaks"_attr) == "none") return Breaking{no_arc_A, true};
    if (input.facts.is_unknown(part, "breaks"_attr)) return std::nullopt;
    const auto stated = input.facts.quantity(part, "breaks"_attr);
    return stated ? std::optional(Breaking{std::max(stated->lo, 0.0), false}) : std::nullopt;
}

// The point of a mode at which an edge carries most.
const OperatingPoint* heaviest(const RuleInput& input, ModeId mode, EdgeId edge) {
    const OperatingPoint* found = nullptr;
    const auto take = [&](const OperatingPoint& point) {
        if (point.mode == mode && point.usable() &&
            (!found || std::abs(point.edge_A[edge.index()]) > std::abs(found->edge_A[edge.index()])))
            found = &point;
    };
    for (const OperatingPoint& point : input.points) take(point);
    for (const AtSetting& each : input.at_settings) take(each.point);
    return found;
}

void report_breaking(const RuleInput& input, EdgeId id, const OperatingPoint& point, const Breaking& may,
                     ModeId next, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double now_A = std::abs(point.edge_A[id.index()]);
    Finding finding =
        finding_about(input, "breaking-current", next ? Severity::error : Severity::warning, edge.part);
    if (edge.role == EdgeRole::contact) finding.subject = input.harness.terminal(edge.from_terminal).path;
    finding.message =
        name_of(input, edge) + (next ? " opens more than it can break" : " cannot break what it carries");
    finding.beside = amps(now_A) + "; " + (may.none ? "breaks none" : "breaks " + amps(may.may_A));
    finding.working = {amps(now_A) + " > " + amps(may.may_A) +
                       (may.none ? " (below that no arc stands between silver contacts)" : " (breaks)")};
    if (next)
        finding.working.push_back("mode " + std::string(input.harness.modes[next.index()].name) +
                                  " follows and has it open");
    for (const AtSetting& each : input.at_settings)
        if (&each.point == &point) finding.working.push_back(setting_text(input, each));
    finding.figures = {{"current", now_A, Dimension::current}, {"breaks", may.may_A, Dimension::current}};
    finding.source = may.none ? "rating of the part; contact theory (memory)" : "rating of the part";
    witnessed(input, finding, point, id);
    finding.help = may.none ? "take the current off first: another contact, or a mode between"
                            : "one that breaks " + amps(now_A) + " or more";
    if (!may.none)
        finding.cures = {at_least(input.harness, edge.part, "breaks"_attr, now_A, Dimension::current)};
    report.add(std::move(finding));
}

// `stated`: a mode says that it flows; else a setting allows it.
void report_polarised(const RuleInput& input, EdgeId id, const OperatingPoint& point, bool stated,
                      Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double back_A = -point.edge_A[id.index()];
    Finding finding =
        finding_about(input, "breaking-current", stated ? Severity::error : Severity::warning, edge.part);
    finding.message = named(input.harness, edge.part) + " breaks one way only, and current flows the other";
    finding.beside = amps(back_A) + " from out to in";
    finding.working = {amps(back_A) +
                       " against its polarity: its magnets drive the arc inward, and it may not go out"};
    if (!stated) finding.working.emplace_back("no mode returns it: what the settings of regeneration allow");
    finding.figures = {{"current", back_A, Dimension::current}};
    finding.source = "common practice, no source";
    witnessed(input, finding, point, id);
    finding.help = "a contactor for both directions, or none of the returned current through this one";
    report.add(std::move(finding));
}

// A contact that whatever takes its coil off opens under the current: no hand waits for it, and no other coil
// opens a contact on the way that can break it.
bool opens_by_its_coil(const RuleInput& input, const OperatingPoint& point, EdgeId contact) {
    const PartId part = input.circuit.edge(contact).part;
    if (!coil_of(input.circuit, part) || is_latching(input.harness, part)) return false;
    const CurrentPath path = trace_current(input.circuit, point, contact);
    return std::none_of(path.edges.begin(), path.edges.end(), [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role != EdgeRole::switching || edge.part == part || !coil_of(input.circuit, edge.part))
            return false;
        const std::optional<Breaking> may = breaking(input, edge.part);
        return !may || (!may->none && !above(std::abs(point.edge_A[id.index()]), may->may_A));
    });
}

// A hand opens it between two modes while all else on the way of its current stays closed. Only where a load
// draws it: electronics let go before they are cut off.
bool opens_by_itself(const RuleInput& input, const OperatingPoint& point, EdgeId contact) {
    const Edge& edge = input.circuit.edge(contact);
    if (coil_of(input.circuit, edge.part)) return false;
    const CurrentPath path = trace_current(input.circuit, point, contact);
    const auto is_load = [&](EdgeId id) { return input.circuit.edge(id).role == EdgeRole::load; };
    if (std::none_of(path.edges.begin(), path.edges.end(), is_load)) return false;
    const std::vector<Mode>& modes = input.harness.modes;
    return std::any_of(modes.begin(), modes.end(), [&](const Mode& other) {
        return !is_closed(input.circuit, other, edge) &&
               std::all_of(path.edges.begin(), path.edges.end(), [&](EdgeId id) {
                   const Edge& step = input.circuit.edge(id);
                   return step.part == edge.part || is_closed(input.circuit, other, step);
               });
    });
}

// What a part opens in modes that follow one another comes first, then what it carries in any; of either the
// heaviest, of equals the first.
void judge_breaking(const RuleInput& input, std::set<PartId>& said, Report& report) {
    const std::vector<Mode>& modes = input.harness.modes;
    struct Worst {
        EdgeId edge;
        const OperatingPoint* point;
        Breaking may;
        ModeId next;
        double now_A() const { return std::abs(point->edge_A[edge.index()]); }
    };
    for (const bool stated : {true, false}) {
        std::vector<Worst> found;
        for (std::size_t m = 0; m < modes.size(); ++m) {
            if (stated && !modes[m].after) continue;
            const ModeId carrying = stated ? modes[m].after : ModeId(m), next = stated ? ModeId(m) : ModeId();
            for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
                const Edge& edge = input.circuit.edges[i];
                if (edge.role != EdgeRole::switching && !(stated && edge.role == EdgeRole::contact)) continue;
                if (said.contains(edge.part) || !is_closed(input.circuit, modes[carrying.index()], edge))
                    continue;
                if (stated && is_closed(input.circuit, modes[m], edge)) continue;
                const std::optional<Breaking> may = breaking(input, edge.part);
                const OperatingPoint* point = heaviest(input, carrying, EdgeId(i));
                if (!may || !point ||
                    (may->none && !next && !opens_by_its_coil(input, *point, EdgeId(i)) &&
                     !opens_by_itself(input, *point, EdgeId(i))))
                    continue;
                const Worst now{EdgeId(i), point, *may, next};
                if (!above(now.now_A(), std::max(may->may_A, no_arc_A))) continue;
                const auto same = std::find_if(found.begin(), found.end(), [&](const Worst& each) {
                    return input.circuit.edge(each.edge).part == edge.part;
                });
                if (same == found.end())
                    found.push_back(now);
                else if (above(now.now_A(), same->now_A()))
                    *same = now;
            }
        }
        for (const Worst& each : found) {
            said.insert(input.circuit.edge(each.edge).part);
            report_breaking(input, each.edge, *each.point, each.may, each.next, report);
        }
    }
}

void judge_polarised(const RuleInput& input, Report& report) {
    std::optional<std::vector<OperatingPoint>> braking;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::switching || input.facts.word(edge.part, "polarised"_attr) != "yes")
            continue;
        const OperatingPoint* worst = nullptr;
        const auto take = [&](const OperatingPoint& point) {
            if (point.usable() && point.edge_A[i] < -no_arc_A &&
                (!worst || point.edge_A[i] < worst->edge_A[i]))
                worst = &point;
        };
        for (const OperatingPoint& point : input.points) take(point);
        // A setting is reached on any hill, though no mode says so.
        const bool stated = worst != nullptr;
        if (!stated && !braking) braking = brake_at_settings(input.circuit, input.facts);
        if (!stated)
            for (const OperatingPoint& point : *braking) take(point);
        if (worst) report_polarised(input, EdgeId(i), *worst, stated, report);
    }
}

void run(const RuleInput& input, Report& report) {
    judge_making(input, report);
    std::set<PartId> said;
    judge_breaking(input, said, report);
    judge_side_by_side(input, said, report);
    judge_stalled_contacts(input, said, report);
    judge_polarised(input, report);
    judge_panel_contacts(input, said, report);
    judge_driven(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::making_breaking
