// One hill at 20 and at 45 degC, with the vents open and closed, the leads free and taped: what the example
// of the vineyard carrier says of each, in docs/heat.md.
#include <fmt/format.h>
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "tests/approved.hpp"
#include "tests/checker/checking.hpp"

namespace hill_table_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Hill {
    int ambient_degC = 20;
    bool vents = true;
    bool taped = false;
    int draws_A = 44;
};

void put(std::string& text, const std::string& old, const std::string& now) {
    for (std::size_t at = text.find(old); at != std::string::npos; at = text.find(old, at + now.size()))
        text.replace(at, old.size(), now);
}

Results results_of(const Hill& hill) {
    std::string text = approved::read("examples/vineyard-carrier.loom");
    const std::string shelf = approved::read("examples/shelf.loom");
    put(text, "use \"shelf.loom\"\n", shelf.substr(shelf.find('\n') + 1));
    put(text, "5..30 degC", fmt::format("5..{} degC", hill.ambient_degC));
    if (!hill.vents) put(text, ", vents 60 cm2 100 mm", "");
    if (!hill.taped) put(text, "wrap taped", "wrap open");
    put(text, "draws 44 A for 20 min", fmt::format("draws {} A for 20 min", hill.draws_A));
    return check_text(text);
}

double figure_of(const Results& results, const char* rule, std::size_t index) {
    const Finding* finding = finding_of(results, rule);
    return finding && index < finding->figures.size() ? finding->figures[index].value : NAN;
}

std::string row(const Hill& hill) {
    const Results results = results_of(hill);
    const std::size_t mode = results.circuit.harness->modes.size() - 1;  // the hill is the last one
    double inside_degC = NAN;
    for (const WarmBox& box : results.boxes)
        if (box.mode == ModeId(mode)) inside_degC = box.inside_degC;
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    double lead_degC = 0, cells_degC = 0, cells_s = INFINITY;
    for (const ModeEndurance& each : endurance(results.circuit, facts, results.points)) {
        if (each.mode != ModeId(mode)) continue;
        for (const HeldPart& part : each.parts) {
            if (part.name == "W5") lead_degC = part.peak_degC;
            if (part.what != HeldPart::What::pack) continue;
            cells_degC = std::max(cells_degC, part.peak_degC);
            cells_s = std::min(cells_s, part.gives_out_s);
        }
    }
    const bool out = finding_of(results, "cuts-out") != nullptr;
    const bool less = finding_of(results, "controller-gives-less") != nullptr;
    return fmt::format("| {} degC | {} | {} | {} A | {:.0f} degC | {} | {:.0f} degC | {:.0f} degC{} |\n",
                       hill.ambient_degC, hill.vents ? "open" : "closed", hill.taped ? "taped" : "free",
                       hill.draws_A, inside_degC,
                       out    ? "cuts out"
                       : less ? "gives less"
                              : "nothing",
                       lead_degC, cells_degC,
                       std::isfinite(cells_s) ? fmt::format(", 60 after {:.0f} min", cells_s / 60) : "");
}

std::string table() {
    std::string text =
        "| air | vents | leads | hill | air in the tray | controller | W5 | cells |\n| --- | --- | --- | --- "
        "| --- | --- | "
        "--- | --- |\n";
    for (const int ambient : {20, 45})
        for (const bool vents : {true, false})
            for (const bool taped : {false, true}) text += row({ambient, vents, taped, 44});
    text += row({45, true, true, 30});
    return text;
}

}  // namespace

TEST_CASE("a setting that is fine at 20 degC cuts out at 45, and less of it does not") {
    CHECK(finding_of(results_of({20, true, false, 44}), "cuts-out") == nullptr);
    CHECK(finding_of(results_of({20, true, false, 44}), "controller-gives-less") == nullptr);
    CHECK(finding_of(results_of({45, false, false, 44}), "cuts-out") != nullptr);
    CHECK(finding_of(results_of({45, true, false, 20}), "cuts-out") == nullptr);
    // The lid closed makes it worse by some ten kelvin.
    const double open = figure_of(results_of({45, true, false, 44}), "controller-gives-less", 0);
    const double closed = figure_of(results_of({45, false, false, 44}), "controller-gives-less", 0);
    CHECK(closed > open + 5);
}

TEST_CASE("the page of heat holds what the example says of one hill") {
    const std::string page = approved::read("docs/heat.md");
    const std::size_t begin = page.find("<!-- hill: begin"), end = page.find("<!-- hill: end -->");
    REQUIRE(begin != std::string::npos);
    REQUIRE(end != std::string::npos);
    const std::string expected =
        page.substr(0, page.find('\n', begin) + 1) + "\n" + table() + "\n" + page.substr(end);
    CHECK(approved::compare_with("docs/heat.md", expected) == expected);
}

}  // namespace hill_table_test
