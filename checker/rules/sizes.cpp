// Wires against the cross-sections their terminals take.
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"size-mismatch", "a wire that is thicker or thinner than the contact or clamp it ends in takes",
     "takes.smallest <= S x parallel <= takes.largest", "rating of the part",
     "AWG sizes are compared by their area, with 3 % of grace", "takes 4..10 mm2", "takes 10..16 mm2"},
};

// What this terminal takes: the contact's own line, else the part's.
std::optional<Quantity> takes(const RuleInput& input, const Terminal& terminal) {
    const Part& part = input.harness.part(terminal.part);
    for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
        if (attribute.name != "contact"_attr) continue;
        const auto values = input.harness.values_of(attribute);
        const bool this_one = values[0].text == terminal.role || values[0].text == terminal.name;
        if (this_one && values[2].present() && values[2].known != Knowledge::unknown)
            return values[2].quantity();
    }
    const Value value = input.harness.value(part.attributes, "takes"_attr);
    if (!value.present() || value.known == Knowledge::unknown) return std::nullopt;
    return value.quantity();
}

void judge(const RuleInput& input, WireId id, TerminalId at, Report& report) {
    const Wire& wire = input.harness.wire(id);
    const Terminal& terminal = input.harness.terminal(at);
    const std::optional<Quantity> range = takes(input, terminal);
    if (!range) return;
    const double area_mm2 = wire.area.hi * wire.parallel;
    if (area_mm2 >= range->lo * 0.97 && area_mm2 <= range->hi * 1.03) return;
    const bool thick = area_mm2 > range->hi;
    Finding finding = finding_about(input, "size-mismatch", Severity::error, id);
    finding.message = named(input.harness, id) + " is too " + (thick ? "thick" : "thin") + " for " +
                      std::string(terminal.path);
    const std::string size = wire.parallel > 1
                                 ? std::to_string(wire.parallel) + " x " + std::string(wire.size_text)
                                 : std::string(wire.size_text);
    finding.beside = size + "; it takes " + to_text(*range);
    finding.working = {
        to_text(area_mm2, Dimension::area) +
        (thick ? " > " + to_text(range->hi, Dimension::area) : " < " + to_text(range->lo, Dimension::area))};
    finding.figures = {{"area", area_mm2, Dimension::area}};
    finding.source = "rating of the part";
    finding.related.push_back(
        {input.harness.part(terminal.part).where, named(input.harness, terminal.part) + " is here"});
    finding.help =
        thick ? "a contact that takes " + to_text(area_mm2, Dimension::area) +
                    ", or a thinner wire if it carries the current"
              : "a wire of " + to_text(range->lo, Dimension::area) + " or more, or a contact for thin wires";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        const Wire& wire = input.harness.wires[i];
        if (!wire.area.is_known()) continue;
        judge(input, WireId(i), wire.from, report);
        judge(input, WireId(i), wire.to, report);
    }
}

}  // namespace

extern const RuleFamily sizes;
const RuleFamily sizes{infos, run};

}  // namespace loomward::rules
