// What charges a pack with too much, or past its battery management.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace charging_ways_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// The example hoist with more in it: 13 cells in series, full at 13 x 4.2 V = 54.6 V.
Results with(const std::string& more, std::string_view from = "", std::string_view to = "") {
    std::string text = replaced(std::string(example_harness), "splice X1\n", "splice X1\n" + more);
    if (!from.empty()) text = replaced(text, from, to);
    return check_text(text);
}

std::vector<const Finding*> of_rule(const Results& results, std::string_view rule) {
    std::vector<const Finding*> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule) list.push_back(&finding);
    return list;
}

std::string path_of(const Finding& finding) {
    std::string path;
    for (const Step& step : finding.witness) path += (path.empty() ? "" : " > ") + step.name;
    return path;
}

std::string charger(const std::string& output, const std::string& minus) {
    return "charger G9 { output " + output +
           " 5 A, reverse blocked }\n"
           "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
           "route F1.out (direct) F9 (W30 2.5 mm2, 0.5 m, red) G9 (W31 2.5 mm2, 0.5 m, black) " +
           minus + "\n";
}

constexpr std::string_view common =
    "side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s";
const std::string separate =
    "side low, ports separate, discharge 70 A, charge 20 A, charge-trips 30 A after 1 s, trips 120 A after 1 "
    "s";

}  // namespace

TEST_CASE("a charger for more cells than the pack has is an error, with the figures of both") {
    const Results results = with(charger("67.2 V", "Q1.P-"));
    const auto findings = of_rule(results, "charge-voltage");
    REQUIRE(findings.size() == 1);
    const Finding& finding = *findings.front();
    CHECK(finding.severity == Severity::error);
    CHECK(finding.subject == "G9");
    CHECK(finding.beside == "67.2 V; B1 is full at 54.6 V");
    CHECK(finding.working == std::vector<std::string>{"67.2 V > 54.9 V = 1.005 x 54.6 V"});
    CHECK(path_of(finding) == "G9.+ > W30 > F9 > F1 > W1 > B1 > W5 > Q1 > W31 > G9.-");
    CHECK(finding.help == "an output of 54.6 V or less, or a pack of more cells");
}

TEST_CASE("half a percent is a charger's own tolerance") {
    // 1.005 x 54.6 V = 54.873 V
    CHECK(of_rule(with(charger("54.87 V", "Q1.P-")), "charge-voltage").empty());
    CHECK(of_rule(with(charger("54.88 V", "Q1.P-")), "charge-voltage").size() == 1);
}

TEST_CASE("a charger across two packs in series is held to both, one across a half to that half") {
    const std::string halves =
        "pack B2 { voltage 20..27 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
        "pack B3 { voltage 20..27 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
        "stud X9\nroute B2.+ (W33 2.5 mm2, 0.1 m) X9\nroute X9 (W34 2.5 mm2, 0.1 m) B3.-\n";
    const auto across = [&](const char* output, const char* plus) {
        return with(halves + "charger G9 { output " + output + " 5 A, reverse blocked }\nroute " + plus +
                    " (W35 2.5 mm2, 0.1 m) G9 (W36 2.5 mm2, 0.1 m) B2.-\n");
    };
    CHECK(of_rule(across("54 V", "B3.+"), "charge-voltage").empty());
    CHECK(of_rule(across("27 V", "X9"), "charge-voltage").empty());
    const Results wrong = across("54 V", "X9");
    REQUIRE(of_rule(wrong, "charge-voltage").size() == 1);
    CHECK(of_rule(wrong, "charge-voltage").front()->beside == "54 V; B2 is full at 27 V");
    REQUIRE(of_rule(across("55 V", "B3.+"), "charge-voltage").size() == 1);
}

TEST_CASE("a diode that blocks keeps a charger off a pack, one that passes does not") {
    const auto behind = [](const char* diode) {
        return with(
            "pack B2 { voltage 20..27 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
            "diode V9 { 20 A, 100 V, drop 0.7 V }\ncharger G9 { output 54.6 V 5 A, reverse blocked }\n"
            "stud X9\nroute G9.+ (W30 2.5 mm2, 0.5 m) X9\nroute X9 (W31 2.5 mm2, 0.5 m) " +
            std::string(diode) + " (W32 2.5 mm2, 0.1 m) B2.+\nroute B2.- (W33 2.5 mm2, 0.1 m) G9.-\n");
    };
    CHECK(of_rule(behind("V9"), "charge-voltage").size() == 1);
    CHECK(of_rule(behind("V9.K>A"), "charge-voltage").empty());
}

