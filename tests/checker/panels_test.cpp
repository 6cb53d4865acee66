// Solar panels and their charger: a panel is judged by its ratings and by what is wired to it.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "checker/parts/panel_figures.hpp"
#include "tests/checker/checking.hpp"

namespace panels_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A pack with its charger; what lies on the panel input is up to the test.
std::string with_charger(const std::string& input, const std::string& rest,
                         const std::string& ambient = "25..30 degC") {
    return "loom 1\nharness \"field\" { ambient " + ambient +
           ", insulation xlpe 90 degC }\n"
           "pack B1 { voltage 11..14.4 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 60 A "
           "}\n"
           "fuse F1 { 60 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }\n"
           "charger G2 { output 14.2 V 50 A, reverse blocked, panel-input " +
           input +
           " }\n"
           "route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.5 m, red) G2.+\n"
           "route G2.- (W3 16 mm2, 0.6 m, black) B1.-\n" +
           rest + "mode sunny { others at rest, G2 delivers 42 A }\n";
}

std::string panel(const std::string& name, double open_V, double short_A, const std::string& more = "") {
    return fmt::format("panel {} {{ open-circuit-voltage {} V, short-circuit-current {} A{} }}\n", name,
                       open_V, short_A, more);
}

// Two panels one behind the other.
std::string two_in_series(double open_V, double short_A) {
    return panel("V1", open_V, short_A) + panel("V2", open_V, short_A) +
           "route V1.+ (W10 6 mm2, 3 m, red) G2.in+\nroute V1.- (W11 6 mm2, 0.5 m) V2.+\n"
           "route V2.- (W12 6 mm2, 3 m, black) G2.in-\n";
}

// Strings of one panel on two bars; `through` stands between each plus and the bar.
std::string strings(int count, double short_A, const std::string& more, bool fused = false,
                    const std::string& fuse = "15 A") {
    std::string text =
        "busbar X8 { studs 6, carries 100 A }\nbusbar X9 { studs 6, carries 100 A }\n"
        "route X8.6 (W10 16 mm2, 3 m, red) G2.in+\nroute X9.6 (W11 16 mm2, 3 m, black) G2.in-\n";
    for (int i = 1; i <= count; ++i) {
        text += panel(fmt::format("V{}", i), 24, short_A, more);
        if (fused)
            text += fmt::format(
                "fuse F1{0} {{ {1}, 120 V dc, breaks 1 kA at 120 V dc, curve iso8820-3, rated-at 30 degC }}\n"
                "route V{0}.+ (W2{0} 6 mm2, 1 m, red) F1{0} (W4{0} 6 mm2, 1 m, red) X8.{0}\n",
                i, fuse);
        else
            text += fmt::format("route V{0}.+ (W2{0} 6 mm2, 1 m, red) X8.{0}\n", i);
        text += fmt::format("route V{0}.- (W3{0} 6 mm2, 1 m, black) X9.{0}\n", i);
    }
    return text;
}

bool says(const std::string& text, std::string_view rule, std::string_view subject = {}) {
    return finding_of(check_text(text), rule, subject) != nullptr;
}

}  // namespace

TEST_CASE("panels are colder where their voltage counts: NFPA 70 Table 690.7(A), from memory") {
    CHECK(cold_factor(30) == 1.00);
    CHECK(cold_factor(24) == 1.02);
    CHECK(cold_factor(0) == 1.10);
    CHECK(cold_factor(-1) == 1.12);
    CHECK(cold_factor(-20) == 1.18);
    CHECK(cold_factor(-36) == 1.25);
    CHECK(cold_factor(-40) == 1.25);
}

TEST_CASE("the voltages of panels in series add up, higher the colder it is, against the panel input") {
    // 2 x 40 V x 1.14.
    CHECK_FALSE(says(with_charger("15..91.3 V", two_in_series(40, 9), "-10..30 degC"), "panel-voltage"));
    CHECK(says(with_charger("15..91.1 V", two_in_series(40, 9), "-10..30 degC"), "panel-voltage", "G2"));
    // 2 x 40 V x 1.25 where nobody knows how cold it gets.
    CHECK_FALSE(says(with_charger("15..100.1 V", two_in_series(40, 9), "unknown"), "panel-voltage"));
    const Results results = check_text(with_charger("15..99.9 V", two_in_series(40, 9), "unknown"));
    const Finding* told = finding_of(results, "panel-voltage", "G2");
    REQUIRE(told);
    CHECK(told->severity == Severity::error);
    CHECK(figure(*told, "voltage") == Approx(100.0));
}

