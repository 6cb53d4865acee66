// Places that what is in them makes hotter than they, or a part in them, may get.
#include <algorithm>
#include <cmath>
#include <optional>

#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::overheated_boxes {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overheated-box",
     "a location whose air gets hotter than it may, or than a part in it stands, in some mode",
     "T <= highest-ambient; T = ambient + sum of losses x thermal resistance, or by size, wall and vents; "
     "losses: input x (1 - efficiency), I^2 R, U I of coils, contacts, wires",
     "rating of the part; natural convection on walls: Churchill and Chu (1975), vents: ASHRAE Fundamentals "
     "1997 chapter 25, effective area: VDE 0660 part 500 (secondary)",
     "one temperature for all the air in a place, the top is hotter; what is estimated by size is good to a "
     "quarter; no sun; a course counts with a time constant of 10 min (no source); what says neither losses "
     "nor efficiency counts with what is usual",
     "location tray { ambient 0..40 degC, thermal-resistance 10 K/W }\n"
     "converter D1 { at tray, highest-ambient 50 degC, input 30..60 V,",
     "converter D1 { input 30..60 V,"},
};

constexpr std::size_t most_sources = 5;

// The hottest air of a place, with the box it is in where it is one.
struct HottestAir {
    double degC = 0;
    ModeId mode;
    const WarmBox* box = nullptr;  // null: the place says nothing of its heat, or nothing is lost in it
};

std::string_view mode_name(const RuleInput& input, ModeId mode) {
    return mode ? input.harness.modes[mode.index()].name : std::string_view();
}

// Equals by the name of their mode, so that the order of writing means nothing.
void take_hotter(const RuleInput& input, std::optional<HottestAir>& worst, const HottestAir& now) {
    constexpr double as_good_as_equal_K = 1e-6;
    const double more_K = worst ? now.degC - worst->degC : 1;
    if (more_K > as_good_as_equal_K ||
        (more_K >= -as_good_as_equal_K && mode_name(input, now.mode) < mode_name(input, worst->mode)))
        worst = now;
}

HottestAir air_of(const RuleInput& input, LocationId location) {
    std::optional<HottestAir> worst;
    for (const WarmBox& box : input.boxes)
        if (box.location == location && box.path != HeatPath::unknown && box.losses_W > 0)
            take_hotter(input, worst, {box.inside_degC, box.mode, &box});
    const double around_degC = input.facts.around(location).hi;
    return worst && worst->degC >= around_degC ? *worst : HottestAir{around_degC, {}, nullptr};
}

HottestAir air_of(const RuleInput& input, PartId part) {
    if (const LocationId location = input.harness.part(part).location) return air_of(input, location);
    std::optional<HottestAir> worst;
    take_hotter(input, worst, {input.facts.ambient(part).hi, {}, nullptr});
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i)
        if (const double degC = input.facts.ambient(part, ModeId(i)).hi; degC > worst->degC + 1e-6)
            take_hotter(input, worst, {degC, ModeId(i), nullptr});
    return *worst;
}

void add_sources(const RuleInput& input, const WarmBox& box, std::vector<std::string>& lines) {
    double rest_W = 0;
    std::size_t rest = 0;
    for (std::size_t i = 0; i < box.sources.size(); ++i) {
        const HeatSource& source = box.sources[i];
        if (i >= most_sources) {
            rest_W += source.loss_W;
            ++rest;
            continue;
        }
        const std::string who =
            source.wire ? named(input.harness, source.wire) : named(input.harness, source.part);
        lines.push_back(who + " " + (source.working.empty() ? watts(source.loss_W) : source.working));
    }
    if (rest > 0) lines.push_back(std::to_string(rest) + " more, together " + watts(rest_W));
}

