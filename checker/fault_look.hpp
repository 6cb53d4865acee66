// Short circuits of a harness that has been checked, for whoever asks after the check: the study that the
// check made ends with it.
#pragma once
#include "checker/circuit/touching.hpp"
#include "checker/faults/fault.hpp"
#include "checker/results.hpp"

namespace loomward {

class FaultLook {
  public:
    // `results` stay where they are as long as this lives. Studies every place once, as the check did.
    explicit FaultLook(const Results& results);
    FaultLook(const FaultLook&) = delete;
    FaultLook& operator=(const FaultLook&) = delete;

    const FaultStudy& study() const { return study_; }

  private:
    Facts facts_;
    Touching touching_;
    FaultStudy study_;
};

}  // namespace loomward
