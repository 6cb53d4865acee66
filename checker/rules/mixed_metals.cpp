// Aluminium conductors where they meet copper, and the joints that are made for one metal only.
#include <algorithm>
#include <map>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules::mixed_metals {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"mixed-metals",
     "a splice in which an aluminium conductor meets a copper one, or that is soldered to aluminium; a wire "
     "of "
     "aluminium in a terminal that may be made for copper only",
     "one metal in a joint, or a joint made for both", "NFPA 70 110.14 (memory); common practice, no source",
     "the language cannot say that a joint is made for both: accept the finding where it is; terminals are "
     "noted once a wire",
     "red) U1.+\nsplice X9 { method crimp }\nroute K1.out (W30 16 mm2, 0.2 m, red, material aluminium) X9 "
     "(W31 16 "
     "mm2, 0.2 m, red) U1.+",
     "red) U1.+"},
};

// Wires and joints between splices pass on what metal arrives: only the wires themselves count.
struct Meeting {
    std::vector<WireId> aluminium, copper;
};

void tell_splice(const RuleInput& input, PartId id, const Meeting& meets, Report& report) {
    const std::string_view method = input.facts.word(id, "method"_attr);
    const bool mixed = !meets.copper.empty();
    if (!mixed && method != "solder") return;
    Finding finding = finding_about(input, "mixed-metals", Severity::warning, id);
    finding.message = mixed ? named(input.harness, id) + " joins aluminium to copper"
                            : named(input.harness, id) + " is soldered to aluminium";
    finding.beside = method.empty() ? "method not stated" : std::string(method) + ", for one metal";
    finding.working = {mixed
                           ? "the two metals corrode where they touch, aluminium creeps under the clamp, and "
                             "the joint gets hot"
                           : "solder does not wet the oxide of aluminium"};
    finding.source = "NFPA 70 110.14 (memory)";
    for (const auto* wires : {&meets.aluminium, &meets.copper})
        for (const WireId wire : *wires)
            finding.related.push_back({input.harness.wire(wire).where,
                                       named(input.harness, wire) + " is of " +
                                           (input.harness.wire(wire).aluminium ? "aluminium" : "copper")});
    finding.help = "a joint made for both metals, or one metal throughout";
    report.add(std::move(finding));
}

void note_terminals(const RuleInput& input, WireId id, Report& report) {
    std::string ends;
    for (const TerminalId end : {input.harness.wire(id).from, input.harness.wire(id).to}) {
        const Kind kind = input.harness.part(input.harness.terminal(end).part).kind;
        if (kind == Kind::splice || kind == Kind::port) continue;
        ends += (ends.empty() ? "" : " and ") + std::string(input.harness.terminal(end).path);
    }
    if (ends.empty()) return;
    Finding finding = finding_about(input, "mixed-metals", Severity::note, id);
    finding.message = named(input.harness, id) + " is of aluminium and ends at " + ends;
    finding.beside = "terminals and lugs are made for copper unless they say otherwise";
    finding.working = {"aluminium in a terminal for copper creeps and corrodes, and the joint gets hot"};
    finding.source = "NFPA 70 110.14 (memory)";
    finding.help = "terminals and lugs that are marked for aluminium";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    std::map<PartId, Meeting> splices;
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        const Wire& wire = input.harness.wires[i];
        for (const TerminalId end : {wire.from, wire.to}) {
            const PartId part = input.harness.terminal(end).part;
            if (input.harness.part(part).kind != Kind::splice) continue;
            (wire.aluminium ? splices[part].aluminium : splices[part].copper).push_back(WireId(i));
        }
        if (wire.aluminium) note_terminals(input, WireId(i), report);
    }
    for (const auto& [splice, meets] : splices)
        if (!meets.aluminium.empty()) tell_splice(input, splice, meets, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::mixed_metals
