// The story of one fault, line by line with its times.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "checker/faults/fault.hpp"
#include "checker/parts/capacities.hpp"
#include "render/text/characters.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

constexpr std::size_t time_columns = 10;

std::string amps_text(double value) {
    return to_text(value, Dimension::current);
}
std::string seconds_text(double value) {
    return value <= 0 ? "at once" : to_text(value, Dimension::time);
}

std::string timed(const std::string& when, const std::string& what, bool color) {
    std::string lines;
    for (const std::string& line : wrapped(what, text_columns - time_columns - 4)) {
        const std::string head = lines.empty() ? when : "";
        lines += std::string(time_columns - std::min(time_columns, head.size()), ' ') +
                 paint(head, Ink::note, color) + "   " + line + "\n";
    }
    return lines;
}

std::string way_text(const std::vector<Step>& steps) {
    std::string text;
    for (const Step& step : steps) text += (text.empty() ? "" : " > ") + step.name;
    return text;
}

// "(0.1 ms at the earliest)", where the fast edge opens the same device.
std::string earliest_text(const FaultAccount& account, const FaultEvent& event) {
    for (const FaultEvent& quick : account.quickest.events) {
        if (quick.kind != FaultEvent::Kind::opens || quick.edge != event.edge) continue;
        if (quick.time_s > 0.99 * event.time_s) return {};
        return fmt::format(" at the latest, {} at the earliest", seconds_text(quick.time_s));
    }
    return {};
}

std::string let_through_text(const FaultAccount& account, EdgeId edge) {
    for (const FaultStress& stress : account.story.stress)
        if (stress.edge == edge && std::isfinite(stress.let_through_A2s))
            return "; " + to_text(stress.let_through_A2s, Dimension::joule_integral) + " let through";
    return {};
}

// Wires that are damaged at the same time, as far as it is printed, in one line.
std::string damage_text(const Results& results, std::span<const FaultEvent> together, bool color) {
    std::string names;
    for (const FaultEvent& event : together)
        names += (names.empty() ? "" : " ") + edge_name(results, event.edge);
    return paint(fmt::format("{} {} damaged: {} were too much for too long", names,
                             together.size() > 1 ? "are" : "is", amps_text(together[0].current_A)),
                 Ink::error, color);
}

std::string opening_text(const Results& results, const FaultAccount& account, const FaultEvent& event) {
    const std::string who = edge_name(results, event.edge);
    std::string text = fmt::format("{} opens {}{}{}", who, amps_text(event.current_A),
                                   earliest_text(account, event), let_through_text(account, event.edge));
    if (event.kind == FaultEvent::Kind::empties) text = who + " is empty";
    if (event.fault_A > 1e-6 * account.story.prospective_A && event.fault_A > 1e-6)
        text += fmt::format("; {} go on", amps_text(event.fault_A));
    return text;
}

// Which other device on the way may open as well or first, as not-selective says it.
std::string race_text(const Results& results, const FaultRace& race) {
    const auto name = [&](PartId part) { return std::string(results.harness->part(part).name); };
    return fmt::format("not selective: {} may take {}; {} {}", name(race.near),
                       seconds_text(race.near_slow_s), name(race.far),
                       race.lost ? "takes at most " + seconds_text(race.far_slow_s) + ", and is first"
                                 : "may open after " + seconds_text(race.far_fast_s));
}

// The conductor that gets hottest, against what it survives.
std::string hottest_text(const Results& results, const FaultStudy& study, const FaultAccount& account) {
    const FaultStress* worst = nullptr;
    double most = 0;
    for (const FaultStress& stress : account.story.stress) {
        const Edge& edge = results.circuit.edge(stress.edge);
        if (!edge.wire || stress.heat <= 0) continue;
        const double ratio = stress.heat / study.setting().wires[edge.wire.index()].damage;
        if (ratio > most) most = ratio, worst = &stress;
    }
    if (!worst) return {};
    const WireId wire = results.circuit.edge(worst->edge).wire;
    const WireHeat& heat = study.setting().wires[wire.index()];
    const double start_degC = heat.service_degC;
    const double hottest_degC = heat.ambient_degC + worst->heat * (start_degC - heat.ambient_degC);
    const bool glows = hottest_degC > 1000;
    return fmt::format("hottest: {} ({}), {}; fully loaded it has {}, in a short it survives {}",
                       results.harness->wire(wire).name, results.harness->wire(wire).size_text,
                       glows ? "over 1000 degC" : to_text(hottest_degC, Dimension::temperature),
                       to_text(heat.service_degC, Dimension::temperature),
                       to_text(heat.limit_degC, Dimension::temperature));
}

