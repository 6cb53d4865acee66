// The first step of switching on at which something lies at a source's plus, or carries a current.
#pragma once
#include <cstddef>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

class LiveSteps {
  public:
    // Step 0: everything at rest; step k: the k-th mode of the file.
    explicit LiveSteps(const Results& results);

    // At 0 what no step reaches: it is told as soon as anything is.
    std::size_t of_part(PartId part) const;
    std::size_t of_wire(WireId wire) const;
    // The first step whose mode has one of its contacts otherwise than at rest.
    std::size_t of_contact(PartId part) const;

  private:
    std::size_t first_of(const std::vector<EdgeId>& edges) const;

    const Results& results_;
    std::vector<std::size_t> live_;     // by node
    std::vector<std::size_t> carries_;  // by edge
    std::vector<std::size_t> changes_;  // by edge
};

}  // namespace loomward
