// Packs in series, and side by side, that are not alike.
#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace unlike_packs_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two or three batteries in series, B1 lowest; `more` beside them.
std::string ferry(const std::vector<std::string>& packs, const std::string& more = {}) {
    std::string text =
        "loom 1\nharness \"Reed ferry\" { ambient 0..35 degC, insulation xlpe 105 degC }\n"
        "part cellar is pack { voltage 10.5..14.4 V, resistance 6..8 mohm, discharge 80 A, charge 20 A }\n"
        "part cells is pack { cell-resistance 1 mohm, cell-capacity 50 Ah, discharge 80 A, charge 20 A }\n"
        "fuse F1 { 50 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, rated-at 23 degC }\n"
        "switch S1 { 160 V dc, carries 100 A, makes 100 A, breaks 80 A at 160 V dc }\n"
        "busbar X1 { studs 6, carries 100 A }\nbusbar X2 { studs 6, carries 100 A }\n"
        "load M1 { 20 A, acts-as current }\n"
        "policy { voltage-drop 10 % }\n";
    for (std::size_t i = 0; i < packs.size(); ++i) text += fmt::format("pack B{} {}\n", i + 1, packs[i]);
    for (std::size_t i = 1; i < packs.size(); ++i)
        text += fmt::format("route B{}.+ (W5{} 16 mm2, 0.1 m) B{}.-\n", i, i, i + 1);
    return text +
           fmt::format(
               "route B{}.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.3 m, red) "
               "X1.1\n",
               packs.size()) +
           "route X2.1 (W4 16 mm2, 0.3 m, black) B1.-\n"
           "route X1.2 (W6 16 mm2, 0.3 m, red) M1 (W7 16 mm2, 0.3 m, black) X2.2\n" +
           more + "mode off { others at rest }\nmode on { S1 closed, others at rest }\n";
}
std::string holding(double charge_Ah) {
    return fmt::format("is cellar {{ capacity {} Ah }}", charge_Ah);
}
std::string of_cells(const std::string& series, const std::string& volts) {
    return "is cells { cells " + series + ", cell-voltage " + volts + " V }";
}

std::optional<Severity> gravest(const std::string& text, std::string_view subject) {
    return gravest_of(check_text(text), "unlike-packs", subject);
}
std::size_t count(const std::string& text) {
    std::size_t told = 0;
    for (const Finding& finding : check_text(text).findings) told += finding.rule == "unlike-packs";
    return told;
}

}  // namespace

TEST_CASE("the smaller of two packs in series is told, whichever lies above") {
    const Told small = told(ferry({holding(110), holding(40)}), "unlike-packs", "B2");
    REQUIRE(small);
    CHECK(small.finding->severity == Severity::warning);
    CHECK(small.finding->message == "pack B2 holds less than what it lies in series with");
    CHECK(small.finding->beside == "40 Ah in series with 110 Ah");
    CHECK(figure(*small.finding, "capacity") == Approx(40));
    CHECK(figure(*small.finding, "other") == Approx(110));
    CHECK(gravest(ferry({holding(40), holding(110)}), "B1") == Severity::warning);
    CHECK(count(ferry({holding(40), holding(110)})) == 1);
    CHECK(count(ferry({holding(110), holding(110)})) == 0);
}

TEST_CASE("packs in series may differ by a tenth of what the largest holds") {
    CHECK(count(ferry({holding(100), holding(90.1)})) == 0);
    CHECK(count(ferry({holding(100), holding(89.9)})) == 1);
    // Each against the largest of the string, and not only against its neighbour.
    const std::string three = ferry({holding(100), holding(94), holding(89.9)});
    CHECK(gravest(three, "B3") == Severity::warning);
    CHECK(count(three) == 1);
}

TEST_CASE("packs side by side in a string hold what they hold together") {
    const std::string beside =
        "pack B8 is cellar { capacity 50 Ah }\nroute B8.+ (W80 16 mm2, 0.1 m) B1.+\n"
        "route B8.- (W81 16 mm2, 0.1 m) B1.-\n";
    CHECK(count(ferry({holding(50), holding(100)}, beside)) == 0);
    CHECK(gravest(ferry({holding(50), holding(50)}, beside), "B2") == Severity::warning);
}

