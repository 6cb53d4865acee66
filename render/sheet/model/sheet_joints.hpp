// What bolts make one point of, before anything is drawn.
#pragma once
#include <vector>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {

// A stud bolted to a port or to another stud is one point with it, and bears the names of both studs.
void merge_points(const Harness& harness, std::vector<End>& place_of, SheetModel& model);

}  // namespace loomward::sheet
