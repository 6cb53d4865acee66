#include "checker/taken_values.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "checker/circuit/ways.hpp"
#include "checker/currents/grouping.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/lithium.hpp"
#include "checker/protection/proof.hpp"
#include "checker/tables/plausible.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double widest_size = 2.5;        // of what the fuse of a wire asks
constexpr double smallest_area_mm2 = 0.5;  // below it nobody builds the wiring of a vehicle
// Leads of one machine are not all as long as its longest: what tables give for one lead is too wide for all.
constexpr double shortest_m = 0.1, longest_m = 3;
constexpr double overload = 1.45;  // I2 <= 1.45 Iz, IEC 60364-4-43 433.1

// Voltages of batteries by their nominal voltage, for one of 12 V: an empty lead-acid one to a lithium one at
// the end of its charge.
constexpr double empty_of_12_V = 10.5, full_of_12_V = 14.6;
// Where in that range the empty ends lie, 10.5..12 V, and the full ends, 12.6..14.6 V.
constexpr double empty_ends = 0.36, full_ends = 0.5;
constexpr std::string_view battery_source = "batteries of that nominal voltage, memory";

class Completer {
  public:
    explicit Completer(const std::shared_ptr<const Harness>& given)
        : given_(*given),
          made_(std::make_shared<Harness>(*given)),
          circuit_(build_circuit(given_)),
          facts_(given_),
          proof_(prove_guards(circuit_, facts_)) {}

    Completion run() {
        for (const OpenValue& open : open_values(given_))
            if (open.unknown && !open.mode) opens_[{open.part, open.wire, open.attribute}] = open;
        for (std::size_t i = 0; i < given_.parts.size(); ++i) take_part(PartId(i));
        take_wires();
        return {made_, std::move(taken_)};
    }

  private:
    void take_part(PartId id) {
        Part& part = made_->parts[id.index()];
        bool own = false;
        for (std::uint32_t i = 0; i < part.attributes.count; ++i) {
            const Attribute attribute = made_->attribute_store[part.attributes.first + i];
            for (std::uint32_t place = 0; place < attribute.count; ++place) {
                const Value& value = made_->value_store[attribute.first + place];
                if (value.known != Knowledge::unknown || value.type != ValueType::quantity) continue;
                TakenValue taken;
                if (!begin({id, {}, attribute.name}, taken) ||
                    !range_of(id, attribute.name, place, value.dimension, taken))
                    continue;
                // Parts of one type share their values; a range is this part's own.
                if (!own) own_attributes(part), own = true;
                Attribute& own_one = made_->attribute_store[part.attributes.first + i];
                // What draws anything up to its fuse does so at any voltage: as a current, not as a power.
                if (attribute.name == "(power)"_attr && taken.range.dimension == Dimension::current)
                    own_one.name = "(current)"_attr;
                taken.value = own_one.first + place;
                put(made_->value_store[taken.value], taken);
                taken_.push_back(std::move(taken));
            }
        }
    }

    // False where nobody would be told of it.
    using Key = std::tuple<PartId, WireId, Attr>;
    bool begin(const Key& key, TakenValue& taken) const {
        const auto open = opens_.find(key);
        if (open == opens_.end()) return false;
        taken.open = open->second;
        return true;
    }

    bool range_of(PartId id, Attr attribute, std::size_t place, Dimension dimension,
                  TakenValue& taken) const {
        const Kind kind = given_.part(id).kind;
        if (kind == Kind::load && (attribute == "(power)"_attr || attribute == "(current)"_attr))
            return !acts_as_power(id) && draw_of(id, taken);
        if (kind == Kind::pack && attribute == "voltage"_attr) return battery_voltage(id, taken);
        if (kind == Kind::pack && attribute == "cell-voltage"_attr) return cell_voltage(id, taken);
        const auto usual = plausible_value(*made_, id, attribute, place);
        if (!usual || usual->range.dimension != dimension) return false;
        taken.range = usual->range;
        taken.range.known = Knowledge::assumed;
        taken.source = usual->source + (usual->how == "memory" ? "" : ", " + std::string(usual->how));
        taken.sure = usual->confidence != confidence_word(Confidence::low);
        if (!taken.sure) taken.source += "; of low confidence, taken twice as wide";
        return true;
    }

    bool acts_as_power(PartId id) const { return facts_.word(id, "acts-as"_attr) == "power"; }

