#include "checker/fault_look.hpp"

#include "checker/parts/positions.hpp"

namespace loomward {
namespace {

const Facts& warmed(Facts& facts, const Results& results) {
    warm(facts, results.boxes);
    return facts;
}

}  // namespace

FaultLook::FaultLook(const Results& results)
    : facts_(*results.circuit.harness),
      touching_(results.circuit, Positions(results.circuit).ways()),
      study_(results.circuit, warmed(facts_, results), touching_, results.wires) {}

}  // namespace loomward
