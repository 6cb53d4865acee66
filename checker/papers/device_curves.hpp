// A time-current chart as data: the band of a device, when each wire behind it is damaged, what its load is,
// and which short circuits it has to open.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/papers/shorts.hpp"
#include "checker/results.hpp"

namespace loomward {

struct CurvePoint {
    double current_A = 0;
    double time_s = 0;
};

// When a wire that is fully loaded is damaged by a steady current.
struct DamageCurve {
    WireId wire;                     // of those alike the one that may carry least
    std::size_t alike = 0;           // others of its size, told of in the same way
    std::vector<CurvePoint> points;  // rising in current; from where it takes less than `longest_curve_s`
    bool accused = false;            // a finding of the check says that it may burn before the device opens
};

struct LoadStep {
    double current_A = 0;
    double duration_s = 0;  // infinity: it stays
};

struct DeviceCurve {
    PartId device;
    std::optional<double> rated_A;  // nullopt: not known, and then there is no band
    std::vector<CurvePoint> fast;   // from where it may open
    std::vector<CurvePoint> slow;   // by when it is open
    std::string source;             // of the band
    bool electronic = false;
    // Of the wires behind it at most three sorts: those that are accused first, then the thinnest and the
    // thickest.
    std::vector<DamageCurve> wires;
    ModeId load_mode;                       // the mode that warms it most; invalid: nothing flows in any
    double load_A = 0;                      // as much heat as its load in that mode
    std::vector<LoadStep> load;             // the levels of that mode
    std::optional<double> least_A, most_A;  // shorts at the ends of the wires behind it
};

inline constexpr double shortest_curve_s = 1e-3, longest_curve_s = 1e4;
inline constexpr int samples_a_decade = 24;

// What a device and a wire do, from the study of the check that `results` came from.
struct CurveFacts {
    std::vector<Band> bands;      // by PartId
    std::vector<WireHeat> wires;  // by WireId
};

// Of every fuse, breaker and BMS, in the order of the file. Currents from the decade below half the rated one
// to the larger of 60 times it and 1.6 times the largest short behind it.
std::vector<DeviceCurve> device_curves(const Results& results, const CurveFacts& facts,
                                       const std::vector<WireShorts>& shorts);

}  // namespace loomward