    // Anything up to what its fuse lets through for long.
    bool draw_of(PartId id, TakenValue& taken) const {
        const NodeId plus[] = {circuit_.node(given_.terminal_of(id, TerminalRole::plus))};
        const auto is_joint = [&](EdgeId edge, NodeId) {
            return circuit_.edge(edge).role == EdgeRole::joint;
        };
        double may_A = 0;
        for (const NodeId node : reached(circuit_, plus, is_joint).order)
            for (const Incidence& next : circuit_.at(node)) {
                const Edge& edge = circuit_.edge(next.edge);
                if (is_protective(edge.role)) may_A = std::max(may_A, rated_A({0, {next.edge}}));
                if (edge.role != EdgeRole::wire) continue;
                const WireProof& wire = proof_.wires[edge.wire.index()];
                if (wire.side == Side::forward && !wire.unguarded())
                    may_A = std::max(may_A, rated_A(wire.guarding()));
            }
        if (may_A <= 0) return false;
        taken.source = "from nothing to what its fuse is rated for";
        taken.range = {0, may_A, Dimension::current, Knowledge::assumed};
        taken.sure = false;  // a fuse lets a little more through for long
        return true;
    }

    // What the devices of a cut are rated for together, A.
    double rated_A(const Bound& bound) const {
        double sum_A = 0;
        for (const EdgeId id : bound.cut) {
            const Edge& edge = circuit_.edge(id);
            if (!is_protective(edge.role)) continue;
            if (const auto rated = facts_.quantity(edge.part, "(rated-current)"_attr)) sum_A += rated->hi;
        }
        return sum_A;
    }

    // By its share of what the battery has, as its loads tell.
    bool cell_voltage(PartId pack, TakenValue& taken) const {
        const auto series = facts_.count(pack, "cells"_attr, 0);
        if (!series || *series <= 0 || !battery_voltage(pack, taken)) return false;
        const double nominal_V = 12 * taken.range.lo / empty_of_12_V / *series;
        const auto cell = likely_cells(given_.part(pack), nominal_V);
        if (!cell) return false;
        const double empty_V = cell->lowest_V > 0 ? cell->lowest_V : cell->nominal_V * empty_of_12_V / 12;
        taken.range = {empty_V, cell->full_V, Dimension::voltage, Knowledge::assumed};
        taken.source = std::string(cell->name) + " by the voltage of the loads, " + cite(cell->source);
        return true;
    }

    // By the voltage that most loads are made for that hang on it by conductors alone, not behind a
    // converter; as many for one as for another say nothing.
    bool battery_voltage(PartId pack, TakenValue& taken) const {
        DisjointSets joined =
            pieces(circuit_, [&](EdgeId id) { return is_conductor(circuit_.edge(id).role); });
        const auto plus_of = [&](PartId id) {
            return joined.find(circuit_.node(given_.terminal_of(id, TerminalRole::plus)).index());
        };
        std::map<double, int> made_for;
        for (std::size_t i = 0; i < given_.parts.size(); ++i)
            if (given_.parts[i].kind == Kind::load && plus_of(PartId(i)) == plus_of(pack))
                if (const auto volts = facts_.quantity(PartId(i), "(rated-voltage)"_attr))
                    ++made_for[volts->hi];
        const auto usual = std::max_element(made_for.begin(), made_for.end(),
                                            [](const auto& a, const auto& b) { return a.second < b.second; });
        if (usual == made_for.end() || usual->first <= 0) return false;
        const auto as_many = [&](const auto& each) { return each.second == usual->second; };
        if (std::count_if(made_for.begin(), made_for.end(), as_many) > 1) return false;
        const double share = usual->first / 12;
        taken.range = {share * empty_of_12_V, share * full_of_12_V, Dimension::voltage, Knowledge::assumed};
        taken.source = battery_source;
        taken.sure = false;
        return true;
    }

    void own_attributes(Part& part) {
        const std::uint32_t before = part.attributes.first;
        const auto first = static_cast<std::uint32_t>(made_->attribute_store.size());
        for (std::uint32_t i = 0; i < part.attributes.count; ++i) {
            Attribute copy = made_->attribute_store[before + i];
            const std::uint32_t from = copy.first;
            copy.first = static_cast<std::uint32_t>(made_->value_store.size());
            for (std::uint32_t k = 0; k < copy.count; ++k) {
                const Value value = made_->value_store[from + k];
                made_->value_store.push_back(value);
            }
            made_->attribute_store.push_back(copy);
        }
        part.attributes.first = first;
        for (std::uint32_t i = 0; i < part.pins.count; ++i)
            made_->device_pins[part.pins.first + i].line += first - before;
        for (std::uint32_t i = 0; i < part.own_contacts.count; ++i)
            made_->own_contacts[part.own_contacts.first + i].line += first - before;
    }

    void take_wires() {
        std::vector<double> asked_A(given_.wires.size(), 0);
        for (std::size_t i = 0; i < given_.wires.size(); ++i) {
            const WireProof& proof = proof_.wires[i];
            if (proof.side == Side::neither || proof.unguarded()) continue;
            const Bound& bound = proof.guarding();
            asked_A[i] = bound.current_A / overload;
        }
        const std::vector<Surroundings> around = surroundings_of(circuit_, facts_, asked_A, {});
        for (std::size_t i = 0; i < given_.wires.size(); ++i) {
            const WireId id(i);
            const Wire& wire = given_.wire(id);
            if (!wire.length.is_known())
                put_wire(id, "(length)"_attr, {shortest_m, longest_m, Dimension::length, Knowledge::assumed},
                         "one lead of a vehicle, no source");
            if (wire.area.is_known() || asked_A[i] <= 0) continue;
            const double area_mm2 = size_for(asked_A[i] / wire.parallel, id, around[i]);
            if (area_mm2 > 0)
                put_wire(id, "(area)"_attr,
                         {area_mm2, widest_size * area_mm2, Dimension::area, Knowledge::assumed},
                         "what its fuse asks, and up to 2.5 times that, no source");
        }
    }

