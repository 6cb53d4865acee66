// Terminals that are said to be left empty on purpose, and that something is wired to.
#include <algorithm>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules::spare_terminals {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"spare-wired", "a terminal that is said to be spare and that a wire or a part lands on",
     "no wire and no joint on a spare terminal", "the file itself",
     "one of the two lines is wrong; which one is not known", "fuse F2 { spare out, 5 A", "fuse F2 { 5 A"},
};

std::string at(const RuleInput& input, TerminalId id) {
    return std::string(input.harness.terminal(id).path);
}

void tell(const RuleInput& input, TerminalId spare, const std::string& lands, Span where, Report& report) {
    const PartId part = input.harness.terminal(spare).part;
    Finding finding = finding_about(input, "spare-wired", Severity::warning, part);
    finding.subject = at(input, spare);
    const Attribute* line = input.harness.find(input.harness.part(part).attributes, "spare"_attr);
    if (line && line->where.valid() && input.harness.part(part).type.empty()) finding.where = line->where;
    finding.message = at(input, spare) + " is said to be spare, and " + lands + " lands on it";
    finding.beside = "one of the two lines is wrong";
    finding.working = {"spare " + std::string(input.harness.terminal(spare).name) + " of " +
                       named(input.harness, part) + ", and " + lands};
    finding.source = "the file itself";
    finding.related.push_back({where, lands + " is here"});
    finding.help = "take the terminal off the list of spare ones, or wire it elsewhere";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    std::vector<bool> spare(input.harness.terminals.size(), false);
    bool any = false;
    for (const Part& part : input.harness.parts)
        for (const TerminalId terminal : input.harness.joined(part.spares))
            spare[terminal.index()] = any = true;
    if (!any) return;
    std::vector<bool> told(spare.size(), false);
    const auto look = [&](TerminalId id, const std::string& lands, Span where) {
        if (!spare[id.index()] || told[id.index()]) return;
        told[id.index()] = true;
        tell(input, id, lands, where, report);
    };
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i)
        for (const TerminalId end : {input.harness.wires[i].from, input.harness.wires[i].to})
            look(end, named(input.harness, WireId(i)), input.harness.wires[i].where);
    for (const Joint& joint : input.harness.joints) {
        look(joint.a, at(input, joint.b), joint.where);
        look(joint.b, at(input, joint.a), joint.where);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::spare_terminals
