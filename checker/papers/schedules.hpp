// The lists that a harness is built and kept by: wires to cut, fuses, contacts, labels, what to buy, what to
// tighten. Plain data with units; totals are sums of what stands in the rows.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

// One wire as it is cut. What nobody knows is absent, never 0.
struct WireEntry {
    WireId wire;
    std::string name, from, to;
    std::string size;                // as written: "16 mm2", "2/0 AWG"; empty: not known
    std::optional<double> area_mm2;  // of one conductor
    std::optional<double> length_m;  // the longer end of what is written, without allowance
    std::optional<double> cut_m;     // with allowance, of one conductor
    unsigned parallel = 1;
    std::string colour, insulation;  // "green-yellow"; "pvc 90 degC"
    bool aluminium = false;
    std::string cable;
    std::vector<std::string> bundles;
    std::string end_from, end_to;  // what is crimped on, as written; empty: not said
    std::string note, order;
    std::optional<double> least_ohm, most_ohm;  // at 20 degC, all its conductors together
    std::optional<double> metal_kg;             // of its conductors, cut as they are
};

// Wires that come off one reel.
struct ReelTotal {
    std::string size, colour, insulation;
    bool aluminium = false;
    std::optional<double> area_mm2;
    std::size_t pieces = 0;  // conductors
    double cut_m = 0;        // of those whose length is known
    double metal_kg = 0;
    std::size_t unknown = 0;  // of the pieces: length not known
};

struct FuseEntry {
    PartId part;
    std::string name, label, kind, holder;  // "X3.1"
    std::optional<double> rated_A, rated_V, breaks_A;
    std::string breaks;  // as written: "4 kA at 80 V dc"
    std::string curve;
    std::optional<double> torque_Nm;
    std::optional<double> short_here_A;  // the largest it has to break
    std::string note, order;
};

struct ContactEntry {
    PartId connector;
    std::string contact;                    // "1"
    std::string terminal, mate;             // "J1.1", "P1.1"
    std::vector<WireId> wires, mate_wires;  // that land there
    std::optional<double> worst_A, may_A;   // in any mode; derated at the hottest ambient
    bool spare = false;
};

// One to print for each end of a wire.
struct LabelEntry {
    std::string text;  // the name of the wire
    std::string here, there;
    std::string size, colour;
};

// One thing to buy, so many times.
struct MaterialEntry {
    std::size_t amount = 0;
    std::string kind;     // "fuse"
    std::string type;     // part type of the file; may be empty
    std::string ratings;  // as written: "80 A, 80 V dc, breaks 4 kA at 80 V dc"
    std::string order;    // what the file says to order
    std::vector<std::string> names;
};

// A part that is tightened: those that say how tight, and those that are bolted and do not.
struct TorqueEntry {
    PartId part;
    std::string name, label;
    std::optional<Quantity> torque;  // absent: to be found out
    std::vector<std::string> terminals;
};

struct Schedules {
    std::vector<WireEntry> wires;        // source order
    std::vector<ReelTotal> reels;        // thickest first, then colour
    std::vector<FuseEntry> fuses;        // fuses and breakers, source order
    std::vector<ContactEntry> contacts;  // by connector in source order, then contact
    std::vector<LabelEntry> labels;      // two a wire
    std::vector<MaterialEntry> materials;
    std::vector<TorqueEntry> torques;
};

// `allowance`: of its length, added to each wire where it is cut: 0.05 for 5 %. At least 0.
// `short_here_A` by PartId: what each device has to break; empty: not looked at.
Schedules schedules_of(const Results& results, double allowance, const std::vector<double>& short_here_A);

// Density of conductors, kg for a metre of 1 mm2: copper 8.96 g/cm3, aluminium 2.70 g/cm3 (memory).
double metal_kg_per_m_mm2(bool aluminium);

// The attributes of a part as the file has them, fitted from a type or not: "80 A", "breaks 4 kA at 80 V dc".
// Without note, doubt, order, at.
std::vector<std::string> written_attributes(const Harness& harness, PartId part);
// Text of every attribute of that name, or of the first; empty where there is none.
std::vector<std::string> texts_of(const Harness& harness, Slice attributes, Attr name);

}  // namespace loomward
