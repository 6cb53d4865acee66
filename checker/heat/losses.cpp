#include "checker/heat/losses.hpp"

#include <algorithm>
#include <cmath>

#include "checker/heat/motor_loss.hpp"
#include "checker/heat/wire_loss.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double nothing_W = 1e-6;

// Where nobody says: of what it takes, or of what it gives.
struct UsualLoss {
    double share = 0;
    std::string_view text;
    std::string_view source;
};
constexpr UsualLoss of_input{0.05, "5 % of what it takes",
                             "drives 3 to 5 %: enclosure airflow guide (secondary), its high end"};
constexpr UsualLoss of_output{0.25, "25 % of what it gives",
                              "power supplies 10 to 25 %: enclosure airflow guide (secondary), its high end"};

// What a pack, a device or a pin does is told apart from what only has a voltage across it.
bool is_plain(EdgeRole role) {
    switch (role) {
        case EdgeRole::emf:
        case EdgeRole::load:
        case EdgeRole::controller:
        case EdgeRole::regeneration:
        case EdgeRole::capacitor:
        case EdgeRole::converter_input:
        case EdgeRole::converter_output:
        case EdgeRole::charger:
        case EdgeRole::panel:
        case EdgeRole::panel_input:
        case EdgeRole::output_pin:
            return false;
        default:
            return true;
    }
}

class PartLoss {
  public:
    PartLoss(const Circuit& circuit, const Facts& facts, const OperatingPoint& point, PartId part)
        : circuit_(circuit), facts_(facts), point_(point), part_(part) {
        const Harness& harness = *circuit.harness;
        source_.part = part;
        source_.subject = harness.part(part).name;
    }

    HeatSource work_out() {
        for (const EdgeId id : circuit_.edges_of_part[part_.index()]) add_edge(id);
        return std::move(source_);
    }

  private:
    double current_A(EdgeId id) const { return std::abs(point_.edge_A[id.index()]); }
    double power_W(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        return std::abs(point_.node_V[edge.from.index()] - point_.node_V[edge.to.index()]) * current_A(id);
    }

    void add_edge(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        const double through_W = power_W(id);
        switch (edge.role) {
            case EdgeRole::emf:
                return add_pack(edge, id);
            case EdgeRole::load:
                return add_load(through_W);
            case EdgeRole::controller:
            case EdgeRole::converter_input:
                return add_device(through_W, current_A(id), false);
            case EdgeRole::charger:
            case EdgeRole::regeneration:
                return add_device(through_W, current_A(id), true);
            default:
                if (is_plain(edge.role)) add(through_W, {});
        }
    }

    void add(double loss_W, std::string working) {
        source_.loss_W += loss_W;
        if (loss_W <= nothing_W || working.empty()) return;
        if (!source_.working.empty()) source_.working += ", ";
        source_.working += working;
    }

    void add_pack(const Edge& edge, EdgeId id) {
        const auto section = pack_section(circuit_, facts_, edge, point_.corner);
        if (!section) return;
        const double loss_W = current_A(id) * current_A(id) * section->resistance_ohm;
        add(loss_W, watts(loss_W) + " = (" + amps(current_A(id)) + ")^2 x " +
                        to_text(section->resistance_ohm, Dimension::resistance));
    }

    // A load that says nothing turns all to heat where it stands; nothing turns more to heat than it takes.
    void add_load(double through_W) {
        const auto stated = facts_.quantity(part_, "losses"_attr);
        if (stated) return add_stated(*stated, through_W, 0, through_W);
        if (through_W <= nothing_W) return;
        facts_.assume("losses of a load", "all that it draws", "no source, safe side", source_.subject);
        source_.taken = true;
        add(through_W, watts(through_W) + ": all that it draws");
    }

    void add_stated(const Quantity& stated, double through_W, double now_A, double most_W) {
        const auto at = facts_.quantity(part_, "losses"_attr, 1);
        const double over = at && at->lo > 0 ? std::max(1.0, now_A / at->lo) : 1;
        const double loss_W = std::min(stated.hi * over * over, most_W);
        std::string working = watts(loss_W) + " stated";
        if (at) working = watts(loss_W) + " (stated " + watts(stated.hi) + " at " + amps(at->lo) + ")";
        if (loss_W < stated.hi) working = watts(loss_W) + ": no more than it takes";
        add(through_W > nothing_W ? loss_W : 0, std::move(working));
    }

