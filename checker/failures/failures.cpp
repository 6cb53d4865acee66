#include "checker/failures/failures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "checker/budget/budget.hpp"
#include "checker/failures/bridged_guards.hpp"
#include "checker/failures/failure_judge.hpp"
#include "checker/failures/failure_pairs.hpp"
#include "checker/failures/failure_words.hpp"
#include "checker/parts/tasks.hpp"

namespace loomward {
namespace {

using namespace literals;

class FailureReporter {
  public:
    FailureReporter(const Results& results, const FaultStudy* study, const FailureOptions& options)
        : results_(results),
          circuit_(results.circuit),
          harness_(*results.circuit.harness),
          study_(study),
          options_(options),
          facts_(harness_),
          follower_(circuit_, facts_),
          judge_(circuit_, facts_, follower_, options.only_mode) {}

    FailureReport report() {
        try_all();
        if (study_) tell_bridged();
        std::vector<FailureLine> pairs;
        if (options_.pairs) pairs = try_pairs(report_, judge_, takes_stop_);
        make_lines();
        add_unstopped();
        add_idle_stops();
        report_.lines.insert(report_.lines.end(), pairs.begin(), pairs.end());
        if (options_.figures) add_left_on();
        std::stable_sort(report_.lines.begin(), report_.lines.end(),
                         [](const FailureLine& a, const FailureLine& b) {
                             return std::tie(a.heading, a.level, b.takes_stop) <
                                    std::tie(b.heading, b.level, a.takes_stop);
                         });
        report_.as_drawn = judge_.as_drawn_text();
        for (const ModeId mode : judge_.contradictory())
            report_.left_out.emplace_back(harness_.modes[mode.index()].name);
        report_.modes = judge_.modes().size();
        report_.states = follower_.states_followed();
        say_what_was_taken();
        return std::move(report_);
    }

  private:
    std::string name(PartId part) const { return std::string(harness_.part(part).name); }

    // Alike ones are followed once.
    void try_all() {
        const std::vector<SingleFailure> all = single_failures(circuit_, follower_);
        std::map<std::uint32_t, FailureOutcome> known;
        std::set<std::string> keys;
        for (const SingleFailure& failure : all) {
            auto found = known.find(failure.same);
            if (found == known.end()) {
                found = known.emplace(failure.same, judge_.try_out(failure.change, joins(failure))).first;
                keys.insert(found->second.key());
                if (judge_.takes_a_stop(found->second)) takes_stop_.insert(failure.same);
            }
            TriedFailure tried;
            tried.failure = failure;
            judge_.judge(tried, found->second);
            report_.tried.push_back(std::move(tried));
        }
        report_.outcomes = keys.size();
    }
    void tell_bridged() {
        const std::vector<BridgedGuard> guards = bridged_guards(circuit_, *study_);
        for (TriedFailure& tried : report_.tried) {
            if (tried.failure.kind != FailureKind::bridged && tried.failure.kind != FailureKind::never_trips)
                continue;
            const auto found = std::find_if(guards.begin(), guards.end(), [&](const BridgedGuard& each) {
                return each.part == tried.failure.part;
            });
            if (found == guards.end()) continue;
            tried.heading = FailureHeading::useless_guard;
            tried.hidden = true;
            // It takes a short circuit beside it: two failures, however it ends.
            tried.level = Severity::warning;
            if (found->burnt.empty()) {
                // Nothing can be said of what was not tried.
                const bool all = found->tried == found->shorts;
                tried.level = all ? Severity::note : Severity::warning;
                tried.then = all ? "no wire burns for it"
                                 : fmt::format("no wire burns for it in the {} tried of {} short circuits",
                                               found->tried, found->shorts);
                continue;
            }
            std::vector<std::string> wires;
            for (const auto& each : found->burnt) wires.emplace_back(harness_.wire(each.wire).name);
            tried.then = names_in_short(wires) +
                         (wires.size() == 1 ? " burns after " : " burn, the first after ") +
                         to_text(found->burnt.front().after_s, Dimension::time, 2) + " at " +
                         to_text(found->burnt.front().current_A, Dimension::current, 3);
            tried.can_do = !found->ends   ? "and nothing then opens"
                           : found->opens ? name(found->opens) + " opens instead"
                                          : "";
        }
    }

    // Those with the same heading and words are one line.
    void make_lines() {
        std::map<std::tuple<FailureHeading, Severity, std::string, std::string>, std::size_t> known;
        for (std::size_t i = 0; i < report_.tried.size(); ++i) {
            const TriedFailure& tried = report_.tried[i];
            if (tried.heading >= FailureHeading::at_rest) continue;
            if (tried.heading == FailureHeading::useless_guard && tried.level == Severity::note) continue;
            const auto [at, fresh] = known.try_emplace({tried.heading, tried.level, tried.then, tried.can_do},
                                                       report_.lines.size());
            if (fresh)
                report_.lines.push_back(
                    {tried.heading, tried.level, {}, {}, tried.then, tried.can_do, tried.test});
            FailureLine& line = report_.lines[at->second];
            line.tried.push_back(i);
            if (line.test.empty()) line.test = tried.test;
            line.takes_stop = line.takes_stop || takes_stop_.contains(tried.failure.same);
        }
        for (FailureLine& line : report_.lines) line.who = who_text(line.tried);
    }

