// What an open rating has to be passes when it is written in: the list to buy from asks for no less than a
// check then demands.
#include <catch2/catch.hpp>

#include <algorithm>
#include <optional>
#include <string>

#include "tests/checker/exchanged.hpp"

namespace held_requirements_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// An orchard shaker: a pack, an isolator, a pump behind a plug in a hot place, a lamp far away.
struct Shaker {
    std::string isolator = "carries 120 A", plug = "carries 40 A", fuse = "30 A, ", lamp_lead = "10 mm2, ",
                lamp_return = "10 mm2, ";

    std::string text() const {
        return "loom 1\nharness \"Orchard shaker\" { ambient 0..55 degC, insulation xlpe 90 degC }\n"
               "pack B1 { voltage 21..29 V, resistance 15..25 mohm, capacity 80 Ah, discharge 200 A, charge "
               "20 A }\n"
               "fuse F1 { 100 A, 58 V dc, breaks 5 kA at 58 V dc, curve iso8820-5 }\n"
               "switch S1 \"isolator\" { 48 V dc, makes 300 A, breaks 150 A at 48 V dc, resistance 0.3 "
               "mohm, " +
               isolator +
               " }\n"
               "busbar X1 { studs 4, carries 150 A }\nbusbar X2 { studs 4, carries 150 A }\n"
               "fuse F2 { " +
               fuse +
               "58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
               "fuse F3 { 5 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
               "connector J1 { mate P1, half socket, contacts + -, 60 V, takes 4..10 mm2, rated-at 30 degC, "
               "limit "
               "105 degC, " +
               plug +
               " }\n"
               "load M1 \"pump\" { 24 V, 18 A, acts-as current, works 18..31 V }\n"
               "load E1 \"lamp\" { 24 V, 2 A, acts-as current, works 18..31 V }\n"
               "route B1.+ (W1 35 mm2, 0.15 m, red) F1 (W2 35 mm2, 0.4 m, red) S1 (W3 35 mm2, 0.4 m, red) "
               "X1.1\n"
               "route B1.- (W4 35 mm2, 0.4 m, black) X2.1\n"
               "route X1.2 (W5 6 mm2, 0.1 m, red) F2 (W6 6 mm2, 0.8 m, red) J1.+ (W7 6 mm2, 1 m, red) M1.+\n"
               "route M1.- (W8 6 mm2, 1 m, black) P1.- (W9 6 mm2, 0.8 m, black) X2.2\n"
               "route X1.3 (W10 2.5 mm2, 0.1 m, red) F3 (W11 " +
               lamp_lead + "30 m, red) E1.+\nroute E1.- (W12 " + lamp_return +
               "30 m, black) X2.3\n"
               "mode off { others at rest }\nmode on { S1 closed }\n"
               "mode shake { S1 closed, M1 draws 60 A for 3 s then 0 A for 600 s repeating }\n"
               "mode pump { S1 closed, M1 draws 22 A }\n";
    }
};

std::optional<Finding> asking(const Shaker& shaker, std::string_view subject) {
    for (const Finding& finding : check_text(shaker.text()).findings)
        if (finding.asks() && finding.subject == subject && finding.required) return finding;
    return std::nullopt;
}

std::size_t errors_in(const Shaker& shaker) {
    const Results results = check_text(shaker.text());
    return static_cast<std::size_t>(std::count_if(
        results.findings.begin(), results.findings.end(),
        [](const Finding& finding) { return finding.severity == Severity::error && !finding.possible; }));
}

// The words between the verb and whatever follows the figure: "carry 29.1 A, with peaks" gives "29.1 A".
std::string figure_in(const std::string& requirement) {
    const std::size_t begin = requirement.find(' ') + 1;
    std::size_t end = requirement.find(' ', requirement.find(' ', begin) + 1);
    if (end == std::string::npos) end = requirement.size();
    std::string figure = requirement.substr(begin, end - begin);
    if (figure.ends_with(',')) figure.pop_back();
    return figure;
}

// Whether what the subject has to be passes where it is open, and something less does not.
bool passes_as_asked(std::string_view subject, std::string Shaker::*field, const std::string& verb,
                     const std::string& open, const std::string& less) {
    Shaker shaker;
    shaker.*field = open;
    const auto asked = asking(shaker, subject);
    if (!asked) return false;
    INFO(asked->requirement);
    shaker.*field = verb + figure_in(asked->requirement) + (verb.empty() ? ", " : "");
    CHECK(errors_in(shaker) == 0);
    shaker.*field = less;
    CHECK(errors_in(shaker) > 0);
    return true;
}

}  // namespace

TEST_CASE("the shaker is sound as it stands") {
    REQUIRE(errors_in({}) == 0);
}

TEST_CASE("a plug is asked for what it has to be printed with to carry its current in its air") {
    // What flows in mode pump is too little.
    CHECK(passes_as_asked("J1", &Shaker::plug, "carries ", "carries unknown", "carries 22 A"));
}

TEST_CASE("the least of a choice of fuses passes, and so does the largest") {
    Shaker shaker;
    shaker.fuse = "unknown A, ";
    const auto asked = asking(shaker, "F2");
    REQUIRE(asked);
    INFO(asked->requirement);
    REQUIRE(asked->required->ratings.size() > 1);
    for (const double rated_A : {asked->required->ratings.front(), asked->required->ratings.back()}) {
        INFO(rated_A);
        shaker.fuse = to_text(rated_A, Dimension::current) + ", ";
        CHECK(errors_in(shaker) == 0);
    }
}

TEST_CASE("a wire is asked for the size at which its lamp has its voltage") {
    CHECK(passes_as_asked("W11", &Shaker::lamp_lead, "", "", "0.5 mm2, "));
}

TEST_CASE("a wire is asked for nothing more by what no size of it passes") {
    Shaker shaker;
    shaker.lamp_lead = "";
    shaker.lamp_return = "0.5 mm2, ";
    const auto asked = asking(shaker, "W11");
    REQUIRE(asked);
    REQUIRE(errors_in(shaker) > 0);
    INFO(asked->requirement);
    CHECK(asked->required->least <= 1);
    bool said = false;
    for (const std::string& line : asked->working) {
        CHECK_FALSE(line.starts_with("so that this passes: voltage-drop"));
        said |= line.find("it has to " + asked->requirement) != std::string::npos;
    }
    CHECK(said);
}

TEST_CASE("an isolator is asked for what flows, and that passes") {
    CHECK(passes_as_asked("S1", &Shaker::isolator, "carries ", "carries unknown", "carries 10 A"));
}

}  // namespace held_requirements_test
