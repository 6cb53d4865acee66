#include "checker/parts/ratings.hpp"

#include <algorithm>

#include "checker/parts/elements.hpp"
#include "checker/parts/temperature_limits.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string in_amps(double value) {
    return to_text(value, Dimension::current);
}
std::string in_degrees(double value) {
    return to_text(value, Dimension::temperature);
}

std::optional<Quantity> known_figure(const Value& value) {
    if (value.type != ValueType::quantity || value.known == Knowledge::unknown) return std::nullopt;
    return value.quantity();
}

CurrentRating plain(double amperes, std::string name) {
    return {amperes, amperes, std::move(name), in_amps(amperes) + " (rated)", "rating of the part"};
}

std::optional<CurrentRating> stated(const Facts& facts, PartId part, Attr attribute, std::string name) {
    const auto value = facts.quantity(part, attribute);
    return value ? std::optional(plain(value->lo, std::move(name))) : std::nullopt;
}

// Neighbours in a connector warm each other, and so does the place: base curve at its hottest ambient.
std::optional<CurrentRating> mated_contact(const Facts& facts, const Edge& edge, const Quantity& ambient) {
    auto carries = facts.quantity(edge.part, "carries"_attr);
    if (const OwnContact* own = facts.harness().own_contact_at(edge.from_terminal)) {
        const Value& value = facts.harness().current_of(*own);
        if (value.known == Knowledge::unknown) return std::nullopt;
        carries = value.quantity();
    }
    if (!carries) return std::nullopt;
    const auto rated_at = facts.quantity(edge.part, "rated-at"_attr);
    const auto limit = facts.quantity(edge.part, "limit"_attr);
    if (!rated_at || !limit) return plain(carries->lo, "rating");
    CurrentRating rating{derated_A(carries->lo, rated_at->lo, limit->lo, ambient.hi), carries->lo,
                         "derated current", "", "IEC 60512-5-2, base curve"};
    rating.working = in_amps(rating.may_A) + " = " + in_amps(carries->lo) + " x sqrt((" +
                     in_degrees(limit->lo) + " - " + in_degrees(ambient.hi) + ")/(" + in_degrees(limit->lo) +
                     " - " + in_degrees(rated_at->lo) + "))";
    return rating;
}

std::optional<CurrentRating> protective(const Facts& facts, PartId part, double ambient_degC) {
    const auto rated = rated_at(facts, part, ambient_degC);
    if (!rated) return std::nullopt;
    CurrentRating rating = plain(rated->current_A, "rated current");
    rating.stated_A = rated->stated_A;
    if (!rated->lowered()) return rating;
    rating.name += " at " + in_degrees(rated->ambient_degC);
    rating.working = rated->working();
    rating.source += "; " + cite(SourceId::fuse_temperature);
    return rating;
}

// The smaller of the plain limit and the one at the ambients of its place.
std::optional<CurrentRating> at_ambient(const Facts& facts, PartId part, Attr plain_limit,
                                        Attr by_temperature, const Quantity& ambient) {
    auto rating = stated(facts, part, plain_limit, std::string(info(plain_limit).name));
    const auto limit = temperature_limit(facts, part, by_temperature, ambient);
    if (!limit || (rating && rating->may_A <= limit->current_A)) return rating;
    CurrentRating lower = plain(
        limit->current_A, std::string(info(by_temperature).name) + " " + in_degrees(limit->ambient_degC));
    lower.working = limit->working;
    return lower;
}

std::optional<CurrentRating> smaller(std::optional<CurrentRating> a, std::optional<CurrentRating> b) {
    if (!a || !b) return a ? a : b;
    return b->may_A < a->may_A ? b : a;
}

// Discharge leaves a pack along its edge; through a BMS it goes from the cells to the port in the plus, from
// the port to the cells in the minus. A port for charging alone has the charge rating both ways.
std::optional<CurrentRating> source_or_trip(const Facts& facts, const Edge& edge, const Quantity& ambient,
                                            Direction direction) {
    const auto out = [&] {
        return at_ambient(facts, edge.part, "discharge"_attr, "discharge-at"_attr, ambient);
    };
    const auto in = [&] { return at_ambient(facts, edge.part, "charge"_attr, "charge-at"_attr, ambient); };
    if (edge.role == EdgeRole::trip && edge.way == 1) return in();
    if (direction == Direction::either) return smaller(out(), in());
    const bool along = direction == Direction::along;
    return along == (discharge_sign(facts, edge) > 0) ? out() : in();
}

}  // namespace

int discharge_sign(const Facts& facts, const Edge& edge) {
    if (edge.role != EdgeRole::trip) return 1;
    return facts.word(edge.part, "side"_attr) == "low" ? -1 : 1;
}

std::optional<CurrentRating> current_rating(const Facts& facts, const Edge& edge, const Quantity& ambient,
                                            Direction direction) {
    switch (edge.role) {
        case EdgeRole::contact:
            return mated_contact(facts, edge, ambient);
        case EdgeRole::switching:
            return stated(facts, edge.part, "carries"_attr, "rating");
        case EdgeRole::fuse:
        case EdgeRole::breaker:
            return protective(facts, edge.part, ambient.hi);
        case EdgeRole::emf:
        case EdgeRole::trip:
            return source_or_trip(facts, edge, ambient, direction);
        case EdgeRole::shunt:
        case EdgeRole::diode:
        case EdgeRole::protector:
            return stated(facts, edge.part, "(rated-current)"_attr, "rated current");
        case EdgeRole::low_side:
        case EdgeRole::high_side: {
            const TerminalId pin = edge.role == EdgeRole::low_side ? edge.from_terminal : edge.to_terminal;
            const auto value = pin_current(facts.harness(), pin);
            return value ? std::optional(plain(value->lo, "rating")) : std::nullopt;
        }
        default:
            return std::nullopt;
    }
}

bool is_point(Kind kind) {
    return kind == Kind::busbar || kind == Kind::terminal_block || kind == Kind::fuse_block ||
           kind == Kind::stud || kind == Kind::splice;
}

std::map<NodeId, std::vector<PartId>> points_at(const Circuit& circuit) {
    std::map<NodeId, std::vector<PartId>> found;
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Part& part = circuit.harness->parts[i];
        for (std::size_t k = 0; is_point(part.kind) && k < part.terminals.count; ++k) {
            auto& here = found[circuit.node(TerminalId(part.terminals.first + k))];
            if (here.empty() || here.back() != PartId(i)) here.emplace_back(i);
        }
    }
    return found;
}

std::optional<CurrentRating> point_rating(const Facts& facts, PartId part) {
    if (!is_point(facts.harness().part(part).kind)) return std::nullopt;
    return stated(facts, part, "carries"_attr, "rating");
}

std::optional<Quantity> takes_area(const Harness& harness, TerminalId terminal) {
    if (const OwnContact* own = harness.own_contact_at(terminal))
        if (const auto area = known_figure(harness.area_of(*own))) return area;
    return known_figure(
        harness.value(harness.part(harness.terminal(terminal).part).attributes, "takes"_attr));
}

Holders::Holders(const Harness& harness) : harness_(harness) {
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (const PartId block = harness.parts[i].holder) fuses_of_[block.value].push_back(PartId(i));
}

PartId Holders::of(PartId fuse) const {
    return harness_.part(fuse).holder;
}
const std::vector<PartId>& Holders::fuses_in(PartId block) const {
    static const std::vector<PartId> none;
    const auto found = fuses_of_.find(block.value);
    return found == fuses_of_.end() ? none : found->second;
}

}  // namespace loomward
