#include "checker/tables/plausible_stated.hpp"

#include <algorithm>
#include <cmath>

#include "checker/tables/chemistry_words.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward::plausible {
namespace {

// Voltages of the vehicles and machines that the table is made for.
constexpr Extent usual_V{12, 160};

std::optional<Extent> extent(const Value& value) {
    if (value.type != ValueType::quantity && value.type != ValueType::count) return std::nullopt;
    if (value.known == Knowledge::unknown || value.hi <= 0) return std::nullopt;
    return Extent{value.lo, value.hi};
}

Extent product(Extent a, Extent b) {
    return {a.lo * b.lo, a.hi * b.hi};
}

std::optional<Extent> product(const std::optional<Extent>& a, const std::optional<Extent>& b) {
    if (!a || !b) return std::nullopt;
    return product(*a, *b);
}

class PartFigures {
  public:
    PartFigures(const Harness& harness, PartId id) : harness_(harness), id_(id), part_(harness.part(id)) {}

    std::optional<Extent> value(Attr attribute, std::size_t place = 0) const {
        return extent(harness_.value(part_.attributes, attribute, place));
    }
    std::string_view word(Attr attribute) const {
        const Value value = harness_.value(part_.attributes, attribute);
        return value.type == ValueType::word && value.known != Knowledge::unknown ? value.text
                                                                                  : std::string_view();
    }

    std::optional<Extent> supply_limit_A() const {
        const Value limit = harness_.value(part_.attributes, "supply-limit"_attr);
        const std::optional<Extent> found = extent(limit);
        if (!found || limit.dimension == Dimension::current) return found;
        const std::optional<Extent> share = value("phase-limit"_attr);
        const bool open = harness_.find(part_.attributes, "phase-limit"_attr) && !share;
        if (open) return std::nullopt;
        const Extent phase = share.value_or(Extent{100, 100});
        return product(Extent{found->lo * phase.lo * 1e-4, found->hi * phase.hi * 1e-4},
                       value("phase-peak"_attr));
    }
    // Cross-sections of the wires that end at the part, mm2; nullopt where one is not known.
    std::optional<Extent> areas_mm2() const {
        std::optional<Extent> all;
        for (const Wire& wire : harness_.wires) {
            if (harness_.terminal(wire.from).part != id_ && harness_.terminal(wire.to).part != id_) continue;
            if (!wire.area.is_known() || wire.area.lo <= 0) return std::nullopt;
            const Extent area{wire.area.lo, wire.area.hi};
            all = all ? Extent{std::min(all->lo, area.lo), std::max(all->hi, area.hi)} : area;
        }
        return all;
    }
    std::optional<Extent> running_A() const {
        if (const auto current = value("(current)"_attr)) return current;
        const std::optional<Extent> volts = value("(rated-voltage)"_attr);
        if (!volts || volts->lo <= 0) return std::nullopt;
        if (const auto power = value("(power)"_attr))
            return Extent{power->lo / volts->hi, power->hi / volts->lo};
        const std::optional<Extent> ohm = value("(resistance)"_attr);
        if (!ohm || ohm->lo <= 0) return std::nullopt;
        return Extent{volts->lo / ohm->hi, volts->hi / ohm->lo};
    }
    std::optional<Extent> size(Attr attribute) const {
        switch (part_.kind) {
            case Kind::fuse:
            case Kind::breaker:
            case Kind::protector:
            case Kind::shunt:
                return value("(rated-current)"_attr);
            case Kind::bms:
                return value("discharge"_attr);
            case Kind::pack:
                return value(attribute == "cell-resistance"_attr ? "cell-capacity"_attr : "capacity"_attr);
            case Kind::controller:
                return supply_limit_A();
            case Kind::converter:
                return product(value("output"_attr, 0), value("output"_attr, 1));
            case Kind::splice:
                return areas_mm2();
            default:
                return value("carries"_attr);
        }
    }
    std::optional<Extent> supply_V() const {
        switch (part_.kind) {
            case Kind::pack:
                return full(value("voltage"_attr));
            case Kind::contactor:
            case Kind::relay:
                return value("coil"_attr, 0);
            default:
                return value("input"_attr);
        }
    }
    // The upper end of a range of voltages; both ends, so that an estimate of it stays one.
    static std::optional<Extent> full(const std::optional<Extent>& range) {
        if (!range) return std::nullopt;
        return Extent{range->hi, range->hi};
    }

