#include "checker/solver/charging.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/solver/charging_ports.hpp"

namespace loomward {

namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double tolerated_share = 1e-4;  // of the largest voltage, a step
constexpr std::size_t most_pieces = 4000;
constexpr std::size_t most_samples = 160, least_samples = 24;  // a stretch

Eigen::Index place(std::size_t index) {
    return static_cast<Eigen::Index>(index);
}

// The integral of exp(rate t) from 0 to `time`.
double grown(double rate, double time) {
    const double product = rate * time;
    if (std::abs(product) < 1e-9) return time * (1 + product / 2);
    return std::expm1(std::min(product, 700.0)) / rate;
}

// The state at one moment, with the linear law that holds around it.
struct LinearStretch {
    double from_s = 0;
    double length_s = 0;
    Eigen::VectorXd start_V;
    Eigen::VectorXd drops_V;   // of the ports
    Eigen::VectorXd excess_A;  // of the ports
    Eigen::MatrixXd follow_A;  // d excess / d capacitor voltages
    Eigen::MatrixXd modes;     // eigenvectors, in scaled voltages
    Eigen::VectorXd rates;     // 1/s
    Eigen::VectorXd drive;     // scaled dv/dt, in modes
};

}  // namespace

struct ChargeCourse::Course {
    Network network;
    std::vector<Capacitance> capacitors;
    NetworkSolution moment;
    std::vector<double> moment_A;
    PortModel model;
    Eigen::VectorXd settled_V;  // drops of the ports in the end
    Eigen::VectorXd root_F;     // square roots of the moving capacitances
    double scale_V = 1;
    double horizon_s = 0;
    bool solved = false;
    std::vector<LinearStretch> stretches;

    void prepare(std::span<const Capacitance> given);
    void integrate();
    bool settle_ports(const Eigen::VectorXd& volts, Eigen::VectorXd& drops, Eigen::VectorXd& excess,
                      Eigen::VectorXd& slopes) const;
    bool begin(LinearStretch& stretch) const;
    Eigen::VectorXd scaled_rate(const Eigen::VectorXd& volts, const Eigen::VectorXd& excess) const;
    Eigen::VectorXd after(const LinearStretch& stretch, double time_s) const;
    double miss_V(const LinearStretch& stretch, double time_s, const Eigen::VectorXd& end_V,
                  const Eigen::VectorXd& excess) const;
    double first_kink_s(const LinearStretch& stretch, double length_s) const;
    const LinearStretch& stretch_at(double time_s) const;
    std::vector<double> sample_times(const LinearStretch& stretch) const;
};

void ChargeCourse::Course::prepare(std::span<const Capacitance> given) {
    capacitors.assign(given.begin(), given.end());
    const NetworkSolution end = solve(network);
    silence_dead_outputs(network, end);
    moment = solve(with_held_capacitors(network, given));
    if (moment.status == SolveStatus::not_converged || end.status == SolveStatus::not_converged) return;
    for (std::size_t i = 0; i < given.size(); ++i)
        moment_A.push_back(-moment.branch_A[network.branches.size() + i]);
    moment.branch_A.resize(network.branches.size());
    std::optional<PortModel> reduced = reduce_to_ports(network, given, moment, end);
    if (!reduced) return;
    model = std::move(*reduced);
    root_F.resize(place(model.moving.size()));
    for (std::size_t k = 0; k < model.moving.size(); ++k)
        root_F[place(k)] = std::sqrt(capacitors[model.moving[k]].capacitance_F);
    settled_V.resize(place(model.ports.size()));
    for (std::size_t m = 0; m < model.ports.size(); ++m) {
        const Branch& branch = network.branches[model.ports[m].branch];
        settled_V[place(m)] = end.node_V[branch.from] - end.node_V[branch.to];
    }
    for (const Capacitance& each : capacitors) {
        scale_V = std::max(scale_V, std::abs(each.start_V));
        scale_V = std::max(scale_V, std::abs(end.node_V[each.plus] - end.node_V[each.minus]));
    }
    solved = true;
}

