// How NewtonSolver finds its way where blocked or saturated elements alone hold pieces of an island together:
// the slopes then do not determine the pieces' potentials against each other.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "checker/solver/network_newton.hpp"

namespace loomward {

namespace {

// For a piece with nothing to tell how far it has to go.
constexpr double default_stitch_S = 1e-3;
// Weaker ones would drown in their neighbours' digits, stronger ones hold on to rounding.
constexpr double least_stitch_S = 1e-5;
constexpr double most_stitch_S = 1e7;

// How much the voltage across a load that draws `most_A` at its knee must change until it takes `excess_A`
// less (as far as its knee, and on by its slope) or, with its poles the wrong way round, more.
double way_of_load(const Element& element, double drop_V, double most_A, double excess_A, bool upwards) {
    constexpr double never = std::numeric_limits<double>::infinity();
    if (!(most_A > 0)) return never;
    const double from_kink_V = excess_A * element.knee_V / most_A;
    if (!upwards) return drop_V < element.knee_V ? never : drop_V - element.knee_V + from_kink_V;
    const double lower_V = element.both_ways ? -element.knee_V : 0;
    return drop_V > lower_V ? never : lower_V - drop_V + from_kink_V;
}

// How much u = V(from) - V(to) must change until the element takes `excess_A` more (upwards) or less;
// infinite where it never does. That is as far as its next kink, and from there by its slope.
double way_to_take(const Element& element, FineVoltage from, FineVoltage to, double excess_A, bool upwards) {
    constexpr double never = std::numeric_limits<double>::infinity();
    const double drop_V = drop_across(from, to);
    switch (element.law) {
        case Element::Law::linear:
            return never;
        case Element::Law::window: {
            const double driving_V = driving_voltage(element, from, to);
            const double full_V = element.limit_A / element.conductance_S;
            if (driving_V < 0 && upwards) return -driving_V + excess_A / element.conductance_S;
            if (driving_V > full_V && !upwards) return driving_V - full_V + excess_A / element.conductance_S;
            return never;
        }
        case Element::Law::current:
            return way_of_load(element, drop_V, element.limit_A, excess_A, upwards);
        case Element::Law::power:
            return way_of_load(element, drop_V, element.power_W / element.knee_V, excess_A, upwards);
    }
    return never;
}

class Pieces {
  public:
    explicit Pieces(std::size_t node_count) : parent_(node_count) {
        std::iota(parent_.begin(), parent_.end(), 0U);
    }
    std::uint32_t find(std::uint32_t node) {
        while (parent_[node] != node) {
            parent_[node] = parent_[parent_[node]];
            node = parent_[node];
        }
        return node;
    }
    // Says whether they were apart.
    bool join(std::uint32_t first, std::uint32_t second) {
        first = find(first);
        second = find(second);
        parent_[std::max(first, second)] = std::min(first, second);
        return first != second;
    }

  private:
    std::vector<std::uint32_t> parent_;
};

struct Seam {
    std::size_t element;
    double way_V;    // to where it takes the excess of one of its pieces
    double slope_S;  // that carries the piece there
};

}  // namespace

// Joins pieces by giving elements between them a slope: as many as it takes and no more, since loops of them
// would carry currents from one end of a piece to the other. Those that need the least way come first. Says
// whether there were pieces.
bool NewtonSolver::stitch() {
    if (std::find(slopes_S_.begin(), slopes_S_.end(), 0.0) == slopes_S_.end()) return false;
    const auto conducts_as_before = [](double slope_S, double before_S) {
        return (slope_S > 0) == (before_S > 0) && (slope_S == 0) == (before_S == 0);
    };
    if (std::equal(slopes_S_.begin(), slopes_S_.end(), whole_S_.begin(), whole_S_.end(), conducts_as_before))
        return false;
    Pieces pieces(voltage_.size());
    for (std::size_t index = 0; index < elements_.size(); ++index) {
        if (slopes_S_[index] > 0) pieces.join(elements_[index].from, elements_[index].to);
    }
    const auto is_seam = [&](std::size_t index) {
        return slopes_S_[index] == 0 &&
               pieces.find(elements_[index].from) != pieces.find(elements_[index].to);
    };
    std::size_t first_seam = 0;
    while (first_seam < elements_.size() && !is_seam(first_seam)) ++first_seam;
    if (first_seam == elements_.size()) {
        whole_S_ = slopes_S_;
        return false;
    }
    // What leaves a piece on balance. Pieces that hold a reference stay where they are.
    std::vector<double> excess_A(voltage_.size(), 0);
    for (std::size_t unknown = 0; unknown < residual_A_.size(); ++unknown) {
        excess_A[pieces.find(node_of_unknown_[unknown])] += residual_A_[unknown];
    }
    for (std::uint32_t node = 0; node < voltage_.size(); ++node) {
        if (unknown_of_node_[node] == NodalMatrix<double>::grounded) excess_A[pieces.find(node)] = 0;
    }
    std::vector<Seam> seams;
    for (std::size_t index = first_seam; index < elements_.size(); ++index) {
        if (!is_seam(index)) continue;
        const Element& element = elements_[index];
        const std::uint32_t from = pieces.find(element.from), to = pieces.find(element.to);
        Seam seam{index, std::numeric_limits<double>::infinity(), default_stitch_S};
        // A piece that too much leaves has to come down.
        const auto offer = [&](double excess, bool upwards) {
            const double way_V = excess == 0 ? seam.way_V
                                             : way_to_take(element, voltage_[element.from],
                                                           voltage_[element.to], std::abs(excess), upwards);
            if (!(way_V < seam.way_V)) return;
            seam.way_V = way_V;
            seam.slope_S = std::clamp(std::abs(excess) / way_V, least_stitch_S, most_stitch_S);
        };
        offer(excess_A[from], excess_A[from] < 0);
        offer(excess_A[to], excess_A[to] > 0);
        seams.push_back(seam);
    }
    std::stable_sort(seams.begin(), seams.end(),
                     [](const Seam& first, const Seam& second) { return first.way_V < second.way_V; });
    for (const Seam& seam : seams) {
        const Element& element = elements_[seam.element];
        if (pieces.join(element.from, element.to)) slopes_S_[seam.element] = seam.slope_S;
    }
    return true;
}

}  // namespace loomward
