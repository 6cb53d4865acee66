// Returns side by side, and returns that end on the post of the pack beside a charger's.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace returns_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::vector<std::string> errors(const std::string& routes, const std::string& parts = "") {
    return found(
        check_text("loom 1\nharness \"feed mixer\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
                   "pack B1 { voltage 40..54.6 V, resistance 10..15 mohm, capacity 120 Ah, discharge 100 A, "
                   "charge 30 A }\n"
                   "fuse F1 { 40 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
                   "switch S1 { 80 V dc, carries 80 A, makes 300 A, breaks 80 A at 60 V dc }\n"
                   "load M1 { 48 V, 20 A, acts-as current, works 30..60 V }\n" +
                   parts +
                   "route B1.+ (W1 16 mm2, 0.12 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.3 "
                   "m, red) M1.+\n" +
                   routes + "mode off { others at rest }\nmode mix { S1 closed, others at rest }\n"),
        Severity::error);
}

// Two ways home from X3 to the pack, the first over a stud.
std::string two_ways(const std::string& thin) {
    return "busbar X3 { studs 3, carries 80 A }\nstud X4\n"
           "route M1.- (W9 16 mm2, 0.3 m, black) X3.1\n"
           "route X3.2 (W10 " +
           thin +
           ", 0.6 m, black) X4 (W11 16 mm2, 0.6 m, black) B1.-\n"
           "route X3.3 (W12 16 mm2, 0.6 m, black) B1.-\n";
}

// A horn behind a fuse of 3 A and a charger, both of whose returns end on the pack's post.
std::string on_the_post(const std::string& horn, const std::string& fuse) {
    return "route M1.- (W9 16 mm2, 0.3 m, black) B1.-\n"
           "charger G1 { output 54.6 V 15 A, reverse blocked }\n"
           "fuse F3 { 30 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
           "load E1 { 48 V, 0.5 A, acts-as current, works 30..60 V }\nfuse F2 { " +
           fuse +
           ", 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }\n"
           "switch S2 { 60 V dc, carries 30 A, breaks 2 A at 60 V dc }\n"
           "route B1.+ (W20 10 mm2, 0.12 m, red) F3 (W21 10 mm2, 0.5 m, red) G1 (W22 10 mm2, 0.5 m, black) "
           "B1.-\n"
           "route B1.+ (W23 " +
           horn + ", 0.12 m, red) F2 (W24 " + horn + ", 0.3 m, red) S2 (W25 " + horn +
           ", 0.5 m, red) E1 (W26 " + horn + ", 0.5 m, black) B1.-\n";
}

}  // namespace

TEST_CASE("two returns of one load are guarded by its fuse, whichever way has a stud on it") {
    CHECK(errors(two_ways("16 mm2")).empty());
    CHECK(errors(two_ways("10 mm2")).empty());
    // Either may be loose: the other then carries all that the fuse lets pass.
    CHECK(errors(two_ways("1.5 mm2")) == std::vector<std::string>{"oversized-fuse W10"});
}

TEST_CASE("a charger with leads of its own adds nothing to the lead of what it cannot reach") {
    // The load and its lamp come home over W9: 40 A fuse; the charger over W22, from its own fuse.
    const std::string text =
        "charger G1 { output 54.6 V 15 A, reverse blocked }\n"
        "fuse F3 { 30 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
        "fuse F2 { 2 A, 125 V dc, breaks 6 kA at 125 V dc, curve ul248-14 }\n"
        "load E1 { 48 V, 0.5 A, acts-as current, works 30..60 V }\n"
        "route S1.out (W20 1 mm2, 0.1 m) F2 (W21 1 mm2, 1 m) E1 (W23 1 mm2, 1 m) M1.-\n"
        "route B1.+ (direct) F3 (W22 6 mm2, 0.5 m) G1 (W24 6 mm2, 0.5 m) B1.-\n";
    CHECK(errors("route M1.- (W9 6 mm2, 0.6 m, black) B1.-\n" + text).empty());
    // What its own fuse lets pass is too much for a thinner one all the same.
    CHECK(errors("route M1.- (W9 2.5 mm2, 0.6 m, black) B1.-\n" + text) ==
          std::vector<std::string>{"oversized-fuse W9"});
}

TEST_CASE("a lead of one small load from the pack's post carries what its own fuse lets pass") {
    CHECK(errors(on_the_post("1.5 mm2", "3 A")).empty());
    // One finding for all that the fuse does not guard, the return among it.
    const auto large = errors(on_the_post("1.5 mm2", "30 A"));
    CHECK(std::any_of(large.begin(), large.end(),
                      [](const std::string& each) { return each.starts_with("oversized-fuse W2"); }));
}

}  // namespace returns_test
