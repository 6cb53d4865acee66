// bench_faults [WIRES ...]: tells every short circuit of the invented harness at both corners, and some of
// them once more the plain way: the equations of the whole circuit set up and factorised anew for each.
// Processor time; what counts are the exponent between sizes and the ratio at one size.
#include <fmt/format.h>

#include <Eigen/SparseCholesky>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "checker/currents/loading.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/faults/fault.hpp"
#include "checker/parts/positions.hpp"
#include "parser/read.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/no_files.hpp"

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

double seconds_since(std::clock_t start) {
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

// The prospective current of one fault, from nothing but the branches.
double short_A_from_scratch(const FaultNetwork& network, const FaultPlace& place) {
    const Circuit& circuit = network.circuit();
    const auto count = static_cast<Eigen::Index>(circuit.node_count());
    std::vector<Eigen::Triplet<double>> entries;
    Eigen::VectorXd injected = Eigen::VectorXd::Zero(count);
    const auto put = [&](NodeId from, NodeId to, double siemens) {
        const auto a = static_cast<int>(from.value), b = static_cast<int>(to.value);
        entries.emplace_back(a, a, siemens);
        entries.emplace_back(b, b, siemens);
        entries.emplace_back(std::max(a, b), std::min(a, b), -siemens);
    };
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const FaultBranch& branch = network.branch(EdgeId(i));
        if (!branch.conducts || branch.one_way) continue;
        const Edge& edge = circuit.edges[i];
        put(edge.from, edge.to, 1 / branch.resistance_ohm);
        injected(edge.to.value) += branch.voltage_V / branch.resistance_ohm;
        injected(edge.from.value) -= branch.voltage_V / branch.resistance_ohm;
    }
    const double bolted_S = 1e6;
    put(place.a, place.b, bolted_S);
    for (int i = 0; i < count; ++i) entries.emplace_back(i, i, 1e-9);
    Eigen::SparseMatrix<double> matrix(count, count);
    matrix.setFromTriplets(entries.begin(), entries.end());
    const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::AMDOrdering<int>> factor(
        matrix);
    const Eigen::VectorXd volts = factor.solve(injected);
    return std::abs(volts(place.a.value) - volts(place.b.value)) * bolted_S;
}

struct Measured {
    double wires = 0, seconds = 0;
};

Measured measure(std::size_t wires) {
    const bench::GeneratedHarness generated = bench::generate_harness(wires, 1);
    NoFiles files;
    const ReadResult read = read_harness_text("train.loom", generated.loom, files, {});
    const Harness& harness = *read.harness;
    const Circuit circuit = build_circuit(harness);
    const Facts facts(harness);
    const std::vector<WireLoading> loading = load_wires(circuit, facts, {});
    const std::clock_t start = std::clock();
    const Touching touching(circuit, Positions(circuit).ways());
    const FaultStudy study(circuit, facts, touching, loading);
    const double seconds = seconds_since(start);
    const FaultSurvey& survey = study.survey();

    const FaultNetwork network(circuit, facts, Corner::fault_max, contact_positions(circuit).front());
    std::size_t slow = 0, differing = 0;
    const std::clock_t again = std::clock();
    const std::size_t step = std::max<std::size_t>(1, survey.outcomes.size() / 100);
    for (std::size_t i = 0; i < survey.outcomes.size(); i += step) {
        const FaultOutcome& outcome = survey.outcomes[i];
        if (outcome.corner != Corner::fault_max) continue;
        const double amps = short_A_from_scratch(network, survey.places[outcome.place]);
        differing += std::abs(amps - outcome.prospective_A) > 1e-3 * outcome.prospective_A;
        ++slow;
    }
    const double each_slow = seconds_since(again) / static_cast<double>(slow);
    const double each = seconds / static_cast<double>(survey.outcomes.size());
    fmt::print("{:8} {:9} {:9.3f} {:12.0f} {:9.1f} {:12.0f} {:9.0f} {:10}\n", generated.wires,
               survey.outcomes.size(), seconds, 1 / each, each * 1e6, each_slow * 1e6, each_slow / each,
               differing);
    return {static_cast<double>(generated.wires), seconds};
}

}  // namespace

int main(int argument_count, char** arguments) {
    std::vector<std::size_t> sizes;
    for (int i = 1; i < argument_count; ++i)
        sizes.push_back(static_cast<std::size_t>(std::atol(arguments[i])));
    if (sizes.empty()) sizes = {300, 1000, 3000, 10000, 30000};
    fmt::print("{:>8} {:>9} {:>9} {:>12} {:>9} {:>12} {:>9} {:>10}\n", "wires", "faults", "s in all",
               "faults per s", "us each", "us anew", "ratio", "differing");
    std::vector<Measured> all;
    for (const std::size_t size : sizes) all.push_back(measure(size));
    if (all.size() > 1)
        fmt::print("exponent from {:.0f} to {:.0f} wires: {:.2f}\n", all.front().wires, all.back().wires,
                   std::log(all.back().seconds / all.front().seconds) /
                       std::log(all.back().wires / all.front().wires));
    return 0;
}