std::string what_passes(const HottestAir& air, double limit_degC) {
    const double room_K = air.box ? limit_degC - air.box->around_degC : 0;
    if (room_K <= 0)
        return "a place that stays below " + degrees(limit_degC) + ", or a part that stands more";
    if (air.box->path == HeatPath::stated)
        return to_text(rounded_down(room_K / air.box->losses_W), Dimension::thermal_resistance) +
               " or less would pass: vents, a larger or barer outside, a metal wall; or " +
               watts(rounded_down(room_K / air.box->resistance_K_W)) + " or less lost in it";
    return "a larger box, vents high and low, or less lost in it; measure it: half an hour at this load, "
           "and state thermal-resistance";
}

// Which losses nobody stated, where it would be within its limit without them.
void tell_taken(const WarmBox& box, double limit_degC, Finding& finding) {
    double taken_W = 0;
    for (const HeatSource& source : box.sources) taken_W += source.taken ? source.loss_W : 0;
    if (taken_W <= 0 || above(box.inside_degC - taken_W * box.resistance_K_W, limit_degC)) return;
    finding.working.emplace_back("it hangs on losses that nobody stated");
}

void tell(const RuleInput& input, Finding finding, LocationId location, const HottestAir& air,
          double limit_degC, Report& report) {
    finding.rule = "overheated-box";
    finding.mode = air.mode;
    finding.figures = {{"inside", air.degC, Dimension::temperature},
                       {"limit", limit_degC, Dimension::temperature}};
    if (air.box) {
        const WarmBox& box = *air.box;
        finding.working.push_back(degrees(air.degC) + " inside: " + watts(box.losses_W) + " x " +
                                  to_text(box.resistance_K_W, Dimension::thermal_resistance) + " above the " +
                                  degrees(box.around_degC) + " around it");
        if (!box.settles)
            finding.working.emplace_back("hotter than is followed: 400 degC stands for all above");
        add_sources(input, box, finding.working);
        finding.working.insert(finding.working.end(), box.working.begin(), box.working.end());
        finding.figures.push_back({"around", box.around_degC, Dimension::temperature});
        finding.figures.push_back({"losses", box.losses_W, Dimension::power});
        finding.corner = box.corner;
        tell_taken(box, limit_degC, finding);
    }
    finding.working.push_back(degrees(air.degC) + " > " + degrees(limit_degC) + " (highest-ambient)");
    finding.source = "rating of the part";
    if (air.box && !air.box->source.empty()) finding.source += "; " + air.box->source;
    if (location && finding.part) {
        const Location& place = input.harness.locations[location.index()];
        finding.related.push_back({place.where, "location " + std::string(place.name) + " is here"});
    }
    finding.help = what_passes(air, limit_degC);
    report.add(std::move(finding));
}

void judge_location(const RuleInput& input, LocationId id, Report& report) {
    const Location& location = input.harness.locations[id.index()];
    const Value limit = input.harness.value(location.attributes, "highest-ambient"_attr);
    if (!limit.present() || limit.known == Knowledge::unknown) return;
    const HottestAir air = air_of(input, id);
    if (!above(air.degC, limit.lo)) return;
    Finding finding;
    finding.severity = Severity::error;
    finding.subject = location.name;
    finding.where = location.where;
    finding.message = "location " + std::string(location.name) + " gets hotter inside than it may";
    finding.beside = degrees(air.degC) + " inside; may get " + degrees(limit.lo);
    tell(input, std::move(finding), id, air, limit.lo, report);
}

void judge_part(const RuleInput& input, PartId id, Report& report) {
    const auto limit = input.facts.quantity(id, "highest-ambient"_attr);
    if (!limit) return;
    const HottestAir air = air_of(input, id);
    if (!above(air.degC, limit->lo)) return;
    Finding finding = finding_about(input, "overheated-box", Severity::error, id);
    finding.message = "the air around " + named(input.harness, id) + " gets hotter than it stands";
    finding.beside = "air of " + degrees(air.degC) + "; stands " + degrees(limit->lo);
    tell(input, std::move(finding), input.harness.part(id).location, air, limit->lo, report);
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.locations.size(); ++i)
        judge_location(input, LocationId(i), report);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) judge_part(input, PartId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::overheated_boxes
