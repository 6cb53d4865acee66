// Values that nobody wrote down, and the ranges in which the harness is judged instead.
//
// A rating that is open stays open: what flows and stands there becomes a requirement (rule missing-data). A
// physical value is taken as wide as it usually is (tables/plausible); what a load draws, as anything up to
// what its fuse lets through for long; the size of a wire, as what its fuse asks and up to 2.5 times that.
// A range is not a bound: what is concluded from it holds for that range only, and says so.
#pragma once
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "checker/parts/open_values.hpp"
#include "checker/results.hpp"

namespace loomward {

struct TakenValue {
    OpenValue open;           // of the harness as it was read
    std::uint32_t value = 0;  // of a part: into value_store of the completed harness
    Quantity range;           // base unit
    std::string source;       // with how it is known; "no source"
    bool sure = true;         // false: no source, or of low confidence; it clears nothing by itself
};

// The harness with each such value put in as a range (Knowledge::assumed); everything keeps its id. Without
// taken values `harness` is the one that was given.
struct Completion {
    std::shared_ptr<const Harness> harness;
    std::vector<TakenValue> taken;  // parts, then wires, by id
};
Completion complete(std::shared_ptr<const Harness> harness);

// Whether a value is one of a pack, or of its cells, that lies between empty and full.
bool is_of_a_battery(const OpenValue& open);

// The same with each value as if it were stated, at one point of its range: what a guess may not clear, a
// value may; `at(i)` gives for taken value i where: 0 its low end, 1
// its high end.
std::shared_ptr<const Harness> pinned(const Completion& completion,
                                      const std::function<double(std::size_t)>& at);

// The same with taken value `i` as if it were stated as `value`, base unit, and the others as ranges.
std::shared_ptr<const Harness> with_value(const Completion& completion, std::size_t i, double value);

// One line of the assumption list for each kind and attribute, with who uses it.
std::vector<Assumption> assumptions_of(const Completion& completion);

}  // namespace loomward
