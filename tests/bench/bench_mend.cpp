// Harnesses broken at random and mended: how many pass, with how many changes, and whether the proof holds.
//
//     bench_mend EXAMPLES [CASES [FIRST]]          200 cases by default; a line each, then the sums
//     bench_mend --train WIRES [CASES [FIRST]]     the same for an invented train with 5 mistakes each; 10
//     cases
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <set>

#include "checker/mend/functions.hpp"
#include "checker/mend/mend.hpp"
#include "checker/quick_check.hpp"
#include "parser/disk.hpp"
#include "parser/read.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/mend/planted_mistakes.hpp"

using namespace loomward;

namespace {

struct Bench {
    std::string folder, name;
    std::vector<std::string_view> rules;

    std::optional<Harness> read(const std::string& text) const {
        const std::unique_ptr<FileReader> disk = disk_reader();
        return std::move(read_harness_text(folder + "/" + name, text, *disk, {rules}).harness);
    }
    std::optional<Results> examine(const std::string& text, bool quickly) const {
        std::optional<Harness> harness = read(text);
        if (!harness) return std::nullopt;
        auto shared = std::make_shared<const Harness>(std::move(*harness));
        return quickly ? check_quickly(std::move(shared)) : check(std::move(shared));
    }
};

struct Sums {
    std::size_t broken = 0, pass = 0, few = 0, no_warning = 0, lost = 0, unproved = 0;
    std::vector<std::size_t> checks;
    std::vector<double> seconds;
};

Plan plan_of(const Mended& result) {
    Plan plan;
    for (const MadeChange& made : result.changes) plan.emplace(made.change.key, made.change);
    return plan;
}

void tell(const Bench& bench, unsigned number, const planting::BrokenText& broken, const Mended& result,
          double seconds, bool proved, const std::string& lost) {
    fmt::print("{:>3} {:<20} {} mistakes {:>2} -> {} errors {:>2} changes {:>3} checks {:5.1f} s{}{}\n",
               number, bench.name, broken.mistakes.size(), result.errors_before, result.errors_after,
               count_of_changes(result), result.checks, seconds, proved ? "" : " NOT PROVED",
               lost.empty() ? "" : " LOST " + lost);
    const bool many = result.errors_after == 0 && count_of_changes(result) > broken.mistakes.size() + 1;
    if (result.errors_after == 0 && !many) return;
    for (const std::string& mistake : broken.mistakes) fmt::print("      planted {}\n", mistake);
    if (many)
        for (const MadeChange& made : result.changes)
            fmt::print("      change {} {} {} {} {}\n", static_cast<int>(made.change.key.verb),
                       made.change.key.where, made.change.value, made.change.text, made.change.other);
    for (const LeftFinding& left : result.left)
        if (left.finding.severity == Severity::error)
            fmt::print("      left {} {}: {}{}\n", left.finding.rule, left.finding.subject,
                       left.finding.beside, left.tried ? " (tried)" : "");
}

std::string content_of(const std::string& path) {
    std::ifstream file(path);
    return {std::istreambuf_iterator<char>(file), {}};
}

// `mistakes` 0: by chance.
void try_case(const Bench& bench, const std::string& sound_text, unsigned number, std::size_t mistakes,
              Sums& sums) {
    const auto sound = bench.read(sound_text);
    if (!sound) return;
    const planting::BrokenText broken = planting::broken_text(
        sound_text, *sound, number, [&](const std::string& text) { return bench.read(text).has_value(); },
        mistakes);
    const auto found = bench.examine(broken.text, false);
    if (!found || found->count(Severity::error) == 0) return;
    MendOptions how;
    how.tried_with = [&](const std::string& text) { return bench.examine(text, true); };
    const auto begin = std::chrono::steady_clock::now();
    const Mended result = mend(
        broken.text, *found, [&](const std::string& text) { return bench.examine(text, false); }, how);
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    const auto again = bench.examine(result.text, false);
    const bool proved = again && again->count(Severity::error) == result.errors_after &&
                        again->count(Severity::warning) == result.warnings_after;
    const std::string lost =
        again ? lost_function(functions_of(*found), functions_of(*again), plan_of(result)) : "all";
    ++sums.broken;
    const bool pass = result.errors_after == 0;
    sums.pass += pass;
    sums.no_warning += pass && result.warnings_after == 0;
    sums.few += pass && count_of_changes(result) <= broken.mistakes.size() + 1;
    sums.lost += !lost.empty();
    sums.unproved += !proved;
    sums.checks.push_back(result.checks);
    sums.seconds.push_back(seconds);
    tell(bench, number, broken, result, seconds, proved, lost);
}

template <typename T>
std::string spread(std::vector<T> values) {
    std::sort(values.begin(), values.end());
    return fmt::format("{:.3g} / {:.3g} / {:.3g}", static_cast<double>(values[values.size() / 2]),
                       static_cast<double>(values[values.size() * 9 / 10]),
                       static_cast<double>(values.back()));
}

// As the writer makes it the leads are thin for its main fuses: with these it passes.
std::string sound_train(std::size_t wires) {
    std::string text = bench::generate_harness(wires, 1).loom;
    const auto exchange = [&](std::string_view one, std::string_view other) {
        for (std::size_t at = text.find(one); at != std::string::npos; at = text.find(one, at + other.size()))
            text.replace(at, one.size(), other);
    };
    exchange(" 1.5 mm2", " 2.5 mm2");
    exchange("is main-fuse { 60 A }", "is main-fuse { 40 A }");
    return text;
}

void tell_sums(const Sums& sums) {
    if (sums.broken == 0) return;
    fmt::print(
        "{} broken: {} pass, {} without a warning, {} with no more changes than mistakes + 1; functions lost "
        "{}, "
        "not proved {}\nmiddle / nine in ten / most: checks {}, seconds {}\n",
        sums.broken, sums.pass, sums.no_warning, sums.few, sums.lost, sums.unproved, spread(sums.checks),
        spread(sums.seconds));
}

unsigned number_at(int argc, char** argv, int place, unsigned usual) {
    return argc > place ? static_cast<unsigned>(std::strtoul(argv[place], nullptr, 10)) : usual;
}

}  // namespace

int main(int argc, char** argv) {
    const bool train = argc > 2 && std::string_view(argv[1]) == "--train";
    if (argc < 2 || (!train && argv[1][0] == '-')) {
        fmt::print(stderr, "bench_mend EXAMPLES [CASES [FIRST]]\nbench_mend --train WIRES [CASES [FIRST]]\n");
        return 2;
    }
    const int counts = train ? 3 : 2;
    const unsigned cases = number_at(argc, argv, counts, train ? 10 : 200);
    const unsigned first = number_at(argc, argv, counts + 1, 1);
    const char* names[] = {"market-cart.loom", "launch-24v.loom", "ice-sweeper.loom", "bench-rig-12v.loom",
                           "yard-crane-96v.loom"};
    const std::vector<RuleInfo> list = rule_list();
    Bench bench{train ? "." : argv[1], "train.loom", {}};
    for (const RuleInfo& rule : list) bench.rules.push_back(rule.name);
    const std::string wires = train ? sound_train(number_at(argc, argv, 2, 300)) : "";
    constexpr std::size_t mistakes = 5;
    Sums sums;
    for (unsigned number = first; number < first + cases; ++number) {
        if (!train) bench.name = names[number % std::size(names)];
        const std::string sound = train ? wires : content_of(bench.folder + "/" + bench.name);
        try_case(bench, sound, number, train ? mistakes : 0, sums);
        std::fflush(stdout);
    }
    tell_sums(sums);
}