  private:
    const Harness& harness_;
    PartId id_;
    const Part& part_;
};

// For an unknown voltage the usual ones.
Extent volts_of(const StatedFigures& stated) {
    return stated.supply_V && stated.supply_V->lo > 0 ? *stated.supply_V : usual_V;
}

// That of the cells of a row of packs, by the voltage of one when it is full, or of a block of four or six.
std::string_view chemistry_of(const PlausibleRow& row) {
    constexpr double lead_block_V = 14.4, lfp_block_V = 14.6, lead_V = 2.47, lto_V = 3.0, lfp_V = 3.8;
    if (row.each_V == lead_block_V) return "lead";
    if (row.each_V == lfp_block_V) return "lfp";
    const double cell_V = row.each_V > 0 ? row.each_V : (row.volts.from + row.volts.to) / 2;
    return cell_V <= 0       ? ""
           : cell_V < lead_V ? "lead"
           : cell_V < lto_V  ? "lto"
           : cell_V < lfp_V  ? "lfp"
                             : "nmc";
}

Extent inverse(Extent of) {
    return {1 / of.hi, 1 / of.lo};
}

}  // namespace

std::optional<Extent> cells_together(const Harness& harness, PartId pack, Extent cell_ohm) {
    const PartFigures part(harness, pack);
    const std::optional<Extent> in_line = part.value("cells"_attr, 0), beside = part.value("cells"_attr, 1);
    if (!in_line || !beside || beside->lo <= 0) return std::nullopt;
    return Extent{cell_ohm.lo * in_line->lo / beside->hi, cell_ohm.hi * in_line->hi / beside->lo};
}

bool can_make_up(const PlausibleRow& row, const StatedFigures& stated, Told told) {
    const std::string_view has = chemistry_of(row);
    if (row.kind != Kind::pack || has.empty()) return true;
    const std::string_view said = told == Told::by_voltage ? std::string_view() : stated.chemistry;
    if (said == "lithium" ? has == "lead" : !said.empty() && has != said) return false;
    if (row.each_V <= 0 || !stated.supply_V || stated.supply_V->lo <= 0) return true;
    // A cell is full at a little less or more than its row's figure; common practice, no source.
    const double least_V = 0.93 * row.each_V, most_V = (has == "lead" ? 1.05 : 1.02) * row.each_V;
    return std::floor(stated.supply_V->hi / least_V) >= std::ceil(stated.supply_V->lo / most_V);
}

StatedFigures stated_by_part(const Harness& harness, PartId id, Attr attribute) {
    const PartFigures part(harness, id);
    const Kind kind = harness.part(id).kind;
    StatedFigures stated;
    stated.size = part.size(attribute);
    stated.supply_V = part.supply_V();
    if (kind == Kind::pack) stated.chemistry = chemistry_of(harness.part(id));
    stated.class_V = PartFigures::full(part.value(kind == Kind::pack ? "cell-voltage"_attr : "input"_attr));
    stated.rated_A = kind == Kind::load ? part.running_A() : part.value("output"_attr, 1);
    if (const std::optional<Attr> chooses = chosen_by(kind)) stated.word = part.word(*chooses);
    if (const auto cell = part.value("cell-resistance"_attr))
        stated.cells_ohm = cells_together(harness, id, *cell);
    return stated;
}

std::optional<Extent> factor_of(const PlausibleRow& row, const StatedFigures& stated, Extent sizes) {
    switch (row.scaling) {
        case Scaling::plain:
            return Extent{1, 1};
        case Scaling::at_rated_current:
        case Scaling::by_charge:
            return inverse(sizes);
        case Scaling::by_charge_in_line: {
            const Extent volts = volts_of(stated);
            return product({volts.lo / row.each_V, volts.hi / row.each_V}, inverse(sizes));
        }
        case Scaling::share_of_cells:
            if (!stated.cells_ohm) return std::nullopt;
            return Extent{stated.cells_ohm->lo / 100, stated.cells_ohm->hi / 100};
        case Scaling::by_current:
            return sizes;
        case Scaling::by_power: {
            const Extent power = product(sizes, volts_of(stated));
            return Extent{power.lo / 1000, power.hi / 1000};
        }
        case Scaling::by_power_at_48: {
            const Extent volts = volts_of(stated);
            const double lo = 48 / volts.hi, hi = 48 / volts.lo;
            return Extent{sizes.lo * lo * lo, sizes.hi * hi * hi};
        }
        case Scaling::coil_power:
            return inverse(volts_of(stated));
        case Scaling::times_rated:
            return stated.rated_A;
        case Scaling::of_own_wire:
            return Extent{smallest_resistance_ohm_per_m(sizes.hi, false),
                          resistance_ohm_per_m(sizes.lo, false)};
    }
    return std::nullopt;
}

}  // namespace loomward::plausible