std::string names_of(const Results& results, const std::vector<PartId>& parts) {
    std::string names;
    for (const PartId part : parts)
        names += (names.empty() ? "" : ", ") + std::string(results.harness->part(part).name);
    return names;
}

// Fuses and breakers that carry it to the end because nothing tells when they open. Empty: none.
std::string untold_text(const Results& results, const FaultStudy& study, const FaultAccount& account,
                        std::span<const PartId> bridged) {
    std::vector<PartId> untold;
    for (const FaultStress& stress : account.story.stress) {
        const Edge& edge = results.circuit.edge(stress.edge);
        if (is_protective(edge.role) && std::abs(stress.last_A) > 1e-3 &&
            study.setting().bands[edge.part.index()].slow.empty() &&
            std::find(bridged.begin(), bridged.end(), edge.part) == bridged.end())
            untold.push_back(edge.part);
    }
    if (untold.empty()) return {};
    return fmt::format(
        "nothing tells how quickly {} open{} ('curve', or points): counted as never here; in truth "
        "the more current, the sooner",
        names_of(results, untold), untold.size() > 1 ? "" : "s");
}

std::string end_text(const Results& results, const FaultAccount& account, bool untold) {
    std::vector<PartId> giving;  // what still drives a current
    for (const FaultStress& stress : account.story.stress) {
        const Edge& edge = results.circuit.edge(stress.edge);
        if (is_source(edge.role) && std::abs(stress.last_A) > 1e-3) giving.push_back(edge.part);
    }
    std::vector<PartId> silent;  // live, but with no way back
    for (const PartId part : account.still_feeds)
        if (std::find(giving.begin(), giving.end(), part) == giving.end()) silent.push_back(part);
    const std::string live = silent.empty() ? "" : "the place stays live from " + names_of(results, silent);
    if (account.story.standing_A > 0)
        return fmt::format("{} flow on from {}: nothing {}{}", amps_text(account.story.standing_A),
                           names_of(results, giving), untold ? "is sure to open" : "more opens",
                           live.empty() ? "" : "; " + live);
    return live.empty() ? "nothing flows any more, and no source reaches the place"
                        : "nothing flows any more, but " + live;
}

}  // namespace

std::string fault_account_text(const Results& results, const FaultStudy& study, const FaultAccount& account,
                               std::span<const PartId> bridged, bool color) {
    const bool most = account.corner == Corner::fault_max;
    std::string text = paint(most ? "at most" : "at least", Ink::strong, color) +
                       (most ? " (pack full, conductors cold, contacts without resistance)\n"
                             : " (pack empty and aged, conductors hot, every joint counted)\n");
    text += timed("0 s",
                  fmt::format("{} flow: {} | {}", amps_text(account.story.prospective_A),
                              way_text(account.out), way_text(account.back)),
                  color);
    const std::span<const FaultEvent> events = account.story.events;
    for (std::size_t i = 0; i < events.size();) {
        std::size_t end = i + 1;
        const std::string when = seconds_text(events[i].time_s);
        if (events[i].kind == FaultEvent::Kind::damaged)
            while (end < events.size() && events[end].kind == FaultEvent::Kind::damaged &&
                   seconds_text(events[end].time_s) == when)
                ++end;
        text += timed(when,
                      events[i].kind == FaultEvent::Kind::damaged
                          ? damage_text(results, events.subspan(i, end - i), color)
                          : opening_text(results, account, events[i]),
                      color);
        i = end;
    }
    const std::string untold = untold_text(results, study, account, bridged);
    text += timed(account.story.standing_A > 0 ? "for good" : "then",
                  end_text(results, account, !untold.empty()), color);
    if (!untold.empty()) text += timed("", untold, color);
    for (const FaultRace& race : account.races) text += timed("", race_text(results, race), color);
    const std::string hottest = hottest_text(results, study, account);
    if (!hottest.empty()) text += timed("", hottest, color);
    if (!account.story.solved)
        text += timed("", "the equations had no answer somewhere on the way: do not rely on this", color);
    return text;
}

}  // namespace loomward