TEST_CASE("panels with their leads crossed at the input are told") {
    const std::string crossed = panel("V1", 24, 9) +
                                "route V1.+ (W10 6 mm2, 3 m, red) G2.in-\n"
                                "route V1.- (W11 6 mm2, 3 m, black) G2.in+\n";
    const Results results = check_text(with_charger("15..100 V", crossed));
    const Finding* told = finding_of(results, "panel-voltage", "G2");
    REQUIRE(told);
    CHECK(told->message == "panels lie the wrong way round on the panel input of charger G2");
}

TEST_CASE("a contact of the panel side carries 1.25 times what the panels behind it give") {
    const auto through = [](double carries_A, int panels) {
        std::string text = fmt::format(
            "connector J1 {{ mate P1, contacts 2, carries {} A, 120 V, takes 2..16 mm2 }}\n"
            "route P1.1 (W13 16 mm2, 1 m, red) G2.in+\nroute P1.2 (W14 16 mm2, 1 m, black) "
            "G2.in-\n",
            carries_A);
        for (int i = 1; i <= panels; ++i)
            text += panel(fmt::format("V{}", i), 24, 8) + fmt::format(
                                                              "route V{0}.+ (W2{0} 6 mm2, 1 m, red) J1.1\n"
                                                              "route V{0}.- (W3{0} 6 mm2, 1 m, black) J1.2\n",
                                                              i);
        return with_charger("15..100 V", text);
    };
    CHECK_FALSE(says(through(10.01, 1), "panel-current", "J1.1"));
    CHECK(says(through(9.99, 1), "panel-current", "J1.1"));
    CHECK(says(through(9.99, 1), "panel-current", "J1.2"));
    CHECK_FALSE(says(through(20.02, 2), "panel-current", "J1.1"));
    CHECK(says(through(19.98, 2), "panel-current", "J1.1"));
}

TEST_CASE(
    "a wire of the panel side carries 1.56 times what the panels behind it give; in series that is one "
    "panel's current") {
    const Results far_over = check_text(with_charger("15..100 V", two_in_series(20, 900)));
    const Finding* told = finding_of(far_over, "panel-current", "W10");
    REQUIRE(told);
    CHECK(figure(*told, "current") == Approx(900 * 1.5625));
    const double may_A = figure(*told, "limit");
    CHECK_FALSE(
        says(with_charger("15..100 V", two_in_series(20, may_A / 1.5625 * 0.999)), "panel-current", "W10"));
    CHECK(says(with_charger("15..100 V", two_in_series(20, may_A / 1.5625 * 1.001)), "panel-current", "W10"));
}

TEST_CASE("a fuse in a string carries 1.56 times its current for hours") {
    const std::string no_limit = ", maximum-series-fuse 30 A";
    CHECK_FALSE(
        says(with_charger("15..100 V", strings(3, 8, no_limit, true, "12.52 A")), "panel-current", "F11"));
    CHECK(says(with_charger("15..100 V", strings(3, 8, no_limit, true, "12.48 A")), "panel-current", "F11"));
}

TEST_CASE("wires side by side are each taken to carry all, a ring of bars not more than there is") {
    const std::string twice = panel("V1", 24, 9) +
                              "route V1.+ (W10 6 mm2, 3 m, red) G2.in+\nroute V1.+ (W12 6 mm2, 3 m, red) "
                              "G2.in+\nroute V1.- (W11 0.5 mm2, 3 m, black) G2.in-\n";
    const Results results = check_text(with_charger("15..100 V", twice));
    const Finding* told = finding_of(results, "panel-current", "W11");
    REQUIRE(told);
    CHECK(figure(*told, "current") == Approx(9 * 1.5625));
    CHECK_FALSE(finding_of(results, "panel-current", "W10"));
}

