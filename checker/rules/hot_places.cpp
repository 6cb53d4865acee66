// Insulation and connectors in a place that gets hotter than they stand, whether they carry anything or not.
#include <algorithm>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::hot_places {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"hot-place",
     "a wire or connector that lies or ends in a place that gets hotter than its insulation or its contacts "
     "stand, even if it carries nothing",
     "hottest ambient <= largest temperature of the insulation; of a connector: <= limit",
     "rating of the wire or part",
     "the ambients of its bundles, of the places that it ends in, of the modes and of the harness; what "
     "radiates at it without warming the air is not known",
     "harness \"Workshop hoist\" { ambient 0..95 degC", "harness \"Workshop hoist\" { ambient 0..40 degC"},
};

struct Hot {
    double ambient_degC = 0;
    bool warmed = false;  // by what is lost in that place
    std::string where;    // "location stove"; empty: all of the harness
    Span span;
};

void hotter(std::optional<Hot>& worst, const Hot& here) {
    if (!worst || here.ambient_degC > worst->ambient_degC) worst = here;
}

// Hottest ambient of a location, where it says one.
void of_location(const RuleInput& input, LocationId id, std::optional<Hot>& worst) {
    if (!id) return;
    const Location& location = input.harness.locations[id.index()];
    const Value ambient = input.harness.value(location.attributes, "ambient"_attr);
    if (ambient.present() && ambient.known != Knowledge::unknown)
        hotter(worst, {ambient.hi, false, "location " + std::string(location.name), location.where});
    for (const WarmBox& box : input.boxes)
        if (box.location == id && box.inside_degC > box.around_degC)
            hotter(worst, {box.inside_degC, true, "location " + std::string(location.name), location.where});
}

// Of the harness and its modes, for what lies in no place of its own.
void of_harness(const RuleInput& input, std::optional<Hot>& worst) {
    const Value ambient = input.harness.value(input.harness.attributes, "ambient"_attr);
    if (ambient.present() && ambient.known != Knowledge::unknown) hotter(worst, {ambient.hi, false, "", {}});
    for (const Mode& mode : input.harness.modes)
        if (mode.ambient && mode.ambient->is_known())
            hotter(worst, {mode.ambient->hi, false, "mode " + std::string(mode.name), mode.where});
}

std::optional<Hot> hottest(const RuleInput& input, WireId id) {
    std::optional<Hot> worst;
    bool placed = false;
    for (const BundleId lay : input.harness.wire(id).bundles) {
        if (!lay) continue;
        const Bundle& bundle = input.harness.bundles[lay.index()];
        of_location(input, bundle.location, worst);
        const Value ambient = input.harness.value(bundle.attributes, "ambient"_attr);
        if (ambient.present() && ambient.known != Knowledge::unknown)
            hotter(worst, {ambient.hi, false, "bundle " + std::string(bundle.name), bundle.where});
        placed = placed || worst.has_value();
    }
    if (!placed) of_harness(input, worst);
    for (const TerminalId end : {input.harness.wire(id).from, input.harness.wire(id).to})
        of_location(input, input.harness.part(input.harness.terminal(end).part).location, worst);
    return worst;
}
std::optional<Hot> hottest(const RuleInput& input, PartId id) {
    std::optional<Hot> worst;
    of_location(input, input.harness.part(id).location, worst);
    if (!worst) of_harness(input, worst);
    return worst;
}

void tell(Finding finding, const std::string& who, double limit_degC, const std::string& limit_name,
          const Hot& hot, Report& report) {
    const auto degrees = [](double value) { return to_text(value, Dimension::temperature); };
    finding.message = who + " is in a place that gets hotter than it stands";
    finding.beside = "up to " + degrees(hot.ambient_degC) + (hot.where.empty() ? "" : " in " + hot.where) +
                     "; stands " + degrees(limit_degC);
    finding.working = {
        degrees(hot.ambient_degC) + " > " + degrees(limit_degC) + " (" + limit_name +
        (hot.warmed ? "), warmed by what is lost in that place" : "), before any current warms it")};
    finding.figures = {{"ambient", hot.ambient_degC, Dimension::temperature},
                       {"limit", limit_degC, Dimension::temperature}};
    finding.source = "rating of the wire or part";
    if (hot.span.valid()) finding.related.push_back({hot.span, hot.where + " is here"});
    finding.help = "one that stands " + degrees(hot.ambient_degC) + " and more, or a way round this place";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        const Wire& wire = input.harness.wires[i];
        const auto hot = hottest(input, WireId(i));
        const double limit_degC = conductor_limit_degC(input.facts, WireId(i));
        if (!hot || !above(hot->ambient_degC, limit_degC)) continue;
        const std::string assumed = wire.insulation_known == Knowledge::assumed ? ", assumed" : "";
        tell(finding_about(input, "hot-place", Severity::error, WireId(i)), named(input.harness, WireId(i)),
             limit_degC, "insulation" + assumed, *hot, report);
    }
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        if (input.harness.parts[i].kind != Kind::connector) continue;
        const auto limit = input.facts.quantity(PartId(i), "limit"_attr);
        const auto hot = hottest(input, PartId(i));
        if (!limit || !hot || !above(hot->ambient_degC, limit->lo)) continue;
        tell(finding_about(input, "hot-place", Severity::error, PartId(i)), named(input.harness, PartId(i)),
             limit->lo, "limit", *hot, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::hot_places
