#include "checker/tables/plausible.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>

#include "checker/tables/plausible_stated.hpp"
#include "parser/language/units.hpp"

namespace loomward {
namespace {

using plausible::Extent;
using plausible::StatedFigures;

// How far a row counts beyond its own sizes: over a gap up to the next class, and beyond the last class
// without end. A row of low confidence closes no gap.
Extent reach_of(const PlausibleRow& row, std::span<const PlausibleRow* const> picked) {
    Extent reach{0, HUGE_VAL};
    for (const PlausibleRow* other : picked) {
        if (other->confidence == Confidence::low || other->size.to <= 0 || other == &row) continue;
        if (other->size.from < row.size.from)
            reach.lo = std::max(reach.lo, std::min(other->size.to, row.size.from));
        if (other->size.to > row.size.to)
            reach.hi = std::min(reach.hi, std::max(other->size.from, row.size.to));
    }
    return reach;
}

// The sizes that the row is asked for; nullopt: none of them is the row's.
std::optional<Extent> sizes_for(const PlausibleRow& row, const std::optional<Extent>& size,
                                std::span<const PlausibleRow* const> picked) {
    if (row.size.to <= 0) return size ? *size : Extent{};
    if (!size) return Extent{row.size.from, row.size.to};
    const Extent reach = reach_of(row, picked);
    if (size->hi < row.size.from && size->hi <= reach.lo) return std::nullopt;
    if (size->lo > row.size.to && size->lo >= reach.hi) return std::nullopt;
    const double lo = size->lo > 0 ? size->lo : std::min(row.size.from, size->hi);
    return Extent{std::max(lo, reach.lo), std::min(size->hi, reach.hi)};
}

bool has_word(std::string_view words, std::string_view word) {
    for (std::size_t from = words.find(word); from != std::string_view::npos;
         from = words.find(word, from + 1))
        if ((from == 0 || words[from - 1] == ' ') &&
            (from + word.size() == words.size() || words[from + word.size()] == ' '))
            return true;
    return false;
}

bool is_picked(const PlausibleRow& row, const StatedFigures& stated) {
    if (!row.words.empty() && !stated.word.empty() && !has_word(row.words, stated.word)) return false;
    return row.volts.to <= 0 || !stated.class_V ||
           (stated.class_V->hi >= row.volts.from && stated.class_V->lo < row.volts.to);
}

// Several rows become one range; what is said of it is said of the rows at its ends.
class Hull {
  public:
    void take(const PlausibleRow& row, Extent value) {
        if (!low_ || value.lo < value_.lo) {
            low_ = &row;
            value_.lo = value.lo;
        }
        if (!high_ || value.hi > value_.hi) {
            high_ = &row;
            value_.hi = value.hi;
        }
        const std::string text = applies_text(row);
        if (applies_.find(text) == std::string::npos) applies_ += (applies_.empty() ? "" : "; or ") + text;
    }
    std::optional<PlausibleRange> range(Dimension dimension) const {
        if (!low_) return std::nullopt;
        std::string source(low_->source);
        if (high_->source != low_->source) source += "; " + std::string(high_->source);
        return PlausibleRange{{value_.lo, value_.hi, dimension, Knowledge::assumed},
                              source,
                              known_word(std::max(low_->known, high_->known)),
                              confidence_word(std::max(low_->confidence, high_->confidence)),
                              applies_};
    }

  private:
    const PlausibleRow* low_ = nullptr;
    const PlausibleRow* high_ = nullptr;
    Extent value_;
    std::string applies_;
};

Dimension dimension_of(const PlausibleRow& row) {
    const Dimension gives = info(row.scaling).gives;
    if (gives != Dimension::none) return gives;
    const UnitInfo* unit = find_unit(row.unit);
    return unit ? unit->dimension : Dimension::none;
}

std::optional<PlausibleRange> range_of(Kind kind, Attr attribute, std::size_t place,
                                       const StatedFigures& stated) {
    std::vector<const PlausibleRow*> picked;
    for (const PlausibleRow& row : plausible_rows(kind))
        if (row.attribute == attribute && row.place == place && is_picked(row, stated))
            picked.push_back(&row);
    // A label that contradicts its own voltage says nothing.
    for (const plausible::Told told : {plausible::Told::by_label_and_voltage, plausible::Told::by_voltage}) {
        const auto can = [&](const PlausibleRow* row) { return plausible::can_make_up(*row, stated, told); };
        if (std::none_of(picked.begin(), picked.end(), can)) continue;
        std::erase_if(picked, [&](const PlausibleRow* row) { return !can(row); });
        break;
    }
    Hull hull;
    Dimension dimension{};
    for (const PlausibleRow* row : picked) {
        const std::optional<Extent> sizes = sizes_for(*row, stated.size, picked);
        if (!sizes) continue;
        const std::optional<Extent> factor = plausible::factor_of(*row, stated, *sizes);
        // Of what nobody knows the size of there is no range either.
        if (!factor || !std::isfinite(factor->hi)) return std::nullopt;
        const UnitInfo* unit = find_unit(row->unit);
        const double base = unit ? unit->factor : 1;
        const SizeClass taken = taken_as(*row);
        dimension = dimension_of(*row);
        Extent value{taken.from * base * factor->lo, taken.to * base * factor->hi};
        if (row->floor > 0) value = {std::max(value.lo, row->floor), std::max(value.hi, row->floor)};
        hull.take(*row, value);
    }
    return hull.range(dimension);
}

}  // namespace

std::optional<PlausibleRange> plausible_value(const Harness& harness, PartId part, Attr attribute,
                                              std::size_t place) {
    const Kind kind = harness.part(part).kind;
    StatedFigures stated = plausible::stated_by_part(harness, part, attribute);
    // Links are a share of what the cells resist, and that may be open itself.
    if (attribute == "link-resistance"_attr && !stated.cells_ohm)
        if (const auto cell = plausible_value(harness, part, "cell-resistance"_attr))
            stated.cells_ohm = plausible::cells_together(harness, part, {cell->range.lo, cell->range.hi});
    return range_of(kind, attribute, place, stated);
}

std::optional<PlausibleRange> plausible_value(const Harness&, WireId, Attr attribute, std::size_t place) {
    return range_of(Kind::wire, attribute, place, {});
}

std::optional<PlausibleRange> plausible_value(Kind kind, Attr attribute, std::size_t place) {
    if (info(kind).is_part) return std::nullopt;
    const bool as_a_location = kind == Kind::bundle && attribute == "ambient"_attr;
    return range_of(as_a_location ? Kind::location : kind, attribute, place, {});
}

}  // namespace loomward
