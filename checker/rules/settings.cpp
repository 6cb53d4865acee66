// Controller settings against the weakest part of the route that feeds them.
//
// A setting can be reached whenever the rider or the load asks for it, whatever the modes say: every part on
// the way is asked whether it may carry the setting for long. The way is the one the current takes in the
// mode in which the controller draws most; where no mode has it draw, the graph tells (settings_tree.hpp).
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/loaded_way.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/rules/settings_tree.hpp"

namespace loomward::rules::settings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"setting-too-high",
     "a controller set, or an inverter rated, to take more from its supply than the weakest part of the "
     "route "
     "that feeds it may carry, or a charger that may give more than the pack and the way to it may take",
     "supply current = phase-peak x phase-limit x supply-limit, of an inverter rated power / efficiency / "
     "lowest input voltage or that of its pack, less a tenth, whichever is higher, shared as the currents "
     "share; I <= rating of every part on the way",
     "common practice, no source (a 300 A controller at 80 % and 40 % takes 96 A)",
     "the way of every mode in which it draws, at the hottest and coldest ambient of each place then; "
     "parts in parallel share as they do there; that a controller takes less at a temperature (supply-at) "
     "is not counted on; a charger by itself is an error against the charge of a pack or its management, and "
     "a warning against anything else",
     "supply-limit 90 A", "supply-limit 40 A"},
    {"settings-together",
     "controllers that together are set to take more, or chargers that together may give more, than a part "
     "that they share may carry, although each of them alone may",
     "sum of the supply limits (or outputs) behind a part <= rating of the part",
     "common practice, no source",
     "no mode is needed; every contact counts as closed, selectors one position at a time; where conductors "
     "form a loop, only what lies before and behind it is judged; loads are left out",
     "splice X1\ncontroller U2 { input 30..60 V, capacitance 1 uF, supply-limit 40 A, regen none }\n"
     "fuse F9 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
     "route K1.out (direct) F9 (W30 16 mm2, 0.5 m, red) U2.+\nroute U2.- (W31 16 mm2, 0.5 m, black) Q1.P-",
     "splice X1"},
};

// "is set to take", "may take"; what would pass, up to the current.
std::string_view may_take(const RuleInput& input, PartId part) {
    return input.harness.part(part).kind == Kind::inverter ? " may take" : " is set to take";
}
std::string passing_text(const RuleInput& input, PartId part, double current_A) {
    const bool inverter = input.harness.part(part).kind == Kind::inverter;
    return (inverter ? "one whose rated power takes " : "a supply limit of ") + amps(current_A) +
           " or less would pass";
}

// The weakest part of the way at one moment, if the controller took all that it is set to then.
OnTheWay weakest_at(const RuleInput& input, const OperatingPoint& point, EdgeId id, double setting_A) {
    OnTheWay weakest;
    for (OnTheWay& each : loaded_way(input, point, id, setting_A))
        if (!weakest.edge || each.carries_A / each.may_A > weakest.carries_A / weakest.may_A)
            weakest = std::move(each);
    return weakest;
}

// The largest setting that every part of every way may carry, A.
double passing_setting_A(const RuleInput& input, EdgeId id, double setting_A) {
    double passes_A = setting_A;
    for (int round = 0; round < 10; ++round) {
        double least_A = passes_A;
        for (const OperatingPoint* point : busiest(input, id)) {
            const OnTheWay weakest = weakest_at(input, *point, id, passes_A);
            if (!weakest.edge || weakest.carries_A <= weakest.may_A * (1 + 1e-9)) continue;
            least_A = std::min(
                least_A, passes_A - (weakest.carries_A - weakest.may_A) / std::max(0.01, weakest.share));
        }
        if (least_A >= passes_A) break;
        passes_A = least_A;
    }
    return passes_A;
}

