// Diodes wired the wrong way round: one that blocks what it lies in, one that shorts what it lies across.
//
// On the graph, one position of selectors and change-overs at a time. A diode has its use if some source can
// push a current from A to K through it, or if a coil or load lies across it, whose current it takes when
// that is switched off. If neither holds, and a source could push a current from K to A, it only blocks. If a
// source reaches A and K leads back to its minus past no consumer at all, it is a dead short.
#include <algorithm>

#include "checker/circuit/drive.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::diodes {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"blocking-diode",
     "a diode through which no source can push a current in any position of the switches, though one could "
     "if "
     "it were turned round",
     "some source's plus leads to A and K to its minus, or a coil or load lies across it",
     "IEC 60617 (memory): A is the anode, current enters there",
     "every contact counts as closed, selectors and change-overs one position at a time; leakage is none",
     "diode V9 { 3 A, 100 V, drop 0.8 V }\nroute X1 (W13 1 mm2, 0.3 m, red) V9.K>A (direct) H2",
     "route X1 (W13 1 mm2, 0.3 m, red) H2"},
    {"shorting-diode",
     "a diode that lies from a source's plus to its minus in its own direction, with no consumer before or "
     "behind it",
     "no way from a source's plus over A and K to its minus that passes conductors, drivers and diodes alone",
     "IEC 60617 (memory): A is the anode, current enters there",
     "every contact counts as closed and every driver as on, selectors and change-overs one position at a "
     "time",
     "splice X1\ndiode V9 { 3 A, 100 V, drop 0.8 V }\n"
     "route X1 (W30 1 mm2, 0.1 m, red) V9 (W31 1 mm2, 0.1 m, black) K1.A2",
     "splice X1"},
};

struct Seen {
    bool useful = false;  // passes, or catches
    bool blocks = false;  // would pass the other way round
    bool shorts = false;
};

std::string path_of(const RuleInput& input, TerminalId terminal) {
    return std::string(input.harness.terminal(terminal).path);
}

// How few things lie between the ends of a diode and those of what it lies across: it catches what is on the
// same terminals, then what wires alone lead to, then what lies behind switches and fuses.
enum class Beside : std::uint8_t { same_points, by_wire, behind_contacts, none };

// The coil or load whose ends the diode joins, the nearest if there are several.
struct Across {
    PartId part;
    Beside how = Beside::none;
};
Across across(const RuleInput& input, const Drive& drive, DisjointSets& wired, const Edge& diode) {
    const std::uint32_t a = drive.piece(diode.from), k = drive.piece(diode.to);
    Across nearest;
    const auto joins = [&](auto same) {
        return [&, same](const Edge& edge) {
            return (same(edge.from, diode.from) && same(edge.to, diode.to)) ||
                   (same(edge.from, diode.to) && same(edge.to, diode.from));
        };
    };
    const auto on_the_points = joins([](NodeId x, NodeId y) { return x == y; });
    const auto on_the_wires = joins([&](NodeId x, NodeId y) { return wired.same(x.index(), y.index()); });
    for (const Drive::Onward& next : drive.leaving(diode.from)) {
        const Edge& edge = input.circuit.edge(next.edge);
        if (edge.role != EdgeRole::coil && edge.role != EdgeRole::load) continue;
        if (!((next.from == a && next.to == k) || (next.from == k && next.to == a))) continue;
        const Beside how = on_the_points(edge)  ? Beside::same_points
                           : on_the_wires(edge) ? Beside::by_wire
                                                : Beside::behind_contacts;
        if (how < nearest.how) nearest = {edge.part, how};
    }
    return nearest;
}

Finding begun(const RuleInput& input, std::string_view rule, const Edge& edge) {
    Finding finding = finding_about(input, rule, Severity::error, edge.part);
    finding.source = "IEC 60617 (memory): current enters at A, the anode";
    finding.help = "exchange its two ends: walk it " + path_of(input, edge.to_terminal) + " first, or " +
                   path_of(input, edge.from_terminal) + " first where it is walked from K now";
    return finding;
}

void tell_shorting(const RuleInput& input, const Edge& edge, const Across& beside, Report& report) {
    Finding finding = begun(input, "shorting-diode", edge);
    const bool near = beside.how <= Beside::by_wire;
    finding.message = named(input.harness, edge.part) + " is wired the wrong way round and shorts " +
                      (near ? "what switches " + named(input.harness, beside.part) : "its source");
    finding.beside = path_of(input, edge.from_terminal) + " lies on plus, " +
                     path_of(input, edge.to_terminal) + " on minus";
    finding.working = {"from a plus over " + path_of(input, edge.from_terminal) + " and " +
                       path_of(input, edge.to_terminal) + " to its minus stands no consumer"};
    if (near)
        finding.related.push_back(
            {input.harness.part(beside.part).where, named(input.harness, beside.part) + " lies across it"});
    report.add(std::move(finding));
}

void tell_blocking(const RuleInput& input, const Edge& edge, Report& report) {
    Finding finding = begun(input, "blocking-diode", edge);
    finding.message =
        named(input.harness, edge.part) + " is wired the wrong way round: it never lets a current pass";
    finding.beside = path_of(input, edge.to_terminal) + " leads to a plus, " +
                     path_of(input, edge.from_terminal) + " to a minus";
    finding.working = {"no source can push a current from " + path_of(input, edge.from_terminal) + " to " +
                       path_of(input, edge.to_terminal) + ", whatever is switched; turned round one could"};
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    std::vector<EdgeId> diodes;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::diode) diodes.push_back(EdgeId(i));
    if (diodes.empty()) return;
    std::vector<Seen> seen(diodes.size());
    std::vector<Across> beside(diodes.size());
    // By wire alone, past no contact and no fuse.
    DisjointSets wired = pieces(input.circuit, [&](EdgeId id) {
        const EdgeRole role = input.circuit.edge(id).role;
        return is_conductor(role) && role != EdgeRole::switching && !opens_on_current(role);
    });
    const Positions positions(input.circuit);
    for (std::size_t number = 0; number < positions.count(); ++number) {
        const Drive drive(input.circuit, positions.open(number));
        const auto ways = drive.across(diodes, DriveThrough::anything);
        const auto bare = drive.across(diodes, DriveThrough::bare);
        for (std::size_t i = 0; i < diodes.size(); ++i) {
            const Edge& edge = input.circuit.edge(diodes[i]);
            if (const Across now = across(input, drive, wired, edge); now.how < beside[i].how)
                beside[i] = now;
            seen[i].useful =
                seen[i].useful || ways[i].along || beside[i].part.valid() || drive.joined(edge.from, edge.to);
            seen[i].blocks = seen[i].blocks || ways[i].against;
            seen[i].shorts = seen[i].shorts || bare[i].along;
        }
    }
    for (std::size_t i = 0; i < diodes.size(); ++i) {
        const Edge& edge = input.circuit.edge(diodes[i]);
        if (seen[i].shorts)
            tell_shorting(input, edge, beside[i], report);
        else if (seen[i].blocks && !seen[i].useful)
            tell_blocking(input, edge, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::diodes
