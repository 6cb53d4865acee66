// The schedules as CSV files.
#pragma once
#include <string>
#include <vector>

#include "checker/papers/schedules.hpp"

namespace loomward {

struct CsvFile {
    std::string name;  // "wires.csv"
    std::string text;
};

// wires, reels, fuses, contacts, labels, materials, torques. Figures with all their digits, in the unit that
// the head names; what is not known is empty. The last line of reels.csv is the sum of those above it.
std::vector<CsvFile> schedules_csv(const Schedules& schedules, const Harness& harness);

}  // namespace loomward
