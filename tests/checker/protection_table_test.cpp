// The families and gates as data: complete, ordered, on the safe side.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "checker/tables/protection.hpp"
#include "parser/language/kinds.hpp"

namespace protection_table_test {

using namespace loomward;

namespace {

// "<iso8820-3|iso8820-3-e|...>" taken apart.
std::vector<std::string> curve_words() {
    const std::string_view shape = info("curve"_attr).shape;
    std::vector<std::string> words(1);
    for (const char c : shape.substr(1, shape.size() - 2))
        if (c == '|')
            words.emplace_back();
        else
            words.back() += c;
    return words;
}

}  // namespace

TEST_CASE("every curve of the language is a family with gates and conventional currents", "[protection]") {
    const std::vector<std::string> words = curve_words();
    CHECK(words.size() == protection_families().size());
    for (const std::string& word : words) {
        INFO(word);
        const ProtectionFamily* family = find_protection_family(word);
        REQUIRE(family);
        CHECK(family->load_factor >= 0);
        CHECK(family->load_factor <= 1);
        for (const double rated_A : {0.01, 1.0, 10.0, 16.0, 63.5, 100.0, 5000.0}) {
            const auto currents = conventional_currents(word, rated_A);
            REQUIRE(currents);
            CHECK(currents->non_fusing < currents->fusing);
        }
        const double usual_A = word.starts_with("iec60127") ? 10 : 30;
        CHECK(gates_of(word, usual_A).empty() == (word == "iec60269-gg"));  // those are in amperes: gg_fuses
    }
    CHECK(find_protection_family("iso8820-9") == nullptr);
    CHECK_FALSE(conventional_currents("iso8820-9", 10));
    CHECK(gates_of("iso8820-9", 10).empty());
}

TEST_CASE("within one variant a higher multiple opens sooner and holds shorter", "[protection]") {
    std::map<std::string, std::vector<Gate>> groups;
    for (const Gate& gate : gates()) {
        INFO(gate.word << " " << gate.variant << " " << gate.multiple);
        CHECK(find_protection_family(gate.word));
        CHECK(gate.from_A < gate.to_A);
        CHECK(gate.t_min_s <= gate.t_max_s);
        groups[std::string(gate.word) + " " + std::string(gate.variant) + " " + std::to_string(gate.from_A)]
            .push_back(gate);
    }
    for (const auto& [name, rows] : groups)
        for (std::size_t i = 1; i < rows.size(); ++i) {
            INFO(name << " " << rows[i].multiple);
            CHECK(rows[i].multiple > rows[i - 1].multiple);
            CHECK(rows[i].t_max_s <= rows[i - 1].t_max_s);
            for (std::size_t before = 0; before < i; ++before)  // 0: that row states no lower limit
                if (rows[before].t_min_s > 0) CHECK((rows[i].t_min_s <= rows[before].t_min_s));
        }
}

TEST_CASE("conventional currents are those of the gates", "[protection]") {
    for (const ProtectionFamily& family : protection_families()) {
        const double rated_A = family.word.starts_with("iec60127") ? 10 : 30;
        const ConventionalCurrents currents = *conventional_currents(family.word, rated_A);
        bool holds = false;
        bool opens = false;
        for (const Gate& gate : gates_of(family.word, rated_A)) {
            holds = holds || (gate.multiple == currents.non_fusing && gate.t_min_s >= currents.hold_s);
            opens = opens || (gate.multiple == currents.fusing && gate.t_max_s <= currents.open_s);
        }
        INFO(family.word);
        if (family.word != "iec60269-gg") CHECK((holds && opens));  // its gates are in amperes
    }
}

}  // namespace protection_table_test