// Whether something was said.
bool judge(const RuleInput& input, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const std::optional<Setting> setting = asked_of_supply(input.facts, edge.part);
    if (!setting) return false;
    const OperatingPoint* point = nullptr;
    OnTheWay weakest;
    for (const OperatingPoint* each : busiest(input, id)) {
        OnTheWay here = weakest_at(input, *each, id, setting->current_A);
        const auto over = [](const OnTheWay& of) { return of.edge ? of.carries_A / of.may_A : 0; };
        if (over(here) <= over(weakest) * 1.0001) continue;
        weakest = std::move(here);
        point = each;
    }
    if (!point || !above(weakest.carries_A, weakest.may_A)) return false;
    Finding finding = finding_about(input, "setting-too-high", Severity::error, edge.part);
    finding.message = named(input.harness, edge.part) + std::string(may_take(input, edge.part)) +
                      " more than its supply may give";
    const double others_A = weakest.carries_A - weakest.share * setting->current_A;
    finding.beside = amps(setting->current_A) +
                     (others_A > 0.01 * weakest.may_A ? " with " + amps(others_A) + " of others" : "") +
                     "; the weakest part may carry " + amps(weakest.may_A);
    finding.working = {
        setting->working + (input.harness.part(edge.part).kind == Kind::inverter ? " at its rated power"
                                                                                 : " at the setting"),
        amps(weakest.carries_A) + " > " + amps(weakest.may_A) + " (" + weakest.what + ")"};
    finding.figures = {{"setting", setting->current_A, Dimension::current},
                       {"limit", weakest.may_A, Dimension::current}};
    finding.source = "common practice, no source; rating of the weakest part";
    witnessed(input, finding, *point, id);
    const Edge& weak = input.circuit.edge(weakest.edge);
    finding.related.push_back(
        {weak.wire ? input.harness.wire(weak.wire).where : input.harness.part(weak.part).where,
         "the weakest part of the way: " + weakest.what + ", " + amps(weakest.may_A)});
    const double passes_A = passing_setting_A(input, id, setting->current_A);
    if (passes_A > 0) finding.help = passing_text(input, edge.part, std::floor(passes_A * (1 + 1e-9)));
    if (passes_A > 0 && input.harness.part(edge.part).kind == Kind::controller)
        finding.cures = {
            at_most(input.harness, edge.part, "supply-limit"_attr, passes_A, Dimension::current)};
    const std::vector<Cure> stronger = stronger_way(input, id, setting->current_A);
    finding.cures.insert(finding.cures.end(), stronger.begin(), stronger.end());
    report.add(std::move(finding));
    return true;
}

std::string names_of(const RuleInput& input, const std::vector<Asker>& askers) {
    std::string names;
    for (std::size_t i = 0; i < askers.size(); ++i)
        names += (i == 0                   ? ""
                  : i + 1 == askers.size() ? " and "
                                           : ", ") +
                 std::string(input.harness.part(askers[i].part).name);
    return names;
}

// What the graph alone tells: of one by itself, or of several that nothing keeps from asking at once.
void tell(const RuleInput& input, const Overasked& found, Severity severity, Report& report) {
    const bool several = found.askers.size() > 1;
    const Asker& first = found.askers.front();
    const bool gives = input.circuit.edge(first.edge).role != EdgeRole::controller;
    Finding finding =
        finding_about(input, several ? "settings-together" : "setting-too-high", severity, first.part);
    if (several)
        finding.message = names_of(input, found.askers) +
                          (gives ? " together may give more than what they feed may take"
                                 : " together are set to take more than what feeds them may give");
    else
        finding.message =
            named(input.harness, first.part) +
            (gives ? " may give more than what it feeds may take"
                   : std::string(may_take(input, first.part)) + " more than its supply may give");
    finding.beside = amps(found.asked_A) + (several ? " in all" : "") + "; the weakest part may carry " +
                     amps(found.may_A);
    for (const Asker& asker : found.askers)
        finding.working.push_back(std::string(input.harness.part(asker.part).name) + ": " + asker.working);
    finding.working.push_back(amps(found.asked_A) + " > " + amps(found.may_A) + " (" + found.limit_name +
                              ")");
    if (found.limit_working.find('=') != std::string::npos) finding.working.push_back(found.limit_working);
    finding.figures = {{"setting", found.asked_A, Dimension::current},
                       {"limit", found.may_A, Dimension::current}};
    finding.source = "common practice, no source; rating of the weakest part";
    finding.related.push_back(
        {found.where, "the weakest part of the way: " + found.limit_name + ", " + amps(found.may_A)});
    for (std::size_t i = 1; i < found.askers.size(); ++i)
        finding.related.push_back({input.harness.part(found.askers[i].part).where,
                                   named(input.harness, found.askers[i].part) + " is here"});
    finding.help = several
                       ? (gives ? "chargers that give " : "settings that add up to ") + amps(found.may_A) +
                             " or less, or a way that only one of them can use at a time"
                   : gives ? "one that gives " + amps(found.may_A) + " or less would pass"
                           : passing_text(input, first.part, found.may_A);
    if (!several && !gives && input.harness.part(first.part).kind == Kind::controller)
        finding.cures = {
            at_most(input.harness, first.part, "supply-limit"_attr, found.may_A, Dimension::current)};
    report.add(std::move(finding));
}

