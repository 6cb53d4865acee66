// Witness paths: how a current gets somewhere.
#pragma once
#include <unordered_map>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/path.hpp"
#include "checker/currents/operating_point.hpp"

namespace loomward {

// Where the current through an edge comes from and goes to at an operating point: from the edge, always along
// the strongest current, upstream to a source's plus and downstream to its minus.
std::vector<Step> current_path(const Circuit& circuit, const OperatingPoint& point, EdgeId edge);

// The edges of that path, source first, and the node it starts from.
struct CurrentPath {
    NodeId start;
    std::vector<EdgeId> edges;
};
CurrentPath trace_current(const Circuit& circuit, const OperatingPoint& point, EdgeId edge);

// The same for many edges of one operating point: looks once at what hangs on each node, not once for each
// path that passes a bar.
class CurrentTracer {
  public:
    CurrentTracer(const Circuit& circuit, const OperatingPoint& point) : circuit_(circuit), point_(point) {}
    CurrentPath through(EdgeId edge);

  private:
    EdgeId strongest(NodeId node, int sign);
    EdgeId follow(NodeId node, int sign, NodeId pole, std::vector<EdgeId>& edges);
    std::vector<EdgeId> way_home(NodeId node, NodeId pole, bool against) const;

    const Circuit& circuit_;
    const OperatingPoint& point_;
    std::unordered_map<std::uint32_t, EdgeId> strongest_out_, strongest_in_;  // by node, as far as looked at
};

}  // namespace loomward
