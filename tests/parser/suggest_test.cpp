#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "parser/language/colours.hpp"
#include "parser/text/suggest.hpp"

namespace suggest_test {

using namespace loomward;

TEST_CASE("a swap of neighbours is one edit, and counting stops at the limit") {
    CHECK(edit_distance("carries", "carries", 3) == 0);
    CHECK(edit_distance("caries", "carries", 3) == 1);
    CHECK(edit_distance("carreis", "carries", 3) == 1);
    CHECK(edit_distance("taped", "tapes", 3) == 1);
    CHECK(edit_distance("", "abc", 3) == 3);
    CHECK(edit_distance("kitten", "sitting", 9) == 3);
    CHECK(edit_distance("kitten", "sitting", 2) == 3);
    CHECK(edit_distance("abc", "xyz", 1) == 2);
}

TEST_CASE("the nearest word wins, the first of equals, and nothing farther than a third of the length") {
    struct Row {
        std::string written;
        std::vector<std::string> words;
        std::string best;
    };
    const Row row = GENERATE(values<Row>({
        {"caries", {"contacts", "carries", "half"}, "carries"},
        {"F11", {"B1", "F1", "F2"}, "F1"},
        {"X3", {"X1", "X2"}, "X1"},
        {"cosed", {"closed", "coed"}, "closed"},
        {"drve", {"parked", "drive"}, "drive"},
        {"a", {"b", "c"}, ""},
        {"fuse", {"route", "harness"}, ""},
        {"main", {"main"}, "main"},
    }));
    Suggestion nearest(row.written);
    for (const std::string& word : row.words) nearest.offer(word);
    CHECK(nearest.best() == row.best);
}

TEST_CASE("colours have the letters of IEC 60757, in the order of the standard") {
    const std::vector<std::string_view> letters = {"BK", "BN", "RD", "OG", "YE", "GN", "BU",
                                                   "VT", "GY", "WH", "PK", "GD", "TQ", "SR"};
    for (std::size_t i = 0; i < letters.size(); ++i) {
        const auto colour = static_cast<Colour>(i + 1);
        CHECK(colour_letters(colour) == letters[i]);
        REQUIRE(read_colour(colour_word(colour)));
        CHECK(read_colour(colour_word(colour))->first == colour);
    }
}

TEST_CASE("two colours are joined by a hyphen, and other words for a colour get its name") {
    const auto pair = read_colour("green-yellow");
    REQUIRE(pair);
    CHECK(pair->first == Colour::green);
    CHECK(pair->second == Colour::yellow);
    for (const auto* word : {"", "gray", "red-", "red-red", "green-yellow-red", "Red"}) {
        CAPTURE(word);
        CHECK_FALSE(read_colour(word));
    }
    CHECK(colour_meant_by("gray") == "grey");
    CHECK(colour_meant_by("purple") == "violet");
    CHECK(colour_meant_by("rde") == "red");
    CHECK(colour_meant_by("W17") == "");
}

}  // namespace suggest_test