// Drops and excess currents of the ports at these capacitor voltages, searched from where they were: Newton,
// held back where a law's kink throws it.
bool ChargeCourse::Course::settle_ports(const Eigen::VectorXd& volts, Eigen::VectorXd& drops,
                                        Eigen::VectorXd& excess, Eigen::VectorXd& slopes) const {
    const Eigen::Index count = place(model.ports.size());
    if (count == 0) return true;
    const Eigen::VectorXd open_V = model.free_V + model.by_capacitor * volts;
    const auto look = [&](const Eigen::VectorXd& w, Eigen::VectorXd& e, Eigen::VectorXd& slope) {
        for (Eigen::Index m = 0; m < count; ++m) {
            const Port& port = model.ports[static_cast<std::size_t>(m)];
            const PortCurrent now = port_current(network.branches[port.branch], w[m], port.input_W);
            constexpr double given_S = PortModel::leak_S - PortModel::ground_S;
            e[m] = now.current_A + given_S * w[m];
            slope[m] = now.slope_S + given_S;
        }
        return Eigen::VectorXd(w - open_V - model.by_excess * e);
    };
    Eigen::VectorXd miss = look(drops, excess, slopes);
    for (int round = 0; round < 200; ++round) {
        if (miss.lpNorm<Eigen::Infinity>() <= 1e-9 * scale_V) return true;
        Eigen::MatrixXd jacobian = Eigen::MatrixXd::Identity(count, count);
        jacobian -= model.by_excess * slopes.asDiagonal();
        const Eigen::PartialPivLU<Eigen::MatrixXd> factor(jacobian);
        const Eigen::VectorXd step = factor.solve(-miss);
        if (!step.allFinite()) return false;
        if (step.lpNorm<Eigen::Infinity>() <= 1e-10 * scale_V) return true;
        double share = 1;
        Eigen::VectorXd next, e(count), slope(count), next_miss;
        for (int halving = 0; halving < 12; ++halving, share /= 2) {
            next = drops + share * step;
            next_miss = look(next, e, slope);
            // Measured by the step that it would ask for next: the misses themselves lie far apart, volts
            // where a capacitor holds a port and millions of them for an ampere where nothing does.
            if (factor.solve(next_miss).norm() < step.norm()) break;
        }
        drops = next;
        excess = e;
        slopes = slope;
        miss = next_miss;
    }
    return miss.lpNorm<Eigen::Infinity>() <= 1e-6 * scale_V;
}

// dv/dt times the root of the capacitance.
Eigen::VectorXd ChargeCourse::Course::scaled_rate(const Eigen::VectorXd& volts,
                                                  const Eigen::VectorXd& excess) const {
    const Eigen::VectorXd out_A = model.free_A + model.conductance_S * volts + model.by_excess_A * excess;
    return -out_A.cwiseQuotient(root_F);
}

