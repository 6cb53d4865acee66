// Fuses and breakers side by side. They share by resistance, so that the ratings do not add up; the smaller
// one opens first, and the other has it all at once; and what they break together nobody has tested.
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/parallel_ways.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::parallel_devices {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"parallel-devices",
     "fuses or breakers side by side between the same two points, with nothing between them but wires and "
     "contacts",
     "one device on the way; or equal devices, each in an equal conductor of its own",
     "NFPA 70 240.8 (memory): not in parallel unless factory assembled; IEC 60364-4-43 433.4, 434.4 "
     "(memory): "
     "equal conductors, each with its device",
     "a note where device, section, length and material are equal in each way; every contact counts as "
     "closed; devices whose both ends are joined by wires, joints and plugs are side by side whatever else "
     "hangs on them, ways that meet over switches or further devices are not",
     "splice X1\nfuse F9 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
     "route F1.in (direct) F9 (direct) F1.out",
     "splice X1"},
};

struct Device {
    PartId part;
    double rated_A = 0;
};

std::optional<Device> device_of(const RuleInput& input, const ParallelWay& way) {
    std::optional<Device> smallest;
    for (const EdgeId id : way.edges) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker) continue;
        const auto rated = input.facts.quantity(edge.part, "(rated-current)"_attr);
        const Device here{edge.part, rated ? rated->hi : 0};
        if (!smallest || here.rated_A < smallest->rated_A) smallest = here;
    }
    return smallest;
}

// Sections, lengths and materials of the wires of a way, in order of size: equal ways have equal lists.
std::vector<std::tuple<double, bool, double>> wires_of(const RuleInput& input, const ParallelWay& way) {
    std::vector<std::tuple<double, bool, double>> wires;
    for (const EdgeId id : way.edges)
        if (const WireId wire = input.circuit.edge(id).wire) {
            const Wire& each = input.harness.wire(wire);
            wires.emplace_back(each.area.hi * each.parallel, each.aluminium, each.length.hi);
        }
    std::sort(wires.begin(), wires.end());
    return wires;
}

bool equal_wires(const RuleInput& input, const ParallelWay& a, const ParallelWay& b) {
    const auto of_a = wires_of(input, a), of_b = wires_of(input, b);
    if (of_a.empty() || of_a.size() != of_b.size()) return false;
    for (std::size_t i = 0; i < of_a.size(); ++i) {
        const auto& [area_a, metal_a, length_a] = of_a[i];
        const auto& [area_b, metal_b, length_b] = of_b[i];
        if (area_a != area_b || metal_a != metal_b) return false;
        if (std::max(length_a, length_b) > 1.05 * std::min(length_a, length_b) + 1e-9) return false;
    }
    return true;
}

void tell(const RuleInput& input, const std::vector<const ParallelWay*>& ways,
          const std::vector<Device>& devices, Report& report) {
    const bool same = std::all_of(devices.begin(), devices.end(), [&](const Device& each) {
        return each.rated_A == devices.front().rated_A && each.rated_A > 0;
    });
    const bool equal = same && std::all_of(ways.begin(), ways.end(), [&](const ParallelWay* way) {
                           return equal_wires(input, *way, *ways.front());
                       });
    Finding finding = finding_about(input, "parallel-devices", equal ? Severity::note : Severity::warning,
                                    devices.front().part);
    std::string names, sum;
    for (std::size_t i = 0; i < devices.size(); ++i) {
        names += (i == 0                    ? ""
                  : i + 1 == devices.size() ? " and "
                                            : ", ") +
                 std::string(input.harness.part(devices[i].part).name);
        sum += (i ? " + " : "") + amps(devices[i].rated_A);
        if (i)
            finding.related.push_back({input.harness.part(devices[i].part).where,
                                       named(input.harness, devices[i].part) + " is here"});
    }
    finding.message = names + " lie side by side" + (same ? "" : " and are not equal");
    finding.beside = sum + " do not add up";
    finding.working = {"they share by their resistances and those of their wires, not by their ratings",
                       "what they break together is proven by no test of one of them"};
    for (const Device& each : devices) finding.figures.push_back({"rated", each.rated_A, Dimension::current});
    finding.source = equal ? "IEC 60364-4-43 433.4, 434.4 (memory)" : "NFPA 70 240.8 (memory)";
    finding.help = equal
                       ? "if one opens, the others have it all: joints that stay alike, or one larger device"
                       : "one device of the rating that the circuit needs";
    report.add(std::move(finding));
}

