// The steps `ampacity` (conductors.hpp) is made of, each from one published table. Currents in A at 30 degC,
// areas in mm2, temperatures in degC.
#pragma once
#include <string>

namespace loomward {

// One copper conductor in free air: 33 CFR 183.425 Table 5 at its nodes exactly. Between: straight in log-log
// over the area, straight over the class. Below AWG 18 in proportion to the area, above 4/0 with area^0.6.
// Class below 60: the 60 degC column (ambient_factor takes the rest); above 200: the 200 degC column.
double free_air_A(double area_mm2, double class_degC);
// Up to three loaded copper conductors in a raceway: NFPA 70 Table 310.16, read in the same way. Smaller than
// its range: free_air_A times the ratio of its smallest row; above 4/0 area^0.5; above 90 the 90 degC column.
double raceway_A(double area_mm2, double class_degC);

// sqrt((Tc - Ta)/(Tc - 30)) for an ambient from 10 degC; 0 from Ta = Tc on. Below class 60 over (60 - 30),
// which leads on from the 60 degC column.
double ambient_factor(double class_degC, double ambient_degC);

// IEC 60364-5-52 Table B.52.17, bunched; counts below 1 are 1.
double bunched_factor(int circuits);
// 33 CFR 183.425 Table 5 note 2.
double free_air_bundle_factor(int loaded_conductors);
// The lower of the two above, a circuit being two loaded conductors.
double grouping_factor(int loaded_conductors);
// NFPA 70 Table 310.15(C)(1).
double raceway_factor(int loaded_conductors);

// 0.78: at equal heat aluminium carries the square root of the resistivity ratio.
double aluminium_factor();

// "16 mm2", or "6 AWG" where the area is that of an AWG size.
std::string size_text(double area_mm2);

}  // namespace loomward
