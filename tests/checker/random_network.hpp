// Random networks that look like harnesses: a supply and a return tree with loops, packs, chargers, loads,
// and where asked diodes and converters with a rail of their own. The same seed gives the same network
// everywhere.
#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "checker/solver/network.hpp"
#include "tests/checker/network_builder.hpp"

namespace loomward::test {

// Own generator and distributions: those of the standard library differ between libraries.
class Dice {
  public:
    explicit Dice(std::uint64_t seed) : state_(seed) {}
    double share() {  // 0 <= x < 1
        state_ += 0x9e3779b97f4a7c15U;
        std::uint64_t mixed = state_;
        mixed = (mixed ^ (mixed >> 30U)) * 0xbf58476d1ce4e5b9U;
        mixed = (mixed ^ (mixed >> 27U)) * 0x94d049bb133111ebU;
        return static_cast<double>((mixed ^ (mixed >> 31U)) >> 11U) * 0x1p-53;
    }
    double between(double low, double high) { return low + (high - low) * share(); }
    // Evenly over the orders of magnitude.
    double of_order(double low, double high) { return low * std::pow(high / low, share()); }
    std::uint32_t below(std::uint32_t count) { return static_cast<std::uint32_t>(share() * count); }
    bool chance(double probability) { return share() < probability; }