TEST_CASE("a capacity that nobody knows is asked for, and one that both have from one type is not compared") {
    const Results open = check_text(ferry({holding(110), "is cellar { capacity unknown }"}));
    const Finding* missing = finding_of(open, "missing-data", "B2");
    REQUIRE(missing);
    CHECK(missing->severity == Severity::warning);
    CHECK(missing->working.front() == "not judged without it: how long anything lasts, unlike-packs");
    // An estimate is judged at the end that hurts: 0.75 x 100 Ah.
    CHECK(count(ferry({holding(100), "is cellar { capacity about 100 Ah }"})) == 1);
    CHECK(count(ferry({"is cellar { capacity about 100 Ah }", "is cellar { capacity about 100 Ah }"})) == 0);
    CHECK(count(ferry({holding(100), "is cellar { capacity 89.9..120 Ah }"})) == 1);
}

TEST_CASE("other cells in a string are told by the voltage of a full one") {
    const std::string alike = ferry({of_cells("4s2p", "2.5..3.65"), of_cells("4s2p", "2.5..3.65")});
    CHECK(count(alike) == 0);
    const Told other =
        told(ferry({of_cells("4s2p", "3.0..4.2"), of_cells("4s2p", "2.5..3.65")}), "unlike-packs", "B2");
    REQUIRE(other);
    CHECK(other.finding->severity == Severity::warning);
    CHECK(other.finding->message == "pack B2 has other cells than what it lies in series with");
    CHECK(count(ferry({of_cells("4s2p", "3.0..4.2"), of_cells("4s2p", "3.0..4.001")})) == 0);
    CHECK(count(ferry({of_cells("4s2p", "3.0..4.2"), of_cells("4s2p", "3.0..3.999")})) == 1);
    // More cells of the same kind are no other cells.
    CHECK(count(ferry({of_cells("8s2p", "2.5..3.65"), of_cells("4s2p", "2.5..3.65")})) == 0);
}

TEST_CASE("packs that do not state their cells are told apart by how far they go down") {
    const auto range = [](const std::string& volts) {
        return "is cellar { capacity 90 Ah, voltage " + volts + " V }";
    };
    const Told other = told(ferry({range("11.6..14.5"), range("10..14.6")}), "unlike-packs", "B2");
    REQUIRE(other);
    CHECK(other.finding->severity == Severity::warning);
    CHECK(other.finding->beside == "10 V to 14.6 V in series with 11.6 V to 14.5 V");
    // 0.8 / 0.7619 = 1.05: a thousandth of the volts to either side.
    CHECK(count(ferry({range("12..15"), range("11.44..15")})) == 0);
    CHECK(count(ferry({range("12..15"), range("11.42..15")})) == 1);
    // Twice the cells of the same kind.
    CHECK(count(ferry({range("11.6..14.5"), range("23.2..29")})) == 0);
    // One by its cells, the other by its poles: 2.5 / 3.65 = 0.68.
    const std::string cells = "is cells { cells 4s2p, cell-capacity 45 Ah, cell-voltage 2.5..3.65 V }";
    CHECK(gravest(ferry({range("11.6..14.5"), cells}), "B2") == Severity::warning);
    CHECK(gravest(ferry({cells, range("11.6..14.5")}), "B1") == Severity::warning);
    // What nobody knows is asked for.
    const Results open =
        check_text(ferry({range("11.6..14.5"), "is cellar { capacity 90 Ah, voltage unknown V }"}));
    CHECK(finding_of(open, "missing-data", "B2"));
}

