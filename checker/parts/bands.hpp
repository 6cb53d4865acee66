// Time-current bands of the devices at the ambients of each mode, each worked out once.
#pragma once
#include <map>
#include <utility>

#include "checker/parts/time_current.hpp"

namespace loomward {

class Bands {
  public:
    explicit Bands(const Facts& facts) : facts_(facts) {}
    const Band& of(PartId device, ModeId mode) {
        const Quantity ambient = facts_.ambient(device, mode);
        const auto [place, fresh] = bands_.try_emplace({device, {ambient.lo, ambient.hi}});
        if (fresh) place->second = band_of(facts_, device, ambient.lo, ambient.hi);
        return place->second;
    }

  private:
    const Facts& facts_;
    std::map<std::pair<PartId, std::pair<double, double>>, Band> bands_;
};

}  // namespace loomward
