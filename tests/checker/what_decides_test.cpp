// What is left open and yet decides nothing: a finding that holds whatever it is stays certain.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <algorithm>

#include "tests/checker/checking.hpp"

namespace what_decides_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A canoe's electric motor behind a plug; what is in braces is what a case varies.
struct Canoe {
    std::string ambient = "ambient 5..35 degC, ";
    std::string bms = "discharge 60 A, charge 20 A, trips 120 A after 100 ms";
    std::string fuse = "50 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5";
    std::string plug = "carries 50 A, 60 V, rated-at 40 degC, limit 105 degC";
    std::string leads = "10 mm2";
    std::string sounder = "1 mm2";
    std::string motor = "36 A";
    std::string switch_text = "32 V dc, carries 60 A, makes 200 A, breaks 60 A at 32 V dc";

    std::string text() const {
        return fmt::format(R"(loom 1
harness "Canoe" {{ {}insulation pvc 70 degC }}
pack B1 {{ voltage 10..14.6 V, resistance 8..16 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }}
bms Q1 {{ side low, ports common, {} }}
fuse F1 {{ {} }}
switch S1 {{ {} }}
connector J1 {{ mate P1, contacts + -, {} }}
load M1 "motor" {{ 12 V, {}, acts-as current, works 9..15 V }}
load E1 "sounder" {{ 12 V, 1 A, acts-as current, works 9..15 V }}
route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.2 m, red) S1 (W3 10 mm2, 0.2 m, red) X1
route X1 (W4 10 mm2, 0.2 m, red) J1.+
route J1.- (W5 10 mm2, 0.2 m, black) X2
route P1.+ (W6 {}, 1 m, red) M1 (W7 {}, 1 m, black) P1.-
route X1 (W8 {}, 1 m, red) E1 (W9 {}, 1 m, black) X2
route X2 (W10 10 mm2, 0.2 m, black) Q1.P-
route B1.- (W11 10 mm2, 0.2 m, black) Q1.B-
stud X1 {{ carries 100 A }}
stud X2 {{ carries 100 A }}
mode paddle {{ S1 closed, J1 mated }}
)",
                           ambient, bms, fuse, switch_text, plug, motor, leads, leads, sounder, sounder);
    }
};

// The same with its management in the plus.
std::string management_in_plus(const Canoe& canoe) {
    std::string text = canoe.text();
    const auto replace = [&](std::string_view instead_of, std::string_view by) {
        const std::size_t at = text.find(instead_of);
        REQUIRE(at != std::string::npos);
        text.replace(at, instead_of.size(), by);
    };
    replace("side low", "side high");
    replace("route B1.+ (W1", "route B1.+ (W11 10 mm2, 0.1 m, red) Q1.B+\nroute Q1.P+ (W1");
    replace("black) Q1.P-", "black) B1.-");
    replace("route B1.- (W11 10 mm2, 0.2 m, black) Q1.B-\n", "");
    return text;
}

bool hangs_on(const Finding& finding, std::string_view name) {
    return std::any_of(finding.hangs_on.begin(), finding.hangs_on.end(),
                       [&](const OpenCause& cause) { return cause.name == name; });
}

Finding told(const Results& results, std::string_view rule, std::string_view subject) {
    const Finding* finding = finding_of(results, rule, subject);
    INFO(rule << " " << subject);
    REQUIRE(finding);
    return *finding;
}

}  // namespace

TEST_CASE("what nobody knows of the print of a plug feeds nobody: an overloaded lead is certain") {
    const Canoe canoe{.plug = "carries 50 A, rated-at 40 degC, limit 105 degC", .leads = "1.5 mm2"};
    const Finding finding = told(check_text(canoe.text()), "overloaded-wire", "W6");
    CHECK(finding.severity == Severity::error);
    CHECK_FALSE(finding.possible);
    // What a load is made for does tell what it draws.
    const Canoe by_voltage{.leads = "1.5 mm2", .motor = "unknown A"};
    const Results open = check_text(by_voltage.text());
    const Finding* hidden = finding_of(open, "overloaded-wire", "W6");
    CHECK((!hidden || hidden->possible));
}

TEST_CASE("how a contact stands the heat can only lower what it carries") {
    for (const std::string plug :
         {"carries 30 A, 60 V", "carries 30 A, 60 V, rated-at 40 degC, limit 105 degC"}) {
        const Finding finding = told(check_text(Canoe{.plug = plug}.text()), "overloaded-contact", "J1.+");
        CHECK_FALSE(finding.possible);
    }
    CHECK_FALSE(
        finding_of(check_text(Canoe{.plug = "carries 40 A, 60 V"}.text()), "overloaded-contact", "J1.+"));
}

