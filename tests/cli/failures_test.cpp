// `loomward failures`: text, JSON, one part, one mode, and the line that `check` prints.
#include <catch2/catch.hpp>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace failures_test {

using json_schema::json;
using program::Ending;
using program::example;
using program::Folder;
using program::run;

TEST_CASE("failures are told by consequence, and an error among them is the exit status") {
    const Folder folder;
    const Ending crane = run(folder, {"failures", example("yard-crane-96v")});
    CHECK(crane.code == 1);
    CHECK(crane.out.find("cannot be stopped or held\n  U1.brake stays on") != std::string::npos);
    folder.write("barrow.loom", harnesses::barrow);
    const Ending barrow = run(folder, {"failures", "barrow.loom"});
    INFO(barrow.out);
    CHECK(barrow.out.find("cannot be stopped or held: no drive was recognised") != std::string::npos);
    CHECK(barrow.out.find("F1 S1 W1..W4 open (6): ") ==
          std::string::npos);  // nothing drives: no mode is under way
}

TEST_CASE("failures of one part, of one mode, and as JSON") {
    const Folder folder;
    const Ending one = run(folder, {"failures", example("market-cart"), "--of", "K1"});
    CHECK(one.out.find("K1 welds: stops only by asking electronics [warning]") == 0);
    CHECK(one.out.find("K1 stays open: stops under way") != std::string::npos);
    const Ending none = run(folder, {"failures", example("market-cart"), "--of", "Z9"});
    CHECK(none.code == 2);
    CHECK(none.trouble.find("'Z9' is no part or wire that fails in a way that is tried") !=
          std::string::npos);
    CHECK(run(folder, {"failures", example("market-cart"), "--mode", "dance"}).code == 2);
    const Ending mode =
        run(folder, {"failures", example("market-cart"), "--mode", "drive", "--format", "json"});
    const json document = json::parse(mode.out);
    CHECK(document["modes"] == 1);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/failures.schema.json"));
    CHECK(validator.complaints(document) == std::vector<std::string>{});
}

TEST_CASE("check says in one line what single failures leave no stop, and nothing where there is a stop") {
    const Folder folder;
    CHECK(run(folder, {"check", example("yard-crane-96v")})
              .out.find("failures: 2 single failures and 1 pair leave nothing that stops or holds: loomward "
                        "failures ") != std::string::npos);
    CHECK(run(folder, {"check", example("market-cart")}).out.find("failures:") == std::string::npos);
}

}  // namespace failures_test
