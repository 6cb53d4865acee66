#include "checker/parts/time_current.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "checker/circuit/latching.hpp"
#include "checker/parts/rerating.hpp"
#include "checker/tables/protection.hpp"

namespace loomward {

using namespace literals;

namespace {

// IEC 60269-3-1 5.6.1: a published curve may be off by at most 10 % in current.
constexpr double curve_tolerance = 0.1;
// A gate up to this long still tells of a short circuit; common practice, no source.
constexpr double longest_for_integral_s = 10;
// The contacts of a breaker need some time to part; common practice, no source.
constexpr double quickest_release_s = 1e-3;

// Rising in current; of equal currents the worse time stays (slow: the longer, fast: the shorter). Times
// never rise with the current: a later point comes down to the one before it, which claims less on either
// edge.
void tidy(EdgeCurve& curve, bool slow) {
    auto& points = curve.points;
    std::sort(points.begin(), points.end(), [slow](const auto& a, const auto& b) {
        if (a.current_A != b.current_A) return a.current_A < b.current_A;
        return slow ? a.time_s > b.time_s : a.time_s < b.time_s;
    });
    points.erase(std::unique(points.begin(), points.end(),
                             [](const auto& a, const auto& b) { return a.current_A == b.current_A; }),
                 points.end());
    for (std::size_t i = 1; i < points.size(); ++i)
        points[i].time_s = std::min(points[i].time_s, points[i - 1].time_s);
}

void scale(std::vector<EdgeCurve>& curves, double factor) {
    for (EdgeCurve& curve : curves)
        for (EdgeCurve::Point& point : curve.points) point.current_A *= factor;
}

// Of a breaker the thermal release alone: what takes longer than a magnetic one. Up to where that acts the
// thermal one goes on with its joule integral.
void scale_thermal(std::vector<EdgeCurve>& curves, double factor, bool slow) {
    constexpr double magnetic_s = 0.2, just_below = 1 - 1e-6;
    for (EdgeCurve& curve : curves) {
        const bool joined = curve.silent_to_A > 0;
        // Where the magnetic release acts nothing is later than it, however cold the other.
        double magnetic_A = std::numeric_limits<double>::infinity();
        for (const EdgeCurve::Point& point : curve.points)
            if (point.time_s <= magnetic_s) magnetic_A = std::min(magnetic_A, point.current_A);
        if (joined) factor = std::min(factor, just_below * curve.silent_to_A / curve.silent_from_A);
        for (EdgeCurve::Point& point : curve.points) {
            if (joined && point.current_A == curve.silent_to_A)
                point.time_s *= factor * factor;
            else if (point.time_s > magnetic_s) {
                const double moved_A = point.current_A * factor,
                             least_A = std::min(moved_A, just_below * magnetic_A);
                point.time_s *= (moved_A / least_A) * (moved_A / least_A);
                point.current_A = least_A;
            }
        }
        curve.silent_from_A *= factor;
        tidy(curve, slow);
    }
}

bool is_breaker_family(std::string_view family) {
    const ProtectionFamily* found = find_protection_family(family);
    return found && found->is_breaker;
}

// Rows of a family as curves, one pair a sheet; rows without a sheet belong to every one.
void from_gates(Band& band, std::string_view family, double rated_A, bool direct_current,
                std::optional<double> instantaneous_A) {
    std::map<std::string_view, std::vector<Gate>> sheets;
    std::vector<Gate> common;
    for (const Gate& gate : gates_of(family, rated_A)) {
        if (gate.variant == "ac" && direct_current) continue;
        if (gate.variant == "dc" && !direct_current) continue;
        if (band.source.empty()) band.source = cite(gate.source);
        // A time-delay product cannot be told from a quick one: its longer holding time is no promise.
        if (gate.variant == "time-delay") continue;
        if (gate.variant == "of Ii") {
            if (!instantaneous_A) continue;
            Gate scaled = gate;
            scaled.multiple *= *instantaneous_A / rated_A;
            common.push_back(scaled);
        } else if (gate.variant.empty() || gate.variant == "dc" || gate.variant == "ac") {
            common.push_back(gate);
        } else {
            sheets[gate.variant].push_back(gate);
        }
    }
    if (sheets.empty()) sheets[""] = {};
    const bool breaker = is_breaker_family(family);
    for (auto& [name, rows] : sheets) {
        rows.insert(rows.end(), common.begin(), common.end());
        EdgeCurve fast, slow;
        for (const Gate& gate : rows) {
            if (gate.t_min_s > 0 && gate.t_min_s < forever_s)
                fast.points.push_back({gate.multiple * rated_A, gate.t_min_s});
            if (gate.t_max_s < forever_s) slow.points.push_back({gate.multiple * rated_A, gate.t_max_s});
        }
        tidy(fast, false);
        tidy(slow, true);
        // The last time of a magnetic release holds however large the current; a thermal one alone keeps
        // its joule integral like a fuse.
        const bool magnetic = breaker && !slow.points.empty() && slow.points.back().time_s <= 0.2;
        slow.keeps_integral = !magnetic;
        // Up to the current at which the magnetic release must act, the thermal one keeps its joule integral.
        if (magnetic && slow.points.size() > 1) {
            const EdgeCurve::Point thermal = slow.points[slow.points.size() - 2];
            const double before_A = slow.points.back().current_A * (1 - 1e-9);
            const double ratio = thermal.current_A / before_A;
            slow.silent_from_A = thermal.current_A;
            slow.silent_to_A = before_A;
            slow.points.insert(slow.points.end() - 1, {before_A, std::max(thermal.time_s * ratio * ratio,
                                                                          slow.points.back().time_s)});
        }
        // Beyond the current that its magnetic release must still hold, a breaker may open at once.
        if (magnetic && fast.points.size() > 1)
            fast.points.push_back({fast.points.back().current_A * (1 + 1e-9), quickest_release_s});
        fast.keeps_integral = !breaker;
        // A rating that the family does not have: nothing is known.
        if (!fast.points.empty()) band.fast.push_back(std::move(fast));
        if (!slow.points.empty()) band.slow.push_back(std::move(slow));
    }
}

// Sizes that the table does not have are held between their neighbours: the slow edge of the next larger one,
// the fast edge of the next smaller one.
const GgFuse* gg_row(double rated_A, bool larger) {
    const auto rows = gg_fuses();
    const GgFuse* found = nullptr;
    for (const GgFuse& row : rows) {
        if (larger && row.rated_A >= rated_A) return &row;
        if (row.rated_A <= rated_A) found = &row;
    }
    return larger ? nullptr : found;
}

EdgeCurve slow_gg(double rated_A, const ConventionalCurrents& conventional) {
    EdgeCurve slow;
    slow.points.push_back({conventional.fusing * rated_A, conventional.open_s});
    if (const GgFuse* row = gg_row(rated_A, true)) {
        slow.points.push_back({row->opens_5s_A, 5});
        slow.points.push_back({row->opens_100ms_A, 0.1});
    }
    tidy(slow, true);
    return slow;
}

void from_gg(Band& band, double rated_A, const ConventionalCurrents& conventional) {
    EdgeCurve fast;
    fast.points.push_back({conventional.non_fusing * rated_A, conventional.hold_s});
    if (const GgFuse* row = gg_row(rated_A, false)) {
        fast.points.push_back({row->holds_10s_A, 10});
        fast.points.push_back({row->holds_100ms_A, 0.1});
    }
    tidy(fast, false);
    band.fast.push_back(std::move(fast));
    band.slow.push_back(slow_gg(rated_A, conventional));
    band.source = cite(SourceId::iec60269_table_3);
}

// The largest operating integral that the file states for a fuse of the same family that is larger: a smaller
// one lets less through. 0 where there is none.
double of_larger_A2s(const Facts& facts, std::string_view family, double rated_A) {
    double least_A2s = 0;
    const Harness& harness = facts.harness();
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        if (harness.parts[i].kind != Kind::fuse || facts.word(PartId(i), "curve"_attr) != family) continue;
        const auto rated = facts.quantity(PartId(i), "(rated-current)"_attr);
        const auto clears = facts.quantity(PartId(i), "clears"_attr);
        if (!rated || !clears || rated->lo < rated_A) continue;
        if (least_A2s == 0 || clears->hi < least_A2s) least_A2s = clears->hi;
    }
    return least_A2s;
}

// A small circuit-breaker must act within 0.1 s, which says little of its let-through. Of energy limiting
// class 3 the largest joule integrals, A2s, by prospective current; EN 60898-1 (memory). Up to 16 A, up to 32
// A.
struct LimitedEnergy {
    double current_A;
    double b_16_A2s, b_32_A2s, c_16_A2s, c_32_A2s;
};
constexpr LimitedEnergy class_3[] = {
    {3000, 15e3, 18e3, 18e3, 22e3}, {6000, 35e3, 45e3, 42e3, 55e3}, {10000, 70e3, 90e3, 84e3, 110e3}};

void bound_breaker(Band& band, std::string_view family, double rated_A) {
    const bool b = family == "iec60898-b", c = family == "iec60898-c";
    if ((!b && !c) || rated_A > 32 || band.slow.empty() || band.slow.front().points.empty()) return;
    if (band.slow.front().integral_A2s > 0) return;
    for (const LimitedEnergy& row : class_3) {
        const bool small = rated_A <= 16;
        const double most_A2s =
            b ? (small ? row.b_16_A2s : row.b_32_A2s) : (small ? row.c_16_A2s : row.c_32_A2s);
        if (band.usual.points.empty()) band.usual.points.push_back({std::sqrt(most_A2s / 0.1), 0.1});
        band.usual.points.push_back({row.current_A, most_A2s / (row.current_A * row.current_A)});
    }
    band.promised_to_A = band.slow.front().points.back().current_A * 1.0001;
}

// Where the last gate of the slow edge is one of minutes, what is usual beyond it. A breaker without an
// instantaneous release that is stated keeps its thermal one: that is as slow as it looks.
void bound_beyond(Band& band, const Facts& facts, PartId device, std::string_view family, double rated_A) {
    if (band.slow.empty() || facts.harness().part(device).kind != Kind::fuse) return;
    EdgeCurve::Point last;
    double integral_A2s = 0;
    for (const EdgeCurve& curve : band.slow) {
        if (curve.points.empty() || curve.points.back().time_s <= longest_for_integral_s) return;
        if (curve.points.back().current_A > last.current_A) last = curve.points.back();
        integral_A2s = curve.integral_A2s;
    }
    if (integral_A2s == 0) {
        integral_A2s = of_larger_A2s(facts, family, rated_A);
        for (EdgeCurve& curve : band.slow) curve.integral_A2s = integral_A2s;
        if (integral_A2s > 0)
            facts.assume("joule integral of a fuse that states none",
                         to_text(integral_A2s, Dimension::joule_integral),
                         "a larger fuse of its family in this file", facts.harness().part(device).name);
    }
    band.promised_to_A = last.current_A * 1.0001;
    if (integral_A2s > 0) {
        band.promised_from_A = std::sqrt(integral_A2s / adiabatic_s);
        band.usual.points = {last, {band.promised_from_A, adiabatic_s}};
        tidy(band.usual, true);
        return;
    }
    const auto conventional = conventional_currents("iec60269-gg", rated_A);
    if (conventional && gg_row(rated_A, true))
        band.usual = slow_gg(rated_A, *conventional);
    else
        band.promised_to_A = never_s;
}

// A time with a spread is a band; a single time stands for a curve that may be 10 % off in current.
void from_points(Band& band, const Harness& harness, PartId device) {
    band.own_points = true;
    EdgeCurve fast, slow;
    bool single = false;
    for (const Attribute& attribute : harness.attributes_of(harness.part(device).attributes)) {
        if (attribute.name != "point"_attr) continue;
        const auto values = harness.values_of(attribute);
        if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
        const bool spread = values[1].lo < values[1].hi;
        single = single || !spread;
        const double off = spread ? 0 : curve_tolerance;
        if (values[1].lo > 0) fast.points.push_back({values[0].lo * (1 - off), values[1].lo});
        if (values[1].hi > 0) slow.points.push_back({values[0].hi * (1 + off), values[1].hi});
    }
    tidy(fast, false);
    tidy(slow, true);
    if (harness.part(device).kind == Kind::breaker) slow.keeps_integral = fast.keeps_integral = false;
    band.fast.push_back(std::move(fast));
    band.slow.push_back(std::move(slow));
    band.source =
        single ? "the part's own points; 10 % in current, IEC 60269-3-1 5.6.1" : "the part's own points";
}

// An instantaneous release that is stated beside the points may act from the current that it must still hold.
void add_instantaneous(Band& band, double rated_A, double setting_A) {
    constexpr std::string_view family = "iec60947-2";
    for (const Gate& gate : gates_of(family, rated_A)) {
        if (gate.variant != "of Ii" || gate.t_min_s <= 0) continue;
        const double from_A = gate.multiple * setting_A, before_A = from_A * (1 - 1e-9);
        for (EdgeCurve& fast : band.fast) {
            if (const double before_s = fast.time_s(before_A); std::isfinite(before_s))
                fast.points.push_back({before_A, before_s});
            fast.points.push_back({from_A, quickest_release_s});
            tidy(fast, false);
        }
        band.source += "; instantaneous from " + to_text(from_A, Dimension::current) + " = " +
                       to_text(100 * gate.multiple, Dimension::percentage) + " of its setting, " +
                       cite(gate.source);
    }
}

Band band_of_electronics(const Facts& facts, PartId device, Attr thresholds) {
    Band band;
    band.electronic = true;
    band.source = "settings of the part";
    const Harness& harness = facts.harness();
    // What it opens takes its time; a latching contactor needs a supply that a short circuit may take away.
    const PartId driven = harness.part(device).drives;
    if (driven && is_latching(harness, driven)) return band;
    Quantity opens{0, 0, Dimension::time, Knowledge::stated};
    if (driven) {
        const auto stated = facts.quantity(driven, "opening-time"_attr);
        if (!stated) return band;
        opens = *stated;
        if (opens.known == Knowledge::assumed) opens.lo = 0;
        band.source =
            "settings of the part and the opening time of " + std::string(harness.part(driven).name);
    }
    for (const Attribute& attribute : harness.attributes_of(harness.part(device).attributes)) {
        if (attribute.name != thresholds) continue;
        const auto values = harness.values_of(attribute);
        if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
        // Each threshold is an edge of its own: from its current on, open after its delay.
        EdgeCurve fast, slow;
        fast.keeps_integral = slow.keeps_integral = false;
        fast.points = {{values[0].lo, std::max(values[1].lo + opens.lo, 1e-6)}};
        slow.points = {{values[0].hi, std::max(values[1].hi + opens.hi, 1e-6)}};
        band.fast.push_back(fast);
        band.slow.push_back(slow);
    }
    return band;
}

}  // namespace

