// How NewtonSolver finds its way where blocked or saturated elements alone hold pieces of an island together:
// the slopes then do not determine the pieces' potentials against each other.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "checker/network_newton.hpp"

namespace loomward {

namespace {

// For a piece with nothing to tell how far it has to go.
constexpr double default_stitch_S = 1e-3;
// Weaker ones would drown in their neighbours' digits, stronger ones hold on to rounding.
constexpr double least_stitch_S = 1e-5;
constexpr double most_stitch_S = 1e6;
// A step should pass the kink it aims at, so that the element there takes hold: by these shares of the way
// and of the voltage across the element.
constexpr double overshoot = 1e-3;
constexpr double least_overshoot = 1e-9;

// How much u = V(from) - V(to) must change to change the element's slope, upwards and downwards; infinite
// where it never does.
struct Kinks {
    double up_V = std::numeric_limits<double>::infinity();
    double down_V = std::numeric_limits<double>::infinity();
};

Kinks kinks_of(const Element& element, double drop_V) {
    Kinks kinks;
    switch (element.law) {
        case Element::Law::linear:
            break;
        case Element::Law::window: {
            const double inside_V = element.voltage_V + drop_V;
            const double full_V = element.limit_A / element.conductance_S;
            if (inside_V < 0) kinks.up_V = -inside_V;
            if (inside_V > full_V) kinks.down_V = inside_V - full_V;
            break;
        }
        case Element::Law::current:
        case Element::Law::power:
            if (drop_V > element.knee_V) kinks.down_V = drop_V - element.knee_V;
            break;
    }
    const double margin_V = least_overshoot * (std::abs(element.voltage_V) + std::abs(drop_V));
    kinks.up_V += overshoot * kinks.up_V + margin_V;
    kinks.down_V += overshoot * kinks.down_V + margin_V;
    return kinks;
}

// Nodes held together by elements with a positive slope.
std::vector<std::uint32_t> find_pieces(std::size_t node_count, const std::vector<Element>& elements,
                                       const std::vector<double>& slopes_S) {
    std::vector<std::uint32_t> piece(node_count);
    std::iota(piece.begin(), piece.end(), 0U);
    const auto find = [&piece](std::uint32_t node) {
        while (piece[node] != node) {
            piece[node] = piece[piece[node]];
            node = piece[node];
        }
        return node;
    };
    for (std::size_t index = 0; index < elements.size(); ++index) {
        if (!(slopes_S[index] > 0)) continue;
        const std::uint32_t first = find(elements[index].from);
        const std::uint32_t second = find(elements[index].to);
        piece[std::max(first, second)] = std::min(first, second);
    }
    for (std::uint32_t node = 0; node < node_count; ++node) piece[node] = find(node);
    return piece;
}

struct Piece {
    double excess_A = 0;                                         // what leaves it on balance
    double nearest_V = std::numeric_limits<double>::infinity();  // next kink on the way to balance
    double seams = 0;                                            // how many elements leave it

    // Conductance that would carry it there with its excess.
    double wanted_S() const {
        if (excess_A == 0 || !std::isfinite(nearest_V) || nearest_V <= 0) return default_stitch_S / seams;
        return std::clamp(std::abs(excess_A) / nearest_V / seams, least_stitch_S, most_stitch_S);
    }
};

}  // namespace

// Gives elements without a slope one, where they are seams between pieces. Says whether there are any.
bool NewtonSolver::stitch() {
    if (std::none_of(slopes_S_.begin(), slopes_S_.end(), [](double slope_S) { return slope_S == 0; }))
        return false;
    const std::vector<std::uint32_t> piece_of_node = find_pieces(voltage_.size(), elements_, slopes_S_);
    const auto is_seam = [&](std::size_t index) {
        return slopes_S_[index] == 0 &&
               piece_of_node[elements_[index].from] != piece_of_node[elements_[index].to];
    };
    std::vector<std::size_t> seams;
    for (std::size_t index = 0; index < elements_.size(); ++index) {
        if (is_seam(index)) seams.push_back(index);
    }
    if (seams.empty()) return false;
    std::vector<Piece> pieces(voltage_.size());
    for (std::size_t unknown = 0; unknown < residual_A_.size(); ++unknown) {
        pieces[piece_of_node[node_of_unknown_[unknown]]].excess_A += residual_A_[unknown];
    }
    for (const std::size_t index : seams) {
        const Element& element = elements_[index];
        const Kinks kinks = kinks_of(element, drop_V(element));
        Piece& from = pieces[piece_of_node[element.from]];
        Piece& to = pieces[piece_of_node[element.to]];
        from.nearest_V = std::min(from.nearest_V, from.excess_A > 0 ? kinks.down_V : kinks.up_V);
        to.nearest_V = std::min(to.nearest_V, to.excess_A > 0 ? kinks.up_V : kinks.down_V);
        from.seams += 1;
        to.seams += 1;
    }
    for (const std::size_t index : seams) {
        const Piece& from = pieces[piece_of_node[elements_[index].from]];
        const Piece& to = pieces[piece_of_node[elements_[index].to]];
        slopes_S_[index] = std::max(from.wanted_S(), to.wanted_S());
    }
    return true;
}

}  // namespace loomward
