// A text that is changed keeps its comments, and what has no place in it stays as it is.
#include <catch2/catch.hpp>

#include <string>

#include "parser/edit/edited_text.hpp"

namespace edited_text_test {

using namespace loomward;

namespace {

const std::string routes = R"(loom 1
fuse F1 { 5 A }
# the long way
route B1.+ (W1 4 mm2, 1 m, red) F1   # main fuse
    (W2 4 mm2, 1 m, red) X1.1        # to the bar
    (W3 4 mm2, 1 m, red) X2.1        # and on
mode run { F1 on }
)";

const EndsOfWire no_ends = [](std::string_view) { return std::nullopt; };

bool has(const EditedText& text, const std::string& what) {
    return text.text().find(what) != std::string::npos;
}

}  // namespace

TEST_CASE("comments inside a route that is changed are kept") {
    EditedText out(routes);
    REQUIRE(out.take_out("W2", no_ends));
    for (const char* const comment : {"# the long way", "# main fuse", "# to the bar", "# and on"}) {
        INFO(comment << "\n" << out.text());
        CHECK(has(out, comment));
    }
    CHECK_FALSE(has(out, "W2"));
    EditedText landed(routes);
    REQUIRE(landed.land("W3", false, "X5.1", no_ends));
    CHECK(has(landed, "X5.1"));
    CHECK(has(landed, "# and on"));
    EditedText put(routes);
    REQUIRE(put.put_in("W2", true, "S9"));
    CHECK(has(put, "(direct) S9 (W2"));
    CHECK(has(put, "# main fuse"));
}

TEST_CASE("a wire of an assembly has no size to change where the assembly is fitted") {
    EditedText text("loom 1\nlamp-post T1\ncable C1 { cores red black, 0.5 mm2, 1 m }\n");
    const std::string before = text.text();
    CHECK_FALSE(text.set_wire("T1.W1", Dimension::area, "4 mm2"));
    CHECK(text.text() == before);
    REQUIRE(text.set_wire("C1.red", Dimension::area, "1 mm2"));
    CHECK(has(text, "cores red black, 1 mm2, 1 m"));
}

TEST_CASE("a size in gauges is found and replaced, a fraction too") {
    EditedText text("loom 1\nroute A.1 (W1 2/0 AWG, 0.4 ft, red) B.1 (W2 10 AWG, 1 ft, red) C.1\n");
    REQUIRE(text.set_wire("W1", Dimension::area, "4/0 AWG"));
    REQUIRE(text.set_wire("W2", Dimension::area, "8 AWG"));
    CHECK(has(text, "(W1 4/0 AWG, 0.4 ft, red)"));
    CHECK(has(text, "(W2 8 AWG, 1 ft, red)"));
}

}  // namespace edited_text_test
