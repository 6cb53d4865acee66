// What single failures do to the examples: each was worked out by hand on the drawing, and tried by editing
// the text.
#include "checker/budget/budget.hpp"
#include "tests/failures/trying.hpp"

namespace examples_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Told {
    std::string_view of;
    FailureHeading heading;
    Severity level;
    std::string_view then;  // begins so
    std::string_view can_do = {};
};

void check_told(const std::string& name, const std::vector<Told>& list) {
    const TriedText made = tried(example_harness(name, example(name)));
    CHECK(made.report.left_out.empty());
    for (const Told& each : list) {
        INFO(each.of);
        const TriedFailure& found = failure(made.report, each.of);
        INFO(found.then);
        CHECK(found.heading == each.heading);
        CHECK(found.level == each.level);
        CHECK(found.then.starts_with(each.then));
        CHECK(found.can_do.starts_with(each.can_do));
    }
}

}  // namespace

TEST_CASE("failures of the market cart") {
    using enum FailureHeading;
    check_told(
        "market-cart",
        {{"K1 welds", only_asks, Severity::warning, "S1 S2 only ask U1", "S6 cuts it off"},
         {"A1 at full command", by_itself, Severity::warning, "U1 may run at full", "S1 S2 S6 stop it"},
         {"U1 runs on", by_itself, Severity::warning, "U1 may run at full", "S1 S2 S6 stop it"},
         {"U1.main stays on", by_itself, Severity::warning, "K1 closes with nobody asking, onto U1"},
         {"W28 touches minus", by_itself, Severity::warning, "K1 closes with nobody asking, onto U1"},
         {"D1 fails through", breaks_behind, Severity::error,
          "E1..E4 H1 get 54.6 V; F6..F8 may not break it"},
         {"S6 welds", not_seen, Severity::warning, "S6 no longer stops U1: S1 S2 are left"},
         {"S2 welds", not_seen, Severity::warning, "S2 no longer stops U1: S1 S6 are left"},
         {"W12 breaks", not_seen, Severity::warning, "no precharge"},
         {"F1 opens", stops_under_way, Severity::warning, "U1 stops, E1..E4 H1 go off"},
         {"J1 parts", stops_under_way, Severity::warning, "U1 stops"},
         {"W3 breaks", stops_under_way, Severity::warning, "U1 stops"},
         {"D1 dies", stops_under_way, Severity::warning, "E1..E4 H1 go off"},
         {"F6 opens", stops_under_way, Severity::warning, "E1..E3 go off"},
         {"W44 breaks", stops_under_way, Severity::warning, "E1 goes off"},
         {"G1 left in", forgotten, Severity::warning, "with its lead in U1 still runs"},
         {"B1 has a dead cell", question, Severity::note, "54.6 V of G1 on 12 cells: 4.55 V each"}});
}

TEST_CASE("failures of the yard crane") {
    using enum FailureHeading;
    check_told(
        "yard-crane-96v",
        {{"U1.brake stays on", unstoppable, Severity::error, "S1 S2 stop the drive, but Y1 stays fed",
          "only S9 ends it"},
         {"W40 touches minus", unstoppable, Severity::error, "S1 S2 stop the drive, but Y1 stays fed"},
         {"K1 welds", only_asks, Severity::warning, "S1 S2 only ask U1 U2", "only S9 by pulling"},
         {"A2 at full command", by_itself, Severity::warning, "U2 may run at full", "S1 S2 stop it"},
         {"W34 touches minus", by_itself, Severity::warning, "K1 closes with nobody asking, onto U1 U2"},
         {"Q1 opens", breaks_behind, Severity::error, "what U1 gives back (35 A) has nowhere to go: 130 V"},
         {"S1 welds", not_seen, Severity::warning, "S1 no longer stops U1 U2: S2 is left"},
         {"R2 opens", not_seen, Severity::warning, "U1 U2 stay charged"},
         {"R1 opens", not_seen, Severity::warning, "no precharge"},
         {"F2 opens", breaks_behind, Severity::warning,
          "what U1 gives back (35 A) has nowhere to go: 130 V and more, until it stops giving"},
         {"F4 opens", stops_under_way, Severity::warning, "U2 stops"},
         {"F9 opens", stops_under_way, Severity::warning, "Y1 closes"},
         {"G1 left in", forgotten, Severity::warning, "with its lead in U1 U2 still run"}});
}

TEST_CASE("two stops that both stick leave nothing, and that is told") {
    const FailureReport report = tried(example_harness("yard-crane-96v", example("yard-crane-96v"))).report;
    CHECK(report.pairs > 0);
    const auto pair = std::find_if(report.lines.begin(), report.lines.end(), [](const FailureLine& line) {
        return line.tried.empty() && line.heading == FailureHeading::unstoppable;
    });
    REQUIRE(pair != report.lines.end());
    CHECK(pair->who == "S1 welds and S2 welds");
    CHECK(pair->then == "nothing that a hand works stops U1 U2");
    CHECK(pair->level == Severity::error);
}

TEST_CASE("either pack of the sweeper is enough: no one hand cuts off a welded contactor") {
    const FailureReport report = tried(example_harness("ice-sweeper", example("ice-sweeper"))).report;
    CHECK(failure(report, "K1 welds").can_do == "no one hand cuts it off");
    CHECK(failure(report, "B2 gives nothing").heading == FailureHeading::not_seen);
}

TEST_CASE("what burns behind a bridged fuse is told with its time, and how long a key left on is stood") {
    const FailureReport report = tried_in_full(example_harness("market-cart", example("market-cart")));
    const TriedFailure& bolt = failure(report, "F5 is bridged");
    CHECK(bolt.heading == FailureHeading::useless_guard);
    CHECK(bolt.then.starts_with("W36 W37 burn, the first after "));
    CHECK(std::any_of(report.lines.begin(), report.lines.end(), [](const FailureLine& line) {
        return line.heading == FailureHeading::forgotten && line.who == "left in mode ready";
    }));
}

TEST_CASE("check counts what leaves no stop, pairs too, and says nothing where there is none") {
    for (const auto& [name, count, pairs] : std::vector<std::tuple<std::string, std::size_t, std::size_t>>{
             {"yard-crane-96v", 2, 1}, {"market-cart", 0, 0}, {"ice-sweeper", 0, 1}}) {
        INFO(name);
        const auto harness = example_harness(name, example(name));
        Results results;
        results.harness = results.judged = harness;
        results.circuit = build_circuit(*harness);
        const UnstoppableCount counted = count_unstoppable(results);
        CHECK(counted.unstoppable == count);
        CHECK(counted.pairs == pairs);
        CHECK(counted.starting == 0);
        CHECK(counted.as_drawn == 0);
        CHECK(counted.any() == (name != "market-cart"));
        CHECK(count_unstoppable(results, 10).tried == 0);
    }
}

}  // namespace examples_test
