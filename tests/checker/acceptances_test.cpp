// Findings that the file accepts in one mode alone.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace acceptances_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A plug of 30 A per contact, at its rated temperature: creeping and hauling draw what is said.
Results plug(double creeps_A, double hauls_A, const std::string& accepted) {
    return check_text(
        fmt::format(
            "loom 1\nharness \"quarry cart\" {{ ambient 0..30 degC, insulation xlpe 90 degC }}\n"
            "pack B1 {{ voltage 40..54.6 V, resistance 20..30 mohm, capacity 60 Ah, discharge 100 A, "
            "charge 20 A }}\n"
            "fuse F1 {{ 80 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}\n"
            "switch S1 {{ 80 V dc, carries 120 A, makes 400 A, breaks 100 A at 60 V dc }}\n"
            "connector J1 {{ mate P1, half socket, contacts + -, carries 30 A, 100 V, takes 10..25 mm2\n"
            "  rated-at 30 degC, limit 105 degC }}\n"
            "load M1 {{ 48 V, 60 A, acts-as current, works 30..60 V }}\n"
            "route B1.+ (W1 25 mm2, 0.12 m, red) F1 (W2 25 mm2, 0.2 m, red) S1 (W3 25 mm2, 0.5 m, red) "
            "J1.+ (W4 25 mm2, 0.5 m, red) M1.+\n"
            "route M1.- (W5 25 mm2, 0.5 m, black) P1.- (W6 25 mm2, 0.5 m, black) B1.-\n"
            "mode off {{ others at rest }}\nmode creep {{ S1 closed, M1 draws {} A }}\n"
            "mode haul {{ S1 closed, M1 draws {} A }}\n",
            creeps_A, hauls_A) +
        accepted);
}
std::string accept(const std::string& mode) {
    std::string text;
    for (const char* contact : {"J1.+", "J1.-"})
        text += fmt::format("accept overloaded-contact on {} {} because \"felt by hand\"\n", contact, mode);
    return text;
}
std::vector<std::string> errors(const Results& results) {
    return found(results, Severity::error);
}
const std::vector<std::string> both{"overloaded-contact J1.+", "overloaded-contact J1.-"};

bool unused(const Results& results) {
    return std::any_of(results.findings.begin(), results.findings.end(),
                       [](const Finding& finding) { return finding.rule == "unused-acceptance"; });
}

}  // namespace

TEST_CASE("what is accepted in one mode is used though another mode is worse, and covers no other") {
    const Results results = plug(33, 58, accept("in creep"));
    CHECK(errors(results) == both);
    CHECK_FALSE(unused(results));
}

TEST_CASE("an acceptance in a mode in which nothing is found is unused, whatever others have") {
    CHECK(unused(plug(29.9, 58, accept("in creep"))));
    CHECK_FALSE(unused(plug(30.1, 58, accept("in creep"))));
    CHECK(unused(plug(29, 29, accept("in creep"))));
}

TEST_CASE("where the worst mode is accepted, what another mode has too is still told") {
    const Results hidden = plug(33, 58, accept("in haul"));
    CHECK(errors(hidden) == both);
    for (const Finding& finding : hidden.findings)
        if (finding.rule == "overloaded-contact" && !finding.accepted)
            CHECK(hidden.harness->modes[finding.mode.index()].name == "creep");
    CHECK(errors(plug(29.9, 58, accept("in haul"))).empty());
    CHECK(errors(plug(33, 58, accept("in haul") + accept("in creep"))).empty());
    CHECK(errors(plug(33, 58, accept(""))).empty());
}

TEST_CASE("a finding that says more than what is accepted of it is told") {
    // 34 A in the worst mode; what it may carry is below that.
    const auto told = [](const std::string& amount) {
        return !errors(plug(20, 34, accept("up to " + amount))).empty();
    };
    CHECK_FALSE(told("34.01 A"));
    CHECK(told("33.9 A"));
    CHECK(unused(plug(20, 34, accept("up to 33.9 A"))));
    // It says nothing in volts.
    CHECK(told("90 V"));
}

TEST_CASE("a contact is accepted by its name on either half, and no other contact with it") {
    const auto accepting = [](const std::string& contact) {
        return errors(
            plug(20, 34, "accept overloaded-contact on " + contact + " because \"felt by hand\"\n"));
    };
    CHECK(accepting("P1.+") == std::vector<std::string>{"overloaded-contact J1.-"});
    CHECK(accepting("J1.+") == std::vector<std::string>{"overloaded-contact J1.-"});
    CHECK(accepting("P1.-") == std::vector<std::string>{"overloaded-contact J1.+"});
    CHECK(accepting("J1").empty());  // all of its contacts
}

TEST_CASE("another rule of the same part is not accepted with it") {
    const Results results =
        plug(20, 34, "accept contact-voltage on J1.+ because \"seen\"\n" + accept("in haul"));
    CHECK(errors(results).empty());
    CHECK(unused(results));
}

}  // namespace acceptances_test
