// A mode of a harness with something in it otherwise: a contact that somebody opens, a contactor that sticks.
#pragma once
#include <memory>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// A source that is there before anything turns: what a controller gives back is not.
inline bool is_standing_source(EdgeRole role) {
    return is_source(role) && role != EdgeRole::regeneration;
}

// Opens (or closes) what a switching or driver edge belongs to: every pole of a switch, a relay by its coil,
// a selector by turning it off.
void open_contact(const Circuit& circuit, Mode& mode, EdgeId contact);
// A contactor or relay as if its coil had pulled it in, or as if it had let go.
void set_pulled(const Circuit& circuit, Mode& mode, PartId part, bool pulled);
bool is_pulled(const Mode& mode, PartId part);

class WhatIf {
  public:
    WhatIf(const Circuit& circuit, const Facts& facts);
    ~WhatIf();
    WhatIf(const WhatIf&) = delete;
    WhatIf& operator=(const WhatIf&) = delete;

    // `mode` is a changed copy of the mode `id`: its first level with the packs full, conductors cool.
    // Controllers do what the mode says. node_V empty where not solved.
    OperatingPoint solve(const Mode& mode, ModeId id) const;

  private:
    struct Values;
    const Circuit& circuit_;
    const Facts& facts_;
    std::unique_ptr<Values> values_;
};

// Whether a source can drive a current through an edge in a mode, on the graph: one end hangs on a plus and
// the other on a minus, over conductors or through what draws or resists, and not only round through the
// other pole.
bool can_be_driven(const Circuit& circuit, const Mode& mode, EdgeId edge);
// Whether the plus of a source, other than `own`, can drive a current to a node, the right way through every
// diode.
bool can_be_fed(const Circuit& circuit, const Mode& mode, NodeId node, EdgeId own = {});

}  // namespace loomward
