#include "checker/bench/diagnosis.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomward {

namespace {

// Air is measured somewhere, and copper follows it slowly: this much either way.
constexpr double air_spread_K = 5;
// A pack sags and recovers after it was read at rest, as a share of the way from empty to full. No source.
constexpr double rest_spread = 0.05;

struct OhmInterval {
    double least = 0, most = 0;
};

class JointFinder {
  public:
    JointFinder(const Circuit& circuit, std::vector<PieceSum> sums, const std::vector<double>& least_ohm,
                const std::vector<double>& most_ohm)
        : circuit_(circuit), sums_(std::move(sums)), least_(least_ohm), most_(most_ohm) {}

    std::vector<BadJoint> find() {
        narrow();
        std::vector<bool> explained(sums_.size(), false);
        std::vector<BadJoint> found;
        while (true) {
            const std::optional<std::size_t> first = smallest_high(explained);
            if (!first) break;
            BadJoint joint = explain(*first, explained);
            found.push_back(std::move(joint));
        }
        std::stable_sort(found.begin(), found.end(), [](const BadJoint& a, const BadJoint& b) {
            return a.steps.front() < b.steps.front();
        });
        return found;
    }

  private:
    // What a reading leaves for something on top of its pieces.
    OhmInterval excess(const PieceSum& sum) const {
        double least = 0, most = 0;
        for (const EdgeId id : sum.pieces) least += least_[id.index()], most += most_[id.index()];
        return {sum.least_ohm - most, sum.most_ohm - least};
    }

    // A piece that was measured alone and is as it should be is known better than the file has it.
    void narrow() {
        for (const PieceSum& sum : sums_) {
            if (sum.pieces.size() != 1) continue;
            double& least = least_[sum.pieces[0].index()];
            double& most = most_[sum.pieces[0].index()];
            if (sum.least_ohm > most || sum.most_ohm < least) continue;
            least = std::max(least, sum.least_ohm);
            most = std::min(most, sum.most_ohm);
        }
    }

    std::optional<std::size_t> smallest_high(const std::vector<bool>& explained) const {
        std::optional<std::size_t> best;
        for (std::size_t i = 0; i < sums_.size(); ++i) {
            if (explained[i] || excess(sums_[i]).least <= 0) continue;
            if (!best || sums_[i].pieces.size() < sums_[*best].pieces.size()) best = i;
        }
        return best;
    }

    // How many of the readings that are too high one piece explains, and with what on top of it; nullopt: it
    // cannot be this one, because another reading of it would be too high as well.
    struct Explanation {
        OhmInterval ohm;
        std::vector<std::size_t> sums;
    };
    std::optional<Explanation> explanation(EdgeId piece, const std::vector<bool>& explained) const {
        Explanation made{{0, std::numeric_limits<double>::infinity()}, {}};
        for (std::size_t i = 0; i < sums_.size(); ++i) {
            const PieceSum& sum = sums_[i];
            if (std::find(sum.pieces.begin(), sum.pieces.end(), piece) == sum.pieces.end()) continue;
            if (explained[i]) continue;
            const OhmInterval left = excess(sum);
            if (left.least > 0) made.sums.push_back(i);
            made.ohm.least = std::max(made.ohm.least, left.least);
            made.ohm.most = std::min(made.ohm.most, left.most);
        }
        if (made.ohm.most < made.ohm.least) return std::nullopt;
        return made;
    }

    BadJoint explain(std::size_t first, std::vector<bool>& explained) {
        BadJoint joint;
        std::vector<std::size_t> sums{first};
        std::size_t most_explained = 0;
        std::vector<std::pair<EdgeId, Explanation>> tried;
        for (const EdgeId piece : sums_[first].pieces)
            if (auto made = explanation(piece, explained)) {
                most_explained = std::max(most_explained, made->sums.size());
                tried.emplace_back(piece, std::move(*made));
            }
        joint.least_ohm = std::numeric_limits<double>::infinity();
        for (const auto& [piece, made] : tried) {
            if (made.sums.size() < most_explained) continue;
            joint.pieces.push_back(piece);
            joint.least_ohm = std::min(joint.least_ohm, made.ohm.least);
            joint.most_ohm = std::max(joint.most_ohm, made.ohm.most);
            sums = made.sums;
        }
        if (joint.pieces.empty()) {
            // More than one piece of it, then.
            joint.pieces = sums_[first].pieces;
            const OhmInterval left = excess(sums_[first]);
            joint.least_ohm = left.least;
            joint.most_ohm = left.most;
        }
        for (const std::size_t i : sums) {
            explained[i] = true;
            joint.steps.push_back(sums_[i].step);
        }
        explained[first] = true;
        std::sort(joint.steps.begin(), joint.steps.end());
        name(joint);
        return joint;
    }

    std::string terminal(TerminalId id) const { return std::string(circuit_.harness->terminal(id).path); }

