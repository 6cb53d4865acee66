// Devices one behind the other: one that is rated above what stands before it stays whole where that opens,
// so that more goes dead than has to.
#pragma once
#include <map>
#include <string>

#include "checker/mend/change.hpp"

namespace loomward {

// "F3, F4 (60 A)": what stands before a device, with what it is rated together.
struct SmallerBefore {
    std::string before;
    double before_A = 0, rated_A = 0;
};
// By the name of the device that is rated above it. Limits of electronics open nothing and do not count.
using InARow = std::map<std::string, SmallerBefore>;
InARow rated_above_before(const Results& results);
// Those that a change has made: of `after` and not of `before`.
InARow raised_above(const InARow& before, const InARow& after);
// What stands before them rated as they are; empty: one has several before it, and none of these is it.
Plan as_large_before(const InARow& raised, const Harness& harness);

}  // namespace loomward
