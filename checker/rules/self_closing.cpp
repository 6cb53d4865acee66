// Breakers and protectors that close again by themselves.
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::self_closing {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"self-closing-breaker",
     "a breaker or protector that closes again by itself: it feeds a short circuit again and again, and "
     "starts a machine "
     "that somebody has his hands in",
     "reset hand, or power-off", "33 CFR 183.455(a): manually reset, trip-free (memory)",
     "one that does not say how it closes again counts as one that does so by itself",
     "splice X1\nbreaker F9 { 5 A, 80 V dc, breaks 5 kA at 80 V dc, curve iec60898-b, reset itself }\n"
     "load H9 { 48 V, 2 A, works 30..60 V }\n"
     "route F1.out (direct) F9 (W31 1 mm2, 0.5 m, red) H9 (W32 1 mm2, 0.5 m, black) Q1.P-",
     "splice X1"},
};

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Kind kind = input.harness.parts[i].kind;
        if (kind != Kind::breaker && kind != Kind::protector) continue;
        const Value said = input.harness.value(input.harness.parts[i].attributes, "reset"_attr);
        const bool known = said.present() && said.known != Knowledge::unknown;
        const std::string_view reset = known ? said.text : "itself";
        if (!known) (void)input.facts.word(PartId(i), "reset"_attr);  // on the list of assumptions
        if (reset != "itself") continue;
        Finding finding = finding_about(input, "self-closing-breaker", Severity::warning, PartId(i));
        finding.message = named(input.harness, PartId(i)) +
                          (known ? " closes again by itself" : " may close again by itself: nobody says how");
        finding.beside = known ? "reset itself" : "reset not stated";
        finding.working = {"after it has opened it closes onto the same fault, or restarts what it fed"};
        finding.possible = !known;
        if (!known) {
            finding.working.push_back("rests on an assumption: reset itself, the safe side");
            finding.hangs_on.push_back({finding.subject, "reset", {}});
        }
        finding.source = "33 CFR 183.455(a): manually reset, trip-free (memory)";
        finding.help = known ? "one that is reset by hand, or a fuse" : "state it: reset hand";
        report.add(std::move(finding));
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::self_closing
