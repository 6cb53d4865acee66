// Parts fed the wrong way round.
#include <cmath>

#include "checker/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"reversed",
     "a part with poles whose minus stands above its plus in some mode, or a pack charged backwards through "
     "another",
     "U(+) - U(-) >= -0.5 V", "Kirchhoff's laws",
     "lamps and heaters without electronics may not mind; the poles are stated, so it is said",
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
            report.add(std::move(finding));
            break;
        }
    }
}

}  // namespace

extern const RuleFamily polarity;
const RuleFamily polarity{infos, run};

}  // namespace loomward::rules
