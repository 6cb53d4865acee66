// The graph is read again by the library that draws the sheet's columns, and has every point and edge.
#include "render/dot/circuit_dot.hpp"

#include "tests/papers/papers_support.hpp"

namespace dot_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::size_t count_of(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += what.size()) ++count;
    return count;
}

}  // namespace

TEST_CASE("the graph of a circuit has each point and each edge once, and escapes names") {
    const Made made = papers_of_text("x.loom",
                                     "loom 1\nharness \"a \\\"b\\\" \\\\ c\" { }\n"
                                     "pack B1 { voltage 20..29 V, resistance 10 mohm, capacity 40 Ah }\n"
                                     "load E1 { 24 V, 5 A, acts-as current, works 18..32 V }\n"
                                     "route B1.+ (W1 2.5 mm2, 1 m, red) E1 (W2 2.5 mm2, 1 m, black) B1.-\n"
                                     "mode on { E1 on }\n");
    const std::string dot = circuit_dot(made.results);
    CHECK(dot.starts_with("graph \"a \\\"b\\\" \\\\ c\" {\n"));
    CHECK(count_of(dot, " -- ") == made.results.circuit.edges.size());
    CHECK(count_of(dot, "  n") - count_of(dot, " -- ") ==
          made.results.circuit.node_count() + 1);  // and "node"
    CHECK(dot.find("label=\"W1 2.5 mm2\"") != std::string::npos);
    CHECK(dot.find("label=\"B1 emf\", style=bold") != std::string::npos);
}

}  // namespace dot_test
