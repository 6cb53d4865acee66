// Worked examples of handbooks, circulars and manuals, by the formulas of the checker and by whole checks.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/switching/transients.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/formulas.hpp"
#include "tests/checker/checking.hpp"
#include "tests/checker/published.hpp"

using namespace loomward;
using testing::check_text;

namespace {

void add_heating(std::vector<Published>& list) {
    const char* manual = "protection-relay manuals on IEC 60255-149";
    // k = 1.1 of the base current; six times the base current for 5 s.
    list.push_back(
        {"time constant of 6 x for 5 s from cold, s", 146, 5 / overload_time_s(6, 0, 1.1, 1), 0.5, manual});
    list.push_back({"time constant of 6 x for 5 s from the base current, s", 830,
                    5 / overload_time_s(6, 1, 1.1, 1), 1, manual});
    list.push_back({"time constant of 500 A, 22.5 kA for 1 s, min", 33.75,
                    time_constant_s(1, 22500, 500) / 60, 0.001, manual});
    list.push_back({"copper wire 15.5 ft at 182 degC drops as much as this at 20 degC, ft", 9.5,
                    15.5 / at_temperature(1, 182, false), 0.05,
                    "FAA AC 43.13-1B 11-66, formula seen, result from memory"});
}

const std::string beginning =
    "loom 1\nharness \"textbook\" { ambient 20..20 degC, insulation pvc 90 degC }\n";

// A capacitor behind a resistor at 84 V: how a check follows it.
struct Charged {
    CapacitorState state;
    double energy_J = 0;
};
Charged charged(double resistance_ohm, double capacitance_mF, double volts, double seconds,
                double to_percent) {
    const Results results = check_text(
        beginning +
        fmt::format(
            "policy {{ precharge-to {} % }}\npack B1 {{ voltage {}..{} V, resistance 0.001 mohm, capacity 50 "
            "Ah, discharge 500 A, charge 20 A }}\nresistor R1 {{ {} ohm, 100 W, pulse 100 J }}\n"
            "capacitor C1 {{ {} mF, 150 V }}\n"
            "switch S1 {{ 150 V dc, carries 10 A, makes 10 A, breaks 10 A at 150 V dc }}\n"
            "switch S2 {{ 150 V dc, carries 10 A, makes 10 A, breaks 10 A at 150 V dc }}\nstud X1\n"
            "route B1.+ (direct) X1\nroute X1 (direct) S1 (direct) R1 (direct) C1 (direct) B1.-\n"
            "route X1 (direct) S2 (direct) C1.+\nmode off {{ others at rest }}\n"
            "mode fill {{ S1 closed, others at rest }}\n"
            "mode run {{ like fill, after fill {} s, S2 closed }}\n",
            to_percent, volts, volts, resistance_ohm, capacitance_mF, seconds));
    const Facts facts(*results.harness);
    const Transients transients = follow_transients(results.circuit, facts);
    Charged found;
    for (const ModeEntry& entry : transients.entries)
        if (results.harness->modes[entry.mode.index()].name == "run" && !entry.capacitors.empty())
            found.state = entry.capacitors.front();
    for (const ResistorPulse& pulse : transients.pulses)
        if (!pulse.discharging) found.energy_J = std::max(found.energy_J, pulse.energy_J);
    return found;
}

void add_precharging(std::vector<Published>& list) {
    const char* theory = "circuit theory, numbers from memory";
    const double tau_s = 47 * 4.7e-3;
    const auto needed_s = [](double percent) { return charged(47, 4.7, 84, 1, percent).state.needed_s; };
    list.push_back({"precharge 84 V, 4.7 mF, 47 ohm: tau", 0.2209, needed_s(63.2120559), 0.0005, theory});
    list.push_back({"precharge to 90 %, in RC", 2.303, needed_s(90) / tau_s, 0.002, theory});
    list.push_back({"precharge to 95 %, in RC", 2.996, needed_s(95) / tau_s, 0.002, theory});
    list.push_back({"precharge to 99 %, in RC", 4.605, needed_s(99) / tau_s, 0.003, theory});
    list.push_back({"precharge after 5 RC, %", 99.3262,
                    100 * charged(47, 4.7, 84, 5 * tau_s, 95).state.before_V / 84, 0.001, theory});
    // The heat is added up until 99 % of the way, which leaves out one part in ten thousand.
    list.push_back(
        {"precharge 84 V, 4.7 mF: energy", 16.582, charged(47, 4.7, 84, 3, 95).energy_J, 0.01, theory});
    list.push_back({"precharge 100 V, 10 mF: energy", 50, charged(47, 10, 100, 3, 95).energy_J, 0.03,
                    "text on precharge, inputs seen, result derived from memory of theory"});
    list.push_back({"bleed 4.7 mF from 96 V to 60 V in 5 s, ohm", 2263.45,
                    bleed_resistance_ohm(4.7e-3, 96, 60, 5), 0.01, theory});
}

// What a part takes in the only mode of a harness, A.
double solved_A(const std::string& lines, EdgeRole role) {
    const Results results = check_text(beginning + "policy { joint-resistance 0.0001 mohm }\n" + lines +
                                       "mode on { others at rest }\n");
    for (const OperatingPoint& point : results.points)
        for (std::size_t i = 0; i < results.circuit.edges.size(); ++i)
            if (results.circuit.edges[i].role == role && !point.edge_A.empty()) return point.edge_A[i];
    return 0;
}

void add_circuits(std::vector<Published>& list) {
    const char* theory = "circuit theory, numbers from memory";
    for (const auto& [supply_V, current_A] : {std::pair(72.0, 154.321), std::pair(60.0, 185.185)})
        list.push_back(
            {fmt::format("10 kW at 90 %, {} V", supply_V), current_A,
             solved_A(
                 fmt::format(
                     "pack B1 {{ voltage {0}..{0} V, resistance 0.001 mohm, capacity 50 Ah, discharge 500 "
                     "A, charge 20 A }}\nconverter D1 {{ input 40..80 V, output 100 V 200 A, efficiency 90 "
                     "%, "
                     "negative isolated, reverse blocked }}\nload H1 {{ 100 V, 10 kW, acts-as power }}\n"
                     "route B1.+ (direct) D1.in+\nroute D1.in- (direct) B1.-\n"
                     "route D1.out+ (direct) H1 (direct) D1.out-\n",
                     supply_V),
                 EdgeRole::converter_input),
             0.05, theory});
    const auto pack = [](const char* link) {
        const Results results = check_text(
            beginning +
            "pack B1 { cells 20s5p, cell-voltage 3.0..4.2 V, cell-resistance 25 mohm, cell-capacity 5 Ah, " +
            "discharge 60 A, charge 20 A" + link +
            " }\nload H1 { 72 V, 1 A }\nroute B1.+ (W1 4 mm2, 0.1 m) H1 (W2 4 mm2, 0.1 m) B1.-\nmode on { "
            "others at rest }\n");
        const Facts facts(*results.harness);
        for (const Edge& edge : results.circuit.edges)
            if (edge.role == EdgeRole::emf)
                return *pack_section(results.circuit, facts, edge, Corner::fault_max);
        return PackSection{};
    };
    list.push_back({"pack 20s5p of 25 mohm, 84 V: short circuit", 840,
                    pack("").voltage_V / pack("").resistance_ohm, 1e-9, theory});
    const PackSection wired = pack(", link-resistance 6 mohm");
    list.push_back(
        {"the same with 6 mohm of wiring", 792.5, wired.voltage_V / wired.resistance_ohm, 0.05, theory});
    list.push_back(
        {"battery 12.6 V, 20 mohm, 200 A", 8.6,
         12.6 - 0.020 *
                    solved_A("pack B1 { voltage 12.6..12.6 V, resistance 20 mohm, capacity 50 Ah, discharge "
                             "500 A, charge 20 A }\nload H1 { 12 V, 200 A, acts-as current, works 5..15 V }\n"
                             "route B1.+ (direct) H1 (direct) B1.-\n",
                             EdgeRole::load),
         0.01, "student robot forum, internal resistance of batteries"});
}

}  // namespace

std::vector<Published> published_formulas() {
    std::vector<Published> list;
    add_heating(list);
    add_precharging(list);
    add_circuits(list);
    return list;
}

TEST_CASE("worked examples in print come out as printed", "[published]") {
    check_published(published_formulas());
}
