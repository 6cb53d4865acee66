// What a wire may carry where it lies, read from a harness.
#include <catch2/catch.hpp>
#include <memory>
#include <string>

#include "checker/results.hpp"
#include "checker/tables/conductors.hpp"
#include "tests/parser/memory_files.hpp"

namespace wire_loading_test {

using namespace loomward;

namespace {

Results checked(const std::string& bundles, const std::string& in) {
    MemoryFiles files;
    const std::string text =
        "loom 1\n"
        "harness \"Pruning platform\" { ambient 0..40 degC, insulation pvc 70 degC }\n" +
        bundles +
        "pack B1 { voltage 20..29 V, resistance 30 mohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
        "fuse F1 { 5 A, 32 V dc, breaks 2 kA at 32 V dc, curve iso8820-3 }\n"
        "switch S1 { 32 V dc, carries 20 A, breaks 16 A at 32 V dc }\n"
        "load H1 { 24 V, 50 W }\n"
        "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 0.5 mm2, 0.5 m, red" +
        in +
        ") S1 (W3 1.5 mm2, 0.5 m, red) H1\n"
        "    (W4 1.5 mm2, 0.9 m, black) B1.-\n"
        "mode off { others at rest }\n"
        "mode lit { S1 closed }\n";
    ReadResult read = read_harness_text("platform.loom", text, files, {});
    for (const Diagnostic& mistake : read.mistakes) UNSCOPED_INFO(mistake.message);
    REQUIRE(read.harness);
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}

double limit_A(const Results& results, std::string_view wire) {
    for (std::size_t i = 0; i < results.wires.size(); ++i)
        if (results.harness->wires[i].name == wire) return results.wires[i].limit_A;
    FAIL("no such wire");
    return 0;
}

bool is_overloaded(const Results& results, std::string_view wire) {
    for (const Finding& finding : results.findings)
        if (finding.rule == "overloaded-wire" && finding.subject == wire) return true;
    return false;
}

}  // namespace

TEST_CASE("a wire in surroundings as hot as its insulation may get is overloaded by any current",
          "[loading]") {
    const Results results =
        checked("bundle L1 { wrap taped, length 0.3 m, ambient 0..75 degC }\n", ", in L1");
    CHECK(limit_A(results, "W2") == 0);
    CHECK(is_overloaded(results, "W2"));
    CHECK_FALSE(is_overloaded(results, "W3"));
}

TEST_CASE("a wire in two bundles is judged by the one that hurts most", "[loading]") {
    const std::string foamed = "bundle L1 { wrap foamed, length 0.3 m }\n";
    const std::string open = "bundle L2 { wrap open, length 0.1 m }\n";
    const double alone_A = ampacity_A(0.5, 70, false, {40, Wrap::open, 1});
    CHECK(limit_A(checked("", ""), "W2") == Approx(alone_A));
    CHECK(limit_A(checked(foamed, ", in L1"), "W2") == Approx(alone_A / 2));
    CHECK(limit_A(checked(foamed + open, ", in L1 L2"), "W2") == Approx(alone_A / 2));
    CHECK(limit_A(checked(foamed + open, ", in L2 L1"), "W2") == Approx(alone_A / 2));
}

}  // namespace wire_loading_test
