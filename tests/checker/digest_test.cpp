// What is to be done first: causes, and the step of switching on that each bars.
#include <fmt/format.h>
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "checker/answers/digest.hpp"
#include "tests/checker/checking.hpp"

namespace digest_test {

using namespace loomward;
using testing::check_text;

namespace {

// A pump behind a key switch, with a fuse of each sort that a test wants.
std::string pump(const std::string& main_fuse, const std::string& pump_switch, const std::string& more = {}) {
    return "loom 1\nharness \"sluice pump\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 40..54.6 V, resistance 20..30 mohm, capacity 40 Ah, discharge 60 A, charge 10 "
           "A }\n"
           "fuse F1 " +
           main_fuse +
           "\nswitch S1 { 80 V dc, carries 40 A, makes 100 A, breaks 60 A at 60 V dc }\nswitch S2 " +
           pump_switch +
           "\nload M1 { 48 V, 20 A, acts-as current, works 30..60 V }\n"
           "route B1.+ (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.2 m) S1 (W3 10 mm2, 0.2 m) S2 (W4 10 mm2, 0.2 m) "
           "M1 "
           "(W5 10 mm2, 0.3 m) B1.-\n" +
           more +
           "mode off { others at rest }\nmode ready { S1 closed, others at rest }\nmode run { S1 S2 closed, "
           "others at rest }\n";
}
const std::string good_fuse = "{ 40 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }";
const std::string good_switch = "{ 80 V dc, carries 40 A, makes 100 A, breaks 60 A at 60 V dc }";

const Cause* cause_of(const Digest& digest, const std::string& subject) {
    for (const Cause& cause : digest.causes)
        if (cause.subject == subject) return &cause;
    return nullptr;
}

}  // namespace

TEST_CASE("every rule that is ranked by name is a rule") {
    std::set<std::string_view> known;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) known.insert(rule.name);
    for (const std::string_view rule : ranked_rules()) {
        INFO(rule);
        CHECK(known.contains(rule));
    }
    CHECK(danger_of("overloaded-wire") == Danger::burns);
    CHECK(danger_of("unprotected-wire") < danger_of("overloaded-wire"));
}

TEST_CASE("a sound harness has no cause, and every finding stands in the order once") {
    const Results results = check_text(pump(good_fuse, good_switch));
    const Digest digest = digest_of(results);
    CHECK(digest.causes.empty());
    CHECK(digest.silent.empty());
    CHECK(digest.steps.size() == 4);  // the pack, then three modes
    CHECK(digest.order.size() == results.findings.size());
}

TEST_CASE("what lies at the pack bars connecting it, a switch the mode that closes it") {
    // A fuse that cannot break what can flow (54.6 V / 20 mohm), and a switch of 24 V behind it.
    const Results results =
        check_text(pump("{ 40 A, 80 V dc, breaks 1 kA at 80 V dc, curve iso8820-5 }",
                        "{ 24 V dc, carries 40 A, makes 100 A, breaks 60 A at 24 V dc }"));
    const Digest digest = digest_of(results);
    const Cause* fuse = cause_of(digest, "F1");
    const Cause* contact = cause_of(digest, "S2");
    REQUIRE(fuse);
    REQUIRE(contact);
    CHECK(fuse->step == 0);
    CHECK(contact->step == 3);  // mode run closes it
    CHECK(digest.causes.front().subject == "F1");
    std::vector<std::size_t> order = digest.order;
    std::sort(order.begin(), order.end());
    for (std::size_t i = 0; i < order.size(); ++i) CHECK(order[i] == i);
    CHECK(order.size() == results.findings.size());
}

TEST_CASE("what only works badly bars no step") {
    const Results results = check_text(pump(good_fuse, good_switch,
                                            "load E1 { 48 V, 1 A, acts-as current, works 30..60 V }\nsplice "
                                            "X9\nroute X9 (W9 1 mm2, 1 m) E1.+\n"));
    const Digest digest = digest_of(results);
    const Cause* loose = cause_of(digest, "E1");
    REQUIRE(loose);
    CHECK_FALSE(loose->step.has_value());
}

TEST_CASE("two hundred alike findings are one cause") {
    std::string more =
        "busbar X1 { studs 204, carries 200 A }\nbusbar X2 { studs 201, carries 200 A }\nroute S1.out (W100 "
        "25 mm2, 0.1 m) X1.204\n";
    for (int i = 1; i <= 200; ++i)
        more += fmt::format(
            "switch S{0} {{ 24 V dc, carries 5 A, makes 5 A, breaks 5 A at 24 V dc }}\n"
            "route X1.{1} (W{0} 1.5 mm2, 0.1 m) S{0} (direct) X2.{1}\n",
            i + 200, i);
    const Results results = check_text(pump(good_fuse, good_switch, more));
    const Digest digest = digest_of(results);
    const Cause* first = cause_of(digest, "S201");
    REQUIRE(first);
    CHECK(first->alike.size() == 199);
    CHECK(std::none_of(digest.causes.begin(), digest.causes.end(), [](const Cause& cause) {
        return cause.subject != "S201" && cause.subject.starts_with("S2") && cause.subject.size() == 4;
    }));
}

}  // namespace digest_test
