#include "checker/papers/estimate_ends.hpp"

#include <algorithm>
#include <memory>
#include <optional>

#include "checker/parts/open_values.hpp"
#include "checker/quick_check.hpp"

namespace loomward {

namespace {

// Where the figures of an estimate stand in a harness.
struct Place {
    std::vector<std::uint32_t> values;  // into value_store
    WireId wire;                        // in a field of this one
    Attr attribute{};
    bool operator==(const Place&) const = default;
};

std::optional<Place> place_of(const Harness& harness, const OpenValue& value) {
    Place place{{}, {}, value.attribute};
    if (value.wire && field_of(harness.wire(value.wire), value.attribute)) {
        place.wire = value.wire;
        return place;
    }
    if (!value.part) return std::nullopt;
    const Attribute* attribute = harness.find(harness.part(value.part).attributes, value.attribute);
    if (!attribute) return std::nullopt;
    for (std::uint32_t i = attribute->first; i < attribute->first + attribute->count; ++i)
        if (harness.value_store[i].known == Knowledge::about) place.values.push_back(i);
    if (place.values.empty()) return std::nullopt;
    return place;
}

Quantity taken_at(const Harness& harness, const Place& place) {
    return place.wire ? *field_of(harness.wire(place.wire), place.attribute)
                      : harness.value_store[place.values.front()].quantity();
}

// As if it were stated as its low or its high end.
std::shared_ptr<const Harness> at_end(const Harness& harness, const Place& place, bool high) {
    auto made = std::make_shared<Harness>(harness);
    const auto state = [high](auto& value) {
        (high ? value.lo : value.hi) = high ? value.hi : value.lo;
        value.known = Knowledge::stated;
    };
    if (place.wire) state(*field_of(made->wires[place.wire.index()], place.attribute));
    for (const std::uint32_t i : place.values) state(made->value_store[i]);
    return made;
}

bool as_grave(const Finding& finding, Severity severity) {
    return !finding.accepted && finding.severity <= severity;
}

bool tells(const Results& results, const Finding& wanted) {
    return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& each) {
        return each.rule == wanted.rule && each.subject == wanted.subject && each.mode == wanted.mode &&
               as_grave(each, wanted.severity);
    });
}

std::ptrdiff_t count_of_rule(const Results& results, const Finding& wanted) {
    return std::count_if(results.findings.begin(), results.findings.end(), [&](const Finding& each) {
        return each.rule == wanted.rule && as_grave(each, wanted.severity);
    });
}

// Of the findings, those that `now` tells and `then` does not. One that is only told of another part or wire
// of its sort then is not gone.
std::vector<std::size_t> gone(const Results& results, const Results& now, const Results& then) {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < results.findings.size(); ++i) {
        const Finding& finding = results.findings[i];
        if (finding.accepted || finding.asks() || !tells(now, finding) || tells(then, finding)) continue;
        if (count_of_rule(then, finding) < count_of_rule(now, finding)) found.push_back(i);
    }
    return found;
}

}  // namespace

std::vector<EstimateEnds> estimate_ends(const Results& results) {
    const Harness& harness = *results.harness;
    std::vector<EstimateEnds> all;
    std::vector<Place> places;
    for (const OpenValue& value : open_values(harness)) {
        if (value.unknown) continue;
        const std::optional<Place> place = place_of(harness, value);
        if (!place) continue;
        // Of a part type it is one estimate of several parts.
        const auto known = std::find(places.begin(), places.end(), *place);
        if (known == places.end()) {
            places.push_back(*place);
            all.push_back({value.name, {value.subject}, taken_at(harness, *place), false, {}, {}});
        } else {
            all[static_cast<std::size_t>(known - places.begin())].of.push_back(value.subject);
        }
    }
    if (all.empty()) return all;
    const Results now = check_quickly(results.harness);
    for (std::size_t i = 0; i < all.size() && i < most_tried_estimates; ++i) {
        all[i].tried = true;
        all[i].not_at_low = gone(results, now, check_quickly(at_end(harness, places[i], false)));
        all[i].not_at_high = gone(results, now, check_quickly(at_end(harness, places[i], true)));
    }
    return all;
}

}  // namespace loomward
