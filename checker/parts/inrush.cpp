#include "checker/parts/inrush.hpp"

#include <string>

namespace loomward {

using namespace literals;

std::optional<Inrush> inrush_of(const Facts& facts, PartId part) {
    const auto current = facts.quantity(part, "inrush"_attr, 0),
               time = facts.quantity(part, "inrush"_attr, 1);
    if (current && time) return Inrush{*current, *time, true};
    const Part& load = facts.harness().part(part);
    if (current || facts.harness().find(load.attributes, "inrush"_attr) || load.kind != Kind::load)
        return std::nullopt;
    const auto stall = facts.quantity(part, "stall"_attr);
    if (!stall) return std::nullopt;
    facts.assume("inrush of a motor that says what it draws blocked", "that, for 0.1..0.3 s", "no source",
                 load.name);
    return Inrush{*stall, {0.1, 0.3, Dimension::time, Knowledge::assumed}, false};
}

}  // namespace loomward
