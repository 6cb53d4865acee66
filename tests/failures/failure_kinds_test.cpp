// Every kind of failure: a harness in which it is an error, and one as close as possible in which it is none.
#include <set>

#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace failure_kinds_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

struct KindRow {
    FailureKind kind;
    std::string error, error_of;  // a text, and the failure that is an error in it
    std::string none, none_of;
};

std::vector<KindRow> rows() {
    using enum FailureKind;
    const std::string crane = example("yard-crane-96v");
    const std::string kept =
        replaced(crane, "U1 returns 35 A for 15 s then 0 A for 60 s repeating", "U1 draws 2 A");
    return {
        {welds, lets_go, "K1 welds", hoist, "K1 welds"},
        {stays_open, lets_go, "S2 stays open", pulls_in, "S2 stays open"},
        {opens, lets_go, "F2 opens", pulls_in, "F2 opens"},
        {breaks, lets_go, "W9 breaks", pulls_in, "W9 breaks"},
        {touches, unheld, "W12 touches minus", caught, "W12 touches minus"},
        {commanded, no_stop, "A1 at full command", hoist, "A1 at full command"},
        {pin_on, unheld, "U1.brake stays on", caught, "U1.brake stays on"},
        {pin_off, lets_go, "A1.hold stays off", pulls_in, "A1.hold stays off"},
        {parted, lets_go, "J1 parts", pulls_in, "J1 parts"},
        {contact_off, lets_go, "J1.1 opens", pulls_in, "J1.1 opens"},
        {trips, crane, "Q1 opens", kept, "Q1 opens"},
        {dies, lets_go, "A1 dies", pulls_in, "A1 dies"},
        {passes, low_fuse, "D1 fails through", high_fuse, "D1 fails through"},
        {shorts, low_battery_fuse, "D2 fails through", high_battery_fuse, "D2 fails through"},
        {gone, own_battery, "B2 gives nothing", one_battery, "B2 gives nothing"},
        {one_cell, charges_on, "B1 has a dead cell", ends_before, "B1 has a dead cell"},
        {runs_on, no_stop, "U1 runs on", hoist, "U1 runs on"},
    };
}

// These are never errors: a guard that does not open does harm only where something shorts besides, and a
// charge lead that was left in takes nothing away that would stop.
const std::set<FailureKind> never_errors = {FailureKind::bridged, FailureKind::never_trips,
                                            FailureKind::left_in};

}  // namespace

TEST_CASE("each kind of failure is an error somewhere, and is none in a harness close to it") {
    std::set<FailureKind> seen = never_errors;
    for (const KindRow& each : rows()) {
        INFO(row(each.kind).name);
        const TriedText bad = tried(example_harness("planted", each.error));
        const TriedText good = tried(example_harness("planted", each.none));
        CHECK(bad.report.left_out.empty());
        CHECK(good.report.left_out.empty());
        CHECK(failure(bad.report, each.error_of).failure.kind == each.kind);
        CHECK(failure(bad.report, each.error_of).level == Severity::error);
        CHECK(failure(good.report, each.none_of).failure.kind == each.kind);
        CHECK(failure(good.report, each.none_of).level != Severity::error);
        seen.insert(each.kind);
    }
    CHECK(seen.size() == failure_kind_count);
}

TEST_CASE("a guard that is bridged is a warning: it takes a short circuit besides") {
    for (const char* const name : {"market-cart", "yard-crane-96v"}) {
        std::size_t burning = 0;
        for (const TriedFailure& each : tried_in_full(example_harness(name, example(name))).tried) {
            if (!never_errors.contains(each.failure.kind)) continue;
            INFO(failure_text(each.failure) << ": " << each.then);
            CHECK(each.level != Severity::error);
            burning += each.heading == FailureHeading::useless_guard && each.level == Severity::warning;
        }
        CHECK(burning > 0);
    }
}

}  // namespace failure_kinds_test
