// bench_parse [WIRES] [RUNS]: reads the same harness as text and as JSON, in turn and in one run, each
// run in a process of its own, and counts processor time, so that the ratios mean something on a busy
// machine. Checks first that every reader finds the same wires.
#include <fmt/format.h>
#include <simdjson.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "parser/read.hpp"
#include "parser/syntax.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/bench/json_harness.hpp"

using namespace loomward;

namespace {

class NoFiles : public FileReader {
  public:
    std::optional<std::string> read(const std::string&) override { return std::nullopt; }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

struct Candidate {
    std::string name;
    std::size_t bytes = 0;
    std::function<std::size_t()> run;  // the number of wires it found
    std::vector<double> ms{};

    double best() const { return *std::min_element(ms.begin(), ms.end()); }
    double median() const {
        std::vector<double> sorted = ms;
        std::sort(sorted.begin(), sorted.end());
        return sorted[sorted.size() / 2];
    }
};

std::size_t count_wires(const SyntaxTree& tree, std::string_view text) {
    std::size_t count = 0;
    for (const SyntaxNode& node : tree.nodes)
        count += node.kind == NodeKind::wire && text[node.begin + 1] == 'W';
    return count;
}

// Processor time in ms of one run in a process of its own, so that none finds the memory warm that another
// one or an earlier run has asked for: a command reads its file once. nullopt: not so many wires were found.
std::optional<double> measure(const std::function<std::size_t()>& run, std::size_t wires) {
    int ends[2];
    if (pipe(ends) != 0) return std::nullopt;
    const pid_t child = fork();
    if (child == 0) {
        const std::clock_t start = std::clock();
        const std::size_t found = run();
        double ms = 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
        if (found != wires) ms = -1;
        const bool written = write(ends[1], &ms, sizeof ms) == sizeof ms;
        _exit(written ? 0 : 1);
    }
    double ms = -1;
    const bool got = child > 0 && read(ends[0], &ms, sizeof ms) == sizeof ms;
    if (child > 0) waitpid(child, nullptr, 0);
    close(ends[0]);
    close(ends[1]);
    return got && ms >= 0 ? std::optional(ms) : std::nullopt;
}

}  // namespace

int main(int argument_count, char** arguments) {
    const auto wires = static_cast<std::size_t>(argument_count > 1 ? std::atol(arguments[1]) : 100'000);
    const auto runs = static_cast<std::size_t>(argument_count > 2 ? std::atol(arguments[2]) : 9);
    const bench::GeneratedHarness harness = bench::generate_harness(wires, 1);
    std::string padded = harness.json;
    padded.reserve(padded.size() + simdjson::SIMDJSON_PADDING);
    NoFiles files;

    {
        const ReadResult result = read_harness_text("train.loom", harness.loom, files, {});
        if (!result.harness) {
            fmt::print(stderr, "the generated harness is not valid: {} mistakes, first: {}\n",
                       result.mistakes.size(), result.mistakes.front().message);
            return 1;
        }
        if (!bench::equal(bench::read_with_nlohmann(harness.json),
                          bench::read_with_simdjson(padded, padded.capacity())))
            return 1;
    }

    Sources sources;
    const FileId file = sources.add("train.loom", harness.loom);
    std::vector<Candidate> candidates;
    candidates.push_back({"nlohmann, DOM and structs", harness.json.size(),
                          [&] { return bench::read_with_nlohmann(harness.json).wires.size(); }});
    candidates.push_back({"simdjson on demand and structs", harness.json.size(),
                          [&] { return bench::read_with_simdjson(padded, padded.capacity()).wires.size(); }});
    candidates.push_back({"read_syntax alone", harness.loom.size(), [&] {
                              std::vector<Diagnostic> mistakes;
                              return count_wires(read_syntax(sources, file, mistakes), harness.loom);
                          }});
    candidates.push_back(
        {"read_harness_text, all resolved", harness.loom.size(),
         [&] { return read_harness_text("train.loom", harness.loom, files, {}).harness->wires.size(); }});

    for (std::size_t run = 0; run < runs; ++run) {
        for (Candidate& candidate : candidates) {
            const std::optional<double> ms = measure(candidate.run, harness.wires);
            if (!ms) {
                fmt::print(stderr, "{} did not find the {} wires\n", candidate.name, harness.wires);
                return 1;
            }
            candidate.ms.push_back(*ms);
        }
    }

    fmt::print("{} wires, {} parts; {:.1f} MB as loom, {:.1f} MB as JSON; {} runs\n", harness.wires,
               harness.parts, static_cast<double>(harness.loom.size()) / 1e6,
               static_cast<double>(harness.json.size()) / 1e6, runs);
    fmt::print("{:34} {:>9} {:>9} {:>8} {:>10}\n", "", "best ms", "median ms", "MB/s", "times JSON");
    for (const Candidate& candidate : candidates)
        fmt::print("{:34} {:9.1f} {:9.1f} {:8.0f} {:10.2f}\n", candidate.name, candidate.best(),
                   candidate.median(), static_cast<double>(candidate.bytes) / 1e3 / candidate.best(),
                   candidates.front().best() / candidate.best());
    fmt::print(
        "MB/s and the last column (how many times faster than the first line) are of the best runs.\n");
    return 0;
}
