// What contacts close on and what they open, against what they may.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"making-current",
     "a switch, contactor, relay or selector that closes onto loads which draw more than it may close on, "
     "with the surge of those that were dead before",
     "I_loads (inrush where stated) <= makes",
     "rating of the part; IEC 60947-4-1: to make is a rating of its own",
     "capacitors are another rule (no-precharge); controllers wait for their supply; where makes is not "
     "stated, a surge above what the contact carries is warned of",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V, inrush 50 A for 20 ms }",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
    {"breaking-current",
     "a contact that opens more than it can break: where one mode follows another, or where anybody may open "
     "it; and a polarised contactor that would have to break current the wrong way",
     "I <= breaks; below 0.4 A no arc stands (memory)",
     "rating of the part; contact theory (memory); IEC 60947-4-1",
     "an error where a mode says that it follows the other, else a warning; a switch that says it breaks "
     "none is held to the modes that open it; voltages are looked at by contact-voltage",
     "carries 100 A, makes 60 A, breaks 20 A at 60 V dc",
     "carries 100 A, makes 60 A, breaks 100 A at 60 V dc"},
};

constexpr double no_arc_A = 0.4;  // silver contacts, contact theory (memory)

std::string name_of(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(input.harness.terminal(edge.from_terminal).path);
    return named(input.harness, edge.part);
}

// Another contact on the same way that closes at the same time and can take it: then that one is meant to.
bool left_to_another(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact) {
    const CurrentPath path = trace_current(input.circuit, entry.loads, contact.edge);
    return std::any_of(entry.closing.begin(), entry.closing.end(), [&](const ClosingContact& other) {
        if (other.edge == contact.edge ||
            std::find(path.edges.begin(), path.edges.end(), other.edge) == path.edges.end())
            return false;
        const auto makes = input.facts.quantity(input.circuit.edge(other.edge).part, "makes"_attr);
        return makes && makes->lo >= std::abs(other.load_A);
    });
}

void judge_making(const RuleInput& input, Report& report) {
    std::set<std::pair<PartId, ModeId>> said;
    for (const ModeEntry& entry : input.transients.entries) {
        if (contradicts(input, entry.mode)) continue;
        for (const ClosingContact& contact : entry.closing) {
            const Edge& edge = input.circuit.edge(contact.edge);
            if (edge.role != EdgeRole::switching) continue;
            const double load_A = std::abs(contact.load_A);
            const auto makes = input.facts.quantity(edge.part, "makes"_attr);
            const auto carries = input.facts.quantity(edge.part, "carries"_attr);
            const double may_A = makes ? makes->lo : carries ? carries->lo : 0;
            if (may_A <= 0 || !above(load_A, may_A) || left_to_another(input, entry, contact)) continue;
            if (!said.emplace(edge.part, entry.mode).second) continue;
            Finding finding = finding_about(input, "making-current",
                                            makes ? Severity::error : Severity::warning, edge.part);
            finding.message = named(input.harness, edge.part) + " closes onto more than it may";
            finding.beside =
                amps(load_A) + "; " +
                (makes ? "makes " + amps(may_A) : "carries " + amps(may_A) + ", nobody says what it makes");
            finding.working = {amps(load_A) + " > " + amps(may_A) + (makes ? " (makes)" : " (carries)"),
                               "loads that were dead before count with their inrush"};
            finding.figures = {{"current", load_A, Dimension::current}, {"may", may_A, Dimension::current}};
            finding.source = "rating of the part";
            finding.mode = entry.mode;
            finding.corner = entry.corner;
            finding.witness = current_path(input.circuit, entry.loads, contact.edge);
            finding.help = makes ? "one that makes " + amps(load_A) + " or more"
                                 : "state what it makes, from the datasheet";
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
    for (const OperatingPoint& point : input.points)
        if (point.mode == mode && point.usable() &&
            (!found || std::abs(point.edge_A[edge.index()]) > std::abs(found->edge_A[edge.index()])))
            found = &point;
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
    finding.figures = {{"current", now_A, Dimension::current}, {"breaks", may.may_A, Dimension::current}};
    finding.source = may.none ? "rating of the part; contact theory (memory)" : "rating of the part";
    witnessed(input, finding, point, id);
    finding.help = may.none ? "take the current off first: another contact, or a mode between"
                            : "one that breaks " + amps(now_A) + " or more";
    report.add(std::move(finding));
}

void report_polarised(const RuleInput& input, EdgeId id, const OperatingPoint& point, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double back_A = -point.edge_A[id.index()];
    Finding finding = finding_about(input, "breaking-current", Severity::error, edge.part);
    finding.message = named(input.harness, edge.part) + " breaks one way only, and current flows the other";
    finding.beside = amps(back_A) + " from out to in";
    finding.working = {amps(back_A) +
                       " against its polarity: its magnets drive the arc inward, and it may not go out"};
    finding.figures = {{"current", back_A, Dimension::current}};
    finding.source = "common practice, no source";
    witnessed(input, finding, point, id);
    finding.help = "a contactor for both directions, or none of the returned current through this one";
    report.add(std::move(finding));
}

void judge_breaking(const RuleInput& input, Report& report) {
    std::set<PartId> said;
    const std::vector<Mode>& modes = input.harness.modes;
    const auto judge = [&](EdgeId id, ModeId mode, ModeId next) {
        const Edge& edge = input.circuit.edge(id);
        if (said.contains(edge.part)) return;
        const std::optional<Breaking> may = breaking(input, edge.part);
        const OperatingPoint* point = heaviest(input, mode, id);
        if (!may || !point || (may->none && !next)) return;
        const double limit_A = std::max(may->may_A, no_arc_A);
        if (!above(std::abs(point->edge_A[id.index()]), limit_A)) return;
        said.insert(edge.part);
        report_breaking(input, id, *point, *may, next, report);
    };
    for (const bool stated : {true, false})
        for (std::size_t m = 0; m < modes.size(); ++m) {
            if (stated && !modes[m].after) continue;
            const Mode& carrying = stated ? modes[modes[m].after.index()] : modes[m];
            for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
                const Edge& edge = input.circuit.edges[i];
                if (edge.role != EdgeRole::switching && !(stated && edge.role == EdgeRole::contact)) continue;
                if (!is_closed(input.circuit, carrying, edge)) continue;
                if (stated && is_closed(input.circuit, modes[m], edge)) continue;
                judge(EdgeId(i), stated ? modes[m].after : ModeId(m), stated ? ModeId(m) : ModeId());
            }
        }
}

void judge_polarised(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::switching || input.facts.word(edge.part, "polarised"_attr) != "yes")
            continue;
        const OperatingPoint* worst = nullptr;
        for (const OperatingPoint& point : input.points)
            if (point.usable() && point.edge_A[i] < -no_arc_A &&
                (!worst || point.edge_A[i] < worst->edge_A[i]))
                worst = &point;
        if (worst) report_polarised(input, EdgeId(i), *worst, report);
    }
}

void run(const RuleInput& input, Report& report) {
    judge_making(input, report);
    judge_breaking(input, report);
    judge_polarised(input, report);
}

}  // namespace

extern const RuleFamily making_breaking;
const RuleFamily making_breaking{infos, run};

}  // namespace loomward::rules