    // The smallest standard size that may carry it there, mm2; 0: none.
    double size_for(double current_A, WireId id, const Surroundings& around) const {
        const Wire& wire = given_.wire(id);
        const std::string text =
            smallest_size(current_A, conductor_limit_degC(facts_, id), wire.aluminium, around, false);
        const auto size = quantity_from_text(text);
        return size ? std::max(size->lo, smallest_area_mm2) : 0;
    }

    void put_wire(WireId id, Attr attribute, const Quantity& range, std::string_view source) {
        TakenValue taken;
        if (!begin({PartId(), id, attribute}, taken)) return;
        taken.range = range;
        taken.source = source;
        taken.sure = false;
        *field_of(made_->wires[id.index()], attribute) = range;
        taken_.push_back(std::move(taken));
    }

    static void put(Value& value, const TakenValue& taken) {
        value.dimension = taken.range.dimension;
        value.known = Knowledge::assumed;
        value.lo = taken.range.lo;
        value.hi = taken.range.hi;
    }

    const Harness& given_;
    std::shared_ptr<Harness> made_;
    Circuit circuit_;
    Facts facts_;
    Proof proof_;
    std::map<Key, OpenValue> opens_;
    std::vector<TakenValue> taken_;
};

bool anything_open(const Harness& harness) {
    return std::any_of(harness.value_store.begin(), harness.value_store.end(),
                       [](const Value& value) { return value.known == Knowledge::unknown; }) ||
           std::any_of(harness.wires.begin(), harness.wires.end(),
                       [](const Wire& wire) { return !wire.area.is_known() || !wire.length.is_known(); });
}

}  // namespace

Completion complete(std::shared_ptr<const Harness> harness) {
    if (!anything_open(*harness)) return {std::move(harness), {}};
    Completion completion = Completer(harness).run();
    if (completion.taken.empty()) completion.harness = std::move(harness);
    return completion;
}

bool is_of_a_battery(const OpenValue& open) {
    return open.attribute == "voltage"_attr || open.attribute == "cell-voltage"_attr;
}

std::shared_ptr<const Harness> pinned(const Completion& completion,
                                      const std::function<double(std::size_t)>& at) {
    auto made = std::make_shared<Harness>(*completion.harness);
    for (std::size_t i = 0; i < completion.taken.size(); ++i) {
        const TakenValue& taken = completion.taken[i];
        const double share = at(i);
        const double value = taken.range.lo + share * (taken.range.hi - taken.range.lo);
        if (taken.open.wire) {
            Quantity& field = *field_of(made->wires[taken.open.wire.index()], taken.open.attribute);
            field.lo = field.hi = value;
            field.known = Knowledge::stated;
            continue;
        }
        Value& place = made->value_store[taken.value];
        place.known = Knowledge::stated;
        if (is_of_a_battery(taken.open)) {
            // A range by nature, empty to full: of one sort of battery or another.
            const double width = taken.range.hi - taken.range.lo;
            place.lo = taken.range.lo + share * empty_ends * width;
            place.hi = taken.range.hi - (1 - share) * full_ends * width;
        } else {
            place.lo = place.hi = value;
        }
    }
    return made;
}

std::shared_ptr<const Harness> with_value(const Completion& completion, std::size_t i, double value) {
    auto made = std::make_shared<Harness>(*completion.harness);
    const TakenValue& taken = completion.taken[i];
    if (taken.open.wire) {
        Quantity& field = *field_of(made->wires[taken.open.wire.index()], taken.open.attribute);
        field.lo = field.hi = value;
        field.known = Knowledge::stated;
    } else {
        Value& place = made->value_store[taken.value];
        place.lo = place.hi = value;
        place.known = Knowledge::stated;
    }
    return made;
}

std::vector<Assumption> assumptions_of(const Completion& completion) {
    std::map<std::tuple<std::string, std::string, std::string>, std::vector<std::string>> lines;
    for (const TakenValue& taken : completion.taken) {
        const OpenValue& open = taken.open;
        const std::string of =
            open.wire ? "a wire" : std::string(info(completion.harness->part(open.part).kind).a_word);
        lines[{open.name + " of " + of + " that nobody knows", to_text(taken.range), taken.source}].push_back(
            open.subject);
    }
    std::vector<Assumption> all;
    for (auto& [key, users] : lines)
        all.push_back({std::get<0>(key), std::get<1>(key), std::get<2>(key), std::move(users)});
    return all;
}

}  // namespace loomward
