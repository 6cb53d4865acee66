// Panels, and diodes between them, that lie against one another.
#include "tests/checker/told.hpp"

namespace opposed_panels_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string roof(const std::string& wiring, const std::string& more = {}) {
    std::string text = R"(loom 1
harness "Beehive van" { ambient 5..30 degC, insulation xlpe 90 degC }
pack B1 { voltage 11..14.4 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 60 A }
fuse F1 { 60 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }
charger G2 { output 14.2 V 20 A, reverse blocked, panel-input 15..150 V }
part lid is panel { open-circuit-voltage 24 V, short-circuit-current 6 A }
part block is diode { 10 A, 150 V, drop 0.5 V }
route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.5 m, red) G2.+
route G2.- (W3 16 mm2, 0.6 m, black) B1.-
)";
    for (int i = 1; i <= 4; ++i)
        if (const std::string name = "V" + std::to_string(i); wiring.find(name) != std::string::npos)
            text += "panel " + name + " is lid\n";
    int wire = 10;
    // "a b" by lines: a lead of 6 mm2 from a to b.
    std::size_t at = 0;
    while (at < wiring.size()) {
        const std::size_t blank = wiring.find(' ', at), end = wiring.find('\n', at);
        text += "route " + wiring.substr(at, blank - at) + " (W" + std::to_string(wire++) + " 6 mm2, 1 m) " +
                wiring.substr(blank + 1, end - blank - 1) + "\n";
        at = end + 1;
    }
    return text + more + "mode sunny { others at rest, G2 delivers 5 A }\n";
}
std::vector<std::string> opposed(const std::string& text) {
    std::vector<std::string> subjects;
    for (const Finding& finding : check_text(text).findings)
        if (finding.rule == "opposed-panels") {
            CHECK(finding.severity == Severity::error);
            subjects.push_back(finding.subject);
        }
    return subjects;
}
using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("of two panels against each other the one against the panel input is told") {
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\n")).empty());
    const Told turned = told(roof("V1.+ G2.in+\nV1.- V2.-\nV2.+ G2.in-\n"), "opposed-panels", "V2");
    REQUIRE(turned);
    CHECK(turned.finding->severity == Severity::error);
    CHECK(turned.finding->message == "panel V2 lies against panel V1 on the way to charger G2");
    CHECK(turned.finding->working.back() == "open circuit: 24 V (V1) - 24 V (V2)");
    CHECK(opposed(roof("V1.- G2.in+\nV1.+ V2.+\nV2.- G2.in-\n")) == Names{"V1"});
}

TEST_CASE("of three panels in line each that is turned round is told, beside a sound string too") {
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.-\nV2.+ V3.+\nV3.- G2.in-\n")) == Names{"V2"});
    CHECK(opposed(roof("V1.- G2.in+\nV1.+ V2.-\nV2.+ V3.+\nV3.- G2.in-\n")) == (Names{"V1", "V2"}));
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.-\nV2.+ G2.in-\nV3.+ G2.in+\nV3.- V4.+\nV4.- G2.in-\n")) ==
          Names{"V2"});
    CHECK(
        opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\nV3.+ G2.in+\nV3.- V4.+\nV4.- G2.in-\n")).empty());
}

TEST_CASE("panels the wrong way round at a panel input are told there, and once") {
    for (const char* wiring :
         {"V1.- G2.in+\nV1.+ G2.in-\n",                               // alone
          "V1.+ G2.in+\nV1.- G2.in-\nV2.- G2.in+\nV2.+ G2.in-\n"}) {  // beside a right one
        INFO(wiring);
        CHECK(opposed(roof(wiring)).empty());
        CHECK(told(roof(wiring), "panel-voltage", "G2"));
    }
}

TEST_CASE("a panel that another one, a diode or a wire shorts is told") {
    // V3 with its poles exchanged across the lower one of two.
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\nV3.- V2.+\nV3.+ V2.-\n")) == Names{"V2"});
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\nV3.+ V2.+\nV3.- V2.-\n")).empty());
    const std::string diode = "diode D1 is block\n";
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\nD1.A V2.-\nD1.K V2.+\n", diode)).empty());
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\nD1.K V2.-\nD1.A V2.+\n", diode)) == Names{"V2"});
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.+\nV2.- G2.in-\nV2.+ V2.-\n")) == Names{"V2"});
}

TEST_CASE("a blocking diode turned round lets nothing of its string pass") {
    const std::string diode = "diode D1 is block\n";
    CHECK(opposed(roof("V1.+ D1.A\nD1.K G2.in+\nV1.- G2.in-\n", diode)).empty());
    CHECK(opposed(roof("V1.+ D1.K\nD1.A G2.in+\nV1.- G2.in-\n", diode)) == Names{"D1"});
    // In the minus as well.
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- D1.K\nD1.A G2.in-\n", diode)).empty());
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- D1.A\nD1.K G2.in-\n", diode)) == Names{"D1"});
}

TEST_CASE("panels straight on a consumer, or in no loop, are judged alike") {
    const std::string pump = "load M1 { 40 V, 2 A, acts-as current }\n";
    CHECK(opposed(roof("V1.+ M1.+\nV1.- V2.+\nV2.- M1.-\n", pump)).empty());
    CHECK(opposed(roof("V1.+ M1.+\nV1.- V2.-\nV2.+ M1.-\n", pump)) == Names{"V2"});
    CHECK(opposed(roof("V1.+ G2.in+\nV1.- V2.-\n")).empty());
}

}  // namespace opposed_panels_test
