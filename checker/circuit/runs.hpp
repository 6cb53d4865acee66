// Runs: the way of a current out to what uses it and the way back, and where on the one a point lies beside
// which point of the other.
//
// Out and back begin at one place (the poles of the source) and end at one place (the part that uses the
// current). Between them nothing is known but the lengths of the wires, and a wire is not longer than it has
// to be: the shorter way of the two is about as long as the two places are apart. So a point that lies a
// metre of wire from the part cannot touch what lies at the part's far end of a run of five.
//
// No way leads through two contacts that shut one another out: a motor between two change-over contacts hangs
// on the way out and on the way back, and does not join them.
#pragma once
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/contact_ways.hpp"

namespace loomward {

class PoleReach;

class Runs {
  public:
    Runs(const Circuit& circuit, const ContactWays& contacts);

    // Some plus reaches it; it leads back to some minus. Both where packs stand in series.
    bool forward(NodeId node) const { return out_.reached(node); }
    bool back(NodeId node) const { return home_.reached(node); }
    // Wire from the nearest source along the way out (for what no plus reaches along the way back), m.
    double distance_m(NodeId node) const;

    // What lies on the way back beside a point of the way out.
    struct Beside {
        NodeId far;    // ... where most of the run is passed
        NodeId near;   // ... nearer to the source; the same where there is no other
        EdgeId along;  // valid: it is not the node `far` itself that lies there, but this wire beyond it
    };
    // All invalid where nothing is fed from there, or where nothing leads back.
    Beside beside(NodeId node) const;
    // For a short at a point, whatever else lies there: the point of the other side against which most flows.
    // Of the way out the return beside it, or beside what feeds it, in the end the minus of its source; of
    // the way back the plus of the source that it leads to. Invalid where no source is.
    NodeId across(NodeId node) const;

    // As many users hang on the way out beyond the one as come home over the other: a feed and its return.
    bool serve_the_same(NodeId out, NodeId home) const {
        return forward(out) && back(home) && users_out_[out.index()] > 0 &&
               users_out_[out.index()] == users_home_[home.index()];
    }

    // The path that a user reads; ties are broken by it, so that the order of writing means nothing.
    std::string_view name(NodeId node) const;
    TerminalId terminal(NodeId node) const { return name_[node.index()]; }

  private:
    // Shortest ways from a set of poles, as a tree in which a way can be walked in leaps.
    struct Tree {
        // Whether a contact can be closed together with those on the way from the root to the node.
        bool may_go_on(NodeId node, EdgeId contact, const ContactWays& contacts) const;
        void settle(NodeId node, const ContactWays& contacts);

        std::vector<double> distance_m;
        std::vector<EdgeId> by;            // towards the root
        std::vector<NodeId> parent, leap;  // invalid at a root
        std::vector<NodeId>
            chosen;  // the nearest node towards the root, or this, behind a contact of a choice
        std::vector<std::uint32_t> depth;
        std::vector<NodeId> order;  // by distance
        bool reached(NodeId node) const { return depth[node.index()] > 0; }
    };
    template <class LeadsOn>
    void grow(Tree& tree, const std::vector<NodeId>& roots, const ContactWays& contacts,
              LeadsOn leads_on) const;
    void find_out(const ContactWays& contacts, const PoleReach& poles);
    void find_home(const ContactWays& contacts, const PoleReach& poles);
    void find_users(const PoleReach& poles);
    // The node on the way from `below` to the root that is the last within that many metres.
    NodeId climb(NodeId below, double metres) const;
    NodeId meeting(NodeId a, NodeId b) const;
    double length_m(const Edge& edge) const;

    const Circuit& circuit_;
    std::vector<TerminalId> name_;  // by NodeId
    Tree out_, home_;
    std::vector<NodeId> driver_minus_;  // by NodeId: where only a driver leads home, its minus
    std::vector<NodeId> minus_of_;      // by NodeId, of the way out: the minus of the source that feeds it
    std::vector<bool> fed_by_pack_;     // by NodeId
    std::vector<NodeId> user_minus_;    // by NodeId: the return of the nearest user beyond; invalid: none
    std::vector<double> user_m_;        // how far that user is
    std::vector<std::uint32_t> device_users_;  // users behind the first device on the way there; 0: no device
    std::vector<std::uint32_t> users_out_;     // by NodeId: how many are fed through it
    std::vector<std::uint32_t> users_home_;    // by NodeId: how many returns lead through it
    std::vector<bool> bar_;                    // by NodeId
};

}  // namespace loomward
