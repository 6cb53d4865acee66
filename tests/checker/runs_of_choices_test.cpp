// Runs past contacts that shut one another out: a point behind one throw is reached by the way that this
// throw closes with, though a shorter one leads there over the other throw.
#include "tests/checker/planted.hpp"
#include "tests/checker/told.hpp"

namespace runs_of_choices_test {

using namespace loomward;
using namespace loomward::testing;

TEST_CASE("a discharge throw is live from the bus, whatever charges the bus over the other throw") {
    // K3 of the crane charges its bus over R1 and discharges it over R2; F7 stands between K3 and the bus.
    std::string text = planted::Sound("yard-crane-96v.loom").text;
    const auto judged = [](const std::string& name) {
        ReadResult read = planted::read_example("yard-crane-96v.loom", name);
        REQUIRE(read.harness);
        return check(std::make_shared<const Harness>(std::move(*read.harness)), {});
    };
    CHECK_FALSE(finding_of(judged(text), "slow-clearing"));
    const std::string fuse = " F7 (direct) X3.2";
    text.replace(text.find(fuse), fuse.size(), " X3.2");
    const std::size_t line = text.find("fuse F7 ");
    text.erase(line, text.find('\n', line) - line);
    const Results without = judged(text);
    const Finding* burns = finding_of(without, "slow-clearing", "W12");
    REQUIRE(burns);
    CHECK(burns->severity == Severity::error);
}

}  // namespace runs_of_choices_test
