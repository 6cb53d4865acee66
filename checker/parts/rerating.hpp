// What ambient does to the rated current and the band of fuses and breakers: less when hot, more when cold.
#pragma once
#include <string>

#include "checker/parts/facts.hpp"

namespace loomward {

// Shares of its rated current, 0.1 or above; 1 at the temperature it is rated at.
//
// Fuses: 0.2 % a kelvin of the fuse body (military practice); blade fuses 0.5 % for each kelvin above 65 degC
// (one family of 40 A to ISO 8820-3: 34 A at 65 degC, 30 at 85, 25 at 110, 22 at 125; secondary).
// Breakers: the thermal release alone. 0.6 % a kelvin for what it carries (0.58 in a manual, 0.55 in an
// application guide, secondary); its band by up to 1 % (moulded-case breakers 10 % for 10 K, secondary). One
// that states no `rated-at`: from 30 degC, when cold from 40 degC where it is not to IEC 60898; both are in
// use (IEC 60898-1, IEC 60947-2).
class Rerating {
  public:
    Rerating(const Facts& facts, PartId device);

    double carries(double ambient_degC) const;
    double fast_edge(double hottest_degC) const;
    double slow_edge(double coldest_degC) const;
    double rated_at_degC() const { return hot_from_degC_; }
    // "40 A x (1 - 0.2 %/K x 22 K)"; above 65 degC with the steeper part.
    std::string formula(double rated_A, double ambient_degC) const;
    // On the assumption list.
    void assume(const Facts& facts) const;

  private:
    double left(double per_K, double from_degC, double degC) const;

    PartId device_;
    bool breaker_ = false, blade_ = false;
    double hot_from_degC_ = 23, cold_from_degC_ = 23;
};

}  // namespace loomward