    void name(BadJoint& joint) const {
        const Harness& harness = *circuit_.harness;
        for (const EdgeId id : joint.pieces) {
            const Edge& edge = circuit_.edge(id);
            if (edge.wire) {
                const std::string wire(harness.wire(edge.wire).name);
                joint.places.push_back(
                    fmt::format("the end of {} at {}", wire, terminal(edge.from_terminal)));
                joint.places.push_back(fmt::format("the end of {} at {}", wire, terminal(edge.to_terminal)));
            } else if (edge.part) {
                joint.places.emplace_back(harness.part(edge.part).kind == Kind::connector
                                              ? fmt::format("the contact {}", terminal(edge.from_terminal))
                                              : fmt::format("{} itself", harness.part(edge.part).name));
            } else {
                joint.places.push_back(fmt::format("the bolted joint of {} and {}",
                                                   terminal(edge.from_terminal), terminal(edge.to_terminal)));
            }
        }
        const Edge& first = circuit_.edge(joint.pieces.front());
        if (joint.pieces.size() == 1 && first.wire) {
            joint.next = fmt::format(
                "from {0} to the barrel of the lug of {2} on it, then the same at {1}: the one that "
                "reads more is bad; alike: strands of {2} are missing or it is longer or thinner "
                "than the file has it",
                terminal(first.from_terminal), terminal(first.to_terminal), harness.wire(first.wire).name);
        } else if (joint.pieces.size() == 1) {
            joint.next = "nothing: it is this one";
        } else {
            const Edge& middle = circuit_.edge(joint.pieces[(joint.pieces.size() - 1) / 2]);
            joint.next = fmt::format("each of them alone at the same current, first {} to {}",
                                     terminal(middle.from_terminal), terminal(middle.to_terminal));
        }
    }

    const Circuit& circuit_;
    std::vector<PieceSum> sums_;
    std::vector<double> least_, most_;
};

JudgedReading::Verdict verdict_of(MeterKind meter, const ReadingRange& range, double value) {
    if (as_expected(meter, range, value)) return JudgedReading::Verdict::as_expected;
    return value < range.least ? JudgedReading::Verdict::low : JudgedReading::Verdict::high;
}

}  // namespace

std::size_t ReadingsReport::not_as_expected() const {
    return static_cast<std::size_t>(std::count_if(
        judged.begin(), judged.end(),
        [](const JudgedReading& each) { return each.verdict != JudgedReading::Verdict::as_expected; }));
}

std::vector<BadJoint> find_bad_joints(const Circuit& circuit, std::vector<PieceSum> sums,
                                      const std::vector<double>& least_ohm,
                                      const std::vector<double>& most_ohm) {
    return JointFinder(circuit, std::move(sums), least_ohm, most_ohm).find();
}

ReadingsReport judge_readings(const Results& results, const PowerUpSheet& sheet,
                              const std::vector<TakenReading>& taken, const BenchConditions& conditions) {
    const Circuit& circuit = results.circuit;
    const Facts facts(*circuit.harness);
    const double least_degC =
        conditions.air_degC ? *conditions.air_degC - air_spread_K : sheet.air_degC_least;
    const double most_degC = conditions.air_degC ? *conditions.air_degC + air_spread_K : sheet.air_degC_most;
    const ExpectedReadings expected(circuit, facts, least_degC, most_degC);
    std::optional<double> share;
    if (conditions.rest_V && !sheet.packs.empty())
        share = charge_share(facts, sheet.packs.front(), *conditions.rest_V);
    const double least_share = share ? *share - rest_spread : 0,
                 most_share = share ? *share + rest_spread : 1;
    const std::vector<const BenchStep*> steps = sheet.steps();
    std::vector<TakenReading> ordered = taken;
    std::stable_sort(ordered.begin(), ordered.end(),
                     [](const TakenReading& a, const TakenReading& b) { return a.step < b.step; });
    ReadingsReport report;
    std::vector<PieceSum> sums;
    for (const TakenReading& each : ordered) {
        if (each.step == 0 || each.step > steps.size()) continue;
        const BenchStep& step = *steps[each.step - 1];
        if (step.meter == MeterKind::look) continue;
        ReadingRange range = expected.of(sheet, step, least_share, most_share);
        if (step.meter == MeterKind::millivolts) {
            const double amps = each.at_A.value_or(sheet.test_A);
            if (!(amps > 0)) continue;
            const double error = meter_error(step.meter, each.value);
            sums.push_back(
                {each.step, step.pieces, (each.value - error) / amps, (each.value + error) / amps});
            range = {range.least * amps, range.most * amps};
        }
        report.judged.push_back({each.step, each.value, range, verdict_of(step.meter, range, each.value)});
    }
    report.bad_joints =
        find_bad_joints(circuit, std::move(sums), expected.least().ohms(), expected.most().ohms());
    return report;
}

}  // namespace loomward
