// What charges a pack, and what draws on it: whether its voltage fits, and whether the battery management can
// stop it.
//
// A battery management ends a charge by opening the way it lies in. A charger that reaches the pack by
// another way goes on when a cell is full. On the graph: with the charge path of every battery management
// taken out, and every contact closed, a current must find no way from the charger through the pack and back.
#include <algorithm>
#include <set>

#include "checker/circuit/managements.hpp"
#include "checker/circuit/pack_ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/consumers.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::charging_ways {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"charge-voltage",
     "a charger or converter that gives a higher voltage than the pack it can charge has when full",
     "U_output <= 1.005 x U_full, of the packs in series", "rating of the pack; common practice, no source",
     "every contact counts as closed, and the drop of a diode on the way as none; a battery management that "
     "would end the charge does not count: it is there for the day when the charger fails",
     "splice X1\ncharger G9 { output 60 V 5 A, reverse blocked }\n"
     "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
     "route F1.out (direct) F9 (W30 2.5 mm2, 0.5 m, red) G9 (W31 2.5 mm2, 0.5 m, black) Q1.P-",
     "splice X1"},
    {"past-bms",
     "a charger that its pack's battery management cannot stop, and a load or controller that it cannot cut "
     "off, because they reach the pack round it or by its other port",
     "no way through the pack and back that misses the port meant for it", "common practice, no source",
     "error for what charges, warning for what draws, a note for a controller that gives back through a port "
     "for discharge; every contact counts as closed; a converter of common minus leads from its input to its "
     "output; packs without a battery management are left out",
     "splice X1\ncharger G9 { output 54.6 V 5 A, reverse blocked }\n"
     "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
     "route F1.out (direct) F9 (W30 2.5 mm2, 0.5 m, red) G9 (W31 2.5 mm2, 0.5 m, black) Q1.B-",
     "splice X1"},
};

constexpr double fits = 1.005;  // a charger's own tolerance

bool gives(EdgeRole role) {
    return role == EdgeRole::charger || role == EdgeRole::converter_output;
}

double full_V(const RuleInput& input, EdgeId id) {
    const Edge& edge = input.circuit.edge(id);
    if (edge.role != EdgeRole::emf) return 0;
    const auto section = pack_section(input.circuit, input.facts, edge, Corner::run_full);
    return section ? section->voltage_V : 0;
}

// ---- charge-voltage -------------------------------------------------------------------------------------

void judge_voltage(const RuleInput& input, const Edge& source, const std::vector<EdgeId>& way,
                   Report& report) {
    double pack_V = 0;
    std::set<PartId> packs;
    for (const EdgeId id : way)
        if (input.circuit.edge(id).role == EdgeRole::emf) {
            pack_V += full_V(input, id);
            packs.insert(input.circuit.edge(id).part);
        }
    const auto output = input.facts.quantity(source.part, output_attribute(input.harness, source.part));
    if (packs.empty() || pack_V <= 0 || !output || output->hi <= fits * pack_V) return;
    std::string names;
    for (const PartId pack : packs)
        names += (names.empty() ? "" : " + ") + std::string(input.harness.part(pack).name);
    Finding finding = finding_about(input, "charge-voltage", Severity::error, source.part);
    finding.message =
        named(input.harness, source.part) + " gives a higher voltage than the pack it charges may have";
    finding.beside =
        volts(output->hi) + "; " + names + (packs.size() > 1 ? " are" : " is") + " full at " + volts(pack_V);
    finding.working = {volts(output->hi) + " > " + volts(fits * pack_V) + " = 1.005 x " + volts(pack_V)};
    finding.figures = {{"voltage", output->hi, Dimension::voltage}, {"allowed", pack_V, Dimension::voltage}};
    finding.witness = steps_along(input.circuit, source.to, way);
    finding.source = "rating of the pack";
    for (const PartId pack : packs)
        finding.related.push_back({input.harness.part(pack).where, named(input.harness, pack) + " is here"});
    finding.help = "an output of " + volts(pack_V) + " or less, or a pack of more cells";
    report.add(std::move(finding));
}

