// What the table of plausible ranges says of itself: its rows by kind, and its words.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

#include "checker/tables/plausible_rows.hpp"
#include "parser/language/units.hpp"

namespace loomward {
namespace {

constexpr double colder_hotter_K = 10;

// Rows of every file, by kind; the order of a kind's rows stays.
const std::vector<PlausibleRow>& all_rows() {
    static const std::vector<PlausibleRow> all = [] {
        std::vector<PlausibleRow> rows;
        for (const auto& some :
             {plausible::contact_rows(), plausible::fuse_rows(), plausible::joint_rows(),
              plausible::pack_rows(), plausible::electronics_rows(), plausible::surroundings_rows()})
            rows.insert(rows.end(), some.begin(), some.end());
        std::stable_sort(rows.begin(), rows.end(),
                         [](const PlausibleRow& a, const PlausibleRow& b) { return a.kind < b.kind; });
        return rows;
    }();
    return all;
}

std::string span_text(const SizeClass& span, Dimension dimension) {
    return to_text({span.from, span.to, dimension, Knowledge::stated});
}

}  // namespace

std::span<const PlausibleRow> plausible_rows(Kind kind) {
    const auto of_kind =
        std::equal_range(all_rows().begin(), all_rows().end(), PlausibleRow{.kind = kind},
                         [](const PlausibleRow& a, const PlausibleRow& b) { return a.kind < b.kind; });
    return {of_kind.first, of_kind.second};
}

std::string_view known_word(RangeKnown known) {
    switch (known) {
        case RangeKnown::seen:
            return "seen";
        case RangeKnown::second_hand:
            return "seen at second hand";
        case RangeKnown::derived:
            return "derived";
        case RangeKnown::memory:
            break;
    }
    return "memory";
}

std::string_view confidence_word(Confidence confidence) {
    return confidence == Confidence::high ? "high" : confidence == Confidence::medium ? "medium" : "low";
}

const ScalingInfo& info(Scaling scaling) {
    using enum Dimension;
    static constexpr std::array<ScalingInfo, 11> table{{
        {"", "", none, none},
        {"at rated current", "R = U / I", resistance, voltage},
        {"x Ah", "R = x / Ah", resistance, resistance},
        {"x Ah each", "R = n x / Ah, n of them in line", resistance, resistance},
        {"of the cells", "R = x n R_cell / p", resistance, percentage},
        {"for each A", "C = x I", capacitance, capacitance},
        {"for each W at 48 V", "C = x P (48 V / U)2", capacitance, capacitance},
        {"for each kW", "C = x I U", capacitance, capacitance},
        {"at rated coil voltage", "I = P / U", current, power},
        {"times the rated current", "I = x I_rated", current, none},
        {"of its own wire", "R = l R' of the wire", resistance, length},
    }};
    return table[static_cast<std::size_t>(scaling)];
}

SizedBy sizes_of(Kind kind, Attr attribute) {
    switch (kind) {
        case Kind::fuse:
        case Kind::breaker:
        case Kind::protector:
        case Kind::shunt:
            return {"rated", Dimension::current};
        case Kind::bms:
            return {"discharge", Dimension::current};
        case Kind::pack:
            return {attribute == "cell-resistance"_attr ? "cell-capacity" : "capacity", Dimension::charge};
        case Kind::controller:
            return {"supply-limit", Dimension::current};
        case Kind::converter:
            return {"output", Dimension::power};
        case Kind::splice:
            return {"wires of", Dimension::area};
        case Kind::switch_:
        case Kind::selector:
        case Kind::contactor:
        case Kind::relay:
        case Kind::connector:
        case Kind::busbar:
            return {"carries", Dimension::current};
        default:
            return {};
    }
}

std::optional<Attr> chosen_by(Kind kind) {
    switch (kind) {
        case Kind::fuse:
        case Kind::breaker:
            return "curve"_attr;
        case Kind::splice:
            return "method"_attr;
        case Kind::converter:
            return "negative"_attr;
        case Kind::load:
            return "acts-as"_attr;
        default:
            return std::nullopt;
    }
}

std::string applies_text(const PlausibleRow& row) {
    std::string text(row.what);
    if (row.size.to > 0) {
        const SizedBy by = sizes_of(row.kind, row.attribute);
        text += fmt::format("; {} {}", by.word, span_text(row.size, by.dimension));
    }
    if (row.volts.to > 0)
        text += fmt::format("; {} {}", row.kind == Kind::pack ? "full cell" : "largest input",
                            span_text(row.volts, Dimension::voltage));
    if (!row.words.empty() && row.words != plausible::no_family) text += fmt::format("; {}", row.words);
    return text;
}

SizeClass taken_as(const PlausibleRow& row) {
    if (row.confidence != Confidence::low) return {row.low, row.high};
    const UnitInfo* unit = find_unit(row.unit);
    if (unit && unit->dimension == Dimension::temperature)
        return {row.low - colder_hotter_K, row.high + colder_hotter_K};
    SizeClass taken{row.low / 2, row.high * 2};
    const AttributeLimits& limits = info(row.attribute).limits;
    if (limits.highest_percent > 0 && row.scaling == Scaling::plain)
        taken = {std::max(taken.from, limits.lowest_percent), std::min(taken.to, limits.highest_percent)};
    return taken;
}

}  // namespace loomward
