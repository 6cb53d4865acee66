#include "checker/bench/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace loomward {

namespace {

constexpr double worth_telling = 0.05;

// What the text says of a thing, attribute by attribute, in its order.
using Said = std::vector<std::pair<std::string, std::string>>;

std::string value_text(const Value& value) {
    if (!value.present()) return {};
    switch (value.type) {
        case ValueType::quantity:
            return value.known == Knowledge::unknown ? std::string("unknown") : to_text(value.quantity());
        case ValueType::count:
            return fmt::format("{:g}", value.lo);
        default:
            return std::string(value.text);
    }
}

Said said_of(const Harness& harness, Slice attributes) {
    Said said;
    for (const Attribute& attribute : harness.attributes_of(attributes)) {
        std::string text;
        for (const Value& value : harness.values_of(attribute)) {
            const std::string one = value_text(value);
            if (!one.empty()) text += (text.empty() ? "" : " ") + one;
        }
        said.emplace_back(std::string(info(attribute.name).name), text.empty() ? "stated" : text);
    }
    return said;
}

Said said_of(const Harness& harness, const Part& part) {
    Said said = said_of(harness, part.attributes);
    if (!part.label.empty()) said.emplace_back("label", std::string(part.label));
    if (part.location) said.emplace_back("at", std::string(harness.locations[part.location.index()].name));
    return said;
}

Said said_of(const Harness& harness, const Wire& wire) {
    Said said = {{"from", std::string(harness.terminal(wire.from).path)},
                 {"to", std::string(harness.terminal(wire.to).path)},
                 {"size", std::string(wire.size_text)},
                 {"length", wire.length.is_known() ? to_text(wire.length) : "unknown"},
                 {"colour", std::string(colour_word(wire.colour))},
                 {"second colour", std::string(colour_word(wire.second_colour))},
                 {"insulation", std::string(wire.insulation)},
                 {"insulation limit", fmt::format("{:g} degC", wire.insulation_limit_degC)},
                 {"material", wire.aluminium ? "aluminium" : "copper"},
                 {"conductors", fmt::format("{}", wire.parallel)}};
    std::string bundles;
    for (const BundleId bundle : wire.bundles)
        if (bundle)
            bundles += (bundles.empty() ? "" : " ") + std::string(harness.bundles[bundle.index()].name);
    said.emplace_back("bundle", bundles);
    for (auto& each : said_of(harness, wire.attributes)) said.push_back(std::move(each));
    return said;
}

std::vector<std::string> differences(const Said& before, const Said& after) {
    // An attribute may stand there several times: all of it together is its text.
    std::map<std::string, std::pair<std::string, std::string>> texts;
    std::vector<std::string> order, told;
    const auto add = [&](const Said& said, bool is_new) {
        for (const auto& [name, text] : said) {
            if (!texts.contains(name)) order.push_back(name);
            std::string& whole = is_new ? texts[name].second : texts[name].first;
            whole += (whole.empty() ? "" : "; ") + text;
        }
    };
    add(before, false);
    add(after, true);
    for (const std::string& name : order) {
        const auto& [was, is] = texts[name];
        if (was == is) continue;
        told.push_back(was.empty()  ? fmt::format("{} {}, was not stated", name, is)
                       : is.empty() ? fmt::format("{} no longer stated, was {}", name, was)
                                    : fmt::format("{} {}, was {}", name, is, was));
    }
    return told;
}

template <class Thing>
void compare_things(const Harness& before, const std::vector<Thing>& old_things, const Harness& after,
                    const std::vector<Thing>& new_things, Comparison& made) {
    const auto kind_of = [](const Thing& thing) {
        if constexpr (std::is_same_v<Thing, Part>)
            return std::string(info(thing.kind).word);
        else
            return std::string("wire");
    };
    std::map<std::string_view, const Thing*> known;
    for (const Thing& thing : old_things) known.emplace(thing.name, &thing);
    std::map<std::string_view, bool> kept;
    for (const Thing& thing : new_things) {
        kept[thing.name] = true;
        const auto found = known.find(thing.name);
        if (found == known.end()) {
            made.things.push_back({ThingChange::What::added, std::string(thing.name), kind_of(thing), {}});
            continue;
        }
        std::vector<std::string> details =
            differences(said_of(before, *found->second), said_of(after, thing));
        if (kind_of(*found->second) != kind_of(thing))
            details.insert(details.begin(),
                           fmt::format("{}, was a {}", kind_of(thing), kind_of(*found->second)));
        if (!details.empty())
            made.things.push_back(
                {ThingChange::What::changed, std::string(thing.name), kind_of(thing), std::move(details)});
    }
    for (const Thing& thing : old_things)
        if (!kept.contains(thing.name))
            made.things.push_back({ThingChange::What::removed, std::string(thing.name), kind_of(thing), {}});
}

using FindingKey = std::tuple<std::string, std::string, std::string>;
using FindingMap = std::map<FindingKey, const Finding*>;

FindingMap findings_of(const Results& results) {
    FindingMap found;
    for (const Finding& finding : results.findings) {
        if (finding.accepted) continue;
        const std::string mode =
            finding.mode ? std::string(results.harness->modes[finding.mode.index()].name) : std::string();
        const auto [at, fresh] = found.try_emplace({finding.rule, finding.subject, mode}, &finding);
        if (!fresh && finding.severity < at->second->severity) at->second = &finding;
    }
    return found;
}

void compare_findings(const Results& old_results, const Results& new_results, Comparison& made) {
    const FindingMap before = findings_of(old_results), after = findings_of(new_results);
    const auto add = [&](FindingChange::What what, const FindingKey& key, const Finding& finding) {
        made.findings.push_back(
            {what, std::get<0>(key), std::get<1>(key), finding.message, std::get<2>(key), finding.severity});
    };
    for (const auto& [key, finding] : after) {
        const auto was = before.find(key);
        if (was == before.end())
            add(FindingChange::What::gained, key, *finding);
        else if (finding->severity != was->second->severity)
            add(finding->severity < was->second->severity ? FindingChange::What::graver
                                                          : FindingChange::What::milder,
                key, *finding);
    }
    for (const auto& [key, finding] : before)
        if (!after.contains(key)) add(FindingChange::What::cleared, key, *finding);
    std::stable_sort(
        made.findings.begin(), made.findings.end(), [](const FindingChange& a, const FindingChange& b) {
            const auto rank = [](const FindingChange& each) {
                const bool worse =
                    each.what == FindingChange::What::gained || each.what == FindingChange::What::graver;
                return std::tuple(!worse, each.what, each.severity);
            };
            return rank(a) < rank(b);
        });
}

void compare_margins(const Results& old_results, const Results& new_results, Comparison& made) {
    std::map<std::string_view, const WireLoading*> known;
    for (std::size_t i = 0; i < old_results.wires.size(); ++i)
        known.emplace(old_results.harness->wires[i].name, &old_results.wires[i]);
    const auto share = [](const WireLoading& loading) {
        return loading.limit_A > 0 ? loading.current_A / loading.limit_A : 0;
    };
    for (std::size_t i = 0; i < new_results.wires.size(); ++i) {
        const auto found = known.find(new_results.harness->wires[i].name);
        if (found == known.end()) continue;
        const WireLoading &was = *found->second, &is = new_results.wires[i];
        if (std::abs(share(was) - share(is)) < worth_telling) continue;
        made.margins.push_back(
            {std::string(found->first), was.current_A, was.limit_A, is.current_A, is.limit_A});
    }
    std::stable_sort(made.margins.begin(), made.margins.end(),
                     [](const MarginChange& a, const MarginChange& b) {
                         const auto new_share = [](const MarginChange& each) {
                             return each.new_limit_A > 0 ? each.new_A / each.new_limit_A : 0;
                         };
                         return new_share(a) > new_share(b);
                     });
}

// A reading is the same one where it is taken of the same points in the same state.
using ReadingKey = std::tuple<MeterKind, std::string, std::string, std::string, std::string>;
std::vector<std::pair<ReadingKey, const BenchStep*>> readings_of(const PowerUpSheet& sheet) {
    std::vector<std::pair<ReadingKey, const BenchStep*>> list;
    for (const BenchPart& part : sheet.parts)
        for (const BenchStep& step : part.steps) {
            const bool by_part = step.meter == MeterKind::volts || step.meter == MeterKind::amps;
            list.push_back(
                {{step.meter, by_part ? part.title : std::string(), step.title, step.red, step.black},
                 &step});
        }
    return list;
}

std::string about(const BenchStep& step) {
    return !step.title.empty() ? step.title : step.across_text;
}

void compare_sheets(const PowerUpSheet& before, const PowerUpSheet& after, Comparison& made) {
    std::map<ReadingKey, const BenchStep*> known;
    for (const auto& [key, step] : readings_of(before)) known.emplace(key, step);
    std::map<ReadingKey, bool> kept;
    const auto expected = [](const PowerUpSheet& sheet, const BenchStep& step) {
        return step.meter == MeterKind::millivolts
                   ? fmt::format("{} at {}", step.expect, to_text(sheet.test_A, Dimension::current))
                   : step.expect;
    };
    for (const auto& [key, step] : readings_of(after)) {
        if (kept.contains(key)) continue;
        kept[key] = true;
        const auto found = known.find(key);
        const std::string is = expected(after, *step);
        const std::string was = found == known.end() ? std::string() : expected(before, *found->second);
        if (was != is) made.readings.push_back({step->red, step->black, about(*step), was, is});
    }
    // A barred sheet has no live readings to miss.
    if (before.barred != after.barred) return;
    for (const auto& [key, step] : readings_of(before))
        if (!kept.contains(key) && kept.emplace(key, true).second)
            made.readings.push_back({step->red, step->black, about(*step), expected(before, *step), {}});
}

}  // namespace

Comparison compare(const Results& old_results, const Results& new_results) {
    Comparison made;
    const Harness &before = *old_results.harness, &after = *new_results.harness;
    compare_things(before, before.parts, after, after.parts, made);
    compare_things(before, before.wires, after, after.wires, made);
    compare_findings(old_results, new_results, made);
    compare_margins(old_results, new_results, made);
    compare_sheets(power_up_sheet(old_results), power_up_sheet(new_results), made);
    return made;
}

}  // namespace loomward
