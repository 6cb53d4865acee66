// Work in parts on several threads: each part once, and nothing that depends on the threads.
#include <catch2/catch.hpp>

#include <atomic>
#include <numeric>
#include <stdexcept>
#include <string>
#include <vector>

#include "checker/work/at_once.hpp"

namespace at_once_test {

using loomward::at_once;

TEST_CASE("every part is done once, whatever their number") {
    for (const std::size_t count : {std::size_t{0}, std::size_t{1}, std::size_t{2}, std::size_t{1000}}) {
        std::vector<int> done(count, 0);
        at_once(count, [&](std::size_t i) { ++done[i]; });
        CHECK(done == std::vector<int>(count, 1));
    }
}

TEST_CASE("parts that have parts of their own do all of them") {
    std::vector<std::vector<std::size_t>> squares(20, std::vector<std::size_t>(20, 0));
    at_once(20, [&](std::size_t i) { at_once(20, [&](std::size_t j) { squares[i][j] = i * j; }); });
    for (std::size_t i = 0; i < 20; ++i)
        for (std::size_t j = 0; j < 20; ++j) REQUIRE(squares[i][j] == i * j);
}

TEST_CASE("what the first of several parts throws is thrown on, after all are done") {
    std::atomic<int> done = 0;
    const auto part = [&](std::size_t i) {
        ++done;
        if (i == 7 || i == 31) throw std::runtime_error(std::to_string(i));
    };
    CHECK_THROWS_WITH(at_once(50, part), "7");
    CHECK(done == 50);
    // And the next work is done on threads again.
    std::vector<int> again(50, 0);
    at_once(50, [&](std::size_t i) { again[i] = 1; });
    CHECK(std::accumulate(again.begin(), again.end(), 0) == 50);
}

}  // namespace at_once_test
