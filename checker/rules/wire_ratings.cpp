// Wires against their published ampacity, in every mode.
//
// The current of a wire is the continuous one that would heat it as its mode does (checker/loading). The
// limit is the table's at the hottest ambient, for its insulation, wrap and the loaded conductors beside it
// (checker/tables).
#include "checker/heat/wire_temperatures.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::wire_ratings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overloaded-wire",
     "a wire that carries more, over one of the modes, than its size and insulation may carry where it lies",
     "I_equivalent <= I_table x k_ambient x k_grouping x k_wrap; I_equivalent = Iz sqrt(peak heating of a "
     "first-order "
     "model with tau = k2 S2 / Iz2)",
     "33 CFR 183.425 Table 5; IEC 60364-5-52 Table B.52.17; NFPA 70 310.16; IEC 60255-149",
     "sizes between the tables are interpolated; still air at the hottest ambient; a model of one time "
     "constant",
     "(W2 2.5 mm2, 0.2 m, red)", "(W2 16 mm2, 0.2 m, red)"},
};

std::string settles_at(const WireTemperature& heat) {
    const auto degC = [](double value) { return to_text(value, Dimension::temperature); };
    return (heat.settles ? "settles at " + degC(heat.hottest_degC)
                         : "settles nowhere below " + degC(heat.hottest_degC)) +
           " in air of " + degC(heat.ambient_degC) +
           (heat.beside > 1 ? ", " + std::to_string(heat.beside) + " conductors together" : "") +
           "; may get " + degC(heat.limit_degC);
}

std::string peak_text(const WireLoading& loading) {
    if (loading.peak_A < loading.current_A * 1.01) return amps(loading.current_A);
    return amps(loading.current_A) + " over the cycle (" + amps(loading.peak_A) + " at its peak)";
}

void report_wire(const RuleInput& input, const std::vector<Course>& courses, WireId id,
                 const WireTemperature& heat, Report& report) {
    const WireLoading& loading = input.wires[id.index()];
    const Wire& wire = input.harness.wire(id);
    Finding finding = finding_about(input, "overloaded-wire", Severity::error, id);
    finding.message = named(input.harness, id) + " carries more than it may";
    finding.beside = peak_text(loading) + "; may carry " + amps(loading.limit_A) + " here";
    const double limit_degC = conductor_limit_degC(input.facts, id);
    const Ampacity limit = ampacity(wire.area.lo, limit_degC, wire.aluminium, loading.surroundings);
    finding.working = {
        peak_text(loading) + " > " + amps(loading.limit_A),
        amps(limit.current_A) + " = " + limit.working +
            (wire.parallel > 1 ? ", times " + std::to_string(wire.parallel) + " in parallel" : "")};
    if (heat.judged) finding.working.push_back("by heat balance it " + settles_at(heat));
    finding.figures = {{"current", loading.current_A, Dimension::current},
                       {"limit", loading.limit_A, Dimension::current}};
    finding.source = limit.source;
    for (const Course& course : courses)
        if (course.mode == loading.mode && course.corner == loading.corner) {
            const EdgeId edge = input.circuit.edge_of_wire[id.index()];
            witnessed(input, finding, *peak_of(course, edge).point, edge);
        }
    const bool awg = wire.awg;
    const std::string size = smallest_size(loading.current_A / wire.parallel, limit_degC, wire.aluminium,
                                           loading.surroundings, awg);
    if (!size.empty()) finding.help = size + " or larger would carry it here";
    if (const auto area = quantity_from_text(size))
        finding.cures = {at_least(input.harness, id, "(area)"_attr, area->lo, Dimension::area)};
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    std::vector<WireId> overloaded;
    for (std::size_t i = 0; i < input.wires.size(); ++i) {
        const WireLoading& loading = input.wires[i];
        const bool sized = input.harness.wires[i].area.is_known();
        // An ambient at the insulation's own limit leaves nothing to carry.
        if (sized && loading.mode && above(loading.current_A, loading.limit_A) && loading.current_A > 1e-3)
            overloaded.emplace_back(i);
    }
    if (overloaded.empty()) return;
    const std::vector<Course> courses = usable_courses(input.points);
    const std::vector<WireTemperature> heat = wire_temperatures(input.circuit, input.facts, input.points);
    for (const WireId id : overloaded) report_wire(input, courses, id, heat[id.index()], report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::wire_ratings
