#include "checker/budget/budget.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/budget/mode_budget.hpp"
#include "checker/budget/rest_state.hpp"
#include "checker/currents/profile.hpp"

namespace loomward {

using namespace literals;

namespace {

double sum_W(const std::vector<BudgetRow>& rows) {
    double sum = 0;
    for (const BudgetRow& row : rows) sum += row.mean_W;
    return sum;
}

ModeBudget without_numbers(ModeId mode) {
    ModeBudget budget;
    budget.mode = mode;
    budget.known = false;
    return budget;
}

double packs_give_A(const ModeBudget& budget) {
    double sum = 0;
    for (const PackTime& pack : budget.packs) sum += pack.gives.mean_A;
    return sum;
}

// Of a mode that charges a pack the corner with the pack low: a full one takes nothing. Else the one in which
// the packs give most.
ModeBudget worst_of(std::vector<ModeBudget> corners) {
    ModeBudget* worst = &corners.front();
    const auto charges = [](const PackTime& pack) { return pack.gives.mean_A < -1e-6; };
    for (ModeBudget& each : corners) {
        if (each.corner == Corner::run_hot && std::any_of(each.packs.begin(), each.packs.end(), charges))
            return std::move(each);
        if (packs_give_A(each) > packs_give_A(*worst) * (1 + 1e-9)) worst = &each;
    }
    return std::move(*worst);
}

std::vector<ModeBudget> of_modes(const Circuit& circuit, const Facts& facts,
                                 const std::vector<OperatingPoint>& points) {
    const std::vector<Course> courses = usable_courses(points);
    std::vector<ModeBudget> budgets;
    for (const OperatingPoint& point : points) {
        if (!budgets.empty() && budgets.back().mode == point.mode) continue;
        std::vector<ModeBudget> corners;
        for (const Course& course : courses)
            if (course.mode == point.mode)
                corners.push_back(mode_budget(circuit, facts, circuit.harness->modes[point.mode.index()],
                                              point.mode, course.points));
        budgets.push_back(corners.empty() ? without_numbers(point.mode) : worst_of(std::move(corners)));
    }
    return budgets;
}

ModeBudget of_rest(const Circuit& circuit, const Facts& facts, const Mode& state, ModeId mode) {
    std::vector<ModeBudget> corners;
    for (const Corner corner : {Corner::run_hot, Corner::run_full}) {
        const OperatingPoint point = solve_state(circuit, facts, corner, state, mode);
        if (point.usable()) corners.push_back(mode_budget(circuit, facts, state, mode, std::span(&point, 1)));
    }
    return corners.empty() ? without_numbers(mode) : worst_of(std::move(corners));
}

// What the solver chooses for a load that does not say how it behaves.
void say_how_loads_act(const Circuit& circuit, const Facts& facts) {
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        const auto power = harness.value(part.attributes, "(power)"_attr);
        if (part.kind == Kind::load && power.present() && !harness.find(part.attributes, "acts-as"_attr))
            facts.assume("acts-as of a load that is described by its power",
                         "power with the pack low, resistor with it full", "no source, whichever draws more",
                         part.name);
    }
}

}  // namespace

double ModeBudget::given_W() const {
    double sum = sum_W(gives);
    for (const PackTime& pack : packs) sum += std::max(0.0, pack.gives.mean_W);
    return sum;
}
double ModeBudget::stored_W() const {
    double sum = 0;
    for (const PackTime& pack : packs) sum += std::max(0.0, -pack.gives.mean_W);
    return sum;
}
double ModeBudget::taken_W() const {
    return sum_W(takes);
}
double ModeBudget::converted_W() const {
    double sum = 0;
    for (const ConverterRow& row : converters) sum += row.lost_W();
    return sum;
}

double hours_until_empty(double capacity_Ah, const std::vector<DrawnLevel>& levels) {
    constexpr double no_draw_A = 1e-9;
    double left_Ah = capacity_Ah, passed_h = 0;
    for (std::size_t i = 0; i < levels.size(); ++i) {
        const double now_A = levels[i].current_A;
        const bool stays = i + 1 == levels.size();
        const double lasts_h = levels[i].duration_s / 3600;
        const double drawn_Ah = now_A * lasts_h;
        if (stays ? now_A > no_draw_A : drawn_Ah >= left_Ah) return passed_h + left_Ah / now_A;
        if (stays) break;
        left_Ah = std::min(capacity_Ah, left_Ah - drawn_Ah);
        passed_h += lasts_h;
    }
    return std::numeric_limits<double>::infinity();
}

Budget make_budget(Circuit circuit, const std::vector<OperatingPoint>& points, const Harness& written) {
    circuit.harness = &written;
    const Facts facts(*circuit.harness);
    Budget budget;
    budget.modes = of_modes(circuit, facts, points);
    for (const ModeId mode : modes_at_rest(*circuit.harness))
        budget.at_rest.push_back(of_rest(circuit, facts, circuit.harness->modes[mode.index()], mode));
    if (budget.at_rest.empty())
        budget.at_rest.push_back(of_rest(circuit, facts, rest_state(*circuit.harness), {}));
    say_how_loads_act(circuit, facts);
    budget.assumptions = facts.assumptions();
    return budget;
}

}  // namespace loomward
