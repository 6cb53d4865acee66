#include "checker/budget/mode_budget.hpp"

#include <algorithm>
#include <cmath>

#include "checker/budget/missing_values.hpp"
#include "checker/budget/own_consumption.hpp"
#include "checker/circuit/by_name.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

// What has less than that across it is switched off, whatever it would draw.
constexpr double dead_V = 0.1;
// Moves no charge worth telling; and what the solution leaves where nothing flows.
constexpr double no_draw_A = 1e-9, no_row_A = 1e-12;
// Of all that is given: what draws less is left out of the list.
constexpr double no_row_share = 1e-9;

// How much each point counts in the mean.
std::vector<double> weights_of(std::span<const OperatingPoint> points) {
    std::vector<double> weights(points.size(), 0);
    double sum_s = 0;
    for (const OperatingPoint& point : points) sum_s += point.duration_s;
    if (!points.front().repeats || !(sum_s > 0) || !std::isfinite(sum_s)) {
        weights.back() = 1;
        return weights;
    }
    for (std::size_t i = 0; i < points.size(); ++i) weights[i] = points[i].duration_s / sum_s;
    return weights;
}

class ModeAccount {
  public:
    ModeAccount(const Circuit& circuit, const Facts& facts, const Mode& state,
                std::span<const OperatingPoint> points, ModeBudget& budget)
        : circuit_(circuit),
          facts_(facts),
          harness_(*circuit.harness),
          state_(state),
          points_(points),
          weights_(weights_of(points)),
          budget_(budget) {}