TEST_CASE("a switch of unknown rating clears no lead") {
    const Canoe canoe{.leads = "1.5 mm2", .switch_text = "32 V dc, makes 200 A, breaks 60 A at 32 V dc"};
    CHECK_FALSE(told(check_text(canoe.text()), "overloaded-wire", "W6").possible);
}

TEST_CASE(
    "a management of unknown trip passes what it is rated for, so that a hair wire is not guarded by it") {
    const Canoe unknown{.bms = "discharge 60 A, charge 20 A", .sounder = "0.5 mm2"};
    CHECK_FALSE(told(check_text(management_in_plus(unknown)), "oversized-fuse", "W8").possible);
}

TEST_CASE("no curve has a fuse open below its rated current") {
    const std::string no_curve = "50 A, 32 V dc, breaks 5 kA at 32 V dc";
    CHECK_FALSE(told(check_text(Canoe{.fuse = no_curve, .sounder = "1 mm2"}.text()), "oversized-fuse", "W8")
                    .possible);
    // 1.45 times what 6 mm2 carries is above 50 A and below 1.6 x 50 A.
    const Finding finding =
        told(check_text(Canoe{.fuse = no_curve, .sounder = "6 mm2"}.text()), "oversized-fuse", "W8");
    CHECK(finding.possible);
    CHECK(hangs_on(finding, "curve"));
}

TEST_CASE("what holds from -20 to 50 degC does not hang on an ambient that nobody knows") {
    // 1.5 mm2 carries 21 A at 20 degC and 32 A at -20 degC; 2.5 mm2 27 A and 43 A.
    const Finding cold_too =
        told(check_text(Canoe{.ambient = "", .leads = "1.5 mm2"}.text()), "overloaded-wire", "W6");
    CHECK_FALSE(cold_too.possible);
    const Finding in_heat =
        told(check_text(Canoe{.ambient = "", .leads = "4 mm2"}.text()), "overloaded-wire", "W6");
    CHECK(in_heat.possible);
    CHECK(hangs_on(in_heat, "ambient"));
}

TEST_CASE("of several fuses of unknown curve those are named that the finding speaks of") {
    Canoe canoe{.fuse = "50 A, 32 V dc, breaks 5 kA at 32 V dc", .sounder = "6 mm2"};
    const std::string text =
        canoe.text() +
        "fuse F2 { 5 A, 32 V dc, breaks 5 kA at 32 V dc }\n"
        "load E2 { 12 V, 1 A, acts-as current, works 9..15 V }\n"
        "route B1.+ (W20 1 mm2, 0.1 m, red) F2 (W21 1 mm2, 1 m, red) E2 (W22 1 mm2, 1 m, black) B1.-\n";
    const Finding finding = told(check_text(text), "oversized-fuse", "W8");
    const auto curve_of = [&](std::string_view subject) {
        return std::any_of(finding.hangs_on.begin(), finding.hangs_on.end(), [&](const OpenCause& cause) {
            return cause.name == "curve" && cause.subject == subject;
        });
    };
    CHECK(curve_of("F1"));
    CHECK_FALSE(curve_of("F2"));
}

TEST_CASE("regeneration that nobody knows decides nothing in a mode in which the drive returns nothing") {
    const std::string cart = R"(loom 1
harness "Bed cart" { ambient 5..35 degC, insulation pvc 70 degC }
pack B1 { voltage 30..42 V, resistance 40..80 mohm, capacity 20 Ah, discharge 40 A, charge 10 A }
fuse F1 { 40 A, 58 V dc, breaks 2 kA at 58 V dc, curve iso8820-5 }
switch S1 { 60 V dc, carries 60 A, makes 2000 A, breaks 60 A at 60 V dc }
controller U1 { input 25..60 V, supply-limit 30 A, capacitance 10 uF, phase-peak 40 A, spare U V W }
route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.2 m, red) S1 (W3 1.5 mm2, 1 m, red) U1.+
route U1.- (W4 10 mm2, 1 m, black) B1.-
mode drive { S1 closed, U1 draws limit }
)";
    const Finding driving = told(check_text(cart), "overloaded-wire", "W3");
    CHECK_FALSE(driving.possible);
    CHECK_FALSE(hangs_on(driving, "regen"));
}

}  // namespace what_decides_test
