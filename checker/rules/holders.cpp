// Fuses larger than the way of the fuse block that they sit in: the way gets hot and nothing opens.
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::holders {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"fuse-above-holder",
     "a fuse whose rated current is above what the way of the fuse block that it sits in may carry",
     "rated current <= way-carries", "common practice, no source",
     "only fuses that say which way they sit in (holder); what the way carries in a mode is another rule",
     "splice X1\nfuse-block X9 { ways 1, feed common, carries 60 A, way-carries 4 A }\n"
     "fuse F9 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3, holder X9.1 }\n"
     "route F1.out (W30 16 mm2, 0.1 m, red) X9.in\nload H9 { 48 V, 2 A, works 30..60 V }\n"
     "route F9.out (W31 1 mm2, 0.5 m, red) H9 (W32 1 mm2, 0.5 m, black) Q1.P-",
     "splice X1"},
};

void judge(const RuleInput& input, PartId fuse, PartId block, Report& report) {
    const auto rated = input.facts.quantity(fuse, "(rated-current)"_attr);
    const auto way = input.facts.quantity(block, "way-carries"_attr);
    if (!rated || !way || !above(rated->hi, way->lo)) return;
    const std::string where(input.harness.value(input.harness.part(fuse).attributes, "holder"_attr).text);
    Finding finding = finding_about(input, "fuse-above-holder", Severity::warning, fuse);
    finding.message = named(input.harness, fuse) + " is larger than the way it sits in";
    finding.beside = amps(rated->hi) + "; " + where + " may carry " + amps(way->lo);
    finding.working = {amps(rated->hi) + " > " + amps(way->lo) + " (way-carries of " +
                       named(input.harness, block) + ")"};
    finding.figures = {{"rated", rated->hi, Dimension::current}, {"limit", way->lo, Dimension::current}};
    finding.source = "common practice, no source; ratings of both parts";
    finding.related.push_back({input.harness.part(block).where, named(input.harness, block) + " is here"});
    finding.help = "a fuse of " + amps(way->lo) + " or less, or a holder of its own";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const Holders holders(input.harness);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (const PartId block = holders.of(PartId(i))) judge(input, PartId(i), block, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::holders
