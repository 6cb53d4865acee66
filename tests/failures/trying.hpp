// From a text to what its failures do, for tests.
#pragma once
#include <memory>
#include <optional>
#include <string>

#include <catch2/catch.hpp>

#include "checker/failures/failures.hpp"
#include "checker/fault_look.hpp"
#include "parser/disk.hpp"
#include "tests/approved.hpp"
#include "tests/checker/checking.hpp"

namespace loomward::testing {

inline std::shared_ptr<const Harness> harness_of(const std::string& path, const std::string& text) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    std::vector<std::string_view> names;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    ReadResult read = read_harness_text(path, text, *disk, {names});
    for (const Diagnostic& mistake : read.mistakes)
        FAIL("line " << read.sources->position(mistake.where).line << " " << mistake.message);
    return std::make_shared<const Harness>(std::move(*read.harness));
}

inline std::string example(const std::string& name) {
    return approved::read("examples/" + name + ".loom");
}
inline std::shared_ptr<const Harness> example_harness(const std::string& name, const std::string& text) {
    return harness_of(std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + name + ".loom", text);
}

// Nothing is solved: the circuit alone.
struct TriedText {
    Results results;
    FailureReport report;
};
inline TriedText tried(const std::shared_ptr<const Harness>& harness, const FailureOptions& options = {}) {
    TriedText made;
    made.results.harness = made.results.judged = harness;
    made.results.circuit = build_circuit(*harness);
    FailureOptions bare = options;
    bare.figures = false;
    made.report = find_failures(made.results, nullptr, bare);
    return made;
}
inline TriedText tried(const std::string& text) {
    return tried(harness_of("test.loom", text));
}

// With what is solved: what burns, and how long packs last.
inline FailureReport tried_in_full(const std::shared_ptr<const Harness>& harness) {
    const Results results = check(harness);
    return find_failures(results, &FaultLook(results).study());
}

// "K1 welds"; fails the test where nothing of that name was tried.
inline const TriedFailure& failure(const FailureReport& report, std::string_view text) {
    for (const TriedFailure& each : report.tried)
        if (failure_text(each.failure) == text) return each;
    FAIL("no failure '" << text << "'");
    return report.tried.front();
}

}  // namespace loomward::testing
