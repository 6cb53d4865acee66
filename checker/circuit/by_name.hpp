// The order in which everything is looked at: by name, as a person sorts (W9 before W10), never as it happens
// to be written. What is found first, or stands for its equals, is so the same however the statements are
// ordered.
#pragma once
#include <string_view>
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// Runs of digits count as numbers.
bool comes_before(std::string_view a, std::string_view b);

std::vector<PartId> parts_by_name(const Harness& harness);
std::vector<WireId> wires_by_name(const Harness& harness);
std::vector<ModeId> modes_by_name(const Harness& harness);
// By the names of what they join. Indices into Harness::joints.
std::vector<std::size_t> joints_by_name(const Harness& harness);

}  // namespace loomward
