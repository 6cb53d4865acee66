#include "checker/parts/facts.hpp"

#include <algorithm>
#include <charconv>
#include <map>
#include <tuple>
#include <unordered_set>

#include "checker/parts/open_ambient.hpp"
#include "parser/estimates.hpp"

namespace loomward {

using namespace literals;

struct Facts::Memory {
    std::vector<bool> seen;  // by attribute and part: its default is on the list already
    std::vector<std::pair<Attr, PartId>> defaults;
    std::vector<std::pair<Attr, PartId>> estimates;
    std::vector<bool> estimate_seen;
    // Worked out elsewhere: what, value and source, with who used it; `known` keeps the users apart quickly.
    struct Hash {
        using is_transparent = void;
        std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
    };
    struct Users {
        std::vector<std::string> in_order;
        std::unordered_set<std::string, Hash, std::equal_to<>> known;
    };
    using Key = std::tuple<std::string, std::string, std::string>;
    std::map<Key, Users, std::less<>> others;
    std::vector<std::optional<Quantity>> policies{attribute_table.size()};  // by attribute, once asked for
    // By location and mode, first in any mode: as hot as its inside gets; empty where nothing warms any.
    std::vector<double> inside_degC;
    std::size_t modes = 0;

    std::optional<double> inside(LocationId location, ModeId mode) const {
        if (inside_degC.empty()) return std::nullopt;
        return inside_degC[place(location, mode)];
    }
    std::size_t place(LocationId location, ModeId mode) const {
        return location.index() * (modes + 1) + (mode ? mode.index() + 1 : 0);
    }
};

namespace {

// The table's own default for an attribute of a kind, as a quantity.
std::optional<Quantity> table_default(Kind kind, Attr name) {
    const KindAttribute* row = find_attribute(kind, name);
    if (!row || row->default_text.empty()) return std::nullopt;
    std::optional<Quantity> parsed = quantity_from_text(row->default_text);
    if (parsed) parsed->known = Knowledge::assumed;
    return parsed;
}

// Of the ratings of devices for normal service (IEC 60947-1 clause 6.1.2, memory).
constexpr double printed_up_to_m = 2000;

// What was written, before it was spread.
Quantity as_written(Quantity spread, double share) {
    if (share < 1) spread.hi = spread.lo = spread.lo > 0 ? spread.lo / (1 - share) : spread.lo / (1 + share);
    return spread;
}

// "about 28 mohm, either way 25 %"
std::string estimated(const Harness& harness, const Quantity& spread) {
    const double share = estimate_spread(harness, spread.dimension);
    return to_text(as_written(spread, share)) + ", either way " + to_text(share * 100, Dimension::percentage);
}

// An ambient that is said to be unknown is taken as wide as harnesses meet it.
Quantity stated_ambient(const Facts& facts, const Quantity& stated, std::string_view of) {
    if (stated.is_known()) return stated;
    static const std::string taken = to_text(unknown_ambient);
    facts.assume("ambient that nobody knows", taken,
                 "hottest: engine spaces, 33 CFR 183.425 (memory); coldest: no source", of);
    return unknown_ambient;
}

Quantity harness_ambient(const Facts& facts, ModeId mode) {
    const Harness& harness = facts.harness();
    if (mode && harness.modes[mode.index()].ambient)
        return stated_ambient(facts, *harness.modes[mode.index()].ambient, harness.modes[mode.index()].name);
    const Value value = harness.value(harness.attributes, "ambient"_attr);
    if (value.present()) return stated_ambient(facts, value.quantity(), "the harness");
    facts.assume("ambient of the harness", "10..40 degC", "no source", "the harness");
    return {10, 40, Dimension::temperature, Knowledge::assumed};
}

std::string kind_and_attribute(const Harness& harness, PartId part, Attr name) {
    return std::string(info(name).name) + " of " + std::string(info(harness.part(part).kind).a_word);
}

}  // namespace

Facts::Facts(const Harness& harness) : harness_(harness), memory_(std::make_unique<Memory>()) {
    memory_->seen.resize(attribute_table.size() * harness.parts.size());
    memory_->estimate_seen.resize(attribute_table.size() * harness.parts.size());
}
Facts::~Facts() = default;

std::optional<Quantity> Facts::quantity(PartId part, Attr name, std::size_t place) const {
    const Part& fitted = harness_.part(part);
    const std::size_t key = static_cast<std::size_t>(name) * harness_.parts.size() + part.index();
    const Value value = harness_.value(fitted.attributes, name, place);
    if (value.present()) {
        if (value.known == Knowledge::unknown || value.type == ValueType::word) return std::nullopt;
        const Quantity stated = value.quantity();
        if (stated.known == Knowledge::about && !memory_->estimate_seen[key]) {
            memory_->estimate_seen[key] = true;
            memory_->estimates.emplace_back(name, part);
        }
        return stated;
    }
    if (place != 0) return std::nullopt;
    const std::optional<Quantity> fallback = table_default(fitted.kind, name);
    if (fallback && !memory_->seen[key]) {
        memory_->seen[key] = true;
        memory_->defaults.emplace_back(name, part);
    }
    return fallback;
}

std::string_view Facts::word(PartId part, Attr name, std::size_t place) const {
    const Part& fitted = harness_.part(part);
    const Value value = harness_.value(fitted.attributes, name, place);
    if (value.known == Knowledge::unknown) return {};
    if (value.present()) return value.type == ValueType::quantity ? std::string_view() : value.text;
    const KindAttribute* row = place == 0 ? find_attribute(fitted.kind, name) : nullptr;
    if (!row || row->default_text.empty()) return {};
    const std::size_t key = static_cast<std::size_t>(name) * harness_.parts.size() + part.index();
    if (!memory_->seen[key]) {
        memory_->seen[key] = true;
        memory_->defaults.emplace_back(name, part);
    }
    return row->default_text;
}

std::optional<int> Facts::count(PartId part, Attr name, std::size_t place) const {
    const Value value = harness_.value(harness_.part(part).attributes, name, place);
    if (value.type == ValueType::count) return static_cast<int>(value.lo);
    if (value.present()) return std::nullopt;
    const KindAttribute* row = find_attribute(harness_.part(part).kind, name);
    int number = 0;
    if (!row || row->default_text.empty()) return std::nullopt;
    const auto end = row->default_text.data() + row->default_text.size();
    if (std::from_chars(row->default_text.data(), end, number).ec != std::errc()) return std::nullopt;
    return number;
}

bool Facts::is_unknown(PartId part, Attr name) const {
    const Attribute* found = harness_.find(harness_.part(part).attributes, name);
    if (!found) return false;
    const auto values = harness_.values_of(*found);
    return std::any_of(values.begin(), values.end(),
                       [](const Value& each) { return each.known == Knowledge::unknown; });
}

Quantity Facts::policy(Attr name) const {
    std::optional<Quantity>& remembered = memory_->policies[static_cast<std::size_t>(name)];
    if (!remembered) remembered = find_policy(name);
    return *remembered;
}

Quantity Facts::find_policy(Attr name) const {
    const Value value = harness_.value(harness_.policy, name);
    if (value.present() && value.known != Knowledge::unknown) return value.quantity();
    const std::optional<Quantity> fallback = table_default(Kind::policy, name);
    const KindAttribute* row = find_attribute(Kind::policy, name);
    if (!fallback) return {};
    assume("policy " + std::string(info(name).name), row->default_text, row->default_source, "the harness");
    return *fallback;
}

void Facts::warm(LocationId location, ModeId mode, double inside_degC) {
    constexpr double nothing_degC = -300;
    if (memory_->inside_degC.empty()) {
        memory_->modes = harness_.modes.size();
        memory_->inside_degC.assign(harness_.locations.size() * (memory_->modes + 1), nothing_degC);
    }
    memory_->inside_degC[memory_->place(location, mode)] = inside_degC;
    double& in_any = memory_->inside_degC[memory_->place(location, {})];
    in_any = std::max(in_any, inside_degC);
}

Quantity Facts::around(LocationId id, ModeId mode) const {
    const Location& location = harness_.locations[id.index()];
    const Value value = harness_.value(location.attributes, "ambient"_attr);
    if (value.present()) return stated_ambient(*this, value.quantity(), location.name);
    return harness_ambient(*this, mode);
}

Quantity Facts::within(LocationId location, ModeId mode) const {
    Quantity range = around(location, mode);
    if (const auto inside_degC = memory_->inside(location, mode)) range.hi = std::max(range.hi, *inside_degC);
    return range;
}

Quantity Facts::ambient(PartId part, ModeId mode) const {
    const LocationId location = harness_.part(part).location;
    return location ? within(location, mode) : harness_ambient(*this, mode);
}

Quantity Facts::ambient(WireId wire, ModeId mode) const {
    return ambient_of(wire, mode, true);
}

Quantity Facts::cold_ambient(WireId wire, ModeId mode) const {
    return ambient_of(wire, mode, false);
}

Quantity Facts::ambient_of(WireId wire, ModeId mode, bool warmed) const {
    std::optional<Quantity> found;
    const auto widen = [&](const Quantity& range) {
        if (!found) {
            found = range;
        } else {
            found->lo = std::min(found->lo, range.lo);
            found->hi = std::max(found->hi, range.hi);
        }
    };
    for (const BundleId id : harness_.wire(wire).bundles) {
        if (!id) continue;
        const Bundle& bundle = harness_.bundles[id.index()];
        if (const Value value = harness_.value(bundle.attributes, "ambient"_attr); value.present())
            widen(stated_ambient(*this, value.quantity(), bundle.name));
        if (bundle.location) widen(warmed ? within(bundle.location, mode) : around(bundle.location, mode));
    }
    if (!found) widen_by_ends(wire, mode, warmed, widen);
    return found ? *found : harness_ambient(*this, mode);
}

// Where nothing says what it runs through, a wire both of whose ends lie in places lies there; between two
// different ones in the air of the harness as well. The worst part of a route counts. Of one with an end in
// no place nobody knows how much of it lies where the other ends.
template <class Widen>
void Facts::widen_by_ends(WireId wire, ModeId mode, bool warmed, Widen widen) const {
    const Wire& runs = harness_.wire(wire);
    const auto place = [&](TerminalId end) {
        return end ? harness_.part(harness_.terminal(end).part).location : LocationId();
    };
    const LocationId from = place(runs.from), to = place(runs.to);
    if (!from && !to) return;
    constexpr std::string_view what = "air around a wire that lies in no place";
    if (!from || !to) return assume(what, "the harness's; one end has its own", "no source", runs.name);
    for (const LocationId each : {from, to}) widen(warmed ? within(each, mode) : around(each, mode));
    if (from != to) widen(harness_ambient(*this, mode));
    assume(what, "that of both its ends", "IEC 60364-5-52 523.8 (memory): the worst part of a route",
           runs.name);
}

double Facts::altitude_m() const {
    const Value stated = harness_.value(harness_.attributes, "altitude"_attr);
    if (!stated.present()) return 0;
    if (stated.known == Knowledge::unknown) {
        assume("altitude that nobody knows", to_text(printed_up_to_m, Dimension::length),
               "up to there what is printed on devices holds, IEC 60947-1 (memory)", "the harness");
        return printed_up_to_m;
    }
    if (stated.hi > printed_up_to_m)
        assume("what is printed on devices above 2000 m, and ampacities", "taken as it stands",
               "holds up to 2000 m, IEC 60947-1 (memory): ask for what holds above", "the harness");
    return stated.hi;
}

void Facts::assume_altitude() const {
    if (!harness_.value(harness_.attributes, "altitude"_attr).present())
        assume("altitude", "at the sea", "no source; what is printed on devices holds up to 2000 m",
               "the harness");
}

double Facts::air_speed_m_s(WireId wire) const {
    std::optional<double> least_m_s;
    for (const BundleId id : harness_.wire(wire).bundles) {
        if (!id) continue;
        const LocationId place = harness_.bundles[id.index()].location;
        const Slice said = place ? harness_.locations[place.index()].attributes : Slice{};
        const Value speed = harness_.value(said, "air"_attr, 1);
        const bool moves = harness_.value(said, "air"_attr).text == "moving";
        if (moves && !speed.present())
            assume("speed of air that moves", "0 m/s", "no source, safe side",
                   harness_.locations[place.index()].name);
        const double here_m_s = moves && speed.present() ? speed.lo : 0;
        least_m_s = std::min(least_m_s.value_or(here_m_s), here_m_s);
    }
    return least_m_s.value_or(0);
}

void Facts::assume(std::string_view what, std::string_view value, std::string_view source,
                   std::string_view user) const {
    // Most of it was said before: no text is copied to find that out.
    auto found = memory_->others.find(std::tuple(what, value, source));
    if (found == memory_->others.end())
        found =
            memory_->others.try_emplace({std::string(what), std::string(value), std::string(source)}).first;
    Memory::Users& users = found->second;
    if (users.known.find(user) != users.known.end()) return;
    users.known.emplace(user);
    users.in_order.emplace_back(user);
}

std::vector<Assumption> Facts::assumptions() const {
    std::map<Memory::Key, std::vector<std::string>> all;
    for (const auto& [key, users] : memory_->others) all[key] = users.in_order;
    const auto list = [&](std::vector<std::pair<Attr, PartId>> uses, bool estimates) {
        std::sort(uses.begin(), uses.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
        for (const auto& [name, part] : uses) {
            const Part& fitted = harness_.part(part);
            const KindAttribute* row = find_attribute(fitted.kind, name);
            const std::string value =
                estimates ? estimated(harness_, harness_.value(fitted.attributes, name).quantity())
                          : std::string(row->default_text);
            const std::string source =
                estimates ? "estimated, to be measured" : std::string(row->default_source);
            all[{kind_and_attribute(harness_, part, name), value, source}].emplace_back(fitted.name);
        }
    };
    list(memory_->defaults, false);
    list(memory_->estimates, true);
    std::vector<Assumption> sorted;
    for (auto& [key, users] : all)
        sorted.push_back({std::get<0>(key), std::get<1>(key), std::get<2>(key), std::move(users)});
    return sorted;
}

}  // namespace loomward
