#include "checker/fault_look.hpp"

namespace loomward {
namespace {

const Facts& warmed(Facts& facts, const Results& results) {
    warm(facts, results.boxes);
    return facts;
}

}  // namespace

FaultLook::FaultLook(const Results& results)
    : facts_(*results.circuit.harness),
      touching_(results.circuit),
      study_(results.circuit, warmed(facts_, results), touching_, results.wires) {}

}  // namespace loomward