    void run() {
        begin_packs();
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) take(EdgeId(i));
        take_own_consumption();
        take_held();
        for (PackTime& pack : budget_.packs) time(pack);
        const double least_W = no_row_share * budget_.given_W();
        std::erase_if(budget_.takes, [&](const BudgetRow& row) {
            return row.needs.empty() && std::abs(row.mean_W) <= least_W && row.most_A <= no_draw_A;
        });
        const auto before = [&](const BudgetRow& a, const BudgetRow& b) {
            return comes_before(harness_.part(a.part).name, harness_.part(b.part).name);
        };
        // Equal but for the last bits of the solution: by name.
        const auto larger = [&](const BudgetRow& a, const BudgetRow& b) {
            const double close = 1e-9 * std::max(std::abs(a.mean_W), std::abs(b.mean_W));
            return std::abs(a.mean_W - b.mean_W) > close ? a.mean_W > b.mean_W : before(a, b);
        };
        std::stable_sort(budget_.gives.begin(), budget_.gives.end(), before);
        std::stable_sort(budget_.takes.begin(), budget_.takes.end(), before);
        std::stable_sort(budget_.takes.begin(), budget_.takes.end(), larger);
        std::stable_sort(
            budget_.converters.begin(), budget_.converters.end(),
            [&](const ConverterRow& a, const ConverterRow& b) { return before(a.input, b.input); });
    }

  private:
    double voltage_V(const OperatingPoint& point, const Edge& edge) const {
        return point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
    }
    // What flows into the edge at its `from`, times what it drops: above zero, it takes.
    double mean_W(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        double sum = 0;
        for (std::size_t i = 0; i < points_.size(); ++i)
            sum += weights_[i] * voltage_V(points_[i], edge) * points_[i].edge_A[id.index()];
        return sum;
    }
    bool alive(const Edge& edge) const {
        return std::any_of(points_.begin(), points_.end(), [&](const OperatingPoint& point) {
            return std::abs(voltage_V(point, edge)) > dead_V;
        });
    }

    BudgetRow row_of(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        BudgetRow row;
        row.role = edge.role;
        row.part = edge.part;
        row.mean_W = is_source(edge.role) ? -mean_W(id) : mean_W(id);
        if (edge.role == EdgeRole::supply_pin || edge.role == EdgeRole::output_pin)
            row.terminal = pin_of(harness_, edge).terminal;
        for (std::size_t i = 0; i < points_.size(); ++i) {
            // A motor draws either way round; only a pack has a direction.
            const double signed_A = points_[i].edge_A[id.index()];
            const double now_A = edge.role == EdgeRole::emf ? signed_A : std::abs(signed_A);
            row.mean_A += weights_[i] * now_A;
            if (i == 0 || std::abs(now_A) > row.most_A) {
                row.most_A = std::abs(now_A);
                row.voltage_V = std::abs(voltage_V(points_[i], edge));
            }
        }
        return row;
    }

    void begin_packs() {
        for (const PartId part : parts_by_name(harness_))
            if (harness_.part(part).kind == Kind::pack) {
                PackTime pack;
                pack.gives.role = EdgeRole::emf;
                pack.gives.part = part;
                pack.capacity_Ah = pack_capacity(facts_, part);
                budget_.packs.push_back(std::move(pack));
                levels_.emplace_back(points_.size(), DrawnLevel{});
                if (!pack_voltage(facts_, part))
                    need({"voltage of pack " + std::string(harness_.part(part).name)});
            }
    }
    std::size_t pack_index(PartId part) const {
        return static_cast<std::size_t>(
            std::find_if(budget_.packs.begin(), budget_.packs.end(),
                         [&](const PackTime& pack) { return pack.gives.part == part; }) -
            budget_.packs.begin());
    }

    void take(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        switch (edge.role) {
            case EdgeRole::emf:
                return take_section(id);
            case EdgeRole::converter_input:
                return take_converter(id);
            case EdgeRole::converter_output:
                return;  // with its input
            case EdgeRole::load:
            case EdgeRole::controller:
            case EdgeRole::coil:
            case EdgeRole::supply_pin:
            case EdgeRole::resistor:
            case EdgeRole::capacitor:
                if (BudgetRow row = row_of(id); alive(edge) || row.most_A > no_row_A)
                    put(budget_.takes, std::move(row), edge);
                return;
            case EdgeRole::regeneration:
            case EdgeRole::charger:
            case EdgeRole::output_pin:
                return put(budget_.gives, row_of(id), edge);
            default:
                return take_loss(id);
        }
    }

    void put(std::vector<BudgetRow>& rows, BudgetRow row, const Edge& edge) {
        row.needs = missing_draw(circuit_, facts_, state_, edge);
        // What an output leaves open matters where something hangs on it.
        if (edge.role == EdgeRole::output_pin && row.most_A <= no_row_A) row.needs.clear();
        need(row.needs);
        if (standby_left_out(harness_, state_, edge)) leave_out(edge.part);
        if (row.most_A > no_row_A || !row.needs.empty()) rows.push_back(std::move(row));
    }
    void need(const std::vector<std::string>& needs) {
        for (const std::string& each : needs)
            if (std::find(budget_.needs.begin(), budget_.needs.end(), each) == budget_.needs.end())
                budget_.needs.push_back(each);
    }
    void leave_out(PartId part) { budget_.left_out.emplace_back(harness_.part(part).name); }

    void take_converter(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        ConverterRow row{row_of(id), {}};
        for (const EdgeId other : circuit_.edges_of_part[edge.part.index()])
            if (circuit_.edge(other).role == EdgeRole::converter_output) row.output = row_of(other);
        if (!alive(edge) && row.input.most_A <= no_row_A && row.output.most_A <= no_row_A) return;
        row.input.needs = missing_draw(circuit_, facts_, state_, edge);
        need(row.input.needs);
        if (standby_left_out(harness_, state_, edge)) leave_out(edge.part);
        if (row.input.most_A > no_draw_A || row.output.most_A > no_draw_A || !row.input.needs.empty())
            budget_.converters.push_back(std::move(row));
    }

    void take_loss(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        const double lost_W = mean_W(id);
        if (edge.role == EdgeRole::diode || edge.role == EdgeRole::converter_reverse)
            budget_.diodes_W += lost_W;
        else if (edge.role == EdgeRole::wire || edge.role == EdgeRole::joint)
            budget_.wires_W += lost_W;
        else
            budget_.contacts_W += lost_W;
        if (lost_W <= 0) return;
        for (std::string& missing : missing_loss(circuit_, facts_, edge))
            if (std::find(budget_.loss_needs.begin(), budget_.loss_needs.end(), missing) ==
                budget_.loss_needs.end())
                budget_.loss_needs.push_back(std::move(missing));
    }

    // A pack with taps is flat when its hardest-worked section is, and full when its least-charged is.
    void take_section(EdgeId id) {
        const BudgetRow section = row_of(id);
        const std::size_t index = pack_index(section.part);
        BudgetRow& pack = budget_.packs[index].gives;
        pack.mean_W += section.mean_W;
        pack.voltage_V += section.voltage_V;
        if (has_section_.size() <= index) has_section_.resize(budget_.packs.size());
        if (has_section_[index] && section.mean_A <= pack.mean_A) return;
        has_section_[index] = true;
        pack.mean_A = section.mean_A;
        pack.most_A = section.most_A;
        for (std::size_t i = 0; i < points_.size(); ++i)
            levels_[index][i] = {points_[i].edge_A[id.index()], points_[i].duration_s};
    }

    void take_own_consumption() {
        for (const PartId part : parts_by_name(harness_)) {
            if (harness_.part(part).kind != Kind::bms) continue;
            BudgetRow row;
            row.role = EdgeRole::trip;
            row.part = part;
            row.mean_A = row.most_A = facts_.quantity(part, "standby"_attr).value_or(Quantity{}).hi;
            const std::vector<WatchedPack> watched = packs_behind(circuit_, facts_, state_, part);
            if (watched.empty() || circuit_.edges_of_part[part.index()].empty()) continue;
            std::size_t layer = watched.size();
            for (const WatchedPack& each : watched) {
                const std::size_t index = pack_index(each.pack);
                BudgetRow& pack = budget_.packs[index].gives;
                const double share_A = row.mean_A * each.share;
                if (each.layer != layer) row.voltage_V += pack.voltage_V;
                layer = each.layer;
                pack.mean_A += share_A;
                pack.most_A += share_A;
                pack.mean_W += share_A * pack.voltage_V;
                row.mean_W += share_A * pack.voltage_V;
                for (DrawnLevel& level : levels_[index]) level.current_A += share_A;
            }
            const Edge& edge = circuit_.edge(circuit_.edges_of_part[part.index()].front());
            put(budget_.takes, std::move(row), edge);
        }
    }

    void take_held() {
        std::vector<EdgeId> held;
        for (const OperatingPoint& point : points_)
            held.insert(held.end(), point.collapsed.begin(), point.collapsed.end());
        std::sort(held.begin(), held.end());
        held.erase(std::unique(held.begin(), held.end()), held.end());
        for (const EdgeId id : held) budget_.held.push_back(row_of(id));
    }

    // Packs side by side share by their resistances.
    bool shares(PartId part) const {
        const auto island = [&](PartId pack) {
            const TerminalId plus = harness_.terminal_of(pack, TerminalRole::plus);
            return circuit_.island_of_node[circuit_.node(plus).index()];
        };
        return std::any_of(budget_.packs.begin(), budget_.packs.end(), [&](const PackTime& other) {
            return other.gives.part != part && island(other.gives.part) == island(part);
        });
    }

    void time(PackTime& pack) {
        const PartId part = pack.gives.part;
        const std::string of = " of pack " + std::string(harness_.part(part).name);
        pack.needs = budget_.needs;
        if (shares(part))
            for (const PackTime& other : budget_.packs)
                if (facts_.is_unknown(other.gives.part, "resistance"_attr) ||
                    facts_.is_unknown(other.gives.part, "cell-resistance"_attr))
                    pack.needs.push_back("resistance of pack " +
                                         std::string(harness_.part(other.gives.part).name));
        pack.gives.needs = pack.needs;
        std::vector<DrawnLevel> levels = levels_[pack_index(part)];
        if (budget_.cycle) levels = {{pack.gives.mean_A, 0}};
        const bool fills = pack.gives.mean_A < -no_draw_A;
        if (fills)
            for (DrawnLevel& level : levels) level.current_A = -level.current_A;
        const bool moves =
            std::isfinite(hours_until_empty(pack.capacity_Ah ? pack.capacity_Ah->lo : 1, levels));
        if (moves && !pack.capacity_Ah) pack.needs.push_back("capacity" + of);
        if (!pack.needs.empty()) return;
        pack.way = !moves ? PackTime::Way::stands : fills ? PackTime::Way::fills : PackTime::Way::runs_down;
        if (!moves) return;
        pack.least_h = hours_until_empty(pack.capacity_Ah->lo, levels);
        pack.most_h = hours_until_empty(pack.capacity_Ah->hi, levels);
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const Harness& harness_;
    const Mode& state_;
    std::span<const OperatingPoint> points_;
    std::vector<double> weights_;
    ModeBudget& budget_;
    std::vector<std::vector<DrawnLevel>> levels_;  // by pack
    std::vector<bool> has_section_;                // by pack
};

}  // namespace

ModeBudget mode_budget(const Circuit& circuit, const Facts& facts, const Mode& state, ModeId mode,
                       std::span<const OperatingPoint> points) {
    ModeBudget budget;
    budget.mode = mode;
    budget.corner = points.front().corner;
    budget.by_profile = points.size() > 1;
    budget.cycle = budget.by_profile && points.front().repeats;
    ModeAccount(circuit, facts, state, points, budget).run();
    return budget;
}

}  // namespace loomward