bool ChargeCourse::Course::begin(LinearStretch& stretch) const {
    const Eigen::Index ports = place(model.ports.size()), moving = place(model.moving.size());
    stretch.excess_A.resize(ports);
    Eigen::VectorXd slopes(ports);
    if (!settle_ports(stretch.start_V, stretch.drops_V, stretch.excess_A, slopes)) {
        // What capacitors hold stands at what they let it; an output with its loads, which they do not hold,
        // may not be found from nothing, only from the voltage it settles at.
        constexpr double held_ohm = 1e3;
        const Eigen::VectorXd open_V = model.free_V + model.by_capacitor * stretch.start_V;
        Eigen::VectorXd mixed_V = settled_V;
        for (Eigen::Index m = 0; m < ports; ++m)
            if (std::abs(model.by_excess(m, m)) < held_ohm) mixed_V[m] = open_V[m];
        bool found = false;
        for (const Eigen::VectorXd& from_V : {mixed_V, settled_V, Eigen::VectorXd(mixed_V / 2),
                                              Eigen::VectorXd(Eigen::VectorXd::Zero(ports))}) {
            stretch.drops_V = from_V;
            found = settle_ports(stretch.start_V, stretch.drops_V, stretch.excess_A, slopes);
            if (found) break;
        }
        if (!found) return false;
    }
    Eigen::MatrixXd conductance = model.conductance_S;
    stretch.follow_A = Eigen::MatrixXd::Zero(ports, moving);
    if (ports > 0) {
        Eigen::MatrixXd inner = Eigen::MatrixXd::Identity(ports, ports);
        inner -= model.by_excess * slopes.asDiagonal();
        stretch.follow_A = slopes.asDiagonal() * inner.partialPivLu().solve(model.by_capacitor);
        conductance += model.by_excess_A * stretch.follow_A;
    }
    Eigen::MatrixXd scaled =
        -(root_F.cwiseInverse().asDiagonal() * conductance * root_F.cwiseInverse().asDiagonal());
    scaled = (scaled + scaled.transpose().eval()) / 2;  // reciprocal but for rounding
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(scaled);
    if (eigen.info() != Eigen::Success) return false;
    stretch.modes = eigen.eigenvectors();
    stretch.rates = eigen.eigenvalues();
    stretch.drive = stretch.modes.transpose() * scaled_rate(stretch.start_V, stretch.excess_A);
    return stretch.drive.allFinite();
}

Eigen::VectorXd ChargeCourse::Course::after(const LinearStretch& stretch, double time_s) const {
    Eigen::VectorXd moved(stretch.drive.size());
    for (Eigen::Index i = 0; i < moved.size(); ++i)
        moved[i] = stretch.drive[i] * grown(stretch.rates[i], time_s);
    return stretch.start_V + (stretch.modes * moved).cwiseQuotient(root_F);
}

// How far the straight law is off at the end of a stretch, as a voltage.
double ChargeCourse::Course::miss_V(const LinearStretch& stretch, double time_s, const Eigen::VectorXd& end_V,
                                    const Eigen::VectorXd& excess) const {
    const Eigen::VectorXd straight = stretch.excess_A + stretch.follow_A * (end_V - stretch.start_V);
    const Eigen::VectorXd off_A = model.by_excess_A * (excess - straight);
    Eigen::VectorXd in_modes = stretch.modes.transpose() * off_A.cwiseQuotient(root_F);
    for (Eigen::Index i = 0; i < in_modes.size(); ++i)
        in_modes[i] *= std::min(time_s, 1 / std::max(std::abs(stretch.rates[i]), 1e-300));
    return (stretch.modes * in_modes).cwiseQuotient(root_F).lpNorm<Eigen::Infinity>();
}

// The moment just behind which some port first is on another piece of its law than at the start, by the
// straight law of the stretch: a cut-off, a limit, a diode that begins to conduct. `length_s` where none is.
double ChargeCourse::Course::first_kink_s(const LinearStretch& stretch, double length_s) const {
    const auto pieces_at = [&](double time_s) {
        const Eigen::VectorXd volts = after(stretch, time_s);
        const Eigen::VectorXd excess = stretch.excess_A + stretch.follow_A * (volts - stretch.start_V);
        const Eigen::VectorXd drops = model.free_V + model.by_capacitor * volts + model.by_excess * excess;
        std::vector<int> pieces;
        for (std::size_t m = 0; m < model.ports.size(); ++m)
            pieces.push_back(law_piece(network.branches[model.ports[m].branch], drops[place(m)]));
        return pieces;
    };
    if (model.ports.empty()) return length_s;
    const std::vector<int> at_start = pieces_at(0);
    if (pieces_at(length_s) == at_start) return length_s;
    double low = 0, high = length_s;
    for (int i = 0; i < 60 && high - low > 1e-9 * high; ++i) {
        const double middle = (low + high) / 2;
        (pieces_at(middle) == at_start ? low : high) = middle;
    }
    return high;
}

