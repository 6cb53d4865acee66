// Of the copies of an assembly the worst is told, and a certain error before a possible one; parts of one
// type are told apart where they ask for different things.
#include "tests/checker/told.hpp"

namespace copies_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two copies of a branch with a switch of 20 A, each with a load of its own.
std::string branches(const std::string& first, const std::string& second, const std::string& part) {
    return "loom 1\nharness \"Drying shed\" { ambient 10..30 degC, insulation pvc 70 degC }\n"
           "pack B1 { voltage 22..29 V, resistance 10..16 mohm, capacity 200 Ah, discharge 200 A, charge 40 "
           "A }\n"
           "fuse F1 { 100 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
           "switch S9 { 80 V dc, carries 200 A, makes 200 A, breaks 200 A at 80 V dc }\nstud X1\nstud X2\n"
           "part branch is assembly {\n  port feed\n  port back\n  fuse F1 { 50 A, 80 V dc, breaks 6 kA at 80 V "
           "dc, curve iso8820-5 }\n  " +
           part +
           "\n  route feed (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.3 m) S1 (W3 10 mm2, 0.3 m) back\n}\n"
           "assembly T1 is branch\nassembly T2 is branch\n"
           "load E1 { 24 V, " +
           first + ", acts-as current, works 18..32 V }\nload E2 { 24 V, " + second +
           ", acts-as current, works 18..32 V }\n"
           "route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.3 m) S9 (W3 35 mm2, 0.3 m) X1\n"
           "route X1 (W4 10 mm2, 0.1 m) T1.feed\nroute X1 (W5 10 mm2, 0.1 m) T2.feed\n"
           "route T1.back (W6 10 mm2, 0.3 m) E1 (W7 10 mm2, 0.3 m) X2\n"
           "route T2.back (W8 10 mm2, 0.3 m) E2 (W9 10 mm2, 0.3 m) X2\nroute B1.- (W10 35 mm2, 0.3 m) X2\n"
           "mode off { others at rest }\nmode on { others at rest, S9 T1.S1 T2.S1 closed, E1 E2 on }\n";
}
const std::string rated = "switch S1 { 80 V dc, carries 20 A, makes 60 A, breaks 60 A at 80 V dc }";

}  // namespace

TEST_CASE("of two copies the worse one is told, and names the other") {
    for (const bool first_is_worse : {true, false}) {
        const Results results =
            check_text(branches(first_is_worse ? "38 A" : "22 A", first_is_worse ? "22 A" : "38 A", rated));
        const std::string worse = first_is_worse ? "T1.S1" : "T2.S1",
                          milder = first_is_worse ? "T2.S1" : "T1.S1";
        const Finding* told = finding_of(results, "overloaded-contact", worse);
        REQUIRE(told);
        CHECK(told->copies == 2);
        CHECK(told->working.back() == "the worst of its copies; the same, but milder: " + milder);
        REQUIRE(told->cures.size() == 1);
        CHECK(told->cures.front().value >= 38);
        CHECK_FALSE(finding_of(results, "overloaded-contact", milder));
    }
}

TEST_CASE("a certain error of the second copy stands before a possible one of the first") {
    const Results results = check_text(branches("unknown A", "24 A", rated));
    const Finding* told = finding_of(results, "overloaded-contact", "T2.S1");
    REQUIRE(told);
    CHECK_FALSE(told->possible);
}

TEST_CASE("copies that say the same are told once, without a word of which is worse") {
    const Results results = check_text(branches("30 A", "30 A", rated));
    const Finding* told = finding_of(results, "overloaded-contact", "T1.S1");
    REQUIRE(told);
    CHECK(told->copies == 2);
    CHECK(told->working.back().find("milder") == std::string::npos);
}

TEST_CASE("two switches of one type that does not say what it carries ask for what each has to") {
    const Results results = check_text(
        "loom 1\nharness \"Drying shed\" { ambient 10..30 degC, insulation pvc 70 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 10..16 mohm, capacity 200 Ah, discharge 200 A, charge 40 A "
        "}\n"
        "part toggle is switch { 80 V dc, carries unknown, breaks unknown }\n"
        "fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 is toggle\nswitch S2 is toggle\nstud X1\nstud X2\n"
        "load E1 { 24 V, 1 A, acts-as current, works 18..32 V }\n"
        "load E2 { 24 V, 40 A, acts-as current, works 18..32 V }\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) X1\nroute B1.- (W3 16 mm2, 0.3 m) X2\n"
        "route X1 (W4 16 mm2, 0.3 m) S1 (W5 16 mm2, 0.3 m) E1 (W6 16 mm2, 0.3 m) X2\n"
        "route X1 (W7 16 mm2, 0.3 m) S2 (W8 16 mm2, 0.3 m) E2 (W9 16 mm2, 0.3 m) X2\n"
        "mode on { S1 S2 closed, E1 E2 on }\n");
    std::vector<std::string> carry;
    for (const Finding& finding : results.findings)
        if (finding.rule == "missing-data" && finding.requirement.starts_with("carry"))
            carry.push_back(finding.subject + " " + finding.requirement);
    CHECK(carry == std::vector<std::string>{"S1 carry 1 A", "S2 carry 40 A"});
}

TEST_CASE("what a plug or a starter's switch has to carry is what it then passes with") {
    const auto starter = [](const std::string& carries) {
        return check_text(
            "loom 1\nharness \"Stone saw\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 22..29 V, resistance 5..8 mohm, capacity 100 Ah, discharge 100 A, peak 400 A "
            "for 10 s, "
            "charge 40 A }\n"
            "fuse F1 { 100 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
            "connector J1 { mate P1, half socket, contacts 1, carries " +
            carries +
            ", 100 V, takes 25..50 mm2, rated-at 30 degC, limit 105 degC }\n"
            "switch S1 { 80 V dc, carries 200 A, makes 400 A, breaks 400 A at 80 V dc }\n"
            "load E1 { 24 V, 40 A, acts-as current, works 12..32 V }\n"
            "route B1.+ (W1 50 mm2, 0.1 m) F1 (W2 50 mm2, 0.3 m) J1.1\n"
            "route P1.1 (W3 50 mm2, 0.3 m) S1 (W4 50 mm2, 0.3 m) E1 (W5 50 mm2, 0.3 m) B1.-\n"
            "mode off { others at rest }\n"
            "mode saw { S1 closed, E1 draws 150 A for 5 s then 35 A for 10 min repeating }\n");
    };
    const Results open = starter("unknown");
    std::string asked;
    for (const Finding& finding : open.findings)
        if (finding.subject == "J1" && finding.requirement.starts_with("carry")) asked = finding.requirement;
    REQUIRE(asked.starts_with("carry "));
    const std::string figure = asked.substr(6, asked.find(" A") - 4);
    INFO(asked);
    CHECK_FALSE(finding_of(starter(figure), "overloaded-contact"));
    const double less_A = 0.97 * std::stod(figure);
    CHECK(finding_of(starter(std::to_string(less_A) + " A"), "overloaded-contact"));
}

}  // namespace copies_test
