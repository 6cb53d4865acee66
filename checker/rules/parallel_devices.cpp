// Fuses and breakers side by side. They share by resistance, so that the ratings do not add up; the smaller
// one opens first, and the other has it all at once; and what they break together nobody has tested.
#include <algorithm>
#include <map>

#include "checker/circuit/parallel_ways.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
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
     "closed; ways that part and meet again at other parts are not seen as side by side",
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

void run(const RuleInput& input, Report& report) {
    for (const auto& group : parallel_ways(input.circuit)) {
        std::vector<const ParallelWay*> ways;
        std::vector<Device> devices;
        for (const ParallelWay& way : group)
            if (const auto device = device_of(input, way)) {
                ways.push_back(&way);
                devices.push_back(*device);
            }
        if (devices.size() > 1) tell(input, ways, devices, report);
    }
}

}  // namespace

extern const RuleFamily parallel_devices;
const RuleFamily parallel_devices{infos, run};

}  // namespace loomward::rules
