#include <catch2/catch.hpp>
#include <iostream>
#include <set>

#include "tests/checker/published.hpp"

void check_published(const std::vector<Published>& values) {
    for (const Published& value : values) {
        INFO(value.what << " (" << value.source << ")");
        CHECK(value.found == Approx(value.expected).epsilon(1e-12).margin(value.tolerance));
    }
}

TEST_CASE("more than a hundred different published values are reproduced by the functions of the checker",
          "[published]") {
    std::set<std::string> different;
    std::size_t from_memory = 0;
    for (const auto& list :
         {published_conductors(), published_ampacities(), published_protection(), published_formulas()}) {
        check_published(list);
        for (const Published& value : list) {
            INFO(value.what);
            CHECK(different.insert(value.what).second);
            CHECK_FALSE(value.source.empty());
            if (value.source.find("memory") != std::string::npos) ++from_memory;
        }
    }
    std::cout << "published values: " << different.size() << " different, " << from_memory
              << " of them from memory\n";
    CHECK(different.size() - from_memory >= 100);
}
