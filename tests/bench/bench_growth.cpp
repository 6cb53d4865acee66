// How the time of a check grows with the harness, in one run: a train, a star and a chain, each in several
// sizes, with the exponent from one size to the next (1: twice the wires take twice as long).
//
//     bench_growth [LARGEST]      wires of the largest harness, 10000 by default
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "checker/results.hpp"
#include "checker/rules/rule_info.hpp"
#include "parser/read.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/no_files.hpp"

using namespace loomward;

namespace {

constexpr const char* head = R"(loom 1
harness "Growth" {
  ambient 0..40 degC
  insulation pvc 105 degC
}
pack B1 { voltage 21..28.8 V, resistance 5..8 mohm, capacity 110 Ah, discharge 200 A }
fuse F1 { 20 A, 125 V dc, breaks 20 kA at 125 V dc, curve iso8820-3 }
mode on { others at rest }
)";

std::string train(std::size_t wires) {
    return bench::generate_harness(wires, 1).loom;
}

// Loads between two bars.
std::string star(std::size_t wires) {
    std::string text = head;
    text +=
        "busbar X1 { studs 100, carries 250 A }\nbusbar X2 { studs 100, carries 250 A }\n"
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 1 m, red) X1.1\n"
        "route B1.- (W3 16 mm2, 1 m, black) X2.1\n";
    for (std::size_t i = 0; i < wires / 2; ++i)
        text += fmt::format(
            "load E{0} {{ 24 V, 0.5 W, acts-as power, works 18..32 V }}\n"
            "route X1.{1} (P{0} 1 mm2, 1 m, red) E{0} (M{0} 1 mm2, 1 m, black) X2.{1}\n",
            i, 2 + i % 99);
    return text;
}

// Connectors one behind the other.
std::string chain(std::size_t wires) {
    std::string text = head;
    text += "load E1 { 24 V, 1 W, acts-as power, works 8..32 V }\n";
    std::string route = "route B1.+ (W1 4 mm2, 0.1 m, red) F1";
    for (std::size_t i = 0; i < wires; ++i) {
        text += fmt::format(
            "connector J{0} {{ mate P{0}, half socket, contacts 1, carries 30 A, 48 V, "
            "contact-resistance 0..1 mohm, takes 0.5..6 mm2 }}\n",
            i);
        route += fmt::format(" (C{0} 4 mm2, 0.1 m, red) J{0}.1", i);
    }
    return text + route + " (W2 4 mm2, 0.1 m, red) E1 (W3 4 mm2, 1 m, black) B1.-\n";
}

// Seconds of a check, the least of three; negative: the text has mistakes.
double seconds_for(const std::string& text) {
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : rule_list()) rules.push_back(rule.name);
    testing::NoFiles no_files;
    auto harness = read_harness_text("growth.loom", text, no_files, {rules}).harness;
    if (!harness) return -1;
    const auto shared = std::make_shared<const Harness>(std::move(*harness));
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i < 3; ++i) {
        const auto start = std::chrono::steady_clock::now();
        const Results results = check(shared);
        if (results.points.empty()) return -1;
        least =
            std::min(least, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    return least;
}

}  // namespace

int main(int count, char** arguments) {
    const std::size_t largest = count > 1 ? std::strtoul(arguments[1], nullptr, 10) : 10000;
    bool sound = true;
    struct Shape {
        const char* name;
        std::string (*text)(std::size_t wires);
    };
    for (const Shape& shape : {Shape{"train", train}, Shape{"star", star}, Shape{"chain", chain}}) {
        double before_s = 0;
        for (std::size_t wires = std::max<std::size_t>(largest / 8, 1); wires <= largest; wires *= 2) {
            const double now_s = seconds_for(shape.text(wires));
            sound = sound && now_s > 0;
            fmt::print("{:<6} {:>7} wires {:8.3f} s", shape.name, wires, now_s);
            if (before_s > 0) fmt::print("  exponent {:.2f}", std::log2(now_s / before_s));
            fmt::print("\n");
            before_s = now_s;
        }
    }
    return sound ? 0 : 1;
}