TEST_CASE("other cells side by side share unevenly, which is a note") {
    const std::string beside =
        "pack B8 is cells { cells 15s2p, cell-voltage 2.6..3.65 V }\n"
        "fuse F8 { 50 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, rated-at 23 degC }\n"
        "route B8.+ (W80 16 mm2, 0.1 m, red) F8 (W81 16 mm2, 0.1 m, red) X1.3\n"
        "route B8.- (W82 16 mm2, 0.1 m, black) X2.3\n";
    CHECK(gravest(ferry({of_cells("13s2p", "3.0..4.2")}, beside), "B8") == Severity::note);
    CHECK(count(ferry({of_cells("15s2p", "2.6..3.65")}, beside)) == 0);
}

TEST_CASE("what one management watches or a converter levels is a note") {
    const std::string watched =
        replaced(ferry({holding(110), holding(40)},
                       "bms Q1 { side low, ports common, discharge 80 A, charge 20 A, trips 120 A after 1 s, "
                       "resistance 1 "
                       "mohm }\n"),
                 "route X2.1 (W4 16 mm2, 0.3 m, black) B1.-",
                 "route X2.1 (W4 16 mm2, 0.3 m, black) Q1.P->B- (W8 16 mm2, 0.1 m, black) B1.-");
    CHECK(gravest(watched, "B2") == Severity::note);
    const std::string levelled =
        ferry({holding(110), holding(40)},
              "converter D1 { input 20..30 V, output 13.8 V 10 A, efficiency 90 %, negative common, reverse "
              "blocked }\n"
              "fuse F8 { 15 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, rated-at 23 degC }\n"
              "route X1.3 (W80 4 mm2, 0.3 m, red) D1.in+\nroute D1.in- (W81 4 mm2, 0.3 m, black) X2.3\n"
              "route D1.out+ (W82 4 mm2, 0.3 m, red) F8 (W83 4 mm2, 0.3 m, red) B1.+\n");
    CHECK(gravest(levelled, "B2") == Severity::note);
    // A converter that feeds something else levels nothing.
    const std::string feeding =
        ferry({holding(110), holding(40)},
              "converter D1 { input 20..30 V, output 13.8 V 10 A, efficiency 90 %, negative common, reverse "
              "blocked }\n"
              "load E1 { 12 V, 2 A, acts-as current }\n"
              "route X1.3 (W80 4 mm2, 0.3 m, red) D1.in+\nroute D1.in- (W81 4 mm2, 0.3 m, black) X2.3\n"
              "route D1.out+ (W82 4 mm2, 0.3 m, red) E1 (W83 4 mm2, 0.3 m, black) X2.4\n");
    CHECK(gravest(feeding, "B2") == Severity::warning);
}

TEST_CASE("a motor between change-over contacts over the string hides neither packs nor what lies between") {
    const std::string reverser =
        "part side is relay { contacts change-over, 160 V dc, carries 80 A, makes 200 A, breaks 80 A at 160 "
        "V "
        "dc\n  coil 24 V 0.2 A, coil-works 18..31 V, suppression diode }\n"
        "relay K1 is side\nrelay K2 is side\n"
        "load M2 { 24 V, 5 A, acts-as current }\n"
        "converter D1 { input 20..30 V, output 24 V 10 A, efficiency 90 %, negative common, reverse blocked, "
        "spare out- }\n"
        "route X1.3 (W80 16 mm2, 0.3 m) K1.no\nroute X1.4 (W81 16 mm2, 0.3 m) K2.no\n"
        "route X2.3 (W82 16 mm2, 0.3 m) K1.nc\nroute X2.4 (W83 16 mm2, 0.3 m) K2.nc\n"
        "route K1.com (W84 16 mm2, 0.3 m) M2 (W85 16 mm2, 0.3 m) K2.com\n"
        "route X1.5 (W86 4 mm2, 0.3 m, red) D1.in+\nroute D1.in- (W87 4 mm2, 0.3 m, black) X2.5\n"
        "route D1.out+ (W88 4 mm2, 0.3 m, red) X1.6\n";
    CHECK(gravest(ferry({holding(110), holding(40)}, reverser), "B2") == Severity::warning);
}

}  // namespace unlike_packs_test
