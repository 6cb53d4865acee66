#include "checker/parts/inrush.hpp"

#include <string>

namespace loomward {

using namespace literals;

std::optional<Inrush> inrush_of(const Facts& facts, PartId part) {
    if (const auto current = facts.quantity(part, "inrush"_attr, 0))
        return Inrush{*current, facts.quantity(part, "inrush"_attr, 1), true};
    const Part& load = facts.harness().part(part);
    if (facts.harness().find(load.attributes, "inrush"_attr) || load.kind != Kind::load) return std::nullopt;
    const auto stall = facts.quantity(part, "stall"_attr);
    if (!stall) return std::nullopt;
    facts.assume("inrush of a motor that states only stall", "its stall, 0.1..0.3 s", "no source", load.name);
    return Inrush{*stall, Quantity{0.1, 0.3, Dimension::time, Knowledge::assumed}, false};
}

}  // namespace loomward