void ChargeCourse::Course::integrate() {
    if (model.moving.empty()) return;
    LinearStretch next;
    next.start_V.resize(place(model.moving.size()));
    for (std::size_t k = 0; k < model.moving.size(); ++k)
        next.start_V[place(k)] = capacitors[model.moving[k]].start_V;
    next.drops_V.resize(place(model.ports.size()));
    for (std::size_t m = 0; m < model.ports.size(); ++m) {
        const Branch& branch = network.branches[model.ports[m].branch];
        next.drops_V[place(m)] = moment.node_V[branch.from] - moment.node_V[branch.to];
    }
    double length_s = horizon_s;
    while (next.from_s < horizon_s && stretches.size() < most_pieces) {
        solved = begin(next);
        if (!solved) return;
        length_s = std::min(length_s, horizon_s - next.from_s);
        for (double longer = 8;; longer = 1) {
            const Eigen::VectorXd end_V = after(next, length_s);
            Eigen::VectorXd drops = next.drops_V, excess = next.excess_A, slopes(drops.size());
            const bool settled = end_V.allFinite() && settle_ports(end_V, drops, excess, slopes);
            if (length_s < 1e-12 ||
                (settled && miss_V(next, length_s, end_V, excess) <= tolerated_share * scale_V)) {
                next.length_s = length_s;
                stretches.push_back(next);
                next.from_s += length_s;
                next.start_V = end_V;
                next.drops_V = drops;
                length_s *= longer;
                break;
            }
            // Where a law bends on the way, that moment is the end of the stretch; else it is curved too
            // much.
            const double kink_s = first_kink_s(next, length_s);
            length_s = kink_s < 0.999 * length_s ? kink_s : length_s / 4;
        }
    }
    solved = next.from_s >= horizon_s * (1 - 1e-12);
}

const LinearStretch& ChargeCourse::Course::stretch_at(double time_s) const {
    const auto later =
        std::upper_bound(stretches.begin(), stretches.end(), time_s,
                         [](double time, const LinearStretch& each) { return time < each.from_s; });
    return later == stretches.begin() ? *later : *std::prev(later);
}

// Close together at first, far apart later: a stretch may hold microseconds and minutes.
std::vector<double> ChargeCourse::Course::sample_times(const LinearStretch& stretch) const {
    const double fastest = std::max(stretch.rates.cwiseAbs().maxCoeff(), 1 / stretch.length_s);
    const double first = std::min(1e-3 / fastest, stretch.length_s);
    std::vector<double> times{0};
    const double decades = std::log(stretch.length_s / first);
    // Many stretches are short ones: all in all the samples stay about as many.
    const auto samples =
        static_cast<int>(std::clamp(2 * most_samples / stretches.size(), least_samples, most_samples));
    for (int i = 0; i <= samples; ++i) times.push_back(first * std::exp(decades * i / samples));
    times.back() = stretch.length_s;
    return times;
}

ChargeCourse::ChargeCourse(const Network& network, std::span<const Capacitance> capacitors, double horizon_s)
    : course_(std::make_unique<Course>()) {
    course_->network = network;
    course_->horizon_s = horizon_s;
    course_->prepare(capacitors);
    if (course_->solved) course_->integrate();
}
ChargeCourse::~ChargeCourse() = default;
ChargeCourse::ChargeCourse(ChargeCourse&&) noexcept = default;
ChargeCourse& ChargeCourse::operator=(ChargeCourse&&) noexcept = default;

bool ChargeCourse::solved() const {
    return course_->solved;
}
const NetworkSolution& ChargeCourse::moment() const {
    return course_->moment;
}
double ChargeCourse::moment_A(std::size_t capacitor) const {
    return course_->moment_A[capacitor];
}

