// bench_parse [WIRES] [RUNS]: reads the same harness as text and as JSON, in turn and in one run. Each
// reading happens in a process of its own, which has not asked for memory before, as a command reads its file
// once; what is counted is the processor time of reading text that is already in memory, so that the ratios
// mean something on a busy machine. Checks first that every reader finds the same things.
#include <fmt/format.h>
#include <simdjson.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "parser/read.hpp"
#include "parser/syntax/syntax.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/bench/json_harness.hpp"
#include "tests/no_files.hpp"

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

struct Candidate {
    std::string name;  // as `--measure` takes it
    std::string meaning;
    std::string file;
    std::size_t bytes = 0;
    std::vector<double> ms{};

    double best() const { return *std::min_element(ms.begin(), ms.end()); }
    double median() const {
        std::vector<double> sorted = ms;
        std::sort(sorted.begin(), sorted.end());
        return sorted[sorted.size() / 2];
    }
};

// Reads once and gives the number of wires; what it built is gone afterwards.
std::size_t read_as(const std::string& candidate, std::string& text) {
    if (candidate == "nlohmann") return bench::read_with_nlohmann(text).wires.size();
    if (candidate == "simdjson") return bench::read_with_simdjson(text, text.capacity()).wires.size();
    NoFiles files;
    if (candidate == "resolve") {
        const ReadResult result = read_harness_text("train.loom", std::move(text), files, {});
        return result.harness ? result.harness->wires.size() : 0;
    }
    Sources sources;
    const FileId file = sources.add("train.loom", std::move(text));
    std::vector<Diagnostic> mistakes;
    return read_syntax(sources, file, mistakes).wires;
}

// The child: prints milliseconds and wires.
int measure(const std::string& candidate, const std::string& path) {
    std::string text(std::filesystem::file_size(path) + simdjson::SIMDJSON_PADDING, ' ');
    const std::size_t size = text.size() - simdjson::SIMDJSON_PADDING;
    std::ifstream(path, std::ios::binary).read(text.data(), static_cast<std::streamsize>(size));
    text.resize(size);
    const std::clock_t start = std::clock();
    const std::size_t wires = read_as(candidate, text);
    fmt::print("{} {}\n", 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, wires);
    return 0;
}

std::optional<double> run_child(const Candidate& candidate, std::size_t wires) {
    const std::string self = std::filesystem::read_symlink("/proc/self/exe").string();
    FILE* child =
        popen(fmt::format("'{}' --measure {} '{}'", self, candidate.name, candidate.file).c_str(), "r");
    if (!child) return std::nullopt;
    double ms = 0;
    std::size_t found = 0;
    const bool read = std::fscanf(child, "%lf %zu", &ms, &found) == 2;
    pclose(child);
    return read && found == wires ? std::optional(ms) : std::nullopt;
}

bool readers_agree(const bench::GeneratedHarness& harness) {
    NoFiles files;
    const ReadResult result = read_harness_text("train.loom", harness.loom, files, {});
    if (!result.harness) {
        fmt::print(stderr, "the generated harness is not valid: {} mistakes, first: {}\n",
                   result.mistakes.size(), result.mistakes.front().message);
        return false;
    }
    std::string padded = harness.json;
    padded.reserve(padded.size() + simdjson::SIMDJSON_PADDING);
    return bench::equal(bench::read_with_nlohmann(harness.json),
                        bench::read_with_simdjson(padded, padded.capacity()));
}

}  // namespace

int main(int argument_count, char** arguments) {
    if (argument_count == 4 && std::string_view(arguments[1]) == "--measure")
        return measure(arguments[2], arguments[3]);
    const auto wires = static_cast<std::size_t>(argument_count > 1 ? std::atol(arguments[1]) : 100'000);
    const auto runs = static_cast<std::size_t>(argument_count > 2 ? std::atol(arguments[2]) : 9);
    const bench::GeneratedHarness harness = bench::generate_harness(wires, 1);
    if (!readers_agree(harness)) return 1;

    const auto folder = std::filesystem::temp_directory_path() / fmt::format("bench_parse_{}", getpid());
    std::filesystem::create_directory(folder);
    const std::string loom = (folder / "train.loom").string();
    const std::string json = (folder / "train.json").string();
    std::ofstream(loom, std::ios::binary) << harness.loom;
    std::ofstream(json, std::ios::binary) << harness.json;
    std::vector<Candidate> candidates = {
        {"nlohmann", "nlohmann, DOM and structs", json, harness.json.size()},
        {"simdjson", "simdjson on demand and structs", json, harness.json.size()},
        {"syntax", "read_syntax alone", loom, harness.loom.size()},
        {"resolve", "read_harness_text, all resolved", loom, harness.loom.size()},
    };
    bool sound = true;
    for (std::size_t run = 0; run < runs && sound; ++run) {
        for (Candidate& candidate : candidates) {
            const std::optional<double> ms = run_child(candidate, harness.wires);
            if (!ms) fmt::print(stderr, "{} did not find {} wires\n", candidate.meaning, harness.wires);
            sound = sound && ms;
            candidate.ms.push_back(ms.value_or(0));
        }
    }
    std::filesystem::remove_all(folder);
    if (!sound) return 1;

    fmt::print("{} wires, {} parts; {:.1f} MB as loom, {:.1f} MB as JSON; {} runs\n", harness.wires,
               harness.parts, static_cast<double>(harness.loom.size()) / 1e6,
               static_cast<double>(harness.json.size()) / 1e6, runs);
    fmt::print("{:34} {:>9} {:>9} {:>8} {:>12}\n", "", "best ms", "median ms", "MB/s", "times faster");
    for (const Candidate& candidate : candidates)
        fmt::print("{:34} {:9.1f} {:9.1f} {:8.0f} {:12.2f}\n", candidate.meaning, candidate.best(),
                   candidate.median(), static_cast<double>(candidate.bytes) / 1e3 / candidate.best(),
                   candidates.front().best() / candidate.best());
    fmt::print("MB/s of the own text, and how many times faster than the first line: of the best runs.\n");
    return 0;
}
