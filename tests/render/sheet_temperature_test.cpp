// The sheet by temperature says at each wire what its conductor settles at, and nothing of it otherwise.
#include <catch2/catch.hpp>

#include <cmath>
#include <string>

#include "checker/heat/boxes.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "render/sheet.hpp"
#include "tests/render/harness_files.hpp"

namespace sheet_temperature_test {

using namespace loomward;

namespace {

std::size_t times(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
    return count;
}

}  // namespace

TEST_CASE("each judged wire shows the temperature of the heat balance, with the air of its box") {
    const Results results =
        files::results_of_file(std::string(LOOMWARD_SOURCE_DIR) + "/examples/vineyard-carrier.loom");
    SheetOptions options;
    options.loading = false;
    options.temperature = true;
    const std::string sheet = sheet_svg(results, options);
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    std::size_t judged = 0;
    for (const WireTemperature& wire : wire_temperatures(results.circuit, facts, results.points)) {
        if (!wire.judged) continue;
        ++judged;
        const std::string degC = std::to_string(std::lround(wire.hottest_degC)) + " °C";
        INFO(degC);
        CHECK(sheet.find(degC + ", may get ") != std::string::npos);  // in the title of its line
    }
    CHECK(judged > 10);
    CHECK(sheet.find("TEMPERATURE, WORST MODE") != std::string::npos);
    // At each of them, in its title, and two samples in the legend.
    CHECK(times(sheet, " °C<") >= judged + 2);
    options.temperature = false;
    options.loading = true;
    CHECK(times(sheet_svg(results, options), " °C") == 0);
}

}  // namespace sheet_temperature_test
