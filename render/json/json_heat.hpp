// What of the results is about heat, as JSON: boxes, contacts, and the temperatures of wires.
#pragma once
#include <vector>

#include "checker/heat/contact_hold.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "checker/results.hpp"
#include "render/json/json_values.hpp"

namespace loomward {

class HeatOfResults {
  public:
    explicit HeatOfResults(const Results& results);
    const WireTemperature& of(WireId wire) const { return wires_[wire.index()]; }
    Json boxes() const;
    Json contacts() const;

  private:
    const Results& results_;
    std::vector<WireTemperature> wires_;
    std::vector<ContactTemperature> contacts_;
};

}  // namespace loomward