std::optional<RatedAt> rated_at(const Facts& facts, PartId device, double ambient_degC) {
    const auto rated = facts.quantity(device, "(rated-current)"_attr);
    if (!rated) return std::nullopt;
    RatedAt found{rated->lo, rated->lo, ambient_degC, ambient_degC};
    const Kind kind = facts.harness().part(device).kind;
    if (kind != Kind::fuse && kind != Kind::breaker) return found;
    const Rerating rerating(facts, device);
    found.stated_at_degC = rerating.rated_at_degC();
    found.current_A *= std::min(1.0, rerating.carries(ambient_degC));
    found.formula = rerating.formula(found.stated_A, ambient_degC);
    rerating.assume(facts);
    return found;
}

std::string RatedAt::working() const {
    const auto degrees = [](double degC) { return to_text(degC, Dimension::temperature); };
    return to_text(current_A, Dimension::current) + " = " + formula + ", " + degrees(ambient_degC) +
           " against " + degrees(stated_at_degC);
}

Band band_of(const Facts& facts, PartId device, double coldest_degC, double hottest_degC) {
    const Harness& harness = facts.harness();
    const Part& part = harness.part(device);
    if (part.kind == Kind::bms || part.kind == Kind::protector)
        return band_of_electronics(facts, device, "trips"_attr);
    Band band;
    const auto rated = facts.quantity(device, "(rated-current)"_attr);
    if (!rated || rated->hi <= 0) return band;
    const std::string_view family = facts.word(device, "curve"_attr);
    const auto conventional = conventional_currents(family, rated->hi);
    band.holds_A = (conventional ? conventional->non_fusing : 1) * rated->lo;
    const bool own_points = harness.find(part.attributes, "point"_attr) != nullptr;
    const bool direct_current = facts.word(device, "(operational-voltage)"_attr, 1) != "ac";
    const auto instantaneous = facts.quantity(device, "instantaneous"_attr);
    if (own_points) {
        from_points(band, harness, device);
        if (instantaneous) add_instantaneous(band, rated->hi, instantaneous->lo);
    } else if (family == "iec60269-gg" && conventional)
        from_gg(band, rated->hi, *conventional);
    else if (!family.empty())
        from_gates(band, family, rated->hi, direct_current,
                   instantaneous ? std::optional(instantaneous->hi) : std::nullopt);
    if (const auto melts = facts.quantity(device, "melts"_attr))
        for (EdgeCurve& curve : band.fast) curve.integral_A2s = melts->lo;
    if (const auto clears = facts.quantity(device, "clears"_attr))
        for (EdgeCurve& curve : band.slow) curve.integral_A2s = clears->hi;
    if (!own_points) bound_beyond(band, facts, device, family, rated->hi);
    if (!own_points) bound_breaker(band, family, rated->hi);
    if (part.kind == Kind::fuse || part.kind == Kind::breaker) {
        const Rerating rerating(facts, device);
        const double hot = rerating.fast_edge(hottest_degC), cold = rerating.slow_edge(coldest_degC);
        const bool breaker = part.kind == Kind::breaker;
        if (breaker) {
            scale_thermal(band.fast, hot, false);
            scale_thermal(band.slow, cold, true);
        } else {
            scale(band.fast, hot);
            scale(band.slow, cold);
            for (EdgeCurve::Point& point : band.usual.points) point.current_A *= cold;
            band.promised_to_A *= cold;
        }
        band.holds_A *= hot;
        rerating.assume(facts);
    }
    if (!band.slow.empty() && !own_points)
        facts.assume("time-current band of a device",
                     family == "iec60269-gg" ? "gates of class gG" : std::string(family), band.source,
                     part.name);
    return band;
}

Band band_of(const Facts& facts, PartId device) {
    const Quantity ambient = facts.ambient(device);
    return band_of(facts, device, ambient.lo, ambient.hi);
}

Band charge_band_of(const Facts& facts, PartId management) {
    return band_of_electronics(facts, management, "charge-trips"_attr);
}

}  // namespace loomward
