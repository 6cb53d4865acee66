// Parts fed the wrong way round.
#include <cmath>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"reversed",
     "a part with poles whose minus stands above its plus in some mode, or a pack charged backwards through "
     "another",
     "U(+) - U(-) >= -0.5 V", "Kirchhoff's laws",
     "lamps and heaters without electronics may not mind; the poles are stated, so it is said; a note for a "
     "load "
     "with a stall current, which is a motor, that another mode feeds the right way round",
     "red) H2.->+ (W14", "red) H2 (W14"},
};

bool has_poles(const RuleInput& input, const Edge& edge) {
    switch (edge.role) {
        case EdgeRole::load:
        case EdgeRole::controller:
        case EdgeRole::converter_input:
        case EdgeRole::supply_pin:
            return true;
        case EdgeRole::capacitor:
            return input.harness.part(edge.part).kind == Kind::capacitor;
        default:
            return false;
    }
}

// Whether some mode feeds it the way its poles say.
bool stands_right(const RuleInput& input, const Edge& edge) {
    for (const OperatingPoint& point : input.points)
        if (point.usable() && point.node_V[edge.from.index()] - point.node_V[edge.to.index()] >= 0.5)
            return true;
    return false;
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!has_poles(input, edge)) continue;
        for (const OperatingPoint& point : input.points) {
            // Poles stand the wrong way round in a mode whose loads cannot all be fed too; it may be why.
            const bool collapsed = point.status == SolveStatus::collapsed && !point.node_V.empty();
            if (!point.usable() && !(collapsed && point.contradictions.empty())) continue;
            const double across_V = point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
            if (across_V >= -0.5) continue;
            Finding finding = finding_about(input, "reversed", Severity::error, edge.part);
            finding.message = named(input.harness, edge.part) + " is connected the wrong way round";
            const auto path = [&](TerminalId terminal) {
                return std::string(input.harness.terminal(terminal).path);
            };
            finding.beside =
                path(edge.from_terminal) + " stands " + volts(-across_V) + " below " + path(edge.to_terminal);
            finding.working = {volts(across_V) + " from " + path(edge.from_terminal) + " to " +
                               path(edge.to_terminal)};
            finding.figures = {{"voltage", across_V, Dimension::voltage}};
            finding.source = "Kirchhoff's laws";
            finding.mode = point.mode;
            finding.corner = point.corner;
            finding.help = "exchange the wires at its two poles";
            if (edge.role == EdgeRole::load && stands_right(input, edge)) {
                const bool motor = input.facts.quantity(edge.part, "stall"_attr).has_value();
                if (motor) {
                    finding.severity = Severity::note;
                    finding.message = named(input.harness, edge.part) + " is fed either way round";
                    finding.help = "nothing, if it is a motor that is meant to run both ways";
                } else {
                    finding.help += "; a motor that is meant to run both ways says its stall current";
                }
            }
            report.add(std::move(finding));
            break;
        }
    }
}

}  // namespace

extern const RuleFamily polarity;
const RuleFamily polarity{infos, run};

}  // namespace loomward::rules