// Some mode that could be solved has it give or take as much as its setting: then the other rules judge that.
// The one pack that it charges has to get it there: what loads draw meanwhile takes nothing from that for
// good.
bool reaches_setting(const RuleInput& input, const Overasked& found) {
    const Asker& asker = found.askers.front();
    const auto packs = std::count_if(input.harness.parts.begin(), input.harness.parts.end(),
                                     [](const Part& part) { return part.kind == Kind::pack; });
    const bool pack = packs == 1 && found.part && input.harness.part(found.part).kind == Kind::pack;
    const EdgeId limited = pack ? input.circuit.edges_of_part[found.part.index()].front() : asker.edge;
    return std::any_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
        const double flows_A = point.usable() ? point.edge_A[limited.index()] : 0;
        return (pack ? -flows_A : flows_A) >= 0.999 * asker.current_A;
    });
}

// A charger gives a low pack all that it can, whatever a mode says of it.
bool charges_too_fast(const RuleInput& input, const Overasked& found) {
    if (!found.part) return false;
    const Kind kind = input.harness.part(found.part).kind;
    return kind == Kind::pack || kind == Kind::bms;
}

// Some mode of the text has all of them give at one time, however little it says.
bool give_together(const RuleInput& input, const Overasked& found) {
    return std::any_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
        return point.usable() && !input.harness.modes[point.mode.index()].own &&
               std::all_of(found.askers.begin(), found.askers.end(),
                           [&](const Asker& asker) { return point.edge_A[asker.edge.index()] > idle_A; });
    });
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> said;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::controller && judge(input, EdgeId(i), report))
            said.insert(input.circuit.edges[i].part);
    for (const bool gives : {false, true}) {
        if (gives && !looks_at_every_mode(input)) continue;  // another mode may have it give as much
        const std::vector<Asker> askers = gives ? asking_chargers(input) : asking_controllers(input);
        const auto alone = overasked(input, askers, false);
        std::map<PartId, const Overasked*> worst;
        for (const Overasked& found : alone)
            if (!gives || !reaches_setting(input, found)) {
                const auto [known, fresh] = worst.emplace(found.askers.front().part, &found);
                const auto ratio = [](const Overasked& of) { return of.asked_A / of.may_A; };
                const bool cells = charges_too_fast(input, found),
                           were_cells = charges_too_fast(input, *known->second);
                if (!fresh && gives && (cells != were_cells ? cells : ratio(found) > ratio(*known->second)))
                    known->second = &found;
            }
        for (const auto& [part, found] : worst)
            if (said.insert(part).second)
                tell(input, *found,
                     gives && !charges_too_fast(input, *found) ? Severity::warning : Severity::error, report);
        // The worst of all, then the worst of those that ask elsewhere.
        auto together = overasked(input, askers, true);
        std::stable_sort(together.begin(), together.end(), [](const Overasked& a, const Overasked& b) {
            return a.asked_A / a.may_A > b.asked_A / b.may_A;
        });
        std::set<PartId> told;
        for (const Overasked& found : together) {
            if (std::any_of(found.askers.begin(), found.askers.end(),
                            [&](const Asker& asker) { return told.count(asker.part) != 0; }))
                continue;
            for (const Asker& asker : found.askers) told.insert(asker.part);
            tell(input, found,
                 gives && charges_too_fast(input, found) && give_together(input, found) ? Severity::error
                                                                                        : Severity::warning,
                 report);
        }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::settings
