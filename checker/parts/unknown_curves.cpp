#include "checker/parts/unknown_curves.hpp"

#include <algorithm>
#include <cmath>

#include "checker/parts/rerating.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/tables/protection.hpp"

namespace loomward {

using namespace literals;

namespace {

struct Latest {
    EdgeCurve curve;
    SourceId source{};
};

void add(Latest& latest, double current_A, double open_s, SourceId source) {
    latest.curve.points.push_back({current_A, open_s});
    latest.source = source;
}

void add_gg(Latest& latest, double rated_A) {
    const auto rows = gg_fuses();
    const auto larger =
        std::find_if(rows.begin(), rows.end(), [&](const GgFuse& row) { return row.rated_A >= rated_A; });
    if (larger == rows.end()) return;
    if (const auto conventional = conventional_currents("iec60269-gg", rated_A))
        add(latest, conventional->fusing * rated_A, conventional->open_s, conventional->source);
    add(latest, larger->opens_5s_A, 5, SourceId::iec60269_table_3);
}

// When the slowest sheet of a family is open. A magnetic release that is set, or that acts on alternating
// current alone, is nothing to count on, nor is a product that is quicker than its family must be.
Latest latest_of(std::string_view family, double rated_A) {
    Latest latest;
    latest.curve.keeps_integral = false;
    if (family == "iec60269-gg") add_gg(latest, rated_A);
    for (const Gate& gate : gates_of(family, rated_A))
        if (gate.t_max_s < forever_s && gate.variant != "of Ii" && gate.variant != "ac")
            add(latest, gate.multiple * rated_A, gate.t_max_s, gate.source);
    auto& points = latest.curve.points;
    std::sort(points.begin(), points.end(), [](const auto& a, const auto& b) {
        return a.current_A != b.current_A ? a.current_A < b.current_A : a.time_s > b.time_s;
    });
    points.erase(std::unique(points.begin(), points.end(),
                             [](const auto& a, const auto& b) { return a.current_A == b.current_A; }),
                 points.end());
    for (std::size_t i = 1; i < points.size(); ++i)
        points[i].time_s = std::min(points[i].time_s, points[i - 1].time_s);
    return latest;
}

}  // namespace

bool AnyCurve::opens() const {
    return std::isfinite(quickest_s);
}

std::optional<AnyCurve> by_any_curve(const Facts& facts, PartId device, double current_A) {
    const Part& part = facts.harness().part(device);
    if (part.kind != Kind::fuse && part.kind != Kind::breaker) return std::nullopt;
    const auto rated = facts.quantity(device, "(rated-current)"_attr);
    if (!rated || rated->hi <= 0 || find_protection_family(facts.word(device, "curve"_attr)) ||
        !band_of(facts, device).slow.empty())
        return std::nullopt;
    // Cold it stands more than it is rated.
    const double cold = Rerating(facts, device).slow_edge(facts.ambient(device).lo);
    std::optional<AnyCurve> any;
    for (const ProtectionFamily& family : protection_families()) {
        if (family.is_breaker != (part.kind == Kind::breaker)) continue;
        const Latest latest = latest_of(family.word, rated->hi);
        if (latest.curve.points.empty()) continue;
        const double open_s = latest.curve.time_s(current_A / cold);
        if (!any) any = AnyCurve{open_s, open_s, cite(latest.source)};
        any->quickest_s = std::min(any->quickest_s, open_s);
        if (open_s > any->slowest_s) any->slowest_s = open_s, any->slowest_source = cite(latest.source);
    }
    return any;
}

}  // namespace loomward
