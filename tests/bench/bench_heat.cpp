// bench_heat [WIRES ...]: what heat costs beside the electrical solution, in one run: the invented harness
// with its bundles, in 20 boxes. Processor time; what counts is the ratio.
//
//     solve     the modes of the harness, once
//     boxes     the air in all boxes, from points that are solved
//     wires     the temperature of every conductor
//     warmed    wires in bundles that are warmed by others
//     endurance how long everything holds
#include <fmt/format.h>

#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "checker/currents/operating_point.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "parser/read.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/no_files.hpp"

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

template <class Work>
double seconds_of(const Work& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

constexpr std::size_t boxes = 20;

// Bundles and fuse blocks of the trolleys, turn by turn, in the boxes.
std::string boxed(const std::string& text) {
    std::string made, line;
    std::size_t turn = 0, begin = 0;
    while (begin < text.size()) {
        const std::size_t end = text.find('\n', begin);
        line = text.substr(begin, end - begin);
        begin = end + 1;
        const bool in_box = line.starts_with("bundle ") || line.starts_with("fuse-block ");
        if (in_box) line.insert(line.rfind(" }"), fmt::format(", at stove{}", 1 + turn++ % boxes));
        made += line + "\n";
        if (!line.starts_with("harness ")) continue;
        for (std::size_t i = 1; i <= boxes; ++i)
            made += fmt::format(
                "location stove{} {{ ambient 5..40 degC, size 2 m x 1 m x 1 m, wall painted, "
                "highest-ambient 60 degC }}\n",
                i);
    }
    return made;
}

void measure(std::size_t wires) {
    const bench::GeneratedHarness generated = bench::generate_harness(wires, 1);
    NoFiles files;
    const ReadResult read = read_harness_text("train.loom", boxed(generated.loom), files, {});
    if (!read.mistakes.empty()) {
        fmt::print("{}\n", read.mistakes.front().message);
        return;
    }
    const Harness& harness = *read.harness;
    const Circuit circuit = build_circuit(harness);
    Facts facts(harness);
    std::vector<OperatingPoint> points;
    std::vector<WarmBox> found;
    const double solve = seconds_of([&] { points = solve_modes(circuit, facts, {}); });
    const double air = seconds_of([&] { found = boxes_of(circuit, facts, points); });
    warm(facts, found);
    const double conductors = seconds_of([&] { wire_temperatures(circuit, facts, points); });
    const double warmed = seconds_of([&] { warmed_wires(circuit, facts, points); });
    const double held = seconds_of([&] { endurance(circuit, facts, points); });
    Facts anew(harness);
    std::vector<OperatingPoint> again = solve_modes(circuit, anew, {});
    const double coupled = seconds_of([&] { warm_boxes(circuit, anew, again, {}); });
    fmt::print("{:7} {:8} {:6} {:6} {:9.3f} {:9.3f} {:9.3f} {:9.3f} {:9.3f} {:9.3f} {:10.2f}\n",
               generated.wires, harness.bundles.size(), harness.locations.size(), found.size(), solve, air,
               conductors, warmed, held, coupled, (air + conductors + warmed) / solve);
}

}  // namespace

int main(int argument_count, char** arguments) {
    std::vector<std::size_t> sizes;
    for (int i = 1; i < argument_count; ++i)
        sizes.push_back(static_cast<std::size_t>(std::atol(arguments[i])));
    if (sizes.empty()) sizes = {1000, 10000};
    fmt::print("{:>7} {:>8} {:>6} {:>6} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>10}\n", "wires", "bundles",
               "boxes", "airs", "solve s", "boxes s", "wires s", "warmed s", "endur. s", "coupled s",
               "heat/solve");
    for (const std::size_t size : sizes) measure(size);
    return 0;
}
