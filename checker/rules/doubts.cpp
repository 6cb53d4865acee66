// What the text itself says is in doubt: told where it stands, so that it reaches the papers.
#include <set>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules::doubts {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"doubt", "a part, wire or place of which the text says that what is known of it contradicts itself", "-",
     "the text", "judged is the value that is written beside it; the doubt alone is told",
     "load H2 { 48 V, 10 W, doubt \"the order says 10 W, its label 21 W\"", "load H2 { 48 V, 10 W"},
};

class Doubts {
  public:
    Doubts(const RuleInput& input, Report& report) : input_(input), report_(report) {}

    void look() {
        const Harness& harness = input_.harness;
        Finding whole;
        whole.where = harness.where;
        tell(harness.attributes, whole, "the harness");
        for (std::size_t i = 0; i < harness.parts.size(); ++i)
            tell(harness.parts[i].attributes, finding_about(input_, "doubt", Severity::note, PartId(i)),
                 named(harness, PartId(i)));
        for (std::size_t i = 0; i < harness.wires.size(); ++i)
            tell(harness.wires[i].attributes, finding_about(input_, "doubt", Severity::note, WireId(i)),
                 named(harness, WireId(i)));
        for (const Bundle& each : harness.bundles) tell_place(each.attributes, "bundle", each.name);
        for (const Location& each : harness.locations) tell_place(each.attributes, "location", each.name);
        for (const Stretch& each : harness.stretches) tell_place(each.attributes, "stretch", each.name);
    }

  private:
    void tell_place(Slice attributes, std::string_view word, std::string_view name) {
        Finding begun;
        begun.subject = name;
        tell(attributes, begun, std::string(word) + " " + std::string(name));
    }
    void tell(Slice attributes, const Finding& begun, const std::string& of) {
        for (const Attribute& attribute : input_.harness.attributes_of(attributes)) {
            if (attribute.name != "doubt"_attr) continue;
            // Every core of a cable has what the cable says.
            if (begun.wire && input_.harness.wire(begun.wire).cable && !told_.insert(attribute.where).second)
                continue;
            Finding finding = begun;
            finding.rule = "doubt";
            finding.severity = Severity::note;
            finding.where = attribute.where;
            finding.message =
                of + " is in doubt: " + std::string(input_.harness.values_of(attribute).front().text);
            finding.beside = "to be found out";
            finding.source = "the text";
            finding.help = "look at it, write down what it is, and take the doubt out";
            report_.add(std::move(finding));
        }
    }

    const RuleInput& input_;
    Report& report_;
    std::set<Span> told_;  // of cables
};

void run(const RuleInput& input, Report& report) {
    Doubts(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::doubts