TEST_CASE("from three strings on the others can push back more than a panel gives: each needs its fuse") {
    const auto field = [](int count, const std::string& more, bool fused, const std::string& fuse = "15 A") {
        return with_charger("15..100 V", strings(count, 9, more, fused, fuse));
    };
    const std::string stands = ", maximum-series-fuse 15 A";
    CHECK_FALSE(says(field(1, stands, false), "string-fuse"));
    CHECK_FALSE(says(field(2, "", false), "string-fuse"));
    CHECK_FALSE(says(field(2, stands, false), "string-fuse"));
    // 2 x 9 A back into the third, with nothing to open.
    for (const std::string& each : {stands, std::string()}) {
        const Results results = check_text(field(3, each, false));
        const Finding* told = finding_of(results, "string-fuse", "V1");
        REQUIRE(told);
        CHECK(told->severity == Severity::error);
        CHECK(figure(*told, "current") == Approx(18.0));
    }
    CHECK_FALSE(says(field(3, stands, true), "string-fuse"));
    CHECK_FALSE(says(field(3, stands, true, "15 A"), "string-fuse"));
    CHECK(says(field(3, stands, true, "15.02 A"), "string-fuse", "V2"));
    // A stronger panel stands two others.
    CHECK_FALSE(says(field(3, ", maximum-series-fuse 18.02 A", false), "string-fuse"));
    CHECK(says(field(3, ", maximum-series-fuse 17.98 A", false), "string-fuse"));
}

TEST_CASE("where the largest series fuse is not stated and a fuse is there, it has to be that large") {
    const Results results = check_text(with_charger("15..100 V", strings(3, 9, "", true, "15 A")));
    const Finding* told = finding_of(results, "string-fuse", "V1");
    REQUIRE(told);
    CHECK(told->severity == Severity::warning);
    CHECK(told->requirement == "have a maximum-series-fuse of 15 A or more");
}

TEST_CASE("panels straight on a pack are an error, behind a charger or with a common minus they are none") {
    const auto straight = [](const std::string& plus) {
        return with_charger("15..100 V",
                            panel("V1", 24, 9) + plus + "route V1.- (W11 6 mm2, 3 m, black) B1.-\n");
    };
    const Results results = check_text(straight("route V1.+ (W10 6 mm2, 3 m, red) F1.out\n"));
    const Finding* told = finding_of(results, "panel-on-pack", "V1");
    REQUIRE(told);
    CHECK(told->severity == Severity::error);
    CHECK(says(straight("diode D9 { 20 A, 100 V, drop 0.5 V }\nroute V1.+ (W10 6 mm2, 3 m, red) D9 (W12 6 "
                        "mm2, 3 m, red) F1.out\n"),
               "panel-on-pack", "V1"));
    CHECK_FALSE(says(with_charger("15..100 V", two_in_series(24, 9)), "panel-on-pack"));
    CHECK_FALSE(says(straight("route V1.+ (W10 6 mm2, 3 m, red) G2.in+\nroute G2.in- (W13 6 mm2, 1 m, black) "
                              "B1.-\n"),
                     "panel-on-pack"));
}

TEST_CASE("a switch in either lead of panels has to break their open-circuit voltage") {
    const auto switched = [](const std::string& volts, bool in_plus) {
        return with_charger("15..100 V",
                            "switch S1 { " + volts + " V dc, carries 20 A, breaks 20 A at 120 V dc }\n" +
                                panel("V1", 24, 9) + panel("V2", 24, 9) +
                                "route V1.- (W11 6 mm2, 0.5 m) V2.+\n" +
                                (in_plus ? "route V1.+ (W10 6 mm2, 3 m, red) S1 (W13 6 mm2, 1 m, "
                                           "red) G2.in+\nroute V2.- (W12 6 mm2, 3 m, black) "
                                           "G2.in-\n"
                                         : "route V1.+ (W10 6 mm2, 3 m, red) G2.in+\nroute V2.- "
                                           "(W12 6 mm2, 3 m, black) S1 (W13 6 mm2, 1 m, black) "
                                           "G2.in-\n"));
    };
    for (const bool in_plus : {true, false}) {
        INFO(in_plus);
        CHECK_FALSE(says(switched("48.05", in_plus), "contact-voltage", "S1"));
        CHECK(says(switched("47.95", in_plus), "contact-voltage", "S1"));
    }
}

TEST_CASE("what a charger delivers in a mode is the same with panels on its input and without") {
    const auto given_A = [](const std::string& panels) {
        const Results results = check_text(with_charger("15..100 V", panels));
        for (const OperatingPoint& point : results.points)
            for (std::size_t i = 0; point.usable() && i < results.circuit.edges.size(); ++i)
                if (results.circuit.edges[i].role == EdgeRole::charger) return point.edge_A[i];
        FAIL("no charger");
        return 0.0;
    };
    const double alone_A = given_A("");
    CHECK(alone_A == Approx(42.0));
    CHECK(given_A(two_in_series(24, 9)) == alone_A);
}

}  // namespace panels_test