    // `gives`: its power counts where it comes out.
    void add_device(double through_W, double now_A, bool gives) {
        if (const auto stated = facts_.quantity(part_, "losses"_attr))
            return add_stated(*stated, through_W, now_A, gives ? stated->hi + through_W : through_W);
        const auto efficiency = facts_.quantity(part_, "efficiency"_attr);
        if (efficiency && efficiency->lo > 0) {
            const double share = std::min(1.0, efficiency->lo / 100);
            const double loss_W = gives ? through_W * (1 / share - 1) : through_W * (1 - share);
            const std::string percent = to_text(efficiency->lo, Dimension::percentage);
            return add(loss_W, watts(loss_W) + " = " + watts(through_W) +
                                   (gives ? " x (1 / " + percent + " - 1)" : " x (1 - " + percent + ")"));
        }
        if (through_W <= nothing_W) return;
        const bool charger = circuit_.harness->part(part_).kind != Kind::controller;
        const UsualLoss& usual = charger ? of_output : of_input;
        facts_.assume("losses of " + std::string(info(circuit_.harness->part(part_).kind).a_word), usual.text,
                      usual.source, source_.subject);
        source_.taken = true;
        const double loss_W = usual.share * through_W;
        add(loss_W, watts(loss_W) + " = " + to_text(100 * usual.share, Dimension::percentage) + " of " +
                        watts(through_W) + " (taken: its losses are not stated)");
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const OperatingPoint& point_;
    PartId part_;
    HeatSource source_;
};

}  // namespace

HeatSource loss_at(const Circuit& circuit, const Facts& facts, const OperatingPoint& point, PartId part) {
    if (circuit.harness->part(part).kind == Kind::motor) return motor_loss_at(circuit, facts, point, part);
    return PartLoss(circuit, facts, point, part).work_out();
}

double wire_loss_W(const Circuit& circuit, const OperatingPoint& point, WireId wire) {
    const EdgeId id = circuit.edge_of_wire[wire.index()];
    const Edge& edge = circuit.edge(id);
    return std::abs((point.node_V[edge.from.index()] - point.node_V[edge.to.index()]) *
                    point.edge_A[id.index()]);
}

HeatSource loss_at(const Circuit& circuit, const OperatingPoint& point, WireId wire) {
    HeatSource source;
    source.wire = wire;
    source.subject = circuit.harness->wire(wire).name;
    source.loss_W = wire_loss_W(circuit, point, wire);
    return source;
}

FollowedLoss followed(const Course& course, const std::vector<double>& loss_W, double time_constant_s) {
    const std::size_t count = course.points.size();
    FollowedLoss result{0, std::vector<double>(count, 0)};
    if (count == 0) return result;
    // By how much what was there before an interval is still there after it.
    std::vector<double> kept(count, 0);
    for (std::size_t i = 0; i < count; ++i)
        if (std::isfinite(course.points[i].duration_s))
            kept[i] = std::exp(-course.points[i].duration_s / time_constant_s);
    std::vector<double> shares(count, 0);
    if (course.points.front().repeats && count > 1) {
        // What one cycle leaves at its end of each, and of what went before: the settled cycle.
        double of_before = 1;
        for (std::size_t i = count; i-- > 0;) {
            shares[i] = (1 - kept[i]) * of_before;
            of_before *= kept[i];
        }
        for (double& share : shares) share = of_before < 1 ? share / (1 - of_before) : 1.0 / double(count);
    } else {
        shares.back() = 1;
    }
    const auto sum = [&] {
        double total = 0;
        for (std::size_t i = 0; i < count; ++i) total += shares[i] * loss_W[i];
        return total;
    };
    result = {sum(), shares};
    for (std::size_t i = 0; i < count; ++i) {
        for (double& share : shares) share *= kept[i];
        shares[i] += 1 - kept[i];
        if (const double now_W = sum(); now_W > result.loss_W) result = {now_W, shares};
    }
    return result;
}

HeatSource loss_over(const Circuit& circuit, const Facts& facts, const Course& course, PartId part,
                     double time_constant_s) {
    std::vector<HeatSource> sources;
    std::vector<double> loss_W;
    for (const OperatingPoint& point : course.points) {
        sources.push_back(loss_at(circuit, facts, point, part));
        loss_W.push_back(sources.back().loss_W);
    }
    if (sources.empty()) return {};
    const FollowedLoss worst = followed(course, loss_W, time_constant_s);
    std::size_t most = 0;
    for (std::size_t i = 0; i < sources.size(); ++i)
        if (worst.shares[i] * loss_W[i] > worst.shares[most] * loss_W[most]) most = i;
    HeatSource source = std::move(sources[most]);
    source.loss_W = worst.loss_W;
    return source;
}

}  // namespace loomward
