// Texts that are changed keep every byte that was not meant.
#include <catch2/catch.hpp>

#include <string>

#include "parser/edit/edited_text.hpp"

using namespace loomward;

namespace {

const std::string cart = R"(loom 1
pack B1 { voltage 40..58 V, discharge 60 A }  # the old one
fuse F1 "main" is bolt { 80 A, 80 V dc }
switch S1 { 24 V dc, carries 6 A, breaks 2 A at 24 V dc }  # key
load H1 is lamp
route B1.+ (W1 is traction, 0.12 m, red) F1 (W2 2.5 mm2, 0.5 m, red) H1  # up front
    (W3 1 mm2, 0.5 m, black) B1.-
cable C1 { cores red black, 0.5 mm2, 1 m }

mode drive { like ready, S1 closed }
)";

std::optional<WireEnds> ends(std::string_view wire) {
    if (wire == "W1") return WireEnds{"B1.+", "F1.in"};
    if (wire == "W2") return WireEnds{"F1.out", "H1.+"};
    if (wire == "W3") return WireEnds{"H1.-", "B1.-"};
    return std::nullopt;
}

// The text with one part of it replaced: what a change has to give, byte for byte.
std::string with(const std::string& old_part, const std::string& new_part) {
    std::string text = cart;
    const std::size_t at = text.find(old_part);
    REQUIRE(at != std::string::npos);
    return text.replace(at, old_part.size(), new_part);
}

}  // namespace

TEST_CASE("attributes of parts are changed where they stand, or put behind the last") {
    EditedText text(cart);
    SECTION("one that is there") {
        REQUIRE(text.set_attribute("S1", "carries", "carries 10 A"));
        CHECK(text.text() == with("carries 6 A", "carries 10 A"));
    }
    SECTION("one that is not") {
        REQUIRE(text.set_attribute("S1", "makes", "makes 10 A"));
        CHECK(text.text() == with("at 24 V dc }", "at 24 V dc, makes 10 A }"));
    }
    SECTION("a nameless one, by its dimension, and nothing behind it") {
        REQUIRE(text.set_nameless("S1", Dimension::voltage, "60 V"));
        CHECK(text.text() == with("{ 24 V dc", "{ 60 V dc"));
    }
    SECTION("a part without a block gets one") {
        REQUIRE(text.set_attribute("H1", "works", "works 9..16 V"));
        CHECK(text.text() == with("is lamp", "is lamp { works 9..16 V }"));
    }
    SECTION("its type") {
        REQUIRE(text.set_type("F1", "midget"));
        CHECK(text.text() == with("is bolt", "is midget"));
    }
    SECTION("a part that is not there leaves the text as it is") {
        CHECK_FALSE(text.set_attribute("S9", "carries", "carries 10 A"));
        CHECK_FALSE(text.set_type("S1", "key"));
        CHECK(text.text() == cart);
    }
}

TEST_CASE("wires get another size where it is written, and where their type says it") {
    EditedText text(cart);
    SECTION("written") {
        REQUIRE(text.set_wire("W2", Dimension::area, "16 mm2"));
        CHECK(text.text() == with("W2 2.5 mm2", "W2 16 mm2"));
    }
    SECTION("of the type") {
        REQUIRE(text.set_wire("W1", Dimension::area, "25 mm2"));
        CHECK(text.text() == with("W1 is traction,", "W1 is traction, 25 mm2,"));
    }
    SECTION("of a core: its cable's") {
        REQUIRE(text.set_wire("C1.red", Dimension::area, "1 mm2"));
        CHECK(text.text() == with("black, 0.5 mm2", "black, 1 mm2"));
    }
    SECTION("its length") {
        REQUIRE(text.set_wire("W3", Dimension::length, "0.1 m"));
        CHECK(text.text() == with("1 mm2, 0.5 m", "1 mm2, 0.1 m"));
    }
}

TEST_CASE("routes are parted, and parts put into them") {
    EditedText text(cart);
    SECTION("a wire in the middle taken out leaves two routes with their terminals named") {
        REQUIRE(text.take_out("W2", ends));
        CHECK(text.text() == with("F1 (W2 2.5 mm2, 0.5 m, red) H1", "F1.in\nroute H1.-"));
    }
    SECTION("one at the end leaves the rest") {
        REQUIRE(text.take_out("W3", ends));
        CHECK(text.text() == with(" H1  # up front\n    (W3 1 mm2, 0.5 m, black) B1.-", " H1.+"));
    }
    SECTION("a part at the beginning of a wire, and at its end") {
        REQUIRE(text.put_in("W2", true, "S1"));
        REQUIRE(text.put_in("W2", false, "F9"));
        CHECK(text.text() ==
              with("(W2 2.5 mm2, 0.5 m, red)", "(direct) S1 (W2 2.5 mm2, 0.5 m, red) F9 (direct)"));
    }
    SECTION("another end") {
        REQUIRE(text.land("W3", false, "X1", ends));
        CHECK(text.text() == with("black) B1.-", "black) X1"));
    }
}

TEST_CASE("modes get lines, and statements stand before them") {
    EditedText text(cart);
    REQUIRE(text.add_to_mode("drive", "after ready 2 s", true));
    REQUIRE(text.add_to_mode("drive", "U1.main on"));
    text.add_statement("fuse F9 is bolt { 10 A }");
    CHECK(text.text() ==
          with("mode drive { like ready, S1 closed }",
               "fuse F9 is bolt { 10 A }\nmode drive { like ready, after ready 2 s, S1 closed, "
               "U1.main on }"));
}
