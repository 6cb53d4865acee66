// Candidates that change a figure: ratings, sizes, types, settings.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/mend/candidates.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/ampacity.hpp"

namespace loomward::mending {
namespace {

using namespace literals;

bool is_fuse(const Harness& harness, PartId part) {
    return part && (harness.part(part).kind == Kind::fuse || harness.part(part).kind == Kind::breaker);
}

// What is never bought for a finding: the dearest parts, and their figure may be a misreading.
bool is_for_sale(const Harness& harness, PartId part) {
    const Kind kind = harness.part(part).kind;
    return kind != Kind::pack && kind != Kind::bms && kind != Kind::motor;
}

std::span<const double> ladder_of(const Harness& harness, const Cure& cure) {
    if (cure.dimension == Dimension::voltage) return contact_voltages_V();
    if (is_fuse(harness, cure.part))
        return cure.what == "breaks"_attr ? breaking_capacities_A() : fuse_ratings_A();
    return contact_ratings_A();
}

double points_of_part(const Harness& harness, PartId part) {
    switch (harness.part(part).kind) {
        case Kind::fuse:
        case Kind::breaker:
            return 2;
        case Kind::connector:
            return 8;
        case Kind::converter:
        case Kind::charger:
        case Kind::load:
            return 12;
        default:
            return 7;
    }
}

double stated(const Harness& harness, const Cure& cure) {
    const Slice attributes = harness.part(cure.part).attributes;
    for (const std::size_t place : {std::size_t{0}, std::size_t{1}}) {
        const Value value = harness.value(attributes, cure.what, place);
        if (value.present() && value.dimension == cure.dimension && value.known != Knowledge::unknown)
            return cure.at_least ? value.hi : value.lo;
    }
    return 0;
}

// The device at the end of a wire from a source's pole may stand nearer to it; no other wire shrinks.
std::optional<Change> moved(const AtHand& in, const Cure& cure) {
    const Wire& wire = in.harness.wire(cure.wire);
    const auto kind = [&](TerminalId at) { return in.harness.part(in.harness.terminal(at).part).kind; };
    const auto device = [&](TerminalId at) {
        return kind(at) == Kind::fuse || kind(at) == Kind::breaker || kind(at) == Kind::protector;
    };
    const auto pole = [&](TerminalId at) { return kind(at) == Kind::pack || kind(at) == Kind::bms; };
    if (!(pole(wire.from) && device(wire.to)) && !(device(wire.from) && pole(wire.to))) return std::nullopt;
    const double length_m = std::floor(cure.value * 100 + 1e-6) / 100;
    if (length_m <= 0) return std::nullopt;
    Change change;
    change.key = {Verb::length, cure.where, cure.what, Dimension::length};
    change.value = length_m;
    change.from = wire.length.hi;
    change.points = 3;
    return change;
}

// A setting in the words in which it stands: a percentage stays one, rounded down.
std::optional<Change> lowered(const AtHand& in, PartId part, double share) {
    const std::string now = written(in.harness, part, "supply-limit"_attr);
    const Value value = in.harness.value(in.harness.part(part).attributes, "supply-limit"_attr);
    if (now.empty() || value.known == Knowledge::unknown || share >= 1) return std::nullopt;
    const bool percent = value.dimension == Dimension::percentage;
    const double to = std::floor(value.hi * share + 1e-6);
    if (to < 1) return std::nullopt;
    Change change;
    change.key = {Verb::setting, std::string(in.harness.part(part).name), "supply-limit"_attr};
    change.value = to;
    change.from = value.hi;
    change.text =
        "supply-limit " + to_text(to, value.dimension, 4) + (percent ? " of phase-limit" : std::string());
    change.points = 1 + 60 * (1 - share);
    return change;
}

// A mode that states more than the lowered setting gets what the setting lets it have.
Plan held_by(const AtHand& in, PartId part, const Change& change) {
    const auto now = supply_limit(Facts(in.harness), part);
    Plan plan = plan_of(change);
    return now ? merged(plan,
                        held_to(in, part, Flow::draws, now->current_A * change.value / change.from, "limit"))
               : plan;
}

std::optional<Change> setting_at_most(const AtHand& in, const Cure& cure) {
    const auto setting =
        std::find_if(in.finding.figures.begin(), in.finding.figures.end(),
                     [](const Figure& figure) { return figure.name == "setting" && figure.value > 0; });
    if (setting == in.finding.figures.end() || !in.slower) return std::nullopt;
    return lowered(in, cure.part, cure.value / setting->value);
}

std::optional<Change> wire_change(const AtHand& in, const Cure& cure) {
    if (cure.what == "(length)"_attr) return moved(in, cure);
    const auto ladder = sizes_for(in.harness.wire(cure.wire));
    const auto size = cure.at_least ? step_up(ladder, cure.value) : step_down(ladder, cure.value);
    if (!size) return std::nullopt;
    return resized(in, cure.wire, *size);
}

// Clamps are sold for a range of sizes, which is that of all wires that land on the part.
std::optional<Change> wider_clamp(const AtHand& in, const Cure& cure) {
    double thinnest_mm2 = cure.value, thickest_mm2 = cure.value;
    for (const Wire& wire : in.harness.wires)
        for (const TerminalId end : {wire.from, wire.to})
            if (in.harness.terminal(end).part == cure.part && wire.area.is_known()) {
                thinnest_mm2 = std::min(thinnest_mm2, wire.area.lo);
                thickest_mm2 = std::max(thickest_mm2, wire.area.hi * wire.parallel);
            }
    const auto range = clamp_for(thinnest_mm2, thickest_mm2);
    if (!range) return std::nullopt;
    Change change;
    change.key = {Verb::rating, cure.where, cure.what, Dimension::area};
    change.value = range->most_mm2;
    change.from = stated(in.harness, cure);
    change.text = "takes " + to_text(Quantity{range->least_mm2, range->most_mm2, Dimension::area}, 4);
    change.points = points_of_part(in.harness, cure.part);
    return change;
}

std::optional<Change> part_change(const AtHand& in, const Cure& cure) {
    if (cure.what == "supply-limit"_attr) return setting_at_most(in, cure);
    if (cure.terminal || !is_for_sale(in.harness, cure.part)) return std::nullopt;
    // No lamp of 12 V works at 24 V because somebody says so: one of another voltage is bought.
    if (cure.what == "works"_attr) return std::nullopt;
    if (cure.what == "takes"_attr) return wider_clamp(in, cure);
    const auto ladder = ladder_of(in.harness, cure);
    auto value = cure.at_least ? step_up(ladder, cure.value) : step_down(ladder, cure.value);
    // The lower end of what a load works at is no figure of a shop: a part that works from below it.
    if (!cure.at_least && cure.dimension == Dimension::voltage) value = std::floor(0.8 * cure.value);
    if (!value || *value <= 0) return std::nullopt;
    Change change;
    change.key = {Verb::rating, cure.where, cure.what, cure.dimension};
    change.value = *value;
    change.from = stated(in.harness, cure);
    change.upper = cure.at_least;
    if (cure.at_least || cure.dimension != Dimension::voltage) change.ladder = ladder;
    change.points = points_of_part(in.harness, cure.part);
    return change;
}

}  // namespace

Plan held_to(const AtHand& in, PartId part, Flow flow, double lets_A, std::string_view lets) {
    Plan plan;
    for (const Mode& mode : in.harness.modes) {
        const std::int32_t profile = mode.own ? -1 : mode.states[part.index()].profile;
        if (profile < 0 || mode.states[part.index()].stated_by != StatedBy::line) continue;
        const Profile& stated = mode.profiles[static_cast<std::size_t>(profile)];
        const bool more = std::any_of(stated.levels.begin(), stated.levels.end(), [&](const Level& level) {
            return !level.limit && level.amount.dimension == Dimension::current && level.amount.hi > lets_A;
        });
        // Levels that change with time are the owner's to state anew.
        const double states_A = stated.levels.front().amount.hi;
        if (!more || stated.levels.size() > 1 || stated.flow != flow) continue;
        Change line;
        line.key = {Verb::mode_line, std::string(mode.name), "supply-limit"_attr, {}, false};
        line.text = std::string(in.harness.part(part).name) + " " + std::string(flow_word(flow)) + " " +
                    std::string(lets);
        line.value = lets_A;
        line.from = states_A;
        line.goes_with_setting = true;
        line.points = 1;
        plan.emplace(line.key, line);
    }
    return plan;
}

std::vector<Plan> by_cures(const AtHand& in) {
    std::map<std::uint8_t, std::optional<Plan>> ways;
    for (const Cure& cure : in.finding.cures) {
        auto& plan = ways.emplace(cure.way, Plan{}).first->second;
        const auto change = cure.wire ? wire_change(in, cure) : part_change(in, cure);
        if (!change) plan.reset();
        if (plan) plan->emplace(change->key, *change);
    }
    std::vector<Plan> plans;
    for (auto& [way, plan] : ways)
        if (plan) plans.push_back(std::move(*plan));
    // What else looks at the rating may ask for more as it grows: the next steps too.
    constexpr int further = 3;
    for (std::size_t i = 0, first = plans.size(); i < first; ++i) {
        if (plans[i].size() != 1 || !plans[i].begin()->second.is_step()) continue;
        Change change = plans[i].begin()->second;
        for (int step = 0; step < further && change.value > change.from; ++step) {
            const auto next = step_up(change.ladder, change.value * 1.001);
            if (!next) break;
            change.value = *next;
            if (change.key.verb == Verb::size) change.text = size_text(*next);
            change.points += 0.5;
            plans.push_back(plan_of(change));
        }
    }
    return plans;
}

std::vector<Plan> by_lower_setting(const AtHand& in) {
    const bool needed = phase_of(in.finding.rule) == Phase::not_for_sale;
    const auto& figures = in.finding.figures;
    if ((!needed && !in.slower) || figures.size() < 2 || figures[0].value <= figures[1].value) return {};
    // The controllers on the way that is shown; where it shows none, all.
    std::set<PartId> asking, all;
    for (std::size_t i = 0; i < in.harness.parts.size(); ++i)
        if (in.harness.parts[i].kind == Kind::controller) all.insert(PartId(i));
    for (const Step& step : in.finding.witness) {
        const auto part = in.harness.find_part(step.name.substr(0, step.name.rfind('.')));
        if (part && all.contains(*part)) asking.insert(*part);
    }
    std::vector<Plan> plans;
    for (const PartId part : asking.empty() ? all : asking) {
        const double share = figures[1].value / figures[0].value;
        for (const double further : {1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4})
            if (const auto change = lowered(in, part, share * further))
                plans.push_back(held_by(in, part, *change));
    }
    return plans;
}

// Another type that is fitted already and stands both: one change for two findings.
std::vector<Plan> by_fuse_type(const AtHand& in) {
    double stands_V = 0, breaks_A = 0;
    for (const Finding& finding : in.results.findings)
        for (const Cure& cure : finding.cures)
            if (cure.part == in.finding.part && cure.dimension == Dimension::voltage)
                stands_V = std::max(stands_V, cure.value);
            else if (cure.part == in.finding.part && cure.what == "breaks"_attr)
                breaks_A = std::max(breaks_A, cure.value);
    std::set<std::string_view> seen;
    std::vector<Plan> plans;
    const auto rating = [&](const Part& part) {
        return std::max(0.1, in.harness.value(part.attributes, "(rated-current)"_attr).lo);
    };
    const double here_A = rating(in.harness.part(in.finding.part));
    for (const Part& part : in.harness.parts) {
        if (part.kind != Kind::fuse || part.type.empty() || !seen.insert(part.type).second ||
            part.type == in.harness.part(in.finding.part).type)
            continue;
        const Value rated = in.harness.value(part.attributes, "(operational-voltage)"_attr);
        const Value breaks = in.harness.value(part.attributes, "breaks"_attr);
        if (!rated.present() || rated.lo < stands_V || !breaks.present() || breaks.lo < breaks_A) continue;
        Change change;
        change.key = {Verb::type, std::string(in.harness.part(in.finding.part).name)};
        change.text = std::string(part.type);
        // Families are made for some ratings: the one that is fitted at the nearest.
        change.points = 4 + 0.01 * std::abs(std::log(rating(part) / here_A));
        plans.push_back(plan_of(change));
    }
    return plans;
}

// One of a family that has such a rating.
std::vector<Plan> by_other_family(const AtHand& in) {
    if (!is_fuse(in.harness, in.finding.part)) return {};
    const Value rated = in.harness.value(in.harness.part(in.finding.part).attributes, "(rated-current)"_attr);
    if (!rated.present() || rated.known == Knowledge::unknown) return {};
    Change change;
    change.key = {Verb::rating, std::string(in.harness.part(in.finding.part).name), "curve"_attr};
    change.text = "curve " + std::string(family_of(rated.hi));
    change.points = 4;
    return {plan_of(change)};
}

// The smallest fuse that what flows allows, where nobody knows what is fitted.
std::vector<Plan> by_rating_bought(const AtHand& in) {
    if (!is_fuse(in.harness, in.finding.part)) return {};
    const Value rated = in.harness.value(in.harness.part(in.finding.part).attributes, "(rated-current)"_attr);
    if (rated.present() && rated.known != Knowledge::unknown) return {};
    std::vector<Plan> plans;
    double least_A = std::max(1.0, most_A(in.results, in.finding.part) / 0.8);
    for (int more = 0; more < 4; ++more) {
        const auto rating = step_up(fuse_ratings_A(), least_A);
        if (!rating) break;
        Change change;
        change.key = {Verb::rating, std::string(in.harness.part(in.finding.part).name),
                      "(rated-current)"_attr, Dimension::current};
        change.value = *rating;
        change.ladder = fuse_ratings_A();
        change.points = 2 + 0.1 * more;
        plans.push_back(plan_of(change));
        least_A = *rating * 1.01;
    }
    return plans;
}

}  // namespace loomward::mending
