// Inputs that the fuzzing target found go round again, and so do some fresh ones: the examples and random
// harnesses, changed token by token.
#include <catch2/catch.hpp>

#include <chrono>
#include <filesystem>

#include "tests/fuzz/round.hpp"
#include "tests/fuzz/token_mutation.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

namespace replay_test {

namespace fs = std::filesystem;

TEST_CASE("inputs that once broke the program go round") {
    std::size_t replayed = 0;
    for (const auto& entry : fs::directory_iterator(fs::path(LOOMWARD_SOURCE_DIR) / "tests/fuzz/found")) {
        if (entry.path().extension() != ".loom") continue;
        INFO(entry.path());
        CHECK(fuzz::go_round(laws::content(entry.path()).value()).trouble == "");
        ++replayed;
    }
    CHECK(replayed > 0);
}

TEST_CASE("harnesses changed token by token go round") {
    const std::size_t count = laws::cases(150);
    const std::vector<std::string> names = laws::example_names();
    std::size_t checked = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const std::string whole =
            i % 3 == 0 ? laws::example_text(names[i / 3 % names.size()]) : laws::random_harness(i).text();
        const std::string text = fuzz::mutated(whole, i);
        const auto begun = std::chrono::steady_clock::now();
        const fuzz::Round round = fuzz::go_round(text);
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
        INFO("number " << i << ", " << took.count() << " s\n" << text);
        CHECK(round.trouble == "");
        checked += round.checked;
    }
    CHECK(checked * 6 >= count);  // else the changes are too wild to try much
}

}  // namespace replay_test
