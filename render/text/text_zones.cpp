// Which wires each device guards, as text:
//
//     guarded by F1 (1.35 x 80 A = 108 A)
//           wires:  W2 W3 W4
//           limit:  W4 may carry 120 A, the least of them
//
//     not guarded, ends 1.2 m from the source
//           wires:  W7
//           path:   B1.+ > W7
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/text/characters.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

using Guard = ProtectionZone::Guard;

std::string amperes(double current_A) {
    return to_text(current_A, Dimension::current);
}

// Nothing in it is a device that opens.
bool all_limits(const ProtectionZone& zone) {
    return std::all_of(zone.devices.begin(), zone.devices.end(),
                       [](const ZoneGuard& guard) { return guard.limit; });
}

std::string guards_words(const ProtectionZone& zone, const Harness& harness) {
    std::vector<std::string> words;
    for (const ZoneGuard& guard : zone.devices)
        words.push_back(fmt::format("{}{} ({})", guard.limit && !all_limits(zone) ? "limit of " : "",
                                    harness.part(guard.part).name, guard.working));
    std::string text = fmt::format("{}", fmt::join(words, " + "));
    return words.size() < 2 || !std::isfinite(zone.current_A)
               ? text
               : text + ", together " + amperes(zone.current_A);
}

std::string heading(const ProtectionZone& zone, const Harness& harness) {
    const std::string reach = to_text(zone.reach_m, Dimension::length);
    switch (zone.guard) {
        case Guard::devices:
            return "guarded by " + guards_words(zone, harness);
        case Guard::electronics:
            return std::string(all_limits(zone) ? "no device, held by limits alone, "
                                                : "guarded by electronics alone, ") +
                   guards_words(zone, harness);
        case Guard::no_source:
            return "reached by no source";
        case Guard::not_known:
            return "not known, " + guards_words(zone, harness);
        case Guard::short_leads:
            return fmt::format("not guarded, ends {} from the source, as the policy allows", reach);
        case Guard::none:
            return fmt::format("not guarded, ends {} from the source", reach);
    }
    return {};
}

std::string zone_text(const ProtectionZone& zone, const Results& results, bool color) {
    const Harness& harness = *results.harness;
    std::vector<std::string_view> names;
    for (const WireId wire : zone.wires) names.push_back(harness.wire(wire).name);
    const Ink ink = zone.guard == Guard::none ? Ink::error : Ink::strong;
    std::string text;
    for (const std::string& line : wrapped(heading(zone, harness), text_columns))
        text += paint(line, ink, color) + "\n";
    text += labelled("wires", fmt::format("{}", fmt::join(names, " ")), color);
    if (zone.weakest)
        text += labelled(
            "limit",
            fmt::format("{} may carry {}{}", harness.wire(zone.weakest).name,
                        amperes(zone.weakest_ampacity_A), zone.wires.size() > 1 ? ", the least of them" : ""),
            color);
    return text + labelled_path(zone.witness, color) + "\n";
}

}  // namespace

std::string zones_text(const Results& results, bool color) {
    std::string text;
    for (const ProtectionZone& zone : results.zones) text += zone_text(zone, results, color);
    return text;
}

}  // namespace loomward
