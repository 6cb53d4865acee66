// Insulation that stands little heat beside conductors that may get hot: a sensor lead taped to phase leads.
#include <algorithm>
#include <vector>

#include "checker/heat/wire_temperatures.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::insulation_mixed {
namespace {

constexpr RuleInfo infos[] = {
    {"insulation-mixed",
     "a wire that carries next to nothing and lies in a bundle with others that get hotter than its "
     "insulation stands",
     "temperature of the wire by the heat balance of its bundle <= limit of its insulation; as a note, "
     "temperature of the hottest conductor beside it",
     "IEC 60364-5-52 523.5, NFPA 70 310.14(A)(3) (memory): conductors together are held to the lowest limit "
     "of their insulations; heat balance of the bundle (docs/heat.md)",
     "wires that lose a tenth of the hottest one's heat or less; the others are held to their ampacity "
     "(overloaded-wire); of the cores of a cable the hottest is told; by the steady state of a mode, in "
     "bundles whose members all have a known size",
     "bundle L9 { wrap taped, length 0.5 m }\n"
     "load H9 { 48 V, 70 A, acts-as current, works 30..60 V }\n"
     "load H8 { 48 V, 0.1 A, acts-as current, works 30..60 V }\n"
     "route F1.out (W30 10 mm2, 0.6 m, red, insulation silicone 180 degC, in L9) H9 (W31 10 mm2, 0.6 m, "
     "black, "
     "insulation silicone 180 degC, in L9) Q1.P-\n"
     "route F2.out (W32 0.5 mm2, 0.6 m, red, insulation pvc 70 degC, in L9) H8 (W33 0.5 mm2, 0.6 m, black) "
     "Q1.P-\nsplice X1",
     "splice X1"},
};

void tell(const RuleInput& input, const WarmedWire& warmed, bool surely, Report& report) {
    const std::string hot = named(input.harness, warmed.hottest);
    Finding finding =
        finding_about(input, "insulation-mixed", surely ? Severity::warning : Severity::note, warmed.wire);
    finding.message = named(input.harness, warmed.wire) +
                      (surely ? " gets hotter beside " : " may get hotter beside ") + hot +
                      " than its insulation stands";
    finding.beside =
        degrees(surely ? warmed.least_degC : warmed.most_degC) + "; stands " + degrees(warmed.limit_degC);
    const std::string settles = warmed.settles ? "settles at " : "settles nowhere below ";
    finding.working = {
        degrees(surely ? warmed.least_degC : warmed.most_degC) + " > " + degrees(warmed.limit_degC) +
            (surely ? " (insulation), where it lies outermost" : " (insulation), where it lies against it"),
        hot + " " + settles + degrees(warmed.most_degC) + " with " + amps(warmed.hottest_A) + " in air of " +
            degrees(warmed.ambient_degC) + ", " + std::to_string(warmed.beside) + " conductors together"};
    finding.figures = {{"temperature", surely ? warmed.least_degC : warmed.most_degC, Dimension::temperature},
                       {"limit", warmed.limit_degC, Dimension::temperature}};
    finding.source = "IEC 60364-5-52 523.5 (memory); heat balance (docs/heat.md)";
    finding.mode = warmed.mode;
    finding.corner = warmed.corner;
    finding.related.push_back({input.harness.wire(warmed.hottest).where, hot + " is here"});
    finding.help = "insulation that stands " + degrees(warmed.most_degC) +
                   " and more, or a way of its own, apart from " + hot;
    report.add(std::move(finding));
}

// Of the cores of a cable the hottest speaks for all.
std::vector<WarmedWire> told_once(const RuleInput& input) {
    std::vector<WarmedWire> all = warmed_wires(input.circuit, input.facts, input.points);
    for (const Cable& cable : input.harness.cables) {
        const auto is_core = [&](const WarmedWire& each) {
            return std::find(cable.cores.begin(), cable.cores.end(), each.wire) != cable.cores.end();
        };
        const WarmedWire* hottest = nullptr;
        for (const WarmedWire& each : all)
            if (is_core(each) && (!hottest || each.least_degC > hottest->least_degC)) hottest = &each;
        if (!hottest) continue;
        const WireId kept = hottest->wire;
        std::erase_if(all, [&](const WarmedWire& each) { return is_core(each) && each.wire != kept; });
    }
    return all;
}

void run(const RuleInput& input, Report& report) {
    for (const WarmedWire& each : told_once(input)) {
        // An ambient above its limit is another rule's, and what the hot one's own insulation bears as little
        // is held to its ampacity.
        if (above(each.ambient_degC, each.limit_degC) ||
            !above(conductor_limit_degC(input.facts, each.hottest), each.limit_degC))
            continue;
        const bool surely = above(each.least_degC, each.limit_degC);
        if (surely || above(each.most_degC, each.limit_degC)) tell(input, each, surely, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::insulation_mixed
