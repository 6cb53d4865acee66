// Volts over amps: the resistance of a way against that of its pieces.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/bench_machine.hpp"
#include "checker/bench/run_places.hpp"
#include "checker/circuit/ways.hpp"

namespace loomward {
namespace {

// What loggers of volts and amps are off by together, as a share of a resistance. No source.
constexpr double gain_error = 0.03;
// A straight line is drawn through this many rows at least, over currents that differ by this share of the
// largest. No source.
constexpr std::size_t least_rows = 5;
constexpr double least_spread = 0.2;

// Slope of y over x by least squares, and twice its standard error.
struct Line {
    double slope = 0, error = 0;
};
std::optional<Line> line_through(const std::vector<double>& x, const std::vector<double>& y) {
    double n = 0, mean_x = 0, mean_y = 0, least = infinite, most = -infinite;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (std::isnan(x[i]) || std::isnan(y[i])) continue;
        n += 1;
        mean_x += (x[i] - mean_x) / n;
        mean_y += (y[i] - mean_y) / n;
        least = std::min(least, x[i]);
        most = std::max(most, x[i]);
    }
    if (n < static_cast<double>(least_rows)) return std::nullopt;
    if (most - least < std::max(1.0, least_spread * std::max(std::abs(most), std::abs(least))))
        return std::nullopt;
    double xx = 0, xy = 0, yy = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (std::isnan(x[i]) || std::isnan(y[i])) continue;
        xx += (x[i] - mean_x) * (x[i] - mean_x);
        xy += (x[i] - mean_x) * (y[i] - mean_y);
        yy += (y[i] - mean_y) * (y[i] - mean_y);
    }
    const double slope = xy / xx;
    return Line{slope, 2 * std::sqrt(std::max(0.0, yy - slope * xy) / (n - 2) / xx)};
}

class VoltsStudy {
  public:
    explicit VoltsStudy(const RunPlaces& places) : places_(places) {}

    void study_volts(RunReport& report) {
        const Facts facts(places_.harness());
        double hottest_degC = 20;
        for (const Wire& wire : places_.harness().wires)
            hottest_degC = std::max(hottest_degC, wire.insulation_limit_degC);
        least_ohm_ = bench_ohms(places_.circuit(), facts, SpreadEnd::least,
                                facts.ambient(WireId(0), places_.mode()).lo);
        most_ohm_ = bench_ohms(places_.circuit(), facts, SpreadEnd::most, hottest_degC);
        const std::vector<std::size_t> columns = places_.columns_of(LogQuantity::volts);
        std::vector<PieceSum> sums;
        std::vector<bool> used(places_.log().columns.size(), false);
        for (const std::size_t one : columns)
            if (const auto judged = pieces_of({{places_.at(one).red, places_.at(one).black}})) {
                used[one] = true;
                add(report, sums, {one}, *judged,
                    fmt::format("from {} to {}", places_.path(places_.at(one).red_terminal),
                                places_.path(places_.at(one).black_terminal)));
            }
        for (std::size_t i = 0; i < columns.size(); ++i)
            for (std::size_t k = i + 1; k < columns.size(); ++k) {
                const LogPlace &a = places_.at(columns[i]), &b = places_.at(columns[k]);
                if (used[columns[i]] && used[columns[k]]) continue;
                const auto judged = pieces_of({{a.red, b.red}, {b.black, a.black}});
                if (!judged) continue;
                used[columns[i]] = used[columns[k]] = true;
                add(report, sums, {columns[i], columns[k]}, *judged,
                    fmt::format("from {} to {} and from {} to {}", places_.path(a.red_terminal),
                                places_.path(b.red_terminal), places_.path(b.black_terminal),
                                places_.path(a.black_terminal)));
            }
        for (const std::size_t one : columns)
            if (!used[one])
                report.not_judged.push_back(
                    "volts " + places_.name_of(one) +
                    ": no column of amps is the current of a way that these volts belong to");
        report.bad_joints = find_bad_joints(places_.circuit(), std::move(sums), least_ohm_, most_ohm_);
    }

  private:
    // Between two points over pieces that carry what `amps` carries in the mode; empty where there is none.
    std::vector<EdgeId> way(NodeId from, NodeId to, EdgeId amps, const OperatingPoint& point) const {
        const double flows_A = std::abs(point.edge_A[amps.index()]);
        return least_way(places_.circuit(), from, to, [&](EdgeId id, NodeId) {
            const double share = std::abs(point.edge_A[id.index()]) / flows_A;
            return is_conductor(places_.circuit().edge(id).role) && std::abs(share - 1) <= same_current
                       ? most_ohm_[id.index()] + 1e-9
                       : infinite;
        });
    }

    // The pieces between the probes of one column, or out and back between those of two.
    struct Judged {
        std::vector<EdgeId> pieces;
        std::size_t amps = 0;
    };
    std::optional<Judged> pieces_of(const std::vector<std::pair<NodeId, NodeId>>& ends) const {
        for (const std::size_t amps : places_.columns_of(LogQuantity::amps)) {
            const OperatingPoint* point = places_.worst_point(places_.at(amps).edge);
            if (!point) continue;
            Judged judged{{}, amps};
            bool whole = true;
            for (const auto& [from, to] : ends) {
                if (from == to) continue;
                const std::vector<EdgeId> found = way(from, to, places_.at(amps).edge, *point);
                whole = whole && !found.empty();
                judged.pieces.insert(judged.pieces.end(), found.begin(), found.end());
            }
            if (whole && !judged.pieces.empty()) return judged;
        }
        return std::nullopt;
    }

    void add(RunReport& report, std::vector<PieceSum>& sums, const std::vector<std::size_t>& columns,
             const Judged& judged, const std::string& way) {
        const std::vector<double>& amps = places_.log().columns[judged.amps].values;
        std::vector<double> volts = places_.log().columns[columns.front()].values;
        if (columns.size() > 1)
            for (std::size_t i = 0; i < volts.size(); ++i)
                volts[i] -= places_.log().columns[columns[1]].values[i];
        const std::optional<Line> line = line_through(amps, volts);
        if (!line) {
            report.not_judged.push_back("volts " + way + ": the current " + places_.name_of(judged.amps) +
                                        " hardly changes, or was hardly logged");
            return;
        }
        LostVolts lost;
        lost.columns = columns;
        lost.amps = judged.amps;
        lost.way = way;
        const double ohm = std::abs(line->slope);
        lost.least_ohm = std::max(0.0, ohm * (1 - gain_error) - line->error);
        lost.most_ohm = ohm * (1 + gain_error) + line->error;
        for (const EdgeId id : judged.pieces) {
            lost.expected_least_ohm += least_ohm_[id.index()] * (1 - same_current);
            lost.expected_most_ohm += most_ohm_[id.index()] * (1 + same_current);
        }
        for (const double each : amps)
            if (!std::isnan(each)) lost.largest_A = std::max(lost.largest_A, std::abs(each));
        using Verdict = LostVolts::Verdict;
        lost.verdict = lost.least_ohm > lost.expected_most_ohm   ? Verdict::high
                       : lost.most_ohm < lost.expected_least_ohm ? Verdict::low
                                                                 : Verdict::as_expected;
        report.volts.push_back(lost);
        if (lost.verdict == Verdict::high)
            sums.push_back({report.volts.size(), judged.pieces, lost.least_ohm, lost.most_ohm});
    }

    const RunPlaces& places_;
    std::vector<double> least_ohm_, most_ohm_;  // by EdgeId
};

}  // namespace

void study_volts(const RunPlaces& places, RunReport& report) {
    VoltsStudy(places).study_volts(report);
}

}  // namespace loomward
