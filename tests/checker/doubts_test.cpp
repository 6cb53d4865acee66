// What the text says is in doubt reaches the findings and the list of what to find out.
#include <catch2/catch.hpp>

#include "checker/find_out.hpp"
#include "tests/checker/checking.hpp"

namespace doubts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Results winch(const std::string& pack, const std::string& wire, const std::string& more = {}) {
    return check_text(
        "loom 1\nharness \"well winch\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 11..14 V, resistance 20..30 mohm, capacity 10 Ah, discharge 20 A, charge 5 A" +
        pack +
        " }\nfuse F1 { 5 A, 58 V dc, breaks 2 kA at 58 V dc, curve iso8820-3 }\n"
        "switch S1 { 32 V dc, carries 10 A, breaks 10 A at 32 V dc }\nload E1 { 12 V, 5 W, works 9..16 V }\n"
        "route B1.+ (W1 1.5 mm2, 0.1 m, red" +
        wire +
        ") F1 (W2 1 mm2, 0.5 m, red) S1 (W3 1 mm2, 0.5 m, red) E1 (W4 1 mm2, 0.5 m, black) B1.-\n"
        "mode lit { S1 closed }\n" +
        more);
}

std::vector<std::string> doubts(const Results& results) {
    std::vector<std::string> list;
    for (const Finding& finding : results.findings) {
        if (finding.rule != "doubt") continue;
        CHECK(finding.severity == Severity::note);
        CHECK(finding.where.valid());
        list.push_back((finding.accepted ? "accepted: " : "") + finding.message);
    }
    std::sort(list.begin(), list.end());
    return list;
}

using Lines = std::vector<std::string>;
const std::string amperes = ", doubt \"the text says 20 A, the drawing 60 A\"";
const std::string size = ", doubt \"1.5 or 2.5 mm2\"";

}  // namespace

TEST_CASE("a doubt is a note at its place, each one of its own") {
    CHECK(doubts(winch("", "")).empty());
    CHECK(doubts(winch(amperes, size)) == Lines{"pack B1 is in doubt: the text says 20 A, the drawing 60 A",
                                                "wire W1 is in doubt: 1.5 or 2.5 mm2"});
    CHECK(doubts(winch(amperes + ", doubt \"or 12s\"", "")).size() == 2);
    CHECK(doubts(
              winch("", ", in L1", "bundle L1 { wrap taped, length 0.1 m, doubt \"taped or sleeved\" }\n")) ==
          Lines{"bundle L1 is in doubt: taped or sleeved"});
}

TEST_CASE("what a cable says is told once for all its cores, and an accepted doubt is accepted") {
    CHECK(doubts(winch("", "",
                       "cable C1 { cores brown blue, 1 mm2, 1 m, doubt \"maybe aluminium\" }\n"
                       "load E2 { 12 V, 5 W }\nroute S1.out (C1.brown) E2 (C1.blue) B1.-\n"))
              .size() == 1);
    CHECK(doubts(winch(amperes, "", "accept doubt on B1 because \"measured\"\n")) ==
          Lines{"accepted: pack B1 is in doubt: the text says 20 A, the drawing 60 A"});
}

TEST_CASE("a doubt changes no other finding and stands among what to find out") {
    const Results plain = winch("", ""), doubtful = winch(amperes, size);
    for (const Severity severity : {Severity::error, Severity::warning})
        CHECK(found(plain, severity) == found(doubtful, severity));
    const std::vector<ToFindOut> list = what_to_find_out(doubtful);
    const auto row = std::find_if(list.begin(), list.end(),
                                  [](const ToFindOut& each) { return each.first.name == "doubt"; });
    REQUIRE(row != list.end());
    CHECK(row->of == Lines{"B1 (the text says 20 A, the drawing 60 A)", "W1 (1.5 or 2.5 mm2)"});
}

}  // namespace doubts_test