void judge_voltages(const RuleInput& input, Report& report) {
    const Positions positions(input.circuit);
    std::set<PartId> told;
    for (std::size_t number = 0; number < positions.count(); ++number) {
        const PackWays ways(input.circuit, positions.open(number), PackFlow::charging);
        for (const Edge& source : input.circuit.edges) {
            if (!gives(source.role) || told.contains(source.part)) continue;
            Report found;
            judge_voltage(input, source,
                          ways.way(source.to, source.from, [&](EdgeId id) { return full_V(input, id); }),
                          found);
            for (Finding& finding : found.take()) {
                told.insert(source.part);
                report.add(std::move(finding));
            }
        }
    }
}

// ---- past-bms -------------------------------------------------------------------------------------------

struct Management {
    PartId part;
    bool separate = false;
    bool low = false;
    std::set<PartId> packs;  // that it watches
};

// Those of the harness, each with the string of packs behind it.
std::vector<Management> managements(const RuleInput& input) {
    const Circuit& circuit = input.circuit;
    std::vector<Management> list;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        if (input.harness.parts[i].kind != Kind::bms) continue;
        Management each{PartId(i),
                        input.facts.word(PartId(i), "ports"_attr) == "separate",
                        input.facts.word(PartId(i), "side"_attr) == "low",
                        {}};
        list.push_back(std::move(each));
    }
    Managements watching(circuit);
    for (const Part& part : input.harness.parts) {
        const PartId pack(static_cast<std::size_t>(&part - input.harness.parts.data()));
        if (part.kind != Kind::pack || circuit.edges_of_part[pack.index()].empty()) continue;
        const std::set<PartId> found = watching.of(pack);
        for (Management& each : list)
            if (found.contains(each.part)) each.packs.insert(pack);
    }
    return list;
}