TEST_CASE("a charger on the battery side of the management cannot be stopped by it") {
    const Results results = with(charger("54.6 V", "B1.-"));
    const auto findings = of_rule(results, "past-bms");
    REQUIRE(findings.size() == 1);
    const Finding& finding = *findings.front();
    CHECK(finding.severity == Severity::error);
    CHECK(finding.subject == "G9");
    CHECK(finding.message == "charger G9 charges pack B1 past bms Q1");
    CHECK(finding.beside == "Q1 cannot stop it when a cell is full");
    CHECK(path_of(finding) == "G9.+ > W30 > F9 > F1 > W1 > B1 > W31 > G9.-");
    CHECK(finding.help == "join it to Q1.P-");
    CHECK(of_rule(with(charger("54.6 V", "Q1.P-")), "past-bms").empty());
}

TEST_CASE("with separate ports a charger on the port for discharge goes past the other one") {
    const Results wrong = with(charger("54.6 V", "Q1.P-"), common, separate + ", spare C-");
    REQUIRE(of_rule(wrong, "past-bms").size() == 1);
    CHECK(of_rule(wrong, "past-bms").front()->severity == Severity::error);
    CHECK(of_rule(wrong, "past-bms").front()->help == "join it to Q1.C-");
    CHECK(of_rule(wrong, "past-bms").front()->message ==
          "charger G9 charges pack B1 by the discharge port of bms Q1");
    CHECK(of_rule(with(charger("54.6 V", "Q1.C-"), common, separate), "past-bms").empty());
}

TEST_CASE(
    "a load on the battery side is a warning; what a controller gives back by the port for discharge a "
    "note") {
    const Results load =
        with("load H9 { 48 V, 10 W }\nroute F2.out (W30 1 mm2, 0.5 m) H9 (W31 1 mm2, 0.5 m) B1.-\n");
    REQUIRE(of_rule(load, "past-bms").size() == 1);
    CHECK(of_rule(load, "past-bms").front()->severity == Severity::warning);
    CHECK(of_rule(load, "past-bms").front()->message == "load H9 draws on pack B1 past bms Q1");
    CHECK(of_rule(load, "past-bms").front()->help == "join it to Q1.P-");
    std::string text = replaced(std::string(example_harness), "regen none", "regen 10 A");
    CHECK(of_rule(check_text(text), "past-bms").empty());
    const Results back = check_text(replaced(text, common, separate + ", spare C-"));
    REQUIRE(of_rule(back, "past-bms").size() == 1);
    CHECK(of_rule(back, "past-bms").front()->severity == Severity::note);
    CHECK(of_rule(back, "past-bms").front()->subject == "U1");
}

TEST_CASE("a second pack without a management beside one that has its own is left alone") {
    CHECK(of_rule(with("pack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, "
                       "charge 5 A }\n"
                       "fuse F9 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                       "route B2.+ (W30 10 mm2, 0.1 m, red) F9 (W31 10 mm2, 0.8 m, red) F1.out\n"
                       "route B2.- (W32 10 mm2, 0.8 m, black) Q1.P-\n"),
                  "past-bms")
              .empty());
}

TEST_CASE(
    "a load behind a converter of common minus that returns before the management is not cut off by it") {
    const auto cooler = [](const std::string& negative, const std::string& home) {
        return with(
            "converter D9 { input 36..60 V, output 12.5 V 20 A, efficiency 90 %, negative " + negative +
            ", reverse blocked }\nfuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
            "load E9 { 12 V, 10 A, acts-as current }\n"
            "route F1.out (direct) F9 (W30 2.5 mm2, 0.5 m, red) D9.in+\n"
            "route D9.in- (W31 4 mm2, 0.5 m, black) Q1.P-\n"
            "route D9.out+ (W32 4 mm2, 0.5 m, red) E9 (W33 4 mm2, 0.5 m, black) " +
            home + "\n");
    };
    const Results past = cooler("common, spare out-", "Q1.B-");
    REQUIRE(of_rule(past, "past-bms").size() == 1);
    const Finding& finding = *of_rule(past, "past-bms").front();
    CHECK(finding.message == "load E9 draws on pack B1 past bms Q1");
    CHECK(path_of(finding) == "E9.- > W33 > W5 > B1 > W1 > F1 > F9 > W30 > D9 > W32 > E9.+");
    CHECK(of_rule(cooler("common, spare out-", "Q1.P-"), "past-bms").empty());
    CHECK(of_rule(cooler("isolated", "D9.out-"), "past-bms").empty());
}

}  // namespace charging_ways_test