  private:
    std::uint64_t state_;
};

struct RandomNetwork {
    Network network;
    std::vector<double> nominal_V;  // by node: about what is to be expected there
    std::vector<std::uint32_t> island_references;
};

enum class Ingredients : std::uint8_t {
    linear,     // resistors and packs
    loads,      // and constant power, constant current
    every_law,  // and diodes, chargers, converters
};

// A tree of `count` nodes on a new root with some loops; returns its nodes, root first.
inline std::vector<std::uint32_t> add_rail(RandomNetwork& made, Dice& dice, std::uint32_t count,
                                           double nominal_V, double least_ohm, double most_ohm) {
    std::vector<std::uint32_t> nodes;
    for (std::uint32_t index = 0; index < count; ++index) {
        const std::uint32_t node = made.network.node_count++;
        made.nominal_V.push_back(nominal_V);
        if (index > 0) {
            const std::uint32_t reach = dice.chance(0.7) ? std::min(index, 6U) : index;
            const std::uint32_t parent = nodes[index - 1 - dice.below(reach)];
            made.network.branches.push_back(resistor(parent, node, dice.of_order(least_ohm, most_ohm)));
            if (dice.chance(0.1)) {
                made.network.branches.push_back(
                    resistor(node, nodes[dice.below(index)], dice.of_order(least_ohm, most_ohm)));
            }
        }
        nodes.push_back(node);
    }
    return nodes;
}

struct Rails {
    std::vector<std::uint32_t> plus;
    std::vector<std::uint32_t> minus;
    double nominal_V = 0;
    double load_A = 0;         // about what one load draws
    double drawn_A = 0;        // by all so far
    std::size_t fed_from = 0;  // rails before the converter
    std::size_t output = 0;    // its limited source
};

inline void add_load(RandomNetwork& made, Dice& dice, Rails& rails, Ingredients ingredients) {
    const std::uint32_t plus = rails.plus[dice.below(static_cast<std::uint32_t>(rails.plus.size()))];
    const std::uint32_t minus = rails.minus[dice.below(static_cast<std::uint32_t>(rails.minus.size()))];
    const double current_A = rails.load_A * dice.of_order(0.1, 1);
    const double most = ingredients == Ingredients::linear  ? 0.3
                        : ingredients == Ingredients::loads ? 0.85
                                                            : 1;
    const double kind = dice.between(0, most);
    rails.drawn_A += kind < 0.95 ? current_A : 0;
    std::vector<Branch>& branches = made.network.branches;
    if (kind < 0.3) {
        branches.push_back(resistor(plus, minus, rails.nominal_V / current_A));
    } else if (kind < 0.7) {
        branches.push_back(power_load(plus, minus, rails.nominal_V * current_A, 0.4 * rails.nominal_V));
    } else if (kind < 0.85) {
        branches.push_back(current_load(plus, minus, current_A, 0.3 * rails.nominal_V));
    } else if (kind < 0.95) {
        // behind a diode of its own, and one the wrong way beside it
        const std::uint32_t behind = made.network.node_count++;
        made.nominal_V.push_back(rails.nominal_V);
        branches.push_back(diode(plus, behind, dice.between(0.2, 0.8), dice.of_order(1e-3, 1e-1)));
        branches.push_back(resistor(behind, minus, rails.nominal_V / current_A));
        branches.push_back(diode(minus, behind, 0.7, 0.01));
    } else {
        branches.push_back(limited_source(minus, plus, rails.nominal_V * dice.between(0.9, 1.1), 0.02,
                                          current_A * dice.between(0.5, 4)));
    }
}

// A converter from one rail to a new one, which shares the return or has its own.
inline Rails add_converter(RandomNetwork& made, Dice& dice, const Rails& from, std::uint32_t size) {
    Rails to;
    to.nominal_V = from.nominal_V * dice.between(0.2, 0.6);
    const std::uint32_t in_plus = from.plus[dice.below(static_cast<std::uint32_t>(from.plus.size()))];
    const std::uint32_t in_minus = from.minus[dice.below(static_cast<std::uint32_t>(from.minus.size()))];
    to.plus = add_rail(made, dice, std::max(2U, size), to.nominal_V, 1e-3, 2e-2);
    if (dice.chance(0.5)) {
        to.minus = from.minus;
    } else {
        to.minus = add_rail(made, dice, std::max(2U, size / 2), 0, 1e-3, 2e-2);
        made.island_references.push_back(to.minus.front());
    }
    const std::size_t output = made.network.branches.size() + 1;
    made.network.branches.push_back(converter_input(in_plus, in_minus, output, dice.between(0.8, 0.97),
                                                    dice.between(0, 2), 0.4 * from.nominal_V));
    made.network.branches.push_back(
        limited_source(to.minus.front(), to.plus.front(), to.nominal_V, dice.of_order(1e-3, 1e-2), 0));
    to.load_A = from.load_A;
    to.output = output;
    return to;
}

// About `elements` branches. Loads are sized so that the packs can feed them.
inline RandomNetwork random_network(std::uint64_t seed, std::uint32_t elements, Ingredients ingredients) {
    Dice dice(seed * 1000003U + 17U);
    RandomNetwork made;
    Rails main;
    main.nominal_V = dice.between(12, 96);
    const std::uint32_t plus_count = std::max(2U, elements * 45 / 100);
    const std::uint32_t minus_count = std::max(2U, elements * 15 / 100);
    main.minus = add_rail(made, dice, minus_count, 0, 1e-4, 5e-3);
    main.plus = add_rail(made, dice, plus_count, main.nominal_V, 1e-4, 5e-3);
    made.island_references.push_back(main.minus.front());
    const std::uint32_t packs = 1 + dice.below(3);
    for (std::uint32_t pack = 0; pack < packs; ++pack) {
        const std::uint32_t spread = pack == 0 ? 1 : std::min(plus_count, minus_count);
        const std::uint32_t at = dice.below(spread);
        made.network.branches.push_back(emf(main.minus[at], main.plus[at],
                                            main.nominal_V * dice.between(0.97, 1.03),
                                            dice.of_order(5e-3, 5e-2)));
    }
    main.load_A = 100 / std::max(4.0, 0.35 * elements);
    std::vector<Rails> rails{main};
    while (made.network.branches.size() < elements) {
        const std::uint32_t on = dice.chance(0.6) ? 0 : dice.below(static_cast<std::uint32_t>(rails.size()));
        if (ingredients == Ingredients::every_law && (rails.size() == 1 || dice.chance(0.02))) {
            rails.push_back(add_converter(made, dice, rails[on], 2 + dice.below(8)));
            rails.back().fed_from = on;
            // An unloaded rail may stand anywhere above its converter's voltage.
            add_load(made, dice, rails.back(), Ingredients::linear);
        }
        add_load(made, dice, rails[on], ingredients);
    }
    for (std::size_t index = rails.size() - 1; index > 0; --index) {
        const Rails& fed = rails[index];
        made.network.branches[fed.output].current_A = 1.3 * fed.drawn_A + 1;
        rails[fed.fed_from].drawn_A += 1.25 * fed.drawn_A * fed.nominal_V / rails[fed.fed_from].nominal_V;
    }
    return made;
}

// 10 to 2,000, evenly over the orders of magnitude.
inline std::uint32_t random_size(std::uint64_t seed) {
    return static_cast<std::uint32_t>(Dice(seed).of_order(10, 2000));
}

}  // namespace loomward::test
