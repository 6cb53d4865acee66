// A network with everything it feeds, held between solutions: solved from nothing, and followed from there as
// one load asks for more or less.
#pragma once
#include <vector>

#include "checker/solver/network.hpp"
#include "checker/solver/network_chains.hpp"
#include "checker/solver/network_graph.hpp"
#include "checker/solver/network_newton.hpp"

namespace loomward {

// A converter's input with the output it feeds, both as elements.
struct Coupling {
    std::size_t input;
    std::size_t output;
    double own_power_W;
    double efficiency;
};

class LoadedNetwork {
  public:
    // Loads are multiplied by `load_factor`. Keeps a reference to the network.
    LoadedNetwork(const Network& network, double load_factor);

    // From nothing. False: not converged.
    bool converge();

    // Lets a load that had the amount it has now draw `power_W` or `current_A` instead, and follows the
    // voltages there. False: nothing was found near by, and all is as before.
    bool change_load(std::uint32_t branch, double power_W, double current_A);

    // The same for all loads at once: multiplied by `load_factor` instead of what they are multiplied by now.
    bool change_factor(double load_factor);

    // What the last of these found; checked against Kirchhoff's current law.
    NetworkSolution solution() const;

  private:
    bool follow(std::vector<Element> asked);

    const Network& network_;
    NetworkGraph graph_;
    ContractedElements contracted_;
    NewtonSolver solver_;
    std::vector<Coupling> couplings_;
    bool converged_ = false;
};

// Whether a converter's output could come back to its own input through a diode: then it must not count as
// fed by itself, though its input lies in a loop with a source.
bool may_feed_itself(const Network& network);

}  // namespace loomward
