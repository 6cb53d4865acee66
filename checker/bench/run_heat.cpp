// Temperatures against what the logged current, or the mode, explains.
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/run_places.hpp"
#include "checker/heat/endurance.hpp"
#include "checker/heat/wire_hold.hpp"

namespace loomward {
namespace {

// What a probe and the air may be off by, K, and the rise of a model, as a share. No source.
constexpr double probe_K = 5;
constexpr double rise_error = 0.2;

class HeatStudy {
  public:
    explicit HeatStudy(const RunPlaces& places) : places_(places) {}

    void study_heat(RunReport& report) {
        Facts facts(places_.harness());
        warm(facts, places_.results().boxes);
        std::vector<WireHold> holds;
        for (const Course& course : places_.courses())
            for (WireHold& hold : wire_holds(places_.circuit(), facts, course))
                holds.push_back(std::move(hold));
        const std::vector<ModeEndurance> endured =
            endurance(places_.circuit(), facts, places_.results().points);
        const auto of_mode = std::find_if(endured.begin(), endured.end(), [&](const ModeEndurance& each) {
            return each.mode == places_.mode();
        });
        for (const std::size_t column : places_.columns_of(LogQuantity::temperature)) {
            const WireId wire = places_.circuit().edge(places_.at(column).edge).wire;
            const std::optional<std::size_t> amps = places_.amps_through(places_.at(column).edge);
            const WireHold* hold = nullptr;
            for (const WireHold& each : holds)  // where it lies warmest
                if (wire && each.wire == wire && each.lasting_A > 0 &&
                    (!hold || each.lasting_A < hold->lasting_A))
                    hold = &each;
            if (hold && amps) {
                report.heat.push_back(by_current(column, *amps, *hold));
            } else if (const HeldPart* held = held_part(of_mode, endured.end(), column)) {
                report.heat.push_back(by_mode(column, *held));
            } else {
                report.not_judged.push_back("temperature " + places_.name_of(column) +
                                            ": how warm it gets in this mode is not known");
            }
        }
    }

  private:
    using Endured = std::vector<ModeEndurance>::const_iterator;
    const HeldPart* held_part(Endured mode, Endured end, std::size_t column) const {
        if (mode == end || !mode->known) return nullptr;
        const Edge& edge = places_.circuit().edge(places_.at(column).edge);
        const HeldPart* worst = nullptr;
        for (const HeldPart& each : mode->parts) {
            const bool same = edge.wire ? each.wire == edge.wire : each.part && each.part == edge.part;
            if (same && each.what != HeldPart::What::device && each.settles &&
                (!worst || each.peak_degC > worst->peak_degC))
                worst = &each;
        }
        return worst;
    }

    void note(RunHeat& heat, std::size_t row, double expected_degC) const {
        const double shown_degC = places_.log().columns[heat.column].values[row];
        if (std::isnan(shown_degC)) return;
        heat.highest_degC = std::max(heat.highest_degC, shown_degC);
        heat.expected_degC = std::max(heat.expected_degC, expected_degC);
        if (heat.early || shown_degC <= expected_degC) return;
        heat.early = true;
        heat.early_at_s = places_.log().time_s()[row] - places_.log().time_s().front();
        heat.early_degC = shown_degC;
        heat.early_expected_degC = expected_degC;
    }

    // What it showed first counts as its air: one that starts warm is allowed too much, never too little.
    double first_degC(std::size_t column) const {
        for (const double each : places_.log().columns[column].values)
            if (!std::isnan(each)) return each;
        return 0;
    }

    RunHeat by_current(std::size_t column, std::size_t amps, const WireHold& hold) const {
        RunHeat heat{column, -infinite, -infinite, false, 0, 0, 0, true};
        const double air_degC = first_degC(column);
        const double lasting_K = lasting_loss_W(hold.body, hold.limit_K());
        double rise_K = 0, now_A = 0;
        for (std::size_t row = 0; row < places_.log().rows(); ++row) {
            if (row > 0) {
                const double share = now_A / hold.lasting_A;
                rise_K = rise_after_K(hold.body, lasting_K * share * share, rise_K,
                                      places_.log().time_s()[row] - places_.log().time_s()[row - 1]);
            }
            const double logged_A = places_.log().columns[amps].values[row];
            if (!std::isnan(logged_A)) now_A = std::abs(logged_A);
            note(heat, row, air_degC + probe_K + rise_K * (1 + rise_error));
        }
        return heat;
    }

    RunHeat by_mode(std::size_t column, const HeldPart& held) const {
        RunHeat heat{column, -infinite, -infinite, false, 0, 0, 0, false};
        const double rise_K = std::max(0.0, held.peak_degC - held.ambient_degC);
        for (std::size_t row = 0; row < places_.log().rows(); ++row)
            note(heat, row, first_degC(column) + probe_K + rise_K * (1 + rise_error));
        return heat;
    }

    const RunPlaces& places_;
};

}  // namespace

void study_heat(const RunPlaces& places, RunReport& report) {
    HeatStudy(places).study_heat(report);
}

}  // namespace loomward