std::vector<double> ChargeCourse::at(double time_s) const {
    std::vector<double> volts;
    for (const Capacitance& each : course_->capacitors) volts.push_back(each.start_V);
    if (course_->stretches.empty()) return volts;
    const LinearStretch& stretch = course_->stretch_at(std::min(time_s, course_->horizon_s));
    const Eigen::VectorXd now = course_->after(stretch, std::min(time_s - stretch.from_s, stretch.length_s));
    for (std::size_t k = 0; k < course_->model.moving.size(); ++k)
        volts[course_->model.moving[k]] = now[static_cast<Eigen::Index>(k)];
    return volts;
}

double ChargeCourse::when(std::size_t capacitor, double voltage_V) const {
    const Course& course = *course_;
    double before_V = course.capacitors[capacitor].start_V;
    if (before_V == voltage_V) return 0;
    const auto moving = std::find(course.model.moving.begin(), course.model.moving.end(), capacitor);
    if (moving == course.model.moving.end()) return never;
    const auto row = static_cast<Eigen::Index>(moving - course.model.moving.begin());
    for (const LinearStretch& stretch : course.stretches) {
        double earlier = 0;
        for (const double time : course.sample_times(stretch)) {
            const double now_V = course.after(stretch, time)[row];
            if ((before_V - voltage_V) * (now_V - voltage_V) <= 0) {
                double low = earlier, high = time;
                for (int i = 0; i < 100 && high - low > 1e-12 * high; ++i) {
                    const double middle = (low + high) / 2;
                    const double middle_V = course.after(stretch, middle)[row];
                    ((before_V - voltage_V) * (middle_V - voltage_V) <= 0 ? high : low) = middle;
                }
                return stretch.from_s + high;
            }
            before_V = now_V;
            earlier = time;
        }
    }
    return never;
}

double ChargeCourse::resistance_ohm(std::size_t capacitor) const {
    const Course& course = *course_;
    const auto moving = std::find(course.model.moving.begin(), course.model.moving.end(), capacitor);
    if (moving == course.model.moving.end() || course.stretches.empty()) return never;
    const auto row = static_cast<Eigen::Index>(moving - course.model.moving.begin());
    const LinearStretch& first = course.stretches.front();
    double siemens = course.model.conductance_S(row, row);
    if (!course.model.ports.empty())
        siemens += course.model.by_excess_A.row(row).dot(first.follow_A.col(row));
    return siemens > 1e-9 ? 1 / siemens : never;
}

double ChargeCourse::heat_J(std::uint32_t branch, double time_s) const {
    const Course& course = *course_;
    const Branch& resistor = course.network.branches[branch];
    const Eigen::RowVectorXd row =
        course.model.node_columns.row(resistor.from) - course.model.node_columns.row(resistor.to);
    const auto moving = static_cast<Eigen::Index>(course.model.moving.size());
    const auto ports = static_cast<Eigen::Index>(course.model.ports.size());
    const auto watts = [&](const LinearStretch& stretch, double time) {
        const Eigen::VectorXd volts = course.after(stretch, time);
        const Eigen::VectorXd excess = stretch.excess_A + stretch.follow_A * (volts - stretch.start_V);
        const double drop = row[0] + row.segment(1, moving).dot(volts) + row.tail(ports).dot(excess);
        return drop * drop / resistor.resistance_ohm;
    };
    double joule = 0;
    for (const LinearStretch& stretch : course.stretches) {
        if (stretch.from_s >= time_s) break;
        double earlier = 0, earlier_W = watts(stretch, 0);
        for (double time : course.sample_times(stretch)) {
            time = std::min(time, time_s - stretch.from_s);
            if (time <= earlier) continue;
            const double now_W = watts(stretch, time), middle_W = watts(stretch, (earlier + time) / 2);
            joule += (time - earlier) * (earlier_W + 4 * middle_W + now_W) / 6;
            earlier = time;
            earlier_W = now_W;
        }
    }
    return joule;
}

}  // namespace loomward