void tell_joined(const RuleInput& input, const std::vector<Device>& devices, Report& report) {
    Finding finding = finding_about(input, "parallel-devices", Severity::warning, devices.front().part);
    std::string names, sum;
    for (const Device& each : devices) {
        const std::string name(input.harness.part(each.part).name);
        names += (names.empty() ? "" : &each == &devices.back() ? " and " : ", ") + name;
        sum += (sum.empty() ? "" : " + ") + amps(each.rated_A);
        if (&each == &devices.front()) continue;
        finding.related.push_back(
            {input.harness.part(each.part).where, named(input.harness, each.part) + " is here"});
    }
    finding.message = names + " are joined at both ends";
    finding.beside = "what hangs behind one of them has both: " + sum;
    finding.working = {"each lead behind them is fed through all of them, and is guarded by none alone",
                       "what hangs behind one that is drawn stays live"};
    for (const Device& each : devices) finding.figures.push_back({"rated", each.rated_A, Dimension::current});
    finding.source = "NFPA 70 240.8 (memory)";
    finding.help = "part what joins them behind the devices, or feed it through one device";
    report.add(std::move(finding));
}

// Devices that nothing but wires, joints and plugs join at both ends, with loads of their own between.
void judge_joined(const RuleInput& input, const std::set<PartId>& told, Report& report) {
    const Circuit& circuit = input.circuit;
    DisjointSets plain(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (edge.wire || edge.role == EdgeRole::joint || edge.role == EdgeRole::contact)
            plain.join(edge.from.index(), edge.to.index());
    std::map<std::pair<std::size_t, std::size_t>, std::vector<Device>> groups;
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker) continue;
        const std::size_t a = plain.find(edge.from.index()), b = plain.find(edge.to.index());
        if (a == b || told.contains(edge.part)) continue;
        const auto rated = input.facts.quantity(edge.part, "(rated-current)"_attr);
        groups[std::minmax(a, b)].push_back({edge.part, rated ? rated->hi : 0});
    }
    for (auto& [ends, devices] : groups) {
        if (devices.size() < 2) continue;
        std::sort(devices.begin(), devices.end(), [&](const Device& a, const Device& b) {
            return input.harness.part(a.part).name < input.harness.part(b.part).name;
        });
        tell_joined(input, devices, report);
    }
}

// Whether contacts can close both at the same time: not those at the two throws of a change-over contact.
bool lie_together(const ContactWays& contacts, const ParallelWay& a, const ParallelWay& b) {
    return std::all_of(a.edges.begin(), a.edges.end(), [&](EdgeId one) {
        return std::all_of(b.edges.begin(), b.edges.end(),
                           [&](EdgeId other) { return contacts.together(one, other); });
    });
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> told;
    const ContactWays contacts = Positions(input.circuit).ways();
    for (const auto& group : parallel_ways(input.circuit)) {
        std::vector<const ParallelWay*> ways;
        std::vector<Device> devices;
        for (const ParallelWay& way : group) {
            const bool beside_another =
                std::any_of(group.begin(), group.end(), [&](const ParallelWay& other) {
                    return &other != &way && device_of(input, other) && lie_together(contacts, way, other);
                });
            if (const auto device = beside_another ? device_of(input, way) : std::nullopt) {
                ways.push_back(&way);
                devices.push_back(*device);
            }
        }
        if (devices.size() < 2) continue;
        tell(input, ways, devices, report);
        for (const Device& each : devices) told.insert(each.part);
    }
    judge_joined(input, told, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::parallel_devices
