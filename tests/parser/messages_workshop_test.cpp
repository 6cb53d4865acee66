// Words of the workshop: what the language calls them, and an example that reads.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "parser/language/kinds.hpp"
#include "parser/language/workshop_words.hpp"
#include "parser/read.hpp"
#include "tests/no_files.hpp"

namespace messages_workshop_test {

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

// "id: message | beside | help", one mistake a line.
std::string told(const std::string& statement) {
    NoFiles files;
    const std::vector<std::string_view> rules = {"unprotected-wire"};
    const std::string text =
        "loom 1\nharness \"Cart\"\npack B0 { voltage 40..54 V }\nfuse F0\n" + statement + "\n";
    std::string all;
    for (const Diagnostic& mistake : read_harness_text("cart.loom", text, files, {rules}).mistakes)
        all += mistake.id + ": " + mistake.message + " | " + mistake.beside + " | " + mistake.help + "\n";
    return all;
}

}  // namespace

TEST_CASE("a word of the workshop is told what we call it, and shown", "[messages]") {
    struct Row {
        std::string typed, expected;
    };
    const Row row = GENERATE(values<Row>({
        {"battery B1 { 48 V }",
         "unknown-statement: no statement begins with 'battery' | write pack | for instance pack B1 { "
         "voltage "
         "40..54.6 V, capacity 20 Ah }\n"},
        {"Lamp E1",
         "unknown-statement: no statement begins with 'Lamp' | write load | for instance load E1 "
         "\"lamp\" { 12 V, 10 W }\n"},
        {"ground X1",
         "unknown-statement: no statement begins with 'ground' | write frame | for instance frame X9 "
         "\"chassis\" { serves return }\n"},
        {"earth X1",
         "unknown-statement: no statement begins with 'earth' | write frame | for instance frame X9 "
         "\"chassis\" { serves return }\n"},
        {"solar V1",
         "unknown-statement: no statement begins with 'solar' | write panel | for instance panel V1 { "
         "open-circuit-voltage 38 V, short-circuit-current 9 A }\n"},
        {"throttle A1",
         "unknown-statement: no statement begins with 'throttle' | write device | for instance device A1 "
         "\"grip\" { "
         "pin 5v supply 8 mA, pin gnd return, pin out signal }\n"},
        {"shunt resistor R1 { 1 mohm }",
         "reserved-name: 'resistor' is a word of the language, not a name |  | one kind and then the name: "
         "shunt R1, "
         "or resistor R1\n"},
        {"fuse F1 { amps 10 A }",
         "unknown-attribute: 'amps' is not an attribute of a fuse |  | the rated current of a fuse stands "
         "without a "
         "name: 100 A\n"},
        {"load E1 { power 10 W }",
         "unknown-attribute: 'power' is not an attribute of a load |  | the power of a load stands without a "
         "name: "
         "25 W\n"},
        {"route B0.+ (W1 gauge 14 AWG) F0.in",
         "unknown-attribute: 'gauge' is not an attribute of a wire |  | the cross-section of a wire stands "
         "without a "
         "name: 16 mm2\n"},
        {"route B0.+ (W1 color red) F0.in",
         "unknown-attribute: 'color' is not an attribute of a wire |  | the colour of a wire stands without "
         "a name: "
         "red\n"},
        {"fuse F1 { unknown }",
         "missing-unit: 'unknown' does not say what is not known |  | say which: unknown A (rated current), "
         "unknown V "
         "(rated voltage)\n"},
    }));
    CAPTURE(row.typed);
    CHECK(told(row.typed) == row.expected);
}

TEST_CASE("what is meant by another word is an attribute of the kind", "[messages]") {
    CHECK(told("switch S1 { ampacity 10 A }").find("| write carries |") != std::string::npos);
    CHECK(told("fuse F1 { breaking-capacity 1 kA }").find("| write breaks |") != std::string::npos);
    CHECK(told("controller U1 { battery-current 40 A }").find("| write supply-limit |") != std::string::npos);
    // Not of this kind: then what comes near is told, or all there are.
    CHECK(told("fuse F1 { ampacity 10 A }").find("| write") == std::string::npos);
}

TEST_CASE("each word of the workshop begins no statement, and its example reads", "[messages]") {
    const auto words = statement_words();
    for (const WorkshopWord& row : workshop_words()) {
        CAPTURE(row.word);
        CHECK(std::find(words.begin(), words.end(), row.word) == words.end());
        CHECK(std::find(words.begin(), words.end(), row.statement) != words.end());
        CHECK(row.example.starts_with(row.statement));
        std::string example(row.example);
        if (row.statement == "route" || row.statement == "accept")
            example =
                "fuse F1\npack B1\nroute B1.- (W1) F1.out\n" + (row.statement == "route" ? "" : example);
        if (row.statement == "use") continue;  // there is no such file here
        CHECK(told(example) == "");
    }
}

}  // namespace messages_workshop_test
