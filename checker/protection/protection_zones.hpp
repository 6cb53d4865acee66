// Which wires are guarded by which devices: the proof of checker/proof read the other way round.
#pragma once
#include <string>
#include <vector>

#include "checker/circuit/path.hpp"

namespace loomward {

struct Proof;
struct WireLoading;
struct Zones;
class Facts;

// One device of a cut; or what bounds the current by its nature and is nobody's guard: a resistor, a pin, a
// source that limits itself.
struct ZoneGuard {
    PartId part;
    bool limit = false;
    double current_A = 0;  // lets this pass for long without opening
    std::string working;   // "1.35 x 80 A = 108 A"; the current alone where nothing is worked out
};

// Wires that the same devices guard.
struct ProtectionZone {
    enum class Guard : std::uint8_t {
        devices,      // a fuse or breaker takes part in guarding them
        electronics,  // a BMS, or nothing but limits of sources and resistors, and no fuse
        no_source,    // no source reaches them: phase leads, signals
        not_known,    // the rated current of the device is not known, so nothing is proved
        short_leads,  // no device, no longer than the policy allows near the source
        none,         // no device
    };
    Guard guard{};
    std::vector<ZoneGuard> devices;  // source order; of not_known those that are not known
    double current_A = 0;            // can flow for long in each wire; infinity: without end
    std::vector<WireId> wires;       // source order; never empty
    // The wire with the least to spare, by ampacity over current; invalid where no size or no bound is known.
    WireId weakest;
    double weakest_ampacity_A = 0;
    std::vector<Step> witness;  // of short_leads and none: from the source to the far end of the farthest
    double reach_m = 0;         // length of wire along the witness
};

// In the order of the kinds of guard, then of the source. Each wire is in exactly one.
std::vector<ProtectionZone> protection_zones(const Circuit& circuit, const Facts& facts, const Zones& zones,
                                             const Proof& proof, const std::vector<WireLoading>& wires);

}  // namespace loomward
