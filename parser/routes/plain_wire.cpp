// A harness has more wires than anything else, and most are written (W1 16 mm2, 0.2 m, red, in L1): a size in
// mm2, a length in m, a colour, a bundle or two. Such a wire is read here by hand. Anything else, right or
// wrong, is left to the reader of attributes: nothing is said here, and both give the same wire.
#include "parser/language/colours.hpp"
#include "parser/language/units.hpp"
#include "parser/routes/wires.hpp"
#include "parser/text/number_text.hpp"

namespace loomward {
namespace {

class PlainWire {
  public:
    PlainWire(const Scope& scope, const FileText& file, Wire& wire)
        : scope_(scope), file_(file), wire_(wire) {}

    bool read(std::uint32_t node) {
        const std::uint32_t end = file_.node(node).next;
        std::uint32_t element = node + 1;
        if (!read_values(element, element + 2)) return false;  // behind the name
        for (element = file_.node(element).next; element < end; element = file_.node(element).next)
            if (!read_values(element, element + 1)) return false;
        return has_area_ && has_length_;
    }

  private:
    // The values [first, end of the element): none, a quantity, a colour, or "in" and bundles.
    bool read_values(std::uint32_t element, std::uint32_t first) {
        if (file_.node(element).damaged) return false;
        const std::uint32_t end = file_.node(element).next;
        if (first == end) return first == element + 2;
        for (std::uint32_t i = first; i < end; ++i)
            if (file_.node(i).kind != NodeKind::word && (i > first || file_.node(i).kind != NodeKind::number))
                return false;
        if (file_.node(first).kind == NodeKind::number) return end == first + 2 && read_quantity(first);
        if (end == first + 1) return read_colours(first);
        return text(first) == "in" && read_bundles(first + 1, end);
    }

    bool read_quantity(std::uint32_t at) {
        const std::optional<NumberText> number = read_number(text(at));
        if (!number || number->range || number->gauge_lo || !number->unit.empty()) return false;
        const std::string_view unit = text(at + 1);
        const bool area = unit == "mm2";
        if (!area && unit != "m") return false;
        bool& has = area ? has_area_ : has_length_;
        const DimensionInfo& limits = info(area ? Dimension::area : Dimension::length);
        if (has || number->lo <= 0 || number->lo < limits.lowest || number->lo > limits.highest) return false;
        has = true;
        (area ? wire_.area : wire_.length) = {number->lo, number->lo, limits.dimension, Knowledge::stated};
        if (area)
            wire_.size_text =
                file_.text.substr(file_.node(at).begin, file_.node(at + 1).end - file_.node(at).begin);
        return true;
    }

    bool read_colours(std::uint32_t at) {
        if (wire_.colour != Colour::none) return false;
        const std::optional<ColourPair> pair = read_colour(text(at));
        if (!pair) return false;
        wire_.colour = pair->first;
        wire_.second_colour = pair->second;
        return true;
    }

    bool read_bundles(std::uint32_t first, std::uint32_t end) {
        if (wire_.bundles[0] || end - first > 2) return false;
        for (std::uint32_t i = first; i < end; ++i) {
            const Entity* entity = scope_.find(text(i));
            if (!entity || entity->kind != EntityKind::bundle) return false;
            const BundleId bundle(std::size_t{entity->index});
            if (i > first && bundle == wire_.bundles[0]) return false;
            wire_.bundles[i - first] = bundle;
        }
        return true;
    }

    std::string_view text(std::uint32_t node) const {
        const SyntaxNode& n = file_.node(node);
        return file_.text.substr(n.begin, n.end - n.begin);
    }

    const Scope& scope_;
    const FileText& file_;
    Wire& wire_;
    bool has_area_ = false;
    bool has_length_ = false;
};

}  // namespace

bool read_plain_wire(const Reading& reading, const Scope& scope, const FileText& file, std::uint32_t node,
                     Wire& wire) {
    wire.insulation = reading.default_insulation;
    wire.insulation_limit_degC = reading.default_insulation_degC;
    wire.insulation_known = reading.default_insulation_known;
    return PlainWire(scope, file, wire).read(node);
}

}  // namespace loomward