    // What opens or breaks together, then the others by what they do.
    std::string who_text(const std::vector<std::size_t>& list) const {
        std::map<std::pair<FailureKind, std::string>, std::vector<std::string>> by_verb;
        std::vector<std::pair<FailureKind, std::string>> order;
        std::set<std::string> parted;
        for (const std::size_t i : list)
            if (report_.tried[i].failure.kind == FailureKind::parted)
                parted.insert(report_.tried[i].failure.who);
        for (const std::size_t i : list) {
            const SingleFailure& failure = report_.tried[i].failure;
            if (failure.kind == FailureKind::contact_off && parted.contains(name(failure.part))) continue;
            const bool open = !row(failure.kind).adds && failure.kind != FailureKind::gone &&
                              failure.kind != FailureKind::one_cell && failure.kind != FailureKind::dies &&
                              failure.kind != FailureKind::pin_off;
            // What opens, whatever it is, under one verb.
            const FailureKind kind = open && list.size() > 1 ? FailureKind::opens : failure.kind;
            const std::pair verb(kind, failure.beside);
            auto& names = by_verb[verb];
            if (names.empty()) order.push_back(verb);
            if (std::find(names.begin(), names.end(), failure.who) == names.end())
                names.push_back(failure.who);
        }
        std::string text;
        for (const auto& verb : order) {
            const auto& names = by_verb[verb];
            text += (text.empty() ? "" : ", ") + names_in_short(names) + " " +
                    std::string(names.size() == 1 ? row(verb.first).does : row(verb.first).do_) +
                    (verb.second.empty() ? "" : " " + verb.second);
        }
        return text + (list.size() > 2 ? " (" + std::to_string(list.size()) + ")" : "");
    }

    // Modes in which nothing runs but something waits for it, and how long the packs stand that.
    void add_left_on() {
        const Budget budget = make_budget(circuit_, results_.points, harness_);
        for (std::size_t place = 0; place < judge_.modes().size(); ++place) {
            const ModeId mode = judge_.modes()[place];
            const FollowedState& state = follower_.as_drawn(mode);
            bool waits = false, runs = false;
            for (const DriveState each : state.drives) {
                waits = waits || each == DriveState::ready || each == DriveState::live;
                runs = runs || each == DriveState::runs;
            }
            for (std::size_t i = 0; i < state.feeds.size(); ++i)
                waits = waits || (state.feeds[i] != FedState::off && has_key(follower_.others()[i]));
            if (!waits || runs) continue;
            for (const ModeBudget& each : budget.modes) {
                if (each.mode != mode || !each.known) continue;
                for (const PackTime& pack : each.packs) {
                    if (pack.way != PackTime::Way::runs_down || pack.gives.mean_A <= 0) continue;
                    const double days = pack.least_h / 24;
                    if (days <= 0) continue;
                    FailureLine line;
                    line.heading = FailureHeading::forgotten;
                    line.level = days < 30 ? Severity::warning : Severity::note;
                    line.who = "left in mode " + std::string(harness_.modes[mode.index()].name);
                    line.then = to_text(pack.gives.mean_A, Dimension::current, 3) + " of " +
                                name(pack.gives.part) + ": it lasts " +
                                to_text(std::floor(days), Dimension::none) + " days";
                    report_.lines.push_back(std::move(line));
                }
            }
        }
    }
    bool has_key(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        return edge.role == EdgeRole::supply_pin && harness_.part(edge.part).kind == Kind::controller;
    }

    // What is said is not taken.
    bool says_task(PartId part) const {
        return !harness_.value(harness_.part(part).attributes, "task"_attr).text.empty();
    }
    std::vector<std::string> names_of(const std::vector<PartId>& parts) const {
        std::vector<std::string> names;
        for (const PartId part : parts) names.push_back(name(part));
        return names;
    }

    // What is said to stop and stops nothing, with nothing failed.
    void add_idle_stops() {
        for (const PartId stop : declared_hands(circuit_, follower_).stops) {
            std::vector<ModeId> modes;
            const std::vector<std::string> drives = judge_.not_stopped_by(stop, modes);
            if (drives.empty()) continue;
            FailureLine line;
            line.heading = FailureHeading::unstoppable;
            line.level = Severity::error;
            line.as_drawn = true;
            line.who = name(stop) + " as drawn";
            line.then = "it is said to stop, and does not stop " + names_in_short(drives) + " in mode " +
                        mode_names(harness_, modes);
            report_.lines.push_back(std::move(line));
        }
    }

