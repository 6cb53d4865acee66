// Random small harnesses with shorts in them, and what a fault study needs, for tests.
#pragma once
#include <fmt/format.h>

#include <random>
#include <string>

#include "checker/currents/loading.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/faults/fault_names.hpp"
#include "checker/parts/positions.hpp"
#include "tests/checker/checking.hpp"

namespace loomward::testing {

// Everything between a text and its faults; no rule is run.
struct FaultBench {
    explicit FaultBench(const std::string& text) {
        NoFiles files;
        ReadResult read = read_harness_text("fault.loom", text, files, {});
        for (const Diagnostic& mistake : read.mistakes) FAIL(mistake.message << "\n" << text);
        harness = std::make_shared<const Harness>(std::move(*read.harness));
        circuit = build_circuit(*harness);
        facts = std::make_unique<Facts>(*harness);
        touching = std::make_unique<Touching>(circuit, Positions(circuit).ways());
        wires = load_wires(circuit, *facts, {});
    }
    // The first place that the names can mean.
    FaultPlace place(std::string_view name, std::string_view against) const {
        std::string trouble;
        const std::vector<FaultPlace> places = named_places(circuit, *touching, name, against, trouble);
        if (places.empty()) FAIL(trouble);
        return places.front();
    }
    std::shared_ptr<const Harness> harness;
    Circuit circuit;
    std::unique_ptr<Facts> facts;
    std::unique_ptr<Touching> touching;
    std::vector<WireLoading> wires;
};

// Splices joined by wires, fuses, breakers and a BMS, some in loops; one to three packs, in series or
// parallel; now and then a charger and a diode; loads back to the returns.
inline std::string random_fault_harness(std::mt19937& random) {
    const auto pick = [&](int count) { return static_cast<int>(random() % static_cast<unsigned>(count)); };
    const int forward = 4 + pick(5), back = 2 + pick(3);
    std::string text = "loom 1\nharness \"random\" { ambient -5..40 degC, insulation pvc 90 degC }\n";
    int wires = 0;
    const auto wire = [&] {
        static constexpr const char* areas[] = {"1", "1.5", "2.5", "4", "6", "10", "16"};
        return fmt::format("(W{} {} mm2, {}.{} m)", ++wires, areas[pick(7)], pick(3), 1 + pick(9));
    };
    for (int i = 0; i < forward; ++i) text += fmt::format("splice A{}\n", i);
    for (int i = 0; i < back; ++i) text += fmt::format("splice M{}\n", i);
    for (int i = 1; i < back; ++i) text += fmt::format("route M{} {} M{}\n", i, wire(), pick(i));
    if (pick(3) == 0) text += fmt::format("route M{} {} M0\n", back - 1, wire());
    const int packs = 1 + pick(3);
    for (int i = 1; i <= packs; ++i)
        text += fmt::format(
            "pack B{} {{ voltage {}..{} V, resistance {}..{} mohm, capacity 10 Ah, discharge 90 A, charge 9 "
            "A }}\n",
            i, 40 + pick(4), 48 + pick(4), 8 + pick(20), 30 + pick(20));
    text += "bms Q1 { side low, ports common, discharge 80 A, charge 20 A, trips 150 A after " +
            std::to_string(1 + pick(900)) + " ms, trips 600 A after " + std::to_string(1 + pick(30)) +
            " ms, resistance 1 mohm }\n";
    text += fmt::format("route M0 {} Q1.P-\nroute Q1.B- {} B1.-\n", wire(), wire());
    for (int i = 1; i <= packs; ++i) {
        text += fmt::format("route B{}.+ {} A{}\n", i, wire(), pick(forward));
        if (i > 1) text += fmt::format("route B{}.- {} M{}\n", i, wire(), pick(back));
    }
    if (pick(3) == 0)
        text += fmt::format("charger G1 {{ output 52 V {} A }}\nroute G1.+ {} A{}\nroute G1.- {} M{}\n",
                            3 + pick(40), wire(), pick(forward), wire(), pick(back));
    if (pick(3) == 0)
        text += fmt::format("diode V1 {{ 40 A, 100 V, drop 0.7 V }}\nroute A{} {} V1.A\nroute V1.K {} A{}\n",
                            pick(forward), wire(), wire(), pick(forward));
    static constexpr const char* curves[] = {"80 V dc, breaks 9 kA at 80 V dc, curve iso8820-5",
                                             "80 V dc, breaks 9 kA at 80 V dc, curve iso8820-3",
                                             "125 V dc, breaks 9 kA at 125 V dc, curve iec60269-gg",
                                             "125 V dc, breaks 9 kA at 125 V dc, point 60 A 20..200 s, point "
                                             "200 A 0.2..2 s, point 900 A 5..30 ms"};
    static constexpr int ratings[][3] = {{30, 40, 80}, {5, 10, 30}, {16, 32, 63}, {30, 40, 50}};
    for (int i = 1; i <= 3 + pick(4); ++i) {
        const int from = pick(forward), to = (from + 1 + pick(forward - 1)) % forward, kind = pick(4);
        text += fmt::format("fuse F{} {{ {} A, {} }}\n", i, ratings[kind][pick(3)], curves[kind]);
        text += fmt::format("route A{} {} F{} {} A{}\n", from, wire(), i, wire(), to);
    }
    for (int i = 0; i < 1 + pick(4); ++i) {
        const int from = pick(forward), to = (from + 1 + pick(forward - 1)) % forward;
        text += fmt::format("route A{} {} A{}\n", from, wire(), to);
    }
    for (int i = 1; i <= 1 + pick(3); ++i)
        text += fmt::format("load H{0} {{ 48 V, 10 W }}\nroute A{1} {2} H{0} {3} M{4}\n", i, pick(forward),
                            wire(), wire(), pick(back));
    return text;
}

}  // namespace loomward::testing
