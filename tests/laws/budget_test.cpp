// Laws of the load budget: what is given is taken, stored or lost, and a capacity is what its hours draw.
#include <catch2/catch.hpp>

#include <cmath>

#include "checker/budget/budget.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

namespace budget_test {

using namespace loomward;

namespace {

// Sum of what is given against what is taken, stored and lost, as a share of what is given.
double imbalance(const ModeBudget& mode) {
    const double given_W = mode.given_W();
    const double gone_W = mode.taken_W() + mode.stored_W() + mode.lost_W();
    return given_W > 0 ? std::abs(given_W - gone_W) / given_W : std::abs(gone_W);
}

struct Counted {
    std::size_t balanced = 0, timed = 0;
};
// Power balance of every mode, and hours x mean current = capacity of every pack, to 1e-6.
void check_figures(const Results& results, Counted& counted) {
    const Budget budget = make_budget(results.circuit, results.points, *results.harness);
    std::vector<const ModeBudget*> all;
    for (const ModeBudget& mode : budget.modes) all.push_back(&mode);
    for (const ModeBudget& mode : budget.at_rest) all.push_back(&mode);
    for (const ModeBudget* mode : all) {
        if (!mode->known) continue;
        CAPTURE(mode->mode.value, mode->given_W(), mode->taken_W(), mode->stored_W(), mode->lost_W());
        // Below a microwatt only the last bits of the solution are left.
        if (mode->given_W() > 1e-6) {
            CHECK(imbalance(*mode) < 1e-6);
            ++counted.balanced;
        }
        for (const PackTime& pack : mode->packs) {
            if (pack.way != PackTime::Way::runs_down && pack.way != PackTime::Way::fills) continue;
            if (mode->by_profile && !mode->cycle) continue;  // level by level: see the walk below
            const double mean_A = std::abs(pack.gives.mean_A);
            CHECK(pack.least_h * mean_A == Approx(pack.capacity_Ah->lo).epsilon(1e-9));
            CHECK(pack.most_h * mean_A == Approx(pack.capacity_Ah->hi).epsilon(1e-9));
            ++counted.timed;
        }
    }
}

}  // namespace

TEST_CASE("what packs give is what loads take and conductors lose, in every mode of every example") {
    Counted counted;
    for (const std::string& name : laws::example_names()) {
        CAPTURE(name);
        const auto results = laws::checked(name, laws::example_text(name));
        if (results) check_figures(*results, counted);
    }
    CHECK(counted.balanced > 20);
    CHECK(counted.timed > 20);
}

TEST_CASE("what packs give is what loads take and conductors lose, in random harnesses") {
    Counted counted;
    for (std::uint64_t seed = 1; seed <= laws::cases(30); ++seed) {
        CAPTURE(seed);
        const auto results = laws::checked("random", laws::random_harness(seed).text());
        if (results) check_figures(*results, counted);
    }
    CHECK(counted.balanced > 30);
    CHECK(counted.timed > 30);
}

}  // namespace budget_test