    // Nothing has to fail where nothing stops it at all.
    void add_unstopped() {
        std::map<std::tuple<std::string, std::string>, std::vector<std::string>> drives;  // by modes, pulls
        for (const FailureJudge::Unstopped& each : judge_.unstopped())
            drives[{mode_names(harness_, each.modes), names_in_short(each.pulls)}].push_back(
                name(each.drive));
        for (const auto& [how, names] : drives) {
            const auto& [modes, pulls] = how;
            FailureLine line;
            line.heading = FailureHeading::unstoppable;
            line.level = Severity::error;
            line.as_drawn = true;
            line.who = names_in_short(names) + " as drawn";
            line.then = std::string("nothing that a hand works stops ") +
                        (names.size() == 1 ? "it" : "them") + " in mode " + modes;
            if (!pulls.empty())
                line.can_do = "only " + pulls + " by pulling under load, without a rating for it";
            report_.lines.push_back(std::move(line));
        }
    }

    // Loads that may well move something, by no word that the program knows.
    std::vector<std::string> mere_loads() const {
        std::vector<std::string> names;
        for (const EdgeId id : follower_.loads()) {
            const PartId part = circuit_.edge(id).part;
            const Part& load = harness_.part(part);
            if (load.kind == Kind::load && !says_task(part) && !holds_unfed(harness_, load) &&
                !warns_others(harness_, load))
                names.push_back(name(part));
        }
        return names;
    }

    void say_what_was_taken() {
        std::vector<std::string> motors, called, controllers, brakes, commands;
        for (const auto& drive : follower_.drives())
            if (!says_task(drive.part))
                (drive.controller                            ? controllers
                 : facts_.quantity(drive.part, "stall"_attr) ? motors
                                                             : called)
                    .push_back(name(drive.part));
        for (const EdgeId id : follower_.loads())
            if (const PartId part = circuit_.edge(id).part;
                holds_unfed(harness_, harness_.part(part)) && !says_task(part))
                brakes.push_back(name(part));
        for (const TriedFailure& tried : report_.tried)
            if (tried.failure.kind == FailureKind::commanded) commands.push_back(tried.failure.who);
        const auto say = [&](const std::vector<std::string>& names, const std::string& what) {
            if (!names.empty()) report_.taken.push_back(names_in_short(names) + " " + what);
        };
        say(controllers, "drive: controllers");
        say(motors, "drive: loads with a stall current");
        say(called, "drive: by what they are called");
        report_.drives = follower_.drives().size();
        if (report_.drives == 0) {
            const std::vector<std::string> loads = mere_loads();
            report_.taken.push_back(
                "no drive was recognised" +
                (loads.empty()
                     ? ""
                     : ": " + names_that(loads, "is taken for a mere load", "are taken for mere loads") +
                           ", `task drives` says otherwise"));
        }
        say(brakes, "hold when they are not fed: called a brake");
        say(commands, "command: devices with one signal pin at a controller");
        const DeclaredHands declared = declared_hands(circuit_, follower_);
        say(names_of(declared.taken_stops), "stop: rest closed in the loop of a coil");
        if (declared.in_reach.empty() && declared.out_of_reach.empty())
            report_.taken.emplace_back("every switch, breaker and plug is in reach of a hand");
    }

    const Results& results_;
    const Circuit& circuit_;
    const Harness& harness_;
    const FaultStudy* study_;
    FailureOptions options_;
    Facts facts_;
    Follower follower_;
    FailureJudge judge_;
    FailureReport report_;
    std::set<std::uint32_t> takes_stop_;  // SingleFailure::same
};

}  // namespace

std::string_view heading_words(FailureHeading heading) {
    static constexpr std::array<std::string_view, 12> words = {"cannot be stopped or held",
                                                               "stops only by asking electronics",
                                                               "starts by itself",
                                                               "shorts a pack",
                                                               "breaks what hangs behind",
                                                               "makes a guard useless",
                                                               "not seen until it is needed",
                                                               "stops under way",
                                                               "forgotten",
                                                               "questions for a maker",
                                                               "lost at rest",
                                                               "nothing"};
    return words[static_cast<std::size_t>(heading)];
}

std::size_t FailureReport::count(FailureHeading heading) const {
    return static_cast<std::size_t>(std::count_if(
        tried.begin(), tried.end(), [&](const TriedFailure& each) { return each.heading == heading; }));
}

FailureReport find_failures(const Results& results, const FaultStudy* study, const FailureOptions& options) {
    return FailureReporter(results, study, options).report();
}

UnstoppableCount count_unstoppable(const Results& results, std::size_t most_states) {
    if (results.circuit.edges.empty()) return {};
    const Harness& harness = *results.circuit.harness;
    // As many as there are: two a part, one a wire, each in every mode and with every stop.
    if ((2 * harness.parts.size() + harness.wires.size()) * harness.modes.size() > most_states)
        return {0, 0, true, 0, 0, 0};
    FailureOptions bare;
    bare.figures = false;
    const FailureReport report = find_failures(results, nullptr, bare);
    UnstoppableCount count;
    count.tried = report.tried.size();
    for (const TriedFailure& tried : report.tried) {
        if (tried.level != Severity::error) continue;
        count.unstoppable += tried.heading == FailureHeading::unstoppable;
        count.starting += tried.heading == FailureHeading::by_itself;
    }
    for (const FailureLine& line : report.lines) {
        count.as_drawn += line.as_drawn && line.level == Severity::error;
        count.pairs += line.pairs;
    }
    return count;
}

}  // namespace loomward
