// Currents against what the mode asks: flat below it, a limit acted; above it, it was another mode.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>

#include "checker/bench/run_places.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

// A plateau: at least this long and so many rows, within so much of itself, so near to the top. No source.
constexpr double plateau_least_s = 5;
constexpr std::size_t plateau_least_rows = 8;
constexpr double plateau_band = 0.04;
constexpr double plateau_near_top = 0.9;
// So far below what is asked for, or above it, that it is no error of the logger. No source.
constexpr double clearly = 0.05;

class CurrentStudy {
  public:
    explicit CurrentStudy(const RunPlaces& places) : places_(places) {}

    void study_currents(RunReport& report) {
        for (const std::size_t column : places_.columns_of(LogQuantity::amps)) {
            RunCurrent current;
            current.column = column;
            for (const double each : places_.log().columns[column].values)
                if (!std::isnan(each)) current.highest_A = std::max(current.highest_A, std::abs(each));
            const EdgeId edge = places_.at(column).edge;
            if (const OperatingPoint* point = places_.worst_point(edge))
                current.asked_A = std::abs(point->edge_A[edge.index()]);
            find_plateau(current);
            if (current.plateau_s > 0) {
                current.held_down = current.plateau_A < (1 - clearly) * current.asked_A;
                current.above = current.plateau_A > (1 + clearly) * current.asked_A;
            }
            if (current.held_down) current.limits = limits_at(current.plateau_A);
            report.currents.push_back(std::move(current));
        }
    }

  private:
    // The longest stretch that stays within the band, near the top. Two ends that run through the rows, the
    // largest and the smallest between them kept.
    void find_plateau(RunCurrent& current) const {
        const std::vector<double>& amps = places_.log().columns[current.column].values;
        const std::vector<double>& time = places_.log().time_s();
        std::deque<std::size_t> rising, falling;  // the smallest and the largest first
        std::size_t from = 0;
        for (std::size_t to = 0; to < amps.size(); ++to) {
            const double now_A = std::abs(amps[to]);
            if (std::isnan(now_A) || now_A < plateau_near_top * current.highest_A || !(now_A > 0)) {
                from = to + 1;
                rising.clear();
                falling.clear();
                continue;
            }
            while (!rising.empty() && std::abs(amps[rising.back()]) >= now_A) rising.pop_back();
            while (!falling.empty() && std::abs(amps[falling.back()]) <= now_A) falling.pop_back();
            rising.push_back(to);
            falling.push_back(to);
            while (std::abs(amps[falling.front()]) - std::abs(amps[rising.front()]) >
                   plateau_band * std::abs(amps[falling.front()])) {
                ++from;
                if (rising.front() < from) rising.pop_front();
                if (falling.front() < from) falling.pop_front();
            }
            const double lasts_s = time[to] - time[from];
            if (lasts_s < plateau_least_s || to - from + 1 < plateau_least_rows ||
                lasts_s <= current.plateau_s)
                continue;
            current.plateau_s = lasts_s;
            current.plateau_from_s = time[from] - time.front();
            current.plateau_A = (std::abs(amps[falling.front()]) + std::abs(amps[rising.front()])) / 2;
        }
    }

    // What the file has set or rated to such a current.
    std::vector<std::string> limits_at(double plateau_A) const {
        const Facts facts(places_.harness());
        std::vector<std::string> found;
        const auto offer = [&](PartId part, std::string_view what, double limit_A) {
            if (std::abs(limit_A - plateau_A) <= clearly * plateau_A)
                found.push_back(fmt::format("{} {} {}", places_.harness().part(part).name, what,
                                            to_text(limit_A, Dimension::current)));
        };
        for (std::size_t i = 0; i < places_.harness().parts.size(); ++i) {
            const PartId part(i);
            const Kind kind = places_.harness().part(part).kind;
            if (kind == Kind::controller) {
                if (const auto limit = supply_limit(facts, part))
                    offer(part, "supply-limit", limit->current_A);
            } else if (kind == Kind::pack || kind == Kind::bms) {
                if (const auto limit = facts.quantity(part, "discharge"_attr))
                    offer(part, "discharge", limit->lo);
            }
        }
        return found;
    }

    const RunPlaces& places_;
};

}  // namespace

void study_currents(const RunPlaces& places, RunReport& report) {
    CurrentStudy(places).study_currents(report);
}

}  // namespace loomward