class PastManagement {
  public:
    PastManagement(const RuleInput& input, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          managements_(managements(input)),
          consumers_(consumers(input)) {}

    void look() {
        if (managements_.empty()) return;
        const Positions positions(circuit_);
        for (std::size_t number = 0; number < positions.count(); ++number)
            for (const PackFlow flow : {PackFlow::charging, PackFlow::drawing}) {
                std::vector<bool> taken_out = positions.open(number);
                for (const Management& each : managements_)
                    for (const EdgeId id : circuit_.edges_of_part[each.part.index()])
                        if (circuit_.edge(id).role == EdgeRole::trip &&
                            circuit_.edge(id).way == (each.separate && flow == PackFlow::charging ? 1 : 0))
                            taken_out[id.index()] = true;
                look_along(PackWays(circuit_, std::move(taken_out), flow), flow);
            }
    }

  private:
    void look_along(const PackWays& ways, PackFlow flow) {
        for (const Management& each : managements_)
            for (const PartId pack : each.packs)
                for (const EdgeId section : circuit_.edges_of_part[pack.index()]) {
                    const Edge& through = circuit_.edge(section);
                    if (through.role != EdgeRole::emf) continue;
                    std::vector<bool> after = ways.reached(ways.exit(through), true);
                    const std::vector<bool> before = ways.reached(ways.entry(through), false);
                    const std::vector<Through> converters = flow == PackFlow::drawing
                                                                ? on_through_converters(ways, after)
                                                                : std::vector<Through>();
                    // The current comes out of `to` of either: a source's plus, a load's minus.
                    const auto look = [&](const Edge& edge, NodeId plus, NodeId minus) {
                        if (before[minus.index()] && after[plus.index()] &&
                            told_.insert({edge.part, edge.role}).second)
                            tell(ways, edge, each, section, converters);
                    };
                    if (flow == PackFlow::drawing)
                        for (const Consumer& consumer : consumers_)
                            look(circuit_.edge(consumer.edge), consumer.plus, consumer.minus);
                    else
                        for (const Edge& edge : circuit_.edges)
                            if (gives(edge.role) || edge.role == EdgeRole::regeneration)
                                look(edge, edge.from, edge.to);
                }
    }

    // A converter whose input and output share their minus lies in line with what returns to the pack past
    // the management: its plus feeds the load's, and what the load returns is the pack's own.
    struct Through {
        EdgeId input, output;
        std::vector<bool> beyond;  // by NodeId: what its output leads to
    };
    std::vector<Through> on_through_converters(const PackWays& ways, std::vector<bool>& after) const {
        std::vector<Through> passed;
        for (bool more = true; more;) {
            more = false;
            for (const Part& part : circuit_.harness->parts) {
                const PartId id(static_cast<std::size_t>(&part - circuit_.harness->parts.data()));
                if (part.kind != Kind::converter || input_.facts.word(id, "negative"_attr) != "common")
                    continue;
                Through each;
                for (const EdgeId its : circuit_.edges_of_part[id.index()]) {
                    if (circuit_.edge(its).role == EdgeRole::converter_input) each.input = its;
                    if (circuit_.edge(its).role == EdgeRole::converter_output) each.output = its;
                }
                if (!each.input || !each.output || !after[circuit_.edge(each.input).from.index()] ||
                    after[circuit_.edge(each.output).to.index()])
                    continue;
                each.beyond = ways.reached(circuit_.edge(each.output).to, true);
                for (std::size_t node = 0; node < after.size(); ++node)
                    if (each.beyond[node]) after[node] = true;
                passed.push_back(std::move(each));
                more = true;
            }
        }
        return passed;
    }
    // From the pack's exit to a node, over the converters that it takes.
    std::vector<EdgeId> way_out(const PackWays& ways, NodeId exit, NodeId to,
                                const std::vector<Through>& converters) const {
        const auto none = [](EdgeId) { return 0.0; };
        std::vector<EdgeId> way = ways.way(exit, to, none);
        for (auto each = converters.rbegin(); way.empty() && exit != to && each != converters.rend();
             ++each) {
            if (!each->beyond[to.index()]) continue;
            way = way_out(ways, exit, circuit_.edge(each->input).from, {converters.begin(), each.base() - 1});
            const Edge &input = circuit_.edge(each->input), &output = circuit_.edge(each->output);
            const auto go_on = [&](const std::vector<EdgeId>& edges) {
                way.insert(way.end(), edges.begin(), edges.end());
            };
            go_on({each->input});
            go_on(ways.way(input.to, output.from, none));
            go_on({each->output});
            go_on(ways.way(output.to, to, none));
        }
        return way;
    }

    void tell(const PackWays& ways, const Edge& edge, const Management& each, EdgeId section,
              const std::vector<Through>& converters) {
        const bool gives_back = edge.role == EdgeRole::regeneration;
        const bool charges = gives(edge.role) || gives_back;
        const Harness& harness = input_.harness;
        const std::string who = named(harness, edge.part),
                          guard = "bms " + std::string(harness.part(each.part).name);
        const PartId pack = circuit_.edge(section).part;
        Finding finding = finding_about(input_, "past-bms",
                                        gives_back ? Severity::note
                                        : charges  ? Severity::error
                                                   : Severity::warning,
                                        edge.part);
        finding.beside =
            std::string(harness.part(each.part).name) +
            (charges ? " cannot stop it when a cell is full" : " cannot cut it off from an empty pack");
        const auto none = [](EdgeId) { return 0.0; };
        const Edge& through = circuit_.edge(section);
        std::vector<EdgeId> way = ways.way(edge.to, ways.entry(through), none);
        way.push_back(section);
        const std::vector<EdgeId> rest = way_out(ways, ways.exit(through), edge.from, converters);
        way.insert(way.end(), rest.begin(), rest.end());
        finding.witness = steps_along(circuit_, edge.to, way);
        const bool other_port = std::any_of(way.begin(), way.end(), [&](EdgeId id) {
            return circuit_.edge(id).role == EdgeRole::trip && circuit_.edge(id).part == each.part;
        });
        finding.message = who +
                          (gives_back ? " gives back to "
                           : charges  ? " charges "
                                      : " draws on ") +
                          named(harness, pack) +
                          (!other_port ? " past "
                           : charges   ? " by the discharge port of "
                                       : " by the charge port of ") +
                          guard;
        const PartId driven = harness.part(each.part).drives;
        const std::string port = driven ? std::string(harness.part(driven).name)
                                        : std::string(harness.part(each.part).name) + "." +
                                              (each.separate && charges ? "C" : "P") + (each.low ? "-" : "+");
        finding.working = {"a way through the pack and back that does not pass " + port};
        finding.source = "common practice, no source";
        finding.related.push_back({harness.part(each.part).where, guard + " is here"});
        finding.help =
            gives_back
                ? "a battery management with one port for both, or a controller that gives nothing back"
                : "join it to " + port;
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    std::vector<Management> managements_;
    std::vector<Consumer> consumers_;
    std::set<std::pair<PartId, EdgeRole>> told_;
};

void run(const RuleInput& input, Report& report) {
    judge_voltages(input, report);
    PastManagement(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::charging_ways
