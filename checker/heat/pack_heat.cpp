#include "checker/heat/pack_heat.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/budget/budget.hpp"
#include "checker/budget/missing_values.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/temperature_limits.hpp"

namespace loomward {

using namespace literals;

namespace {

// Cells by their chemistry, told by the voltage of a full one.
struct CellFigures {
    double full_V;  // up to there
    double low_Wh_kg, high_Wh_kg;
    double low_J_kgK, high_J_kgK;
    std::string_view name;
    std::string_view source;
};
constexpr CellFigures chemistries[] = {
    {2.47, 30, 45, 900, 1200, "lead", "battery handbooks (memory, low confidence)"},
    {3.0, 60, 110, 800, 1100, "LTO", "Wh/kg no source; specific heat: range of the literature, second hand"},
    {3.8, 150, 180, 1130, 1130, "LFP",
     "Wh/kg derived from one data sheet; specific heat: battery engineering reference, second hand"},
    {5.0, 220, 265, 830, 1040, "NMC or NCA",
     "Wh/kg data sheets of cells (memory); specific heat: battery engineering reference, second hand"},
};

const CellFigures& figures_of(const Facts& facts, PartId pack) {
    const auto cell = facts.quantity(pack, "cell-voltage"_attr);
    for (const CellFigures& each : chemistries)
        if (cell && cell->hi <= each.full_V) return each;
    return chemistries[std::size(chemistries) - 1];
}

struct Capacity {
    double low_J_K = 0, high_J_K = 0;
    std::string working;
};

std::string heat_text(double J_per_K) {
    return to_text(J_per_K, Dimension::energy) + "/K";
}
std::string specific_text(double J_kgK) {
    return to_text(J_kgK, Dimension::none) + " J/(kg K)";
}

std::optional<Capacity> capacity_of(const Facts& facts, PartId pack, PackHeat& heat) {
    const CellFigures& cells = figures_of(facts, pack);
    const std::string name(facts.harness().part(pack).name);
    Quantity mass;
    std::string how;
    if (const auto stated = facts.quantity(pack, "mass"_attr)) {
        mass = *stated;
    } else {
        const auto charge = pack_capacity(facts, pack);
        const auto voltage = pack_voltage(facts, pack);
        if (!charge || !voltage) {
            heat.needs.push_back("mass or capacity of pack " + name);
            return std::nullopt;
        }
        const double mean_V = (voltage->lo + voltage->hi) / 2;
        mass = {charge->lo * mean_V / cells.high_Wh_kg, charge->hi * mean_V / cells.low_Wh_kg,
                Dimension::mass};
        how = fmt::format(", {} = {} x {} / {} Wh/kg", to_text(mass.lo, Dimension::mass),
                          to_text(charge->lo, Dimension::charge), to_text(mean_V, Dimension::voltage),
                          to_text(cells.high_Wh_kg, Dimension::none));
        facts.assume("mass of the cells of a pack",
                     fmt::format("{} at {} to {} Wh/kg", cells.name, cells.low_Wh_kg, cells.high_Wh_kg),
                     cells.source, name);
    }
    facts.assume("specific heat of cells",
                 cells.low_J_kgK == cells.high_J_kgK
                     ? fmt::format("{} {} J/(kg K)", cells.name, cells.low_J_kgK)
                     : fmt::format("{} {} to {} J/(kg K)", cells.name, cells.low_J_kgK, cells.high_J_kgK),
                 cells.source, name);
    heat.source = cells.source;
    const double low_J_K = mass.lo * cells.low_J_kgK;
    return Capacity{low_J_K, mass.hi * cells.high_J_kgK,
                    heat_text(low_J_K) + " = " + to_text(mass.lo, Dimension::mass) + " x " +
                        specific_text(cells.low_J_kgK) + how};
}

double ohm_of(const Circuit& circuit, const Facts& facts, PartId pack, Corner corner) {
    double sum_ohm = 0;
    for (const EdgeId id : circuit.edges_of_part[pack.index()]) {
        const Edge& edge = circuit.edge(id);
        if (edge.role != EdgeRole::emf) continue;
        const auto section = pack_section(circuit, facts, edge, corner);
        if (!section) return 0;
        sum_ohm += section->resistance_ohm;
    }
    return sum_ohm;
}

struct Measured {
    double rise_K = 0, current_A = 0, after_s = 0;
};
std::optional<Measured> measured_rise(const Facts& facts, PartId pack) {
    const auto rise = facts.quantity(pack, "rise"_attr, 0);
    const auto current = facts.quantity(pack, "rise"_attr, 1);
    const auto after = facts.quantity(pack, "rise"_attr, 2);
    if (!rise || !current || !after || current->lo <= 0 || after->lo <= 0 || rise->hi <= 0)
        return std::nullopt;
    return Measured{rise->hi, current->lo, after->lo};
}

constexpr double most_of_unlost = 0.95;

PackBody body_of(const Measured& measured, double ohm, double J_per_K) {
    PackBody body;
    double loss_W = measured.current_A * measured.current_A * ohm;
    const double least_W = measured.rise_K * J_per_K / (most_of_unlost * measured.after_s);
    if (loss_W < least_W) {
        body.more_loss = least_W / loss_W;
        loss_W = least_W;
    }
    body.body.K_per_W =
        path_of_rise_K_per_W(loss_W, J_per_K, measured.rise_K, measured.after_s).value_or(1000);
    body.J_per_K = J_per_K;
    return body;
}

std::string text_of(const Measured& measured) {
    return to_text(measured.rise_K, Dimension::temperature_rise) + " at " +
           to_text(measured.current_A, Dimension::current) + " after " +
           to_text(measured.after_s, Dimension::time);
}

}  // namespace

std::optional<double> path_of_rise_K_per_W(double loss_W, double J_per_K, double rise_K, double after_s) {
    const auto rise = [&](double K_per_W) {
        return loss_W * K_per_W * -std::expm1(-after_s / (K_per_W * J_per_K));
    };
    double low = 0, high = rise_K / loss_W;
    while (rise(high) < rise_K) {
        low = high;
        high *= 2;
        if (high > 1e9 * rise_K / loss_W) return std::nullopt;
    }
    for (int i = 0; i < 200 && high - low > 1e-12 * high; ++i) {
        const double middle = (low + high) / 2;
        (rise(middle) < rise_K ? low : high) = middle;
    }
    return high;
}

PackHeat pack_heat(const Circuit& circuit, const Facts& facts, PartId pack) {
    PackHeat heat;
    const Part& part = facts.harness().part(pack);
    const std::string name(part.name);
    heat.stated = facts.harness().find(part.attributes, "thermal-resistance"_attr) ||
                  facts.harness().find(part.attributes, "rise"_attr);
    const auto cooling = facts.quantity(pack, "thermal-resistance"_attr);
    const auto measured = measured_rise(facts, pack);
    if (!cooling && !measured) heat.needs.push_back("thermal-resistance or rise of pack " + name);
    const std::optional<Capacity> capacity = capacity_of(facts, pack, heat);
    const double most_ohm = ohm_of(circuit, facts, pack, Corner::run_hot);
    const double least_ohm = ohm_of(circuit, facts, pack, Corner::run_full);
    if (most_ohm <= 0 || least_ohm <= 0) heat.needs.push_back("resistance of pack " + name);
    if (!heat.needs.empty() || !capacity) return heat;
    heat.working.push_back(capacity->working);
    const bool one_ohm = most_ohm <= least_ohm * (1 + 1e-9);
    for (const Corner corner : {Corner::run_hot, Corner::run_full}) {
        if (corner == Corner::run_full && one_ohm) continue;
        for (const double J_per_K : {capacity->low_J_K, capacity->high_J_K}) {
            if (J_per_K == capacity->high_J_K && capacity->high_J_K == capacity->low_J_K &&
                !heat.bodies.empty() && heat.bodies.back().resistance == corner)
                continue;
            PackBody body;
            if (cooling) {
                body.body.K_per_W = cooling->hi;
                body.J_per_K = J_per_K;
            } else {
                body = body_of(*measured, corner == Corner::run_hot ? most_ohm : least_ohm, J_per_K);
            }
            body.resistance = corner;
            body.body.time_constant_s = body.body.K_per_W * J_per_K;
            heat.bodies.push_back(body);
        }
    }
    if (cooling)
        heat.working.push_back(to_text(cooling->hi, Dimension::thermal_resistance) +
                               " from its cells to the air, as stated");
    else
        heat.working.push_back(to_text(heat.bodies.front().body.K_per_W, Dimension::thermal_resistance) +
                               " from its cells to the air: what its measured rise comes to, " +
                               text_of(*measured));
    if (heat.bodies.front().more_loss > 1)
        heat.working.push_back("its cells lose " + to_text(heat.bodies.front().more_loss, Dimension::none) +
                               " times what their resistance makes: the measured rise asks for it");
    return heat;
}

double cell_loss_W(const Circuit& circuit, const Facts& facts, PartId pack, const PackBody& body,
                   const OperatingPoint& point) {
    double loss_W = 0;
    for (const EdgeId id : circuit.edges_of_part[pack.index()]) {
        const Edge& edge = circuit.edge(id);
        if (edge.role != EdgeRole::emf) continue;
        const auto section = pack_section(circuit, facts, edge, body.resistance);
        const double now_A = point.edge_A[id.index()];
        if (section) loss_W += now_A * now_A * section->resistance_ohm;
    }
    return loss_W * body.more_loss;
}

double pack_current_A(const Circuit& circuit, PartId pack, const OperatingPoint& point) {
    double most_A = 0;
    for (const EdgeId id : circuit.edges_of_part[pack.index()]) {
        if (circuit.edge(id).role != EdgeRole::emf) continue;
        const double now_A = point.edge_A[id.index()];
        if (std::abs(now_A) > std::abs(most_A)) most_A = now_A;
    }
    return most_A;
}

double flat_after_s(const Circuit& circuit, const Facts& facts, PartId pack, const Course& course) {
    const auto charge = pack_capacity(facts, pack);
    if (!charge || course.points.empty()) return std::numeric_limits<double>::infinity();
    std::vector<DrawnLevel> levels;
    double sum_As = 0, lasts_s = 0;
    for (const OperatingPoint& point : course.points) {
        const double now_A = pack_current_A(circuit, pack, point);
        levels.push_back({now_A, point.duration_s});
        sum_As += now_A * point.duration_s;
        lasts_s += point.duration_s;
    }
    if (course.points.size() > 1 && course.points.front().repeats) levels = {{sum_As / lasts_s, 0}};
    if (levels.back().current_A < 0)
        for (DrawnLevel& level : levels) level.current_A = -level.current_A;
    return hours_until_empty(charge->hi, levels) * 3600;
}

namespace {

// As warm as lithium cells are stated to give: -20 to 60 degC.
constexpr double lithium_gives_to_degC = 60;
// And to take: 0 to 45 degC.
constexpr double lithium_takes_to_degC = 45;

bool is_lithium(const Facts& facts, PartId pack) {
    return figures_of(facts, pack).name != "lead";
}

// The lowest temperature from the ambient on at which a limit by temperature is below the current.
std::optional<double> falls_below_degC(const Facts& facts, PartId part, Attr name, double current_A,
                                       double ambient_degC) {
    constexpr double hottest_degC = 150, step_K = 1;
    const auto below = [&](double degC) {
        const auto limit = temperature_limit(facts, part, name, {degC, degC, Dimension::temperature});
        return limit && limit->current_A < current_A * (1 - 1e-6);
    };
    if (below(ambient_degC)) return std::nullopt;  // limit-at-temperature tells of that
    for (double degC = ambient_degC + step_K; degC <= hottest_degC; degC += step_K) {
        if (!below(degC)) continue;
        double low = degC - step_K, high = degC;
        while (high - low > 1e-6) {
            const double middle = (low + high) / 2;
            (below(middle) ? high : low) = middle;
        }
        return high;
    }
    return std::nullopt;
}

void lower(std::optional<CellLimit>& lowest, CellLimit other) {
    if (!lowest || other.cell_degC < lowest->cell_degC) lowest = std::move(other);
}

}  // namespace

std::optional<CellLimit> cell_limit(const Circuit& circuit, const Facts& facts, Managements& managements,
                                    PartId pack, const Course& course, double ambient_degC) {
    double gives_A = 0, takes_A = 0;
    for (const OperatingPoint& point : course.points) {
        gives_A = std::max(gives_A, pack_current_A(circuit, pack, point));
        takes_A = std::max(takes_A, -pack_current_A(circuit, pack, point));
    }
    std::vector<PartId> who{pack};
    for (const PartId bms : managements.of(pack)) who.push_back(bms);
    std::optional<CellLimit> lowest;
    const auto named = [&](PartId part, std::string_view attribute, double degC) {
        return to_text(degC, Dimension::temperature) + " (" + std::string(attribute) + " of " +
               std::string(facts.harness().part(part).name) + ")";
    };
    for (const PartId part : who) {
        if (gives_A > idle_A)
            if (const auto stops = facts.quantity(part, "cuts-out-at"_attr))
                lower(lowest, {stops->lo, part, "cuts-out-at", named(part, "cuts-out-at", stops->lo), false});
        for (const auto& [name, current_A] :
             {std::pair{"discharge-at"_attr, gives_A}, std::pair{"charge-at"_attr, takes_A}}) {
            if (current_A <= idle_A) continue;
            const auto degC = falls_below_degC(facts, part, name, current_A, ambient_degC);
            if (degC)
                lower(lowest, {*degC, part, std::string(info(name).name),
                               named(part, info(name).name, *degC) + ", where it falls below " +
                                   to_text(current_A, Dimension::current),
                               false});
        }
    }
    if (lowest || gives_A <= idle_A) return lowest;
    facts.assume("temperature at which cells stop giving", "60 degC",
                 "ranges of lithium cells on pages about them, second hand", facts.harness().part(pack).name);
    return CellLimit{lithium_gives_to_degC, pack, "cuts-out-at",
                     "60 degC (lithium cells give up to there, assumed)", true};
}

std::optional<CellLimit> charge_limit(const Facts& facts, Managements& managements, PartId pack,
                                      double takes_A, double ambient_degC) {
    std::optional<CellLimit> lowest;
    bool stated = false;
    std::vector<PartId> who{pack};
    for (const PartId bms : managements.of(pack)) who.push_back(bms);
    for (const PartId part : who) {
        const Part& each = facts.harness().part(part);
        stated = stated || facts.harness().find(each.attributes, "charge-at"_attr);
        const auto degC = falls_below_degC(facts, part, "charge-at"_attr, takes_A, ambient_degC);
        if (degC)
            lower(lowest,
                  {*degC, part, "charge-at",
                   to_text(*degC, Dimension::temperature) + " (charge-at of " + std::string(each.name) +
                       ", where it falls below " + to_text(takes_A, Dimension::current) + ")",
                   false});
    }
    if (stated || ambient_degC >= lithium_takes_to_degC || !is_lithium(facts, pack)) return lowest;
    facts.assume("temperature at which cells stop taking", "45 degC",
                 "ranges of lithium cells on pages about them, second hand", facts.harness().part(pack).name);
    return CellLimit{lithium_takes_to_degC, pack, "charge-at",
                     "45 degC (lithium cells take up to there, assumed)", true};
}

}  // namespace loomward
