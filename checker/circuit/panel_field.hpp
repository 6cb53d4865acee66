// Solar panels and what is wired to them, by topology and ratings alone: a panel is a source that nothing but
// the dark switches off and whose current is limited, so that the most that flows anywhere is a question of
// which panels lie behind it. No mode is solved for it.
//
// Counted are panels in full sun, every contact closed, into their charger, a load or a pack. Of wires side
// by side, or in a ring, each is taken to carry all of it alone.
#pragma once
#include <cstdint>
#include <memory>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/flow.hpp"
#include "checker/circuit/panel_strings.hpp"

namespace loomward {

// What the parts say, by EdgeId; 0 where it is no panel, or not known.
struct PanelFigures {
    std::vector<double> short_circuit_A;  // above 0: of panels
    std::vector<double> open_circuit_V;   // of panels, as cold as it gets
    std::vector<double> rated_A;          // of fuses and breakers
};

// What the others can push back through a panel.
struct BackFeed {
    double bare_A = 0;           // with nothing to open
    double guarded_A = 0;        // with every fuse open that would carry more than it is rated
    std::vector<EdgeId> fed_by;  // panels that bound what flows bare
};

class PanelField {
  public:
    PanelField(const Circuit& circuit, PanelFigures figures);

    const std::vector<EdgeId>& panels() const { return panels_; }
    // The most that panels drive through a conductor or into an input, A, at their short-circuit current; 0
    // where they lead nothing.
    double through_A(EdgeId edge) const;
    // The most that arrives at a point that is no part of a conductor, as a bar, A.
    double arrives_A(NodeId node) const;
    BackFeed back_into(EdgeId panel) const;
    // The string between two points that has the highest voltage; none: no panel lies between.
    PanelString string_between(NodeId minus, NodeId plus) const { return strings_.between(minus, plus); }
    // For each group of panels that lie across a pack, with nothing but conductors and diodes between: a
    // panel, and a section of the pack.
    struct OnPack {
        EdgeId panel, section;
    };
    std::vector<OnPack> on_packs() const;

  private:
    struct Net;
    std::unique_ptr<Net> net_with(EdgeId first) const;
    double around_A(Net& net, EdgeId edge) const;
    bool bypasses(const Edge& diode) const;

    const Circuit& circuit_;
    PanelFigures figures_;
    std::vector<EdgeId> panels_;
    PanelStrings strings_;
    double all_A_ = 0;               // every panel together
    std::vector<double> through_A_;  // by EdgeId
};

}  // namespace loomward
